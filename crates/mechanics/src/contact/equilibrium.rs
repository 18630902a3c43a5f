//! Combined equilibrium of all arms of a clip at one height.

use super::{
    arm_solver::{ArmSolver, ContactLoad},
    snap_run::StrainPeak,
};

/// The solver of one arm with the width that it represents, relative to the clip's length.
#[derive(Clone)]
pub(crate) struct WeightedArm<'a> {
    pub(crate) solver: ArmSolver<'a>,
    pub(crate) width: f64,
}

/// Forces, opening and strains of all arms at one height, at unit modulus.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Equilibrium {
    pub(crate) load: ContactLoad,
    /// Greatest opening of the arms, mm.
    pub(crate) opening: f64,
    /// Greatest strain of the inner faces.
    pub(crate) inner: f64,
    /// Least strain of the outer faces.
    pub(crate) outer: f64,
    pub(crate) strain: StrainPeak,
}

impl Equilibrium {
    /// Returns the equilibrium without the load on the floor, where a hand may press as hard as it likes.
    #[must_use]
    pub(crate) fn without_floor(mut self) -> Self {
        self.load.push -= self.load.floor_push;
        self.load.normals -= self.load.floor_normals;
        self.load.lower -= self.load.floor_normals;
        self
    }

    /// Returns the sum over the arms, each with its width.
    pub(crate) fn of_arms(arms: &[WeightedArm<'_>], height: f64, on_the_way_in: bool) -> Self {
        let mut out = Self::default();
        for WeightedArm { solver, width } in arms {
            let load = solver.load();
            out.load.push += width * load.push;
            out.load.normals += width * load.normals;
            out.load.lower += width * load.lower;
            out.load.support += width * load.support;
            out.load.floor_push += width * load.floor_push;
            out.load.floor_normals += width * load.floor_normals;
            let to_right = if solver.is_mirrored() { -width } else { *width };
            out.load.aside += to_right * load.aside;
            out.load.turning += to_right * load.turning;
            out.opening = out.opening.max(solver.opening_mm());
            let strains = solver.strains();
            out.inner = out.inner.max(strains.inner);
            out.outer = out.outer.min(strains.outer);
            if strains.greatest > out.strain.strain {
                out.strain = StrainPeak {
                    strain: strains.greatest,
                    from_clamp_mm: strains.from_clamp_mm,
                    on_inner_face: strains.on_inner_face,
                    axis_mm: height,
                    on_the_way_in,
                };
            }
        }
        out
    }
}
