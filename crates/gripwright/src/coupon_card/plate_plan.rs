//! A plate from above as SVG: outlines and engraved identities, at true size when the page has room.

use std::fmt::Write;

use gripwright_section::{Curve, Outline, Point};
use gripwright_sizing::{CouponSet, Plate};

use crate::solids::{PartError, coupon_letters};

/// Width and height of the page that a plan may take, mm.
const ROOM_MM: [f64; 2] = [180.0, 230.0];
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
    // The page counts down, the bed up.
    let to_page = |p: Point, shift: Point| Point::new(p.x + shift.x - low.x, high.y - p.y - shift.y);
    for (coupon, shift) in placed() {
        let place = |p: Point| to_page(p, shift);
        let _ = writeln!(svg, "<path class=\"coupon\" d=\"{}\"/>", svg_path(&coupon.outline, &place));
        let letters: Vec<String> = coupon_letters(coupon)?.iter().map(|o| svg_path(o, &place)).collect();
        let _ = writeln!(svg, "<path class=\"label\" d=\"{}\"/>", letters.join(" "));
    }
    svg.push_str("</svg>\n");
    Ok(PlatePlan { svg, scale })
}

fn svg_path(outline: &Outline, place: &impl Fn(Point) -> Point) -> String {
    let mut out = String::new();
    for (index, segment) in outline.segments().iter().enumerate() {
        if index == 0 {
            let start = place(segment.curve.start());
            let _ = write!(out, "M{:.3} {:.3}", start.x, start.y);
        }
        let end = place(segment.curve.end());
        match segment.curve {
            Curve::Line { .. } => {
                let _ = write!(out, "L{:.3} {:.3}", end.x, end.y);
            }
            Curve::Arc { radius, sweep, .. } => {
                let long = u8::from(sweep.abs() > std::f64::consts::PI);
                // Upside down on the page, left turns become right turns.
                let right = u8::from(sweep < 0.0);
                let _ = write!(out, "A{radius:.3} {radius:.3} 0 {long} {right} {:.3} {:.3}", end.x, end.y);
            }
        }
    }
    out.push('Z');
    out
}
