//! Gauge of the body: a thin fork with the clearance of the mount, offered to the body from the side of the mount's floor.

use gripwright_input::signed_step;
use gripwright_section::{BodyGauge, ClipError, Mount, Point};

use crate::{
    coupons::coupon_brief::CouponBrief,
    coupons::coupon_label::{LETTER_HEIGHT_MM, label_margin_mm, label_room_mm},
    design::coupon::{Gauge, LabelPlace},
    rounding::round_to,
};

/// Least clearance, mm, also of mounts that grip with an interference: a light gap that shows and that a printer makes.
/// Common practice, no source.
const LEAST_CLEARANCE_MM: f64 = 0.2;
/// Thickness, mm: stiff as a hand-held template, and quick to print. Common practice, no source.
const THICKNESS_MM: f64 = 3.0;
/// Greatest chamfer, mm, so that most of the edge stands square on the body.
const MOST_CHAMFER_MM: f64 = 0.5;
/// Width of the prongs, mm: they must not give way under the hand. Common practice, no source.
const PRONG_MM: f64 = 6.0;
/// Length of the prongs beyond the widest places, mm: it guides the gauge onto the body.
const LEAD_MM: f64 = 2.0;
/// Word before the clearance.
const WORD: &str = "BODY";

/// Gauge for the body of a mount.
pub(crate) fn body_gauge(brief: &CouponBrief<'_>, mount: &Mount) -> Result<Gauge, ClipError> {
    let clearance_mm = round_to(mount.gap_mm.max(LEAST_CLEARANCE_MM), 0.01);
    let identity = format!("{WORD}{}", signed_step(clearance_mm));
    let chamfer_mm = brief.finish.chamfer_mm.min(MOST_CHAMFER_MM);
    let margin_mm = label_margin_mm(brief.printer) + chamfer_mm;
    let room_mm = label_room_mm(&identity);
    let gauge = BodyGauge {
        body: mount.body.clone(),
        clearance_mm,
        prong_mm: PRONG_MM,
        lead_mm: LEAD_MM,
        back_mm: LETTER_HEIGHT_MM + 2.0 * margin_mm,
        half_width_mm: 0.5 * room_mm + margin_mm,
    };
    let label = LabelPlace {
        origin: Point::new(-0.5 * room_mm, gauge.floor_y() + margin_mm),
        angle_rad: 0.0,
        height_mm: LETTER_HEIGHT_MM,
        room_mm,
    };
    let outline = gauge.outline()?;
    Ok(Gauge { identity, outline, clearance_mm, thickness_mm: THICKNESS_MM, chamfer_mm, label })
}
