//! Design document: everything computed for a spec, as JSON.

use gripwright_input::{Parting, Spec};
use gripwright_section::Point;
use gripwright_sizing::{
    CouponLoads, Design, FamilyPlan, FitFigures, FitRow, Gauge, HolderPlan, ProcessSpreads, Size, Sleeve,
    StrainProfile, UnevenTaper, measure_first, side_loads,
};
use serde::{Serialize, Serializer};
use serde_json::{Value, json};

use crate::{
    body_survey, coupon_list::is_hexagon, coupon_selection::CouponSelection, output_file::FileEntry, version::MADE_BY,
};

/// Name of the file that holds the design document.
pub const DESIGN_DOCUMENT: &str = "design.json";

/// Everything computed for a spec. It serialises to what `--json` prints.
#[derive(Clone, Debug)]
pub struct DesignDocument<'a> {
    spec: &'a Spec,
    design: &'a Design,
    notes: &'a [String],
    files: &'a [FileEntry],
    /// Predictions for the coupons; absent from a document without files.
    coupons: Option<CouponEntries<'a>>,
}

/// Predictions for the coupons of a design, and the choice that was made among them.
#[derive(Clone, Copy, Debug)]
pub(crate) struct CouponEntries<'a> {
    pub(crate) loads: &'a [CouponLoads],
    pub(crate) selection: &'a CouponSelection,
    /// Strains along the arms.
    pub(crate) strains: &'a [StrainProfile],
}

impl<'a> DesignDocument<'a> {
    /// The document of a design without files.
    pub(crate) fn new(spec: &'a Spec, design: &'a Design) -> Self {
        Self { spec, design, notes: &design.notes, files: &[], coupons: None }
    }

    /// The document with the entries of its files, and with the notes and predictions that they state.
    pub(crate) fn with_files(self, notes: &'a [String], files: &'a [FileEntry], coupons: CouponEntries<'a>) -> Self {
        Self { notes, files, coupons: Some(coupons), ..self }
    }

    /// Returns the document as a JSON value.
    pub fn to_json(&self) -> Value {
        let (spec, design) = (self.spec, self.design);
        let mut document = json!({
            "done": true,
            "exit_code": 0,
            "made_by": MADE_BY,
            "units": { "length": "mm", "angle": "rad", "force": "N", "volume": "mm3" },
            "name": spec.name,
            "method": "contact of geometrically exact beams with a rigid barrel or body; least and greatest over the corners of modulus and friction; try the coupons before trusting them",
            "verdict": design.verdict(),
            "sizes": entries(&design.sizes, |s| size(spec, s)),
            "sleeves": entries(&design.sleeves, |s| sleeve(spec, s)),
            "family_plan": design.plan.as_ref().map(family_plan),
            "mount": mount(design),
            "holders": entries(&design.holders, holder),
            "fit": entries(&design.fit, fit),
            "coupons": coupons(design),
            "matches": design.coupons.matches,
            "gauge": design.coupons.gauge.as_ref().map(gauge),
            "measure_first": measure_first(spec, design),
            "odds_over": odds_over(spec, design),
            "side_loads": side_loads(spec, design),
            "notes": self.notes,
            "files": self.files,
        });
        if let Some(body) = body_survey::document(&spec.body) {
            document["body"] = body;
        }
        if let Some(CouponEntries { loads, selection, strains }) = self.coupons {
            document["arm_strains"] = json!(strains);
            document["tries"] = json!(loads);
            document["coupon_print"] = json!({
                "material": spec.coupon_material().key,
                "proposal": selection.proposal,
                "left_out": selection.left_out,
            });
        }
        document
    }
}

impl Serialize for DesignDocument<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.to_json().serialize(serializer)
    }
}

