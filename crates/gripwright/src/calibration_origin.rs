//! Origin of a calibration: the parts of the spec that it was made for, in words and as digests. They name a mismatch.

use std::fmt::Write;

use gripwright_input::{
    BodyProfile, CalibrationOrigin, FigureBounds, GrippingFaces, Material, ORIGIN_PARTS, Parting, PrintDirection, Spec,
    ToolSection, Uses,
};
use gripwright_sizing::{CouponKind, Design};

/// Returns the parts of a spec that its trials depend on, in the order of `ORIGIN_PARTS`, without the coupons.
pub(crate) fn spec_origin(spec: &Spec) -> Vec<CalibrationOrigin> {
    let texts = [body(spec), tools(spec), material(spec), printer(spec)];
    ORIGIN_PARTS.iter().zip(texts).map(|(part, text)| origin(part, text)).collect()
}

/// Returns the part `coupons`: the seats that they are cut from, and how they are cut.
pub(crate) fn coupon_origin(spec: &Spec, design: &Design) -> CalibrationOrigin {
    let mut letters: Vec<char> = Vec::new();
    let (mut shown, mut complete) = (String::new(), String::new());
    for coupon in &design.coupons.coupons {
        if letters.contains(&coupon.letter) {
            continue;
        }
        letters.push(coupon.letter);
        let seat_mm = coupon.seat_mm - coupon.step_mm;
        let what = if coupon.kind == CouponKind::Mount { "clearance " } else { "" };
        let _ = write!(shown, "{} {what}{:.2} mm; ", coupon.letter, seat_mm + 0.0);
        let _ = write!(complete, "{} {:.4} {};", coupon.letter, seat_mm + 0.0, coupon.round_seat);
    }
    let _ = write!(shown, "slices {} mm long", spec.coupons.length_mm);
    let straight = spec.finish.gripping_faces == GrippingFaces::Straight;
    let figures = [spec.coupons.length_mm, spec.finish.draft_rad, spec.finish.chamfer_mm];
    let _ = write!(complete, "{figures:?} {straight} {:?}", spec.coupons.matching);
    // A mould that is cut open changes no coupon: it has no draft.
    if spec.finish.parting == Parting::End {
        let _ = write!(complete, " {:?}", spec.finish.parting);
    }
    origin("coupons", PartText { shown, complete })
}

/// Returns all parts: those of the spec and the coupons of its design.
pub(crate) fn design_origin(spec: &Spec, design: &Design) -> Vec<CalibrationOrigin> {
    let mut parts = spec_origin(spec);
    parts.push(coupon_origin(spec, design));
    parts
}

/// One part of a spec in words.
struct PartText {
    /// Short form for messages.
    shown: String,
    /// Every figure that the trials depend on, for the digest.
    complete: String,
}

fn origin(part: &'static str, text: PartText) -> CalibrationOrigin {
    CalibrationOrigin { part, description: text.shown, digest: digest(&text.complete) }
}

/// Returns the 64-bit Fowler–Noll–Vo hash (FNV-1a) in hexadecimals. It detects changes; it is no protection.
fn digest(text: &str) -> String {
    let hash = text
        .bytes()
        .fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3));
    format!("{hash:016x}")
}

fn body(spec: &Spec) -> PartText {
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
    let shown = format!("{shape}; spread {} mm; mount {} mm long", body.spread_mm, body.mount_length_mm);
    let far = body.far.as_ref().map_or("None".to_owned(), |far| {
        format!("Some(FarProfile {{ at_mm: {:?}, profile: {} }})", far.at_mm, digest_text_of_profile(&far.profile))
    });
    let mut complete = format!("{shown} {:?} {far}", body.opens);
    if let BodyProfile::Surveyed(surveyed) = &body.profile {
        let _ = write!(complete, " {:?}", surveyed.outline);
    }
    PartText { shown, complete }
}

/// Text of a second profile as it enters the digest.
///
/// The words are those of earlier calibration files, whose digests must still match: they do not follow the names of
/// types.
fn digest_text_of_profile(profile: &BodyProfile) -> String {
    match profile {
        BodyProfile::Surveyed(surveyed) => format!(
            "Surveyed(Surveyed {{ outline: {:?}, from: {:?}, points: {:?}, largest_mm: {:?}, rms_mm: {:?} }})",
            surveyed.outline, surveyed.from, surveyed.points, surveyed.largest_mm, surveyed.rms_mm
        ),
        other => format!("{other:?}"),
    }
}

/// Text of bounds as it enters the digest; see [`digest_text_of_profile`].
fn digest_text_of_bounds(bounds: FigureBounds) -> String {
    format!("Range {{ least: {:?}, greatest: {:?} }}", bounds.least, bounds.greatest)
}

