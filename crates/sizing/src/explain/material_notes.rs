//! Notes on what the ranges of the material leave open, which measurement narrows them most, and on the push by hand.

use gripwright_input::{FigureBounds, REFERENCE_TEMPERATURE_C, SharesByTemperature, Spec};

use crate::{
    design::Design,
    design::fit_row::FitFigures,
    design::material_effect::{ForceSpread, HoldClass, MaterialEffect, MeasureFirst},
};

/// Push from which on the note compares it with hands, N.
const NOTABLE_PUSH_N: f64 = 45.0;
/// Name of the mount among the parts.
const THE_MOUNT: &str = "the mount";
/// Ratio below which a range is as good as measured.
const NARROW: f64 = 1.05;

/// Accuracy of the model against the range that the material leaves.
pub(crate) fn accuracy_note(design: &Design) -> String {
    let effects = || parts(design).map(|(_, figures)| figures.material);
    let push = times(effects().map(|effect| effect.snap_in_spread));
    let pull = times(effects().map(|effect| effect.pull_out_spread));
    let decides = match (push, pull) {
        (Some(push), Some(pull)) => {
            format!("your material decides the rest: {push} between its ends for the push, {pull} for the pull")
        }
        _ => "your material decides the rest".to_owned(),
    };
    format!(
        "Forces and strains come from a beam model with contact and friction. It is within 3 % of finite elements for \
         round and tapered clips, lead-ins and a rounded rectangle on rigid pads, and within 4 % for round clips on pads \
         that give way; {decides}. Creep, plastic flow, compression at the pad's fillets and print errors are not in it. Try the \
         coupons before you trust them."
    )
}

/// The figure of the material whose measurement would narrow the widest range of push most.
pub fn measure_first(spec: &Spec, design: &Design) -> Option<MeasureFirst> {
    let whole = |figures: &FitFigures| figures.material.snap_in_spread.whole();
    // Coupons do not measure a friction that belongs to mount and body alone.
    let own_friction = spec.body.friction.is_some();
    let (part, figures) = parts(design)
        .filter(|(part, figures)| whole(figures).is_finite() && !(own_friction && part == THE_MOUNT))
        .max_by(|a, b| whole(a.1).total_cmp(&whole(b.1)))?;
    let ForceSpread { by_modulus, by_friction } = figures.material.snap_in_spread;
    let spread = by_modulus * by_friction;
    // A measured modulus still softens with strain, so that it gains no more than its own range.
    let FigureBounds { least, greatest } = spec.material.part_material().modulus_mpa;
    let modulus_gain = (greatest / least).min(by_modulus);
    let (figure, gain, other_gain) = if by_friction >= modulus_gain {
        ("friction", by_friction, modulus_gain)
    } else {
        ("modulus", modulus_gain, by_friction)
    };
    (gain > NARROW).then(|| MeasureFirst {
        figure,
        part,
        spread,
        narrowed_spread: spread / gain,
        other_spread: spread / other_gain,
    })
}

/// The measured figure that would narrow the widest range of push most.
pub(crate) fn measurement_note(spec: &Spec, design: &Design) -> Option<String> {
    let MeasureFirst { figure, part, spread, narrowed_spread, other_spread } = measure_first(spec, design)?;
    let other = if figure == "friction" { "modulus" } else { "friction" };
    let only = if other_spread * NARROW < spread {
        format!("; a measured {other} only to ×{other_spread:.1}.")
    } else {
        format!("; the {other} is known well enough.")
    };
    let narrowed = format!(
        "For the shape as it is, a measured {figure} would narrow the push of {part} from ×{spread:.1} to \
             ×{narrowed_spread:.1}{only} Sized anew, the part may spend some of that on a smaller shape."
    );
    let how = if spec.material.cast.is_some() {
        "Coupons of the print do not measure the cast material."
    } else {
        "Coupons measure both: `gripwright coupons SPEC --next` makes them, `gripwright calibrate SPEC trials.csv` learns \
         from them. The column `drag` tells friction alone, `pull` and `slide` both together."
    };
    let file = format!(
        "A value of a data sheet or a test does the same as `{figure}` of a material in a file of your own \
         (`material.library`)."
    );
    Some(format!("{narrowed} {how} {file}"))
}

/// What the material declares for the temperature of use, and what it does not.
pub(crate) fn temperature_note(spec: &Spec) -> Option<String> {
    let celsius = spec.fit.temperature_c;
    let material = spec.material.part_material();
    let figure =
        |(what, shares): (&str, Option<&SharesByTemperature>)| match shares.and_then(|shares| shares.at(celsius)) {
            Some(share) => format!("{what} {:.0} % of that at 23 °C", 100.0 * share),
            None => format!("{what} not declared, so that it counts as at 23 °C"),
        };
    ((celsius - REFERENCE_TEMPERATURE_C).abs() > 0.0).then(|| {
        let figures = material.shares_by_temperature().map(figure).join("; ");
        let service = match material.service_temperature_c {
            Some(most) => format!("It serves up to {most} °C."),
            None => "Up to which temperature it serves is not declared.".to_owned(),
        };
        format!(
            "Figures cover 23 °C, at which it is snapped on, and {celsius} °C. {} declares for {celsius} °C: {figures}. {service} \
             Coupons are tried at 23 °C.",
            material.title
        )
    })
}

