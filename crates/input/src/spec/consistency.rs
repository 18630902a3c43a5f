//! Checks of values against each other. A check runs only if the values that it compares could be read.

use crate::keys::casting_keys::CASTING;
use crate::keys::spec_keys::{
    CLIP_STEPS, COUPON_PRINT, COUPONS, FINAL_MATERIAL, MATCH, MATERIAL, MOULD, MOUNT_STEPS, PRINTER, WALL_SPREAD,
};
use crate::keys::table_reader::TableReader;
use crate::spec::{casting, layout_checks, sleeve_checks, temperature_checks};
use crate::values::checked_spec::{
    Body, BodyProfile, CouponMatch, Coupons, ENGRAVING_MM, Finish, Fit, GrippingFaces, Layout, MaterialChoice, Mould,
    Printer, Tool, WideRange,
};

/// Tables of a spec that could be read; a table with an error of its own is absent.
pub(crate) struct SpecParts<'a> {
    pub(crate) body: Option<&'a Body>,
    pub(crate) tools: Option<&'a [Tool]>,
    pub(crate) layout: Option<&'a Layout>,
    pub(crate) fit: Option<&'a Fit>,
    pub(crate) material: Option<&'a MaterialChoice>,
    pub(crate) finish: Option<&'a Finish>,
    pub(crate) printer: Option<&'a Printer>,
    pub(crate) mould: Option<&'a Mould>,
    pub(crate) coupons: Option<&'a Coupons>,
}

pub(crate) fn check_spec(reader: &mut TableReader<'_>, parts: &SpecParts<'_>) {
    if let (Some(finish), Some(printer)) = (parts.finish, parts.printer) {
        check_chamfer_against_wall(reader, finish, printer);
    }
    if let (Some(finish), Some(coupons)) = (parts.finish, parts.coupons) {
        check_chamfer_against_coupon(reader, finish, coupons);
    }
    if let (Some(coupons), Some(body)) = (parts.coupons, parts.body) {
        check_coupon_against_mount(reader, coupons, body);
    }
    if let (Some(coupons), Some(printer)) = (parts.coupons, parts.printer) {
        check_coupon_against_label(reader, coupons, printer);
    }
    if let Some(coupons) = parts.coupons {
        check_steps(reader, CLIP_STEPS.name, &coupons.clip_steps_mm);
        check_steps(reader, MOUNT_STEPS.name, &coupons.mount_steps_mm);
    }
    if let (Some(printer), Some(body), Some(tools)) = (parts.printer, parts.body, parts.tools) {
        check_bed(reader, printer, body, tools);
    }
    if let Some(finish) = parts.finish {
        warn_of_unused_draft(reader, finish);
        casting::check_draft_of_cut_mould(reader, finish, parts.layout, parts.body);
    }
    if let Some(layout) = parts.layout {
        layout_checks::check_layout(reader, layout, parts.finish, parts.tools);
    }
    if let (Some(body), Some(finish)) = (parts.body, parts.finish) {
        layout_checks::check_taper(reader, body, finish);
    }
    if let (Some(fit), Some(layout), Some(finish)) = (parts.fit, parts.layout, parts.finish)
        && fit.wide_range == WideRange::Sleeves
    {
        sleeve_checks::check_sleeves(reader, layout, finish);
    }
    if let (Some(fit), Some(material)) = (parts.fit, parts.material) {
        temperature_checks::check_temperature(reader, fit.temperature_c, material.part_material());
    }
    if let Some(printer) = parts.printer {
        check_spread_against_wall(reader, PRINTER.name, printer.wall_spread_mm, printer.least_wall_mm);
    }
    if let Some(mould) = parts.mould {
        check_spread_against_wall(reader, MOULD.name, mould.wall_spread_mm, mould.least_wall_mm);
    }
    warn_of_unused_table(reader, MOULD.name);
    warn_of_unused_table(reader, CASTING.name);
    warn_of_unused_coupon_keys(reader, parts.coupons);
}

/// A chamfer as deep as the thinnest wall leaves nothing of the wall's end.
///
/// Sizing checks whether a wall leaves room for chamfers from both sides.
fn check_chamfer_against_wall(reader: &mut TableReader<'_>, finish: &Finish, printer: &Printer) {
    let (chamfer, most) = (finish.chamfer_mm, printer.least_wall_mm);
    if chamfer > most {
        let message = format!("`finish.chamfer` is {chamfer} mm, more than `printer.least_wall`");
        let hint = format!("the nearest allowed value is {most} mm");
        reader.report_value("finish.chamfer", "chamfer-too-large", message, format!("0 mm to {most} mm"), hint);
    }
}

