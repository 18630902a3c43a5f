//! Masters of a mould: those of the holders, and slices of their clips that are cast beside them to try the fit.

use gripwright_casting::{
    MasterScale, mould_physics,
    release::{
        GreenMaterial, GroupDraft, LEAST_FIN_MM, MouldHalf, MouthWidths, PullStrain, ReleaseFindings, ReleaseLimits,
        ReleaseVerdict, core_pull_strain, face_drafts, group_drafts, thinnest_fin, undercut_stretches,
    },
};
use gripwright_input::{CastingSettings, Parting, Spec};
use gripwright_mechanics::{CoulombFriction, MeshDensity, MeshedClip, RigidSection};
use gripwright_section::{Outline, Point};
use gripwright_sizing::{ClipGeometry, Design, HolderPlan, Size};

use crate::{
    holder_regions::HolderRegions,
    master_plan::master_plan,
    mould::mould_error::MouldError,
    solids::{Part, clip_slice, holder_part},
};

/// Spacing of the points at which the rubber between facing walls is measured, mm.
const FIN_SPACING_MM: f64 = 2.0;

/// Usual radius of a sprue at the part, mm, and the greatest over the room of the web. Common practice, no source.
const SPRUE_RADIUS_MM: f64 = 2.0;
const SPRUE_SHARE: f64 = 0.45;
/// Step to which the radius is rounded down, mm: clips of nearly equal walls then take equal rods.
const SPRUE_STEP_MM: f64 = 0.05;

/// Share of a step that is rounding.
const ROUNDING: f64 = 1e-6;

/// Kind of a master.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CastKind {
    /// A holder.
    Holder,
    /// A slice of a holder's clip, to try the fit.
    Slice,
}

/// A master and the casting that it gives.
pub struct CastMaster {
    /// Name, as "Master A".
    pub name: String,
    /// Letter of its size.
    pub letter: char,
    /// Holder or slice.
    pub kind: CastKind,
    /// Shape of the master and of its cavity, without the hole for a peg.
    pub part: Part,
    /// Masters of this kind in one mould.
    pub count: usize,
    pub(crate) plan: HolderPlan,
    clip: ClipGeometry,
    core_radius_mm: f64,
    /// The mount for the contact solver, and what fills its seat; a slice has none.
    mount: Option<(MeshedClip, RigidSection)>,
    pub(crate) regions: HolderRegions,
}

/// Release of a casting from its mould.
#[derive(Clone, Debug)]
pub struct CastRelease {
    /// Draft of each class of faces, over all halves of the mould.
    pub drafts: Vec<GroupDraft>,
    /// What was found.
    pub findings: ReleaseFindings,
    /// Verdict with its figures.
    pub verdict: ReleaseVerdict,
    /// Strain that the casting bears when it is demoulded.
    pub strain_limit: f64,
}

impl CastRelease {
    /// Sentence on the strain of the arms as they are pulled off their cores; `None` if they are not.
    pub fn strain_text(&self) -> Option<String> {
        let percent = |strain: f64| format!("{:.1} %", 100.0 * strain);
        let part = |(name, strain): &(String, PullStrain)| {
            let (shared, rigid) = (percent(strain.shared()?), percent(strain.rigid?));
            Some(format!("the {name} by about {shared} ({rigid} if its core did not yield)"))
        };
        let parts: Vec<String> = self.findings.strains.iter().filter_map(part).collect();
        let limit = percent(self.strain_limit);
        (!parts.is_empty()).then(|| format!("The pull strains {}, of {limit} at demoulding.", parts.join(", ")))
    }
}

/// Returns the masters of a design; `counts` are the holders of each size in one mould, `slices`
/// the slices of each clip.
pub(crate) fn cast_masters(
    spec: &Spec,
    design: &Design,
    scale: &MasterScale,
    counts: &[usize],
    slices: usize,
) -> Result<Vec<CastMaster>, MouldError> {
    let mut masters = Vec::new();
    let mount = design.mount.with_core();
    for ((holder, size), &count) in design.holders.iter().zip(&design.sizes).zip(counts) {
        let plan = master_plan(holder, scale)
            .map_err(|cause| MouldError::Outline { master: format!("Master {}", holder.letter), cause })?;
        let seat_radius_mm = size.clip.vee().is_none().then(|| seat_radius_mm(size, scale));
        let least_wall_mm = spec.printer.least_wall_mm;
        let mut parts = Vec::new();
        if slices > 0 {
            let slice = slice_plan(spec, &plan, scale);
            parts.push((CastKind::Slice, clip_slice(&slice, seat_radius_mm, least_wall_mm)?, slice, slices));
        }
        parts.insert(0, (CastKind::Holder, holder_part(&plan, seat_radius_mm, least_wall_mm)?, plan, count));
        masters.extend(parts.into_iter().map(|(kind, part, plan, count)| CastMaster {
            name: plan.name.clone(),
            letter: holder.letter,
            kind,
            part,
            count,
            clip: size.clip,
            core_radius_mm: size.seat_radius_mm,
            mount: mount.clone().filter(|_| kind == CastKind::Holder),
            regions: match kind {
                CastKind::Holder => HolderRegions::new(&plan),
                CastKind::Slice => HolderRegions::of_slice(&plan),
            },
            plan,
        }));
    }
    Ok(masters)
}

/// Length rounded down to a whole number of steps, mm; unchanged if it is shorter than one.
pub(crate) fn whole_steps_mm(length_mm: f64, step_mm: f64) -> f64 {
    let whole = (length_mm / step_mm + ROUNDING).floor() * step_mm;
    if whole > 0.0 { whole } else { length_mm }
}

fn seat_radius_mm(size: &Size, scale: &MasterScale) -> f64 {
    scale.distance_mm(size.drawn_radius_mm()) + scale.gripping_mm
}

