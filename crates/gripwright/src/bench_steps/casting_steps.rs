//! From the open mould to the trial of the casting.

use gripwright_input::Parting;

use super::{
    practice::{DEGASSING_ROOM, MIXING_S, MOST_HUMIDITY},
    wording::{clock, counted, hours, masses, noted, quantity, range, step},
};
use crate::{
    bench_cautions::{BenchCaution, CautionedStep},
    bench_facts::{BenchFacts, PredictedSize, PressureFacts, ResinFacts},
};

/// Checks of a closed mould.
const CLOSED: [&str; 2] = ["No gap along the parting line", "The mould does not bulge"];

/// Steps from the open mould on.
pub(super) fn casting_steps(facts: &BenchFacts) -> Vec<CautionedStep> {
    let steps = [
        Some(clear(facts)),
        Some(release(facts)),
        Some(mix_resin(facts)),
        Some(pour_resin(facts)),
        Some(match facts.pressure {
            Some(pressure) => press(facts, pressure),
            None => without_pressure(&facts.resin),
        }),
        Some(demould(facts)),
        Some(trim(facts.parting)),
        post_cure(&facts.resin),
        Some(wash()),
        Some(try_out(facts)),
    ];
    steps.into_iter().flatten().collect()
}

fn clear(facts: &BenchFacts) -> CautionedStep {
    let mould = &facts.mould;
    let funnel = if mould.funnel_mm > 0.0 {
        format!(
            "Set a funnel or a piece of tube on each sprue, at least {:.0} mm high: in the tilted mould its brim is then as high as \
             the highest vent of its master.",
            mould.funnel_mm
        )
    } else {
        "Set a funnel on each sprue.".to_owned()
    };
    let doing = vec![
        "Pull rods and formers out. Clear every vent with a wire of its size; a film of silicone closes it.".to_owned(),
        "Trim films off, so that sprues and vents end flush with the face of the mould.".to_owned(),
        funnel,
        format!(
            "Funnels and basins together hold at least {:.1} cm³, which feeds the mould while the resin shrinks.",
            mould.reservoir_cm3
        ),
        "Blow dust and crumbs out of the cavity.".to_owned(),
    ];
    let mut cleared = step("Clear sprues and vents", doing, &["Air blown into a sprue comes out of its vents"], &[]);
    cleared.step.quantities = vec![
        quantity(
            "Sprues",
            format!("{} ×", mould.sprues),
            &format!("Ø {} mm, Ø {} mm at the part", mould.sprue_mm, mould.sprue_tip_mm),
        ),
        quantity("Vents", format!("{} ×", mould.vents), &format!("Ø {} mm", mould.vent_mm)),
    ];
    cleared
}

fn release(facts: &BenchFacts) -> CautionedStep {
    let mut doing = vec![format!("Know what the plan says of the release: {}", facts.release.verdict)];
    match facts.release.coats {
        0 => doing.push("Use no release agent.".to_owned()),
        coats => {
            doing.push(format!(
                "Mist {} of release agent into the mould and let each dry. Cover the seats: release agent changes their \
                 friction.",
                counted(coats, "light coat")
            ));
        }
    }
    let cautions: &[BenchCaution] = if facts.release.coats > 0 { &[BenchCaution::Spray] } else { &[] };
    if facts.pressure.is_none() {
        doing.push("Leave the mould open: its cavity is brushed with resin first.".to_owned());
        return step("Prepare the release", doing, &[], cautions);
    }
    doing.extend(closing(facts.parting));
    step("Prepare the release and close", doing, &CLOSED, cautions)
}

fn closing(parting: Parting) -> [String; 2] {
    let close = match parting {
        Parting::Cut => "Close the cut until its waves fit, and hold the block with tape or bands.",
        Parting::End | Parting::Middle => {
            "Pair the halves by colour and keys. Hold them with bands over boards on both sides."
        }
    };
    let gently = "Pull the bands just tight enough to close the mould: squeezed harder, the cavity changes its size.";
    [close, gently].map(str::to_owned)
}

