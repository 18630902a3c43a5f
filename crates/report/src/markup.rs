//! Escaping of text for HTML and for style sheets.

use std::fmt::Write;

/// Escapes the characters that HTML reserves.
pub fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
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
        assert_eq!(css_string("Ø 8 </style> \"x\" \\ &"), "\"Ø 8 \\3c /style\\3e  \\22 x\\22  \\5c  \\26 \"");
    }
}
