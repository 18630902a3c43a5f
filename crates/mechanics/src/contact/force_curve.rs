//! Force curve of the way in or out, and its peak between the points.

use super::{
    equilibrium::Equilibrium,
    snap_run::{ForcePeak, ForcePoint, StrainPeak},
};

/// Points of the force curve on the way in or out.
pub(crate) struct ForceCurve {
    inward: bool,
    points: Vec<ForcePoint>,
    /// Equilibrium at each point.
    states: Vec<Equilibrium>,
    /// Index of the point with the greatest force.
    greatest: usize,
    least_force: f64,
}

/// Vertex of a parabola through a point and two others.
struct Vertex {
    others: (usize, usize),
    /// Height above that of the point, mm.
    offset: f64,
}

impl ForceCurve {
    pub(crate) fn new(inward: bool) -> Self {
        Self { inward, points: Vec::with_capacity(80), states: Vec::with_capacity(80), greatest: 0, least_force: 0.0 }
    }

    pub(crate) fn push(&mut self, height: f64, found: &Equilibrium) {
        let force = self.force_of(found);
        self.least_force = self.least_force.min(force);
        if self.points.get(self.greatest).is_none_or(|g| force > g.force_n_per_mm) {
            self.greatest = self.points.len();
        }
        self.states.push(*found);
        self.points.push(ForcePoint {
            axis_mm: height,
            force_n_per_mm: force,
            opening_mm: found.opening,
            strain: found.strain.strain,
        });
    }

    /// Removes the last point.
    pub(crate) fn pop(&mut self) {
        self.points.pop();
        self.states.pop();
        self.greatest = 0;
        self.least_force = 0.0;
        for (k, point) in self.points.iter().enumerate() {
            self.least_force = self.least_force.min(point.force_n_per_mm);
            if point.force_n_per_mm > self.points[self.greatest].force_n_per_mm {
                self.greatest = k;
            }
        }
    }

    /// Height and force of the point `back` before the last.
    pub(crate) fn point(&self, back: usize) -> Option<(f64, f64)> {
        let index = self.points.len().checked_sub(back + 1)?;
        Some((self.points[index].axis_mm, self.points[index].force_n_per_mm))
    }

    /// Force at a height by a parabola through the last point and two before it, or a line through two. Points that lie
    /// much nearer together than the step to that height are passed over.
    pub(crate) fn predicted_force(&self, height: f64) -> Option<f64> {
        const NEAR: f64 = 0.3;
        let (x0, f0) = self.point(0)?;
        let step = (height - x0).abs();
        let mut chosen: [Option<(f64, f64)>; 2] = [None; 2];
        let mut from = x0;
        let mut back = 1;
        for place in &mut chosen {
            while let Some((x, f)) = self.point(back) {
                back += 1;
                if (x - from).abs() >= NEAR * step {
                    *place = Some((x, f));
                    from = x;
                    break;
                }
            }
        }
        let (x1, f1) = chosen[0]?;
        let slope = (f1 - f0) / (x1 - x0);
        let by = height - x0;
        let Some((x2, f2)) = chosen[1] else { return Some(f0 + slope * by) };
        let bend = ((f2 - f0) / (x2 - x0) - slope) / (x2 - x1);
        Some(f0 + (slope + bend * (height - x1)) * by)
    }

    /// The part of an equilibrium that counts: on the way in a hand may press on the floor as hard as it likes.
    pub(crate) fn counted(&self, found: Equilibrium) -> Equilibrium {
        if self.inward { found.without_floor() } else { found }
    }

