//! The trials file that a run lays out for people to fill in, and never takes from them.

use std::{fs, path::Path};

use gripwright_input::{TRIAL_COLUMNS, is_blank_trials};
use gripwright_sizing::{CouponKind, Design};

use crate::document::quoted;

/// A row for each coupon and tool that it is meant for, in the order of the plates; outcomes empty.
pub(crate) fn sheet(design: &Design) -> String {
    let mut out = TRIAL_COLUMNS.join(",") + "\r\n";
    for (coupon, tool) in rows(design) {
        out += &[quoted(&coupon), quoted(&tool)].join(",");
        out += &",".repeat(TRIAL_COLUMNS.len() - 2);
        out += "\r\n";
    }
    out
}

fn rows(design: &Design) -> Vec<(String, String)> {
    let coupons = &design.coupons;
    let placed = coupons.plates.iter().flat_map(|plate| &plate.items).filter_map(|p| coupons.coupons.get(p.item));
    let rows = placed.flat_map(|coupon| {
        let tools = if coupon.kind == CouponKind::Mount { vec!["body".to_owned()] } else { coupon.tools.clone() };
        tools.into_iter().map(|tool| (coupon.identity.clone(), tool)).collect::<Vec<_>>()
    });
    rows.collect()
}

/// Whether a file of a folder is a trials file that somebody has written into, or that cannot be looked at.
pub(crate) fn is_filled(folder: &Path, name: &str) -> bool {
    let path = folder.join(name);
    match fs::read(&path) {
        Ok(bytes) => !is_blank_trials(&bytes, name),
        Err(_) => path.exists(),
    }
}

/// Whether a name is one that this module gives.
pub(crate) fn is_name(name: &str) -> bool {
    let stem = name.strip_suffix(".csv").and_then(|stem| stem.strip_prefix("trials"));
    stem.is_some_and(|rest| rest.is_empty() || rest.strip_prefix('-').is_some_and(|n| n.parse::<u32>().is_ok()))
}

/// Name under which a sheet may be written into a folder: the first from `round` on whose file nobody has filled in.
/// `None` when such a file already has a row for everything in the sheet.
pub(crate) fn free_name(folder: &Path, round: usize, text: &str) -> Option<String> {
    let mut number = round.max(1);
    loop {
        let name = if number == 1 { "trials.csv".to_owned() } else { format!("trials-{number}.csv") };
        if !is_filled(folder, &name) {
            return Some(name);
        }
        if holds_all(folder, &name, text) {
            return None;
        }
        number += 1;
    }
}

/// Whether a filled file has the first two cells of every row of a sheet, in any order.
fn holds_all(folder: &Path, name: &str, sheet: &str) -> bool {
    let Ok(filled) = fs::read_to_string(folder.join(name)) else { return false };
    let begins = |row: &str| row.trim_end_matches(',').to_owned();
    sheet.lines().skip(1).map(begins).all(|row| {
        let with_more = format!("{row},");
        filled.lines().any(|line| line.trim_end() == row || line.starts_with(&with_more))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const SHEET: &str = "coupon,tool,outcome,pull,slide,drag,load,bore,note\r\nA-0.1,x,,,,,,,\r\nA+0.1,x,,,,,,,\r\n";

    #[test]
    fn a_filled_file_is_never_the_one_that_is_written() {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path();
        assert_eq!(free_name(at, 1, SHEET).as_deref(), Some("trials.csv"));
        fs::write(at.join("trials.csv"), SHEET).unwrap();
        assert_eq!(free_name(at, 1, SHEET).as_deref(), Some("trials.csv"), "a blank one is laid out anew");
        fs::write(at.join("trials.csv"), SHEET.replace("A-0.1,x,", "A-0.1,x,good")).unwrap();
        assert_eq!(free_name(at, 1, SHEET), None, "the filled one has all rows");
        let other = SHEET.replace("A+0.1", "B+0.1");
        assert_eq!(free_name(at, 1, &other).as_deref(), Some("trials-2.csv"));
        fs::write(at.join("trials-2.csv"), b"\xff\xfe no text").unwrap();
        assert_eq!(free_name(at, 1, &other).as_deref(), Some("trials-3.csv"));
        assert_eq!(free_name(at, 3, SHEET).as_deref(), Some("trials-3.csv"));
    }

    #[test]
    fn names_are_told_from_others() {
        assert!(is_name("trials.csv") && is_name("trials-12.csv"));
        assert!(!is_name("trials-.csv") && !is_name("coupons.csv") && !is_name("trials-x.csv"));
    }
}
