//! Length and number of parameters of each function in a source text.

use crate::rust_source::{Token, blank_comments_and_literals, group_end, product_tokens};

/// Size of one function that has a body.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FunctionSize {
    /// Name of the function.
    pub name: String,
    /// Line of the word `fn`, from 1.
    pub line: usize,
    /// Lines from the word `fn` to the closing brace.
    pub lines: usize,
    /// Number of parameters; `self` counts as one.
    pub parameters: usize,
}

/// Sizes of all functions outside test code, in their order.
pub fn function_sizes(text: &str) -> Vec<FunctionSize> {
    let code = blank_comments_and_literals(text);
    let tokens = product_tokens(&code);
    (0..tokens.len().saturating_sub(1)).filter_map(|position| function_at(&tokens, position)).collect()
}

fn function_at(tokens: &[Token<'_>], position: usize) -> Option<FunctionSize> {
    let name = tokens[position + 1].text;
    // A function pointer type has no name.
    if tokens[position].text != "fn" || name == "(" {
        return None;
    }
    let mut open = position + 2;
    if tokens[open].text == "<" {
        open = generics_end(tokens, open);
    }
    let close = group_end(tokens, open);
    let body = body_start(tokens, close)?;
    let last = tokens[group_end(tokens, body) - 1];
    let line = tokens[position].line;
    let parameters = parameter_count(&tokens[open + 1..close - 1]);
    Some(FunctionSize { name: name.to_owned(), line, lines: last.line - line + 1, parameters })
}

/// Index behind the generic parameters that open at `start`.
fn generics_end(tokens: &[Token<'_>], start: usize) -> usize {
    let mut depth = 0_usize;
    for position in start..tokens.len() {
        depth = angle_depth(tokens, position, depth);
        if depth == 0 {
            return position + 1;
        }
    }
    tokens.len()
}

/// Depth of angle brackets behind a token; the arrows `->` and `=>` close none.
fn angle_depth(tokens: &[Token<'_>], position: usize, depth: usize) -> usize {
    match tokens[position].text {
        "<" => depth + 1,
        ">" if position == 0 || !["-", "="].contains(&tokens[position - 1].text) => depth.saturating_sub(1),
        _ => depth,
    }
}

/// Index of the opening brace of the body; `None` for a declaration without one.
fn body_start(tokens: &[Token<'_>], start: usize) -> Option<usize> {
    let mut position = start;
    while let Some(token) = tokens.get(position) {
        match token.text {
            "{" => return Some(position),
            ";" => return None,
            "(" | "[" => position = group_end(tokens, position),
            _ => position += 1,
        }
    }
    None
}

fn parameter_count(tokens: &[Token<'_>]) -> usize {
    let (mut count, mut angles, mut position, mut is_empty) = (0, 0, 0, true);
    while position < tokens.len() {
        angles = angle_depth(tokens, position, angles);
        match tokens[position].text {
            "," if angles == 0 => {
                count += usize::from(!is_empty);
                is_empty = true;
                position += 1;
            }
            "(" | "[" | "{" => {
                position = group_end(tokens, position);
                is_empty = false;
            }
            _ => {
                position += 1;
                is_empty = false;
            }
        }
    }
    count + usize::from(!is_empty)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn figures(text: &str) -> Vec<(String, usize, usize)> {
        function_sizes(text).into_iter().map(|f| (f.name, f.lines, f.parameters)).collect()
    }

    #[test]
    fn lines_and_parameters_are_counted() {
        let text = "fn none() {}\n\npub(crate) fn two<'a, F: Fn(u8, u8) -> u8>(\n    &self,\n    f: F,\n) -> [u8; 3]\nwhere\n    \
                    F: Send,\n{\n    // }\n    \"}\"\n}\n";
        assert_eq!(figures(text), [("none".to_owned(), 1, 0), ("two".to_owned(), 10, 2)]);
        assert_eq!(function_sizes(text)[1].line, 3);
        assert_eq!(figures("fn f(a: [u8; 2], (b, c): (u8, u8), d: Map<u8, fn(u8, u8)>) {}")[0].2, 3);
    }

    #[test]
    fn declarations_and_test_code_do_not_count() {
        let text = "trait T { fn f(&self) -> [u8; 2]; }\ntype F = fn(u8);\n#[cfg(test)]\nmod tests { fn g() {} }";
        assert_eq!(figures(text), []);
        assert_eq!(figures("fn outer() {\n    fn inner() {}\n}").len(), 2);
    }
}
