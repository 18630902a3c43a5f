//! Displacement of a point of the tool when its web bends under the working load, in any direction.

use crate::web_beam::WebBeam;

/// Working load on a tool: a force across its axis in any direction, and a force along it in either direction.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct WorkingLoad {
    /// Force across the axis, N.
    pub across_n: f64,
    /// Force along the axis, N.
    pub along_n: f64,
    /// Place of the force across, along the tool from the middle of the clips, mm.
    pub at_mm: f64,
}

/// Displacement of a point of the tool, mm, by its causes. For beams that stand on each other they add up.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct PointDisplacement {
    /// Displacement across the web under the force across.
    pub sideways: f64,
    /// Displacements along the web's own axis and along the tool's, under the force across when it acts along the web.
    pub in_plane: [f64; 2],
    /// Displacements along the same two axes under the force along the tool.
    pub pushed: [f64; 2],
}

impl PointDisplacement {
    /// Returns the sum of both: the displacement for one beam that stands on another.
    #[must_use]
    pub fn plus(self, other: Self) -> Self {
        let sum = |a: [f64; 2], b: [f64; 2]| [a[0] + b[0], a[1] + b[1]];
        Self {
            sideways: self.sideways + other.sideways,
            in_plane: sum(self.in_plane, other.in_plane),
            pushed: sum(self.pushed, other.pushed),
        }
    }

    /// Greatest distance of the point from its place, mm, over all directions of both forces.
    pub fn greatest_mm(&self) -> f64 {
        let (side, plane) = (self.sideways.abs(), self.in_plane[0].hypot(self.in_plane[1]));
        let pushed = self.pushed[0].hypot(self.pushed[1]);
        // A force at an angle whose sine is s moves it by side √(1 − s²) sideways and at most plane s + pushed in the
        // plane; the square of that is greatest at s = plane pushed / (side² − plane²), or at the end of the range.
        let room = side * side - plane * plane;
        let worst = if room > plane * pushed { plane * pushed / room } else { 1.0 };
        (side * (1.0 - worst * worst).sqrt()).hypot(plane * worst + pushed)
    }
}

