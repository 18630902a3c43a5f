//! Design document: everything computed for a spec, as JSON.

use gripwright_input::{GrippingFaces, Spec};
use gripwright_section::Point;
use gripwright_sizing::{
    Approach, CouponLoads, Design, FamilyPlan, FitFigures, FitRow, HolderPlan, Interval, KeepOutPlan, Limit, Margin,
    Odds, Size, Sleeve, UnevenTaper,
};
use serde_json::{Value, json};

use crate::{
    body_survey,
    coupon_list::{is_hexagon, kind_word},
    solids::Part,
    version::MADE_BY,
};

/// Name of the file that holds the design document.
pub const DESIGN_DOCUMENT: &str = "design.json";

/// Returns the design document. `files` holds its entries on the files of the run.
pub fn design_document(spec: &Spec, design: &Design, files: &[Value]) -> Value {
    let mut document = json!({
        "done": true,
        "exit_code": 0,
        "made_by": MADE_BY,
        "units": { "length": "mm", "angle": "rad", "force": "N", "volume": "mm3" },
        "name": spec.name,
        "method": "contact of geometrically exact beams with a rigid barrel or body; least and greatest over the corners of modulus and friction; try the coupons before trusting them",
        "sizes": design.sizes.iter().map(|s| size(spec, s)).collect::<Vec<_>>(),
        "sleeves": design.sleeves.iter().map(|s| sleeve(spec, s)).collect::<Vec<_>>(),
        "family_plan": design.plan.as_ref().map(family_plan),
        "mount": mount(design),
        "holders": design.holders.iter().map(holder).collect::<Vec<_>>(),
        "fit": design.fit.iter().map(fit).collect::<Vec<_>>(),
        "coupons": coupons(design),
        "matches": matches(design),
        "notes": design.notes,
        "files": files,
    });
    if let Some(body) = body_survey::document(&spec.body) {
        document["body"] = body;
    }
    document
}

/// Returns the entry of a part in a file.
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
        "seat_axis": part.seat_axis,
        "seat_height_mm": part.seat_height_mm,
        "web_across": part.web_across,
        "parting_plane_mm": part.parting_mm,
        "taper_deg": part.taper_rad.to_degrees(),
        "tapers_unevenly": part.tapers_unevenly,
    })
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
    let mut value = json!({
        "size": size.letter,
        "form": size.clip.word(),
        "tools": tools,
        "least_barrel_mm": size.least_mm,
        "greatest_barrel_mm": size.greatest_mm,
        "seat_radius_mm": size.seat_radius_mm,
        "drawn_wider_mm": size.drawn_wider_mm,
        "root_wall_mm": size.clip.root_wall_mm(),
        "lip_wall_mm": size.clip.lip_wall_mm(),
        "half_wrap_rad": size.clip.half_wrap_rad(),
        "mouth_mm": size.clip.mouth_mm().ok(),
        "length_mm": size.length_mm,
        "margin": margin(&size.margin),
        "bound_by": limit_words(&size.active_limits),
    });
    if let Some(vee) = size.clip.vee() {
        value["vee"] = json!({
            "angle_rad": vee.angle_rad,
            "axis_above_vertex_mm": vee.axis_mm,
            "root_radius_mm": vee.root_radius_mm,
            "flat_mm": vee.flat_mm,
            "closing_radius_mm": vee.closing_radius_mm,
        });
    }
    value
}

fn sleeve(spec: &Spec, sleeve: &Sleeve) -> Value {
    let tools: Vec<&str> = sleeve.tools.iter().filter_map(|t| spec.tools.get(*t)).map(|t| t.name.as_str()).collect();
    json!({
        "sleeve": sleeve.identity,
        "size": sleeve.letter,
        "tools": tools,
        "barrels_mm": pair(sleeve.barrels_mm),
        "bore_radius_mm": sleeve.ring.bore_radius_mm,
        "wall_mm": sleeve.ring.wall_mm,
        "half_wrap_rad": sleeve.ring.half_wrap_rad,
        "slit_edge_round_mm": sleeve.ring.edge_mm,
        "between_collars_mm": sleeve.between_mm,
        "collar_mm": sleeve.collar_mm,
        "collar_rim_mm": sleeve.rim_mm,
        "chamfer_mm": sleeve.chamfer_mm,
        "engraved_strokes": sleeve.marks.len(),
        "outside_in_clip_mm": pair(sleeve.outside_mm),
        "slides_n": pair(sleeve.slides_n),
        "slide_on_limit_n": sleeve.slide_on_limit_n,
        "along_needed_n": sleeve.along_needed_n,
        "strain": sleeve.strain,
        "strain_limit": sleeve.strain_limit,
        "stands_off_mm": sleeve.stands_off_mm,
        "slit_mm": sleeve.slit_mm,
        "slit_on_greatest_barrel_mm": sleeve.slit_open_mm,
        "off_axis_mm": sleeve.off_axis_mm,
        "margin": margin(&sleeve.margin),
    })
}