fn mix_resin(facts: &BenchFacts) -> CautionedStep {
    let resin = &facts.resin;
    let mut doing = vec![format!(
        "Read the hygrometer: at most {MOST_HUMIDITY} % of relative humidity. Water foams polyurethane: use dry cups and \
         tools of plastic or metal, none of paper or wood."
    )];
    if let Some(mould_c) = resin.warm_mould_c {
        doing.push(format!(
            "Warm the mould to {mould_c:.0} °C all through and take it from the oven only when the resin is weighed."
        ));
    }
    doing.push(
        "Read this step and the next two to their end, and lay out all that they need: there is no time later."
            .to_owned(),
    );
    doing.push(
        "Set the scale to zero with the first cup on it and weigh part A in. Set to zero again, start the clock, and weigh \
         part B in without a pause."
            .to_owned(),
    );
    doing.push(format!(
        "Stir for {} to {} s without beating in air; scrape walls and bottom. Pour all into a second clean cup and stir again.",
        MIXING_S[0], MIXING_S[1]
    ));
    if resin.degassed_by_min.is_some() {
        doing.push(format!(
            "Degas in a container of {} to {} times the batch until it has risen and collapsed. Keep an eye on the clock.",
            DEGASSING_ROOM[0], DEGASSING_ROOM[1]
        ));
    }
    if resin.batches_per_shot > 1 {
        doing.push(format!(
            "One shot takes {} of this size, each in cups of its own. The clock of the first counts for all.",
            counted(resin.batches_per_shot, "batch").replace("batchs", "batches")
        ));
    }
    let mut cautions = vec![BenchCaution::Isocyanate, BenchCaution::Exotherm];
    cautions.extend(facts.vacuum.filter(|_| resin.degassed_by_min.is_some()).map(|_| BenchCaution::Vacuum));
    cautions.extend(resin.warm_mould_c.map(|_| BenchCaution::Oven));
    let mut mixed = step("Mix the resin", doing, &["No streaks in the second cup"], &cautions);
    mixed.step.quantities = masses(resin.parts_g, resin.scale_step_g);
    mixed.step.latest = Some(clock_text(facts));
    mixed
}

/// All latest moments of one batch. They end within two thirds of the pot life, which the plan has seen to.
fn clock_text(facts: &BenchFacts) -> String {
    let ResinFacts {
        pot_life_min,
        mixed_by_min,
        degassed_by_min,
        poured_by_min,
        closed_by_min,
        pressurised_by_min,
        ..
    } = facts.resin;
    let closed = clock(closed_by_min);
    let rest = match facts.pressure {
        Some(_) => format!("vessel closed by {closed}, under pressure by {}", clock(pressurised_by_min)),
        None => format!("mould at rest by {closed}"),
    };
    let degassed = degassed_by_min.map_or(String::new(), |moment| format!("degassed by {}, ", clock(moment)));
    format!(
        "From the moment at which the parts touch: mixed by {}, {degassed}poured by {}, {rest}. The pot life is {}.",
        clock(mixed_by_min),
        clock(poured_by_min),
        clock(pot_life_min)
    )
}

fn pour_resin(facts: &BenchFacts) -> CautionedStep {
    let up = match facts.parting {
        Parting::End => "Turn the mould so that the lid with sprues and vents is on top",
        Parting::Cut => "Turn the block so that the face with sprues and vents, which lay on the floor, is on top",
        Parting::Middle => "Turn the mould so that the half with sprues and vents is on top",
    };
    let mut doing = Vec::new();
    let mut checks = Vec::new();
    if facts.pressure.is_none() {
        doing.push(
            "Brush a film of resin over seats and lips and into narrow places. The clock runs: be quick.".to_owned(),
        );
        doing.extend(closing(facts.parting));
        checks.extend(CLOSED);
    }
    doing.push(format!(
        "{up}, and wedge it to a tilt of {:.0}°, as drawn: a level ceiling traps air.",
        facts.mould.tilt_deg
    ));
    checks.push("Resin stands in every vent");
    doing.push(
        "Pour in a thin, steady stream, one sprue at a time and without a break, so that the resin rises from below."
            .to_owned(),
    );
    doing.push(
        "Go on until resin stands in the vents of this sprue, then fill its funnel. The lower vents run over first: close each with clay or tape."
            .to_owned(),
    );
    doing.push("Keep the cup in sight: what is left in it shows how far the resin has cured.".to_owned());
    let mut poured = step("Pour the resin", doing, &checks, &[BenchCaution::Isocyanate]);
    poured.step.latest = Some(format!(
        "Poured by {}. A batch that is late goes to waste, not into the mould.",
        clock(facts.resin.poured_by_min)
    ));
    poured
}

fn press(facts: &BenchFacts, pressure: PressureFacts) -> CautionedStep {
    let PressureFacts { gauge_bar, bubble_ratio } = pressure;
    let doing = vec![
        "Set the mould into the vessel without losing its tilt, with a baffle between air inlet and mould.".to_owned(),
        format!(
            "Close the vessel and bring it slowly to {gauge_bar} bar. Bubbles shrink to {:.0} % of their diameter or less.",
            100.0 * bubble_ratio
        ),
        "Hold the pressure at least until the resin has gelled, better until you demould.".to_owned(),
    ];
    let mut pressed = step("Put it under pressure", doing, &["The gauge does not fall"], &[BenchCaution::Vessel]);
    let ResinFacts { closed_by_min, pressurised_by_min, .. } = facts.resin;
    let [closed, pressurised] = [closed_by_min, pressurised_by_min].map(clock);
    pressed.step.latest = Some(format!("Vessel closed by {closed}, full pressure by {pressurised}."));
    pressed
}

