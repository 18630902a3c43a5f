//! Rows that do not go with the rest, said plainly.

use crate::{
    nodes::Grid,
    pieces::{Piece, Row, crosses},
    posterior::Contradiction,
    size::SizeModel,
};

/// A row that more probably says nothing than something does not go with the rest; two rows that stand alone against each
/// other share the blame.
const LIKELY: f64 = 0.4;

/// All rows that probably say nothing, in the order of the pieces.
pub(crate) fn contradictions(sizes: &[SizeModel], pieces: &[Piece], grid: &Grid) -> Vec<Contradiction> {
    let mut out = Vec::new();
    for (index, piece) in pieces.iter().enumerate() {
        for (place, row) in piece.rows.iter().enumerate() {
            let slip: f64 = grid.nodes.iter().map(|n| n.weight * n.slips[index][place]).sum();
            if slip > LIKELY {
                out.push(contradiction(sizes, pieces, piece, row, slip.min(1.0)));
            }
        }
    }
    out
}

fn contradiction(sizes: &[SizeModel], pieces: &[Piece], piece: &Piece, row: &Row, slip: f64) -> Contradiction {
    let against: Vec<usize> = pieces
        .iter()
        .flat_map(|p| p.rows.iter().map(move |r| (p, r)))
        .filter(|other| !std::ptr::eq(other.1, row) && crosses((piece, row), *other))
        .map(|(_, r)| r.line)
        .collect();
    let letter = sizes.get(piece.size).map_or('?', SizeModel::letter);
    let named = format!("line {}: coupon {letter}{:+.2} `{}`", row.line, piece.step_mm, row.outcome.word());
    let why = "a bad print, a wrong tool or a slip of the pen would explain it; its word counts for little";
    let statement = match against.as_slice() {
        [] => format!("{named} does not go with the other rows ({:.0} % sure): {why}", 100.0 * slip),
        lines => {
            let listed = lines.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ");
            let word = if lines.len() == 1 { "line" } else { "lines" };
            format!("{named} stands against {word} {listed} ({:.0} % sure): {why}", 100.0 * slip)
        }
    };
    let lines = std::iter::once(row.line).chain(against).collect();
    Contradiction { lines, probability: slip, statement }
}