fn family_plan(plan: &FamilyPlan) -> Value {
    let ways = plan.strategies.iter().map(|entry| match &entry.needs {
        Ok(needs) => json!({
            "way": entry.strategy.word(),
            "serves": true,
            "holders": needs.holders,
            "sleeves": needs.sleeves,
            "margin": needs.margin.as_ref().map(margin),
        }),
        Err(why) => json!({ "way": entry.strategy.word(), "serves": false, "reason": why }),
    });
    json!({ "taken": plan.chosen.word(), "ways": ways.collect::<Vec<_>>(), "remarks": plan.remarks })
}

/// Returns the sections of an unevenly tapered body at both ends and in the middle of the mount, in the holder's axes.
fn uneven_taper_sections(uneven: &UnevenTaper, length_mm: f64) -> Value {
    let section = |share: f64| {
        let at_mm = share * length_mm;
        let turned = uneven.section(at_mm).ok()?.moved(std::f64::consts::PI, Point::ORIGIN);
        Some(json!({ "at_mm": at_mm, "outline": body_survey::segments(&turned) }))
    };
    let [least, most] = uneven.slopes();
    let sections = [-0.5, 0.0, 0.5].map(section);
    json!({ "least_slope": least, "greatest_slope": most, "sections": sections })
}

fn mount(design: &Design) -> Value {
    let (mount, fit) = (&design.mount, &design.mount_fit);
    json!({
        "wall_mm": mount.mount.wall_mm,
        "clearance_mm": mount.mount.gap_mm,
        "drawn_wider_mm": mount.drawn_wider_mm,
        "half_wrap_rad": mount.mount.half_wrap_rad,
        "mouth_mm": mount.mount.mouth_mm().ok(),
        "length_mm": mount.length_mm,
        "taper": (!mount.taper.is_none()).then(|| json!({
            "uneven": mount.uneven.as_ref().map(|uneven| uneven_taper_sections(uneven, mount.length_mm)),
            "slope": mount.taper.slope,
            "steepest": mount.taper.steepest,
            "angle_rad": mount.taper.slope.atan(),
            "second_section_at_mm": mount.taper.at_mm,
            "largest_error_mm": mount.taper.residual_mm,
        })),
        "margin": margin(&mount.margin),
        "bound_by": limit_words(&mount.active_limits),
        "odds": odds(design.mount_odds.as_ref()),
        "fit": figures(fit),
    })
}

fn figures(fit: &FitFigures) -> Value {
    json!({
        "interference_mm": fit.interference_mm,
        "snap_in_n": pair(fit.snap_in_n),
        "snap_in_limit_n": fit.snap_in_limit_n,
        "pull_out_n": pair(fit.pull_out_n),
        "across_needed_n": fit.across_needed_n,
        "grip_n": pair(fit.grip_n),
        "axial_hold_n": pair(fit.axial_hold_n),
        "along_needed_n": fit.along_needed_n,
        "twist_hold_nmm": pair(fit.twist_hold_nmm),
        "axial_hold_after_1000_h_n": pair(fit.axial_hold_after_1000_h_n),
        "strain": fit.strain,
        "strain_limit": fit.strain_limit,
        "strain_at_rest": fit.strain_at_rest,
        "opening_mm": fit.opening_mm,
        "seat_mm": pair(fit.seat_mm),
        "aim_mm": fit.aim_mm,
        "aim_limit_mm": fit.aim_limit_mm,
        "snaps_home": fit.snaps,
        "margin": margin(&fit.margin),
        "middle_90_percent": fit.bands.as_ref().map(|bands| json!({
            "snap_in_n": pair(bands.snap_in_n),
            "pull_out_n": pair(bands.pull_out_n),
            "axial_hold_n": pair(bands.axial_n),
        })),
        "curves": fit.curves.each_ref().map(|c| json!({
            "friction": c.friction,
            "axis_mm_and_push_n": c.insertion,
            "axis_mm_and_pull_n": c.removal,
        })),
    })
}

fn pair(interval: Interval) -> [f64; 2] {
    [interval.least, interval.greatest]
}

fn odds(odds: Option<&Odds>) -> Value {
    odds.map_or(Value::Null, |o| json!({ "holds": o.holds, "goes_on": o.goes_on, "both": o.both, "error": o.error }))
}

