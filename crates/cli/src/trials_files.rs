//! Names of trials files in an output folder: a run never overwrites one that somebody has written into.

use crate::output_folder::OutputFolder;

/// Longest trials file that is compared with a sheet, bytes.
const LONGEST_SHEET: usize = 4 << 20;

/// Returns the name under which a sheet may be written into a folder: the first from `round` on whose file is as a run
/// wrote it. `None` when a file of somebody's already has a row for everything in the sheet.
pub(crate) fn free_name(folder: &OutputFolder, round: usize, sheet: &str) -> Option<String> {
    let mut number = round.max(1);
    loop {
        let name = if number == 1 { "trials.csv".to_owned() } else { format!("trials-{number}.csv") };
        if folder.is_free(&name) {
            return Some(name);
        }
        if folder.read_text(&name, LONGEST_SHEET).is_some_and(|filled| has_all_rows(&filled, sheet)) {
            return None;
        }
        number += 1;
    }
}

/// True if a filled file has the first two cells of every row of a sheet, in any order.
fn has_all_rows(filled: &str, sheet: &str) -> bool {
    let first_cells = |row: &str| row.trim_end_matches(',').to_owned();
    sheet.lines().skip(1).map(first_cells).all(|row| {
        let with_more = format!("{row},");
        filled.lines().any(|line| line.trim_end() == row || line.starts_with(&with_more))
    })
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;

    const SHEET: &str = "coupon,tool,outcome,pull,slide,drag,load,bore,note\r\nA-0.1,x,,,,,,,\r\nA+0.1,x,,,,,,,\r\n";

    #[test]
    fn a_file_that_no_run_wrote_is_never_the_one_that_is_written() {
        let work = tempfile::tempdir().unwrap();
        let at = work.path();
        let free = |round, sheet: &str| free_name(&OutputFolder::open(at).unwrap(), round, sheet);
        assert_eq!(free(1, SHEET).as_deref(), Some("trials.csv"));
        fs::write(at.join("trials.csv"), SHEET.replace("A-0.1,x,", "A-0.1,x,good")).unwrap();
        assert_eq!(free(1, SHEET), None, "the filled one has all rows");
        let other = SHEET.replace("A+0.1", "B+0.1");
        assert_eq!(free(1, &other).as_deref(), Some("trials-2.csv"));
        fs::write(at.join("trials-2.csv"), b"\xff\xfe no text").unwrap();
        assert_eq!(free(1, &other).as_deref(), Some("trials-3.csv"));
        assert_eq!(free(3, SHEET).as_deref(), Some("trials-3.csv"));
    }
}
