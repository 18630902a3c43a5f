//! Reading of whole trials files.

use crate::read_limits::MOST_PROBLEMS;
use crate::text::diagnostic::{self, Diagnostic};
use crate::text::file_text::decode_utf8;
use crate::text::source::Source;
use crate::trials::trial::{TrialTarget, Trials};
use crate::trials::{csv_table, row_reader, toml_rows};

/// Reads the bytes of a trials file. `file` is the name in diagnostics; if it ends with `.toml`, the file is read as TOML.
///
/// Reports all problems, sorted by position; of more than 200, the first 200.
pub fn read_trials(bytes: &[u8], file: &str, targets: &[TrialTarget]) -> Result<Trials, Vec<Diagnostic>> {
    let text = decode_utf8(bytes, file).map_err(|problem| vec![*problem])?;
    let mut source = Source::new(file, text);
    let mut problems = Vec::new();
    let toml = file.to_ascii_lowercase().ends_with(".toml");
    let table = if toml {
        toml_rows::read_toml(&mut source, &mut problems)
    } else {
        csv_table::read_csv(&source, &mut problems)
    };
    let Some(table) = table else {
        diagnostic::sort(&mut problems);
        return Err(problems);
    };
    let found = row_reader::read_rows(&source, &table, targets, &mut problems);
    diagnostic::sort(&mut problems);
    problems.truncate(MOST_PROBLEMS);
    if problems.iter().any(Diagnostic::is_error) {
        return Err(problems);
    }
    Ok(Trials { warnings: problems, ..found })
}
