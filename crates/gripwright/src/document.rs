//! The machine-readable document of a run, and the list of coupons.

use gripwright_design::{CouponKind, Design, FitFigures, FitRow, HolderPlan, Margin, Size};
use gripwright_spec::{GrippingFaces, Spec};
use serde_json::{Value, json};

use crate::solids::Part;

/// Everything computed, with what `files` says of the files.
pub(crate) fn document(spec: &Spec, design: &Design, files: &[Value]) -> Value {
    json!({
        "done": true,
        "exit_code": 0,
        "made_by": concat!("gripwright ", env!("CARGO_PKG_VERSION")),
        "units": { "length": "mm", "angle": "rad", "force": "N", "volume": "mm3" },
        "name": spec.name,
        "estimates": "forces and strains are closed-form estimates; try the coupons before trusting them",
        "sizes": design.sizes.iter().map(|s| size(spec, s)).collect::<Vec<_>>(),
        "mount": mount(design),
        "holders": design.holders.iter().map(holder).collect::<Vec<_>>(),
        "fit": design.fit.iter().map(fit).collect::<Vec<_>>(),
        "coupons": coupons(design),
        "notes": design.notes,
        "files": files,
    })
}

/// What the document says of a part in a file.
pub(crate) fn part(spec: &Spec, part: &Part) -> Value {
    json!({
        "name": part.solid.name(),
        "volume_mm3": part.mass.volume_mm3,
        "area_mm2": part.mass.area_mm2,
        "centroid_mm": part.mass.centroid_mm,
        "faces": part.solid.brep().faces.len(),
        "triangles": part.mesh.triangles.len(),
        "draft_deg": spec.finish.draft_rad.to_degrees(),
        "gripping_faces": gripping(spec.finish.gripping_faces),
        "seat_radius_mm": part.seat_radius_mm,
        "parting_plane_mm": part.parting_mm,
    })
}

/// The coupons as a table (RFC 4180).
pub(crate) fn coupon_list(design: &Design) -> String {
    let mut out = String::from("coupon,size,kind,plate,seat_mm,change_mm,least_barrel_mm,greatest_barrel_mm,tools\r\n");
    for (plate, plan) in design.coupons.plates.iter().enumerate() {
        for coupon in plan.items.iter().filter_map(|placed| design.coupons.coupons.get(placed.item)) {
            let range = coupon.range_mm.map_or([String::new(), String::new()], |r| r.map(|d| format!("{d:.3}")));
            let cells = [
                coupon.identity.clone(),
                coupon.letter.to_string(),
                kind(coupon.kind).to_owned(),
                (plate + 1).to_string(),
                format!("{:.3}", coupon.seat_mm),
                format!("{:+.3}", coupon.step_mm + 0.0),
                range[0].clone(),
                range[1].clone(),
                coupon.tools.join("; "),
            ];
            out.push_str(&cells.map(|c| quoted(&c)).join(","));
            out.push_str("\r\n");
        }
    }
    out
}

fn quoted(cell: &str) -> String {
    if cell.contains([',', '"', '\n', '\r']) { format!("\"{}\"", cell.replace('"', "\"\"")) } else { cell.to_owned() }
}

fn kind(kind: CouponKind) -> &'static str {
    match kind {
        CouponKind::Clip => "clip",
        CouponKind::Mount => "mount",
    }
}

fn gripping(faces: GrippingFaces) -> &'static str {
    match faces {
        GrippingFaces::Straight => "straight",
        GrippingFaces::Drafted => "drafted",
    }
}

fn margin(margin: &Margin) -> Value {
    json!({ "ratio": margin.ratio, "limit": margin.limit.word() })
}

fn size(spec: &Spec, size: &Size) -> Value {
    let tools: Vec<&str> = size.tools.iter().filter_map(|t| spec.tools.get(*t)).map(|t| t.name.as_str()).collect();
    json!({
        "size": size.letter,
        "tools": tools,
        "least_barrel_mm": size.least_mm,
        "greatest_barrel_mm": size.greatest_mm,
        "seat_radius_mm": size.clip.seat_radius_mm,
        "root_wall_mm": size.clip.root_wall_mm,
        "lip_wall_mm": size.clip.lip_wall_mm,
        "half_wrap_rad": size.clip.half_wrap_rad,
        "mouth_mm": size.clip.mouth_mm().ok(),
        "length_mm": size.length_mm,
        "margin": margin(&size.margin),
    })
}

fn mount(design: &Design) -> Value {
    let (mount, fit) = (&design.mount, &design.mount_fit);
    json!({
        "wall_mm": mount.mount.wall_mm,
        "clearance_mm": mount.mount.gap_mm,
        "half_wrap_rad": mount.mount.half_wrap_rad,
        "mouth_mm": mount.mount.mouth_mm().ok(),
        "length_mm": mount.length_mm,
        "margin": margin(&mount.margin),
        "fit": figures(fit),
    })
}

fn figures(fit: &FitFigures) -> Value {
    json!({
        "interference_mm": fit.interference_mm,
        "snap_in_n": [fit.snap_in_n.least, fit.snap_in_n.greatest],
        "snap_in_limit_n": fit.snap_in_limit_n,
        "pull_out_n": [fit.pull_out_n.least, fit.pull_out_n.greatest],
        "across_needed_n": fit.across_needed_n,
        "axial_hold_n": [fit.axial_hold_n.least, fit.axial_hold_n.greatest],
        "along_needed_n": fit.along_needed_n,
        "strain": fit.strain,
        "strain_limit": fit.strain_limit,
        "opening_mm": fit.opening_mm,
        "margin": margin(&fit.margin),
    })
}

fn holder(plan: &HolderPlan) -> Value {
    json!({
        "name": plan.name,
        "size": plan.letter,
        "offset_mm": plan.offset_mm,
        "mount_length_mm": plan.mount_length_mm,
        "clip_length_mm": plan.clip_length_mm,
        "draft_rad": plan.draft_rad,
        "chamfer_mm": plan.chamfer_mm,
        "gripping_faces": gripping(plan.gripping),
        "web": {
            "length_mm": plan.web.length_mm,
            "width_mm": plan.web.width_mm,
            "second_moment_mm4": plan.web.second_moment_mm4,
            "strain": plan.web.strain,
            "strain_limit": plan.web.strain_limit,
            "sway_mm": plan.web.sway_mm,
        },
    })
}

fn fit(row: &FitRow) -> Value {
    let mut value = figures(&row.figures);
    value["size"] = json!(row.letter);
    value["tool"] = json!(row.tool_name);
    value["diameter_mm"] = json!(row.diameter_mm);
    value["at"] = json!(if row.greatest { "greatest" } else { "least" });
    value["grip_n"] = json!([row.grip_n.least, row.grip_n.greatest]);
    value["pulls_in"] = json!(row.pulls_in);
    value["fits"] = json!(row.figures.margin.kept());
    value
}

fn coupons(design: &Design) -> Value {
    let rows = design.coupons.coupons.iter().map(|c| {
        json!({
            "coupon": c.identity,
            "size": c.letter,
            "kind": kind(c.kind),
            "seat_mm": c.seat_mm,
            "change_mm": c.step_mm,
            "range_mm": c.range_mm,
            "tools": c.tools,
        })
    });
    rows.collect()
}