/// A coupon has the chamfers of the part at both ends, and must keep half of its length straight.
fn check_chamfer_against_coupon(reader: &mut TableReader<'_>, finish: &Finish, coupons: &Coupons) {
    let (chamfer, length) = (finish.chamfer_mm, coupons.length_mm);
    let most = 0.25 * length;
    if chamfer > most {
        let message = format!("`finish.chamfer` is {chamfer} mm, more than a quarter of `coupons.length`");
        let hint = "make the coupons longer or the chamfer smaller";
        reader.report_value("finish.chamfer", "chamfer-too-large", message, format!("0 mm to {most} mm"), hint);
    }
}

/// A coupon of the mount must not be longer than the mount.
fn check_coupon_against_mount(reader: &mut TableReader<'_>, coupons: &Coupons, body: &Body) {
    let (length, most) = (coupons.length_mm, body.mount_length_mm);
    if length > most {
        // A default length has no line to point at, so the diagnostic points at the mount.
        let path = if reader.source.is_written("coupons.length") { "coupons.length" } else { "body.mount_length" };
        let message = format!("a coupon is {length} mm long, longer than the mount, which is {most} mm");
        let hint = format!("write `length = {most}` in [coupons]");
        reader.report_value(path, "coupon-too-long", message, format!("coupons of 3 mm to {most} mm"), hint);
    }
}

/// A coupon must keep a full wall below its engraved label.
fn check_coupon_against_label(reader: &mut TableReader<'_>, coupons: &Coupons, printer: &Printer) {
    let (length, wall) = (coupons.length_mm, printer.least_wall_mm);
    let least = wall + ENGRAVING_MM;
    if length < least - 1e-9 {
        let path = if reader.source.is_written("coupons.length") { "coupons.length" } else { "printer.least_wall" };
        let message = format!(
            "a coupon is {length} mm long: under its label, {ENGRAVING_MM} mm deep, less than `printer.least_wall` is left"
        );
        let hint = format!("the nearest length that works is {least} mm");
        reader.report_value(path, "coupon-too-short", message, format!("coupons of at least {least} mm"), hint);
    }
}

/// Checks that steps ascend, differ and contain zero. Two equal steps would make one coupon twice.
fn check_steps(reader: &mut TableReader<'_>, key: &str, steps: &[f64]) {
    let list = format!("{}.{key}", COUPONS.name);
    for (index, pair) in steps.windows(2).enumerate() {
        let &[before, after] = pair else { continue };
        let path = format!("{list}[{}]", index + 1);
        let allowed = format!("more than {before} mm");
        if after < before {
            let message = format!("`{path}` is {after} mm, less than the step before it");
            reader.report_value(&path, "not-ascending", message, allowed, "put the steps in ascending order");
        } else if after - before < SAME_STEP_MM {
            let message = format!("`{path}` is {after} mm, the same as the step before it");
            reader.report_value(&path, "step-twice", message, allowed, "each step is given once");
        }
    }
    if !steps.iter().any(|step| step.abs() < SAME_STEP_MM) {
        let message = format!("`{list}` has no step 0, so no coupon shows the size as it is designed");
        let hint = "add 0.0 to the steps";
        reader.report(reader.source.diagnostic(&list, "no-zero-step", message).with_hint(hint).as_warning());
    }
}

/// Smallest difference of two steps that a hand or a printer can resolve, mm: common practice, no source.
const SAME_STEP_MM: f64 = 0.005;

/// Least size of walls and lips around what is gripped, mm: common practice, no source.
///
/// The layout of the plates uses the true size; this check only refuses beds on which no coupon can lie.
const ROOM_MM: f64 = 4.0;

