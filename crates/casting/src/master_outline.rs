//! Outline of a master: the wanted outline of the casting, taken backwards through the chain of sizes.

use gripwright_section::{InsetError, Outline, OutlineError, Role, inset};

use crate::{
    casting_process::{CastingProcess, FaceClass},
    size_chain::SizeKind,
};

/// Why a master has no outline.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error(transparent)]
#[non_exhaustive]
pub enum MasterOutlineError {
    /// A face cannot move by its layer.
    Inset(#[from] InsetError),
    /// The moved faces make no outline.
    Outline(#[from] OutlineError),
}

/// Figures that turn sizes of the casting into sizes of its master as drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MasterScale {
    /// Size of the finished master over that of the casting.
    pub growth: f64,
    /// Layer (mm) that finishing leaves on gripping faces of the master.
    pub gripping_mm: f64,
    /// Layer (mm) that finishing leaves on outer faces of the master.
    pub outer_mm: f64,
}

impl MasterScale {
    /// Scale of a process: all of it but the layers is a common growth.
    pub fn of_process(process: &CastingProcess) -> Self {
        let layer = |class| {
            let chain = process.chain(class);
            let of = |kind| chain.backwards(1.0, kind);
            0.5 * (of(SizeKind::Distance) - of(SizeKind::Outside))
        };
        let growth = process.chain(FaceClass::Outer).backwards(1.0, SizeKind::Distance);
        Self { growth, gripping_mm: layer(FaceClass::Gripping), outer_mm: layer(FaceClass::Outer) }
    }

    /// Distance (mm) between centres or like faces of the master.
    pub fn distance_mm(&self, cast_mm: f64) -> f64 {
        self.growth * cast_mm
    }

    /// Size (mm) of the master between two outer faces that look away from each other.
    pub fn outer_size_mm(&self, cast_mm: f64) -> f64 {
        self.growth * cast_mm - 2.0 * self.outer_mm
    }

    /// Leg (mm) of the master's 45° chamfer.
    ///
    /// A layer on all three faces makes a leg greater by 2 − √2 of it. The whole layer is taken off: faces then move at the
    /// ends just as far as those of the casting, which its thin flats have room for, and a leg is short by 0.4 layers.
    pub fn chamfer_mm(&self, cast_mm: f64) -> f64 {
        (self.growth * cast_mm - self.outer_mm).max(0.0)
    }

    /// Outline of the master for an outline of the casting about the origin. Pads do not move: the web covers them.
    pub fn outline(&self, cast: &Outline) -> Result<Outline, MasterOutlineError> {
        let scaled = cast.scaled(self.growth);
        let layer = |role: Role| match role {
            Role::Pad => 0.0,
            role if role.grips() => self.gripping_mm,
            _ => self.outer_mm,
        };
        let amounts: Vec<f64> = scaled.segments().iter().map(|segment| layer(segment.role)).collect();
        if amounts.iter().all(|amount| amount.abs() <= 0.0) {
            return Ok(scaled);
        }
        Ok(inset(&scaled, &amounts)?.to_outline(&scaled)?)
    }
}

#[cfg(test)]
mod tests {
    use gripwright_section::{Curve, Point, rounded_rectangle};

    use super::*;
    use crate::{
        casting_process::{FaceLayers, Shrinkage},
        size_chain::Spread,
    };

    fn scale(gripping: f64, outer: f64) -> MasterScale {
        let coat = Spread { mean: outer, deviation: 0.01 };
        let primer = FaceLayers { gripping: Spread::exactly(gripping), outer: coat, pad: Spread::default() };
        let shrinkage = Shrinkage::Net(Spread { mean: 0.004, deviation: 0.001 });
        MasterScale::of_process(&CastingProcess { print: FaceLayers::default(), primer, shrinkage })
    }

    #[test]
    fn figures_are_those_of_the_chain() {
        let found = scale(0.0, 0.05);
        assert!((found.growth - 1.0 / 0.996).abs() < 1e-12);
        assert!(found.gripping_mm.abs() < 1e-12 && (found.outer_mm - 0.05).abs() < 1e-12);
        assert!((found.outer_size_mm(20.0) - (20.0 / 0.996 - 0.1)).abs() < 1e-12);
    }

    /// The coated and shrunk master of a frame is the frame: distances of its faces, by hand.
    #[test]
    fn a_finished_master_gives_the_wanted_outline() {
        let wanted = rounded_rectangle(30.0, 20.0, 4.0).unwrap();
        let master = scale(0.0, 0.05).outline(&wanted).unwrap();
        for (wanted, master) in wanted.segments().iter().zip(master.segments()) {
            match (wanted.curve, master.curve) {
                (Curve::Arc { radius: wanted, centre, .. }, Curve::Arc { radius, centre: moved, .. }) => {
                    assert!((0.996 * (radius + 0.05) - wanted).abs() < 1e-9);
                    assert!((moved * 0.996).distance(centre) < 1e-9);
                }
                (Curve::Line { start, end }, Curve::Line { start: moved, .. }) => {
                    let along = (end - start) * (1.0 / (end - start).length());
                    let inward: Point = along.turned_left();
                    assert!(((moved * 0.996 - start).dot(inward) - 0.05 * 0.996).abs() < 1e-9);
                }
                _ => panic!("a face changed its kind"),
            }
        }
    }

    /// After layers of t on faces and chamfer, a leg is greater by t (2 − √2): by hand, from the shifted lines.
    #[test]
    fn chamfers_are_short_by_less_than_half_a_layer() {
        let drawn = scale(0.0, 0.1).chamfer_mm(0.4);
        let cast = 0.996 * (drawn + 0.1 * (2.0 - 2.0_f64.sqrt()));
        assert!(cast < 0.4 && cast > 0.4 - 0.045, "{cast}");
    }
}
