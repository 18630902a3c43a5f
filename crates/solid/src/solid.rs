//! Finished solid: a name, a closed boundary, and the sections from which it was stacked.

use gripwright_section::Outline;

use crate::{
    brep::Brep,
    motion::Motion,
    shell::{ShellError, close_shell},
};

/// Outline at one level of a prism, in the prism's own drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionLevel {
    /// Height over the middle of the prism, mm.
    pub height_mm: f64,
    /// Outline at this height, ledges included.
    pub outline: Outline,
    /// True at a chamfered end, where the chamfer thins the walls.
    pub chamfered: bool,
    /// True for each segment that is a ledge: a step beside a face that does not move with its neighbours.
    pub ledges: Vec<bool>,
}

impl SectionLevel {
    /// Level without chamfer and ledges.
    pub(crate) fn plain(height_mm: f64, outline: Outline) -> Self {
        let ledges = vec![false; outline.segments().len()];
        Self { height_mm, outline, chamfered: false, ledges }
    }
}

/// Closed solid of planes, cylinders and cones. Construction guarantees that it is closed and oriented.
#[derive(Clone, Debug, PartialEq)]
pub struct Solid {
    name: String,
    brep: Brep,
    levels: Vec<SectionLevel>,
    tunnels: usize,
}

impl Solid {
    /// Creates a solid from faces that must form a closed shell.
    pub(crate) fn from_faces(name: &str, faces: Brep, levels: Vec<SectionLevel>) -> Result<Self, ShellError> {
        Ok(Self { name: name.to_owned(), brep: close_shell(faces)?, levels, tunnels: 0 })
    }

    /// The same solid with this number of windows through it.
    pub(crate) fn with_tunnels(self, tunnels: usize) -> Self {
        Self { tunnels, ..self }
    }

    /// Name of the part.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Closed boundary.
    pub fn brep(&self) -> &Brep {
        &self.brep
    }

    /// Sections from which the solid was stacked, without duplicates. A section that occurs above and below a
    /// parting plane in the middle is listed with its lower height. A holder lists the sections of its mount, then those of its clips.
    pub fn levels(&self) -> &[SectionLevel] {
        &self.levels
    }

    /// Number of windows through the solid: the genus of its boundary.
    pub fn tunnels(&self) -> usize {
        self.tunnels
    }

    /// The solid after a rigid motion. Its levels stay in their own drawing.
    #[must_use]
    pub fn moved(&self, motion: &Motion) -> Self {
        Self { brep: self.brep.moved(motion), ..self.clone() }
    }
}
