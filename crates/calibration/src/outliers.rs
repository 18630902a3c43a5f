//! States the rows that are inconsistent with the other rows, because they are probably outliers.

use gripwright_input::Drag;

use crate::{
    drag_likelihood,
    fit_problem::FitProblem,
    posterior::{Contradiction, DoubtfulPart},
    posterior_grid::PosteriorGrid,
    printed_piece::RowOfPiece,
    size_model::SizeModel,
};

/// Least outlier probability of a row that is reported. It is below one half because two rows that stand alone against
/// each other share the blame.
const LEAST_PROBABILITY: f64 = 0.4;

/// All rows that are probably outliers, in the order of the pieces.
pub(crate) fn contradictions(problem: &FitProblem<'_>, grid: &PosteriorGrid) -> Vec<Contradiction> {
    let materials = grid.materials();
    let mut out = Vec::new();
    for (index, piece) in problem.pieces.iter().enumerate() {
        for (place, row) in piece.rows.iter().enumerate() {
            let doubtful = RowOfPiece { piece, row };
            let probability: f64 = grid.nodes.iter().map(|n| n.weight * n.outliers[index][place]).sum();
            if probability > LEAST_PROBABILITY {
                out.push(doubtful_outcome(problem, doubtful, probability.min(1.0)));
            }
            if let Some(drag) = row.drag {
                let outlier = |friction: f64| drag_likelihood::outlier_probability(problem.prior, &drag, friction);
                let probability: f64 = materials.iter().map(|m| m.weight * outlier(m.friction)).sum();
                if probability > LEAST_PROBABILITY {
                    out.push(doubtful_drag(problem, doubtful, drag, probability.min(1.0)));
                }
            }
        }
    }
    out
}

fn doubtful_outcome(problem: &FitProblem<'_>, doubtful: RowOfPiece<'_>, probability: f64) -> Contradiction {
    let RowOfPiece { piece, row } = doubtful;
    let against: Vec<usize> = problem
        .pieces
        .iter()
        .flat_map(|piece| piece.rows.iter().map(move |row| RowOfPiece { piece, row }))
        .filter(|other| !std::ptr::eq(other.row, row) && doubtful.contradicts(*other))
        .map(|other| other.row.line)
        .collect();
    let letter = letter(problem, piece.size);
    let named = format!("line {}: coupon {letter}{:+.2} `{}`", row.line, piece.step_mm, row.outcome.word());
    let why = "a bad print, a wrong tool or a slip of the pen would explain it; its word counts for little";
    let statement = match against.as_slice() {
        [] => format!("{named} does not go with the other rows ({:.0} % sure): {why}", 100.0 * probability),
        lines => {
            let listed = lines.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ");
            let word = if lines.len() == 1 { "line" } else { "lines" };
            format!("{named} stands against {word} {listed} ({:.0} % sure): {why}", 100.0 * probability)
        }
    };
    let lines = std::iter::once(row.line).chain(against).collect();
    Contradiction { part: DoubtfulPart::Outcome, lines, probability, statement }
}

fn doubtful_drag(problem: &FitProblem<'_>, doubtful: RowOfPiece<'_>, drag: Drag, probability: f64) -> Contradiction {
    let RowOfPiece { piece, row } = doubtful;
    let letter = letter(problem, piece.size);
    let statement = format!(
        "line {}: the drag of {:.1} N under {:.1} N beside coupon {letter}{:+.2} does not go with the other rows ({:.0} % \
         sure): a slip of the pen, a wrong load or another face would explain it; it counts for little",
        row.line,
        drag.force_n,
        drag.load_n,
        piece.step_mm,
        100.0 * probability
    );
    Contradiction { part: DoubtfulPart::Drag(drag), lines: vec![row.line], probability, statement }
}

fn letter(problem: &FitProblem<'_>, size: usize) -> char {
    problem.sizes.get(size).map_or('?', SizeModel::letter)
}
