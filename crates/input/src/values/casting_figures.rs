//! Figures of mould rubbers and casting resins, and of the way in which a part is cast.

/// Mean and standard deviation of a share.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeanAndSpread {
    /// Mean.
    pub mean: f64,
    /// Standard deviation.
    pub spread: f64,
}

/// Kind of a silicone's cure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RubberCure {
    /// By addition: hardly shrinks, and some materials inhibit it.
    Addition,
    /// By condensation: shrinks, and goes on shrinking.
    Condensation,
}

/// Mould rubber.
#[derive(Clone, Debug, PartialEq)]
pub struct MouldRubber {
    /// Key of its class.
    pub class: String,
    /// Name for people.
    pub title: String,
    /// Kind of cure.
    pub cure: RubberCure,
    /// Hardness, Shore A.
    pub hardness_a: f64,
    /// Density, g/cm³.
    pub density_g_cm3: f64,
    /// Elongation at break, as a share.
    pub elongation: f64,
    /// Parts of its two components by weight.
    pub ratio: [f64; 2],
    /// Share by which it shrinks as it cures.
    pub shrinkage: MeanAndSpread,
    /// Linear expansion, 1/K.
    pub expansion_per_k: MeanAndSpread,
    /// Time from mixing in which it can be poured, min.
    pub pot_life_min: f64,
    /// Time until the mould can be opened, min.
    pub demould_min: f64,
    /// Sources of the figures, one line each.
    pub sources: Vec<String>,
}

/// Casting resin with its process.
#[derive(Clone, Debug, PartialEq)]
pub struct CastingResin {
    /// Parts of its two components by weight.
    pub ratio: [f64; 2],
    /// Share by which a casting is smaller than its finished master, everything counted.
    pub net_shrinkage: MeanAndSpread,
    /// Share by which the resin shrinks from pouring to the gelled, hot part.
    pub gel_shrinkage: MeanAndSpread,
    /// Linear expansion of the gelled resin, 1/K.
    pub expansion_per_k: MeanAndSpread,
    /// Time from mixing until it gels, min.
    pub pot_life_min: f64,
    /// Time from pouring until the casting can leave the mould, min.
    pub demould_min: f64,
    /// Time until the casting has its strength, min.
    pub full_cure_min: f64,
    /// Least batch that mixes true, g.
    pub least_batch_g: f64,
    /// Share of the full modulus at demoulding.
    pub green_share: f64,
    /// Strain that the casting bears at demoulding.
    pub green_strain: f64,
    /// Heat after demoulding; absent if the resin needs none.
    pub post_cure: Option<PostCure>,
    /// Sources of the figures, one line each.
    pub sources: Vec<String>,
}

/// Heat after demoulding.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PostCure {
    /// Temperature, °C.
    pub temperature_c: f64,
    /// Time at that temperature, h.
    pub hours: f64,
}

/// Shrinkage from the finished master to the casting: one figure, or factors of the steps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CastingShrinkage {
    /// The net share of the resin.
    Net,
    /// Factors of rubber and resin at these temperatures.
    Factors {
        /// Temperature at which the rubber cures, °C.
        rubber_cure_c: f64,
        /// Temperature of the mould when the resin is poured, °C.
        mould_c: f64,
        /// Temperature at which the resin gels, °C.
        gel_c: f64,
        /// Linear expansion of the master, 1/K.
        master_per_k: f64,
    },
}

/// Primer on the master.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Primer {
    /// Thickness that is left on a face after sanding, mm.
    pub thickness_mm: f64,
    /// Standard deviation of the thickness, mm.
    pub spread_mm: f64,
    /// True if gripping faces are masked, so that none stays on them.
    pub masked: bool,
}

/// Pressure vessel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vessel {
    /// Inner diameter, mm.
    pub diameter_mm: f64,
    /// Inner height, mm.
    pub height_mm: f64,
    /// Greatest working pressure over the atmosphere, MPa.
    pub pressure_mpa: f64,
}

/// Process in which a part is cast.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct CastingSettings {
    /// Rubber of the mould.
    pub rubber: MouldRubber,
    /// Resin of the casting.
    pub resin: CastingResin,
    /// True if the spec gives the net shrinkage itself.
    pub learnt: bool,
    /// Temperature at which the silicone cures, °C.
    pub cure_c: f64,
    /// Temperature of the mould when the resin is poured, °C.
    pub mould_c: f64,
    /// Shrinkage from the finished master to the casting.
    pub shrinkage: CastingShrinkage,
    /// Primer on the master.
    pub primer: Primer,
    /// Pressure vessel; absent if none is used.
    pub vessel: Option<Vessel>,
    /// True if there is a vacuum chamber.
    pub vacuum: bool,
    /// Holders in one mould; absent for one of each size.
    pub cavities: Option<u32>,
    /// Castings that are wanted of each holder.
    pub copies: u32,
    /// Slices of each clip that one mould casts beside the holders.
    pub slices: u32,
    /// Tilt of the mould while the resin is poured, rad.
    pub tilt_rad: f64,
    /// Smallest step of the scale, g.
    pub scale_step_g: f64,
}
