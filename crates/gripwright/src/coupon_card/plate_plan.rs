//! A plate from above as SVG: outlines and engraved identities, at true size when the page has room.

use std::fmt::Write;

use gripwright_report::SvgFrame;
use gripwright_section::Point;
use gripwright_sizing::{CouponSet, Plate};

use crate::solids::{PartError, coupon_letters};

/// Width and height of the page that a plan may take, mm.
const ROOM_MM: [f64; 2] = [188.0, 230.0];
/// Free space round the coupons, mm.
const MARGIN_MM: f64 = 3.0;

/// A drawing, and its scale.
pub(super) struct PlatePlan {
    pub(super) svg: String,
    pub(super) scale: f64,
}

/// Draws the coupons of a plate as they lie on the bed, seen from above.
pub(super) fn plate_plan(set: &CouponSet, plate: &Plate) -> Result<PlatePlan, PartError> {
    let placed = || plate.items.iter().filter_map(|item| set.coupons.get(item.item).map(|coupon| (coupon, item.shift)));
    let boxes = placed().map(|(coupon, shift)| (coupon.outline.bounds(), shift));
    let (low, high) = boxes.fold(
        (Point::new(f64::INFINITY, f64::INFINITY), Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY)),
        |(low, high), (b, shift)| {
            let (min, max) = (b.min + shift, b.max + shift);
            (Point::new(low.x.min(min.x), low.y.min(min.y)), Point::new(high.x.max(max.x), high.y.max(max.y)))
        },
    );
    let margin = Point::new(MARGIN_MM, MARGIN_MM);
    let (low, high) = (low - margin, high + margin);
    let size = high - low;
    let scale = (ROOM_MM[0] / size.x).min(ROOM_MM[1] / size.y).min(1.0);
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{:.2}mm\" height=\"{:.2}mm\" viewBox=\"0 0 {:.3} {:.3}\" \
         role=\"img\" aria-label=\"The plate from above\">\n",
        scale * size.x,
        scale * size.y,
        size.x,
        size.y
    );
    let frame = SvgFrame { upper_left: Point::new(low.x, high.y), scale: 1.0 };
    for (coupon, shift) in placed() {
        let _ = writeln!(svg, "<path class=\"coupon\" d=\"{}\"/>", frame.path(&coupon.outline.moved(0.0, shift)));
        let letters = coupon_letters(coupon)?;
        let letters: Vec<String> = letters.iter().map(|letter| frame.path(&letter.moved(0.0, shift))).collect();
        let _ = writeln!(svg, "<path class=\"label\" d=\"{}\"/>", letters.join(" "));
    }
    svg.push_str("</svg>\n");
    Ok(PlatePlan { svg, scale })
}
