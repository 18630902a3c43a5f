//! Strings, reals and integers in the notation of ISO 10303-21.

use std::fmt::Write as _;

/// Returns `value` as a quoted string: apostrophe and backslash doubled, other non-printable or non-ASCII characters in
/// hexadecimal.
pub(super) fn quoted(value: &str) -> String {
    let mut text = String::with_capacity(value.len() + 2);
    push_quoted(&mut text, value);
    text
}

/// Appends `value` as a quoted string.
pub(super) fn push_quoted(text: &mut String, value: &str) {
    text.push('\'');
    let mut plain = true;
    for character in value.chars() {
        let is_plain = matches!(character, ' '..='~');
        if plain && !is_plain {
            text.push_str("\\X2\\");
        } else if !plain && is_plain {
            text.push_str("\\X0\\");
        }
        plain = is_plain;
        match character {
            '\'' => text.push_str("''"),
            '\\' => text.push_str("\\\\"),
            _ if is_plain => text.push(character),
            _ => push_utf16(text, character),
        }
    }
    text.push_str(if plain { "'" } else { "\\X0\\'" });
}

/// Appends a character as UTF-16 in hexadecimal. Older readers only support `\X2\`, so that characters beyond the basic
/// plane become surrogate pairs.
fn push_utf16(text: &mut String, character: char) {
    for unit in character.encode_utf16(&mut [0; 2]) {
        let written = write!(text, "{unit:04X}");
        debug_assert!(written.is_ok(), "writing into a String cannot fail");
    }
}

/// Appends a real with a decimal point, an upper-case exponent, and the fewest digits that read back as the same `f64`.
pub(super) fn push_real(text: &mut String, value: f64) {
    // Negative zero would read back as a different number in a comparison by bits.
    let value = if value == 0.0 { 0.0 } else { value };
    let start = text.len();
    let written = write!(text, "{value:?}");
    debug_assert!(written.is_ok(), "writing into a String cannot fail");
    if text.ends_with(".0") {
        text.truncate(text.len() - 1);
    } else if let Some(position) = text[start..].find('e') {
        let exponent = text.split_off(start + position);
        if !text[start..].contains('.') {
            text.push('.');
        }
        text.push('E');
        text.push_str(&exponent[1..]);
    }
}

/// Appends an integer. It is called for each reference; the standard formatter would take a fifth of the writing time.
pub(super) fn push_integer(text: &mut String, value: u32) {
    let mut digits = [0_u8; 10];
    let mut first = digits.len();
    let mut rest = value;
    loop {
        first -= 1;
        digits[first] = (rest % 10) as u8;
        rest /= 10;
        if rest == 0 {
            break;
        }
    }
    text.extend(digits[first..].iter().map(|digit| char::from(b'0' + digit)));
}

#[cfg(test)]
mod tests {
    use proptest::{prelude::*, test_runner::RngSeed};

    use super::*;

    fn real(value: f64) -> String {
        let mut text = String::new();
        push_real(&mut text, value);
        text
    }

    #[test]
    fn strings_double_what_would_end_or_escape_them() {
        assert_eq!(quoted("R6 'AA' \\ 5"), "'R6 ''AA'' \\\\ 5'");
        assert_eq!(quoted(""), "''");
    }

    #[test]
    fn other_characters_become_hexadecimal_runs() {
        assert_eq!(quoted("Halter Ø9 µm"), "'Halter \\X2\\00D8\\X0\\9 \\X2\\00B5\\X0\\m'");
        assert_eq!(quoted("öä"), "'\\X2\\00F600E4\\X0\\'");
        assert_eq!(quoted("a\nb"), "'a\\X2\\000A\\X0\\b'");
        assert_eq!(quoted("😀"), "'\\X2\\D83DDE00\\X0\\'");
    }

    #[test]
    fn reals_carry_a_point_and_an_upper_case_exponent() {
        assert_eq!(real(1.0), "1.");
        assert_eq!(real(-0.0), "0.");
        assert_eq!(real(-10.0), "-10.");
        assert_eq!(real(0.1), "0.1");
        assert_eq!(real(1e-7), "1.E-7");
        assert_eq!(real(6.123_233_995_736_766e-17), "6.123233995736766E-17");
        assert_eq!(real(1e300), "1.E300");
    }

    #[test]
    fn integers_read_back() {
        for value in [0, 7, 10, 99, 100, 4_294_967_295] {
            let mut text = String::new();
            push_integer(&mut text, value);
            assert_eq!(text, value.to_string());
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { rng_seed: RngSeed::Fixed(1), failure_persistence: None, ..Default::default() })]

        #[test]
        fn every_finite_real_reads_back_bit_for_bit(value in any::<f64>().prop_filter("finite", |v| v.is_finite())) {
            let text = real(value);
            prop_assert_eq!(text.parse::<f64>().unwrap().to_bits(), (value + 0.0).to_bits());
            let mantissa = text.split('E').next().unwrap();
            prop_assert_eq!(mantissa.matches('.').count(), 1);
            prop_assert!(mantissa.trim_start_matches('-').starts_with(|c: char| c.is_ascii_digit()));
            prop_assert!(!text.contains('e'));
        }

        #[test]
        fn every_string_becomes_plain_ascii_with_balanced_quotes(value in any::<String>()) {
            let text = quoted(&value);
            prop_assert!(text.bytes().all(|byte| (b' '..=b'~').contains(&byte)));
            prop_assert_eq!(text.matches('\'').count(), 2 + 2 * value.matches('\'').count());
            prop_assert_eq!(text.matches("\\X2\\").count(), text.matches("\\X0\\").count());
        }
    }
}
