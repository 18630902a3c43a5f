//! The person who tries coupons: where *loose* and *tight* begin for this hand.
//!
//! The forces that the spec asks for are the middle of the belief and not the truth. A person may judge by feel of the
//! seat: then a window of some width about some middle is good, the same in all sizes. Or a person may judge by force:
//! then hold and push that count as enough are some multiple of those that are asked, the same in all sizes. Or the
//! person may expect of a slice what is asked of the whole clip. All three are believed at once, each over a grid.

/// Criterion by which a person tells loose, good and tight apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Criterion {
    /// Words are not counted.
    Silent,
    /// By the seat: its change against the design's, mm of diameter.
    Seat {
        /// Middle of the good window.
        middle_mm: f64,
        /// Width of the good window.
        width_mm: f64,
    },
    /// By force.
    Force {
        /// Logarithm of the hold that is enough over the hold that is asked.
        hold_log: f64,
        /// Logarithm of the push that is too much over the push that is allowed.
        push_log: f64,
        /// True if a slice is compared with the whole clip.
        whole_clip: bool,
    },
}

/// A possible person with its prior probability.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Person {
    pub(crate) criterion: Criterion,
    /// Logarithm of the probability, up to a constant that all persons share.
    pub(crate) log_prior: f64,
}

/// Prior probability of each kind. Assumptions, no source.
const BY_SEAT: f64 = 0.55;
const BY_FORCE: f64 = 0.35;
const BY_WHOLE_CLIP: f64 = 0.10;
/// Places and step of the middle, mm, and its two spreads with the share of the wider. Assumptions, no source.
const MIDDLE_PLACES: i32 = 11;
const MIDDLE_STEP_MM: f64 = 0.04;
const MIDDLE_SDS_MM: [f64; 2] = [0.05, 0.25];
const FAR_MIDDLE_SHARE: f64 = 0.15;
/// Least and greatest believed width, mm, and the factor between neighbours. Assumptions, no source.
const LEAST_WIDTH_MM: f64 = 0.05;
const GREATEST_WIDTH_MM: f64 = 0.6;
const WIDTH_FACTOR: f64 = 1.27;
/// Widths beyond the greatest that are kept, each half as probable as the one before.
const WIDER_PLACES: i32 = 4;
/// Step and places of the logarithm of the hold, its two spreads, and the share of the wider. Assumptions, no source.
const HOLD_LOG_STEP: f64 = 0.15;
const HOLD_PLACES: i32 = 8;
const FORCE_LOG_SDS: [f64; 2] = [0.25, 0.7];
const FAR_FORCE_SHARE: f64 = 0.2;
/// The same of the push, which few coupons reach.
const PUSH_LOG_STEP: f64 = 0.3;
const PUSH_PLACES: i32 = 3;
/// Places either way for a person who compares with the whole clip.
const WHOLE_CLIP_PLACES: i32 = 3;

/// Returns all persons that are believed in.
pub(crate) fn persons() -> Vec<Person> {
    let mut out = kind(BY_SEAT, &seat_persons());
    out.extend(kind(BY_FORCE, &force_persons(HOLD_PLACES, false)));
    out.extend(kind(BY_WHOLE_CLIP, &force_persons(WHOLE_CLIP_PLACES, true)));
    out
}

/// Persons of one kind, whose probabilities sum to that of the kind.
fn kind(probability: f64, members: &[(Criterion, f64)]) -> Vec<Person> {
    let total: f64 = members.iter().map(|(_, weight)| weight).sum();
    let person = |(criterion, weight): &(Criterion, f64)| Person {
        criterion: *criterion,
        log_prior: (probability * weight / total).ln(),
    };
    members.iter().map(person).collect()
}

fn seat_persons() -> Vec<(Criterion, f64)> {
    let mut widths = Vec::new();
    let mut width_mm = LEAST_WIDTH_MM;
    while width_mm <= 1.01 * GREATEST_WIDTH_MM {
        widths.push((width_mm, 1.0));
        width_mm *= WIDTH_FACTOR;
    }
    widths.extend((0..WIDER_PLACES).map(|k| (width_mm * WIDTH_FACTOR.powi(k), 0.5_f64.powi(k + 1))));
    let mut out = Vec::new();
    for k in -MIDDLE_PLACES..=MIDDLE_PLACES {
        let middle_mm = MIDDLE_STEP_MM * f64::from(k);
        let weight = mixture(middle_mm, MIDDLE_SDS_MM, FAR_MIDDLE_SHARE);
        out.extend(
            widths.iter().map(|(width_mm, share)| (Criterion::Seat { middle_mm, width_mm: *width_mm }, weight * share)),
        );
    }
    out
}

fn force_persons(hold_places: i32, whole_clip: bool) -> Vec<(Criterion, f64)> {
    let mut out = Vec::new();
    for k in -hold_places..=hold_places {
        for j in -PUSH_PLACES..=PUSH_PLACES {
            let (hold_log, push_log) = (HOLD_LOG_STEP * f64::from(k), PUSH_LOG_STEP * f64::from(j));
            let weight = [hold_log, push_log].map(|log| mixture(log, FORCE_LOG_SDS, FAR_FORCE_SHARE));
            out.push((Criterion::Force { hold_log, push_log, whole_clip }, weight[0] * weight[1]));
        }
    }
    out
}

/// Density of a mixture of two normal distributions about zero, up to a constant.
fn mixture(x: f64, [near, far]: [f64; 2], far_share: f64) -> f64 {
    let normal = |sd: f64| (-0.5 * (x / sd).powi(2)).exp() / sd;
    (1.0 - far_share) * normal(near) + far_share * normal(far)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn probabilities_sum_to_one_and_the_asked_forces_are_the_middle() {
        let all = persons();
        let total: f64 = all.iter().map(|p| p.log_prior.exp()).sum();
        assert!((total - 1.0).abs() < 1e-9, "{total}");
        let most = all.iter().max_by(|a, b| a.log_prior.total_cmp(&b.log_prior)).map(|p| p.criterion);
        assert!(matches!(most, Some(Criterion::Force { hold_log: 0.0, push_log: 0.0, .. })), "{most:?}");
    }
}
