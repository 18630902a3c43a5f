//! Cautions as text for the terminal.

use std::fmt::Write;

use gripwright::cautions::{CAUTIONS, Caution, PRECEDENCE};

/// Returns the cautions as printed after files are made.
pub(crate) fn text() -> String {
    let mut out = String::from("Cautions\n");
    for Caution { subject: about, lines } in CAUTIONS {
        let _ = writeln!(out, "  {about:<7} {}", lines.join(&format!("\n{:10}", "")));
    }
    let _ = writeln!(out, "  {PRECEDENCE}");
    out
}
