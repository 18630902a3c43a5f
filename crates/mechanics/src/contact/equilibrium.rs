//! What one equilibrium of all arms says.

use super::{
    arm_solver::{ArmSolver, ContactLoad},
    snap_run::StrainPeak,
};

/// Forces, opening and strains of all arms at one height, at unit modulus.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Equilibrium {
    pub(crate) load: ContactLoad,
    /// The widest of the arms, mm.
    pub(crate) opening: f64,
    /// Greatest strain of the inner faces.
    pub(crate) inner: f64,
    /// Least strain of the outer faces.
    pub(crate) outer: f64,
    pub(crate) strain: StrainPeak,
}

impl Equilibrium {
    /// The same without what the floor bears: the hand presses there as hard as it likes.
    #[must_use]
    pub(crate) fn without_floor(mut self) -> Self {
        self.load.push -= self.load.floor_push;
        self.load.normals -= self.load.floor_normals;
        self.load.lower -= self.load.floor_normals;
        self
    }

    /// The sum of the arms, each with the width that it stands for.
    pub(crate) fn at(held: &[(ArmSolver<'_>, f64)], height: f64, on_the_way_in: bool) -> Self {
        let mut out = Self::default();
        for (held, width) in held {
            let load = held.load();
            out.load.push += width * load.push;
            out.load.normals += width * load.normals;
            out.load.lower += width * load.lower;
            out.load.support += width * load.support;
            out.load.floor_push += width * load.floor_push;
            out.load.floor_normals += width * load.floor_normals;
            out.opening = out.opening.max(held.opening_mm());
            let strains = held.strains();
            out.inner = out.inner.max(strains.inner);
            out.outer = out.outer.min(strains.outer);
            if strains.greatest > out.strain.strain {
                out.strain = StrainPeak {
                    strain: strains.greatest,
                    from_clamp_mm: strains.place.0,
                    on_inner_face: strains.place.1,
                    axis_mm: height,
                    on_the_way_in,
                };
            }
        }
        out
    }
}
