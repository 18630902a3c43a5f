//! From the finish of the master to the opened mould.

use gripwright_input::{Parting, RubberCure};

use super::{
    practice::{DEGASSING_ROOM, FAST_VACUUM_MIN, GRIT},
    wording::{counted, hours, masses, quantity, range, step},
};
use crate::{
    bench_cautions::{BenchCaution, CautionedStep},
    bench_facts::{BenchFacts, KeyFacts, MouldFacts, SiliconeBatch},
};

/// Steps up to the open mould.
pub(super) fn mould_steps(facts: &BenchFacts) -> Vec<CautionedStep> {
    let steps = [
        Some(finish(facts)),
        (facts.silicone.cure == RubberCure::Addition).then(|| inhibition_test(facts)),
        Some(build_box(facts)),
        facts.mould.keys.filter(|_| facts.parting != Parting::Cut).map(|set| keys(set, base_name(facts.parting))),
        (facts.parting != Parting::Cut).then(colour),
        facts.silicone.batches.first().map(|batch| mix(facts, *batch)),
        facts.silicone.batches.first().map(|batch| degas(facts, *batch)),
        Some(pour(facts)),
        (facts.parting != Parting::Cut).then(|| take_floor_out(facts)),
        facts.silicone.batches.get(1).map(|batch| second_half(facts, *batch)),
        Some(cure(facts)),
        Some(open(facts)),
        facts.silicone.temper.map(|heat| {
            let doing = vec![
                format!(
                    "With the master out, heat the open mould to {:.0} °C for {}: what condensation cure gives off would \
                     spoil the face of the polyurethane.",
                    heat.temperature_c,
                    range(heat.hours, "h")
                ),
                "Let it cool to the temperature of the room before you cast.".to_owned(),
            ];
            step("Temper the mould", doing, &["The mould has cooled"], &[BenchCaution::Oven])
        }),
    ];
    steps.into_iter().flatten().collect()
}

fn finish(facts: &BenchFacts) -> CautionedStep {
    let mut doing = vec![
        "Take off supports and strings. Sand the backs and the web only; leave gripping faces (seats and lips) as printed."
            .to_owned(),
    ];
    let mut cautions = vec![BenchCaution::Dust];
    match facts.master.primer {
        None => doing.push("Use no primer: the sizes of the master are planned without it.".to_owned()),
        Some(primer) => {
            cautions.push(BenchCaution::Spray);
            let layer = primer.layer_um;
            if primer.seats_masked {
                doing.push("Mask the gripping faces with tape: the plan counts no primer on them.".to_owned());
            } else {
                doing.push(format!(
                    "Prime the gripping faces, too: the plan counts {layer:.0} µm on each. Finish coupons exactly like the \
                     master, or they tell nothing about it."
                ));
            }
            doing.push(format!(
                "Spray {} of primer filler. Let each dry as its data sheet says and sand it with {GRIT} grit; {layer:.0} µm \
                 stay on a face.",
                counted(primer.coats, "thin coat")
            ));
            if facts.mould.pegged_sprues > 0 {
                doing.push("Keep primer out of the holes for pegs: close them with clay while you spray.".to_owned());
            }
            if primer.seats_masked {
                doing
                    .push("Peel the tape off before the last coat is hard, and remove what crept below it.".to_owned());
            }
        }
    }
    doing.push(
        "Seal every opening of a hollow print: it is crushed under pressure, or blows bubbles into the rubber under vacuum."
            .to_owned(),
    );
    doing.push(
        "Measure seats and mouths with a calliper and write the figures at the margin of the last step of this sheet."
            .to_owned(),
    );
    let checks = [
        "A fingernail feels no layers outside the gripping faces: rubber copies every scratch",
        "Primer is dry all through, and the master is free of dust and grease",
    ];
    let checks = if facts.master.primer.is_some() { &checks } else { &checks[..1] };
    let mut finished = step("Finish the masters", doing, checks, &cautions);
    let pieces = facts.master.pieces.iter();
    finished.step.quantities = pieces.map(|p| quantity(&p.name, format!("{} ×", p.count), &p.size)).collect();
    finished
}

fn inhibition_test(facts: &BenchFacts) -> CautionedStep {
    let doing = vec![
        "Mix a spoonful of the silicone by its ratio and put a dab on a hidden place of the finished master, and one on \
         board and clay."
            .to_owned(),
        format!("Wait the full time of cure, {}.", hours(facts.silicone.cure_h)),
        "If a dab stays gummy or sticky where it touches, seal that surface and test again, or plan again with a \
         condensation-cure (tin) silicone."
            .to_owned(),
    ];
    let checks = ["Every dab peels off dry and leaves nothing behind"];
    step("Test for inhibition", doing, &checks, &[BenchCaution::Cleanliness, BenchCaution::Silicone])
}

