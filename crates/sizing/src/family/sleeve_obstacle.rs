//! Properties of a spec that rule out sleeves, whatever its tools.

use gripwright_input::Spec;

/// Reason why no sleeves can be made for a spec.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub(crate) enum SleeveObstacle {
    /// No mould of two halves releases the collars.
    #[error(
        "sleeves have a collar at either end, which no mould of two halves lets go: `finish.draft` is {:.2} deg",
        draft_rad.to_degrees()
    )]
    Draft { draft_rad: f64 },
    /// Sleeves fit one clip alone.
    #[error("sleeves are made for one clip: `layout.stations` has {count}")]
    SeveralStations { count: usize },
    /// The stop takes the room of the collars.
    #[error("the collars of a sleeve need the room before the stop: `layout.stop` stands at {at_mm} mm")]
    Stop { at_mm: f64 },
}

impl SleeveObstacle {
    /// The first obstacle of a spec.
    pub(crate) fn first_in(spec: &Spec) -> Option<Self> {
        let (draft_rad, count) = (spec.finish.draft_rad, spec.layout.stations_mm.len());
        if draft_rad > 0.0 {
            return Some(Self::Draft { draft_rad });
        }
        if count > 1 {
            return Some(Self::SeveralStations { count });
        }
        spec.layout.stop_at_mm.map(|at_mm| Self::Stop { at_mm })
    }
}
