//! Limits of clips and mount, demands of the tools and spreads of the process, in the terms of the mechanics.

use gripwright_input::{
    Barrel, Finish, GrippingFaces, LoadPath, Material, Parting, PrintDirection, Spec, Tool, ToolSection, Uses,
    WideRange,
};
use gripwright_mechanics::{ElasticMaterial, Interval, permissible_strain};

use crate::limits::{
    barrel_section::BarrelSection,
    tool_load::{StationLayout, ToolLoad, weight_n},
};

/// Deviation of a measured size, in standard uncertainties: covers 95 % of a normal spread.
pub(crate) const COVERAGE: f64 = Barrel::COVERAGE;

/// Demands of one tool on its clip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct ToolDemand {
    /// Index in the spec.
    pub(crate) index: usize,
    pub(crate) section: ToolSection,
    /// Least diameter, or size across flats, mm.
    pub(crate) least_mm: f64,
    /// Greatest diameter, or size across flats, mm.
    pub(crate) greatest_mm: f64,
    /// Hold needed across the axis, safety included, N.
    pub(crate) across_n: f64,
    /// Hold needed along the axis, safety included, N.
    pub(crate) along_n: f64,
    /// The loads with the points where they act, on all clips together.
    pub(crate) load: ToolLoad,
}

/// Standard deviations of the process (printer, or printer and mould) from part to part.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct ProcessSpreads {
    /// Diameter of a seat, mm.
    pub seat_mm: f64,
    /// Wall, mm.
    pub wall_mm: f64,
}

impl ProcessSpreads {
    /// Spreads of a spec's process. A casting carries the spread of its master and that of its mould.
    pub fn from_spec(spec: &Spec) -> Self {
        let (printer, mould) = (&spec.printer, &spec.mould);
        match spec.material.cast {
            Some(_) => Self {
                seat_mm: printer.seat_spread_mm.hypot(mould.seat_spread_mm),
                wall_mm: printer.wall_spread_mm.hypot(mould.wall_spread_mm),
            },
            None => Self { seat_mm: printer.seat_spread_mm, wall_mm: printer.wall_spread_mm },
        }
    }
}

/// Limits of every clip and of the mount.
#[derive(Clone, Debug)]
pub(crate) struct DesignLimits {
    pub(crate) elastic: ElasticMaterial,
    pub(crate) strain_limit: f64,
    pub(crate) snap_on_n: f64,
    /// Greatest pull by hand that takes a tool out of one clip, N; infinite without a limit.
    pub(crate) take_off_n: f64,
    /// Greatest pulls that leave the mount on the body, of one clip, at the least and the greatest friction and the
    /// greatest modulus, N; absent while no mount is chosen, or where a hand holds the holder.
    pub(crate) outlasted_n: Option<[f64; 2]>,
    /// Part that moments, long-term hold and order of letting go have.
    pub(crate) load_path: LoadPath,
    /// Greatest strain at rest of what is left on; infinite otherwise.
    pub(crate) strain_at_rest: f64,
    /// Least share of the grip after 1,000 h, of what may be left on; absent otherwise.
    pub(crate) remains: Option<f64>,
    pub(crate) finish: Finish,
    pub(crate) least_wall_mm: f64,
    /// Thickest wall that a search may take, mm; infinite unless room is short.
    pub(crate) greatest_wall_mm: f64,
    /// Greatest offset of a barrel's axis from its place, mm; no limit when absent.
    pub(crate) aim_within_mm: Option<f64>,
    pub(crate) wide_range: WideRange,
    /// Safety factor on the loads.
    pub(crate) hold_safety: f64,
    /// Places of the clips.
    pub(crate) stations: StationLayout,
    /// Number of clips that grip a tool together; the allowed push is that of one of them.
    pub(crate) clips: f64,
    /// Shortest and longest clip that the layout has room for, mm.
    pub(crate) length_range_mm: Interval,
}

impl ToolDemand {
    /// Demands of all tools, in the order of the spec.
    pub(crate) fn all(spec: &Spec) -> Vec<Self> {
        spec.tools.iter().enumerate().map(|(index, tool)| Self::new(spec, index, tool)).collect()
    }

