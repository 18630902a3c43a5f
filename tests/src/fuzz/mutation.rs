//! Mutation that knows of what pieces an input consists: lines, cells, tags or triangles are left out, repeated, swapped and
//! taken from a list, and numbers become extreme ones.

use std::ops::Range;

/// Pieces of which the inputs of a target consist.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pieces {
    /// Lines, as in TOML.
    Lines,
    /// Cells of a table, or words.
    Cells,
    /// A code and its value, as in DXF.
    PairsOfLines,
    /// Tags and attributes.
    Tags,
    /// Records of 50 bytes after a head of 84 and two bytes of options.
    Triangles,
    /// Plain bytes.
    Bytes,
}

/// Numbers, quantities and words at the edges of what readers take.
const VALUES: &[&str] = &[
    "0",
    "-0.0",
    "1e-9",
    "-1",
    "0.5",
    "1",
    "2.5",
    "12 h9",
    "1e9",
    "1e308",
    "-1e308",
    "1e400",
    "nan",
    "inf",
    "-inf",
    "9007199254740993",
    "99999999999999999999",
    "0x1f",
    "1_000",
    "1,5",
    "\"12 mm\"",
    "\"0.5 in\"",
    "\"1.2 N\"",
    "\"9 g\"",
    "\"3 deg\"",
    "\"1e999 mm\"",
    "\"\"",
    "\"\u{202e}x\"",
    "\"\\u0007\"",
    "[]",
    "{}",
    "[1, 2]",
    "[[1]]",
    "{ min = 5, max = 4 }",
    "{ readings = [1, 2, 3] }",
    "true",
    "\"best\"",
    "\"sleeves\"",
    "\"hexagon\"",
    "\"circle\"",
    "\"ellipse\"",
    "\"library\"",
    "=1+1",
    "@x",
    "'",
    "\"",
    "\\",
    "\u{feff}",
    "\0",
    "\r",
    "\t",
];

/// Pieces that occur in files of the kinds that are read.
const SNIPPETS: &[(&str, Pieces)] = &[
    ("[[tools]]", Pieces::Lines),
    ("[casting]", Pieces::Lines),
    ("[casting.factors]", Pieces::Lines),
    ("[[keep_out]]", Pieces::Lines),
    ("[body.far]", Pieces::Lines),
    ("[layout]", Pieces::Lines),
    ("[coupons]", Pieces::Lines),
    ("[printer]", Pieces::Lines),
    ("[fit]", Pieces::Lines),
    ("[[rounds]]", Pieces::Lines),
    ("[[sizes]]", Pieces::Lines),
    ("section = \"hexagon\"", Pieces::Lines),
    ("corner = 0.4", Pieces::Lines),
    ("wide_range = \"best\"", Pieces::Lines),
    ("stations = [-12, 12]", Pieces::Lines),
    ("pitch = \"12 deg\"", Pieces::Lines),
    ("profile = { shape = \"traced\", file = \"body.svg\", unit = \"mm\" }", Pieces::Lines),
    ("profile = { shape = \"calliper\", radii = [10, 11, 12] }", Pieces::Lines),
    ("library = \"mine.toml\"", Pieces::Lines),
    ("calibration = \"c.toml\"", Pieces::Lines),
    ("box = { from = [0, 0, 0], to = [1, 1, 1] }", Pieces::Lines),
    ("modulus = [1000, 2000]", Pieces::Lines),
    ("modulus_by_temperature = [[23, 1], [60, 0.5]]", Pieces::Lines),
    ("A+0.1", Pieces::Cells),
    ("M-0.2", Pieces::Cells),
    ("A+0.1+0.1", Pieces::Cells),
    ("would-not-go", Pieces::Cells),
    ("cracked", Pieces::Cells),
    ("3.5 N", Pieces::Cells),
    ("1 1/2 in", Pieces::Cells),
    ("0\nLWPOLYLINE", Pieces::PairsOfLines),
    ("0\nPOLYLINE", Pieces::PairsOfLines),
    ("0\nVERTEX", Pieces::PairsOfLines),
    ("0\nSEQEND", Pieces::PairsOfLines),
    ("0\nSPLINE", Pieces::PairsOfLines),
    ("0\nARC", Pieces::PairsOfLines),
    ("0\nCIRCLE", Pieces::PairsOfLines),
    ("0\nELLIPSE", Pieces::PairsOfLines),
    ("0\nINSERT", Pieces::PairsOfLines),
    ("0\nBLOCK", Pieces::PairsOfLines),
    ("0\nENDBLK", Pieces::PairsOfLines),
    ("0\nENDSEC", Pieces::PairsOfLines),
    ("0\nSECTION", Pieces::PairsOfLines),
    ("2\nBLOCKS", Pieces::PairsOfLines),
    ("2\nENTITIES", Pieces::PairsOfLines),
    ("42\n1", Pieces::PairsOfLines),
    ("42\n-0.3", Pieces::PairsOfLines),
    ("70\n1", Pieces::PairsOfLines),
    ("71\n3", Pieces::PairsOfLines),
    ("210\n0", Pieces::PairsOfLines),
    ("230\n-1", Pieces::PairsOfLines),
    ("<g transform=\"rotate(30 5 5) scale(-1,2)\">", Pieces::Tags),
    ("</g>", Pieces::Tags),
    ("<circle cx=\"1\" cy=\"2\" r=\"9\"/>", Pieces::Tags),
    ("<ellipse rx=\"9\" ry=\"4\"/>", Pieces::Tags),
    ("<rect width=\"20\" height=\"10\" rx=\"3\"/>", Pieces::Tags),
    ("<polygon points=\"0,0 20,0 20,10 0,10\"/>", Pieces::Tags),
    ("<path d=\"M0 0A10 10 0 1 1 0 0.1Z\"/>", Pieces::Tags),
    ("<path d=\"M0 0C9 0 9 9 0 9S-9 0 0 0\"/>", Pieces::Tags),
    ("<path d=\"m0,0q5-9 10 0t10 0v10h-20z\"/>", Pieces::Tags),
    ("<use href=\"#a\"/>", Pieces::Tags),
    ("<style>path{display:none}</style>", Pieces::Tags),
    (" viewBox=\"0 0 100 50\"", Pieces::Tags),
    (" width=\"4in\"", Pieces::Tags),
    (" display=\"none\"", Pieces::Tags),
    (" transform=\"matrix(1 0 0 0 0 0)\"", Pieces::Tags),
];

