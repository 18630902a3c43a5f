//! List of the coupons as CSV (RFC 4180).

use gripwright_sizing::Design;

/// Returns the coupons, a row each, in the order of the plates.
pub(crate) fn coupon_list(design: &Design) -> String {
    let mut out = String::from("coupon,size,kind,plate,seat_mm,change_mm,least_barrel_mm,greatest_barrel_mm,tools\r\n");
    for (plate, plan) in design.coupons.plates.iter().enumerate() {
        for coupon in plan.items.iter().filter_map(|placed| design.coupons.coupons.get(placed.item)) {
            let range = coupon
                .range_mm
                .map_or([String::new(), String::new()], |r| [r.least, r.greatest].map(|d| format!("{d:.3}")));
            let cells = [
                coupon.identity.clone(),
                coupon.letter.to_string(),
                coupon.kind.word().to_owned(),
                (plate + 1).to_string(),
                format!("{:.3}", coupon.seat_mm),
                format!("{:+.3}", coupon.step_mm + 0.0),
                range[0].clone(),
                range[1].clone(),
                coupon.tools.iter().map(|t| tool_to_try(design, t)).collect::<Vec<_>>().join("; "),
            ];
            out.push_str(&cells.map(|c| csv_cell(&c)).join(","));
            out.push_str("\r\n");
        }
    }
    out
}

/// Returns a tool's name, and how to try it if its section is not round.
fn tool_to_try(design: &Design, tool: &str) -> String {
    if is_hexagon(design, tool) { format!("{tool} (hexagon, flat down and corner down)") } else { tool.to_owned() }
}

/// True if a tool has a hexagonal section.
pub(crate) fn is_hexagon(design: &Design, tool: &str) -> bool {
    design.fit.iter().any(|row| row.tool_name == tool && row.hexagon.is_some())
}

/// Returns text as a CSV cell, quoted where needed.
pub(crate) fn csv_cell(cell: &str) -> String {
    if cell.contains([',', '"', '\n', '\r']) { format!("\"{}\"", cell.replace('"', "\"\"")) } else { cell.to_owned() }
}
