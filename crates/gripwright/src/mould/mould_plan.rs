//! Plan of a mould: masters, attitude, layout, printed parts and quantities, or the reason why there is none.

use gripwright_casting::{
    Attitude, CastingProcess, MasterScale, VentPlan,
    mould::{
        self, BoxSize, LayoutError, MasterKind, Misfit, MouldFigures, MouldLayout, MouldLimits, MouldPart, RodKind,
        RodOpening, lay_out, misfits, mould_parts,
    },
};
use gripwright_input::{CastingSettings, Diagnostic, LoadedSpec, Parting, Source, Spec};
use gripwright_sizing::Design;

use crate::{
    casting_chain::casting_process,
    mould::{
        cast_master::{CastKind, CastMaster, CastRelease, cast_masters},
        cast_size::CastSize,
        mould_error::MouldError,
        pour_quantities::{PourQuantities, PouredMould, pour_quantities},
        vent_places::{VENT_RADIUS_MM, VentFailure, VentedCavity, VentedMould, vent_mould, vents_in_turns},
    },
    problems::Problems,
};

/// Turns that differ by less (rad) are equal.
const SAME_TURN_RAD: f64 = 1e-6;
/// Lengths and places that differ by less (mm) are equal.
const LENGTHS_MM: f64 = 1e-6;

/// Plan of the mould in which a design is cast.
#[non_exhaustive]
pub struct MouldPlan {
    /// Way to part the mould.
    pub parting: Parting,
    /// Settings of the spec.
    pub settings: CastingSettings,
    /// Process from master to casting.
    pub process: CastingProcess,
    /// Figures that turn sizes of the casting into those of the master.
    pub scale: MasterScale,
    /// Masters, a holder and a slice of each size.
    pub masters: Vec<CastMaster>,
    /// Attitude while the resin is poured.
    pub attitude: Attitude,
    /// Sprue and vents of each master.
    pub vents: Vec<VentPlan>,
    /// Release of each master's casting.
    pub releases: Vec<CastRelease>,
    /// Places in the box.
    pub layout: MouldLayout,
    /// Figures by which box and rubber are drawn.
    pub figures: MouldFigures,
    /// Printed parts of the mould.
    pub parts: Vec<MouldPart>,
    /// Batches, shots and clock.
    pub quantities: PourQuantities,
}

impl MouldPlan {
    /// Sizes of the casting that decide, on their way from the master as drawn. `design` is the one of this mould.
    pub fn sizes(&self, design: &Design) -> Vec<CastSize> {
        CastSize::all(design, &self.process)
    }

    /// Outer size of the box.
    pub fn box_size(&self) -> BoxSize {
        BoxSize::new(&self.layout, &self.figures)
    }

    /// Holders in one mould.
    pub fn holders(&self) -> usize {
        self.of_kind(CastKind::Holder)
    }

    /// Slices in one mould.
    pub fn slices(&self) -> usize {
        self.of_kind(CastKind::Slice)
    }

    fn of_kind(&self, kind: CastKind) -> usize {
        self.masters.iter().filter(|master| master.kind == kind).map(|master| master.count).sum()
    }
}