fn check_bed(reader: &mut TableReader<'_>, printer: &Printer, body: &Body, tools: &[Tool]) {
    let barrel = tools.iter().map(Tool::widest_mm).fold(0.0, f64::max);
    let [width, height] = profile_size_mm(&body.profile);
    let (long, short) = (width.max(height).max(barrel), width.min(height).max(barrel));
    let [bed_long, bed_short] = [printer.bed_mm[0].max(printer.bed_mm[1]), printer.bed_mm[0].min(printer.bed_mm[1])];
    if bed_long >= long + ROOM_MM && bed_short >= short + ROOM_MM {
        return;
    }
    let message =
        format!("`printer.bed` is {} mm by {} mm, too small for a coupon", printer.bed_mm[0], printer.bed_mm[1]);
    let allowed = format!("at least {:.1} mm by {:.1} mm", long + ROOM_MM, short + ROOM_MM);
    let hint = "check the body and the barrels, or take a larger printer";
    // A default bed has no line to point at, so the diagnostic points at the body.
    let path = if reader.source.is_written("printer.bed") { "printer.bed" } else { "body.profile" };
    reader.report_value(path, "bed-too-small", message, allowed, hint);
}

/// Returns the full width and height of a profile, mm; zero for measured profiles, whose outline is not known here.
fn profile_size_mm(profile: &BodyProfile) -> [f64; 2] {
    match *profile {
        BodyProfile::Circle { diameter_mm } => [diameter_mm, diameter_mm],
        BodyProfile::Ellipse { width_mm, height_mm } | BodyProfile::RoundedRectangle { width_mm, height_mm, .. } => {
            [width_mm, height_mm]
        }
        BodyProfile::FlattedCircle { diameter_mm, across_mm, .. } => [diameter_mm, across_mm],
        BodyProfile::Measured(_) | BodyProfile::Surveyed(_) => [0.0, 0.0],
    }
}

/// Warns of drafted gripping faces without a draft: a line is probably missing.
fn warn_of_unused_draft(reader: &mut TableReader<'_>, finish: &Finish) {
    if finish.gripping_faces == GrippingFaces::Drafted && finish.draft_rad <= 0.0 {
        let message = "`finish.gripping_faces` is \"drafted\", but there is no draft";
        let hint = "give `finish.draft`, such as \"1.5 deg\"";
        let problem = reader.source.diagnostic("finish.gripping_faces", "no-draft", message).with_hint(hint);
        reader.report(problem.as_warning());
    }
}

/// The thinnest wall must remain a wall when it is four standard uncertainties too thin. Defaults always do.
fn check_spread_against_wall(reader: &mut TableReader<'_>, table: &str, spread: f64, least_wall: f64) {
    let most = 0.25 * least_wall;
    if spread > most {
        let path = format!("{table}.{}", WALL_SPREAD.name);
        let message = format!("`{path}` is {spread} mm, more than a quarter of `{table}.least_wall`");
        let hint = "measure several parts: the spread is from part to part, and no constant offset";
        reader.report_value(&path, "spread-too-large", message, format!("0 mm to {most} mm"), hint);
    }
}

/// Warns of a table on castings without a casting material: a line is probably missing.
fn warn_of_unused_table(reader: &mut TableReader<'_>, table: &str) {
    let casting = format!("{}.{}", MATERIAL.name, FINAL_MATERIAL.name);
    if reader.source.is_written(table) && !reader.source.is_written(&casting) {
        let message = format!("`{table}` is given, but the part is not cast, so it has no effect");
        let hint = format!("give `{casting}`, such as \"pu-abs-like\"");
        let problem = reader.source.diagnostic(table, "no-casting", message).with_hint(hint);
        reader.report(problem.as_warning());
    }
}

/// Warns of coupons that should match a casting or have a material of their own, if there is no casting material.
fn warn_of_unused_coupon_keys(reader: &mut TableReader<'_>, coupons: Option<&Coupons>) {
    let casting = format!("{}.{}", MATERIAL.name, FINAL_MATERIAL.name);
    if reader.source.is_written(&casting) {
        return;
    }
    let matched = coupons.is_some_and(|coupons| coupons.matching == CouponMatch::Stiffness);
    let print = format!("{}.{}", COUPONS.name, COUPON_PRINT.name);
    let own_print = reader.source.is_written(&print).then_some((print, "is given"));
    let unused = matched.then(|| (format!("{}.{}", COUPONS.name, MATCH.name), "is \"stiffness\""));
    for (path, what) in unused.into_iter().chain(own_print) {
        let message = format!("`{path}` {what}, but the part is not cast, so it has no effect");
        let hint = format!("give `{casting}`, such as \"pu-abs-like\"");
        let problem = reader.source.diagnostic(&path, "no-casting", message).with_hint(hint);
        reader.report(problem.as_warning());
    }
}