fn build_box(facts: &BenchFacts) -> CautionedStep {
    let MouldFacts { rubber_wall_mm, rubber_above_mm, .. } = &facts.mould;
    let masters = counted(facts.holders_per_shot + facts.coupons_per_shot, "master");
    let mut doing = match facts.parting {
        Parting::End => vec![
            "Lay the printed board on the loose floor of the box; the floor comes out later, without the walls.".to_owned(),
            masters_on_board(&facts.mould, &masters),
            "Stand the walls round the board.".to_owned(),
        ],
        Parting::Cut => vec![
            rods_on_masters(&facts.mould),
            format!(
                "Stand {masters} on the floor by these rods, so that rubber gets under them, too. Glue the ends of all rods \
                 to the floor: sprues and vents end there at one height."
            ),
            "Mark on floor and walls where the cuts are to run: through the web of each master, as drawn.".to_owned(),
            "Stand the walls round the floor.".to_owned(),
        ],
        Parting::Middle => vec![
            "Lay the printed bed on the loose floor of the box, pockets up; the floor comes out later, without the walls."
                .to_owned(),
            format!(
                "Press {masters} into the pockets down to half of the length. Close gaps at the edge with {}.",
                if facts.silicone.cure == RubberCure::Addition { "clay without sulphur" } else { "clay" }
            ),
            "Stand the walls round the bed.".to_owned(),
        ],
    };
    doing.push("Seal all joints of the box from outside with tape or hot glue, and set the box level.".to_owned());
    doing.push(format!(
        "Mark on the inside of the walls how far to fill: {rubber_above_mm} mm above the highest point of the masters. Printed \
         walls end there."
    ));
    let mut built = step("Build the box", doing, &["No joint lets light through", "The box stands level"], &[]);
    built.step.checks.insert(
        0,
        format!(
            "At least {rubber_wall_mm} mm of room beside every master and {rubber_above_mm} mm above the highest point"
        ),
    );
    let parts = facts.mould.box_parts.iter().map(|part| quantity(&part.name, format!("{} ×", part.count), &part.size));
    built.step.quantities = parts.collect();
    built
}

/// Sentences that place the masters on the board.
fn masters_on_board(mould: &MouldFacts, masters: &str) -> String {
    let place = match mould.pegged_sprues {
        0 => format!("Fix {masters} on the board with the flat end down, where the drawing shows them, by a thin film"),
        pins => {
            let others = if pins < mould.sprues { ", those without a hole where the drawing shows them," } else { "" };
            format!(
                "Push {} into the holes of the board and set {masters} on them with the flat end down{others} on a thin film",
                counted(pins, "pin")
            )
        }
    };
    format!(
        "{place} of weak glue: the board comes off later and the masters stay in the rubber. Leave no gap under the end, where \
         silicone would creep in."
    )
}

/// Sentences that set sprue rods and vent rods on the masters.
fn rods_on_masters(mould: &MouldFacts) -> String {
    let MouldFacts { sprues, pegged_sprues, sprue_mm, sprue_tip_mm, sprue_place, vents, vent_mm, .. } = mould;
    let rods = format!("{} (Ø {sprue_mm} mm, Ø {sprue_tip_mm} mm at the part)", counted(*sprues, "sprue rod"));
    let vents = format!("{} of Ø {vent_mm} mm", counted(*vents, "vent rod"));
    let set = match *pegged_sprues {
        0 => format!("Glue {rods} {sprue_place}, and {vents}"),
        pegs if pegs == *sprues => {
            format!("Push the pegs of {rods} into the holes of the masters, {sprue_place}. Glue on {vents}")
        }
        _ => format!(
            "Set {rods} {sprue_place}: push pegs into the holes of the masters, glue rods without one. Glue on {vents}"
        ),
    };
    format!("{set}, where the drawing shows them. Rods stay off lips and seats.")
}

/// Name of what the master lies on while the first half is poured.
fn base_name(parting: Parting) -> &'static str {
    match parting {
        Parting::End => "board",
        Parting::Cut => "floor",
        Parting::Middle => "bed",
    }
}

fn keys(keys: KeyFacts, base: &str) -> CautionedStep {
    let KeyFacts { count, diameter_mm, height_mm } = keys;
    let doing = vec![
        format!(
            "Recesses for the keys are printed in the {base}: the first half fills them. Take strings and dust out of them."
        ),
        "Compare them with the drawing: one stands off the pattern, so that the halves close in one way only."
            .to_owned(),
    ];
    let mut set = step("Clean the recesses of the keys", doing, &["All recesses are clean down to their floors"], &[]);
    set.step.quantities =
        vec![quantity("Keys", format!("{count} ×"), &format!("Ø {diameter_mm} mm, {height_mm} mm high"))];
    set
}

