use gripwright_report::{BenchSheet, bench_sheet_html};

use super::{wording::clock, *};
use crate::{
    bench_cautions::BenchCaution,
    bench_facts::{
        BoxPart, CopyFacts, HeatFacts, KeyFacts, MasterFacts, MouldFacts, PredictedSize, PressureFacts, PrimerFacts,
        ReleaseFacts, ResinFacts, SiliconeBatch, SiliconeFacts, VacuumFacts,
    },
    cautions::PRECEDENCE,
};

const PARTINGS: [Parting; 3] = [Parting::End, Parting::Cut, Parting::Middle];

/// A mould of two holders and two coupons, with every means. Masses of resin and silicone follow from made-up volumes.
fn facts(parting: Parting) -> BenchFacts {
    let part = |name: &str, count, size: &str| BoxPart { name: name.into(), count, size: size.into() };
    let half = SiliconeBatch { parts_g: [210.0, 21.0], volume_cm3: 205.0 };
    let lid = SiliconeBatch { parts_g: [96.0, 10.0], volume_cm3: 94.0 };
    let is_block = parting == Parting::Cut;
    BenchFacts {
        parting,
        holders_per_shot: 2,
        coupons_per_shot: 2,
        copies: CopyFacts { holders: 12, shots: 6, moulds: 1, mould_life_shots: 10 },
        master: MasterFacts {
            material: "PLA, printed solid".into(),
            pieces: vec![part("Master A", 2, "40 × 60 × 28 mm")],
            softens_c: Some(55.0),
            primer: Some(PrimerFacts { coats: 2, layer_um: 40.0, seats_masked: true }),
        },
        mould: mould(is_block),
        silicone: SiliconeFacts {
            title: "addition-cure silicone, Shore A 25".into(),
            cure: RubberCure::Addition,
            batches: if is_block { vec![half] } else { vec![half, lid] },
            scale_step_g: 1.0,
            pot_life_min: 40.0,
            cure_h: 16.0,
            temper: None,
        },
        resin: resin(),
        vacuum: Some(VacuumFacts { limit_mbar: 35.0 }),
        pressure: Some(PressureFacts { gauge_bar: 4.1, bubble_ratio: 0.582 }),
        release: ReleaseFacts {
            verdict: "The silicone stretches by 4 % at the tightest mouth: the part comes out by hand.".into(),
            coats: 2,
        },
        predicted_sizes: vec![
            PredictedSize { name: "Seat of clip A".into(), size_mm: 11.62, plus_minus_mm: 0.16 },
            PredictedSize { name: "Seat of the mount".into(), size_mm: 31.8, plus_minus_mm: 0.2 },
        ],
    }
    .with_parts([part("Long wall", 2, "150 × 60 × 4 mm"), part("Short wall", 2, "82 × 60 × 4 mm")])
}

fn mould(is_block: bool) -> MouldFacts {
    MouldFacts {
        box_inner_mm: [142.0, 82.0, 54.0],
        box_parts: Vec::new(),
        rubber_wall_mm: 12.0,
        rubber_above_mm: 10.0,
        keys: (!is_block).then_some(KeyFacts { count: 4, diameter_mm: 8.0, height_mm: 4.0 }),
        sprues: 4,
        pegged_sprues: 4,
        sprue_mm: 6.0,
        sprue_tip_mm: 4.0,
        sprue_place: "on the web".into(),
        vents: 8,
        vent_mm: 2.0,
        tilt_deg: 12.0,
        reservoir_cm3: 2.4,
        formers: if is_block { 0 } else { 2 },
        funnel_mm: 9.0,
    }
}

fn resin() -> ResinFacts {
    ResinFacts {
        title: "ABS-like polyurethane, unfilled".into(),
        parts_g: [42.5, 42.5],
        batches_per_shot: 1,
        scale_step_g: 0.1,
        pot_life_min: 6.0,
        mixed_by_min: 1.5,
        poured_by_min: 2.5,
        closed_by_min: 3.0,
        pressurised_by_min: 4.0,
        degassed_by_min: None,
        warm_mould_c: None,
        demould_min: [45.0, 70.0],
        full_cure_h: 168.0,
        post_cure: Some(HeatFacts { temperature_c: 70.0, hours: [4.0, 4.0] }),
    }
}

impl BenchFacts {
    fn with_parts(mut self, parts: [BoxPart; 2]) -> Self {
        self.mould.box_parts = parts.into();
        self
    }
}

fn names(facts: &BenchFacts) -> Vec<String> {
    bench_steps(facts).into_iter().map(|step| step.name).collect()
}

