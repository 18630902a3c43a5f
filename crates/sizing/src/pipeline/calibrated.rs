//! Results of trials as sizing takes them, and the correction of the bores that follows.

use gripwright_input::Spec;

use crate::{design::Design, design::coupon::MOUNT_LETTER};

/// Results of trials about the process of a spec.
#[derive(Clone, Debug, PartialEq)]
pub struct Calibrated {
    /// The spec with the ranges and spreads that are left after the trials.
    pub spec: Spec,
    /// The sizes that were tried, and the mount.
    pub sizes: Vec<CalibratedSeat>,
}

/// Result of the trials for the seat of one size, or of the mount. All in mm of diameter, or of the mount's width.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CalibratedSeat {
    /// Letter of the size; M for the mount.
    pub letter: char,
    /// Seat as designed before the trials.
    pub seat_mm: f64,
    /// Difference of the drawn seat from the designed one; positive is wider.
    pub draw_mm: f64,
    /// Difference of the printed seat from the designed one that results.
    pub target_mm: f64,
}

impl CalibratedSeat {
    /// Difference of the drawn seat from the wanted one: the error of the process undone.
    fn correction_mm(&self) -> f64 {
        self.draw_mm - self.target_mm
    }
}

/// Correction of the drawn seats against the wanted ones.
#[derive(Clone, Copy, Debug)]
pub(crate) enum BoreCorrection<'a> {
    /// Seats are drawn as wanted.
    None,
    /// The sizes are those that were tried.
    Tried(&'a [CalibratedSeat]),
    /// The sizes are others: each takes the error of the nearest seat that was tried.
    Nearest(&'a [CalibratedSeat]),
}

impl BoreCorrection<'_> {
    /// Difference of the drawn seat from the wanted one, mm, for a size (or the mount) of this letter and seat.
    pub(crate) fn wider_mm(&self, letter: char, seat_mm: f64) -> f64 {
        let of_letter = |sizes: &[CalibratedSeat]| {
            sizes.iter().find(|s| s.letter == letter).map_or(0.0, CalibratedSeat::correction_mm)
        };
        match self {
            Self::None => 0.0,
            Self::Tried(sizes) => of_letter(sizes),
            Self::Nearest(sizes) if letter == MOUNT_LETTER => of_letter(sizes),
            Self::Nearest(sizes) => {
                let clips = sizes.iter().filter(|s| s.letter != MOUNT_LETTER);
                let distance = |s: &&CalibratedSeat| (s.seat_mm - seat_mm).abs();
                clips.min_by(|a, b| distance(a).total_cmp(&distance(b))).map_or(0.0, CalibratedSeat::correction_mm)
            }
        }
    }
}

/// True if a design keeps every limit.
pub(crate) fn keeps_all_limits(design: &Design, sway_at_most_mm: Option<f64>) -> bool {
    let stiff = |limit_mm: f64| design.holders.iter().all(|holder| holder.web.working.at_least_mm() <= limit_mm);
    design.fit.iter().all(|row| row.figures.margin.is_kept())
        && design.mount_fit.margin.is_kept()
        && sway_at_most_mm.is_none_or(stiff)
}
