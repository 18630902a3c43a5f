//! The way out: from the seat until nothing touches.

use super::{force_curve::ForceCurve, motion::Motion, way::Way};

/// Pulls the rigid section out from the accepted height, its seat. `touch` is the height of the first touch on the way
/// in and `push` the greatest force there. Returns the force curve, and true if equilibrium was lost before the end.
pub(crate) fn remove(motion: &mut Motion<'_>, touch: f64, steps: f64, push: f64) -> (ForceCurve, bool) {
    motion.reverse();
    let seat = motion.travel;
    let mut curve = ForceCurve::new(false);
    curve.push(seat, &motion.equilibrium(seat, false));
    let mut way = Way::new(motion, curve, touch - seat, steps, 0.05).with_notable_force(push);
    // Friction may carry the lips along beyond the height of their first touch.
    let top = touch + 0.5 * motion.reach;
    while motion.travel < top {
        let height = (motion.travel + way.step).min(top);
        let Some(newton_steps) = motion.seek(height) else {
            if way.shorten(motion, height - motion.travel) {
                return (way.curve, true);
            }
            continue;
        };
        let found = motion.equilibrium(height, false);
        // Below that height nothing may touch either: a loose barrel has left the floor and not met the lips.
        if way.advance(motion, height, &found, newton_steps) && found.load.normals <= 0.0 && height >= touch {
            break;
        }
    }
    (way.curve, false)
}
