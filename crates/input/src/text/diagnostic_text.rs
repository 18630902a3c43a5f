//! Rendering of diagnostics as plain text for a terminal.

use std::fmt::Write as _;

use crate::text::diagnostic::Diagnostic;

/// Maximum length of the shown part of a source line, characters.
const MAX_LINE_LENGTH: usize = 100;

/// Renders a diagnostic with its source line, allowed values and hints, without colour and without a final line break.
///
/// `text` is the file that was read; of a file that is not text, its readable part.
pub fn render_diagnostic(diagnostic: &Diagnostic, text: &str) -> String {
    let mut page = format!("{diagnostic} ({})", diagnostic.code);
    if let Some((shown, before, marked)) = excerpt(diagnostic, text) {
        let number = diagnostic.line.to_string();
        let gutter = " ".repeat(number.len());
        // Writing into a String cannot fail.
        let _ = write!(page, "\n  {number} | {shown}\n  {gutter} | {before}{}", "^".repeat(marked));
    }
    if let Some(allowed) = &diagnostic.allowed {
        let _ = write!(page, "\n  allowed: {allowed}");
    }
    for hint in &diagnostic.hints {
        let _ = write!(page, "\n  hint: {hint}");
    }
    page
}

/// Returns the source line (or its part around the span), the padding below it and the number of carets.
///
/// Tabs stay tabs in the padding. Returns `None` if the diagnostic is about the file as a whole.
fn excerpt(diagnostic: &Diagnostic, text: &str) -> Option<(String, String, usize)> {
    if diagnostic.span == (0..0) {
        return None;
    }
    let line = text.lines().nth(diagnostic.line - 1)?.trim_start_matches('\u{feff}');
    let letters: Vec<char> = line.chars().map(|letter| if is_visible(letter) { letter } else { '\u{fffd}' }).collect();
    let column = (diagnostic.column - 1).min(letters.len());
    let marked = marked_characters(diagnostic, text).clamp(1, (letters.len() - column).max(1));
    let from = if letters.len() > MAX_LINE_LENGTH { column.saturating_sub(MAX_LINE_LENGTH / 4) } else { 0 };
    let shown: String = letters.iter().skip(from).take(MAX_LINE_LENGTH).collect();
    let before =
        letters.iter().take(column).skip(from).map(|&letter| if letter == '\t' { '\t' } else { ' ' }).collect();
    Some((shown, before, marked.min(MAX_LINE_LENGTH - (column - from).min(MAX_LINE_LENGTH - 1))))
}

/// Returns false for control characters, which must not reach the terminal.
fn is_visible(letter: char) -> bool {
    letter == '\t' || !letter.is_control()
}

/// Returns the length of the span in characters.
fn marked_characters(diagnostic: &Diagnostic, text: &str) -> usize {
    text.get(diagnostic.span.clone()).map_or(1, |span| span.lines().next().unwrap_or("").chars().count())
}

#[cfg(test)]
mod tests {
    use super::render_diagnostic;
    use crate::{MaterialLibrary, read_spec};

    fn rendered(text: &str) -> Vec<String> {
        let problems = read_spec(text, "holder.toml", &MaterialLibrary::built_in()).err().unwrap_or_default();
        problems.iter().map(|problem| render_diagnostic(problem, text)).collect()
    }

    #[test]
    fn shows_the_line_and_marks_the_value() {
        let line = "draft = \"20 deg\"  # steep";
        let text = crate::STARTER_SPEC.replace("[finish]\ndraft = \"1.5 deg\"", &format!("[finish]\n{line}\n#"));
        let number = text.lines().position(|other| other == line).unwrap_or_default() + 1;
        let expected = format!(
            "holder.toml:{number}:9: error: `finish.draft` is \"20 deg\", above what is allowed (out-of-range)\n  \
             {number} | {line}\n     |         ^^^^^^^^\n  allowed: 0 deg to 15 deg\n  \
             hint: the nearest allowed value is 15 deg"
        );
        assert_eq!(rendered(&text), [expected]);
    }

    #[test]
    fn keeps_tabs_and_counts_characters_so_that_the_mark_stands_below() {
        let pages = rendered("\t[\"hölder\"]\n");
        let page = pages.iter().find(|page| page.contains("unknown-key")).map_or("", String::as_str);
        assert!(page.starts_with("holder.toml:1:3: error: `hölder` is not known at the top"), "{page}");
        assert!(page.contains("  1 | \t[\"hölder\"]\n    | \t ^^^^^^^^\n"), "{page}");
    }

    #[test]
    fn cuts_long_lines_round_the_value() {
        let text = format!("x = {{ {} }}\n", "a = 1, ".repeat(5000));
        for page in rendered(&text) {
            assert!(page.lines().all(|line| line.chars().count() < 300), "{page}");
        }
    }
}
