//! JSON document of a mould.

use gripwright_casting::{PlannedOpening, mould_physics, release::GroupDraft};
use gripwright_input::{CastingSettings, Spec};
use gripwright_sizing::Design;
use serde_json::{Value, json};

use crate::{
    mould::{cast_size::CastSize, mould_plan::MouldPlan, pour_quantities::PourQuantities},
    output_file::FileEntry,
};

/// Returns the document of a mould; `files` are the entries of its files.
pub(crate) fn mould_document(spec: &Spec, design: &Design, plan: &MouldPlan, files: &[FileEntry]) -> Value {
    let (size, settings) = (plan.box_size(), &plan.settings);
    json!({
        "spec": spec.name,
        "parting": plan.parting,
        "chain": chain(design, plan),
        "master": {
            "growth": plan.scale.growth,
            "layer_on_gripping_faces_mm": plan.scale.gripping_mm,
            "layer_on_outer_faces_mm": plan.scale.outer_mm,
        },
        "masters": (0..plan.masters.len()).map(|k| master_entry(plan, k)).collect::<Vec<_>>(),
        "attitude": { "tilt_deg": plan.attitude.tilt_rad.to_degrees(), "up": plan.attitude.up },
        "box": {
            "inner_mm": plan.layout.inner_mm,
            "outer_mm": size.outer_mm,
            "wall_height_mm": size.wall_height_mm,
            "height_mm": size.height_mm,
            "keys_mm": plan.layout.keys,
            "places": plan.layout.places.iter().map(|place| json!({
                "master": plan.masters[place.kind].name,
                "at_mm": place.at,
                "turn_deg": place.turn_rad.to_degrees(),
            })).collect::<Vec<_>>(),
            "openings": plan.layout.openings.iter().map(|placed| json!({
                "place": placed.place,
                "kind": format!("{:?}", placed.opening.kind).to_lowercase(),
                "at_mm": placed.opening.at,
                "height_mm": placed.opening.height_mm,
                "diameter_mm": placed.opening.diameter_mm,
                "peg_mm": placed.opening.peg.map(|peg| [peg.length_mm, peg.width_mm]),
            })).collect::<Vec<_>>(),
        },
        "parts": plan.parts.iter().map(|part| json!({
            "name": part.solid.name(),
            "count": part.places.len(),
        })).collect::<Vec<_>>(),
        "quantities": quantities(&plan.quantities, settings),
        "rubber": { "title": settings.rubber.title, "sources": settings.rubber.sources },
        "resin": { "title": spec.material.part_material().title, "sources": settings.resin.sources },
        "files": files,
    })
}

fn chain(design: &Design, plan: &MouldPlan) -> Value {
    let entry = |row: CastSize| {
        json!({
            "size": row.name,
            "wanted_mm": row.wanted_mm,
            "drawn_mm": row.drawn_mm,
            "cast_mm": row.cast_mm,
            "cast_sd_mm": row.cast_sd_mm,
            "steps": row.steps.iter().map(|step| json!({ "name": step.name, "after_mm": step.after_mm, "sd_mm": step.deviation_mm })).collect::<Vec<_>>(),
        })
    };
    plan.sizes(design).into_iter().map(entry).collect()
}

fn master_entry(plan: &MouldPlan, kind: usize) -> Value {
    let (master, vents, release) = (&plan.masters[kind], &plan.vents[kind], &plan.releases[kind]);
    let point =
        |opening: &PlannedOpening| json!({ "at_mm": opening.opening.at_mm, "for": format!("{:?}", opening.purpose) });
    let pocket = |pocket: &gripwright_casting::AirPocket| json!({ "highest_mm": pocket.highest_mm, "volume_mm3": pocket.volume_mm3 });
    json!({
        "name": master.name,
        "size": master.letter,
        "count": master.count,
        "volume_mm3": plan.printed[kind].mass.volume_mm3,
        "cavity_mm3": master.part.mass.volume_mm3,
        "sprue": point(&vents.sprue),
        "vents": vents.vents.iter().map(point).collect::<Vec<_>>(),
        "pockets_without_vents": vents.pockets_without_vents.iter().map(pocket).collect::<Vec<_>>(),
        "pockets_left": vents.pockets_left.iter().map(pocket).collect::<Vec<_>>(),
        "drafts": release.drafts.iter().map(draft).collect::<Vec<_>>(),
        "thinnest_fin_mm": release.findings.fin.map(|fin| fin.thickness_mm),
        "release": { "verdict": release.verdict.word(), "concerns": release.verdict.concerns().iter().map(ToString::to_string).collect::<Vec<_>>() },
        "pull_strains": release.findings.strains.iter().map(|(part, strain)| json!({
            "part": part,
            "over_rigid_core": strain.rigid,
            "over_rubber_core": strain.shared(),
            "limit": release.strain_limit,
        })).collect::<Vec<_>>(),
    })
}

fn draft(group: &GroupDraft) -> Value {
    json!({
        "faces": group.group.name(),
        "count": group.faces,
        "least_deg": group.least_rad.to_degrees(),
        "greatest_deg": group.greatest_rad.to_degrees(),
        "undercut_mm": group.undercut_mm,
    })
}

fn quantities(found: &PourQuantities, settings: &CastingSettings) -> Value {
    json!({
        "rubber": found.rubber.iter().map(|rubber| json!({
            "volume_mm3": rubber.volume_mm3,
            "parts_g": rubber.batch.parts_g,
            "ratio_error": rubber.batch.ratio_error,
        })).collect::<Vec<_>>(),
        "resin": {
            "volume_mm3": found.resin_mm3,
            "parts_g": found.resin.parts_g,
            "ratio_error": found.resin.ratio_error,
            "batches_per_shot": found.batches_per_shot,
        },
        "shots": found.run.shots,
        "moulds": found.run.moulds,
        "spare_castings": found.run.spare,
        "clock": found.clock.steps.iter().map(|step| json!({
            "step": step.step.word(), "takes_min": step.takes_min, "done_by_min": step.done_by_min,
        })).collect::<Vec<_>>(),
        "spare_min": found.clock.spare_min,
        "vessel": settings.vessel.map(|vessel| json!({
            "pressure_mpa": vessel.pressure_mpa,
            "bubble_diameter_ratio": mould_physics::bubble_diameter_ratio(vessel.pressure_mpa),
            "lid_force_n": mould_physics::lid_force_n(vessel.diameter_mm, vessel.pressure_mpa),
        })),
    })
}