fn colour() -> CautionedStep {
    let doing = vec![
        "Put a little silicone pigment or toner, within the limit of the data sheet, into the empty cup for the first half. \
         The second half stays as it is."
            .to_owned(),
        "The line between the halves is then seen when they are paired and when flash is trimmed.".to_owned(),
    ];
    step("Colour the first half", doing, &[], &[])
}

fn mix(facts: &BenchFacts, batch: SiliconeBatch) -> CautionedStep {
    let doing = vec![
        "Set the scale to zero with the cup on it. Weigh part A in, set to zero again, and weigh part B in. Weigh, unless \
         the data sheet demands volumes."
            .to_owned(),
        "Stir slowly and scrape walls and bottom. Pour all into a second clean cup and stir again.".to_owned(),
    ];
    let name = if facts.parting == Parting::Cut { "Mix the silicone" } else { "Mix the silicone for the first half" };
    let mut mixed = step(name, doing, &["One even colour, no streaks"], &[BenchCaution::Silicone]);
    if facts.silicone.cure == RubberCure::Addition {
        mixed.cautions.push(BenchCaution::Cleanliness);
    }
    mixed.step.quantities = masses(batch.parts_g, facts.silicone.scale_step_g);
    mixed.step.latest = Some(silicone_clock(facts));
    mixed
}

fn degas(facts: &BenchFacts, batch: SiliconeBatch) -> CautionedStep {
    let Some(vacuum) = facts.vacuum else {
        let doing = vec![
            "Without a vacuum chamber, leave the cup alone for a few minutes, as long as the pot life allows: large bubbles \
             rise by themselves, small ones stay."
                .to_owned(),
            "Break what floats on top.".to_owned(),
        ];
        return step("Let the silicone rest", doing, &[], &[]);
    };
    let doing = vec![
        "Pour the silicone into the degassing container.".to_owned(),
        format!(
            "Pump down to at most {:.0} mbar absolute. A gauge that reads from the atmosphere downwards shows less in the \
             hills: reckon with the air pressure of the place.",
            vacuum.limit_mbar
        ),
        "The silicone rises, then collapses. If it nears the rim, let in a little air.".to_owned(),
        format!(
            "Go on until it lies quiet, with fast grades for {FAST_VACUUM_MIN} minutes at most. Let the air in slowly."
        ),
    ];
    let mut degassed = step("Degas the silicone", doing, &["It has risen and collapsed"], &[BenchCaution::Vacuum]);
    let volume = range(DEGASSING_ROOM.map(|times| times * batch.volume_cm3), "cm³");
    degassed.step.quantities = vec![quantity("Degassing container", volume, "")];
    degassed
}

fn pour(facts: &BenchFacts) -> CautionedStep {
    let mut doing = vec![
        "Brush a thin coat over lips and into narrow places first: bubbles gather at walls and are worst in the arms."
            .to_owned(),
        "Pour in a thin stream into one corner, never on the master, and let the silicone rise round it.".to_owned(),
        "Fill up to the mark on the walls.".to_owned(),
    ];
    let mut cautions = vec![];
    if let Some(pressure) = facts.pressure {
        cautions.push(BenchCaution::Vessel);
        doing.push(format!(
            "Set the box level into the pressure vessel, bring it slowly to {} bar, and let the silicone cure there: a mould \
             that cured without pressure has bubbles, which give way when the resin is pressed.",
            pressure.gauge_bar
        ));
    }
    let name = if facts.parting == Parting::Cut { "Pour the block" } else { "Pour the first half" };
    step(name, doing, &["No master has moved or floats", "The silicone lies level"], &cautions)
}

