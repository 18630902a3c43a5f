//! Figures of print, primer, silicone and resin, and the chain of sizes that follows for each class of faces.

use crate::size_chain::{ChainStep, SizeChain, Spread};

/// Temperature at which sizes are stated, °C.
pub const REFERENCE_TEMPERATURE_C: f64 = 23.0;

/// Class of faces that are printed and finished alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FaceClass {
    /// Seats and lips, which decide the fit.
    Gripping,
    /// All others of clips, mount and web.
    Outer,
    /// Faces of the pad between mount and clips.
    Pad,
}

/// Layers (mm) that a step leaves on the faces of each class.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FaceLayers {
    /// On gripping faces.
    pub gripping: Spread,
    /// On outer faces.
    pub outer: Spread,
    /// On pad faces.
    pub pad: Spread,
}

impl FaceLayers {
    fn on(&self, class: FaceClass) -> Spread {
        match class {
            FaceClass::Gripping => self.gripping,
            FaceClass::Outer => self.outer,
            FaceClass::Pad => self.pad,
        }
    }
}

/// Shrinkage from the finished master to the casting: either one figure or the other, so that nothing counts twice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shrinkage {
    /// Net share by which a casting is smaller than its master. Warm mould and cooling resin are in it.
    Net(Spread),
    /// Factors of every step.
    Factors(ShrinkageFactors),
}

/// Factors of the steps from the finished master to the casting.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShrinkageFactors {
    /// Expansion of the master, 1/K.
    pub master_per_k: Spread,
    /// Temperature at which the silicone cures, °C.
    pub cure_c: f64,
    /// Share by which the silicone shrinks as it cures.
    pub silicone: Spread,
    /// Linear expansion of the silicone, 1/K: a third of the volume's.
    pub silicone_per_k: Spread,
    /// Temperature of the mould when the resin is poured, °C.
    pub pour_c: f64,
    /// Share by which the resin shrinks from pouring until it has gelled.
    pub gelling: Spread,
    /// Expansion of the gelled resin, 1/K.
    pub resin_per_k: Spread,
    /// Temperature at which it gels, °C.
    pub gel_c: f64,
}

/// Process from the master as drawn to the casting.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CastingProcess {
    /// Layers by which the print is greater than drawn.
    pub print: FaceLayers,
    /// Layers of primer; none on masked faces.
    pub primer: FaceLayers,
    /// Shrinkage from the finished master on.
    pub shrinkage: Shrinkage,
}

impl CastingProcess {
    /// Chain of the sizes between faces of a class.
    pub fn chain(&self, class: FaceClass) -> SizeChain {
        let layer = |layers: &FaceLayers| ChainStep::Layer(layers.on(class));
        let mut steps = vec![("print", layer(&self.print)), ("primer", layer(&self.primer))];
        match &self.shrinkage {
            Shrinkage::Net(share) => steps.push(("net shrinkage", shrinks(*share))),
            Shrinkage::Factors(factors) => steps.extend(factors.steps()),
        }
        SizeChain { steps }
    }
}