/// Plans the mould of a design.
pub(crate) fn mould_plan(loaded: &LoadedSpec, design: &Design) -> Result<MouldPlan, MouldError> {
    let spec = &loaded.spec;
    let Some(settings) = &spec.casting else { return Err(not_cast(&loaded.source)) };
    let parting = spec.finish.parting;
    if parting == Parting::Middle {
        check_equal_lengths(design, &loaded.source)?;
    }
    let process = casting_process(&spec.printer, settings);
    let scale = MasterScale::of_process(&process);
    let counts = holders_of_each_size(settings, design, &loaded.source)?;
    let slices = settings.slices as usize;
    let masters = cast_masters(spec, design, &scale, &counts, slices)?;
    let vented = vents(&masters, parting, settings)?;
    let releases =
        masters.iter().map(|master| master.release(spec, settings, parting)).collect::<Result<Vec<_>, _>>()?;
    let figures = MouldFigures::default();
    let limits = limits(spec, settings);
    let settled = settled_layout(&masters, parting, &figures, &limits, vented);
    let (layout, vents) = settled.map_err(|error| without_bed(&loaded.source, error))?;
    let found = misfits(&layout, &figures, &limits);
    if !found.is_empty() {
        let large = LargeMould { masters: &masters, vents: &vents.plans, parting, figures: &figures, limits: &limits };
        return Err(large.error(&loaded.source, &found, &layout)?);
    }
    let poured = PouredMould {
        parting: mould_parting(parting),
        volumes: layout.volumes,
        cavities: masters.iter().map(|master| master.count).sum(),
        least_cavities: counts.iter().filter_map(|&count| u32::try_from(count).ok()).min().unwrap_or(1),
    };
    let quantities = pour_quantities(&poured, settings, spec.material.part_material().density_g_cm3)?;
    if quantities.clock.spare_min < 0.0 {
        return Err(too_fast(&loaded.source, settings, &quantities));
    }
    let parts = mould_parts(&layout, &figures)?;
    Ok(MouldPlan {
        parting,
        settings: settings.clone(),
        process,
        scale,
        masters,
        attitude: vents.attitude,
        vents: vents.plans,
        releases,
        layout,
        figures,
        parts,
        quantities,
    })
}

/// Half of a master stands in one pocket of the bed, so that mount and clips must be as long as each other.
fn check_equal_lengths(design: &Design, source: &Source) -> Result<(), MouldError> {
    let unequal = design.holders.iter().find(|plan| {
        let is_short = |length_mm: f64| (length_mm - plan.mount_length_mm).abs() > LENGTHS_MM;
        is_short(plan.clip_length_mm) || plan.stations.iter().any(|station| station.at_mm.abs() > LENGTHS_MM)
    });
    let Some(plan) = unequal else { return Ok(()) };
    let message = format!(
        "`casting.parting` is \"middle\", but the clip of {} is {:.1} mm long on a mount of {:.1} mm: the shorter one would \
         hang over its pocket in the bed",
        plan.name, plan.clip_length_mm, plan.mount_length_mm
    );
    let hint = format!("write `parting = \"end\"`, or `lengths = [{}]` in [layout]", plan.mount_length_mm);
    let problem = source.diagnostic("casting.parting", "unequal-lengths", message);
    Err(no_mould(source, problem.with_allowed("\"end\", \"cut\"").with_hint(hint)))
}

/// A bed without a pocket for a master is the fault of the parting; other failures stay as they are.
fn without_bed(source: &Source, error: MouldError) -> MouldError {
    let MouldError::Layout(LayoutError::Pocket { kind, clearance_mm }) = &error else { return error };
    let message = format!(
        "`casting.parting` is \"middle\", but {kind} cannot stand in the pocket of a bed: seen along its axis it encloses \
         a hole, or has a gap that a clearance of {clearance_mm} mm closes"
    );
    let hint = "write `parting = \"cut\"`, with `draft = 0` in [finish]";
    no_mould(
        source,
        source.diagnostic("casting.parting", "no-bed", message).with_allowed("\"end\", \"cut\"").with_hint(hint),
    )
}

fn mould_parting(parting: Parting) -> mould::Parting {
    match parting {
        Parting::End => mould::Parting::End,
        Parting::Cut => mould::Parting::Cut,
        Parting::Middle => mould::Parting::Middle,
    }
}

/// Shares the cavities among the sizes: each gets one at least, the first ones one more where they do not divide.
fn holders_of_each_size(
    settings: &CastingSettings,
    design: &Design,
    source: &Source,
) -> Result<Vec<usize>, MouldError> {
    let sizes = design.holders.len();
    let cavities = settings.cavities.map_or(sizes, |count| count as usize);
    if cavities < sizes {
        let message = format!("`casting.cavities` is {cavities}, but the family has {sizes} sizes");
        let hint = format!("write `cavities = {sizes}` or more: each size needs one");
        let problem = source.diagnostic("casting.cavities", "few-cavities", message);
        return Err(no_mould(source, problem.with_allowed(format!("{sizes} to 24")).with_hint(hint)));
    }
    Ok((0..sizes).map(|size| share_of(cavities, sizes, size)).collect())
}

