//! Force tables of a size whose outcomes are stated as limits of the seat, for the product's own fit model.

use gripwright_sizing::{CouponForces, CouponTarget, ForceTable, Interval, UnitResponse};

/// Interference of the barrel with the design's seat, mm.
const INTERFERENCE_MM: f64 = 0.5;
/// Grip that leaves the pull alone to govern the hold, N.
const AMPLE_GRIP: f64 = 1e6;

/// Returns forces that grow so steeply at the limits of the outcomes that stiffness and friction hardly move them.
///
/// A change of the seat against the design by `good_mm` of diameter, either way, is good; beyond `outer_mm` it does not go or
/// falls out. `judgement_sd_mm` is the standard deviation of the seat at which a person sees one outcome give way to the next.
///
/// Required are 1 N of push and hold and 0.1 N of weight; a push of 2.5 N is given up. About each limit a force grows from
/// half to one and a half times its level within `judgement_sd_mm` of interference to both sides. A person whose judgement
/// has the logarithmic standard deviation 0.25 of the default prior then sees the limit within `judgement_sd_mm`.
pub(crate) fn stated_forces(letter: char, good_mm: f64, outer_mm: f64, judgement_sd_mm: f64) -> CouponForces {
    let interference = |seat_mm: f64| INTERFERENCE_MM - 0.5 * seat_mm;
    // Pull and push below and above the limits of weight, hold, push and giving up.
    let steps = [
        (interference(outer_mm), [0.05, 0.02], [0.15, 0.03]),
        (interference(good_mm), [0.5, 0.04], [1.5, 0.05]),
        (interference(-good_mm), [2.0, 0.5], [2.1, 1.5]),
        (interference(-outer_mm), [2.2, 1.6], [2.3, 3.4]),
    ];
    let sides = |(middle, below, above): (f64, [f64; 2], [f64; 2])| {
        [(middle - judgement_sd_mm, below), (middle + judgement_sd_mm, above)]
    };
    let mut points = vec![(0.0, [0.01, 0.01])];
    points.extend(steps.into_iter().flat_map(sides));
    points.push((1.5, [2.4, 3.5]));
    let run = |(_, [pull_out, snap_in]): &(f64, [f64; 2])| {
        Some(UnitResponse {
            snap_in: *snap_in,
            pull_out: *pull_out,
            grip: AMPLE_GRIP,
            strain: 0.0,
            strain_at_rest: 0.0,
        })
    };
    let table = ForceTable {
        interferences_mm: points.iter().map(|(interference, _)| *interference).collect(),
        frictions: [0.15, 0.3, 0.6],
        runs: vec![points.iter().map(run).collect(); 3],
        force_n: 1.0,
        yield_strain: 0.05,
        strain_factor: 1.0,
        strain_limit: 0.05,
        modulus_share: Interval { least: 1.0, greatest: 1.0 },
        friction: Interval { least: 0.15, greatest: 0.6 },
    };
    let target = CouponTarget {
        tool: Some(0),
        interference_mm: INTERFERENCE_MM,
        half_range_mm: 0.0,
        spread_mm: 0.0,
        across_n: 1.0,
        along_n: 1.0,
        weight_n: 0.1,
    };
    CouponForces {
        letter,
        seat_mm: 0.0,
        round_seat: true,
        tools: vec![target],
        snap_on_n: 1.0,
        coupon_share: 1.0,
        coupon: table.clone(),
        part: table,
    }
}
