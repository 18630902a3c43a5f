//! Facts of a moulding plan that a bench sheet needs. Every figure comes from the plan; none is made up here.

use gripwright_input::{Parting, RubberCure};

/// Everything that the steps of a bench sheet are written from.
#[derive(Clone, Debug, PartialEq)]
pub struct BenchFacts {
    /// Way to part the mould.
    pub parting: Parting,
    /// Holders in one mould.
    pub holders_per_shot: u32,
    /// Slices of clips in one mould, cast with the holders as coupons.
    pub coupons_per_shot: u32,
    /// How the copies are made.
    pub copies: CopyFacts,
    /// Printed master.
    pub master: MasterFacts,
    /// Box, keys, sprue and vents.
    pub mould: MouldFacts,
    /// Silicone.
    pub silicone: SiliconeFacts,
    /// Resin and its clock.
    pub resin: ResinFacts,
    /// Vacuum chamber for degassing, or `None` without one.
    pub vacuum: Option<VacuumFacts>,
    /// Pressure vessel for silicone and resin, or `None` without one.
    pub pressure: Option<PressureFacts>,
    /// Release.
    pub release: ReleaseFacts,
    /// Sizes that the casting is predicted to have.
    pub predicted_sizes: Vec<PredictedSize>,
}

/// How the copies are made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CopyFacts {
    /// Holders that are wanted.
    pub holders: u32,
    /// Shots of resin, all moulds together.
    pub shots: u32,
    /// Moulds.
    pub moulds: u32,
    /// Shots after which a mould is taken as worn.
    pub mould_life_shots: u32,
}

/// Printed master.
#[derive(Clone, Debug, PartialEq)]
pub struct MasterFacts {
    /// Print material in words.
    pub material: String,
    /// Masters to print for one mould.
    pub pieces: Vec<BoxPart>,
    /// Temperature at which it softens, °C, if that is known.
    pub softens_c: Option<f64>,
    /// Primer filler, or `None` for a master without.
    pub primer: Option<PrimerFacts>,
}

/// Primer filler on the master.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PrimerFacts {
    /// Coats.
    pub coats: u32,
    /// Thickness that stays on every primed face, µm.
    pub layer_um: f64,
    /// True if gripping faces are masked and get none.
    pub seats_masked: bool,
}

/// Box, keys, sprue and vents.
#[derive(Clone, Debug, PartialEq)]
pub struct MouldFacts {
    /// Inside of the box: length, width, height, mm.
    pub box_inner_mm: [f64; 3],
    /// Parts of the box to have at hand.
    pub box_parts: Vec<BoxPart>,
    /// Rubber beside the master, mm.
    pub rubber_wall_mm: f64,
    /// Rubber above its highest point, mm.
    pub rubber_above_mm: f64,
    /// Keys between the halves; a block that is cut has none.
    pub keys: Option<KeyFacts>,
    /// Sprues of all cavities.
    pub sprues: u32,
    /// Sprues whose rods have a peg for a hole in the master.
    pub pegged_sprues: u32,
    /// Diameter of a sprue, mm.
    pub sprue_mm: f64,
    /// Its diameter at the part, mm.
    pub sprue_tip_mm: f64,
    /// Where it meets the part, as "on the web".
    pub sprue_place: String,
    /// Vents of all cavities.
    pub vents: u32,
    /// Diameter of the vents, mm.
    pub vent_mm: f64,
    /// Tilt of the mould when resin is poured, degrees.
    pub tilt_deg: f64,
    /// Resin that funnels and basins above all sprues hold together at least, cm³.
    pub reservoir_cm3: f64,
    /// Formers of basins that are set on sprue rods.
    pub formers: u32,
    /// Height of a funnel over the mould at which its brim is as high as the highest vent of its master in the tilted
    /// mould, mm; zero in a level one.
    pub funnel_mm: f64,
}

/// A printed part, of the box or a master.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BoxPart {
    /// Name.
    pub name: String,
    /// Number of them.
    pub count: u32,
    /// Size in words, as "120 × 60 × 4 mm", or the file to print.
    pub size: String,
}

/// Keys between the halves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KeyFacts {
    /// Number of keys.
    pub count: u32,
    /// Diameter, mm.
    pub diameter_mm: f64,
    /// Height, mm.
    pub height_mm: f64,
}

/// Silicone.
#[derive(Clone, Debug, PartialEq)]
pub struct SiliconeFacts {
    /// Name in words, as "addition-cure silicone, Shore A 25".
    pub title: String,
    /// Kind of cure.
    pub cure: RubberCure,
    /// One batch for each half, first half first; one for a block.
    pub batches: Vec<SiliconeBatch>,
    /// Step of the scale, g.
    pub scale_step_g: f64,
    /// Pot life, min.
    pub pot_life_min: f64,
    /// Time from mixing to opening, h.
    pub cure_h: f64,
    /// Tempering before polyurethane is cast, as condensation cure needs.
    pub temper: Option<HeatFacts>,
}

/// A batch of silicone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SiliconeBatch {
    /// Both parts, g.
    pub parts_g: [f64; 2],
    /// Volume of the batch, cm³.
    pub volume_cm3: f64,
}

/// Heat for a time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeatFacts {
    /// Temperature, °C.
    pub temperature_c: f64,
    /// Least and greatest time, h; equal if there is one.
    pub hours: [f64; 2],
}

/// Resin and its clock. Moments are counted in minutes from the moment at which both parts touch.
#[derive(Clone, Debug, PartialEq)]
pub struct ResinFacts {
    /// Name in words.
    pub title: String,
    /// Both parts of one batch, g.
    pub parts_g: [f64; 2],
    /// Batches that one shot needs: more than one where a single cup would get too hot.
    pub batches_per_shot: u32,
    /// Step of the scale, g.
    pub scale_step_g: f64,
    /// Pot life, min.
    pub pot_life_min: f64,
    /// Latest end of mixing, min.
    pub mixed_by_min: f64,
    /// Latest end of pouring, min.
    pub poured_by_min: f64,
    /// Latest moment at which the vessel is closed or, without one, the mould is at rest, min.
    pub closed_by_min: f64,
    /// Latest moment at which the vessel has its pressure, min; not used without a vessel.
    pub pressurised_by_min: f64,
    /// Latest end of degassing, min, if the resin is degassed.
    pub degassed_by_min: Option<f64>,
    /// Temperature of the mould at pouring, °C, if it is warmed.
    pub warm_mould_c: Option<f64>,
    /// Least and greatest time to demoulding, min.
    pub demould_min: [f64; 2],
    /// Time to full cure, h.
    pub full_cure_h: f64,
    /// Post-cure in the oven, if there is one.
    pub post_cure: Option<HeatFacts>,
}

/// Vacuum chamber.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VacuumFacts {
    /// Greatest absolute pressure that degasses, mbar.
    pub limit_mbar: f64,
}

/// Pressure vessel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PressureFacts {
    /// Pressure above the atmosphere, bar.
    pub gauge_bar: f64,
    /// Diameter of a bubble under this pressure, as a share of its diameter without.
    pub bubble_ratio: f64,
}

/// Release.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReleaseFacts {
    /// Verdict of the plan in one or more sentences: how hard the part comes out, and where to be careful.
    pub verdict: String,
    /// Coats of release agent; 0 for none.
    pub coats: u32,
}

/// A size that the casting is predicted to have.
#[derive(Clone, Debug, PartialEq)]
pub struct PredictedSize {
    /// Name.
    pub name: String,
    /// Size, mm.
    pub size_mm: f64,
    /// Greatest deviation to expect to either side, mm.
    pub plus_minus_mm: f64,
}
