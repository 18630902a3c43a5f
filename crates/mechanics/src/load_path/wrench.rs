//! Forces with the moments that they exert about a point.

/// Force at a point, in the axes of the holder.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PointLoad {
    /// Force, N.
    pub force_n: [f64; 3],
    /// Point at which it acts, mm.
    pub at_mm: [f64; 3],
}

/// Force and moment about a point.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Wrench {
    /// Force, N.
    pub force_n: [f64; 3],
    /// Moment about the point, N mm.
    pub moment_nmm: [f64; 3],
}

impl Wrench {
    /// Returns the wrench of loads about a point (mm).
    pub fn of_loads(loads: &[PointLoad], about_mm: [f64; 3]) -> Self {
        loads.iter().fold(Self::default(), |sum, load| {
            let arm = difference(load.at_mm, about_mm);
            sum.plus(Self { force_n: load.force_n, moment_nmm: cross(arm, load.force_n) })
        })
    }

    /// Returns the sum of two wrenches about one point.
    #[must_use]
    pub fn plus(self, other: Self) -> Self {
        Self { force_n: sum(self.force_n, other.force_n), moment_nmm: sum(self.moment_nmm, other.moment_nmm) }
    }

    /// Returns the same wrench about another point: `from_mm` is the present one.
    #[must_use]
    pub fn moved(self, from_mm: [f64; 3], to_mm: [f64; 3]) -> Self {
        let arm = difference(from_mm, to_mm);
        Self { moment_nmm: sum(self.moment_nmm, cross(arm, self.force_n)), ..self }
    }
}

pub(crate) fn sum(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

pub(crate) fn difference(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(crate) fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(crate) fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}
