//! Bench sheet of a mould: facts and drawings from its plan.

use gripwright_casting::{
    PourStep,
    mould::{self, MasterPlace, MouldPart, PartKind, PlacedOpening, turn_on_bed_rad},
    mould_physics,
};
use gripwright_input::{Parting, RubberCure, Spec};
use gripwright_report::{
    BenchSheet, Dimension, DimensionDirection, Drawing, DrawnFill, DrawnLabel, DrawnLine, DrawnShape,
};
use gripwright_section::{Bounds, Outline, Point, rounded_rectangle};
use gripwright_sizing::Design;
use gripwright_solid::Motion;

use crate::{
    bench_facts::{
        BenchFacts, BoxPart, CopyFacts, HeatFacts, KeyFacts, MasterFacts, MouldFacts, PredictedSize, PressureFacts,
        PrimerFacts, ReleaseFacts, ResinFacts, SiliconeBatch, SiliconeFacts, VacuumFacts,
    },
    bench_steps::{bench_facts_in_short, bench_notes, bench_steps},
    cautions::PRECEDENCE,
    mould::{
        cast_master::{CastMaster, CastRelease},
        cast_size::CastSize,
        mould_plan::MouldPlan,
        vent_places::VENT_RADIUS_MM,
    },
};

/// Coats of filler primer. Common practice, no source: two to three.
const PRIMER_COATS: u32 = 2;
/// Light, dry coats of release agent. Common practice, no source.
const RELEASE_COATS: u32 = 2;
/// Greatest absolute pressure that degasses, mbar: 29 inHg below the atmosphere (a silicone maker's tips).
const VACUUM_MBAR: f64 = 35.0;
/// Tempering of condensation silicone before polyurethane, °C and h (makers' texts).
const TEMPER_C: f64 = 60.0;
const TEMPER_H: [f64; 2] = [4.0, 8.0];
/// Places that differ by less (mm) are equal.
const SAME_PLACE_MM: f64 = 1e-6;
/// Expected greatest deviation over the standard deviation: 95 % of a normal spread.
const COVERAGE: f64 = 2.0;

/// Returns the bench sheet of a plan.
pub(crate) fn bench_sheet(spec: &Spec, design: &Design, plan: &MouldPlan) -> BenchSheet {
    let facts = bench_facts(spec, design, plan);
    BenchSheet {
        title: format!("{}: mould and castings", spec.name),
        subtitle: format!("Resin: {}", spec.material.part_material().title),
        precedence: PRECEDENCE.to_owned(),
        facts: bench_facts_in_short(&facts),
        drawings: vec![board_drawing(plan)],
        steps: bench_steps(&facts),
        notes: bench_notes(&facts),
        ..BenchSheet::default()
    }
}

fn bench_facts(spec: &Spec, design: &Design, plan: &MouldPlan) -> BenchFacts {
    let run = plan.quantities.run;
    BenchFacts {
        parting: plan.parting,
        holders_per_shot: count(plan.holders()),
        coupons_per_shot: count(plan.slices()),
        copies: CopyFacts {
            holders: plan.settings.copies * count(design.holders.len()),
            shots: run.shots,
            moulds: run.moulds,
            mould_life_shots: gripwright_casting::SHOTS_OF_A_MOULD,
        },
        master: master_facts(spec, plan),
        mould: mould_facts(spec, plan),
        silicone: silicone_facts(plan),
        resin: resin_facts(spec, plan),
        vacuum: plan.settings.vacuum.then_some(VacuumFacts { limit_mbar: VACUUM_MBAR }),
        pressure: plan.settings.vessel.map(|vessel| PressureFacts {
            gauge_bar: 10.0 * vessel.pressure_mpa,
            bubble_ratio: mould_physics::bubble_diameter_ratio(vessel.pressure_mpa),
        }),
        release: ReleaseFacts { verdict: release_text(plan), coats: RELEASE_COATS },
        predicted_sizes: predicted_sizes(design, plan),
    }
}