    /// Demands of one tool of a spec.
    pub(crate) fn new(spec: &Spec, index: usize, tool: &Tool) -> Self {
        let [least_mm, greatest_mm] = tool.barrel.limits_mm();
        let (safety, least_n) = (spec.fit.hold_safety, spec.fit.hold_at_least_n);
        // The holder may be turned any way: the weight counts in both directions.
        let weight = weight_n(spec, tool);
        Self {
            index,
            section: tool.section,
            least_mm,
            greatest_mm,
            across_n: safety * (tool.load_across_n + weight).max(least_n),
            along_n: safety * (tool.load_along_n + weight).max(least_n),
            load: ToolLoad::new(spec, tool),
        }
    }

    /// The demand with all loads multiplied by a factor.
    pub(crate) fn scaled(&self, factor: f64) -> Self {
        Self {
            across_n: factor * self.across_n,
            along_n: factor * self.along_n,
            load: self.load.scaled(factor),
            ..*self
        }
    }

    /// Section at its least.
    pub(crate) fn least(&self) -> BarrelSection {
        BarrelSection { section: self.section, size_mm: self.least_mm }
    }

    /// Section at its greatest.
    pub(crate) fn greatest(&self) -> BarrelSection {
        BarrelSection { section: self.section, size_mm: self.greatest_mm }
    }

    /// Greatest width, mm.
    pub(crate) fn widest_mm(&self) -> f64 {
        self.greatest().widest_mm()
    }
}

impl DesignLimits {
    /// Change of the radius, mm, that leaves a part its share of the grip after 1,000 h, from the interference (mm) at rest.
    ///
    /// A plastic that is held at a constant strain takes the lost share of it as its new free shape.
    pub(crate) fn relaxed_mm(&self, interference_mm: f64) -> Option<f64> {
        self.remains.map(|remains| (1.0 - remains) * interference_mm.max(0.0))
    }

    /// True if moments, long-term hold and order of letting go are limits.
    pub(crate) fn limits_load_path(&self) -> bool {
        self.load_path == LoadPath::Limit
    }

    /// Limits of round clips of a material on a single station, with nothing else asked.
    #[cfg(test)]
    pub(crate) fn of_material(elastic: ElasticMaterial, strain_limit: f64, snap_on_n: f64) -> Self {
        Self {
            elastic,
            strain_limit,
            snap_on_n,
            take_off_n: f64::INFINITY,
            outlasted_n: None,
            load_path: LoadPath::Report,
            strain_at_rest: f64::INFINITY,
            remains: None,
            finish: Finish {
                draft_rad: 0.0,
                parting: Parting::Middle,
                gripping_faces: GrippingFaces::Straight,
                chamfer_mm: 0.3,
            },
            least_wall_mm: 0.8,
            greatest_wall_mm: f64::INFINITY,
            aim_within_mm: None,
            wide_range: WideRange::Sizes,
            hold_safety: 1.0,
            stations: StationLayout::single(20.0),
            clips: 1.0,
            length_range_mm: Interval { least: 0.0, greatest: f64::INFINITY },
        }
    }

    /// Limits of the finished part at 23 °C and at its temperature of use.
    pub(crate) fn from_spec(spec: &Spec) -> Self {
        Self::of_part(spec, spec.fit.uses)
    }

    fn of_part(spec: &Spec, uses: Uses) -> Self {
        let cast = spec.material.cast.is_some();
        // A casting has no layers, whichever way its master was printed.
        let standing = !cast && spec.printer.direction == PrintDirection::Standing;
        // The master of a casting is printed, and its mould must fill as well.
        let mould = if cast { spec.mould.least_wall_mm } else { 0.0 };
        let part = UsedMaterial { material: &spec.used_material(), uses, standing };
        Self::for_material(spec, part, spec.printer.least_wall_mm.max(mould))
    }

    /// Limits of a printed slice, which is tried a few times at 23 °C, so that the strain of a single use limits it. It lies
    /// on its side, whichever way the part is printed.
    pub(crate) fn for_printed_slice(spec: &Spec) -> Self {
        let slice = UsedMaterial { material: spec.coupon_material(), uses: Uses::Single, standing: false };
        Self::for_material(spec, slice, spec.printer.least_wall_mm)
    }

