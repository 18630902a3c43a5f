//! Measurement that would narrow stiffness and friction most, as a sentence and in the calibration's document.

use gripwright_calibration::{ForceKind, Measurement, NextMeasurement};
use gripwright_input::{Spec, coupon_identity};
use gripwright_sizing::Design;
use serde_json::{Value, json};

use crate::calibration_run::size_letter;

/// Returns a sentence on the measurement to make next; `None` when enough is known.
pub(crate) fn sentence(next: Option<&NextMeasurement>, spec: &Spec, design: &Design) -> Option<String> {
    let NextMeasurement { stiffness_uncertainty, friction_uncertainty, best, .. } = next?;
    let what = match best {
        Measurement::Drag => "dragging a barrel over the print under a load (`drag` and `load`)".to_owned(),
        Measurement::Force { kind, size, step_mm, tool } => {
            let how = match kind {
                ForceKind::PullOut => "pulling it out through the mouth (`pull`)",
                ForceKind::Slide => "sliding it along (`slide`)",
            };
            let with = tool.and_then(|t| spec.tools.get(t)).map_or("the body", |tool| tool.name.as_str());
            format!("{how}: coupon {} with {with}", coupon_identity(size_letter(design, *size), *step_mm))
        }
    };
    let [stiffness, friction] = [stiffness_uncertainty, friction_uncertainty].map(|share| 100.0 * share);
    Some(format!(
        "stiffness may be off by {stiffness:.0} %, friction by {friction:.0} %. Of what a luggage scale can measure, this \
         tells most now: {what}."
    ))
}

/// Returns the entry of the calibration's document; null when enough is known.
pub(crate) fn document(next: Option<&NextMeasurement>, spec: &Spec, design: &Design) -> Value {
    let Some(NextMeasurement { stiffness_uncertainty, friction_uncertainty, best, .. }) = next else {
        return Value::Null;
    };
    let best = match best {
        Measurement::Drag => json!({ "what": "drag" }),
        Measurement::Force { kind, size, step_mm, tool } => json!({
            "what": match kind {
                ForceKind::PullOut => "pull",
                ForceKind::Slide => "slide",
            },
            "coupon": coupon_identity(size_letter(design, *size), *step_mm),
            "tool": tool.and_then(|t| spec.tools.get(t)).map(|tool| tool.name.as_str()),
        }),
    };
    json!({ "stiffness_off": stiffness_uncertainty, "friction_off": friction_uncertainty, "best": best })
}