fn count(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

fn master_facts(spec: &Spec, plan: &MouldPlan) -> MasterFacts {
    let primer = plan.settings.primer;
    MasterFacts {
        material: spec.material.print.title.clone(),
        pieces: plan.masters.iter().map(master_piece).collect(),
        softens_c: spec.material.print.service_temperature_c,
        primer: (primer.thickness_mm > 0.0).then_some(PrimerFacts {
            coats: PRIMER_COATS,
            layer_um: 1000.0 * primer.thickness_mm,
            seats_masked: primer.masked,
        }),
    }
}

fn master_piece(master: &CastMaster) -> BoxPart {
    let extent = master.part.solid.brep().bounds().map_or([0.0; 3], |bounds| bounds.size_mm());
    BoxPart { name: master.name.clone(), count: count(master.count), size: size_text(extent) }
}

fn size_text([width, depth, height]: [f64; 3]) -> String {
    format!("{width:.0} × {depth:.0} × {height:.0} mm")
}

/// A printed part of the mould: its size, the masters that rods belong to, and its turn on a printer's bed (mm) that it would
/// overhang otherwise.
fn box_part(plan: &MouldPlan, part: &MouldPart, bed_mm: [f64; 2]) -> BoxPart {
    let extent = part.solid.brep().bounds().map_or([0.0; 3], |bounds| bounds.size_mm());
    let masters = || {
        let stands_at = |place: &Motion, at: [f64; 2]| {
            let [x, y, _] = place.point([0.0; 3]);
            (x - at[0]).hypot(y - at[1]) < SAME_PLACE_MM
        };
        let served = |name: &usize| {
            let mut of_kind = plan.layout.openings.iter().filter(|o| plan.layout.places[o.place].kind == *name);
            of_kind.any(|o| part.places.iter().any(|place| stands_at(place, o.opening.at)))
        };
        let names: Vec<&str> =
            (0..plan.masters.len()).filter(served).map(|kind| plan.masters[kind].name.as_str()).collect();
        names.join(", ")
    };
    let size = match part.kind {
        PartKind::SprueRod | PartKind::VentRod => {
            format!("Ø {:.0} mm, {:.0} mm long; {}", extent[0], extent[2], masters())
        }
        _ => size_text(extent),
    };
    let turn = turn_on_bed_rad([extent[0], extent[1]], bed_mm).unwrap_or(0.0).to_degrees();
    let turned = if turn > 0.0 && turn < 90.0 {
        format!("; turn it by {turn:.0}° on the printer's bed")
    } else {
        String::new()
    };
    BoxPart { name: part.solid.name().to_owned(), count: count(part.places.len()), size: size + &turned }
}

/// Height of a funnel on a sprue at which its brim is as high as the highest vent of its master, mm. Rods end at one face of
/// the mould, which is tilted.
fn funnel_mm(plan: &MouldPlan) -> f64 {
    let up = plan.attitude.up;
    let rise = |placed: &PlacedOpening| placed.opening.at[0] * up[0] + placed.opening.at[1] * up[1];
    let openings = &plan.layout.openings;
    let sprues = openings.iter().filter(|placed| placed.opening.kind == mould::RodKind::Sprue);
    let over = |sprue: &PlacedOpening| {
        let same = openings.iter().filter(|placed| placed.place == sprue.place);
        same.map(|placed| rise(placed) - rise(sprue)).fold(0.0, f64::max)
    };
    // A hair of rounding is no mm.
    (sprues.map(over).fold(0.0, f64::max) / up[2].abs() - 1e-9).ceil().max(0.0)
}

fn mould_facts(spec: &Spec, plan: &MouldPlan) -> MouldFacts {
    let (layout, figures) = (&plan.layout, &plan.figures);
    let of_kind = |kind| layout.openings.iter().filter(|placed| placed.opening.kind == kind).count();
    let formers = plan.parts.iter().filter(|part| part.kind == PartKind::ReservoirFormer);
    let [width, depth] = layout.inner_mm;
    MouldFacts {
        box_inner_mm: [width.max(depth), width.min(depth), layout.below_mm + layout.above_mm],
        box_parts: plan.parts.iter().map(|part| box_part(plan, part, spec.printer.bed_mm)).collect(),
        rubber_wall_mm: figures.round_mm,
        rubber_above_mm: figures.above_mm,
        keys: (!layout.keys.is_empty()).then_some(KeyFacts {
            count: count(layout.keys.len()),
            diameter_mm: figures.keys.diameter_mm,
            height_mm: figures.keys.depth_mm,
        }),
        sprues: count(of_kind(mould::RodKind::Sprue)),
        pegged_sprues: count(pegged_sprues(plan)),
        sprue_mm: figures.sprue_top_mm,
        sprue_tip_mm: thinnest_sprue_mm(plan),
        sprue_place: "on the web between mount and clip, or on the back of a slice".to_owned(),
        vents: count(of_kind(mould::RodKind::Vent)),
        vent_mm: 2.0 * VENT_RADIUS_MM,
        tilt_deg: plan.attitude.tilt_rad.to_degrees(),
        reservoir_cm3: 1e-3 * figures.reservoir_share * layout.volumes.masters_mm3,
        formers: count(formers.map(|part| part.places.len()).sum()),
        funnel_mm: funnel_mm(plan),
    }
}

/// Sprues whose rods have pegs.
fn pegged_sprues(plan: &MouldPlan) -> usize {
    plan.layout.openings.iter().filter(|placed| placed.opening.peg.is_some()).count()
}

/// Diameter of the thinnest sprue at the part, in tenths of a mm.
fn thinnest_sprue_mm(plan: &MouldPlan) -> f64 {
    let thinnest = plan.masters.iter().map(|master| 2.0 * master.sprue_radius_mm()).fold(f64::INFINITY, f64::min);
    (10.0 * thinnest).round() / 10.0
}

fn silicone_facts(plan: &MouldPlan) -> SiliconeFacts {
    let rubber = &plan.settings.rubber;
    let batches = plan.quantities.rubber.iter().map(|found| SiliconeBatch {
        parts_g: found.batch.parts_g,
        volume_cm3: found.batch.mass_g() / rubber.density_g_cm3,
    });
    let condensation = rubber.cure == RubberCure::Condensation;
    SiliconeFacts {
        title: rubber.title.clone(),
        cure: rubber.cure,
        batches: batches.collect(),
        scale_step_g: plan.settings.scale_step_g,
        pot_life_min: rubber.pot_life_min,
        cure_h: rubber.demould_min / 60.0,
        temper: condensation.then_some(HeatFacts { temperature_c: TEMPER_C, hours: TEMPER_H }),
    }
}

fn resin_facts(spec: &Spec, plan: &MouldPlan) -> ResinFacts {
    let (resin, found) = (&plan.settings.resin, &plan.quantities);
    let moment = |wanted: PourStep| found.clock.steps.iter().find(|step| step.step == wanted).map(|s| s.done_by_min);
    let done_by = |wanted: PourStep| moment(wanted).unwrap_or(found.clock.usable_min);
    ResinFacts {
        title: spec.material.part_material().title.clone(),
        parts_g: found.resin.parts_g,
        batches_per_shot: found.batches_per_shot,
        scale_step_g: plan.settings.scale_step_g,
        pot_life_min: resin.pot_life_min,
        mixed_by_min: done_by(PourStep::Mix),
        poured_by_min: done_by(PourStep::Pour),
        closed_by_min: done_by(PourStep::Close),
        pressurised_by_min: done_by(PourStep::Press),
        degassed_by_min: moment(PourStep::Degas),
        warm_mould_c: (plan.settings.mould_c > 30.0).then_some(plan.settings.mould_c),
        demould_min: [resin.demould_min; 2],
        full_cure_h: resin.full_cure_min / 60.0,
        post_cure: resin.post_cure.map(|heat| HeatFacts { temperature_c: heat.temperature_c, hours: [heat.hours; 2] }),
    }
}

fn release_text(plan: &MouldPlan) -> String {
    let line = |(master, release): (&CastMaster, &CastRelease)| {
        let strain = release.strain_text().map_or(String::new(), |text| format!(" {text}"));
        format!("{}: {}.{strain}", master.name, release.verdict)
    };
    let all = plan.masters.iter().zip(&plan.releases);
    // What goes without care needs no list.
    let plain = |release: &CastRelease| release.verdict.concerns().is_empty() && release.strain_text().is_none();
    if plan.releases.iter().all(plain) {
        return format!(
            "every casting {}.",
            plan.releases.first().map_or("comes off", |release| release.verdict.word())
        );
    }
    all.map(line).collect::<Vec<_>>().join(" ")
}

fn predicted_sizes(design: &Design, plan: &MouldPlan) -> Vec<PredictedSize> {
    let size = |row: CastSize| PredictedSize {
        name: row.name,
        size_mm: row.cast_mm,
        plus_minus_mm: COVERAGE * row.cast_sd_mm,
    };
    plan.sizes(design).into_iter().map(size).collect()
}

/// Places of masters, keys, sprues and vents on the board at true size, seen from above as the first silicone is poured.
fn board_drawing(plan: &MouldPlan) -> Drawing {
    let layout = &plan.layout;
    let [width, depth] = layout.inner_mm;
    let region = |outlines: Vec<Outline>, fill| DrawnShape::Region { outlines, fill };
    let frame = rounded_rectangle(width, depth, 0.05).ok();
    let mut shapes: Vec<DrawnShape> = frame.into_iter().map(|o| region(vec![o], DrawnFill::Rubber)).collect();
    let mut labels = Vec::new();
    for place in &layout.places {
        let master = &plan.masters[place.kind];
        let at = Point::new(place.at[0], place.at[1]);
        let placed = master.outlines().into_iter().map(|outline| outline.moved(place.turn_rad, at));
        shapes.extend(placed.map(|outline| region(vec![outline], DrawnFill::Part)));
        labels.push(DrawnLabel {
            letter: short_name(&master.name),
            at,
            meaning: master.name.clone(),
            is_detail: false,
        });
    }
    let circle =
        |at: [f64; 2], diameter_mm, fill| DrawnShape::Circle { centre: Point::new(at[0], at[1]), diameter_mm, fill };
    shapes.extend(layout.keys.iter().map(|&at| circle(at, plan.figures.keys.diameter_mm, DrawnFill::Board)));
    labels.extend(layout.keys.first().map(|at| DrawnLabel {
        letter: "K".to_owned(),
        at: Point::new(at[0], at[1]),
        meaning: "key".to_owned(),
        is_detail: false,
    }));
    for placed in &layout.openings {
        shapes.push(circle(placed.opening.at, placed.opening.diameter_mm, DrawnFill::Cavity));
        let (letter, meaning) = match placed.opening.kind {
            mould::RodKind::Sprue => ("S", "sprue"),
            mould::RodKind::Vent => ("V", "vent"),
        };
        let at = Point::new(placed.opening.at[0], placed.opening.at[1]);
        labels.push(DrawnLabel { letter: letter.to_owned(), at, meaning: meaning.to_owned(), is_detail: true });
    }
    for reservoir in &layout.reservoirs {
        shapes.push(region(vec![reservoir.outline.clone()], DrawnFill::Empty));
        let at = reservoir.outline.segments().first().map_or(Point::ORIGIN, |segment| segment.curve.start());
        labels.push(DrawnLabel {
            letter: "B".to_owned(),
            at,
            meaning: "basin of the sprues in it".to_owned(),
            is_detail: true,
        });
    }
    if plan.parting == Parting::Cut {
        shapes.extend(plan.layout.places.iter().filter_map(|place| cut_through_web(plan, place)));
    }
    labels.extend(raised_side(plan));
    let corner = |x: f64, y: f64| Point::new(0.5 * x * width, 0.5 * y * depth);
    let dimension = |from, to, direction| Dimension { from, to, direction, name: "inside".to_owned() };
    Drawing {
        title: "Board and box from above".to_owned(),
        caption: drawing_caption(plan),
        shapes,
        dimensions: vec![
            dimension(corner(-1.0, -1.0), corner(1.0, -1.0), DimensionDirection::Horizontal),
            dimension(corner(1.0, -1.0), corner(1.0, 1.0), DimensionDirection::Vertical),
        ],
        labels,
    }
}

fn drawing_caption(plan: &MouldPlan) -> String {
    let all_pinned = pegged_sprues(plan) == plan.layout.places.len();
    let placed = match plan.parting {
        Parting::Cut => {
            return "Masters as they stand in the silicone, and the cuts: thick, dashed, through the web of each."
                .to_owned();
        }
        Parting::Middle => "in the pockets of the bed",
        Parting::End if all_pinned => "on the pins of the board",
        Parting::End => "glued on the drawing at true size on the board",
    };
    format!(
        "Masters as they stand for the first silicone, {placed}. Where the drawing is reduced, it follows at true size, in tiles \
         if it is larger than a page."
    )
}

/// Line of the cut through the web of a master in a block, beyond its outline by the rubber beside it. The casting is then
/// pulled out of both halves across, mouths first.
fn cut_through_web(plan: &MouldPlan, place: &MasterPlace) -> Option<DrawnShape> {
    let master = &plan.masters[place.kind];
    let bounds = master.outlines().iter().map(Outline::bounds).reduce(Bounds::joined)?;
    let beyond = plan.figures.round_mm;
    let along = |x: f64| Point::new(x, master.regions.web_middle_mm());
    let placed = |local: Point| local.rotated(place.turn_rad) + Point::new(place.at[0], place.at[1]);
    let [start, end] = [along(bounds.min.x - beyond), along(bounds.max.x + beyond)].map(placed);
    Some(DrawnShape::Line { start, end, line: DrawnLine::Cut })
}

/// Letter at the side of the box that is raised while the resin is poured; none if the mould stands level.
fn raised_side(plan: &MouldPlan) -> Option<DrawnLabel> {
    let [x, y, _] = plan.attitude.raised;
    let [width, depth] = plan.layout.inner_mm;
    // From the middle along the direction to the nearest wall.
    let reach = (0.5 * width / x.abs().max(1e-9)).min(0.5 * depth / y.abs().max(1e-9));
    (plan.attitude.tilt_rad > 0.0).then(|| DrawnLabel {
        letter: "R".to_owned(),
        at: Point::new(reach * x, reach * y),
        meaning: "side that is raised while the resin is poured".to_owned(),
        is_detail: false,
    })
}

/// Letters of a master in a drawing: M and its size, or C for a slice of the clip.
fn short_name(name: &str) -> String {
    let letter = name.chars().last().unwrap_or(' ');
    format!("{}{letter}", if name.starts_with("Slice") { 'C' } else { 'M' })
}
