//! The person who tried the coupons, in sentences and in the calibration's document.

use gripwright_calibration::{Limit, ParameterEstimate, PersonEstimate, Posterior, SizePosterior};
use serde_json::{Value, json};

/// A hold that is surely farther from what is asked than this, as a factor, is worth a sentence.
const WORTH_SAYING: f64 = 1.15;
/// A window wider than this has an edge that no coupon has shown yet, mm.
const OPEN_WINDOW_MM: f64 = 1.5;
/// Probability from which on the person seems to compare slices with the whole clip.
const SEEMS: f64 = 0.5;

/// Returns sentences on what the person calls good, and on the limits that stand against it.
pub(crate) fn sentences(posterior: &Posterior) -> Vec<String> {
    let person = posterior.person.iter().flat_map(|person| {
        let whole_clip = (person.compares_with_whole_clip > SEEMS).then(|| {
            "Slices seem to be judged as if they were the whole clip. A slice need hold only its share: the card says how much."
                .to_owned()
        });
        [Some(window(&person.window_mm)), hold(&person.hold_over_asked), whole_clip].into_iter().flatten()
    });
    person.chain(posterior.sizes.iter().filter_map(limit)).collect()
}

fn window(width: &ParameterEstimate) -> String {
    let [low, high] = width.interval90;
    if high > OPEN_WINDOW_MM {
        return "You call good: a window whose edges the coupons have not both shown.".to_owned();
    }
    format!("You call good: a window of {:.2} mm ({low:.2} to {high:.2}) of the seat's diameter.", width.median)
}

fn hold(over_asked: &ParameterEstimate) -> Option<String> {
    let [low, high] = over_asked.interval90;
    let differs = low > WORTH_SAYING || high < 1.0 / WORTH_SAYING;
    differs.then(|| {
        format!("It begins at {:.1} times the hold that the spec asks ({low:.1} to {high:.1}).", over_asked.median)
    })
}

fn limit(size: &SizePosterior) -> Option<String> {
    let name = if size.letter == 'M' { "The mount".to_owned() } else { format!("Size {}", size.letter) };
    let (limit, wish) = match size.limit? {
        Limit::PushOrStrain => ("push or strain", "tighter"),
        Limit::Hold => ("hold", "looser"),
    };
    Some(format!("{name} stays at the limit of {limit}, although you wish it {wish}."))
}

/// Returns the entry of the calibration's document; null before the first trial.
pub(crate) fn document(posterior: &Posterior) -> Value {
    let Some(PersonEstimate { hold_over_asked, window_mm, compares_with_whole_clip, .. }) = &posterior.person else {
        return Value::Null;
    };
    let limits = posterior.sizes.iter().filter_map(|size| {
        let limit = match size.limit? {
            Limit::PushOrStrain => "push or strain",
            Limit::Hold => "hold",
        };
        Some(json!({ "size": size.letter, "limit": limit }))
    });
    json!({
        "window_mm": window_mm.median,
        "window_90_mm": window_mm.interval90,
        "hold_over_asked": hold_over_asked.median,
        "hold_over_asked_90": hold_over_asked.interval90,
        "compares_with_whole_clip": compares_with_whole_clip,
        "at_limit": limits.collect::<Vec<_>>(),
    })
}
