//! Steps of the bench sheet: from the finish of the master to the trial of the casting.
//!
//! Figures of the plan come in through [`BenchFacts`]. Figures of practice are constants with
//! their source; [`bench_notes`] tells the reader which is which.

mod casting_steps;
mod mould_steps;
mod practice;
mod wording;

use gripwright_input::{Parting, RubberCure};
use gripwright_report::{BenchStep, Fact};

use practice::{DEGASSING_ROOM, FAST_VACUUM_MIN, GRIT, MOST_HUMIDITY};
use wording::{counted, sentence};

use crate::{bench_cautions::place_cautions, bench_facts::BenchFacts};

/// Returns the steps in the order of the work; those that do not apply to the parting or to the means are left out.
pub fn bench_steps(facts: &BenchFacts) -> Vec<BenchStep> {
    let mut steps = mould_steps::mould_steps(facts);
    steps.extend(casting_steps::casting_steps(facts));
    place_cautions(steps)
}

/// Returns the facts in short that stand before the steps.
pub fn bench_facts_in_short(facts: &BenchFacts) -> Vec<Fact> {
    let BenchFacts { copies, master, silicone, resin, mould, .. } = facts;
    let parting = match facts.parting {
        Parting::End => {
            "at the flat end of the part: the first half holds the cavity, the second half is a flat lid with sprue and vents"
        }
        Parting::Cut => "one block, cut open by knife along the outside",
        Parting::Middle => "two halves at the middle of the part's length, on a printed bed",
    };
    let [length, width, height] = mould.box_inner_mm;
    let coupons = match facts.coupons_per_shot {
        0 => String::new(),
        count => format!(" and {} of their clips, to try the fit", counted(count, "slice")),
    };
    let cast = format!(
        "{} in {} from {}; each shot gives {}{coupons}. A mould lasts about {} shots",
        counted(copies.holders, "holder"),
        counted(copies.shots, "shot"),
        counted(copies.moulds, "mould"),
        counted(facts.holders_per_shot, "holder"),
        copies.mould_life_shots
    );
    let means = match (facts.vacuum.is_some(), facts.pressure.is_some()) {
        (true, true) => "vacuum chamber and pressure vessel",
        (true, false) => "vacuum chamber; no pressure vessel",
        (false, true) => "pressure vessel; no vacuum chamber",
        (false, false) => "neither vacuum chamber nor pressure vessel: expect more rejects",
    };
    let rows = [
        ("Copies", cast),
        ("Parting", parting.to_owned()),
        ("Box inside", format!("{length:.0} × {width:.0} × {height:.0} mm (length, width, height)")),
        ("Master", master.material.clone()),
        ("Silicone", silicone.title.clone()),
        ("Resin", resin.title.clone()),
        ("Means", means.to_owned()),
        ("Have ready", have_ready(facts)),
        ("Print", "masters from master.3mf, parts of the mould from mould-parts.3mf".to_owned()),
        ("Drawings", "on the last pages; lay them beside the steps, and check their scale bar first".to_owned()),
    ];
    rows.map(|(name, value)| Fact { name: name.to_owned(), value: sentence(&value) }).into()
}

fn have_ready(facts: &BenchFacts) -> String {
    let step = facts.resin.scale_step_g.min(facts.silicone.scale_step_g);
    let mut things = format!(
        "data sheets of all materials; the box parts of step “Build the box”; glue, tape, bands; scale that reads {step} g; \
         clock with seconds; hygrometer; nitrile gloves, goggles, mask; clean plastic cups, two for each batch; spatulas of \
         plastic or metal; soft brush; spirit level; calliper; sharp knife"
    );
    if facts.silicone.cure == RubberCure::Addition {
        things.push_str("; clay without sulphur");
    }
    if facts.master.primer.is_some() {
        things.push_str("; primer filler, sandpaper");
    }
    if facts.parting != Parting::Cut {
        things.push_str("; silicone pigment; release agent for silicone on silicone");
    }
    if facts.release.coats > 0 {
        things.push_str("; release agent for the resin");
    }
    things
}

/// Returns the notes after the steps: where figures of practice come from, and when to start again.
pub fn bench_notes(facts: &BenchFacts) -> Vec<String> {
    let mut notes = vec![
        format!(
            "For the next shot begin again at “Clear sprues and vents”. Stop using a mould when seats come out dull, torn or \
             off size, at the latest after about {} shots unless you measure every part.",
            facts.copies.mould_life_shots
        ),
        format!(
            "Published guides give: {GRIT} grit, a container of {} to {} times the batch, {FAST_VACUUM_MIN} minutes of vacuum \
             for fast grades, the limit of the vacuum, {MOST_HUMIDITY} % of humidity, the materials that stop silicone from \
             curing.",
            DEGASSING_ROOM[0], DEGASSING_ROOM[1]
        ),
        "Common practice without a source: distances of keys, cones and vents, the tilt, times of mixing, two thirds of the \
         pot life, the mass in one cup, light coats of release agent. Your data sheets go first."
            .to_owned(),
    ];
    if facts.parting == Parting::Middle {
        notes.push(
            "The parting line crosses the gripping faces. Where the fit matters, an end parting or a cut block keeps them clean."
                .to_owned(),
        );
    }
    notes
}

#[cfg(test)]
mod tests;