impl ShrinkageFactors {
    fn steps(&self) -> [(&'static str, ChainStep); 6] {
        let warm = |per_k: Spread, to_c: f64| grows(per_k, to_c - REFERENCE_TEMPERATURE_C);
        [
            ("master at the cure", warm(self.master_per_k, self.cure_c)),
            ("silicone cures", shrinks(self.silicone)),
            ("silicone cools", grows(self.silicone_per_k, REFERENCE_TEMPERATURE_C - self.cure_c)),
            ("mould at the pour", warm(self.silicone_per_k, self.pour_c)),
            ("resin gels", shrinks(self.gelling)),
            ("resin cools", grows(self.resin_per_k, REFERENCE_TEMPERATURE_C - self.gel_c)),
        ]
    }
}

fn shrinks(by: Spread) -> ChainStep {
    ChainStep::Growth(Spread { mean: -by.mean, ..by })
}

/// Growth over a difference of temperature, K.
fn grows(per_k: Spread, over_k: f64) -> ChainStep {
    ChainStep::Growth(Spread { mean: per_k.mean * over_k, deviation: (per_k.deviation * over_k).abs() })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::size_chain::SizeKind;

    /// At the reference temperature throughout, without layers.
    fn cold(silicone: f64, gelling: f64) -> ShrinkageFactors {
        ShrinkageFactors {
            master_per_k: Spread::exactly(7e-5),
            cure_c: REFERENCE_TEMPERATURE_C,
            silicone: Spread::exactly(silicone),
            silicone_per_k: Spread::exactly(2.3e-4),
            pour_c: REFERENCE_TEMPERATURE_C,
            gelling: Spread::exactly(gelling),
            resin_per_k: Spread::exactly(9e-5),
            gel_c: REFERENCE_TEMPERATURE_C,
        }
    }

    fn process(shrinkage: Shrinkage) -> CastingProcess {
        CastingProcess { print: FaceLayers::default(), primer: FaceLayers::default(), shrinkage }
    }

    /// The master is 1/((1 − s of the mould)(1 − s of the resin)) times the part: arithmetic of the rule, no source.
    #[test]
    fn a_bore_of_14_mm_takes_a_master_of_14_07() {
        let chain = process(Shrinkage::Factors(cold(0.003, 0.002))).chain(FaceClass::Gripping);
        let master_mm = chain.backwards(14.0, SizeKind::Inside);
        assert!((master_mm - 14.070).abs() < 5e-4, "{master_mm}");
        assert!((master_mm / 14.0 - 1.005_020).abs() < 1e-6);
    }

    /// A third of the volume's expansion of 5.9 to 7.9e-4 1/K, which a rubber maker's table gives.
    #[test]
    fn a_mould_at_70_degrees_is_one_per_cent_larger() {
        for (per_k, least, greatest) in [(5.9e-4 / 3.0, 0.009, 0.0095), (7.9e-4 / 3.0, 0.0115, 0.0125)] {
            let warm = ShrinkageFactors { silicone_per_k: Spread::exactly(per_k), pour_c: 70.0, ..cold(0.0, 0.0) };
            let growth =
                process(Shrinkage::Factors(warm)).chain(FaceClass::Outer).forwards(1.0, SizeKind::Outside) - 1.0;
            assert!((least..greatest).contains(&growth), "{growth}");
        }
    }

    #[test]
    fn a_master_that_cures_warm_grows_while_its_mould_shrinks_back() {
        let warm = ShrinkageFactors { cure_c: 60.0, ..cold(0.0, 0.0) };
        let size = process(Shrinkage::Factors(warm)).chain(FaceClass::Outer).forwards(100.0, SizeKind::Outside);
        assert!((size - 100.0 * (1.0 + 7e-5 * 37.0) * (1.0 - 2.3e-4 * 37.0)).abs() < 1e-9);
    }

    #[test]
    fn primer_closes_bores_unless_they_are_masked() {
        let coat = Spread { mean: 0.04, deviation: 0.01 };
        let net = Shrinkage::Net(Spread { mean: 0.0015, deviation: 0.001 });
        let masked = FaceLayers { outer: coat, pad: coat, ..FaceLayers::default() };
        let bore = |primer| CastingProcess { primer, ..process(net) }.chain(FaceClass::Gripping);
        let all = FaceLayers { gripping: coat, ..masked };
        let [open, closed] = [masked, all].map(|primer| bore(primer).cast_size(14.0, SizeKind::Inside));
        assert!((open.mean_mm - 14.0 * 0.9985).abs() < 1e-12);
        assert!((open.mean_mm - closed.mean_mm - 0.08 * 0.9985).abs() < 1e-12);
        assert!(closed.deviation_mm > open.deviation_mm);
    }
}
