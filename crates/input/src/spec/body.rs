//! Reading of the body and its profiles.

use crate::keys::key::{KeyTable, OneOfKey};
use crate::keys::measured_profile_keys::{
    CENTRE, CHECK, CUT_AXIS, DRAWING_GAP, DRAWING_UNIT, RADII, SCALE, TRACED_FILE, TRACED_TOLERANCE, WIDTHS,
};
use crate::keys::profile_shape::{ProfileShape, SHAPE};
use crate::keys::spec_keys::{
    ACROSS, BODY, BODY_DIAMETER, BODY_SPREAD, BODY_USES, CORNER, FAR, FAR_AT, FAR_PROFILE, FLAT_CORNER, FRICTION,
    GREATEST_FRICTION, HEIGHT, LEAST_FRICTION, MOUNT_LENGTH, OPENS, OUTLASTS, PROFILE, WIDTH, keys_of_shape,
};
use crate::keys::table_reader::{OpenTable, QuantityOrWordValue, TableReader};
use crate::spec::measured_body;
use crate::text::value_tree::{Node, Value};
use crate::values::checked_spec::{Body, BodyProfile, FarProfile};
use crate::values::material::FigureBounds;

pub(crate) fn read_body<'a>(reader: &mut TableReader<'a>, root: &OpenTable<'a>) -> Option<Body> {
    let body = reader.open_subtable(root, &BODY);
    let profile = read_profile(reader, &body, &PROFILE);
    let far = body.get(FAR.name).map(|_| read_far_profile(reader, &body));
    let spread = reader.quantity(&body, &BODY_SPREAD);
    let mount_length = reader.quantity(&body, &MOUNT_LENGTH);
    let opens = reader.choice(&body, &OPENS);
    let friction = body.get(FRICTION.name).map(|_| read_friction(reader, &body));
    let outlasts = reader.quantity_or_word(&body, &OUTLASTS);
    let uses = reader.choice(&body, &BODY_USES);
    Some(Body {
        profile: profile?,
        far: far.map_or(Some(None), |found| found.map(Some))?,
        spread_mm: spread?,
        mount_length_mm: mount_length?,
        opens: opens?,
        friction: friction.map_or(Some(None), |found| found.map(Some))?,
        outlasts: match outlasts? {
            QuantityOrWordValue::Quantity(ratio) => Some(ratio),
            QuantityOrWordValue::Word => None,
        },
        uses: uses?,
    })
}

fn read_friction<'a>(reader: &mut TableReader<'a>, body: &OpenTable<'a>) -> Option<FigureBounds> {
    let table = reader.open_subtable(body, &FRICTION);
    reader.bounds(&table, &LEAST_FRICTION, &GREATEST_FRICTION)
}

/// Least distance between two sections that define a taper, mm: common practice, no source.
const LEAST_APART_MM: f64 = 1.0;

fn read_far_profile<'a>(reader: &mut TableReader<'a>, body: &OpenTable<'a>) -> Option<FarProfile> {
    let far = reader.open_subtable(body, &FAR);
    let at = reader.quantity(&far, &FAR_AT);
    let profile = read_profile(reader, &far, &FAR_PROFILE);
    let at_mm = at?;
    if at_mm.abs() < LEAST_APART_MM {
        let path = far.path_of(FAR_AT.name);
        let message = format!("`{path}` is {at_mm} mm, too near to `body.profile` to tell a taper");
        let allowed = format!("at least {LEAST_APART_MM} mm to either side of the mount's middle");
        let hint = "measure the body again as far away as it is reached";
        reader.report_value(&path, "sections-too-near", message, allowed, hint);
        return None;
    }
    Some(FarProfile { at_mm, profile: profile? })
}

fn read_profile<'a>(reader: &mut TableReader<'a>, body: &OpenTable<'a>, key: &OneOfKey) -> Option<BodyProfile> {
    let path = body.path_of(key.name);
    let Some(node) = body.get(key.name) else {
        reader.report_missing_key(body, key);
        return None;
    };
    if let Value::Text(word) = &node.value {
        let example = format!("it is written {{ shape = \"{}\", … }}", crate::text::source::shorten(word));
        let problem = reader.wrong_type(node, &path, "a table").with_hint(example);
        reader.report(problem);
        return None;
    }
    let shape = read_shape(reader, node, &path)?;
    let table = reader.open_table(node, path, keys_of_shape(shape));
    match shape {
        ProfileShape::Circle => {
            reader.quantity(&table, &BODY_DIAMETER).map(|diameter_mm| BodyProfile::Circle { diameter_mm })
        }
        ProfileShape::Ellipse => {
            let (width, height) = (reader.quantity(&table, &WIDTH), reader.quantity(&table, &HEIGHT));
            Some(BodyProfile::Ellipse { width_mm: width?, height_mm: height? })
        }
        ProfileShape::RoundedRectangle => read_rounded_rectangle(reader, &table),
        ProfileShape::FlattedCircle => read_flatted_circle(reader, &table),
        ProfileShape::Calliper => measured_body::read_calliper(reader, &table).map(BodyProfile::Measured),
        ProfileShape::Traced => measured_body::read_traced(reader, &table).map(BodyProfile::Measured),
        ProfileShape::Scan => measured_body::read_scan(reader, &table).map(BodyProfile::Measured),
    }
}

