//! Strains along an arm at one moment, as a result.

/// Strains of both faces of an arm at one place.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FacePairStrain {
    /// Length of centreline from the effective clamp, mm.
    pub from_clamp_mm: f64,
    /// Strain of the inner face; tension is positive.
    pub inner: f64,
    /// Strain of the outer face; tension is positive.
    pub outer: f64,
}

/// Strains along the arm that is strained most, at the moment of its greatest strain.
#[derive(Clone, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct ArmStrains {
    /// Height of the barrel's or body's axis at that moment, mm.
    pub axis_mm: f64,
    /// True if it is on the way in.
    pub on_the_way_in: bool,
    /// Strains from the place from which on they count to the lip.
    pub along: Vec<FacePairStrain>,
}

impl ArmStrains {
    /// Greatest strain of either face, whatever its sign.
    pub fn greatest(&self) -> f64 {
        self.along.iter().map(|at| at.inner.abs().max(at.outer.abs())).fold(0.0, f64::max)
    }
}