fn page(facts: &BenchFacts) -> String {
    bench_sheet_html(&BenchSheet {
        title: "Holder: bench sheet".into(),
        precedence: PRECEDENCE.into(),
        facts: bench_facts_in_short(facts),
        steps: bench_steps(facts),
        notes: bench_notes(facts),
        ..BenchSheet::default()
    })
}

/// Every set of means that changes the steps.
fn variants() -> Vec<BenchFacts> {
    let mut all = Vec::new();
    for parting in PARTINGS {
        let full = facts(parting);
        let mut bare = BenchFacts { vacuum: None, pressure: None, ..full.clone() };
        bare.silicone.cure = RubberCure::Condensation;
        bare.silicone.temper = Some(HeatFacts { temperature_c: 60.0, hours: [4.0, 8.0] });
        bare.master.primer = None;
        bare.resin.post_cure = None;
        bare.release.coats = 0;
        let mut warm = full.clone();
        warm.resin.degassed_by_min = Some(1.9);
        warm.resin.warm_mould_c = Some(60.0);
        warm.resin.batches_per_shot = 2;
        warm.master.softens_c = None;
        warm.predicted_sizes.clear();
        all.extend([full, bare, warm]);
    }
    all
}

#[test]
fn steps_of_an_end_parting_are_in_the_order_of_the_work() {
    let expected = [
        "Finish the masters",
        "Test for inhibition",
        "Build the box",
        "Clean the recesses of the keys",
        "Colour the first half",
        "Mix the silicone for the first half",
        "Degas the silicone",
        "Pour the first half",
        "Take the floor out",
        "Pour the second half",
        "Let the silicone cure",
        "Open the mould",
        "Clear sprues and vents",
        "Prepare the release and close",
        "Mix the resin",
        "Pour the resin",
        "Put it under pressure",
        "Demould",
        "Trim",
        "Post-cure",
        "Wash",
        "Measure and try",
    ];
    assert_eq!(names(&facts(Parting::End)), expected);
    assert_eq!(names(&facts(Parting::Middle)), expected);
}

#[test]
fn a_block_has_no_second_half() {
    let names = names(&facts(Parting::Cut));
    for left_out in
        ["Clean the recesses of the keys", "Colour the first half", "Take the floor out", "Pour the second half"]
    {
        assert!(!names.iter().any(|name| name == left_out), "{left_out}");
    }
    let steps = bench_steps(&facts(Parting::Cut));
    let open = steps.iter().find(|step| step.name == "Open the mould").unwrap();
    assert!(open.doing[0].contains("wavy strokes") && open.cautions[0].starts_with("Cut away from the hand"));
    assert!(steps.iter().all(|step| !step.doing.iter().any(|text| text.contains("halves"))));
}

#[test]
fn halves_at_the_middle_lie_on_a_bed() {
    let steps = bench_steps(&facts(Parting::Middle));
    let text = |name: &str| steps.iter().find(|step| step.name == name).unwrap().doing.join(" ");
    assert!(
        text("Clean the recesses of the keys").contains("printed in the bed")
            && text("Take the floor out").contains("the bed off")
    );
    // Rods stand on the masters and end at the outside of the second half.
    let rods = text("Take the floor out");
    assert!(rods.contains("Push the pegs of 4 sprue rods") && rods.contains("Glue on 8 vent rods"), "{rods}");
    assert!(text("Pour the second half").contains("up to the ends of the rods"));
    assert!(text("Trim").contains("The flash crosses seats and lips"));
    assert!(!steps.iter().any(|step| step.doing.iter().any(|text| text.contains("board off"))));
}

#[test]
fn masters_stand_on_pins_as_far_as_they_have_holes() {
    let text = |pegged_sprues: u32| {
        let mut facts = facts(Parting::End);
        facts.mould.pegged_sprues = pegged_sprues;
        let steps = bench_steps(&facts).into_iter();
        let wanted = ["Build the box", "Take the floor out"];
        steps.filter(|step| wanted.contains(&&*step.name)).map(|step| step.doing.join(" ")).collect::<String>()
    };
    let none = text(0);
    assert!(
        none.contains("Glue 4 sprue rods") && !none.contains("holes of the masters") && !none.contains("pins"),
        "{none}"
    );
    let some = text(3);
    assert!(
        some.contains("Push 3 pins") && some.contains("those without a hole where the drawing shows them"),
        "{some}"
    );
    assert!(some.contains("glue rods without one") && some.contains("Pull pins"), "{some}");
    let all = text(4);
    assert!(all.contains("Push 4 pins") && !all.contains("without a hole") && !all.contains("without one"), "{all}");
}