    /// The same limits for the mount: its use, and the friction on its body.
    pub(crate) fn for_mount(spec: &Spec) -> Self {
        let uses = spec.body.uses;
        let mut limits = Self::of_part(spec, uses);
        // Snapped on once, a mount stays on the body as well.
        limits.remains = (uses != Uses::Repeated).then_some(spec.used_material().grip_after_1000_h.least);
        if let Some(friction) = spec.body.friction {
            limits.elastic.friction = Interval { least: friction.least, greatest: friction.greatest };
        }
        limits
    }

    fn for_material(spec: &Spec, used: UsedMaterial<'_>, least_wall_mm: f64) -> Self {
        let UsedMaterial { material, uses, standing } = used;
        let permissible = |strain: f64| permissible_strain(strain, standing, material.across_layers);
        let left_on = uses == Uses::LeftOn;
        Self {
            take_off_n: spec.fit.take_off_at_most_n.unwrap_or(f64::INFINITY),
            outlasted_n: None,
            load_path: spec.fit.load_path,
            strain_at_rest: if left_on { permissible(material.strain_at_rest) } else { f64::INFINITY },
            remains: left_on.then_some(material.grip_after_1000_h.least),
            elastic: elastic(material),
            strain_limit: permissible(bearable_strain(material, uses)),
            snap_on_n: spec.fit.snap_on_at_most_n,
            finish: spec.finish,
            least_wall_mm,
            greatest_wall_mm: f64::INFINITY,
            aim_within_mm: spec.layout.aim.map(|aim| aim.within_mm),
            wide_range: spec.fit.wide_range,
            hold_safety: spec.fit.hold_safety,
            stations: StationLayout::new(spec),
            clips: 1.0,
            length_range_mm: Interval { least: 0.0, greatest: f64::INFINITY },
        }
    }

    /// Number of faces of a wall that draft moves: both, or the back alone when the gripping faces stay straight.
    pub(crate) fn drafted_faces(&self) -> f64 {
        match self.finish.gripping_faces {
            GrippingFaces::Straight => 1.0,
            GrippingFaces::Drafted => 2.0,
        }
    }

    /// Movement of a face by draft at the ends of a part of this length that are farthest from the parting plane, mm.
    pub(crate) fn end_inset_mm(&self, length_mm: f64) -> f64 {
        drafted_length_mm(length_mm, self.finish.parting) * self.finish.draft_rad.tan()
    }

    /// Thinnest wall at the parting plane that leaves a sound wall at the ends, mm.
    pub(crate) fn least_wall_at_parting_mm(&self, length_mm: f64) -> f64 {
        // The chamfer is one or two layers high; there the wall may be thinner, but not nothing.
        const LEAST_AT_CHAMFER_MM: f64 = 0.2;
        let faces = self.drafted_faces();
        let ends = faces * self.end_inset_mm(length_mm);
        (self.least_wall_mm + ends).max(LEAST_AT_CHAMFER_MM + ends + faces * self.finish.chamfer_mm)
    }
}

/// Length over which the faces of a part lean one way from its parting plane, mm.
pub(crate) fn drafted_length_mm(length_mm: f64, parting: Parting) -> f64 {
    match parting {
        Parting::Middle | Parting::Cut => 0.5 * length_mm,
        Parting::End => length_mm,
    }
}

/// Material of a part with its use and the direction of its print.
#[derive(Clone, Copy)]
struct UsedMaterial<'a> {
    material: &'a Material,
    uses: Uses,
    /// Printed so that the arms bend across the layers.
    standing: bool,
}

/// Greatest deviation of a measured body from its nominal size, mm.
pub(crate) fn body_spread_mm(spec: &Spec) -> f64 {
    COVERAGE * spec.body.spread_mm
}

fn bearable_strain(material: &Material, uses: Uses) -> f64 {
    match uses {
        Uses::Single | Uses::LeftOn => material.strain_single,
        Uses::Repeated => material.strain_repeated,
    }
}

fn elastic(material: &Material) -> ElasticMaterial {
    ElasticMaterial {
        modulus_mpa: Interval { least: material.modulus_mpa.least, greatest: material.modulus_mpa.greatest },
        poisson: material.poisson,
        friction: Interval { least: material.friction.least, greatest: material.friction.greatest },
        yield_strain: material.strain_yield,
    }
}
