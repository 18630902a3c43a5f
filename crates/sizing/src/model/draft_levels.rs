//! Levels over which a drafted part is integrated.

use crate::limits::design_limits::DesignLimits;

/// Insets of seat and back (mm) at the levels over which a drafted part is integrated.
///
/// The stiffness of a wall goes with its third power, which two Gauss points over the length from the parting plane to an end integrate exactly.
pub(crate) fn draft_levels(length_mm: f64, limits: &DesignLimits) -> Vec<(f64, f64)> {
    const GAUSS: [f64; 2] = [0.211_324_865_405_187_1, 0.788_675_134_594_812_9];
    let end = limits.end_inset_mm(length_mm);
    if end <= 0.0 {
        return vec![(0.0, 0.0)];
    }
    let seat = limits.drafted_faces() - 1.0;
    GAUSS.iter().map(|place| (seat * place * end, place * end)).collect()
}

#[cfg(test)]
mod tests {
    use gripwright_input::{GrippingFaces, Parting};
    use gripwright_mechanics::{ElasticMaterial, Interval};

    use super::*;

    fn limits(parting: Parting, gripping_faces: GrippingFaces) -> DesignLimits {
        let elastic = ElasticMaterial {
            modulus_mpa: Interval::exactly(1000.0),
            poisson: 0.4,
            friction: Interval::exactly(0.3),
            yield_strain: 0.05,
        };
        let mut limits = DesignLimits::of_material(elastic, 0.02, 50.0);
        (limits.finish.draft_rad, limits.finish.parting) = (2.0_f64.to_radians(), parting);
        limits.finish.gripping_faces = gripping_faces;
        limits
    }

    /// Two parts that part at their ends, put back to back, are one that parts in the middle.
    #[test]
    fn a_part_that_parts_at_its_end_is_half_of_one_that_parts_in_the_middle() {
        for faces in [GrippingFaces::Straight, GrippingFaces::Drafted] {
            let (end, middle) = (limits(Parting::End, faces), limits(Parting::Middle, faces));
            assert_eq!(draft_levels(9.0, &end), draft_levels(18.0, &middle));
            let walls = [end.least_wall_at_parting_mm(9.0), middle.least_wall_at_parting_mm(18.0)];
            assert_eq!(walls[0].to_bits(), walls[1].to_bits());
        }
    }

    /// The mean of the cubes of a wall that thins evenly from 3 mm to 3 mm − 9 mm tan 2° is that over the levels: the
    /// integral is (a⁴ − b⁴) / (4 (a − b)).
    #[test]
    fn two_levels_integrate_the_stiffness_of_a_wall_over_the_full_length() {
        let levels = draft_levels(9.0, &limits(Parting::End, GrippingFaces::Straight));
        let mean = levels.iter().map(|(_, back)| (3.0 - back).powi(3)).sum::<f64>() / levels.len() as f64;
        let thin = 3.0 - 9.0 * 0.034_920_769_491_747_73;
        let wanted = (3.0_f64.powi(4) - f64::powi(thin, 4)) / (4.0 * (3.0 - thin));
        assert!((mean - wanted).abs() < 1e-9, "{mean} {wanted}");
    }
}