/// Comparison of the greatest push with hands.
pub(crate) fn push_by_hand_note(spec: &Spec, design: &Design) -> Option<String> {
    let mut pushes: Vec<(String, f64)> = Vec::new();
    for (part, figures) in parts(design) {
        let push = figures.snap_in_n.greatest;
        match pushes.last_mut() {
            Some((last, greatest)) if *last == part => *greatest = greatest.max(push),
            _ => pushes.push((part, push)),
        }
    }
    let hard: Vec<String> = pushes
        .iter()
        .filter(|(_, push)| *push > NOTABLE_PUSH_N)
        .map(|(part, push)| format!("{part} up to {push:.0} N"))
        .collect();
    (!hard.is_empty()).then(|| {
        format!(
            "A firm push by hand snaps on: {}. The limit here is {:.0} N (`snap_on.at_most` under [fit], 40 N by \
             default). For comparison, as a lower bound for a whole hand: a pinch of thumb and finger gives about 60 N for a \
             moment and 35 N for long (weak men, 5th percentile), about 45 % less for women (from memory).",
            hard.join(", "),
            spec.fit.snap_on_at_most_n,
        )
    })
}

/// Parts that friction alone holds.
pub(crate) fn friction_alone_note(design: &Design) -> Option<String> {
    let alone = |material: &MaterialEffect| material.hold_class == HoldClass::FrictionAlone;
    let mut held: Vec<String> =
        parts(design).filter(|(_, figures)| alone(&figures.material)).map(|(part, _)| part).collect();
    held.dedup();
    (!held.is_empty()).then(|| {
        format!("Friction alone holds these across the axis; wet or oily they may let go: {}.", held.join(", "))
    })
}

/// Every fit with the name of its part, the mount last.
fn parts(design: &Design) -> impl Iterator<Item = (String, &FitFigures)> {
    let rows = design.fit.iter().map(|row| (format!("size {}", row.letter), &row.figures));
    rows.chain([(THE_MOUNT.to_owned(), &design.mount_fit)])
}

/// Ratio over both ranges: one, or the least and the greatest. `None` if none is finite.
fn times(spreads: impl Iterator<Item = ForceSpread>) -> Option<String> {
    let whole: Vec<f64> = spreads.map(|spread| spread.whole()).filter(|whole| whole.is_finite()).collect();
    let [least, greatest] = [f64::min, f64::max].map(|pick| whole.iter().copied().reduce(pick));
    let [least, greatest] = [format!("×{:.1}", least?), format!("×{:.1}", greatest?)];
    Some(if least == greatest { least } else { format!("{least} to {greatest}") })
}

#[cfg(test)]
mod tests {
    use gripwright_input::{MaterialLibrary, STARTER_SPEC, read_spec};

    use super::*;
    use crate::sizing::size;

    fn starter() -> (Spec, Design) {
        let spec = read_spec(STARTER_SPEC, "starter.toml", &MaterialLibrary::built_in()).expect("it is sound").spec;
        let design = size(&spec).expect("the starter has a design");
        (spec, design)
    }

    /// Sets the spread of the push of all fits.
    fn with_spread(design: &mut Design, spread: ForceSpread) {
        for figures in design.fit.iter_mut().map(|row| &mut row.figures).chain([&mut design.mount_fit]) {
            figures.material.snap_in_spread = spread;
        }
    }

    #[test]
    fn the_wider_range_is_the_one_to_measure_first() {
        let (mut spec, mut design) = starter();
        with_spread(&mut design, ForceSpread { by_modulus: 1.6, by_friction: 2.5 });
        let note = measurement_note(&spec, &design).expect("there is something to measure");
        assert!(note.contains("a measured friction would narrow") && note.contains("from ×4.0 to ×1.6"), "{note}");
        with_spread(&mut design, ForceSpread { by_modulus: 2.5, by_friction: 1.6 });
        spec.material.print.modulus_mpa = FigureBounds { least: 1000.0, greatest: 2500.0 };
        let note = measurement_note(&spec, &design).expect("there is something to measure");
        assert!(note.contains("a measured modulus would narrow") && note.contains("from ×4.0 to ×1.6"), "{note}");
        with_spread(&mut design, ForceSpread { by_modulus: 1.6, by_friction: 1.0 });
        let note = measurement_note(&spec, &design).expect("there is something to measure");
        assert!(note.contains("a measured modulus would") && note.contains("friction is known well enough"), "{note}");
        // What softens with strain is no range of the modulus.
        spec.material.print.modulus_mpa = FigureBounds { least: 2000.0, greatest: 2200.0 };
        let first = measure_first(&spec, &design).expect("there is something to measure");
        assert!((first.narrowed_spread - 1.6 / 1.1).abs() < 1e-12, "{first:?}");
        with_spread(&mut design, ForceSpread { by_modulus: 1.0, by_friction: 1.0 });
        assert_eq!(measurement_note(&spec, &design), None);
    }

    #[test]
    fn the_range_of_the_material_is_one_number_or_its_least_and_greatest() {
        let spread = |by_friction: f64| ForceSpread { by_modulus: 2.0, by_friction };
        assert_eq!(times([spread(1.5), spread(1.5)].into_iter()).as_deref(), Some("×3.0"));
        assert_eq!(times([spread(1.5), spread(1.0)].into_iter()).as_deref(), Some("×2.0 to ×3.0"));
        assert_eq!(times([spread(f64::INFINITY)].into_iter()), None);
    }

    #[test]
    fn only_a_push_beyond_45_n_is_compared_with_hands() {
        let (spec, mut design) = starter();
        for figures in design.fit.iter_mut().map(|row| &mut row.figures).chain([&mut design.mount_fit]) {
            figures.snap_in_n.greatest = 44.0;
        }
        assert_eq!(push_by_hand_note(&spec, &design), None);
        design.mount_fit.snap_in_n.greatest = 61.0;
        let note = push_by_hand_note(&spec, &design).expect("61 N is worth a note");
        assert!(note.contains("the mount up to 61 N") && !note.contains("size A"), "{note}");
    }
}
