//! Sizes of the casting that decide, on their way from the master as drawn.

use gripwright_casting::{CastingProcess, FaceClass, SizeKind, StepEffect};
use gripwright_sizing::Design;

/// A size from the master as drawn to the casting.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct CastSize {
    /// Name in words.
    pub name: String,
    /// Size that the casting should have, mm.
    pub wanted_mm: f64,
    /// Size of the master as drawn, mm.
    pub drawn_mm: f64,
    /// Size that the casting is predicted to have, mm.
    pub cast_mm: f64,
    /// Its standard deviation, mm.
    pub cast_sd_mm: f64,
    /// Steps on the way.
    pub steps: Vec<StepEffect>,
}

impl CastSize {
    fn new(name: String, process: &CastingProcess, class: FaceClass, kind: SizeKind, wanted_mm: f64) -> Self {
        let chain = process.chain(class);
        let drawn_mm = chain.backwards(wanted_mm, kind);
        let cast = chain.cast_size(drawn_mm, kind);
        let steps = chain.effects(drawn_mm, kind);
        Self { name, wanted_mm, drawn_mm, cast_mm: cast.mean_mm, cast_sd_mm: cast.deviation_mm, steps }
    }

    /// Seats, lengths and distances of a design.
    pub(crate) fn all(design: &Design, process: &CastingProcess) -> Vec<Self> {
        let mut rows = Vec::new();
        for size in &design.sizes {
            let name = format!("seat {}, diameter", size.letter);
            rows.push(Self::new(name, process, FaceClass::Gripping, SizeKind::Inside, 2.0 * size.drawn_radius_mm()));
        }
        for plan in &design.holders {
            let letter = plan.letter;
            let outer = |name, kind, wanted_mm| Self::new(name, process, FaceClass::Outer, kind, wanted_mm);
            rows.push(outer(format!("clip {letter}, length"), SizeKind::Outside, plan.clip_length_mm));
            rows.push(outer(format!("axes {letter}, distance"), SizeKind::Distance, plan.offset_mm));
        }
        if let Some(plan) = design.holders.first() {
            let name = "mount, length".to_owned();
            rows.push(Self::new(name, process, FaceClass::Outer, SizeKind::Outside, plan.mount_length_mm));
        }
        rows
    }
}
