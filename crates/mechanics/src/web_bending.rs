//! Bending of a web that consists of several pieces, from the mount to the clips.

use crate::{
    web_beam::{WebBeam, WebState},
    web_displacement::{PointDisplacement, WorkingLoad},
    web_posts::WebPosts,
};

/// The web as a stack of beams under the working load at the tool.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WebBending {
    /// Pieces from the mount up to the clips' pads; pieces without length are ignored.
    pub pieces: [WebPosts; 4],
    /// Mean width lost to draft, mm.
    pub drafted_mm: f64,
    /// Working load at the tool.
    pub load: WorkingLoad,
    /// Least modulus of the material, MPa.
    pub modulus_mpa: f64,
    /// Poisson's ratio.
    pub poisson: f64,
}

impl WebBending {
    fn pieces(&self) -> impl Iterator<Item = &WebPosts> {
        self.pieces.iter().filter(|piece| piece.post.length_mm > 0.0)
    }

    /// Returns the state of the web as drawn under a force across (N) that acts ahead of the clips' middle (mm).
    pub fn state_under(&self, across_n: f64, ahead_mm: f64) -> WebState {
        // A piece without length moves nothing but is strained.
        self.pieces.iter().fold(WebState::default(), |sum, piece| {
            let state = piece.state_under(across_n, ahead_mm, self.modulus_mpa, self.poisson);
            WebState {
                strain: sum.strain.max(state.strain),
                sway_mm: sum.sway_mm + state.sway_mm,
                turn_rad: sum.turn_rad + state.turn_rad,
                ..state
            }
        })
    }

    /// Greatest strain in the web's plane under a multiple of the working load.
    pub fn strain_in_plane(&self, times: f64) -> f64 {
        let load =
            WorkingLoad { across_n: times * self.load.across_n, along_n: times * self.load.along_n, ..self.load };
        self.pieces().map(|piece| piece.strain_in_plane(&load, self.modulus_mpa)).fold(0.0, f64::max)
    }

    /// Displacement of the tool's point, mm, for a web of another width (mm) that is shorter by `shorter_mm`.
    pub fn displacement_mm(&self, width_mm: f64, shorter_mm: f64) -> f64 {
        let mut shorter_mm = shorter_mm;
        let displacements = self.pieces().map(|piece| {
            // The lowest piece is what a smaller offset takes away.
            let length_mm = (piece.post.length_mm - std::mem::take(&mut shorter_mm)).max(0.0);
            let post = WebBeam { width_mm: (width_mm - self.drafted_mm).max(0.1), length_mm, ..piece.post };
            WebPosts { post, ..*piece }.displacement(&self.load, self.modulus_mpa, self.poisson)
        });
        displacements.fold(PointDisplacement::default(), PointDisplacement::plus).greatest_mm()
    }

    /// Length of the lowest piece, mm.
    pub fn foot_mm(&self) -> f64 {
        self.pieces().next().map_or(0.0, |piece| piece.post.length_mm)
    }
}