fn entries<T>(items: &[T], entry: impl Fn(&T) -> Value) -> Vec<Value> {
    items.iter().map(entry).collect()
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
        "wall_ratio": size.wall_ratio(),
        "half_wrap_rad": size.clip.half_wrap_rad(),
        "mouth_mm": size.clip.mouth_mm().ok(),
        "length_mm": size.length_mm,
        "margin": size.margin,
        "bound_by": size.active_limits,
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

/// Returns the spreads and ranges from which the odds are sampled.
fn odds_over(spec: &Spec, design: &Design) -> Value {
    let spreads = ProcessSpreads::from_spec(spec);
    let friction = |figures: &FitFigures| [0, 1].map(|corner| figures.curves[corner].friction);
    json!({
        "seat_spread_mm": spreads.seat_mm,
        "wall_spread_mm": spreads.wall_mm,
        "body_spread_mm": spec.body.spread_mm,
        "friction": design.fit.iter().find(|row| row.sleeve.is_none()).map(|row| friction(&row.figures)),
        "mount_friction": friction(&design.mount_fit),
    })
}

fn sleeve(spec: &Spec, sleeve: &Sleeve) -> Value {
    let tools: Vec<&str> = sleeve.tools.iter().filter_map(|t| spec.tools.get(*t)).map(|t| t.name.as_str()).collect();
    json!({
        "sleeve": sleeve.identity,
        "size": sleeve.letter,
        "tools": tools,
        "barrels_mm": sleeve.barrels_mm,
        "bore_radius_mm": sleeve.ring.bore_radius_mm,
        "wall_mm": sleeve.ring.wall_mm,
        "half_wrap_rad": sleeve.ring.half_wrap_rad,
        "slit_edge_round_mm": sleeve.ring.edge_mm,
        "between_collars_mm": sleeve.between_mm,
        "collar_mm": sleeve.collar_mm,
        "collar_rim_mm": sleeve.rim_mm,
        "chamfer_mm": sleeve.chamfer_mm,
        "engraved_strokes": sleeve.marks.len(),
        "outside_in_clip_mm": sleeve.outside_mm,
        "slides_n": sleeve.slides_n,
        "slide_on_limit_n": sleeve.slide_on_limit_n,
        "along_needed_n": sleeve.along_needed_n,
        "strain": sleeve.strain,
        "strain_limit": sleeve.strain_limit,
        "stands_off_mm": sleeve.stands_off_mm,
        "slit_mm": sleeve.slit_mm,
        "slit_on_greatest_barrel_mm": sleeve.slit_open_mm,
        "off_axis_mm": sleeve.off_axis_mm,
        "margin": sleeve.margin,
    })
}

fn family_plan(plan: &FamilyPlan) -> Value {
    let ways = plan.strategies.iter().map(|entry| match &entry.needs {
        Ok(needs) => json!({
            "way": entry.strategy,
            "serves": true,
            "holders": needs.holders,
            "sleeves": needs.sleeves,
            "margin": needs.margin,
        }),
        Err(why) => json!({ "way": entry.strategy, "serves": false, "reason": why.reason }),
    });
    json!({ "taken": plan.chosen, "ways": ways.collect::<Vec<_>>(), "remarks": plan.remarks })
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
        "wall_ratio": mount.wall_ratio(),
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
        "margin": mount.margin,
        "bound_by": mount.active_limits,
        "odds": design.mount_odds,
        "fit": fit,
    })
}

fn holder(plan: &HolderPlan) -> Value {
    let mut value = json!({
        "name": plan.name,
        "size": plan.letter,
        "offset_mm": plan.offset_mm,
        "mount_length_mm": plan.mount_length_mm,
        "clip_length_mm": plan.clip_length_mm,
        "draft_rad": plan.draft_rad,
        "chamfer_mm": plan.chamfer_mm,
        "gripping_faces": plan.gripping,
        "seat_chamfer_mm": { "mount": plan.seat_chamfers_mm[0], "clip": plan.seat_chamfers_mm[1] },
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
            "tip_mm": plan.web.tip.total_mm(),
            "tip_by_part": plan.web.tip,
            "working_sway_mm": plan.web.working.total_mm(),
            "working_sway_by_part": plan.web.working,
            "windows": plan.windows.len(),
            "working_sway_limit_mm": plan.web.working_limit_mm,
        },
        "keep_outs": plan.keep_outs,
    });
    // A document of a part without a mould of its own says nothing of it.
    if plan.parting != Parting::Middle {
        value["parting"] = json!(plan.parting);
    }
    value
}

fn fit(row: &FitRow) -> Value {
    let mut value = json!(row.figures);
    value["size"] = json!(row.letter);
    value["sleeve"] = json!(row.sleeve);
    value["tool"] = json!(row.tool_name);
    value["section"] = json!(if row.hexagon.is_some() { "hexagon" } else { "round" });
    value["diameter_mm"] = json!(row.diameter_mm);
    if let Some(hexagon) = &row.hexagon {
        value["across_flats_mm"] = json!(row.diameter_mm);
        value["across_corners_mm"] = json!(hexagon.across_corners_mm);
        value["seat_by_attitude_mm"] =
            json!({ "flat_down": hexagon.flat_down_mm, "corner_down": hexagon.corner_down_mm });
    }
    value["at"] = json!(if row.greatest { "greatest" } else { "least" });
    value["odds"] = json!(row.odds);
    value["fits"] = json!(row.figures.margin.is_kept());
    value
}

fn gauge(gauge: &Gauge) -> Value {
    json!({
        "gauge": gauge.identity,
        "clearance_mm": gauge.clearance_mm,
        "thickness_mm": gauge.thickness_mm,
        "outline": body_survey::segments(&gauge.outline),
    })
}

fn coupons(design: &Design) -> Value {
    let rows = design.coupons.coupons.iter().map(|c| {
        json!({
            "coupon": c.identity,
            "size": c.letter,
            "kind": c.kind,
            "seat_mm": c.seat_mm,
            "change_mm": c.step_mm,
            "range_mm": c.range_mm,
            "tools": c.tools,
            "hexagons": c.tools.iter().filter(|t| is_hexagon(design, t)).collect::<Vec<_>>(),
        })
    });
    rows.collect()
}
