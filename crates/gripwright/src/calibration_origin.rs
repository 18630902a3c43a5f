//! What a calibration was made for: the parts of a spec, in words and as digests, so that a mismatch can be named.

use std::fmt::Write;

use gripwright_input::{
    BodyProfile, GrippingFaces, Material, ORIGIN_PARTS, Origin, PrintDirection, Spec, ToolSection, Uses,
};
use gripwright_sizing::{CouponKind, Design};

/// The parts of a spec that count for its trials, in the order of `ORIGIN_PARTS`, but for the coupons.
pub fn of_spec(spec: &Spec) -> Vec<Origin> {
    let texts = [body(spec), tools(spec), material(spec), printer(spec)];
    ORIGIN_PARTS.iter().zip(texts).map(|(part, (is, all))| origin(part, is, &all)).collect()
}

/// The coupons: the seats that they are cut from, and how.
pub fn of_coupons(spec: &Spec, design: &Design) -> Origin {
    let mut letters: Vec<char> = Vec::new();
    let (mut is, mut all) = (String::new(), String::new());
    for coupon in &design.coupons.coupons {
        if letters.contains(&coupon.letter) {
            continue;
        }
        letters.push(coupon.letter);
        let seat_mm = coupon.seat_mm - coupon.step_mm;
        let what = if coupon.kind == CouponKind::Mount { "clearance " } else { "" };
        let _ = write!(is, "{} {what}{:.2} mm; ", coupon.letter, seat_mm + 0.0);
        let _ = write!(all, "{} {:.4} {};", coupon.letter, seat_mm + 0.0, coupon.round_seat);
    }
    let _ = write!(is, "slices {} mm long", spec.coupons.length_mm);
    let straight = spec.finish.gripping_faces == GrippingFaces::Straight;
    let figures = [spec.coupons.length_mm, spec.finish.draft_rad, spec.finish.chamfer_mm];
    let _ = write!(all, "{figures:?} {straight} {:?}", spec.coupons.matching);
    origin("coupons", is, &all)
}

fn origin(part: &'static str, is: String, all: &str) -> Origin {
    Origin { part, is, digest: digest(all) }
}

/// The 64-bit Fowler–Noll–Vo hash (FNV-1a) in hexadecimals: it tells slips apart and keeps no secrets.
fn digest(text: &str) -> String {
    let hash = text
        .bytes()
        .fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3));
    format!("{hash:016x}")
}

fn body(spec: &Spec) -> (String, String) {
    let body = &spec.body;
    let shape = match &body.profile {
        BodyProfile::Circle { diameter_mm } => format!("circle of {diameter_mm} mm"),
        BodyProfile::Ellipse { width_mm, height_mm } => format!("ellipse of {width_mm} by {height_mm} mm"),
        BodyProfile::RoundedRectangle { width_mm, height_mm, corner_mm } => {
            format!("rectangle of {width_mm} by {height_mm} mm, corners {corner_mm} mm")
        }
        BodyProfile::FlattedCircle { diameter_mm, across_mm, corner_mm } => {
            format!("circle of {diameter_mm} mm with a flat, {across_mm} mm across, edges {corner_mm} mm")
        }
        BodyProfile::Measured(_) => "an outline to be measured".to_owned(),
        BodyProfile::Surveyed(surveyed) => format!("an outline from {}", surveyed.from),
    };
    let is = format!("{shape}; spread {} mm; mount {} mm long", body.spread_mm, body.mount_length_mm);
    let mut all = format!("{is} {:?} {:?}", body.opens, body.far);
    if let BodyProfile::Surveyed(surveyed) = &body.profile {
        let _ = write!(all, " {:?}", surveyed.outline);
    }
    (is, all)
}

fn tools(spec: &Spec) -> (String, String) {
    let (mut is, mut all) = (String::new(), String::new());
    for tool in &spec.tools {
        let barrel = &tool.barrel;
        let _ = write!(is, "{} {:.3} to {:.3} mm; ", tool.name, barrel.least_mm, barrel.greatest_mm);
        let loads = [barrel.spread_mm, tool.mass_kg, tool.load_along_n, tool.load_across_n];
        let _ = write!(all, "{:?} {:?} {:?} {loads:?};", tool.name, barrel.least_mm, barrel.greatest_mm);
        // A round tool adds nothing, so that calibrations written before there were hexagons still know their spec.
        if let ToolSection::Hexagon { corner_mm } = tool.section {
            let _ = write!(all, "hexagon {corner_mm:?};");
        }
    }
    let fit = &spec.fit;
    let uses = if fit.uses == Uses::Single { "once" } else { "again and again" };
    let asked = format!("{} times the load, push of {} N, used {uses}", fit.hold_safety, fit.snap_on_at_most_n);
    (is + &asked, all + &asked)
}

fn material(spec: &Spec) -> (String, String) {
    let figures = |m: &Material| {
        let strains = [m.strain_single, m.strain_repeated, m.across_layers];
        format!("{} {:?} {:?} {:?} {strains:?};", m.key, m.modulus_mpa, m.poisson, m.friction)
    };
    let print = &spec.material.print;
    let mut is = format!("printed in {}", print.title);
    let mut all = figures(print);
    if let Some(cast) = &spec.material.cast {
        let _ = write!(is, ", cast in {}", cast.title);
        all += &figures(cast);
    }
    (is, all)
}

fn printer(spec: &Spec) -> (String, String) {
    let printer = &spec.printer;
    let lies = if printer.direction == PrintDirection::Standing { "standing" } else { "on its side" };
    let is = format!(
        "{lies}; walls from {} mm, spread {} mm; seats spread {} mm",
        printer.least_wall_mm, printer.wall_spread_mm, printer.seat_spread_mm
    );
    (is.clone(), is)
}

#[cfg(test)]
mod tests {
    use super::digest;

    /// Test vectors of the hash's authors (draft-eastlake-fnv, appendix C): the empty text, "a", "foobar".
    #[test]
    fn digests_are_those_of_the_published_hash() {
        for (text, expected) in [("", "cbf29ce484222325"), ("a", "af63dc4c8601ec8c"), ("foobar", "85944171f73967e8")] {
            assert_eq!(digest(text), expected);
        }
    }
}
