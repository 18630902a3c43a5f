//! Bubbles under pressure and vacuum, silicone's modulus from its hardness, and forces on lids.

/// Standard atmosphere, MPa.
pub const ATMOSPHERE_MPA: f64 = 0.101_325;
/// Acceleration of free fall, m/s².
const GRAVITY: f64 = 9.806_65;

/// Diameter of a trapped bubble under a gauge pressure (MPa), over that at the atmosphere: Boyle's law. An upper bound, since
/// gas also dissolves.
pub fn bubble_diameter_ratio(gauge_mpa: f64) -> f64 {
    (ATMOSPHERE_MPA / (ATMOSPHERE_MPA + gauge_mpa)).cbrt()
}

/// Volume of a trapped bubble under a vacuum of some absolute pressure (MPa), over that at the atmosphere: by so much
/// material may rise.
pub fn vacuum_rise(absolute_mpa: f64) -> f64 {
    ATMOSPHERE_MPA / absolute_mpa
}

/// Force on a round lid, N: of a diameter (mm) under a pressure (MPa).
pub fn lid_force_n(diameter_mm: f64, pressure_mpa: f64) -> f64 {
    0.25 * std::f64::consts::PI * diameter_mm * diameter_mm * pressure_mpa
}

/// Young's modulus of a rubber, MPa, from its hardness on the scale Shore A (20 to 80): Gent's relation (A. N. Gent, "On the
/// relation between indentation hardness and Young's modulus", 1958; from memory).
pub fn rubber_modulus_mpa(shore_a: f64) -> f64 {
    0.0981 * (56.0 + 7.66 * shore_a) / (0.137_505 * (254.0 - 2.54 * shore_a))
}

/// Velocity at which a small bubble rises, mm/s, by Stokes' law: its diameter (mm), viscosity (Pa s) and density (kg/m³) of
/// what surrounds it.
pub fn bubble_rise_mm_s(diameter_mm: f64, viscosity_pa_s: f64, density_kg_m3: f64) -> f64 {
    let radius_m = 0.5e-3 * diameter_mm;
    1e3 * 2.0 * radius_m * radius_m * density_kg_m3 * GRAVITY / (9.0 * viscosity_pa_s)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Boyle's law by hand for gauge pressures of 4 bar, 60 psi, 40 psi and 6 bar.
    #[test]
    fn bubbles_shrink_under_pressure() {
        for (gauge_mpa, ratio) in [(0.4, 0.5869), (0.4137, 0.5816), (0.276, 0.6452), (0.6, 0.5247)] {
            assert!((bubble_diameter_ratio(gauge_mpa) - ratio).abs() < 2e-4, "{gauge_mpa}");
        }
    }

    /// Gauges of 27, 28 and 29 inHg at a barometer of 29.92 inHg.
    #[test]
    fn bubbles_grow_in_vacuum() {
        for (absolute_mpa, rise) in [(9.89e-3, 10.2), (6.51e-3, 15.6), (3.12e-3, 32.5)] {
            assert!((vacuum_rise(absolute_mpa) / rise - 1.0).abs() < 5e-3, "{absolute_mpa}");
        }
    }

    #[test]
    fn a_lid_of_300_mm_bears_28_kn_at_4_bar() {
        assert!((lid_force_n(300.0, 0.4) - 28_274.0).abs() < 1.0);
        assert!((lid_force_n(300.0, ATMOSPHERE_MPA) / 7160.0 - 1.0).abs() < 1e-3);
    }

    #[test]
    fn silicone_of_shore_a_30_has_about_one_mpa() {
        assert!((rubber_modulus_mpa(30.0) - 1.15).abs() < 0.005);
        assert!(rubber_modulus_mpa(40.0) > 1.3 * rubber_modulus_mpa(30.0));
    }

    /// A worked problem of a class 12 physics book (Maharashtra State Board): 0.4 mm in oil of 0.1 Pa s and 900 kg/m³ rises
    /// at 0.783 mm/s.
    #[test]
    fn small_bubbles_rise_slowly() {
        assert!((bubble_rise_mm_s(0.4, 0.1, 900.0) / 0.783 - 1.0).abs() < 5e-3);
    }
}
