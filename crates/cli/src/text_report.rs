//! Text of at most 80 columns for the terminal: paragraphs, and tables of fixed columns.

use gripwright::sizing::Limit;

/// Widest line.
const MAX_COLUMNS: usize = 80;

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
    /// Adds a line as it is; the text must fit.
    pub(crate) fn line(&mut self, text: &str) {
        self.text.push_str(text);
        self.text.push('\n');
    }

    /// Adds an empty line.
    pub(crate) fn blank(&mut self) {
        self.text.push('\n');
    }

    /// Adds a sentence, broken into indented lines.
    pub(crate) fn paragraph(&mut self, text: &str, indent: &str) {
        self.line(&wrapped(text, indent));
    }

    /// Adds a row of a table.
    pub(crate) fn row<const N: usize>(&mut self, columns: &[Column; N], cells: &[impl AsRef<str>; N]) {
        self.line(&table_row(columns, cells));
    }

    /// Returns the text.
    pub(crate) fn into_text(self) -> String {
        self.text
    }
}

/// Pads cells to their columns, with a space between and none at the end. Longer cells push the others aside.
pub(crate) fn table_row<const N: usize>(columns: &[Column; N], cells: &[impl AsRef<str>; N]) -> String {
    let padded = columns.iter().zip(cells).map(|(column, cell)| match (*column, cell.as_ref()) {
        (Column::Left(width), cell) => format!("{cell:<width$}"),
        (Column::Right(width), cell) => format!("{cell:>width$}"),
    });
    padded.collect::<Vec<_>>().join(" ").trim_end().to_owned()
}

/// Breaks a sentence into lines that keep within the columns; a single longer word is cut hard.
pub(crate) fn wrapped(text: &str, indent: &str) -> String {
    let room = MAX_COLUMNS - indent.len();
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
        let lines = wrapped(&text, "  ");
        assert!(lines.lines().all(|l| l.chars().count() <= MAX_COLUMNS));
        assert_eq!(lines.chars().filter(|c| *c == 'x').count(), 200);
    }

    #[test]
    fn rows_pad_their_cells_and_end_without_spaces() {
        let columns = [Column::Left(4), Column::Right(5), Column::Left(3)];
        assert_eq!(table_row(&columns, &["a", "1°", "b"]), "a       1° b");
        assert_eq!(table_row(&columns, &["longer", "", ""]), "longer");
    }
}
