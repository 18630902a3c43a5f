//! Text for the terminal, of at most 80 columns or as many as a narrower terminal has: paragraphs, and tables of fixed
//! columns, whose rows are folded where they are too wide.

use std::{io::IsTerminal as _, sync::LazyLock};

use gripwright::sizing::Limit;
use terminal_size::{Width, terminal_size_of};

/// Widest line, and the narrowest terminal for which text is folded.
const MAX_COLUMNS: usize = 80;
const LEAST_COLUMNS: usize = 24;
/// Indent of what is folded.
const FOLD_INDENT: &str = "    ";

/// Columns of this process: what `COLUMNS` says, else the width of the terminal.
static COLUMNS: LazyLock<usize> = LazyLock::new(|| {
    let stated = std::env::var("COLUMNS").ok().and_then(|text| text.trim().parse().ok());
    let out = std::io::stdout();
    let measured = || terminal_size_of(&out).filter(|_| out.is_terminal()).map(|(Width(columns), _)| columns.into());
    stated.or_else(measured).filter(|columns| *columns > 0).unwrap_or(MAX_COLUMNS).clamp(LEAST_COLUMNS, MAX_COLUMNS)
});

/// Column of a table: its alignment, and its width in characters.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Column {
    /// Cells begin at the left edge.
    Left(usize),
    /// Cells end at the right edge.
    Right(usize),
}

/// Text that grows line by line.
#[derive(Debug, Default)]
pub(crate) struct TextReport {
    text: String,
}

impl TextReport {
    /// Adds a line as it is; the text must fit 80 columns. Narrower terminals have it folded.
    pub(crate) fn line(&mut self, text: &str) {
        self.text.push_str(&folded(text, *COLUMNS));
        self.text.push('\n');
    }

    /// Adds an empty line.
    pub(crate) fn blank(&mut self) {
        self.text.push('\n');
    }

    /// Adds a sentence, broken into indented lines.
    pub(crate) fn paragraph(&mut self, text: &str, indent: &str) {
        self.text.push_str(&wrapped(text, indent));
        self.text.push('\n');
    }

    /// Adds a row of a table.
    pub(crate) fn row<const N: usize>(&mut self, columns: &[Column; N], cells: &[impl AsRef<str>; N]) {
        self.text.push_str(&table_row(columns, cells));
        self.text.push('\n');
    }

    /// Returns the text.
    pub(crate) fn into_text(self) -> String {
        self.text
    }
}

/// Pads cells to their columns, with a space between and none at the end. Longer cells push the others aside.
pub(crate) fn table_row<const N: usize>(columns: &[Column; N], cells: &[impl AsRef<str>; N]) -> String {
    let cells: Vec<&str> = cells.iter().map(AsRef::as_ref).collect();
    row_within(columns, &cells, *COLUMNS)
}

/// A row that goes on in further lines where the terminal ends. All rows of a table are folded at the same columns; lines
/// without a cell are left out.
fn row_within(columns: &[Column], cells: &[&str], room: usize) -> String {
    let mut lines = vec![String::new()];
    let mut end = 0;
    for (column, cell) in columns.iter().zip(cells) {
        let (Column::Left(width) | Column::Right(width)) = *column;
        let gap = usize::from(end > 0);
        // A table made for 80 columns stays whole there, even if its columns are a little wider.
        if room < MAX_COLUMNS && end > 0 && end + gap + width > room {
            lines.push(FOLD_INDENT.to_owned());
            end = FOLD_INDENT.len();
        } else {
            lines.last_mut().into_iter().for_each(|line| line.push_str(&" "[..gap]));
            end += gap;
        }
        let padded = match column {
            Column::Left(_) => format!("{cell:<width$}"),
            Column::Right(_) => format!("{cell:>width$}"),
        };
        lines.last_mut().into_iter().for_each(|line| line.push_str(&padded));
        end += width;
    }
    let mut shown: Vec<&str> = lines.iter().map(|line| line.trim_end()).collect();
    let mut first = true;
    shown.retain(|line| std::mem::take(&mut first) || !line.is_empty());
    shown.join("\n")
}