/// Generator of mutations (`SplitMix64`).
struct Choice(u64);

impl Choice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, end: usize) -> usize {
        let end = u64::try_from(end.max(1)).unwrap_or(u64::MAX);
        usize::try_from(self.next() % end).unwrap_or(0)
    }

    fn value(&mut self) -> &'static [u8] {
        VALUES[self.below(VALUES.len())].as_bytes()
    }
}

/// Returns a changed input; the same seed gives the same change.
pub fn mutated(bytes: &[u8], pieces: Pieces, seed: u64) -> Vec<u8> {
    let mut choice = Choice(seed);
    let mut out = bytes.to_vec();
    for _ in 0..=choice.below(3) {
        out = changed(&out, pieces, &mut choice);
    }
    out
}

fn changed(bytes: &[u8], pieces: Pieces, choice: &mut Choice) -> Vec<u8> {
    let ranges = split(bytes, pieces);
    let (Some(first), Some(second)) =
        (ranges.get(choice.below(ranges.len())).cloned(), ranges.get(choice.below(ranges.len())).cloned())
    else {
        return choice.value().to_vec();
    };
    let [one, two] = [&bytes[first.clone()], &bytes[second.clone()]];
    match choice.below(8) {
        0 => replaced(bytes, &first, &[]),
        1 => replaced(bytes, &first, &[one, two].concat()),
        2 => replaced(bytes, &first, two),
        3 => replaced(bytes, &first, &[one, snippet(pieces, choice).as_slice()].concat()),
        4 => {
            let many = one.repeat(2 + choice.below(6));
            replaced(bytes, &first, &many)
        }
        5 | 6 => replaced_number(bytes, &first, choice),
        _ => {
            let value = choice.value();
            let start = one.iter().position(|&b| b == b'=').map_or(first.start, |at| first.start + at + 1);
            replaced(bytes, &(start..first.end), &[b" ", value, b"\n"].concat())
        }
    }
}

