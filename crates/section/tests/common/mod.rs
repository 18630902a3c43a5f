//! Functions that several tests of clips share.

use gripwright_section::{ClipBack, Curve, Outline, Role};

/// Pad of usual depth and fillet.
pub(crate) fn pad(half_width_mm: f64) -> ClipBack {
    ClipBack::Pad { half_width_mm, depth_mm: 1.0, fillet_mm: 1.0 }
}

/// Checks that draft can follow the outline exactly: every joint is tangent, or a corner of two lines, or an arc that is
/// perpendicular to the pad.
pub(crate) fn assert_draftable(outline: &Outline) {
    let segments = outline.segments();
    for (index, segment) in segments.iter().enumerate() {
        let next = &segments[(index + 1) % segments.len()];
        let turn = segment.curve.tangent(1.0).cross(next.curve.tangent(0.0)).abs();
        let lines = matches!((segment.curve, next.curve), (Curve::Line { .. }, Curve::Line { .. }));
        let square = (turn - 1.0).abs() < 1e-9 && (segment.role == Role::Pad || next.role == Role::Pad);
        assert!(
            turn < 1e-7 || lines || square,
            "joint after segment {index} ({}) turns by {turn}",
            segment.role.name()
        );
    }
}
