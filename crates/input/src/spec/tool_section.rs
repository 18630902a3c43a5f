//! Reading of a barrel's cross-section.

use crate::keys::spec_keys::{BarrelSectionKind, DIAMETER, SECTION, TOOL_CORNER};
use crate::keys::table_reader::{OpenTable, TableReader};
use crate::values::checked_spec::{Barrel, ToolSection};

/// Largest corner radius of a hexagon, as a share of the radius that makes it round.
const MAX_CORNER_SHARE: f64 = 0.9;
/// Default corner radius over the size across flats: common practice, no source.
const DEFAULT_CORNER_SHARE: f64 = 0.05;
const LEAST_CORNER_MM: f64 = 0.05;

/// Reads the cross-section of a tool; `barrel` is `None` if its diameter is wrong.
pub(crate) fn read_tool_section<'a>(
    reader: &mut TableReader<'a>,
    tool: &OpenTable<'a>,
    barrel: Option<&Barrel>,
) -> Option<ToolSection> {
    let kind = reader.choice(tool, &SECTION);
    let corner = reader.quantity(tool, &TOOL_CORNER);
    let path = tool.path_of(TOOL_CORNER.name);
    let written = tool.get(TOOL_CORNER.name).is_some();
    match kind? {
        BarrelSectionKind::Round => {
            if written {
                let message = format!("`{path}` is given, but the section of the tool is round");
                let hint = "add `section = \"hexagon\"`, or leave the corner out";
                reader.report(reader.source.diagnostic(&path, "corner-of-round", message).with_hint(hint));
                return None;
            }
            Some(ToolSection::Round)
        }
        BarrelSectionKind::Hexagon => {
            let barrel = barrel?;
            // The smallest possible hexagon decides.
            let [least_mm, _] = barrel.limits_mm();
            let most = (100.0 * MAX_CORNER_SHARE * 0.5 * least_mm).floor() / 100.0;
            if most < LEAST_CORNER_MM {
                report_uncertain_diameter(reader, &tool.path_of(DIAMETER.name), barrel);
                return None;
            }
            let corner_mm = match corner {
                Some(corner) => corner,
                None if written => return None,
                None => (DEFAULT_CORNER_SHARE * least_mm).max(LEAST_CORNER_MM),
            };
            if corner_mm > most {
                let message = format!("`{path}` is {corner_mm} mm, which leaves hardly a flat of the least hexagon");
                let hint = "a barrel as round as that has `section = \"round\"`";
                let allowed = format!("{LEAST_CORNER_MM} mm to {most} mm");
                reader.report_value(&path, "corner-too-large", message, allowed, hint);
                return None;
            }
            Some(ToolSection::Hexagon { corner_mm })
        }
    }
}

/// Reports a spread that leaves nothing of the smallest hexagon.
fn report_uncertain_diameter(reader: &mut TableReader<'_>, path: &str, barrel: &Barrel) {
    let (least_mm, spread_mm) = (barrel.least_mm, barrel.spread_mm);
    let message = format!("`{path}` is {least_mm} mm with a spread of {spread_mm} mm, which leaves no hexagon");
    let hint = "measure it again";
    reader.report(reader.source.diagnostic(path, "spread-too-large", message).with_hint(hint));
}
