//! Explains tapering bodies: faults, and notes on the taper that the mount follows.

use gripwright_input::Body;

use crate::{
    problem::Problem, rounding::floor_to, shape::even_taper::Taper, shape::taper_fault::TaperFault,
    shape::uneven_taper::UnevenTaper,
};

/// Explains a body whose two sections give no taper.
pub(crate) fn taper_problem(body: &Body, fault: &TaperFault) -> Problem {
    match fault {
        TaperFault::SectionNotDrawable { reason } => {
            Problem::bad_spec("body.profile", "body-not-drawable", reason.clone())
        }
        TaperFault::FarSectionNotDrawable { reason } => {
            Problem::bad_spec("body.far.profile", "body-not-drawable", reason.clone())
        }
        TaperFault::TooSteep { deg, steepest_deg } => {
            let message = format!("`body.far`: the body tapers by {deg:.1} deg where it is steepest");
            Problem::bad_spec("body.far.at", "taper-too-steep", message)
                .with_allowed(format!("at most {steepest_deg} deg"))
                .with_hint("check the distance and the unit of the second section; no friction holds on a steep cone")
        }
        TaperFault::NotContinued { at_mm, longest_mm, reason } => {
            let toward = if *at_mm > 0.0 { "-" } else { "" };
            let message = format!(
                "`body.far.profile`: {toward}{} mm from the middle of the mount, beyond `body.profile`, the body cannot be \
                 told from its two sections: {reason}",
                0.5 * body.mount_length_mm
            );
            let problem = Problem::bad_spec("body.far.profile", "taper-unknown", message).with_allowed(
                "sections that can be continued beyond the first one, as far as the mount reaches".to_owned(),
            );
            let other = format!("a second section at {} mm, on the other side", -at_mm);
            match longest_mm.map(|mm| floor_to(mm, 0.1)).filter(|mm| *mm >= 4.0) {
                Some(mm) => problem.with_hint(format!("measure {other}, or make the mount at most {mm} mm long")),
                None => problem.with_hint(format!("measure {other}, or one with the flats that the first has")),
            }
        }
    }
}

/// Note on a body that tapers evenly.
pub(crate) fn even_taper_note(taper: &Taper, length_mm: f64) -> Option<String> {
    (taper.slope.abs() > 0.0).then(|| {
        format!(
            "The body tapers by {:.2}° on each side and is thinner toward where the stations count {}; the second \
             section lies at most {:.3} mm off an even taper. The mount's seat follows it, {:.2} mm from end to end on \
             each side, its back stays straight. Along the axis the grip itself pushes toward the thin end, which is \
             taken off the hold.",
            taper.slope.atan().to_degrees().abs(),
            if taper.slope > 0.0 { "up" } else { "down" },
            taper.residual_mm,
            2.0 * taper.end_mm(length_mm)
        )
    })
}

/// Note on a body that tapers unevenly.
pub(crate) fn uneven_taper_note(taper: &UnevenTaper, length_mm: f64) -> String {
    let [least, most] = taper.slopes().map(|slope| slope.atan().to_degrees());
    format!(
        "The body tapers unevenly: toward where the stations count up its sides move inward by {least:.2}° to \
         {most:.2}°. Between the two sections, and beyond the first as far as the mount reaches, every side moves \
         evenly. The mount follows it over its {length_mm:.1} mm with one wall, in planes, cones and oblique cones; push, \
         strain and hold are the worse of its two ends, odds and coupons those of its middle. Along the axis the steepest \
         side is taken off the hold."
    )
}
