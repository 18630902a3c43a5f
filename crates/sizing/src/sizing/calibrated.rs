//! What trials taught, as sizing takes it.

use gripwright_input::Spec;

use crate::design::records::Design;

/// What trials of coupons taught about the process of a spec.
#[derive(Clone, Debug, PartialEq)]
pub struct Learnt {
    /// The spec with the ranges and spreads that are left after the trials.
    pub spec: Spec,
    /// The sizes that were tried, and the mount.
    pub sizes: Vec<LearntSize>,
}

/// What trials taught about one size, or about the mount. All in mm of diameter, or of the mount's width.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LearntSize {
    /// Its letter; M for the mount.
    pub letter: char,
    /// Its seat as it was designed before the trials.
    pub seat_mm: f64,
    /// By how much it should be drawn wider than designed.
    pub draw_mm: f64,
    /// How far the printed seat should then differ from the designed one.
    pub target_mm: f64,
}

impl LearntSize {
    /// By how much a seat is drawn wider than it is wanted: the error undone.
    pub(crate) fn wider_mm(&self) -> f64 {
        self.draw_mm - self.target_mm
    }
}

/// How much wider than wanted a seat is drawn.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Drawn<'a> {
    /// As it is wanted.
    AsWanted,
    /// As it is wanted, to see whether a changed spec has a design: what would free it is not asked again.
    Trial,
    /// The sizes are those that were tried.
    Tried(&'a [LearntSize]),
    /// The sizes are others: each takes the error of the nearest seat that was tried.
    Nearest(&'a [LearntSize]),
}

impl Drawn<'_> {
    /// For a size (or the mount) of this letter and seat, mm.
    pub(crate) fn wider_mm(&self, letter: char, seat_mm: f64) -> f64 {
        let of = |sizes: &[LearntSize]| sizes.iter().find(|s| s.letter == letter).map_or(0.0, LearntSize::wider_mm);
        match self {
            Self::AsWanted | Self::Trial => 0.0,
            Self::Tried(sizes) => of(sizes),
            Self::Nearest(sizes) if letter == crate::design::coupon::MOUNT_LETTER => of(sizes),
            Self::Nearest(sizes) => {
                let clips = sizes.iter().filter(|s| s.letter != crate::design::coupon::MOUNT_LETTER);
                let off = |s: &&LearntSize| (s.seat_mm - seat_mm).abs();
                clips.min_by(|a, b| off(a).total_cmp(&off(b))).map_or(0.0, LearntSize::wider_mm)
            }
        }
    }
}

/// Whether a design keeps every limit.
pub(crate) fn keeps_all(spec: &Spec, design: &Design) -> bool {
    let stiff = |limit_mm: f64| design.holders.iter().all(|holder| holder.web.working_mm <= limit_mm);
    design.fit.iter().all(|row| row.figures.margin.kept())
        && design.mount_fit.margin.kept()
        && spec.layout.sway_at_most_mm.is_none_or(stiff)
}
