//! A minimal reader of Rust source text: it blanks comments and literals, drops test code and splits the rest into tokens.
//!
//! It is no parser. It is exact enough for rules about imports and function lengths in formatted code.

/// Returns the text with comments and the contents of string and character literals replaced by spaces.
///
/// Line breaks stay, so that line numbers are those of the original.
pub fn blank_comments_and_literals(text: &str) -> String {
    let letters: Vec<char> = text.chars().collect();
    let mut out = String::with_capacity(text.len());
    let mut start = 0;
    while start < letters.len() {
        let end = blank_end(&letters, start);
        match end {
            Some(end) => out.extend(letters[start..end].iter().map(|&c| if c == '\n' { '\n' } else { ' ' })),
            None => out.push(letters[start]),
        }
        start = end.unwrap_or(start + 1);
    }
    out
}

/// End of the comment or literal that starts at `start`; `None` if none starts there.
fn blank_end(letters: &[char], start: usize) -> Option<usize> {
    let at = |offset: usize| letters.get(start + offset).copied().unwrap_or('\0');
    let end = |length: usize| (start + length).min(letters.len());
    match (at(0), at(1)) {
        ('/', '/') => Some(letters[start..].iter().position(|&c| c == '\n').map_or(letters.len(), end)),
        ('/', '*') => Some(block_comment_end(letters, start)),
        ('"', _) => Some(string_end(letters, start)),
        ('r', '"' | '#') if start == 0 || !is_word(letters[start - 1]) || letters[start - 1] == 'b' => {
            raw_string_end(letters, start)
        }
        // A lifetime has no closing apostrophe.
        ('\'', '\\') => {
            Some(letters[start + 3..].iter().position(|&c| c == '\'').map_or(letters.len(), |n| end(n + 4)))
        }
        ('\'', _) if at(2) == '\'' => Some(end(3)),
        _ => None,
    }
}

/// Block comments nest.
fn block_comment_end(letters: &[char], start: usize) -> usize {
    let (mut position, mut depth) = (start, 0_usize);
    while position + 1 < letters.len() {
        match (letters[position], letters[position + 1]) {
            ('/', '*') => depth += 1,
            ('*', '/') => depth -= 1,
            _ => {
                position += 1;
                continue;
            }
        }
        position += 2;
        if depth == 0 {
            return position;
        }
    }
    letters.len()
}

fn string_end(letters: &[char], start: usize) -> usize {
    let mut position = start + 1;
    while position < letters.len() && letters[position] != '"' {
        position += if letters[position] == '\\' { 2 } else { 1 };
    }
    (position + 1).min(letters.len())
}

fn raw_string_end(letters: &[char], start: usize) -> Option<usize> {
    let hashes = letters[start + 1..].iter().take_while(|&&c| c == '#').count();
    let content = start + 1 + hashes;
    if letters.get(content) != Some(&'"') {
        return None;
    }
    let closes = |&quote: &usize| {
        letters[quote] == '"' && letters[quote + 1..].iter().take(hashes).filter(|&&c| c == '#').count() == hashes
    };
    Some((content + 1..letters.len()).find(closes).map_or(letters.len(), |quote| quote + 1 + hashes))
}

fn is_word(letter: char) -> bool {
    letter.is_alphanumeric() || letter == '_'
}

/// One token: a word, `::`, or a single other character.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Token<'a> {
    /// The token as written.
    pub text: &'a str,
    /// Its line, from 1.
    pub line: usize,
}

/// Tokens of a text from [`blank_comments_and_literals`], without white space.
pub fn tokens(code: &str) -> Vec<Token<'_>> {
    let mut found = Vec::new();
    let mut line = 1;
    let mut rest = code;
    while let Some(letter) = rest.chars().next() {
        let length = if is_word(letter) {
            rest.find(|c| !is_word(c)).unwrap_or(rest.len())
        } else if rest.starts_with("::") {
            2
        } else {
            letter.len_utf8()
        };
        if letter == '\n' {
            line += 1;
        } else if !letter.is_whitespace() {
            found.push(Token { text: &rest[..length], line });
        }
        rest = &rest[length..];
    }
    found
}

/// Tokens of a file's product code: items marked `#[cfg(test)]` are left out.
pub fn product_tokens(code: &str) -> Vec<Token<'_>> {
    const MARK: [&str; 7] = ["#", "[", "cfg", "(", "test", ")", "]"];
    let all = tokens(code);
    let mut kept = Vec::with_capacity(all.len());
    let mut position = 0;
    while position < all.len() {
        if all[position..].iter().map(|token| token.text).take(MARK.len()).eq(MARK) {
            position = item_end(&all, position + MARK.len());
        } else {
            kept.push(all[position]);
            position += 1;
        }
    }
    kept
}

/// Index behind the item (with further attributes) that starts at `start`.
fn item_end(all: &[Token<'_>], start: usize) -> usize {
    let mut position = start;
    while all.get(position).is_some_and(|token| token.text == "#") {
        position = group_end(all, position + 1);
    }
    let is_use =
        all[position..].iter().take_while(|token| token.text != "{" && token.text != ";").any(|t| t.text == "use");
    while let Some(token) = all.get(position) {
        match token.text {
            ";" => return position + 1,
            "{" if !is_use => return group_end(all, position),
            "{" | "(" | "[" => position = group_end(all, position),
            _ => position += 1,
        }
    }
    position
}

/// Index behind the bracketed group that opens at `start`.
pub fn group_end(all: &[Token<'_>], start: usize) -> usize {
    let mut depth = 0_usize;
    for (position, token) in all.iter().enumerate().skip(start) {
        match token.text {
            "(" | "[" | "{" => depth += 1,
            ")" | "]" | "}" => depth = depth.saturating_sub(1),
            _ => {}
        }
        if depth == 0 {
            return position + 1;
        }
    }
    all.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(text: &str) -> String {
        let code = blank_comments_and_literals(text);
        product_tokens(&code).iter().map(|token| token.text).collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn comments_and_literals_are_blank() {
        assert_eq!(words("a // use b;\n/* c /* d */ e */ f"), "a f");
        assert_eq!(words(r##"x("use \" b", r#"c " d"#, '"', '\'', '\u{1}', 'e')"##), "x ( , , , , , )");
        assert_eq!(words("fn f<'a>(x: &'a str) {}"), "fn f < ' a > ( x : & ' a str ) { }");
        assert_eq!(blank_comments_and_literals("\"a\nb\"\nc").lines().count(), 3);
    }

    #[test]
    fn test_items_are_left_out() {
        let text = "a;\n#[cfg(test)]\n#[expect(b, reason = \"c\")]\nmod tests { use d; fn e() {} }\nf;";
        assert_eq!(words(text), "a ; f ;");
        assert_eq!(words("#[cfg(test)]\nuse a::{b, c};\nd;"), "d ;");
        assert_eq!(words("#[cfg(test)]\nmod tests;\nd;"), "d ;");
        assert_eq!(words("#[cfg(test)] pub(crate) fn f(a: [u8; 3]) -> u8 { 1 } d;"), "d ;");
    }
}
