//! A finished solid: a name, its closed boundary, and the sections that it was stacked from.

use gripwright_section::Outline;

use crate::{
    brep::Brep,
    motion::Motion,
    shell::{ShellError, close},
};

/// The outline of one level of a prism, in the drawing of its own outline.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionLevel {
    /// Height over the parting plane, mm.
    pub height_mm: f64,
    /// The outline there, ledges included.
    pub outline: Outline,
    /// Whether chamfers have thinned it: it is an end of a chamfered prism.
    pub chamfered: bool,
    /// Whether each segment is a ledge: a step beside a face that does not move with its neighbours.
    pub ledges: Vec<bool>,
}

/// One closed solid of planes, cylinders and cones. It can only be had closed and oriented.
#[derive(Clone, Debug, PartialEq)]
pub struct Solid {
    name: String,
    brep: Brep,
    levels: Vec<SectionLevel>,
    tunnels: usize,
}

impl Solid {
    /// Closes the pieces of a boundary.
    pub(crate) fn from_pieces(name: &str, pieces: Brep, levels: Vec<SectionLevel>) -> Result<Self, ShellError> {
        Ok(Self { name: name.to_owned(), brep: close(pieces)?, levels, tunnels: 0 })
    }

    /// The same, with windows cut through it.
    pub(crate) fn with_tunnels(self, tunnels: usize) -> Self {
        Self { tunnels, ..self }
    }

    /// Name of the part.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The closed boundary.
    pub fn brep(&self) -> &Brep {
        &self.brep
    }

    /// The different sections that the solid was stacked from, each once; a section that occurs above and below the
    /// parting plane is listed with its lower height. A holder lists those of its mount, then those of its clip.
    pub fn levels(&self) -> &[SectionLevel] {
        &self.levels
    }

    /// How many windows go through it: the genus of its boundary.
    pub fn tunnels(&self) -> usize {
        self.tunnels
    }

    /// The solid moved rigidly. Its levels stay in their own drawing.
    #[must_use]
    pub fn moved(&self, motion: &Motion) -> Self {
        Self { brep: self.brep.moved(motion), ..self.clone() }
    }
}