/// Share of the cavities that a size gets.
fn share_of(cavities: usize, sizes: usize, size: usize) -> usize {
    cavities / sizes + usize::from(size < cavities % sizes)
}

fn vents(masters: &[CastMaster], parting: Parting, settings: &CastingSettings) -> Result<VentedMould, MouldError> {
    let cavities: Vec<VentedCavity<'_>> = masters.iter().map(cavity).collect();
    vent_mould(&cavities, parting, settings.tilt_rad).map_err(vent_error)
}

fn vent_error(failure: VentFailure) -> MouldError {
    MouldError::Cavity { master: failure.master, cause: failure.cause }
}

fn cavity(master: &CastMaster) -> VentedCavity<'_> {
    VentedCavity {
        name: &master.name,
        mesh: &master.part.mesh,
        regions: &master.regions,
        lower_end_mm: master.ends_mm()[0],
        sprue_radius_mm: master.sprue_radius_mm(),
    }
}

/// Lays the masters out, and gives each kind the vents of all turns in which it stands. Vents may move masters, so that this
/// is repeated until no turn is new.
fn settled_layout(
    masters: &[CastMaster],
    parting: Parting,
    figures: &MouldFigures,
    limits: &MouldLimits,
    mut vented: VentedMould,
) -> Result<(MouldLayout, VentedMould), MouldError> {
    let mut turns: Vec<Vec<f64>> = vec![Vec::new(); masters.len()];
    loop {
        let layout = lay_out(&kinds(masters, &vented.plans), mould_parting(parting), figures, limits)?;
        let mut is_settled = true;
        for (kind, known) in turns.iter_mut().enumerate() {
            let before = known.len();
            for place in layout.places.iter().filter(|place| place.kind == kind) {
                if known.iter().all(|turn| (turn - place.turn_rad).abs() > SAME_TURN_RAD) {
                    known.push(place.turn_rad);
                }
            }
            if known.len() > before {
                let plan = vents_in_turns(&cavity(&masters[kind]), parting, &vented.attitude, known);
                vented.plans[kind] = plan.map_err(vent_error)?;
                is_settled = false;
            }
        }
        if is_settled {
            return Ok((layout, vented));
        }
    }
}

fn limits(spec: &Spec, settings: &CastingSettings) -> MouldLimits {
    let vessel_mm = settings.vessel.map(|vessel| [vessel.diameter_mm, vessel.height_mm]);
    MouldLimits { bed_mm: Some(spec.printer.bed_mm), vessel_mm }
}

fn kinds(masters: &[CastMaster], vents: &[VentPlan]) -> Vec<MasterKind> {
    masters.iter().zip(vents).map(|(master, vents)| kind(master, vents)).collect()
}

fn kind(master: &CastMaster, vents: &VentPlan) -> MasterKind {
    let [low, high] = master.ends_mm();
    let opening = |planned: &gripwright_casting::PlannedOpening, kind, radius_mm: f64| RodOpening {
        at: [planned.opening.at_mm[0], planned.opening.at_mm[1]],
        height_mm: planned.opening.at_mm[2] - low,
        kind,
        diameter_mm: 2.0 * radius_mm,
        pegged: false,
    };
    let mut openings = vec![opening(&vents.sprue, RodKind::Sprue, master.sprue_radius_mm())];
    openings.extend(vents.vents.iter().map(|vent| opening(vent, RodKind::Vent, VENT_RADIUS_MM)));
    MasterKind {
        name: master.name.clone(),
        outlines: master.outlines(),
        height_mm: high - low,
        volume_mm3: master.part.mass.volume_mm3,
        wanted: master.count,
        openings,
    }
}

