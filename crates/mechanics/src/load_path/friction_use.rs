//! Share of the friction that several loads take together.

/// Returns the share of the friction that a force along the axis (N) and a moment round it (N mm) use together. Friction
/// alone holds at most `holds_along_n` and `holds_round_nmm`; above 1 it slips.
///
/// Both shares are added. The loads that friction can hold form a convex set, because the sum of two states of friction
/// within the cone is one as well. The set contains the greatest force alone and the greatest moment alone, hence all
/// points between them: the sum is on the safe side. The joint problem on even normals allows up to √2 times as much.
pub fn friction_use(along_n: f64, holds_along_n: f64, round_nmm: f64, holds_round_nmm: f64) -> f64 {
    let share = |load: f64, holds: f64| if load.abs() > 0.0 { load.abs() / holds.max(0.0) } else { 0.0 };
    share(along_n, holds_along_n) + share(round_nmm, holds_round_nmm)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Normals spread over a ring whose friction acts all one way: the joint problem in closed form, a circle.
    #[test]
    fn sum_is_safe_for_even_normals_on_a_ring() {
        let (holds, radius) = (10.0_f64, 8.0);
        for k in 0..=20_u32 {
            let angle = std::f64::consts::FRAC_PI_2 * f64::from(k) / 20.0;
            // On the limit: each point slips at this angle to the axis.
            let used = friction_use(holds * angle.cos(), holds, holds * radius * angle.sin(), holds * radius);
            assert!((1.0 - 1e-12..=std::f64::consts::SQRT_2 + 1e-12).contains(&used), "{angle}: {used}");
        }
        assert!(friction_use(1.0, 0.0, 0.0, 0.0).is_infinite() && friction_use(0.0, 0.0, 0.0, 0.0).abs() <= 0.0);
    }
}
