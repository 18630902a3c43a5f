//! Plan of a mould: masters, attitude, layout, printed parts and quantities, or the reason why there is none.

use gripwright_casting::{
    Attitude, CastingProcess, MasterScale, VentPlan,
    mould::{BoxSize, LayoutError, MouldFigures, MouldLayout, MouldPart, misfits, mould_parts},
};
use gripwright_input::{CastingSettings, LoadedSpec, Parting, Source};
use gripwright_sizing::Design;

use crate::{
    casting_chain::casting_process,
    mould::{
        cast_master::{CastKind, CastMaster, CastRelease, cast_masters},
        cast_size::CastSize,
        large_mould::LargeMould,
        master_peg::printed_master,
        mould_error::MouldError,
        pour_quantities::{PourQuantities, PouredMould, pour_quantities},
        settled_layout::{limits, mould_parting, settled_layout, share_of, vents},
    },
    problems::Problems,
    solids::Part,
};

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
    /// The same masters as they are printed, with holes for the pegs of their sprues.
    pub printed: Vec<Part>,
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
    let vented = vents(&masters, parting, settings.tilt_rad)?;
    let releases =
        masters.iter().map(|master| master.release(spec, settings, parting)).collect::<Result<Vec<_>, _>>()?;
    let figures = MouldFigures::default();
    let limits = limits(spec, settings, &vented.attitude);
    let settled = settled_layout(&masters, parting, &figures, &limits, vented);
    let (layout, vents) = settled.map_err(|error| without_bed(&loaded.source, error))?;
    let found = misfits(&layout, &figures, &limits);
    if !found.is_empty() {
        let large = LargeMould {
            masters: &masters,
            vents: &vents.plans,
            parting,
            figures: &figures,
            limits: &limits,
            tilt_rad: settings.tilt_rad,
        };
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
    let least_wall_mm = spec.printer.least_wall_mm;
    let print = |(master, vents): (&CastMaster, &VentPlan)| {
        printed_master(master, vents.sprue.opening.at_mm, &figures, least_wall_mm)
    };
    let printed = masters.iter().zip(&vents.plans).map(print).collect::<Result<Vec<_>, _>>()?;
    Ok(MouldPlan {
        parting,
        settings: settings.clone(),
        process,
        scale,
        masters,
        printed,
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
    Err(MouldError::unmet(source, problem.with_allowed("\"end\", \"cut\"").with_hint(hint)))
}

/// A bed without a pocket for a master is the fault of the parting; other failures stay as they are.
fn without_bed(source: &Source, error: MouldError) -> MouldError {
    let MouldError::Layout(LayoutError::Pocket { kind, clearance_mm }) = &error else { return error };
    let message = format!(
        "`casting.parting` is \"middle\", but {kind} cannot stand in the pocket of a bed: seen along its axis it encloses \
         a hole, or has a gap that a clearance of {clearance_mm} mm closes"
    );
    let hint = "write `parting = \"cut\"`, with `draft = 0` in [finish]";
    MouldError::unmet(
        source,
        source.diagnostic("casting.parting", "no-bed", message).with_allowed("\"end\", \"cut\"").with_hint(hint),
    )
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
        return Err(MouldError::unmet(source, problem.with_allowed(format!("{sizes} to 24")).with_hint(hint)));
    }
    Ok((0..sizes).map(|size| share_of(cavities, sizes, size)).collect())
}

fn not_cast(source: &Source) -> MouldError {
    let message = "the spec has no table [casting], which says how the part is cast";
    let hint = "write `final = \"pu-abs-like\"` under [material], and a table [casting]; it may be empty";
    let problem = source.diagnostic("casting", "not-cast", message).with_hint(hint);
    MouldError::NotCast(Problems::in_source(vec![problem], source))
}

/// The pot life is shorter than the clock.
fn too_fast(source: &Source, settings: &CastingSettings, quantities: &PourQuantities) -> MouldError {
    let pot_life = settings.resin.pot_life_min;
    // Rounded up, so that the figure suffices.
    let least = (10.0 * quantities.clock.least_pot_life_min() - 1e-9).ceil() / 10.0;
    let given = source.is_written("casting.resin.pot_life");
    let path = if given { "casting.resin.pot_life" } else { "material.final" };
    let message = format!(
        "the resin has a pot life of {pot_life:.1} min, of which two thirds are {:.1} min; to mix, pour and close takes longer",
        quantities.clock.usable_min
    );
    let problem = source.diagnostic(path, "too-fast", message);
    let hint = "take a slower resin, or fewer cavities";
    MouldError::unmet(source, problem.with_allowed(format!("a pot life of at least {least:.1} min")).with_hint(hint))
}
