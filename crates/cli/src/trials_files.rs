//! Trials files in an output folder: a run writes blank ones, and never overwrites one that has been filled in.

use std::{fs, path::Path};

use gripwright::input::is_blank_trials;

/// True if a file of a folder is a trials file that somebody has written into, or that cannot be read.
pub(crate) fn is_filled(folder: &Path, name: &str) -> bool {
    let path = folder.join(name);
    match fs::read(&path) {
        Ok(bytes) => !is_blank_trials(&bytes, name),
        Err(_) => path.exists(),
    }
}

/// True if a name is one that [`free_name`] gives.
pub(crate) fn is_trials_name(name: &str) -> bool {
    let stem = name.strip_suffix(".csv").and_then(|stem| stem.strip_prefix("trials"));
    stem.is_some_and(|rest| rest.is_empty() || rest.strip_prefix('-').is_some_and(|n| n.parse::<u32>().is_ok()))
}

/// Returns the name under which a sheet may be written into a folder: the first from `round` on whose file nobody has
/// filled in. `None` when such a file already has a row for everything in the sheet.
pub(crate) fn free_name(folder: &Path, round: usize, sheet: &str) -> Option<String> {
    let mut number = round.max(1);
    loop {
        let name = if number == 1 { "trials.csv".to_owned() } else { format!("trials-{number}.csv") };
        if !is_filled(folder, &name) {
            return Some(name);
        }
        if has_all_rows(folder, &name, sheet) {
            return None;
        }
        number += 1;
    }
}

/// True if a filled file has the first two cells of every row of a sheet, in any order.
fn has_all_rows(folder: &Path, name: &str, sheet: &str) -> bool {
    let Ok(filled) = fs::read_to_string(folder.join(name)) else { return false };
    let first_cells = |row: &str| row.trim_end_matches(',').to_owned();
    sheet.lines().skip(1).map(first_cells).all(|row| {
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
    fn names_of_trials_files_are_recognized() {
        assert!(is_trials_name("trials.csv") && is_trials_name("trials-12.csv"));
        assert!(!is_trials_name("trials-.csv") && !is_trials_name("coupons.csv") && !is_trials_name("trials-x.csv"));
    }
}
