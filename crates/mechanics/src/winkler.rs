//! Stiffness of bars that are curved from the start: the stress is hyperbolic across the section.
//!
//! Winkler–Bach theory, as in Shigley's *Mechanical Engineering Design*, 9th ed., §3–18, and *Machinery's Handbook*,
//! 31st ed., "Curved Beams". It holds for sections that stay plane, loads in the plane of curvature, and small strains.

/// Stiffness of a curved rectangular section of unit width and unit modulus, about its centreline.
///
/// N = `stretch` ε + `couple` κ and M = `couple` ε + `bend` κ. κ is the increase of curvature; the fibre strain is
/// (ε + z κ) / (1 + z / R), z outward. Reissner–Winkler section, exact for plane sections.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct SectionStiffness {
    /// Normal force per strain, mm.
    pub(crate) stretch: f64,
    /// Normal force per curvature, mm².
    pub(crate) couple: f64,
    /// Moment per curvature, mm³.
    pub(crate) bend: f64,
}

/// Strain and change of curvature of a centreline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct CentrelineDeformation {
    /// Strain ε.
    pub(crate) strain: f64,
    /// Change of curvature κ, 1/mm.
    pub(crate) curvature: f64,
}

/// Returns the stiffness of a wall of thickness `wall_mm` on a centreline of this curvature (zero for a straight wall).
pub(crate) fn section_stiffness(wall_mm: f64, curvature_per_mm: f64) -> SectionStiffness {
    let h = 0.5 * wall_mm * curvature_per_mm;
    // (J0 − t) / (t h²): the logarithm cancels badly for thin walls, where its series is exact to rounding.
    let excess = if h.abs() < 0.1 {
        let s = h * h;
        1.0 / 3.0 + s * (1.0 / 5.0 + s * (1.0 / 7.0 + s * (1.0 / 9.0 + s * (1.0 / 11.0 + s / 13.0))))
    } else {
        (((1.0 + h) / (1.0 - h)).ln() / (2.0 * h) - 1.0) / (h * h)
    };
    let bend = 0.25 * wall_mm.powi(3) * excess;
    SectionStiffness { stretch: wall_mm * (1.0 + h * h * excess), couple: -bend * curvature_per_mm, bend }
}

impl SectionStiffness {
    /// Returns the deformation of the centreline under a normal force and a moment, for unit modulus.
    pub(crate) fn deformation(&self, normal: f64, moment: f64) -> CentrelineDeformation {
        let determinant = self.stretch * self.bend - self.couple * self.couple;
        CentrelineDeformation {
            strain: (self.bend * normal - self.couple * moment) / determinant,
            curvature: (self.stretch * moment - self.couple * normal) / determinant,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Radius of the neutral axis of a rectangular section between two radii (mm): h / ln(outer / inner).
    fn neutral_radius_mm(inner_radius_mm: f64, outer_radius_mm: f64) -> f64 {
        (outer_radius_mm - inner_radius_mm) / (outer_radius_mm / inner_radius_mm).ln()
    }

    /// Ratio of the bending stress of a curved bar to that of the straight-beam formula M c / I.
    #[derive(Clone, Copy, Debug, PartialEq)]
    struct StressFactors {
        /// At the inner face.
        inside: f64,
        /// At the outer face.
        outside: f64,
    }

    /// Stress factors of a rectangular section of half height `c` on a centreline of radius R, for R/c greater than
    /// one.
    fn stress_factors(radius_over_half_height: f64) -> StressFactors {
        let r = radius_over_half_height;
        let neutral = neutral_radius_mm(r - 1.0, r + 1.0);
        let eccentricity = r - neutral;
        // With c = 1 and unit width: M c / I = 1.5 M, and σ = M (r_n − r) / (A e r).
        let stress = |radius: f64| (neutral - radius) / (2.0 * eccentricity * radius) / 1.5;
        StressFactors { inside: stress(r - 1.0), outside: -stress(r + 1.0) }
    }

    /// *Machinery's Handbook*, 31st ed., "Curved Beams", Table 4, p. 275, rectangular section, with the exact values
    /// of the formula beside: R/c, K inside and outside (table), K inside and outside (exact).
    const TABLE: [[f64; 5]; 10] = [
        [1.2, 2.89, 0.57, 2.888, 0.566],
        [1.4, 2.13, 0.63, 2.103, 0.628],
        [1.6, 1.79, 0.67, 1.798, 0.671],
        [1.8, 1.63, 0.70, 1.631, 0.704],
        [2.0, 1.52, 0.73, 1.523, 0.730],
        [3.0, 1.30, 0.81, 1.288, 0.810],
        [4.0, 1.20, 0.85, 1.200, 0.853],
        [6.0, 1.12, 0.90, 1.124, 0.898],
        [8.0, 1.09, 0.92, 1.090, 0.922],
        [10.0, 1.07, 0.94, 1.071, 0.937],
    ];

    #[test]
    fn stress_factors_agree_with_the_handbook() {
        for [ratio, inside_table, outside_table, inside, outside] in TABLE {
            let found = stress_factors(ratio);
            // The table is rounded: 1.3 % at R/c = 1.4.
            assert!((found.inside / inside_table - 1.0).abs() < 0.015, "inside at {ratio}: {found:?}");
            assert!((found.outside / outside_table - 1.0).abs() < 0.015, "outside at {ratio}: {found:?}");
            assert!((found.inside - inside).abs() < 6e-4, "inside at {ratio}: {found:?}");
            assert!((found.outside - outside).abs() < 6e-4, "outside at {ratio}: {found:?}");
        }
    }

    /// Shigley's *Mechanical Engineering Design*, 9th ed., Fig. 3–35 (crane hook, p. 120); the force from memory.
    #[test]
    fn crane_hook_agrees_with_the_textbook() {
        let (width, inner, outer, force) = (0.75, 2.0, 6.0, 5000.0);
        let area = width * (outer - inner);
        let neutral = neutral_radius_mm(inner, outer);
        let centroid: f64 = 0.5 * (inner + outer);
        let eccentricity = centroid - neutral;
        assert!((neutral - 3.641).abs() < 5e-4);
        assert!((eccentricity - 0.359).abs() < 5e-4);
        let stress = |r: f64| force / area + force * centroid * (neutral - r) / (area * eccentricity * r);
        assert!((stress(inner) / 16_900.0 - 1.0).abs() < 0.005, "{}", stress(inner));
        assert!((stress(outer) / -5_630.0 - 1.0).abs() < 0.005, "{}", stress(outer));
    }

    #[test]
    fn section_stiffness_gives_the_same_stress_as_the_factors() {
        for ratio in [1.4_f64, 2.0, 4.0, 9.0, 10.1, 40.0] {
            let (wall, radius) = (2.0, ratio);
            let found = section_stiffness(wall, 1.0 / radius).deformation(0.0, -1.0);
            let inner = (found.strain - 0.5 * wall * found.curvature) / (1.0 - 0.5 * wall / radius);
            let straight = 6.0 / (wall * wall);
            assert!((inner / straight - stress_factors(ratio).inside).abs() < 1e-9, "at R/c = {ratio}");
        }
    }

    #[test]
    fn straight_wall_is_the_engineers_beam() {
        let stiffness = section_stiffness(1.5, 0.0);
        assert!((stiffness.stretch - 1.5).abs() < 1e-12);
        assert!((stiffness.bend - 1.5_f64.powi(3) / 12.0).abs() < 1e-12);
        assert!(stiffness.couple.abs() < 1e-12);
    }
}