/// Folds lines that are too long for the terminal of this process.
pub(crate) fn folded_to_terminal(text: &str) -> String {
    folded(text, *COLUMNS)
}

/// Folds lines that are too long for a terminal; the rest of a line is indented like its start.
fn folded(text: &str, room: usize) -> String {
    let fold = |line: &str| {
        if line.chars().count() <= room {
            return line.to_owned();
        }
        let indent = &line[..line.len() - line.trim_start().len()];
        wrapped_within(line, &indent[..indent.len().min(room / 2)], room)
    };
    text.split('\n').map(fold).collect::<Vec<_>>().join("\n")
}

/// Breaks a sentence into lines that keep within the columns; a single longer word is cut hard.
pub(crate) fn wrapped(text: &str, indent: &str) -> String {
    wrapped_within(text, indent, *COLUMNS)
}

fn wrapped_within(text: &str, indent: &str, columns: usize) -> String {
    let room = columns - indent.len();
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let mut rest: Vec<char> = word.chars().collect();
        loop {
            let taken = line.chars().count();
            let gap = usize::from(taken > 0);
            if taken + gap + rest.len() <= room {
                if gap == 1 {
                    line.push(' ');
                }
                line.extend(&rest);
                break;
            }
            if taken > 0 {
                lines.push(std::mem::take(&mut line));
                continue;
            }
            lines.push(rest.drain(..room).collect());
        }
    }
    lines.push(line);
    lines.iter().map(|l| format!("{indent}{l}").trim_end().to_owned()).collect::<Vec<_>>().join("\n")
}

/// Cuts text to a number of characters, with an ellipsis at the end.
pub(crate) fn shortened(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    text.chars().take(most - 1).chain(['…']).collect()
}

/// Returns a force or a ratio with as many digits as it deserves.
pub(crate) fn two_digits(value: f64) -> String {
    if value.abs() < 9.95 { format!("{value:.1}") } else { format!("{value:.0}") }
}

/// Returns the words for the limits that govern a size.
pub(crate) fn limit_words(limits: &[Limit]) -> String {
    limits.iter().map(|limit| limit.word()).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_texts_stay_within_the_columns() {
        let text = format!("a short start {} and an end", "x".repeat(200));
        for columns in [80, 60, 40] {
            let lines = wrapped_within(&text, "  ", columns);
            assert!(lines.lines().all(|l| l.chars().count() <= columns));
            assert_eq!(lines.chars().filter(|c| *c == 'x').count(), 200);
        }
    }

    #[test]
    fn rows_are_folded_at_the_same_columns() {
        let columns = [Column::Left(10), Column::Right(8), Column::Right(8), Column::Right(8), Column::Left(12)];
        let head = row_within(&columns, &["tool", "diam", "push", "pull", "decided by"], 30);
        let row = row_within(&columns, &["pencil", "7.00", "12 N", "9 N", "force"], 30);
        assert_eq!(head, "tool           diam     push\n        pull decided by");
        assert_eq!(row, "pencil         7.00     12 N\n         9 N force");
        assert_eq!(row_within(&columns, &["", "mm", "N", "", ""], 30), "                 mm        N");
        assert_eq!(row_within(&columns, &["pencil", "7.00", "12 N", "9 N", "force"], 80).lines().count(), 1);
    }

    #[test]
    fn long_lines_are_folded_and_short_ones_stay() {
        assert_eq!(folded("  ab cd\nshort", 6), "  ab\n  cd\nshort");
        assert_eq!(folded("\nSizes", 40), "\nSizes");
    }

    #[test]
    fn rows_pad_their_cells_and_end_without_spaces() {
        let columns = [Column::Left(4), Column::Right(5), Column::Left(3)];
        assert_eq!(table_row(&columns, &["a", "1°", "b"]), "a       1° b");
        assert_eq!(table_row(&columns, &["longer", "", ""]), "longer");
    }
}
