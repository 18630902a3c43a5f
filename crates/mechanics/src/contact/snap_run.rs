//! Result of a simulation: forces and strains of a clip on the way in, at rest and on the way out.

use std::sync::Arc;

use super::seated_state::SeatedState;

/// Outcome of the way in.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum InsertionOutcome {
    /// The lips pull it into its seat without a push once it has passed them.
    Snaps,
    /// It must be pushed all the way to its seat: friction keeps the lips from pulling it in.
    PushedHome,
    /// It goes through the mouth without touching the lips.
    Passes,
    /// The first touch pushes the lips down instead of apart: the clip tends to lock or to tear.
    Locks {
        /// Angle between the normal at the first touch and the mouth's axis, rad.
        touch_rad: f64,
        /// Least angle that opens the lips at this friction, rad.
        least_rad: f64,
    },
    /// The strain exceeds its limit before the push has reached its peak.
    OverStrained {
        /// Height of the axis above the seat's, mm.
        axis_mm: f64,
        /// Strain there.
        strain: f64,
    },
    /// No equilibrium was found beyond this height: the arms jam or buckle.
    Jams {
        /// Height of the axis above the seat's, mm.
        axis_mm: f64,
    },
}

impl InsertionOutcome {
    /// True if the barrel or body reaches its seat.
    pub fn reaches_seat(&self) -> bool {
        matches!(self, Self::Snaps | Self::PushedHome | Self::Passes)
    }
}

/// One point of a force curve. Forces per mm of clip length.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct ForcePoint {
    /// Height of the barrel's or body's axis above the seat's, mm.
    pub axis_mm: f64,
    /// Force along the motion, N/mm: a push on the way in, a pull on the way out; negative where it moves by itself.
    pub force_n_per_mm: f64,
    /// Opening: outward displacement of a lip's centre, the greatest of all arms, mm.
    pub opening_mm: f64,
    /// Greatest strain in the arms at this point.
    pub strain: f64,
}

/// Point of greatest force on the way in or out.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct ForcePeak {
    /// Force, N/mm.
    pub force_n_per_mm: f64,
    /// Height of the axis, mm.
    pub axis_mm: f64,
    /// Opening of the lips, mm.
    pub opening_mm: f64,
    /// Greatest strain of the inner faces.
    pub inner_strain: f64,
    /// Sum of the normal forces, N/mm.
    pub normals_n_per_mm: f64,
}

/// Greatest strain, with its place and the position of the barrel or body.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct StrainPeak {
    /// Absolute strain.
    pub strain: f64,
    /// Length of centreline from the effective clamp, mm.
    pub from_clamp_mm: f64,
    /// True if it is on the inner face, which is in tension as the arm opens.
    pub on_inner_face: bool,
    /// Height of the axis at that strain, mm.
    pub axis_mm: f64,
    /// True if it occurs on the way in.
    pub on_the_way_in: bool,
}

/// Result of a simulation: a barrel or body pushed from its first touch to its seat and pulled out again.
///
/// Forces belong to the whole clip, in N per mm of its length.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct SnapRun {
    /// Outcome of the way in. If it ends before the seat, all values cover the motion up to that end.
    pub outcome: InsertionOutcome,
    /// Force curve of the way in, from the first touch.
    pub insertion: Vec<ForcePoint>,
    /// Force curve of the way out, from the seat.
    pub removal: Vec<ForcePoint>,
    /// Greatest push on the way in.
    pub snap_in: ForcePeak,
    /// Greatest pull on the way out.
    pub pull_out: ForcePeak,
    /// True if equilibrium was lost on the way out; the true pull is then at least `pull_out`.
    pub jams_on_the_way_out: bool,
    /// Greatest force with which the lips pull it toward its seat, N/mm; zero if they never do.
    pub pull_in_n_per_mm: f64,
    /// Height of the axis at rest, mm, by balance of forces.
    pub seat_axis_mm: f64,
    /// Sum of the normal forces at rest, N/mm.
    pub grip_n_per_mm: f64,
    /// Sum of the normal forces below the axis at rest, N/mm.
    pub grip_below_n_per_mm: f64,
    /// Greatest strain on the way in and out.
    pub strain: StrainPeak,
    /// Greatest strain of the inner faces on the way in.
    pub inner_strain_in: f64,
    /// Greatest strain of the inner faces on the way out.
    pub inner_strain_out: f64,
    /// Least (most compressed) strain of the outer faces on the way in.
    pub outer_strain_in: f64,
    /// Greatest strain at rest.
    pub strain_at_rest: f64,
    /// Greatest opening of the lips, mm.
    pub opening_mm: f64,
    /// State of the arms at rest; absent where the seat is not reached.
    pub(crate) seated: Option<Arc<SeatedState>>,
}

impl SnapRun {
    /// Returns the result of a section that was not moved, at a height of its axis (mm).
    pub(crate) fn unmoved(outcome: InsertionOutcome, seat_axis_mm: f64) -> Self {
        Self {
            outcome,
            insertion: Vec::new(),
            removal: Vec::new(),
            snap_in: ForcePeak::default(),
            pull_out: ForcePeak::default(),
            jams_on_the_way_out: false,
            pull_in_n_per_mm: 0.0,
            seat_axis_mm,
            grip_n_per_mm: 0.0,
            grip_below_n_per_mm: 0.0,
            strain: StrainPeak::default(),
            inner_strain_in: 0.0,
            inner_strain_out: 0.0,
            outer_strain_in: 0.0,
            strain_at_rest: 0.0,
            opening_mm: 0.0,
            seated: None,
        }
    }

    /// Returns the result for a material `factor` times as stiff: forces are multiplied, shapes and strains stay.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        let curve = |points: &[ForcePoint]| {
            points.iter().map(|p| ForcePoint { force_n_per_mm: factor * p.force_n_per_mm, ..*p }).collect()
        };
        let peak = |p: ForcePeak| ForcePeak {
            force_n_per_mm: factor * p.force_n_per_mm,
            normals_n_per_mm: factor * p.normals_n_per_mm,
            ..p
        };
        Self {
            insertion: curve(&self.insertion),
            removal: curve(&self.removal),
            snap_in: peak(self.snap_in),
            pull_out: peak(self.pull_out),
            pull_in_n_per_mm: factor * self.pull_in_n_per_mm,
            grip_n_per_mm: factor * self.grip_n_per_mm,
            grip_below_n_per_mm: factor * self.grip_below_n_per_mm,
            ..self.clone()
        }
    }
}
