//! Digests by which a reader tells whether the files of a run are all there, and whether somebody changed one since.
//!
//! A document lists its files with their digests. It ends with a seal: the digest of its own text, in which the seal's
//! digits are zeros.

use std::collections::BTreeMap;

use serde_json::Value;
use sha2::{Digest, Sha256};

/// Text before the digits of a seal.
const MARK: &str = "seal sha256 ";
/// Number of digits of a digest.
const DIGITS: usize = 64;
/// Greatest number of bytes from the mark to the end of a sealed text.
const LONGEST_TAIL: usize = MARK.len() + DIGITS + 8;

/// Returns the SHA-256 of some bytes, hexadecimal.
pub(crate) fn sha256(bytes: &[u8]) -> String {
    format!("{:x}", Sha256::digest(bytes))
}

/// Returns a text with its seal between `before` and `after`, which make a comment of it.
pub(crate) fn sealed(text: &str, before: &str, after: &str) -> String {
    let open = |digits: &str| format!("{text}{before}{MARK}{digits}{after}");
    open(&sha256(open(&"0".repeat(DIGITS)).as_bytes()))
}

/// Returns the text of a JSON document whose last key is its seal.
pub(crate) fn sealed_document(document: &Value) -> Vec<u8> {
    let text = format!("{document:#}");
    let inner = text.strip_suffix("\n}").unwrap_or(&text);
    sealed(inner, ",\n  \"sealed\": \"", "\"\n}\n").into_bytes()
}

/// True if a text has a seal and nobody has changed it since a run of this program wrote it.
pub fn is_sealed(bytes: &[u8]) -> bool {
    let Ok(text) = std::str::from_utf8(bytes) else { return false };
    let Some(at) = text.rfind(MARK).map(|at| at + MARK.len()).filter(|at| text.len() <= at - MARK.len() + LONGEST_TAIL)
    else {
        return false;
    };
    let Some(digits) = text.get(at..at + DIGITS) else { return false };
    let open = [&text[..at], &"0".repeat(DIGITS), &text[at + DIGITS..]].concat();
    sha256(open.as_bytes()) == digits
}

/// Returns the files that a sealed design or mould document lists, with their digests; `None` without a sound seal.
pub fn listed_files(document: &[u8]) -> Option<BTreeMap<String, String>> {
    if !is_sealed(document) {
        return None;
    }
    let document: Value = serde_json::from_slice(document).ok()?;
    let entry = |file: &Value| Some((file["path"].as_str()?.to_owned(), file["sha256"].as_str()?.to_owned()));
    document["files"].as_array()?.iter().map(entry).collect()
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    /// Test vectors of the standard (FIPS 180-4, examples): the empty text and "abc".
    #[test]
    fn digests_are_those_of_the_standard() {
        assert_eq!(sha256(b""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
        assert_eq!(sha256(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    }

    #[test]
    fn a_sealed_document_lists_its_files_until_a_byte_changes() {
        let bytes = sealed_document(&json!({ "files": [{ "path": "a.stl", "sha256": "12" }], "name": MARK }));
        assert_eq!(listed_files(&bytes), Some(BTreeMap::from([("a.stl".to_owned(), "12".to_owned())])));
        for at in 0..bytes.len() {
            let mut changed = bytes.clone();
            changed[at] ^= 1;
            assert_eq!(listed_files(&changed), None, "byte {at}");
        }
        assert_eq!(listed_files(&bytes[1..]), None);
        assert_eq!(listed_files(b"{ \"files\": [{ \"path\": \"a.stl\", \"sha256\": \"12\" }] }"), None);
        assert_eq!(listed_files(MARK.as_bytes()), None);
    }

    #[test]
    fn comments_seal_other_texts() {
        for (text, before, after) in [("<svg/>\n", "<!-- ", " -->\n"), ("", "# ", "\n"), ("a = 1\n", "# ", "\n")] {
            let whole = sealed(text, before, after);
            assert!(is_sealed(whole.as_bytes()) && !is_sealed(whole.replacen('s', "t", 1).as_bytes()), "{whole}");
            assert!(!is_sealed(format!("{whole}# a word more").as_bytes()));
        }
    }
}