#[test]
fn each_caution_that_matters_stands_once_on_a_page() {
    for facts in variants() {
        let page = page(&facts);
        for caution in BenchCaution::ALL {
            let count = page.matches(&*caution.text()).count();
            let expected = match caution {
                BenchCaution::Cleanliness => facts.silicone.cure == RubberCure::Addition,
                BenchCaution::Spray => facts.master.primer.is_some(),
                BenchCaution::Vacuum => facts.vacuum.is_some(),
                BenchCaution::Vessel => facts.pressure.is_some(),
                BenchCaution::Oven => {
                    facts.resin.post_cure.is_some()
                        || facts.silicone.temper.is_some()
                        || facts.resin.warm_mould_c.is_some()
                }
                _ => true,
            };
            assert_eq!(count, usize::from(expected), "{caution:?} in {:?}", facts.parting);
        }
        assert_eq!(page.matches(PRECEDENCE).count(), 1);
    }
}

#[test]
fn repeated_cautions_name_the_step_that_has_them() {
    let steps = bench_steps(&facts(Parting::End));
    let demould = steps.iter().find(|step| step.name == "Demould").unwrap();
    let pour = steps.iter().position(|step| step.name == "Pour the first half").unwrap() + 1;
    assert_eq!(demould.cautions, [format!("As before: pressure vessel (step {pour}).")]);
    assert!(steps[pour - 1].cautions[0].starts_with("Use only a vessel"));
}

#[test]
fn pages_are_well_formed_and_every_sentence_ends() {
    for facts in variants() {
        let page = page(&facts);
        let options = roxmltree::ParsingOptions { allow_dtd: true, ..Default::default() };
        roxmltree::Document::parse_with_options(&page, options).unwrap();
        for step in bench_steps(&facts) {
            assert!(!step.doing.is_empty(), "{}", step.name);
            let sentences = step.doing.iter().chain(&step.cautions).chain(&step.latest);
            for sentence in sentences {
                assert!(sentence.ends_with('.') && !sentence.contains("  "), "{}: {sentence}", step.name);
            }
        }
    }
}

/// Figures of the facts reach the hand where it needs them.
#[test]
fn figures_of_the_plan_stand_at_their_steps() {
    let steps = bench_steps(&facts(Parting::End));
    let find = |name: &str| steps.iter().find(|step| step.name == name).unwrap();
    let quantities = |name: &str| -> Vec<String> {
        find(name).quantities.iter().map(|q| format!("{} {}", q.value, q.unit).trim_end().to_owned()).collect()
    };
    assert_eq!(quantities("Mix the silicone for the first half"), ["210 g", "21 g", "231 g"]);
    assert_eq!(quantities("Degas the silicone"), ["615 to 1025 cm³"]);
    assert_eq!(quantities("Pour the second half")[..3], ["96 g", "10 g", "106 g"]);
    assert_eq!(quantities("Mix the resin"), ["42.5 g", "42.5 g", "85.0 g"]);
    assert_eq!(quantities("Measure and try"), ["11.62 ± 0.16 mm", "31.80 ± 0.20 mm"]);
    assert_eq!(
        find("Mix the resin").latest.as_deref().unwrap(),
        "From the moment at which the parts touch: mixed by 1:30 min, poured by 2:30 min, vessel closed by 3:00 min, \
         under pressure by 4:00 min. The pot life is 6:00 min."
    );
    assert!(find("Put it under pressure").doing[1].contains("4.1 bar. Bubbles shrink to 58 %"));
    assert!(find("Measure and try").doing[0].contains("7 days"));
}

#[test]
fn without_a_vessel_the_sheet_says_what_to_expect() {
    let facts = BenchFacts { pressure: None, ..facts(Parting::End) };
    let steps = bench_steps(&facts);
    let gel = steps.iter().find(|step| step.name == "Let it gel without pressure").unwrap();
    assert!(gel.doing[0].contains("more rejects"));
    // The cavity is brushed before the mould is closed, which is before the pour.
    let pour = &steps[steps.iter().position(|step| step.name == "Pour the resin").unwrap()].doing;
    let place = |word: &str| pour.iter().position(|text| text.starts_with(word)).unwrap();
    assert!(place("Brush") < place("Pair the halves") && place("Pair the halves") < place("Pour"), "{pour:?}");
    assert!(!page(&facts).contains("Use only a vessel") && !page(&facts).contains("under pressure by"));
    let neither = BenchFacts { vacuum: None, ..facts };
    let short = bench_facts_in_short(&neither);
    assert!(short.iter().any(|fact| fact.value.contains("Neither vacuum chamber nor pressure vessel")));
}

#[test]
fn moments_are_minutes_and_seconds() {
    for (minutes, text) in [(0.0, "0:00 min"), (2.0 + 1.0 / 3.0, "2:20 min"), (3.999, "3:59 min"), (61.5, "61:30 min")]
    {
        assert_eq!(clock(minutes), text);
    }
}
