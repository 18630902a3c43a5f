//! Rows that do not go with the rest, said plainly.

use gripwright_input::Drag;

use crate::{
    drag_likelihood,
    posterior::{Contradiction, Doubt},
    posterior_grid::Grid,
    printed_piece::{Piece, Row, crosses},
    prior::Prior,
    size_model::SizeModel,
};

/// A row that more probably says nothing than something does not go with the rest; two rows that stand alone against each
/// other share the blame.
const LIKELY: f64 = 0.4;

/// All rows that probably say nothing, in the order of the pieces.
pub(crate) fn contradictions(prior: &Prior, sizes: &[SizeModel], pieces: &[Piece], grid: &Grid) -> Vec<Contradiction> {
    // Where friction is stated, a drag says nothing of it.
    let solved = sizes.iter().any(|s| matches!(s, SizeModel::Solved(_)));
    let places = if solved { grid.over_scatter() } else { Vec::new() };
    let mut out = Vec::new();
    for (index, piece) in pieces.iter().enumerate() {
        for (place, row) in piece.rows.iter().enumerate() {
            let slip: f64 = grid.nodes.iter().map(|n| n.weight * n.slips[index][place]).sum();
            if slip > LIKELY {
                out.push(contradiction(sizes, pieces, piece, row, slip.min(1.0)));
            }
            if let (Some(drag), false) = (row.drag, places.is_empty()) {
                let slip: f64 =
                    places.iter().map(|(w, [_, friction])| w * drag_likelihood::slip(prior, &drag, *friction)).sum();
                if slip > LIKELY {
                    out.push(doubtful_drag(sizes, piece, row, drag, slip.min(1.0)));
                }
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
    Contradiction { about: Doubt::Row, lines, probability: slip, statement }
}

fn doubtful_drag(sizes: &[SizeModel], piece: &Piece, row: &Row, drag: Drag, slip: f64) -> Contradiction {
    let letter = sizes.get(piece.size).map_or('?', SizeModel::letter);
    let statement = format!(
        "line {}: the drag of {:.1} N under {:.1} N beside coupon {letter}{:+.2} does not go with the other rows ({:.0} % \
         sure): a slip of the pen, a wrong load or another face would explain it; it counts for little",
        row.line,
        drag.force_n,
        drag.load_n,
        piece.step_mm,
        100.0 * slip
    );
    Contradiction { about: Doubt::Drag(drag), lines: vec![row.line], probability: slip, statement }
}