/// A piece from the list of the target's kind, with the separator that it needs.
fn snippet(pieces: Pieces, choice: &mut Choice) -> Vec<u8> {
    let fit: Vec<&str> = SNIPPETS.iter().filter(|(_, of)| *of == pieces).map(|(text, _)| *text).collect();
    let Some(text) = fit.get(choice.below(fit.len())) else { return choice.value().to_vec() };
    let end: &[u8] = match pieces {
        Pieces::Lines | Pieces::PairsOfLines => b"\n",
        Pieces::Cells => b",",
        _ => b"",
    };
    [text.as_bytes(), end].concat()
}

fn replaced(bytes: &[u8], range: &Range<usize>, with: &[u8]) -> Vec<u8> {
    [&bytes[..range.start], with, &bytes[range.end..]].concat()
}

/// Replaces a number in a piece, or four bytes of a triangle.
fn replaced_number(bytes: &[u8], piece: &Range<usize>, choice: &mut Choice) -> Vec<u8> {
    let text = &bytes[piece.clone()];
    let digits: Vec<usize> =
        (0..text.len()).filter(|&i| text[i].is_ascii_digit() && (i == 0 || !is_numeric(text[i - 1]))).collect();
    let Some(&at) = digits.get(choice.below(digits.len())) else {
        let mut out = bytes.to_vec();
        if let Some(byte) = out.get_mut(piece.start + choice.below(text.len())) {
            *byte ^= 1 << choice.below(8);
        }
        return out;
    };
    let length = text[at..].iter().take_while(|&&b| is_numeric(b)).count();
    let range = piece.start + at..piece.start + at + length;
    let number: Option<f64> = std::str::from_utf8(&bytes[range.clone()]).ok().and_then(|text| text.parse().ok());
    let new = match (number, choice.below(4)) {
        (Some(number), 0) => format!("{}", -number),
        (Some(number), 1) => format!("{}", number * 10.0_f64.powi(i32::try_from(choice.below(9)).unwrap_or(0) - 4)),
        (Some(number), 2) => {
            format!("{:.3}", number * (0.5 + 0.1 * f64::from(u8::try_from(choice.below(10)).unwrap_or(0))))
        }
        _ => String::from_utf8_lossy(choice.value()).into_owned(),
    };
    replaced(bytes, &range, new.as_bytes())
}

const fn is_numeric(byte: u8) -> bool {
    byte.is_ascii_digit() || byte == b'.'
}

/// Places of the pieces of an input.
fn split(bytes: &[u8], pieces: Pieces) -> Vec<Range<usize>> {
    let ends: Vec<usize> = match pieces {
        Pieces::Lines => ends_after(bytes, b"\n"),
        Pieces::Cells => ends_after(bytes, b",;\t\n "),
        Pieces::PairsOfLines => ends_after(bytes, b"\n").into_iter().skip(1).step_by(2).collect(),
        Pieces::Tags => ends_after(bytes, b"> "),
        Pieces::Triangles => (86..bytes.len()).step_by(50).collect(),
        Pieces::Bytes => (0..bytes.len()).collect(),
    };
    let mut start = 0;
    let mut ranges = Vec::with_capacity(ends.len() + 1);
    for end in ends.into_iter().chain([bytes.len()]) {
        if end > start {
            ranges.push(start..end);
            start = end;
        }
    }
    ranges
}

fn ends_after(bytes: &[u8], separators: &[u8]) -> Vec<usize> {
    (0..bytes.len()).filter(|&i| separators.contains(&bytes[i])).map(|i| i + 1).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pieces_cover_the_input() {
        for pieces in
            [Pieces::Lines, Pieces::Cells, Pieces::PairsOfLines, Pieces::Tags, Pieces::Triangles, Pieces::Bytes]
        {
            let bytes: Vec<u8> = (0..=255).chain(*b"0\n1\n2\n<a b=\"1\">,; \n").collect();
            let joined: Vec<u8> = split(&bytes, pieces).into_iter().flat_map(|range| bytes[range].to_vec()).collect();
            assert_eq!(joined, bytes, "{pieces:?}");
        }
    }

    #[test]
    fn mutations_repeat_and_differ() {
        let bytes = b"a = 1\nb = 2\n";
        let all: Vec<Vec<u8>> = (0..50).map(|seed| mutated(bytes, Pieces::Lines, seed)).collect();
        assert_eq!(all, (0..50).map(|seed| mutated(bytes, Pieces::Lines, seed)).collect::<Vec<_>>());
        assert!(all.iter().filter(|changed| changed.as_slice() != bytes).count() > 40);
    }
}