/// Plan of a slice as long as a coupon. Its clip alone is made.
fn slice_plan(spec: &Spec, holder: &HolderPlan, scale: &MasterScale) -> HolderPlan {
    let mut plan = holder.clone();
    plan.name = format!("Slice {}", holder.letter);
    plan.clip_length_mm = scale.outer_size_mm(spec.coupons.length_mm).min(holder.clip_length_mm);
    plan.offset_mm = 0.0;
    plan.pitch_rad = 0.0;
    plan.stations.clear();
    plan
}

impl CastMaster {
    /// Radius of the sprue where it meets the master, mm: the usual one, or less where the wall is thinner.
    pub(crate) fn sprue_radius_mm(&self) -> f64 {
        let room_mm = SPRUE_SHARE * self.regions.web_room_mm();
        SPRUE_RADIUS_MM.min(whole_steps_mm(room_mm, SPRUE_STEP_MM))
    }

    /// Height of the lower end, on which the master stands, and that of the upper one, mm.
    pub(crate) fn ends_mm(&self) -> [f64; 2] {
        let bounds = self.part.solid.brep().bounds();
        bounds.map_or([0.0; 2], |bounds| [bounds.min_mm[2], bounds.min_mm[2] + bounds.size_mm()[2]])
    }

    /// Outlines seen along the axis of the mould.
    pub(crate) fn outlines(&self) -> Vec<Outline> {
        let plan = &self.plan;
        let at = |outline: &Outline, y: f64| outline.moved(0.0, Point::new(0.0, y));
        if self.kind == CastKind::Slice {
            return vec![plan.clip_outline.clone()];
        }
        let mut outlines = vec![plan.mount_outline.moved(std::f64::consts::PI, Point::new(0.0, 0.0))];
        for station in &plan.stations {
            let half = 0.5 * station.length_mm;
            let ends = [station.at_mm - half, station.at_mm + half].map(|along| plan.axis_point_mm(along)[1]);
            outlines.extend(ends.map(|y| at(&station.outline, y)));
        }
        outlines.extend(self.regions.web_outline());
        outlines
    }

    /// Judges how the casting leaves its mould.
    pub(crate) fn release(
        &self,
        spec: &Spec,
        settings: &CastingSettings,
        parting: Parting,
    ) -> Result<CastRelease, MouldError> {
        let brep = self.part.solid.brep();
        let halves = match parting {
            Parting::End => vec![MouldHalf::through_end(brep, [0.0, 0.0, -1.0])],
            Parting::Middle => MouldHalf::at_plane([0.0, 0.0, 1.0], 0.0).into(),
            Parting::Cut => Vec::new(),
        };
        let grips = |face: &gripwright_solid::Face| self.regions.grips(brep, face);
        let mut drafts = Vec::new();
        let mut undercuts = Vec::new();
        for half in &halves {
            let of_half = face_drafts(brep, half, &grips).map_err(|cause| {
                MouldError::Part(crate::solids::PartError { part: self.name.clone(), cause: cause.into() })
            })?;
            undercuts.extend(undercut_stretches(brep, &self.part.mesh, half, &of_half));
            drafts.extend(of_half);
        }
        let across = parting == Parting::Cut;
        let named = [("mount", &self.plan.mount_outline), ("clip", &self.plan.clip_outline)];
        let clips = named.into_iter().filter(|(name, _)| *name == "clip" || self.kind == CastKind::Holder);
        let mouths = clips
            .filter(|_| across)
            .filter_map(|(name, outline)| MouthWidths::of_outline(outline).map(|widths| (name.to_owned(), widths)));
        let findings = ReleaseFindings {
            undercuts,
            mouths: mouths.collect(),
            fin: thinnest_fin(&[&self.part.mesh], LEAST_FIN_MM, FIN_SPACING_MM),
            strains: if across { self.core_strains(spec, settings) } else { Vec::new() },
        };
        let limits = ReleaseLimits::new(settings.rubber.elongation, settings.resin.green_strain);
        let verdict = ReleaseVerdict::judge(&findings, &limits);
        Ok(CastRelease { drafts: group_drafts(&drafts), verdict, findings, strain_limit: settings.resin.green_strain })
    }

    /// Strain of the arms of mount and clip while they leave their cores of rubber across.
    fn core_strains(&self, spec: &Spec, settings: &CastingSettings) -> Vec<(String, PullStrain)> {
        let clip = match &self.clip {
            ClipGeometry::Round(clip) => clip
                .root_angle_rad()
                .ok()
                .and_then(|root| MeshedClip::from_round_clip(clip, root, [0.0; 2], MeshDensity::FAST).ok()),
            ClipGeometry::Vee(clip) => MeshedClip::from_vee_clip(clip, [0.0; 2], MeshDensity::FAST).ok(),
        };
        let material = spec.material.part_material();
        let green = GreenMaterial {
            modulus_mpa: 0.5 * (material.modulus_mpa.least + material.modulus_mpa.greatest),
            modulus_share: settings.resin.green_share,
            poisson: material.poisson,
            strain_limit: settings.resin.green_strain,
        };
        let friction = CoulombFriction { coefficient: material.friction.greatest };
        let rubber_mpa = mould_physics::rubber_modulus_mpa(settings.rubber.hardness_a);
        let clip = clip.map(|clip| (clip, RigidSection::round(self.core_radius_mm)));
        let parts = [("mount", self.mount.as_ref()), ("clip", clip.as_ref())];
        let strain =
            |(arms, core): &(MeshedClip, RigidSection)| core_pull_strain(arms, core, &green, rubber_mpa, friction);
        parts.into_iter().filter_map(|(name, arms)| Some((name.to_owned(), strain(arms?)))).collect()
    }
}
