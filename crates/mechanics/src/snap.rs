//! Snap-fit formulae of the plastics makers' guides, for straight arms.
//!
//! Bayer `MaterialScience`, *Snap-Fit Joints for Plastics – A Design Guide*, read in part and in texts that quote it.
//! They hold for slender arms (length over wall above about 10), small deflections and rigid parts to mate with.

/// Mating force over deflection force, (μ + tan α) / (1 − μ tan α), for a lead angle α (rad) and friction μ.
///
/// The same formula with the return angle gives the separation. `None`: the joint locks itself, no push moves it.
/// Source: the guide, p. 14.
pub fn mating_factor(lead_rad: f64, friction: f64) -> Option<f64> {
    let (sin, cos) = lead_rad.sin_cos();
    // Written with sine and cosine so that a lead of a right angle needs no infinite tangent.
    let denominator = cos - friction * sin;
    (denominator > 0.0).then(|| (friction * cos + sin) / denominator)
}

/// How the wall of a straight arm runs from its root to its tip.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Taper {
    /// Even.
    None,
    /// Down to half the wall.
    ToHalf,
}

impl Taper {
    /// Factor k in y = k ε l² / h. Source: the guide, Table 1, design types 1 and 2.
    fn factor(self) -> f64 {
        match self {
            Self::None => 2.0 / 3.0,
            Self::ToHalf => 1.09,
        }
    }
}

/// Permissible undercut y (mm) of a straight arm of length l and root wall h at the strain ε.
pub fn permissible_undercut_mm(taper: Taper, strain: f64, length_mm: f64, wall_mm: f64) -> f64 {
    taper.factor() * strain * length_mm * length_mm / wall_mm
}

/// Root wall h (mm) that brings a straight arm of length l to the strain ε at the undercut y.
pub fn wall_for_undercut_mm(taper: Taper, strain: f64, length_mm: f64, undercut_mm: f64) -> f64 {
    taper.factor() * strain * length_mm * length_mm / undercut_mm
}

/// Deflection force (N) of a straight arm: (b h² / 6) E ε / l with the secant modulus at that strain.
pub fn deflection_force_n(width_mm: f64, wall_mm: f64, secant_modulus_mpa: f64, strain: f64, length_mm: f64) -> f64 {
    width_mm * wall_mm * wall_mm / 6.0 * secant_modulus_mpa * strain / length_mm
}

/// Secant modulus over tangent modulus when a polymer is strained to `share` of its yield strain (0 to 1).
///
/// The guides ask for the secant modulus because snapping strains lie beyond the proportional range. Without a
/// measured curve we take a parabola that starts with the tangent modulus and is level at yield: 1 − share / 2.
/// An idealisation of ours, no source; for polycarbonate it comes within 6 % of the guide's figure (see the test).
pub fn secant_share(share_of_yield_strain: f64) -> f64 {
    1.0 - 0.5 * share_of_yield_strain.clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The guide's calculation example I (polycarbonate), from memory and recomputed: l = 19 mm, b = 9.5 mm,
    /// y = 2.4 mm, α = 30°, wall tapering to half, ε = 2 %, secant modulus 1815 MPa, μ = 0.60.
    #[test]
    fn calculation_example_of_the_guide() {
        let wall = wall_for_undercut_mm(Taper::ToHalf, 0.02, 19.0, 2.4);
        assert!((wall / 3.28 - 1.0).abs() < 1e-3, "{wall}");
        let force = deflection_force_n(9.5, wall, 1815.0, 0.02, 19.0);
        assert!((force / 32.5 - 1.0).abs() < 2e-3, "{force}");
        let factor = mating_factor(30.0_f64.to_radians(), 0.6).unwrap();
        assert!((factor / 1.80 - 1.0).abs() < 1e-3, "{factor}");
        assert!((force * factor / 58.5 - 1.0).abs() < 3e-3, "{}", force * factor);
    }

    #[test]
    fn wall_and_undercut_are_inverse() {
        let wall = wall_for_undercut_mm(Taper::ToHalf, 0.02, 19.0, 2.4);
        assert!((permissible_undercut_mm(Taper::ToHalf, 0.02, 19.0, wall) - 2.4).abs() < 1e-12);
        // "More than 60 % more deflection at equal strain": the same guide.
        let gain = permissible_undercut_mm(Taper::ToHalf, 0.02, 19.0, 2.0)
            / permissible_undercut_mm(Taper::None, 0.02, 19.0, 2.0);
        assert!(gain > 1.6 && gain < 1.64, "{gain}");
    }

    #[test]
    fn steep_return_locks() {
        assert_eq!(mating_factor(60.0_f64.to_radians(), 0.6), None);
        assert_eq!(mating_factor(90.0_f64.to_radians(), 0.1), None);
        assert!(mating_factor(90.0_f64.to_radians(), 0.0).is_none_or(|f| f > 1e12));
        assert!((mating_factor(0.0, 0.3).unwrap() - 0.3).abs() < 1e-15);
    }

    /// The guide's secant modulus for polycarbonate at 2 %, 1815 MPa, against a tangent modulus of 2300 MPa and a
    /// yield strain of 6 % (Wohlers Report 2011).
    #[test]
    fn secant_rule_is_near_the_guides_polycarbonate() {
        let found = 2300.0 * secant_share(0.02 / 0.06);
        assert!((found / 1815.0 - 1.0).abs() < 0.06, "{found}");
    }
}