fn without_pressure(resin: &ResinFacts) -> CautionedStep {
    let doing = vec![
        "Expect more rejects. Without a pressure vessel bubbles keep their size; they gather at lips, in thin arms and at \
         upper ends. A thin resin with a long pot life has the fewest."
            .to_owned(),
        "Tap the mould gently until no bubble comes up.".to_owned(),
        "Leave the mould alone in its tilt while the resin gels.".to_owned(),
        "Sort out every casting with a bubble in a lip or an arm after demoulding: it breaks there.".to_owned(),
    ];
    let mut gelled = step("Let it gel without pressure", doing, &["The mould has kept its tilt"], &[]);
    gelled.step.latest = Some(format!("Mould at rest by {}.", clock(resin.closed_by_min)));
    gelled
}

fn demould(facts: &BenchFacts) -> CautionedStep {
    let mut doing = vec![format!(
        "Open after {}, and not before what is left in the cup is hard: until then the casting is weak and brittle.",
        range(facts.resin.demould_min, "min")
    )];
    if facts.pressure.is_some() {
        doing.push("Bleed the vessel slowly; touch no clamp before the gauge reads zero.".to_owned());
    }
    doing.push(
        "Open the mould, bend the rubber away from the arms and lift the casting out. Never pull at an arm.".to_owned(),
    );
    doing.push("Lay the casting so that nothing bends it: it hardens for hours yet.".to_owned());
    let mut opened = step("Demould", doing, &["The mould is whole"], &[]);
    if facts.pressure.is_some() {
        opened.cautions.push(BenchCaution::Vessel);
    }
    opened
}

fn trim(parting: Parting) -> CautionedStep {
    let flash = match parting {
        Parting::End => "The flash is at the edge of the parting end. Shave it off level with the end.",
        Parting::Cut => {
            "The flash runs along the outside of arms and web. Shave it off; there is none on the gripping faces unless the \
             cut went astray."
        }
        Parting::Middle => {
            "The flash crosses seats and lips at half of their length. Shave it off with the blade flat on the seat, and take \
             nothing of the seat away."
        }
    };
    let doing = vec![
        "Clamp the casting. Saw or cut sprues and vents off, a little proud, and dress them.".to_owned(),
        flash.to_owned(),
    ];
    let checks = ["No flash is felt on seats and lips", "No bubble is seen at seats, lips and arms"];
    step("Trim", doing, &checks, &[BenchCaution::Knife, BenchCaution::Dust])
}

fn post_cure(resin: &ResinFacts) -> Option<CautionedStep> {
    let heat = resin.post_cure?;
    let doing = vec![
        "Support the casting along its whole length, best in its mould: it sags when warm.".to_owned(),
        format!(
            "Heat it slowly to {:.0} °C, hold it for {}, and let it cool in the oven.",
            heat.temperature_c,
            range(heat.hours, "h")
        ),
    ];
    Some(step("Post-cure", doing, &["Arms are as straight as before"], &[BenchCaution::Oven]))
}

fn wash() -> CautionedStep {
    let doing = vec![
        "Wash release agent off with lukewarm water and washing-up liquid, rinse and dry: it changes the friction that a \
         trial measures."
            .to_owned(),
    ];
    step("Wash", doing, &["Water runs off without beads"], &[])
}

fn try_out(facts: &BenchFacts) -> CautionedStep {
    let mut doing = vec![format!(
        "Wait for full cure, {} from mixing at the temperature of the room: nothing is bent or tried before.",
        hours(facts.resin.full_cure_h)
    )];
    if !facts.predicted_sizes.is_empty() {
        doing.push(
            "Measure each size above three times and note the mean. If one is outside its range, find out why before you \
             cast on."
                .to_owned(),
        );
    }
    if facts.coupons_per_shot > 0 {
        doing.push("Try the cast slices first, as the coupon card says, then the holder.".to_owned());
    }
    doing.push("Press the tool straight in and pull it straight out. Write down what you felt.".to_owned());
    let mut tried = step(
        "Measure and try",
        doing,
        &["All measured sizes are within their range"],
        &[BenchCaution::Snap, BenchCaution::Bodies],
    );
    let row =
        |size: &PredictedSize| noted(&size.name, format!("{:.2} ± {:.2}", size.size_mm, size.plus_minus_mm), "mm");
    tried.step.quantities = facts.predicted_sizes.iter().map(row).collect();
    if facts.predicted_sizes.is_empty() {
        tried.step.checks.clear();
    }
    tried
}
