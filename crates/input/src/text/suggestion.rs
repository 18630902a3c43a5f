//! Suggestions for misspelt words ("did you mean").

/// Returns the nearest known word, if one is near enough to be meant.
pub(crate) fn nearest_word<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = normalized(word);
    let mut best: Option<(usize, &str)> = None;
    for candidate in known {
        let target = normalized(candidate);
        let distance = if word.len() > 64 { usize::MAX } else { strsim::damerau_levenshtein(&word, &target) };
        let near = distance <= (target.chars().count() / 3).max(1) || one_starts_other(&word, &target);
        if near && best.is_none_or(|(least, _)| distance < least) {
            best = Some((distance, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// Returns true if one word is a prefix of the other, as in `diam` for `diameter`.
fn one_starts_other(word: &str, target: &str) -> bool {
    let shorter = word.len().min(target.len());
    shorter >= 2 && (word.starts_with(target) || target.starts_with(word))
}

/// Removes the differences that do not count: case, hyphens and spaces.
fn normalized(word: &str) -> String {
    word.chars().map(|letter| if matches!(letter, '-' | ' ') { '_' } else { letter.to_ascii_lowercase() }).collect()
}

/// Returns the words in quotes, separated by commas, for the line of allowed values.
pub(crate) fn quoted_list<'a>(words: impl IntoIterator<Item = &'a str>) -> String {
    words.into_iter().map(|word| format!("\"{word}\"")).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::nearest_word;

    #[test]
    fn finds_slips_of_the_pen_and_nothing_else() {
        let known = ["diameter", "width", "height", "corner"];
        let cases = [
            ("diametre", Some("diameter")),
            ("Diameter", Some("diameter")),
            ("diam", Some("diameter")),
            ("widht", Some("width")),
            ("hight", Some("height")),
            ("colour", None),
            ("", None),
            ("d", None),
        ];
        for (word, expected) in cases {
            assert_eq!(nearest_word(word, known), expected, "{word}");
        }
    }
}
