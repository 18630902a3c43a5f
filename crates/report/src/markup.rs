//! Escaping of text for XML, HTML and style sheets.

use std::fmt::Write;

/// Escapes the characters that XML 1.0 and HTML reserve; characters that XML forbids become the replacement character.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            // Readers turn these into spaces in attributes anyway.
            '\t' | '\n' | '\r' => out.push(' '),
            '\u{0}'..='\u{1f}' | '\u{fffe}' | '\u{ffff}' => out.push('\u{fffd}'),
            _ => out.push(character),
        }
    }
    out
}

/// Returns a string literal of CSS that is safe inside a `<style>` element of HTML and of XML.
pub(crate) fn css_string(text: &str) -> String {
    let mut out = String::from("\"");
    for letter in text.chars() {
        // A style element ends at `</`, and an XML reader takes `&` and `<` as markup.
        if letter.is_control() || "\"\\<>&".contains(letter) {
            let _ = write!(out, "\\{:x} ", u32::from(letter));
        } else {
            out.push(letter);
        }
    }
    out.push('"');
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reserved_characters_are_escaped() {
        assert_eq!(escaped("a < b & \"c\" > d"), "a &lt; b &amp; &quot;c&quot; &gt; d");
        assert_eq!(escaped("\u{7}\u{ffff}\tÜ"), "\u{fffd}\u{fffd} Ü");
        assert_eq!(css_string("Ø 8 </style> \"x\" \\ &"), "\"Ø 8 \\3c /style\\3e  \\22 x\\22  \\5c  \\26 \"");
    }
}
