//! Input of the posterior: prior, sizes and evidence.

use gripwright_input::Drag;

use crate::{printed_piece::PrintedPiece, prior::Prior, size_model::SizeModel};

/// Prior, sizes and evidence of one computation.
pub(crate) struct FitProblem<'a> {
    pub(crate) prior: &'a Prior,
    pub(crate) sizes: &'a [SizeModel],
    /// In order of size.
    pub(crate) pieces: &'a [PrintedPiece],
    pub(crate) drags: Vec<Drag>,
    /// True if the finished part is of the material of the coupons.
    pub(crate) printed_part: bool,
}

impl<'a> FitProblem<'a> {
    pub(crate) fn new(
        prior: &'a Prior,
        sizes: &'a [SizeModel],
        pieces: &'a [PrintedPiece],
        printed_part: bool,
    ) -> Self {
        let drags = pieces.iter().flat_map(|p| &p.rows).filter_map(|row| row.drag).collect();
        Self { prior, sizes, pieces, drags, printed_part }
    }

    /// Pieces of one size.
    pub(crate) fn pieces_of_size(&self, index: usize) -> &'a [PrintedPiece] {
        let from = self.pieces.partition_point(|p| p.size < index);
        let to = self.pieces.partition_point(|p| p.size <= index);
        &self.pieces[from..to]
    }
}
