//! The force curve of one way, and its peak between the points.

use super::{
    equilibrium::Equilibrium,
    snap_run::{ForcePeak, ForcePoint},
};

/// The curve of one way.
pub(crate) struct ForceCurve {
    inward: bool,
    points: Vec<ForcePoint>,
    /// Greatest strain of the inner faces and sum of the normal forces at each point.
    founds: Vec<(f64, f64)>,
    greatest: usize,
    least_force: f64,
}

impl ForceCurve {
    pub(crate) fn new(inward: bool) -> Self {
        Self { inward, points: Vec::with_capacity(80), founds: Vec::with_capacity(80), greatest: 0, least_force: 0.0 }
    }

    pub(crate) fn push(&mut self, height: f64, found: &Equilibrium) {
        let force = if self.inward { found.load.push } else { -found.load.push };
        self.least_force = self.least_force.min(force);
        if self.points.get(self.greatest).is_none_or(|g| force > g.force_n_per_mm) {
            self.greatest = self.points.len();
        }
        self.founds.push((found.inner, found.load.normals));
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

    /// Whether the force is still at its greatest.
    pub(crate) fn rising(&self) -> bool {
        self.greatest + 1 >= self.points.len()
    }

    /// The peak by a parabola through the greatest point and two points near it.
    ///
    /// Where the floor lets go the force has a corner, and a parabola across it would shoot over. Of the three that
    /// take in the greatest point the flattest counts: it stays on the smooth side of a corner.
    pub(crate) fn peak(&self) -> ForcePeak {
        let top = self.greatest;
        let Some(plain) = self.value_at(top) else { return ForcePeak::default() };
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
            .map(|pair| (pair, self.parabola(pair, &force)))
            .min_by(|a, b| a.1.1.abs().total_cmp(&b.1.1.abs()));
        let Some((pair, (slope, bend))) = flattest else { return plain };
        let at = -0.5 * slope / bend;
        let (x0, x1) = (self.way_from_top(before), self.way_from_top(top + 1));
        if bend >= 0.0 || !(at > x0.min(x1) && at < x0.max(x1)) {
            return plain;
        }
        let value = |read: &dyn Fn(usize) -> f64| {
            let (slope, bend) = self.parabola(pair, read);
            read(top) + (slope + bend * at) * at
        };
        ForcePeak {
            force_n_per_mm: value(&force),
            axis_mm: plain.axis_mm + at,
            opening_mm: value(&|k| self.points[k].opening_mm),
            inner_strain: value(&|k| self.founds[k].0),
            normals_n_per_mm: value(&|k| self.founds[k].1),
        }
    }

    fn value_at(&self, index: usize) -> Option<ForcePeak> {
        let (point, &(inner_strain, normals_n_per_mm)) = (self.points.get(index)?, self.founds.get(index)?);
        let ForcePoint { axis_mm, force_n_per_mm, opening_mm, .. } = *point;
        Some(ForcePeak { force_n_per_mm, axis_mm, opening_mm, inner_strain, normals_n_per_mm })
    }

    fn way_from_top(&self, index: usize) -> f64 {
        self.points[index].axis_mm - self.points[self.greatest].axis_mm
    }

    /// Slope and half the second derivative at the greatest point of the parabola through it and two others.
    fn parabola(&self, (i, j): (usize, usize), read: &dyn Fn(usize) -> f64) -> (f64, f64) {
        let (x1, x2) = (self.way_from_top(i), self.way_from_top(j));
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

    fn track(points: &[(f64, f64)]) -> ForceCurve {
        let mut track = ForceCurve::new(false);
        for &(height, pull) in points {
            let load = ContactLoad { push: -pull, ..ContactLoad::default() };
            track.push(height, &Equilibrium { load, opening: height, ..Equilibrium::default() });
        }
        track
    }

    #[test]
    fn smooth_peak_is_found_between_the_points() {
        let force = |x: f64| (x - 0.43).cos();
        let peak = track(&[0.0, 0.11, 0.3, 0.4, 0.52, 0.6, 0.8].map(|x| (x, force(x)))).peak();
        assert!((peak.force_n_per_mm - 1.0).abs() < 5e-5, "{peak:?}");
        assert!((peak.axis_mm - 0.43).abs() < 2e-3, "{peak:?}");
        assert!((peak.opening_mm - peak.axis_mm).abs() < 1e-12);
    }

    /// A steep rise to a gentle fall, as where a barrel leaves the floor: figures of a real run.
    #[test]
    fn corner_is_not_overshot() {
        let points = [(0.6207, 0.0018), (0.6316, 0.7751), (0.65, 0.7742), (0.6813, 0.7724), (0.7344, 0.7689)];
        let peak = track(&points).peak();
        assert!(peak.force_n_per_mm < 0.776, "{peak:?}");
        let mirrored = points.map(|(x, f)| (-x, f));
        let peak = track(&[mirrored[4], mirrored[3], mirrored[2], mirrored[1], mirrored[0]]).peak();
        assert!(peak.force_n_per_mm < 0.776, "{peak:?}");
    }

    #[test]
    fn peak_at_an_end_is_the_end() {
        assert!((track(&[(0.0, 1.0), (1.0, 3.0)]).peak().force_n_per_mm - 3.0).abs() < 1e-15);
        assert_eq!(track(&[]).peak(), ForcePeak::default());
    }
}