    /// Force along the motion.
    pub(crate) fn force_of(&self, found: &Equilibrium) -> f64 {
        if self.inward { found.load.push } else { -found.load.push }
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
    pub(crate) fn peak(&self) -> ForcePeak {
        let top = self.greatest;
        let Some(plain) = self.peak_at(top) else { return ForcePeak::default() };
        let force = |k: usize| self.points[k].force_n_per_mm;
        let Some(vertex) = self.vertex(top, &force) else { return plain };
        let value = |read: &dyn Fn(usize) -> f64| self.at_vertex(top, &vertex, read);
        ForcePeak {
            force_n_per_mm: value(&force),
            axis_mm: plain.axis_mm + vertex.offset,
            opening_mm: value(&|k| self.points[k].opening_mm),
            inner_strain: value(&|k| self.states[k].inner),
            normals_n_per_mm: value(&|k| self.states[k].load.normals),
        }
    }

    /// Greatest strain, by a parabola as for the peak.
    pub(crate) fn greatest_strain(&self) -> StrainPeak {
        let (strain, top, offset) = self.greatest_of(&|k| self.points[k].strain);
        let Some(state) = self.states.get(top) else { return StrainPeak::default() };
        StrainPeak { strain, axis_mm: state.strain.axis_mm + offset, ..state.strain }
    }

    /// Greatest opening of the lips, mm.
    pub(crate) fn greatest_opening_mm(&self) -> f64 {
        self.greatest_of(&|k| self.points[k].opening_mm).0.max(0.0)
    }

    /// Greatest strain of the inner faces and least strain of the outer faces.
    pub(crate) fn face_strains(&self) -> (f64, f64) {
        (
            self.greatest_of(&|k| self.states[k].inner).0.max(0.0),
            -self.greatest_of(&|k| -self.states[k].outer).0.max(0.0),
        )
    }

    /// Greatest value of a quantity, the point where it is greatest, and the height of the value above that point, mm.
    fn greatest_of(&self, read: &dyn Fn(usize) -> f64) -> (f64, usize, f64) {
        let Some(top) = (0..self.points.len()).reduce(|top, k| if read(k) > read(top) { k } else { top }) else {
            return (0.0, 0, 0.0);
        };
        match self.vertex(top, read) {
            Some(vertex) => (self.at_vertex(top, &vertex, read), top, vertex.offset),
            None => (read(top), top, 0.0),
        }
    }

    /// Vertex of a parabola through the point where a quantity is greatest and two points near it; `None` if it does not
    /// lie between the neighbours of that point.
    ///
    /// The force has a corner where the section leaves the floor, and a parabola across it would overshoot. Of the
    /// three parabolas through the point the flattest counts: it stays on the smooth side of a corner.
    fn vertex(&self, top: usize, read: &dyn Fn(usize) -> f64) -> Option<Vertex> {
        let before = top.checked_sub(1)?;
        if top + 1 >= self.points.len() {
            return None;
        }
        let pairs = [top.checked_sub(2).map(|k| (k, before)), Some((before, top + 1)), Some((top + 1, top + 2))];
        let (others, (slope, bend)) = pairs
            .into_iter()
            .flatten()
            .filter(|&(_, last)| last < self.points.len())
            .map(|(i, j)| ((i, j), self.parabola(top, (i, j), read)))
            .min_by(|a, b| a.1.1.abs().total_cmp(&b.1.1.abs()))?;
        let offset = -0.5 * slope / bend;
        let (x0, x1) = (self.offset_from(top, before), self.offset_from(top, top + 1));
        (bend < 0.0 && offset > x0.min(x1) && offset < x0.max(x1)).then_some(Vertex { others, offset })
    }

    /// Value of a quantity at a vertex.
    fn at_vertex(&self, top: usize, vertex: &Vertex, read: &dyn Fn(usize) -> f64) -> f64 {
        let (slope, bend) = self.parabola(top, vertex.others, read);
        read(top) + (slope + bend * vertex.offset) * vertex.offset
    }

    /// The point itself as a peak.
    fn peak_at(&self, index: usize) -> Option<ForcePeak> {
        let (point, state) = (self.points.get(index)?, self.states.get(index)?);
        Some(ForcePeak {
            force_n_per_mm: point.force_n_per_mm,
            axis_mm: point.axis_mm,
            opening_mm: point.opening_mm,
            inner_strain: state.inner,
            normals_n_per_mm: state.load.normals,
        })
    }

    fn offset_from(&self, top: usize, index: usize) -> f64 {
        self.points[index].axis_mm - self.points[top].axis_mm
    }

    /// Slope and half the second derivative at point `top` of the parabola through it and two others.
    fn parabola(&self, top: usize, others: (usize, usize), read: &dyn Fn(usize) -> f64) -> (f64, f64) {
        let chord = |k: usize| {
            let x = self.offset_from(top, k);
            (x, (read(k) - read(top)) / x)
        };
        let ((x1, d1), (x2, d2)) = (chord(others.0), chord(others.1));
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