/// Reads the shape alone, because the other keys depend on it.
fn read_shape<'a>(reader: &mut TableReader<'a>, node: &'a Node, path: &str) -> Option<ProfileShape> {
    static ANY_SHAPE: KeyTable = KeyTable {
        about: "",
        keys: &[
            &SHAPE,
            &BODY_DIAMETER,
            &WIDTH,
            &HEIGHT,
            &CORNER,
            &ACROSS,
            &RADII,
            &WIDTHS,
            &TRACED_FILE,
            &DRAWING_UNIT,
            &SCALE,
            &DRAWING_GAP,
            &CHECK,
            &CUT_AXIS,
            &CENTRE,
            &TRACED_TOLERANCE,
        ],
    };
    let before = reader.problems.len();
    let table = reader.open_table(node, path.to_owned(), &ANY_SHAPE);
    let shape = reader.choice(&table, &SHAPE);
    if shape.is_some() {
        // The table is opened again with the keys of its shape, which reports unknown keys more precisely.
        reader.problems.truncate(before);
    }
    shape
}

fn read_rounded_rectangle<'a>(reader: &mut TableReader<'a>, table: &OpenTable<'a>) -> Option<BodyProfile> {
    let (width, height) = (reader.quantity(table, &WIDTH), reader.quantity(table, &HEIGHT));
    let corner = reader.quantity(table, &CORNER);
    let (width_mm, height_mm, corner_mm) = (width?, height?, corner?);
    let most = 0.5 * width_mm.min(height_mm);
    // Half of a side that was written in another unit differs by rounding.
    if corner_mm > most * (1.0 + 1e-9) {
        let path = table.path_of(CORNER.name);
        let message = format!("`{path}` is {corner_mm} mm, more than half of the shorter side");
        let hint = format!("the nearest allowed value is {most} mm, which makes that side round");
        let allowed = format!("{} mm to {most} mm", CORNER.form.least);
        reader
            .report(reader.source.diagnostic(&path, "corner-too-large", message).with_allowed(allowed).with_hint(hint));
        return None;
    }
    Some(BodyProfile::RoundedRectangle { width_mm, height_mm, corner_mm: corner_mm.min(most) })
}

/// Reads a circle with a flat.
///
/// The flat must leave the widest point of the circle, which the mount embraces, and must be deep enough to be a flat.
fn read_flatted_circle<'a>(reader: &mut TableReader<'a>, table: &OpenTable<'a>) -> Option<BodyProfile> {
    const SHALLOWEST: f64 = 0.98;
    const DEEPEST: f64 = 0.55;
    let (diameter, across) = (reader.quantity(table, &BODY_DIAMETER), reader.quantity(table, &ACROSS));
    let corner = reader.quantity(table, &FLAT_CORNER);
    let (diameter_mm, across_mm) = (diameter?, across?);
    let (least, most) = (DEEPEST * diameter_mm, SHALLOWEST * diameter_mm);
    if across_mm < least || across_mm > most {
        let path = table.path_of(ACROSS.name);
        let message = format!("`{path}` is {across_mm} mm on a diameter of {diameter_mm} mm");
        let hint = if across_mm > most {
            "it is measured from the flat to the opposite side; without a flat the shape is \"circle\"".to_owned()
        } else {
            format!("the nearest allowed value is {least:.3} mm")
        };
        let allowed = format!("{least:.3} mm to {most:.3} mm");
        reader.report_value(&path, "flat-out-of-range", message, allowed, hint);
        return None;
    }
    let most = widest_flat_corner(diameter_mm, across_mm);
    // A default must not be the fault of a small bar or a deep flat.
    let corner_mm = if table.get(FLAT_CORNER.name).is_none() { corner?.min(0.5 * most) } else { corner? };
    if corner_mm > most {
        let path = table.path_of(FLAT_CORNER.name);
        let message = format!("`{path}` is {corner_mm} mm, which leaves too little of the flat or of the bar");
        let (allowed, hint) = (format!("{} mm to {most:.3} mm", FLAT_CORNER.form.least), "make it smaller".to_owned());
        reader
            .report(reader.source.diagnostic(&path, "corner-too-large", message).with_allowed(allowed).with_hint(hint));
        return None;
    }
    Some(BodyProfile::FlattedCircle { diameter_mm, across_mm, corner_mm })
}

/// Returns the greatest rounding of the edges that keeps the full width of the bar and a tenth of the flat, mm.
///
/// A circle of radius c that touches the flat (height f above the axis) and the bar (radius R) from inside has its
/// centre at height f − c and distance R − c from the axis, so x² = (R − c)² − (f − c)² = w² − 2c(R − f) with the half
/// width w of the flat, w² = R² − f². The flat keeps its part up to x, at least a tenth of w; and the centre stays
/// above the axis, c < f.
fn widest_flat_corner(diameter_mm: f64, across_mm: f64) -> f64 {
    let radius = 0.5 * diameter_mm;
    let flat = across_mm - radius;
    let half_width_squared = radius * radius - flat * flat;
    (0.99 * half_width_squared / (2.0 * (radius - flat))).min(0.95 * flat)
}
