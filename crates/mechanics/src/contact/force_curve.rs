//! Force curve of the way in or out, and its peak between the points.

use super::{
    equilibrium::Equilibrium,
    snap_run::{ForcePeak, ForcePoint},
};

/// Points of the force curve on the way in or out.
pub(crate) struct ForceCurve {
    inward: bool,
    points: Vec<ForcePoint>,
    states: Vec<PointState>,
    /// Index of the point with the greatest force.
    greatest: usize,
    least_force: f64,
}

/// Further quantities at a point of the curve.
#[derive(Clone, Copy)]
struct PointState {
    /// Greatest strain of the inner faces.
    inner_strain: f64,
    /// Sum of the normal forces, N/mm.
    normals: f64,
}

impl ForceCurve {
    pub(crate) fn new(inward: bool) -> Self {
        Self { inward, points: Vec::with_capacity(80), states: Vec::with_capacity(80), greatest: 0, least_force: 0.0 }
    }

    pub(crate) fn push(&mut self, height: f64, found: &Equilibrium) {
        let force = if self.inward { found.load.push } else { -found.load.push };
        self.least_force = self.least_force.min(force);
        if self.points.get(self.greatest).is_none_or(|g| force > g.force_n_per_mm) {
            self.greatest = self.points.len();
        }
        self.states.push(PointState { inner_strain: found.inner, normals: found.load.normals });
        self.points.push(ForcePoint {
            axis_mm: height,
            force_n_per_mm: force,
            opening_mm: found.opening,
            strain: found.strain.strain,
        });
    }

    pub(crate) fn into_points(self) -> Vec<ForcePoint> {
        self.points
    }

    pub(crate) fn inward(&self) -> bool {
        self.inward
    }

    pub(crate) fn greatest_force(&self) -> f64 {
        self.points.get(self.greatest).map_or(0.0, |p| p.force_n_per_mm)
    }

    pub(crate) fn least_force(&self) -> f64 {
        self.least_force
    }

    pub(crate) fn last_force(&self) -> f64 {
        self.points.last().map_or(0.0, |p| p.force_n_per_mm)
    }

    /// True if the last point has the greatest force.
    pub(crate) fn rising(&self) -> bool {
        self.greatest + 1 >= self.points.len()
    }

    /// Returns the peak by a parabola through the greatest point and two points near it.
    ///
    /// The force has a corner where the section leaves the floor, and a parabola across it would overshoot. Of the
    /// three parabolas through the greatest point the flattest counts: it stays on the smooth side of a corner.
    pub(crate) fn peak(&self) -> ForcePeak {
        let top = self.greatest;
        let Some(plain) = self.peak_at(top) else { return ForcePeak::default() };
        let Some(before) = top.checked_sub(1) else { return plain };
        if top + 1 >= self.points.len() {
            return plain;
        }
        let force = |k: usize| self.points[k].force_n_per_mm;
        let pairs = [top.checked_sub(2).map(|k| (k, before)), Some((before, top + 1)), Some((top + 1, top + 2))];
        let flattest = pairs
            .into_iter()
            .flatten()
            .filter(|&(_, last)| last < self.points.len())
            .map(|(i, j)| ((i, j), self.parabola(i, j, &force)))
            .min_by(|a, b| a.1.1.abs().total_cmp(&b.1.1.abs()));
        let Some(((i, j), (slope, bend))) = flattest else { return plain };
        let at = -0.5 * slope / bend;
        let (x0, x1) = (self.offset_from_peak(before), self.offset_from_peak(top + 1));
        if bend >= 0.0 || !(at > x0.min(x1) && at < x0.max(x1)) {
            return plain;
        }
        let value = |read: &dyn Fn(usize) -> f64| {
            let (slope, bend) = self.parabola(i, j, read);
            read(top) + (slope + bend * at) * at
        };
        ForcePeak {
            force_n_per_mm: value(&force),
            axis_mm: plain.axis_mm + at,
            opening_mm: value(&|k| self.points[k].opening_mm),
            inner_strain: value(&|k| self.states[k].inner_strain),
            normals_n_per_mm: value(&|k| self.states[k].normals),
        }
    }

    /// The point itself as a peak.
    fn peak_at(&self, index: usize) -> Option<ForcePeak> {
        let (point, state) = (self.points.get(index)?, self.states.get(index)?);
        let ForcePoint { axis_mm, force_n_per_mm, opening_mm, .. } = *point;
        let PointState { inner_strain, normals } = *state;
        Some(ForcePeak { force_n_per_mm, axis_mm, opening_mm, inner_strain, normals_n_per_mm: normals })
    }

    fn offset_from_peak(&self, index: usize) -> f64 {
        self.points[index].axis_mm - self.points[self.greatest].axis_mm
    }

    /// Slope and half the second derivative at the greatest point of the parabola through it and two others.
    fn parabola(&self, i: usize, j: usize, read: &dyn Fn(usize) -> f64) -> (f64, f64) {
        let (x1, x2) = (self.offset_from_peak(i), self.offset_from_peak(j));
        let chord = |k: usize, x: f64| (read(k) - read(self.greatest)) / x;
        let (d1, d2) = (chord(i, x1), chord(j, x2));
        let bend = (d1 - d2) / (x1 - x2);
        (d1 - bend * x1, bend)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::contact::arm_solver::ContactLoad;

    fn curve_of(points: &[(f64, f64)]) -> ForceCurve {
        let mut curve = ForceCurve::new(false);
        for &(height, pull) in points {
            let load = ContactLoad { push: -pull, ..ContactLoad::default() };
            curve.push(height, &Equilibrium { load, opening: height, ..Equilibrium::default() });
        }
        curve
    }

    #[test]
    fn smooth_peak_is_found_between_the_points() {
        let force = |x: f64| (x - 0.43).cos();
        let peak = curve_of(&[0.0, 0.11, 0.3, 0.4, 0.52, 0.6, 0.8].map(|x| (x, force(x)))).peak();
        assert!((peak.force_n_per_mm - 1.0).abs() < 5e-5, "{peak:?}");
        assert!((peak.axis_mm - 0.43).abs() < 2e-3, "{peak:?}");
        assert!((peak.opening_mm - peak.axis_mm).abs() < 1e-12);
    }

    /// A steep rise to a gentle fall, as where a barrel leaves the floor: values of a real simulation.
    #[test]
    fn corner_is_not_overshot() {
        let points = [(0.6207, 0.0018), (0.6316, 0.7751), (0.65, 0.7742), (0.6813, 0.7724), (0.7344, 0.7689)];
        let peak = curve_of(&points).peak();
        assert!(peak.force_n_per_mm < 0.776, "{peak:?}");
        let mirrored = points.map(|(x, f)| (-x, f));
        let peak = curve_of(&[mirrored[4], mirrored[3], mirrored[2], mirrored[1], mirrored[0]]).peak();
        assert!(peak.force_n_per_mm < 0.776, "{peak:?}");
    }

    #[test]
    fn peak_at_an_end_is_the_end() {
        assert!((curve_of(&[(0.0, 1.0), (1.0, 3.0)]).peak().force_n_per_mm - 3.0).abs() < 1e-15);
        assert_eq!(curve_of(&[]).peak(), ForcePeak::default());
    }
}