fn limit_words(limits: &[Limit]) -> Vec<&'static str> {
    limits.iter().map(|l| l.word()).collect()
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
        "tool_axis": {
            "pitch_deg": plan.pitch_rad.to_degrees(),
            "direction": plan.axis_direction(),
            "point_mm": plan.axis_point_mm(0.0),
            "tip_mm": plan.ahead_mm.map(|ahead| plan.axis_point_mm(ahead)),
            "stop_mm": plan.stop_at_mm.map(|at| plan.axis_point_mm(at)),
        },
        "stations": plan.stations.iter().map(|station| json!({
            "at_mm": station.at_mm,
            "length_mm": station.length_mm,
            "middle_mm": plan.axis_point_mm(station.at_mm),
        })).collect::<Vec<_>>(),
        "web": {
            "length_mm": plan.web.length_mm,
            "width_mm": plan.web.width_mm,
            "depth_mm": plan.web.depth_mm,
            "strain": plan.web.strain,
            "strain_limit": plan.web.strain_limit,
            "sway_mm": plan.web.sway_mm,
            "turn_rad": plan.web.turn_rad,
            "tip_mm": plan.web.tip_mm,
            "working_sway_mm": plan.web.working_mm,
            "windows": plan.windows.len(),
            "working_sway_limit_mm": plan.web.working_limit_mm,
        },
        "keep_outs": plan.keep_outs.iter().map(keep_out).collect::<Vec<_>>(),
    })
}

fn fit(row: &FitRow) -> Value {
    let mut value = figures(&row.figures);
    value["size"] = json!(row.letter);
    value["sleeve"] = json!(row.sleeve);
    value["tool"] = json!(row.tool_name);
    value["section"] = json!(if row.hexagon.is_some() { "hexagon" } else { "round" });
    value["diameter_mm"] = json!(row.diameter_mm);
    if let Some(hexagon) = &row.hexagon {
        value["across_flats_mm"] = json!(row.diameter_mm);
        value["across_corners_mm"] = json!(hexagon.across_corners_mm);
        value["seat_by_attitude_mm"] =
            json!({ "flat_down": pair(hexagon.flat_down_mm), "corner_down": pair(hexagon.corner_down_mm) });
    }
    value["at"] = json!(if row.greatest { "greatest" } else { "least" });
    value["odds"] = odds(row.odds.as_ref());
    value["fits"] = json!(row.figures.margin.is_kept());
    value
}

/// Returns how coupons are matched in stiffness to a cast part; empty where they have its shape.
fn matches(design: &Design) -> Value {
    let rows = design.coupons.matches.iter().map(|m| {
        json!({
            "size": m.letter,
            "part_walls_mm": m.part_walls_mm,
            "slice_walls_mm": m.slice_walls_mm,
            "scale": m.scale,
            "cube_root": m.cube_root,
            "peaks_off": m.peaks_off,
            "peaks_off_cube_root": m.peaks_off_cube_root,
            "steps_off": m.steps_off,
            "curves_off": m.curves_off,
            "over_ranges": pair(m.over_ranges),
            "friction": m.friction,
        })
    });
    rows.collect()
}

/// Returns the document's `tries`: predicted forces and strains of each coupon in the material of the print.
pub fn predicted_trials(coupon_loads: &[CouponLoads]) -> Value {
    let rows = coupon_loads.iter().map(|t| {
        json!({
            "coupon": t.identity,
            "push_n": t.push_n.map(pair),
            "pull_n": t.pull_n.map(pair),
            "strain": t.strain,
            "strain_limit": t.strain_limit,
        })
    });
    rows.collect()
}

fn coupons(design: &Design) -> Value {
    let rows = design.coupons.coupons.iter().map(|c| {
        json!({
            "coupon": c.identity,
            "size": c.letter,
            "kind": kind_word(c.kind),
            "seat_mm": c.seat_mm,
            "change_mm": c.step_mm,
            "range_mm": c.range_mm.map(pair),
            "tools": c.tools,
            "hexagons": c.tools.iter().filter(|t| is_hexagon(design, t)).collect::<Vec<_>>(),
        })
    });
    rows.collect()
}

fn keep_out(keep_out: &KeepOutPlan) -> Value {
    json!({
        "name": keep_out.name,
        "clearance_mm": keep_out.clearance_mm,
        "web_relieved": keep_out.relieved,
        "before": approach(&keep_out.before),
        "after": approach(&keep_out.after),
    })
}

fn approach(approach: &Approach) -> Value {
    json!({ "part": approach.part.word(), "distance_mm": approach.distance_mm, "at_mm": approach.at_mm })
}