impl WebBeam {
    /// Returns the displacement of the point where the force across acts.
    ///
    /// Sideways the web bends and twists ([`WebBeam::state_under`]). In its own plane, a force along the web stretches
    /// it and bends it by its moment about the web's middle. A force along the tool bends it as a cantilever with a
    /// lever.
    pub fn displacement(&self, load: &WorkingLoad, modulus_mpa: f64, poisson: f64) -> PointDisplacement {
        let (l, a, ahead) = (self.length_mm, self.lever_mm, load.at_mm);
        let area_mm2 = self.width_mm * self.depth_mm;
        let bending = modulus_mpa * area_mm2 * self.depth_mm * self.depth_mm / 12.0;
        let shear = modulus_mpa / (2.0 * (1.0 + poisson)) * area_mm2;
        let across = load.across_n;
        let tilt_rad = across * ahead * l / bending;
        let pushed_tilt_rad = load.along_n * l * (0.5 * l + a) / bending;
        PointDisplacement {
            sideways: self.state_under(across, ahead, modulus_mpa, poisson).displacement_mm(ahead),
            in_plane: [
                across * l / (modulus_mpa * area_mm2) + tilt_rad * ahead,
                across * ahead * l * (0.5 * l + a) / bending,
            ],
            pushed: [
                pushed_tilt_rad * ahead,
                load.along_n * ((l * l * l / 3.0 + l * l * a + l * a * a) / bending + 1.2 * l / shear),
            ],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Displacements by the unit-load method, all inner forces summed numerically along the web: an independent way to
    /// the same values. Axes: x across the web, y along it, z along the tool.
    fn by_unit_loads(web: &WebBeam, force: [f64; 3], ahead: f64, modulus: f64, poisson: f64) -> [f64; 3] {
        const STEPS: usize = 20_000;
        let (w, d) = (web.width_mm, web.depth_mm);
        let (area, g) = (w * d, modulus / (2.0 * (1.0 + poisson)));
        let twist = crate::torsion::torsion_constant_mm4(w, d);
        // Moments of a force at (0, length + lever, ahead) about a place (0, y, 0) of the web.
        let moments = |f: [f64; 3], y: f64| {
            let r = [0.0, web.length_mm + web.lever_mm - y, ahead];
            [r[1] * f[2] - r[2] * f[1], r[2] * f[0] - r[0] * f[2], r[0] * f[1] - r[1] * f[0]]
        };
        let step = web.length_mm / STEPS as f64;
        let mut out = [0.0; 3];
        for (axis, moved) in out.iter_mut().enumerate() {
            let mut unit = [0.0; 3];
            unit[axis] = 1.0;
            for k in 0..STEPS {
                let y = (k as f64 + 0.5) * step;
                let (m, n) = (moments(force, y), moments(unit, y));
                *moved += step
                    * (m[0] * n[0] / (modulus * w * d.powi(3) / 12.0)
                        + m[1] * n[1] / (g * twist)
                        + m[2] * n[2] / (modulus * d * w.powi(3) / 12.0)
                        + 1.2 * (force[0] * unit[0] + force[2] * unit[2]) / (g * area)
                        + force[1] * unit[1] / (modulus * area));
            }
        }
        out
    }

    #[test]
    fn moves_are_those_of_unit_loads() {
        for (web, ahead) in [
            (WebBeam { length_mm: 12.0, width_mm: 6.0, depth_mm: 18.0, lever_mm: 9.0 }, 40.0),
            (WebBeam { length_mm: 30.0, width_mm: 9.0, depth_mm: 5.0, lever_mm: 4.0 }, 25.0),
            (WebBeam { length_mm: 3.0, width_mm: 4.0, depth_mm: 8.0, lever_mm: 0.0 }, 0.0),
        ] {
            let load = WorkingLoad { across_n: 3.0, along_n: 2.0, at_mm: ahead };
            let found = web.displacement(&load, 1900.0, 0.38);
            let near = |a: f64, b: f64| assert!((a - b).abs() <= 1e-6 * b.abs() + 1e-12, "{a} against {b}");
            let [x, ..] = by_unit_loads(&web, [3.0, 0.0, 0.0], ahead, 1900.0, 0.38);
            near(found.sideways.abs(), x.abs());
            let [_, y, z] = by_unit_loads(&web, [0.0, 3.0, 0.0], ahead, 1900.0, 0.38);
            near(found.in_plane[0], y);
            near(found.in_plane[1].abs(), z.abs());
            let [_, y, z] = by_unit_loads(&web, [0.0, 0.0, 2.0], ahead, 1900.0, 0.38);
            near(found.pushed[0].abs(), y.abs());
            near(found.pushed[1], z);
        }
    }

    /// No direction of either force moves the point farther than the bound.
    #[test]
    fn greatest_displacement_is_a_bound() {
        let web = WebBeam { length_mm: 14.0, width_mm: 7.0, depth_mm: 9.0, lever_mm: 8.0 };
        let load = WorkingLoad { across_n: 3.0, along_n: 2.0, at_mm: 30.0 };
        let most = web.displacement(&load, 2000.0, 0.38).greatest_mm();
        let mut greatest: f64 = 0.0;
        for turn in 0..72 {
            let (sin, cos) = (f64::from(turn) * 5.0).to_radians().sin_cos();
            let [x, y, z] = by_unit_loads(&web, [3.0 * cos, 3.0 * sin, 2.0], 30.0, 2000.0, 0.38);
            greatest = greatest.max(x.hypot(y).hypot(z));
        }
        assert!(greatest <= most + 1e-9 && most < 1.1 * greatest, "{greatest} {most}");
    }
}
