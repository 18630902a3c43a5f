//! Text on a terminal.

use std::io::{self, Write};

/// Prints warnings and problems.
pub(crate) fn print_stderr(text: &str) {
    let _ = io::stderr().lock().write_all(visible(text).as_bytes());
}

/// Returns text for a terminal, without control characters: names of files may hold orders to the terminal.
pub(crate) fn visible(text: &str) -> String {
    let shown = |letter: char| if letter.is_control() && !matches!(letter, '\n' | '\t') { '\u{fffd}' } else { letter };
    text.chars().map(shown).collect()
}
