//! Trials sheet: the CSV file in which people write down what happened when they tried the coupons.

use gripwright_input::TRIAL_COLUMNS;
use gripwright_sizing::{CouponKind, Design};

use crate::coupon_list::csv_cell;

/// Returns a row for each coupon and tool that it is meant for, in the order of the plates; outcomes are empty.
pub(crate) fn trials_sheet(design: &Design) -> String {
    let mut out = TRIAL_COLUMNS.join(",") + "\r\n";
    for row in rows(design) {
        out += &[csv_cell(&row.coupon), csv_cell(&row.tool)].join(",");
        out += &",".repeat(TRIAL_COLUMNS.len() - 2);
        out += "\r\n";
    }
    out
}

struct Row {
    coupon: String,
    tool: String,
}

fn rows(design: &Design) -> Vec<Row> {
    let coupons = &design.coupons;
    let placed = coupons.plates.iter().flat_map(|plate| &plate.items).filter_map(|p| coupons.coupons.get(p.item));
    let rows = placed.flat_map(|coupon| {
        let tools = if coupon.kind == CouponKind::Mount { vec!["body".to_owned()] } else { coupon.tools.clone() };
        tools.into_iter().map(|tool| Row { coupon: coupon.identity.clone(), tool }).collect::<Vec<_>>()
    });
    rows.collect()
}