fn tools(spec: &Spec) -> PartText {
    let (mut shown, mut complete) = (String::new(), String::new());
    for tool in &spec.tools {
        let barrel = &tool.barrel;
        let _ = write!(shown, "{} {:.3} to {:.3} mm; ", tool.name, barrel.least_mm, barrel.greatest_mm);
        let loads = [barrel.spread_mm, tool.mass_kg, tool.load_along_n, tool.load_across_n];
        let _ = write!(complete, "{:?} {:?} {:?} {loads:?};", tool.name, barrel.least_mm, barrel.greatest_mm);
        // A round tool adds nothing, so that calibrations written before there were hexagons still know their spec.
        if let ToolSection::Hexagon { corner_mm } = tool.section {
            let _ = write!(complete, "hexagon {corner_mm:?};");
        }
    }
    let fit = &spec.fit;
    let uses = if fit.uses == Uses::Single { "once" } else { "again and again" };
    let demand = format!("{} times the load, push of {} N, used {uses}", fit.hold_safety, fit.snap_on_at_most_n);
    // The default adds nothing, so that calibrations written before there was this key still know their spec.
    let least = fit.hold_at_least_n;
    let demand =
        if (least - 1.0).abs() < 1e-12 { demand } else { format!("{demand}, held against at least {least} N") };
    PartText { shown: shown + &demand, complete: complete + &demand }
}

fn material(spec: &Spec) -> PartText {
    let figures = |m: &Material| {
        let strains = [m.strain_single, m.strain_repeated, m.across_layers];
        let (modulus, friction) = (digest_text_of_bounds(m.modulus_mpa), digest_text_of_bounds(m.friction));
        format!("{} {modulus} {:?} {friction} {strains:?};", m.key, m.poisson)
    };
    let print = spec.coupon_material();
    let mut shown = format!("printed in {}", print.title);
    let mut complete = figures(print);
    if let Some(cast) = &spec.material.cast {
        let _ = write!(shown, ", cast in {}", cast.title);
        complete += &figures(cast);
    }
    PartText { shown, complete }
}

fn printer(spec: &Spec) -> PartText {
    let printer = &spec.printer;
    let lies = if printer.direction == PrintDirection::Standing { "standing" } else { "on its side" };
    let shown = format!(
        "{lies}; walls from {} mm, spread {} mm; seats spread {} mm",
        printer.least_wall_mm, printer.wall_spread_mm, printer.seat_spread_mm
    );
    PartText { complete: shown.clone(), shown }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use gripwright_input::{FarProfile, FigureBounds, MaterialLibrary, STARTER_SPEC, SurveyedProfile, read_spec};
    use gripwright_section::{Curve, Outline, Point, Role, Segment};

    use super::{BodyProfile, body, digest, material};

    /// Calibration files that were written by earlier versions must still match their specs.
    #[test]
    fn digested_texts_stay_those_of_earlier_files() {
        let loaded = read_spec(STARTER_SPEC, "starter.toml", &MaterialLibrary::built_in());
        let mut spec = loaded.expect("the starter is sound").spec;
        spec.material.print.modulus_mpa = FigureBounds { least: 1900.0, greatest: 2200.0 };
        let bounds = "petg Range { least: 1900.0, greatest: 2200.0 } 0.38 Range { least: 0.13, greatest: 0.4 }";
        assert_eq!(material(&spec).complete, format!("{bounds} [0.028, 0.0168, 0.5];"));
        let sizes = "rectangle of 24 by 16 mm, corners 4 mm; spread 0.03 mm; mount 24 mm long";
        assert_eq!(body(&spec).complete, format!("{sizes} Down None"));
        let half = |from: f64| Segment::new(Curve::arc(Point::new(0.0, 0.0), 10.0, from, PI), Role::Seat);
        let surveyed = SurveyedProfile {
            outline: Outline::new(vec![half(0.0), half(PI)]).expect("two halves of a circle close"),
            from: "`far.dxf`".to_owned(),
            points: 9,
            largest_mm: 0.5,
            rms_mm: 0.25,
            spanned_mm: 0.0,
        };
        spec.body.far = Some(FarProfile { at_mm: 40.0, profile: BodyProfile::Surveyed(surveyed) });
        let arc = |from: &str| {
            let centre = "centre: Point { x: 0.0, y: 0.0 }";
            let turn = format!("start_angle: {from}, sweep: 3.141592653589793");
            format!("Segment {{ curve: Arc {{ {centre}, radius: 10.0, {turn} }}, role: Seat }}")
        };
        let outline = format!("Outline {{ segments: [{}, {}] }}", arc("0.0"), arc("3.141592653589793"));
        let figures = "from: \"`far.dxf`\", points: 9, largest_mm: 0.5, rms_mm: 0.25";
        let far = format!("Surveyed(Surveyed {{ outline: {outline}, {figures} }})");
        assert_eq!(body(&spec).complete, format!("{sizes} Down Some(FarProfile {{ at_mm: 40.0, profile: {far} }})"));
    }

    /// Test vectors of the hash's authors (draft-eastlake-fnv, appendix C): the empty text, "a", "foobar".
    #[test]
    fn digests_are_those_of_the_published_hash() {
        for (text, expected) in [("", "cbf29ce484222325"), ("a", "af63dc4c8601ec8c"), ("foobar", "85944171f73967e8")] {
            assert_eq!(digest(text), expected);
        }
    }
}
