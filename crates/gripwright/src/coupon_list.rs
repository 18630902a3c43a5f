//! List of the coupons as CSV (RFC 4180).

use std::fmt::Write;

use gripwright_input::FORMULA_SIGNS;
use gripwright_sizing::{CouponLoads, CouponTries, Design, FEW_TRIES};

/// Returns the coupons, a row each, in the order of the plates, and the gauge of the body behind them. `loads` are those of
/// the coupons in the order of the design.
pub(crate) fn coupon_list(design: &Design, loads: &[CouponLoads]) -> String {
    let mut out = String::from(
        "coupon,size,kind,plate,seat_mm,change_mm,least_barrel_mm,greatest_barrel_mm,tries_at_most,tools\r\n",
    );
    for (plate, plan) in design.coupons.plates.iter().enumerate() {
        for placed in &plan.items {
            let Some(coupon) = design.coupons.coupons.get(placed.item) else { continue };
            let range = coupon
                .range_mm
                .map_or([String::new(), String::new()], |r| [r.least, r.greatest].map(|d| format!("{d:.3}")));
            let cells = [
                coupon.identity.clone(),
                coupon.letter.to_string(),
                coupon.kind.word().to_owned(),
                (plate + 1).to_string(),
                format!("{:.3}", coupon.measured_seat_mm()),
                format!("{:+.3}", coupon.step_mm + 0.0),
                range[0].clone(),
                range[1].clone(),
                loads.get(placed.item).map_or(String::new(), |loads| tries_cell(loads.tries_at_most)),
                coupon.tools.iter().map(|t| tool_to_try(design, t)).collect::<Vec<_>>().join("; "),
            ];
            out.push_str(&cells.map(|c| csv_cell(&c)).join(","));
            out.push_str("\r\n");
        }
    }
    if let Some(gauge) = &design.coupons.gauge {
        let seat_mm = 2.0 * gauge.clearance_mm;
        let _ = write!(out, "{},,gauge,,{seat_mm:.3},,,,any,the body\r\n", csv_cell(&gauge.identity));
    }
    out
}

/// Returns how often a coupon may be tried; empty if unknown.
pub(crate) fn tries_cell(tries: Option<CouponTries>) -> String {
    match tries {
        Some(CouponTries::AnyNumber) => "any".to_owned(),
        Some(CouponTries::Few) => FEW_TRIES.to_string(),
        Some(CouponTries::Never) => "0".to_owned(),
        None => String::new(),
    }
}

/// Returns a tool's name, and how to try it if its section is not round.
fn tool_to_try(design: &Design, tool: &str) -> String {
    if is_hexagon(design, tool) { format!("{tool} (hexagon, flat down and corner down)") } else { tool.to_owned() }
}

/// True if a tool has a hexagonal section.
pub(crate) fn is_hexagon(design: &Design, tool: &str) -> bool {
    design.fit.iter().any(|row| row.tool_name == tool && row.hexagon.is_some())
}

/// Returns text as a CSV cell, quoted where needed. Spreadsheets run text that begins like a formula: such a text gets the
/// apostrophe before it that they write for text. The reader of trials takes it off.
pub(crate) fn csv_cell(cell: &str) -> String {
    if cell.starts_with(FORMULA_SIGNS) && cell.parse::<f64>().is_err() {
        return csv_cell(&format!("'{cell}"));
    }
    if cell.contains([',', '"', '\n', '\r']) { format!("\"{}\"", cell.replace('"', "\"\"")) } else { cell.to_owned() }
}
