//! Checked parts: the plans of a design become closed solids with their triangles and mass.

use gripwright_export::{StepError, StepHeader, StepPart, StlError, step, stl};
use gripwright_input::{ENGRAVING_MM, GrippingFaces, Parting};
use gripwright_section::{Outline, Point};
use gripwright_sizing::{Coupon, Design, Gauge, HolderPlan, LabelPlace, Plate, StationPlan, WebPlan};
use gripwright_solid::{
    Cap, CheckLimits, GripDraft, HolderError, Lettering, LetteringError, MassError, MassProperties, Mesh, MeshError,
    Motion, PartingPlane, Pocket, PrismError, PrismSpec, SleeveSpec, Solid, SolidDefect, Station, ToolAxis, WebShape,
    check, holder, holder_with_stations, lettering, mass_properties, prism, sleeve, strokes, triangulate,
};
use rayon::prelude::*;

use crate::version::MADE_BY;

/// Greatest distance of a triangle from the true surface, mm. A fortieth of a common nozzle: finer steps show on no print.
pub const CHORD_TOLERANCE_MM: f64 = 0.01;

/// Share of a least wall at which a check still passes. The design counts walls at the end of the seat; the round lip
/// of an arm that thins is a few per cent thinner.
const LIP_SHARE: f64 = 0.95;
/// Least wall that the design lets chamfers leave at the end edges, mm; elsewhere it keeps the printer's.
const LEAST_WALL_AT_CHAMFER_MM: f64 = 0.2;

/// Error of a part that cannot be made or fails its own checks: its design should have been refused.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{part}: {cause}")]
#[non_exhaustive]
pub struct PartError {
    /// Name of the part.
    pub part: String,
    /// Defect of the part.
    pub cause: PartDefect,
}

impl PartError {
    fn new(part: &str, cause: impl Into<PartDefect>) -> Self {
        Self { part: part.to_owned(), cause: cause.into() }
    }
}

