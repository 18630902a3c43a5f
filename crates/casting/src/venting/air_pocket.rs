//! Openings of a cavity, and the air that they leave behind.

use gripwright_solid::Point3;

/// Sprue or vent. It lets air out wherever the surface lies within its radius.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Opening {
    /// Point on the surface of the cavity, mm.
    pub at_mm: Point3,
    /// Radius, mm.
    pub radius_mm: f64,
}

/// Limits of a search for trapped air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirLimits {
    /// Least slope of a ceiling along which air rises, rad. Flatter ceilings and ridges are flat tops. The default of 3° is
    /// a judgement, without a source.
    pub least_slope_rad: f64,
    /// Greatest volume of a pocket that needs no vent, mm³. The default is a bubble of 1 mm.
    pub negligible_mm3: f64,
}

impl Default for AirLimits {
    fn default() -> Self {
        Self { least_slope_rad: 3.0_f64.to_radians(), negligible_mm3: std::f64::consts::PI / 6.0 }
    }
}

/// Air that finds no way out of a cavity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirPocket {
    /// Highest point of the surface round the pocket, mm. On a flat ceiling it is the vertex that lies nearest to the mean
    /// of all its vertices within 0.001 mm of the top.
    pub highest_mm: Point3,
    /// Height of the highest point along the upward direction from the origin, mm.
    pub top_height_mm: f64,
    /// Height of the resin at which the pocket is cut off, mm.
    pub spill_height_mm: f64,
    /// Volume of the cavity between the two, mm³.
    pub volume_mm3: f64,
    /// Area of the resin's level in the pocket at the spill height, mm².
    pub area_mm2: f64,
    /// Area of the surface that stays dry, mm².
    pub wall_area_mm2: f64,
}

/// Result of a search for trapped air, highest pockets first.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TrappedAir {
    /// Pockets above [`AirLimits::negligible_mm3`].
    pub pockets: Vec<AirPocket>,
    /// Smaller pockets. Those below 10⁻⁶ mm³ are rounding and left out.
    pub negligible: Vec<AirPocket>,
}

/// Ceiling or ridge along which air does not rise, since it is flatter than [`AirLimits::least_slope_rad`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlatTop {
    /// Vertex of the flat top that is nearest to the mean of its vertices, mm.
    pub middle_mm: Point3,
    /// Area of its ceilings, mm²; zero for a sharp ridge.
    pub area_mm2: f64,
    /// Greatest distance between two of its vertices, as seen from one end, mm.
    pub extent_mm: f64,
}

/// Reason why a cavity cannot be searched.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CavityError {
    /// A side of a triangle does not have exactly one opposite side.
    #[error("the surface of the cavity is not closed at triangle {triangle}")]
    NotClosed {
        /// Index of the triangle.
        triangle: usize,
    },
    /// The surface has no triangle, or a vertex that is not a number.
    #[error("the surface of the cavity is empty or not finite")]
    NoSurface,
    /// The upward direction has no length.
    #[error("the upward direction {up:?} has no length")]
    NoDirection {
        /// Direction asked for.
        up: Point3,
    },
    /// The planner has no attitude to try.
    #[error("there is no attitude in which the mould may be poured")]
    NoAttitude,
    /// No point of the surface lies in the place of the sprue.
    #[error("no point of the surface lies where the sprue may stand")]
    NoSpruePlace,
}