fn not_cast(source: &Source) -> MouldError {
    let message = "the spec has no table [casting], which says how the part is cast";
    let hint = "write `final = \"pu-abs-like\"` under [material], and a table [casting]; it may be empty";
    let problem = source.diagnostic("casting", "not-cast", message).with_hint(hint);
    MouldError::NotCast(Problems::in_source(vec![problem], source))
}

fn no_mould(source: &Source, problem: Diagnostic) -> MouldError {
    MouldError::NoMould(Problems::in_source(vec![problem], source))
}

/// The pot life is shorter than the clock.
fn too_fast(source: &Source, settings: &CastingSettings, quantities: &PourQuantities) -> MouldError {
    let (pot_life, least) = (settings.resin.pot_life_min, quantities.clock.least_pot_life_min());
    let given = source.is_written("casting.resin.pot_life");
    let path = if given { "casting.resin.pot_life" } else { "material.final" };
    let message = format!(
        "the resin has a pot life of {pot_life:.1} min, of which two thirds are {:.1} min; to mix, pour and close takes longer",
        quantities.clock.usable_min
    );
    let problem = source.diagnostic(path, "too-fast", message);
    let hint = "take a slower resin, or fewer cavities";
    no_mould(source, problem.with_allowed(format!("a pot life of at least {least:.1} min")).with_hint(hint))
}

/// A mould as it was asked for, which is too large for bed or vessel.
struct LargeMould<'a> {
    masters: &'a [CastMaster],
    vents: &'a [VentPlan],
    parting: Parting,
    figures: &'a MouldFigures,
    limits: &'a MouldLimits,
}

impl LargeMould<'_> {
    /// Says by how much it is too large, and which numbers of cavities and slices fit.
    fn error(&self, source: &Source, found: &[Misfit], layout: &MouldLayout) -> Result<MouldError, MouldError> {
        let texts: Vec<String> = found.iter().map(ToString::to_string).collect();
        let is_bed = found.iter().any(|misfit| matches!(misfit, Misfit::Bed { .. }));
        let path = if is_bed { "printer.bed" } else { "casting.vessel" };
        let hint = if let Some([cavities, slices]) = self.fitting()? {
            format!("`cavities = {cavities}` with `slices = {slices}` in [casting] fits")
        } else {
            let size = BoxSize::new(layout, self.figures);
            let [width, depth] = size.outer_mm;
            format!(
                "no smaller number fits; this mould is {width:.0} × {depth:.0} mm and {:.0} mm high with its box",
                size.height_mm
            )
        };
        Ok(no_mould(source, source.diagnostic(path, "mould-too-large", texts.join("; ")).with_hint(hint)))
    }

    /// Greatest numbers of cavities and of slices of each clip that fit: as many slices as possible first.
    fn fitting(&self) -> Result<Option<[usize; 2]>, MouldError> {
        let is_holder = |kind: &usize| self.masters[*kind].kind == CastKind::Holder;
        let holders: Vec<usize> = (0..self.masters.len()).filter(is_holder).collect();
        let asked: usize = holders.iter().map(|&kind| self.masters[kind].count).sum();
        let slices = self.masters.iter().filter(|m| m.kind == CastKind::Slice).map(|m| m.count).max().unwrap_or(0);
        for slices in (0..=slices).rev() {
            for cavities in (holders.len()..=asked).rev() {
                let mut kinds = kinds(self.masters, self.vents);
                for (index, kind) in kinds.iter_mut().enumerate() {
                    kind.wanted = match holders.iter().position(|&holder| holder == index) {
                        Some(size) => share_of(cavities, holders.len(), size),
                        None => slices,
                    };
                }
                let layout = lay_out(&kinds, mould_parting(self.parting), self.figures, self.limits)?;
                if misfits(&layout, self.figures, self.limits).is_empty() {
                    return Ok(Some([cavities, slices]));
                }
            }
        }
        Ok(None)
    }
}