/// Reason why a part cannot be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error(transparent)]
#[non_exhaustive]
pub enum PartDefect {
    /// A holder cannot be joined from its mount, clips and web.
    Holder(#[from] HolderError),
    /// A coupon or a sleeve cannot be built on its outline.
    Prism(#[from] PrismError),
    /// An engraved identity cannot be drawn.
    Lettering(#[from] LetteringError),
    /// The finished boundary fails a check.
    Check(#[from] SolidDefect),
    /// The boundary cannot be measured.
    Mass(#[from] MassError),
    /// The boundary cannot be meshed.
    Mesh(#[from] MeshError),
}

/// A finished part.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Part {
    /// Closed boundary, with its name.
    pub solid: Solid,
    /// Triangles.
    pub mesh: Mesh,
    /// Volume, surface, centroid.
    pub mass: MassProperties,
    /// Radius of the clip's round seat at the parting plane, mm; absent for a mount and for a vee.
    pub seat_radius_mm: Option<f64>,
    /// Direction of the tool's axis, along which the seat runs.
    pub seat_axis: [f64; 3],
    /// Height at which the seat has its radius, mm: the parting plane, but the middle of a drafted clip beside it.
    pub seat_height_mm: f64,
    /// True if the web is extruded across, so that its fillets and their chamfers are round about x.
    pub web_across: bool,
    /// Height of the parting plane, mm.
    pub parting_mm: f64,
    /// Angle by which the mount's gripping faces lean, rad; zero unless the body tapers.
    pub taper_rad: f64,
    /// True if the mount follows a body that tapers unevenly, with oblique cones.
    pub tapers_unevenly: bool,
    /// True if it has no draft, whatever draft the holder has.
    pub without_draft: bool,
}

/// Parts of a design that are to be made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outputs {
    /// Holders, sleeves and coupons.
    Everything,
    /// Coupons alone.
    CouponsOnly,
}

/// Finished parts of a design.
#[derive(Clone, Debug, Default)]
#[non_exhaustive]
pub struct Parts {
    /// Holders, in the order of their sizes.
    pub holders: Vec<Part>,
    /// Sleeves, in their order.
    pub sleeves: Vec<Part>,
    /// Coupons of each plate, in their places on the bed.
    pub plates: Vec<Vec<Part>>,
    /// Gauge of the body, which comes with the coupons.
    pub gauge: Option<Part>,
}

impl Parts {
    /// All parts: holders, sleeves, coupons, the gauge of the body.
    pub fn iter(&self) -> impl Iterator<Item = &Part> {
        self.holders.iter().chain(&self.sleeves).chain(self.plates.iter().flatten()).chain(&self.gauge)
    }
}

impl Part {
    /// Returns a STEP file with the exact boundary of the part alone. It states no date.
    pub fn step(&self) -> Result<String, StepError> {
        let name = self.solid.name();
        step_text(std::slice::from_ref(self), name, name.to_owned(), "1970-01-01T00:00:00")
    }

    /// Returns a binary STL file with the triangles of the part alone.
    pub fn stl(&self) -> Result<Vec<u8>, StlError> {
        stl(&[&self.mesh])
    }
}

/// Returns a STEP file with the exact boundaries of parts.
pub(crate) fn step_text(
    parts: &[Part],
    file_name: &str,
    description: String,
    time_stamp: &str,
) -> Result<String, StepError> {
    let header = StepHeader {
        file_name: file_name.to_owned(),
        description,
        time_stamp: time_stamp.to_owned(),
        originating_system: MADE_BY.to_owned(),
    };
    let parts: Vec<StepPart<'_>> =
        parts.iter().map(|part| StepPart { name: part.solid.name(), brep: part.solid.brep() }).collect();
    step(&parts, &header)
}

/// Makes the parts of a design and checks them against the printer's least wall (mm), on all cores.
pub(crate) fn parts(design: &Design, outputs: Outputs, least_wall_mm: f64) -> Result<Parts, PartError> {
    let single = || match outputs {
        Outputs::Everything => (holders(design, least_wall_mm), sleeves(design, least_wall_mm)),
        Outputs::CouponsOnly => (Ok(Vec::new()), Ok(Vec::new())),
    };
    let plates = || -> Result<Vec<Vec<Part>>, PartError> {
        design.coupons.plates.iter().map(|plate| coupons_on(design, plate, least_wall_mm)).collect()
    };
    let ((holders, sleeves), plates) = rayon::join(single, plates);
    let gauge = design.coupons.gauge.as_ref().map(|gauge| gauge_part(gauge, least_wall_mm)).transpose()?;
    Ok(Parts { holders: holders?, sleeves: sleeves?, plates: plates?, gauge })
}

/// Makes the holders of a design, in the order of their sizes, and checks them against the printer's least wall (mm).
pub fn holders(design: &Design, least_wall_mm: f64) -> Result<Vec<Part>, PartError> {
    let parts = design.holders.par_iter().zip(&design.sizes).map(|(plan, size)| {
        let round = size.clip.vee().is_none().then_some(size.drawn_radius_mm());
        holder_part(plan, round, least_wall_mm)
    });
    // Of several errors the first one counts, whatever thread met it.
    parts.collect::<Vec<_>>().into_iter().collect()
}

/// Makes the holder of a plan, with the radius (mm) of its round seat, and checks it against the printer's least wall (mm).
pub(crate) fn holder_part(
    plan: &HolderPlan,
    seat_radius_mm: Option<f64>,
    least_wall_mm: f64,
) -> Result<Part, PartError> {
    let solid = holder_solid(plan).map_err(|e| PartError::new(&plan.name, e))?;
    let part = checked_part(solid, seat_radius_mm, 0.0, least_wall_mm)?;
    let parting_mm = match parting_plane(plan.parting) {
        PartingPlane::Middle => 0.0,
        PartingPlane::LowerEnd => -0.5 * plan.mount_length_mm,
    };
    let seat_height_mm = match plan.web_plan {
        WebPlan::Flat => plan.stations.first().map_or(0.0, |station| station.at_mm),
        WebPlan::Plain | WebPlan::Side(_) => parting_mm,
    };
    Ok(Part {
        seat_axis: plan.axis_direction(),
        parting_mm,
        seat_height_mm,
        web_across: matches!(plan.web_plan, WebPlan::Side(_)),
        taper_rad: plan.mount_lean.abs().atan(),
        tapers_unevenly: plan.mount_upper.is_some(),
        ..part
    })
}

/// Makes a slice of the clip of a plan, as long as that clip, its axis at the origin.
pub(crate) fn clip_slice(
    plan: &HolderPlan,
    seat_radius_mm: Option<f64>,
    least_wall_mm: f64,
) -> Result<Part, PartError> {
    let spec = clip_spec(plan, &plan.clip_outline, plan.clip_length_mm);
    let solid = prism(&plan.name, &spec).map_err(|e| PartError::new(&plan.name, e))?;
    checked_part(solid, seat_radius_mm, 0.0, least_wall_mm)
}

/// The same part with another solid, which is checked against the printer's least wall (mm).
pub(crate) fn with_solid(part: &Part, solid: Solid, least_wall_mm: f64) -> Result<Part, PartError> {
    let Part { solid, mesh, mass, .. } = checked_part(solid, part.seat_radius_mm, part.parting_mm, least_wall_mm)?;
    Ok(Part { solid, mesh, mass, ..part.clone() })
}

/// Measures and meshes a part of a mould, which is checked to be closed.
pub(crate) fn mould_part(solid: Solid) -> Result<Part, PartError> {
    checked_part(solid, None, 0.0, 0.0).map(|part| Part { without_draft: true, ..part })
}

/// Makes the sleeves of a design, their slits along +y, and checks them against the printer's least wall (mm).
pub fn sleeves(design: &Design, least_wall_mm: f64) -> Result<Vec<Part>, PartError> {
    let made = design.sleeves.par_iter().map(|plan| {
        let outlines = strokes(&plan.marks, plan.stroke_mm).map_err(|e| PartError::new(&plan.name, e))?;
        let spec = SleeveSpec {
            ring: plan.ring,
            between_mm: plan.between_mm,
            collar_mm: plan.collar_mm,
            rim_mm: plan.rim_mm,
            chamfer_mm: plan.chamfer_mm,
            pockets: vec![Pocket { outlines, depth_mm: ENGRAVING_MM, cap: Cap::Upper }],
        };
        let solid = sleeve(&plan.name, &spec).map_err(|e| PartError::new(&plan.name, e))?;
        checked_part(solid, Some(plan.ring.bore_radius_mm), 0.0, least_wall_mm)
    });
    made.collect::<Vec<_>>().into_iter().collect()
}

/// Makes the coupons of one plate, each in its place on the bed, and checks them against the printer's least wall (mm).
pub fn coupons_on(design: &Design, plate: &Plate, least_wall_mm: f64) -> Result<Vec<Part>, PartError> {
    let coupon = |item: usize| design.coupons.coupons.get(item);
    let parts = plate.items.par_iter().filter_map(|placed| coupon(placed.item).map(|c| (placed.shift, c)));
    let made = parts.map(|(shift, coupon)| placed_coupon(coupon, shift, least_wall_mm));
    made.collect::<Vec<_>>().into_iter().collect()
}

/// Returns the name of a coupon's part in files.
pub fn coupon_name(coupon: &Coupon) -> String {
    format!("Coupon {}", coupon.identity)
}

/// Returns the outlines of a coupon's engraved identity, in the coordinates of the coupon's outline.
pub fn coupon_letters(coupon: &Coupon) -> Result<Vec<Outline>, PartError> {
    letters(&coupon.identity, &coupon.label).map_err(|e| PartError::new(&coupon_name(coupon), e))
}

fn letters(identity: &str, label: &LabelPlace) -> Result<Vec<Outline>, LetteringError> {
    let size = Lettering { height_mm: label.height_mm, ..Lettering::default() };
    let text = lettering(identity, &size)?;
    // The label's origin is the left end of its room; the text stands in the middle of it.
    let inset = Point::new(0.5 * (label.room_mm - text.width_mm), 0.0).rotated(label.angle_rad);
    Ok(text.outlines.iter().map(|o| o.moved(label.angle_rad, label.origin + inset)).collect())
}

/// Makes the gauge of the body as it lies on the bed, letters up, and checks it against the printer's least wall (mm).
fn gauge_part(gauge: &Gauge, least_wall_mm: f64) -> Result<Part, PartError> {
    let name = format!("Gauge {}", gauge.identity);
    let outlines = letters(&gauge.identity, &gauge.label).map_err(|e| PartError::new(&name, e))?;
    let half = 0.5 * gauge.thickness_mm;
    let spec = PrismSpec {
        chamfer_mm: gauge.chamfer_mm,
        pockets: vec![Pocket { outlines, depth_mm: ENGRAVING_MM, cap: Cap::Upper }],
        ..PrismSpec::plain(gauge.outline.clone(), half)
    };
    let solid = prism(&name, &spec).map_err(|e| PartError::new(&name, e))?.moved(&Motion::shift([0.0, 0.0, half]));
    let part = checked_part(solid, None, half, least_wall_mm)?;
    Ok(Part { without_draft: true, ..part })
}

fn holder_solid(plan: &HolderPlan) -> Result<Solid, HolderError> {
    let spec = |outline: &Outline, length_mm: f64| clip_spec(plan, outline, length_mm);
    let [mount_chamfer_mm, _] = plan.seat_chamfers_mm;
    let mut mount = spec(&plan.mount_outline, plan.mount_length_mm);
    mount.seat_chamfer_mm = mount_chamfer_mm;
    mount.gripping = tapered(mount.gripping, plan.mount_lean);
    mount.upper.clone_from(&plan.mount_upper);
    let web = match &plan.web_plan {
        WebPlan::Plain => {
            return holder(&plan.name, &mount, &spec(&plan.clip_outline, plan.clip_length_mm), plan.offset_mm);
        }
        WebPlan::Flat => WebShape::Flat,
        WebPlan::Side(outline) => WebShape::Side { outline: outline.clone(), windows: plan.windows.clone() },
    };
    let station = |s: &StationPlan| Station { at_mm: s.at_mm, clip: spec(&s.outline, s.length_mm) };
    let stations: Vec<Station> = plan.stations.iter().map(station).collect();
    holder_with_stations(
        &plan.name,
        &mount,
        &stations,
        ToolAxis { offset_mm: plan.offset_mm, pitch_rad: plan.pitch_rad },
        &web,
    )
}

/// Prism of a clip of a plan.
fn clip_spec(plan: &HolderPlan, outline: &Outline, length_mm: f64) -> PrismSpec {
    let [_, seat_chamfer_mm] = plan.seat_chamfers_mm;
    PrismSpec {
        outline: outline.clone(),
        half_height_mm: 0.5 * length_mm,
        draft_rad: plan.draft_rad,
        parting: parting_plane(plan.parting),
        gripping: gripping(plan.gripping),
        chamfer_mm: plan.chamfer_mm,
        seat_chamfer_mm,
        pockets: Vec::new(),
        upper: None,
    }
}

fn placed_coupon(coupon: &Coupon, shift: Point, least_wall_mm: f64) -> Result<Part, PartError> {
    let name = coupon_name(coupon);
    let outlines = coupon_letters(coupon)?;
    let spec = PrismSpec {
        outline: coupon.outline.clone(),
        half_height_mm: 0.5 * coupon.length_mm,
        draft_rad: coupon.draft_rad,
        parting: parting_plane(coupon.parting),
        gripping: tapered(gripping(coupon.gripping), coupon.lean),
        chamfer_mm: coupon.chamfer_mm,
        seat_chamfer_mm: coupon.seat_chamfer_mm,
        pockets: vec![Pocket { outlines, depth_mm: ENGRAVING_MM, cap: Cap::Upper }],
        upper: None,
    };
    let half = spec.half_height_mm;
    let parting_mm = match spec.parting {
        PartingPlane::Middle => half,
        PartingPlane::LowerEnd => 0.0,
    };
    let solid =
        prism(&name, &spec).map_err(|e| PartError::new(&name, e))?.moved(&Motion::shift([shift.x, shift.y, half]));
    let seat = coupon.round_seat.then_some(0.5 * coupon.seat_mm);
    let part = checked_part(solid, seat, parting_mm, least_wall_mm)?;
    Ok(Part { taper_rad: coupon.lean.abs().atan(), ..part })
}

/// Parting plane of a part's draft. A part whose mould is cut open has no draft, and is as one that parts in the middle.
fn parting_plane(parting: Parting) -> PartingPlane {
    match parting {
        Parting::Middle | Parting::Cut => PartingPlane::Middle,
        Parting::End => PartingPlane::LowerEnd,
    }
}

fn gripping(faces: GrippingFaces) -> GripDraft {
    match faces {
        GrippingFaces::Straight => GripDraft::Straight,
        GrippingFaces::Drafted => GripDraft::Drafted,
    }
}

/// Returns gripping faces that follow a tapered body; unchanged if `lean` is zero.
fn tapered(gripping: GripDraft, lean: f64) -> GripDraft {
    if lean.abs() > 0.0 { GripDraft::Tapered { lean } } else { gripping }
}

/// Checks, measures and meshes a part. A part that fails a check is never written.
fn checked_part(
    solid: Solid,
    seat_radius_mm: Option<f64>,
    parting_mm: f64,
    least_wall_mm: f64,
) -> Result<Part, PartError> {
    let asked = CheckLimits {
        least_wall_mm: Some(LIP_SHARE * least_wall_mm),
        least_wall_at_chamfers_mm: Some(LIP_SHARE * LEAST_WALL_AT_CHAMFER_MM),
    };
    if let Some(finding) = check(&solid, &asked).first() {
        return Err(PartError::new(solid.name(), *finding));
    }
    let mass = mass_properties(solid.brep()).map_err(|e| PartError::new(solid.name(), e))?;
    let mesh = triangulate(solid.brep(), CHORD_TOLERANCE_MM).map_err(|e| PartError::new(solid.name(), e))?;
    Ok(Part {
        solid,
        mesh,
        mass,
        seat_radius_mm,
        seat_axis: [0.0, 0.0, 1.0],
        seat_height_mm: parting_mm,
        web_across: false,
        parting_mm,
        taper_rad: 0.0,
        tapers_unevenly: false,
        without_draft: false,
    })
}