fn take_floor_out(facts: &BenchFacts) -> CautionedStep {
    let wait = hours(facts.silicone.cure_h);
    let mut doing = vec![format!("Wait until the first half has cured: {wait} from mixing{}.", no_heat(facts))];
    if facts.pressure.is_some() {
        doing.push("Bleed the vessel slowly before you open it.".to_owned());
    }
    let base = base_name(facts.parting);
    doing.push(format!(
        "Turn the box over. Take the floor and the {base} off and leave the master in the silicone. Walls that came loose \
         are sealed again, high enough for the second half."
    ));
    doing.push("Cut off films of silicone that crept over the edge of the master.".to_owned());
    match facts.parting {
        Parting::End | Parting::Middle => {
            if facts.parting == Parting::End && facts.mould.pegged_sprues > 0 {
                doing.push(
                    "Pull pins that stay in the masters out, and take glue and silicone out of the holes.".to_owned(),
                );
            }
            doing.push(format!("{} They end at one height.", rods_on_masters(&facts.mould)));
        }
        Parting::Cut => {
            doing.push("Leave sprue rods and vent rods where they lie.".to_owned());
        }
    }
    if facts.mould.formers > 0 {
        doing.push(
            "Set the reservoir formers with their pegs into the holes of the sprue rods, where the drawing shows basins. \
             Other sprues have none."
                .to_owned(),
        );
    }
    doing.push(
        "Coat the cured silicone, not the master, with a release agent made for silicone on silicone. Without it the halves \
         become one block."
            .to_owned(),
    );
    let checks = [
        "A fingernail leaves no mark in the cured face",
        "All of the cured face is coated, keys too; the masters are not",
    ];
    let caution = facts.pressure.map(|_| BenchCaution::Vessel);
    step("Take the floor out", doing, &checks, caution.as_slice())
}

fn second_half(facts: &BenchFacts, batch: SiliconeBatch) -> CautionedStep {
    let degassing = if facts.vacuum.is_some() { "degas" } else { "let rest" };
    let doing = vec![
        format!("Mix, {degassing} and pour as for the first half, without pigment."),
        match facts.parting {
            // Rods that stand on the part end at the outside of the second half.
            Parting::End | Parting::Middle => "Fill up to the ends of the rods, which must stay in sight.".to_owned(),
            Parting::Cut => {
                format!("Fill up to {} mm above the highest point of the masters.", facts.mould.rubber_above_mm)
            }
        },
    ];
    let check = match facts.parting {
        Parting::End | Parting::Middle => "The ends of all rods are in sight",
        Parting::Cut => "The ends of all rods touch the wall, and none has moved",
    };
    let mut cautions = vec![BenchCaution::Silicone];
    cautions.extend(facts.vacuum.map(|_| BenchCaution::Vacuum));
    let mut second = step("Pour the second half", doing, &[check], &cautions);
    second.step.quantities = masses(batch.parts_g, facts.silicone.scale_step_g);
    if facts.vacuum.is_some() {
        let volume = range(DEGASSING_ROOM.map(|times| times * batch.volume_cm3), "cm³");
        second.step.quantities.push(quantity("Degassing container", volume, ""));
    }
    second.step.latest = Some(silicone_clock(facts));
    second
}

fn silicone_clock(facts: &BenchFacts) -> String {
    let before = if facts.vacuum.is_some() { "degassed and poured" } else { "poured" };
    format!("Start it when the parts touch: {before} before {:.0} min, the pot life.", facts.silicone.pot_life_min)
}

fn cure(facts: &BenchFacts) -> CautionedStep {
    let pressure = facts.pressure.map_or(String::new(), |p| format!(", in the vessel at {} bar", p.gauge_bar));
    let mut doing =
        vec![format!("Let the silicone cure for {}{pressure}{}.", hours(facts.silicone.cure_h), no_heat(facts))];
    if facts.pressure.is_some() {
        doing.push("Bleed the vessel slowly before you open it.".to_owned());
    }
    let caution = facts.pressure.map(|_| BenchCaution::Vessel);
    step("Let the silicone cure", doing, &["What is left in the cup is hard and dry"], caution.as_slice())
}

/// Words that forbid heat where the master would soften.
fn no_heat(facts: &BenchFacts) -> String {
    match facts.master.softens_c {
        Some(softens) => {
            format!(", at the temperature of the room: the master softens at {softens:.0} °C and must not be warmed")
        }
        None => ", at the temperature that its data sheet names".to_owned(),
    }
}

fn open(facts: &BenchFacts) -> CautionedStep {
    let lift =
        "Bend the rubber away from the master, arm by arm, and lift it out without levers. Thin fins of rubber tear \
                first: push from behind them."
            .to_owned();
    let (doing, cautions) = match facts.parting {
        Parting::Cut => (
            vec![
                "Take the box off. Cut from outside along the marked lines, from the upper face to the lower one, in short \
                 wavy strokes, and open the cut as you go: the waves key the block to itself."
                    .to_owned(),
                "Cut down to the web of each master, and from its ends to the next one on the shortest way; never across a \
                 seat or a lip. The castings then leave the rubber across, mouths first. Leave one side of the block whole \
                 as a hinge where you can."
                    .to_owned(),
                lift,
            ],
            vec![BenchCaution::Knife],
        ),
        Parting::End | Parting::Middle => (
            vec!["Take the box off. Part the halves by hand, a little all round, before you pull.".to_owned(), lift],
            vec![],
        ),
    };
    step("Open the mould", doing, &["No tear at seats and lips", "No bubble in a seat"], &cautions)
}
