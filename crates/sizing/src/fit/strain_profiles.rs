//! Strains along the arms of a finished design, from runs of the contact solver that keep them.

use gripwright_input::Spec;
use gripwright_mechanics::{CoulombFriction, PlaneStiffness, RigidSection, SolverSettings, worst_arm_strains};
use rayon::prelude::*;

use crate::{
    design::Design,
    design::coupon::MOUNT_LETTER,
    design::fit_row::{FitFigures, FitRow},
    design::sizes::Size,
    design::strain_profile::StrainProfile,
    limits::barrel_section::{BarrelSection, OrientedBarrel},
    limits::design_limits::{DesignLimits, body_spread_mm},
    model::clip_model::ClipModel,
    model::mount_model::MountModel,
    model::response::{ForceScale, cached_run},
    model::solver_cache::SolverCache,
    model::solver_clip::SolverClip,
    shape::body_section::BodySection,
    shape::mount_shape::MountShape,
};

/// Strains along the arms with every tool at its greatest diameter, in the order of the fit, and those of the mount on the
/// greatest body. What cannot be run again is left out.
pub(crate) fn strain_profiles(spec: &Spec, design: &Design, cache: &SolverCache) -> Vec<StrainProfile> {
    let limits = DesignLimits::from_spec(spec);
    let rows: Vec<&FitRow> = design.fit.iter().filter(|row| row.greatest).collect();
    let of_tools = || {
        let profile = |row: &&FitRow| {
            let size = design.sizes.iter().find(|size| size.letter == row.letter)?;
            clip_profile(spec, row, size, &limits, cache)
        };
        rows.par_iter().map(profile).collect::<Vec<_>>()
    };
    let (tools, mount) = rayon::join(of_tools, || mount_profile(spec, design, cache));
    tools.into_iter().chain([mount]).flatten().collect()
}

fn clip_profile(
    spec: &Spec,
    row: &FitRow,
    size: &Size,
    limits: &DesignLimits,
    cache: &SolverCache,
) -> Option<StrainProfile> {
    let model = ClipModel::from_geometry(&size.clip, size.seat_radius_mm, size.length_mm, limits)?;
    let gripped_mm = 2.0 * (size.seat_radius_mm + row.figures.interference_mm);
    let rigids: Vec<RigidSection> = match (&row.sleeve, spec.tools.get(row.tool)) {
        (None, Some(tool)) => {
            let section = BarrelSection { section: tool.section, size_mm: row.diameter_mm };
            section.orientations().iter().filter_map(OrientedBarrel::rigid).collect()
        }
        // Under a sleeve the clip meets the outside of the ring.
        _ => vec![RigidSection::round(0.5 * gripped_mm)],
    };
    let run = ProfileRun { clip: model.clip(), scale: model.scale(), limits, cache };
    let profile = run.worst(&rigids, &row.figures)?;
    Some(StrainProfile { letter: row.letter, tool: Some(row.tool_name.clone()), ..profile })
}

fn mount_profile(spec: &Spec, design: &Design, cache: &SolverCache) -> Option<StrainProfile> {
    let mount = &design.mount.mount;
    let limits = DesignLimits::for_mount(spec);
    let section = BodySection::from_body(&spec.body).ok()?;
    let shape = MountShape { gap_mm: mount.gap_mm, wall_mm: mount.wall_mm, half_wrap_rad: mount.half_wrap_rad };
    let half_width_mm = mount.back.neck_half_width_mm();
    let model = MountModel::new(&shape, &section, half_width_mm, design.mount.length_mm, &limits)?;
    let body = model.body().clone().grown(body_spread_mm(spec));
    let run = ProfileRun { clip: model.clip(), scale: model.scale(), limits: &limits, cache };
    run.worst(&[body], &design.mount_fit)
}

/// A clip or mount whose strains are asked for.
struct ProfileRun<'a> {
    clip: &'a SolverClip,
    scale: &'a ForceScale,
    limits: &'a DesignLimits,
    cache: &'a SolverCache,
}

impl ProfileRun<'_> {
    /// Profile on the section and at the friction that strain it most: those of the force curves are known already.
    fn worst(&self, rigids: &[RigidSection], figures: &FitFigures) -> Option<StrainProfile> {
        let frictions = || figures.curves.iter().map(|curves| curves.friction);
        let strain = |rigid: &RigidSection, friction: f64| {
            cached_run(self.clip, rigid, friction, self.limits, self.cache).strain.strain
        };
        let runs = rigids.iter().flat_map(|rigid| frictions().map(move |friction| (rigid, friction)));
        let (rigid, friction) = runs.max_by(|a, b| strain(a.0, a.1).total_cmp(&strain(b.0, b.1)))?;
        let stiffness = PlaneStiffness { plane_modulus_mpa: 1.0, poisson: self.limits.elastic.poisson };
        let coulomb = CoulombFriction { coefficient: friction };
        let found = worst_arm_strains(&self.clip.clip, rigid, coulomb, stiffness, &SolverSettings::FAST)?;
        let factor = self.scale.strain_factor;
        Some(StrainProfile {
            letter: MOUNT_LETTER,
            tool: None,
            friction,
            axis_mm: found.axis_mm,
            on_the_way_in: found.on_the_way_in,
            strain_limit: figures.strain_limit,
            along: found.along.iter().map(|at| [at.from_clamp_mm, factor * at.inner, factor * at.outer]).collect(),
        })
    }
}
