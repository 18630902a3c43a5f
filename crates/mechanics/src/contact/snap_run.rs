//! What a barrel or body does to a clip on its way in and out.

/// How the way in ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum InsertionOutcome {
    /// The lips draw it home by themselves once they are past.
    Snaps,
    /// It goes in, but has to be pushed all the way: friction never lets the lips draw it home.
    PushedHome,
    /// It goes through the mouth without touching the lips.
    Passes,
    /// The first touch pushes the lips along instead of apart: it tends to lock or to tear.
    Locks {
        /// Angle between the normal at the first touch and the mouth's axis, rad.
        touch_rad: f64,
        /// Least angle that opens the lips at this friction, rad.
        least_rad: f64,
    },
    /// The strain passes what was allowed before the push has come to its peak.
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
    /// Whether the barrel or body comes to its seat.
    pub fn reaches_seat(&self) -> bool {
        matches!(self, Self::Snaps | Self::PushedHome | Self::Passes)
    }
}

/// One point of a force curve. Forces per mm of clip length.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ForcePoint {
    /// Height of the barrel's or body's axis above the seat's, mm.
    pub axis_mm: f64,
    /// Force along the motion, N/mm: a push on the way in, a pull on the way out; negative where it moves by itself.
    pub force_n_per_mm: f64,
    /// How far the lips stand open: outward way of a lip's centre, the widest of the arms, mm.
    pub opening_mm: f64,
    /// Greatest strain in the arms at that moment.
    pub strain: f64,
}

/// The moment of greatest force on one way.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
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

/// Where and when a strain is greatest.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct StrainPeak {
    /// The strain, as an amount.
    pub strain: f64,
    /// Length of centreline from the effective clamp, mm.
    pub from_clamp_mm: f64,
    /// On the inner face (in tension as the arm opens) or on the outer one.
    pub on_inner_face: bool,
    /// Height of the axis at that moment, mm.
    pub axis_mm: f64,
    /// On the way in or out.
    pub on_the_way_in: bool,
}

/// The result of a run: a barrel or body pushed from its first touch to its seat and pulled out again.
///
/// Forces belong to the whole clip, in N per mm of its length.
#[derive(Clone, Debug, PartialEq)]
pub struct SnapRun {
    /// How the way in ends. Where it does not go in, the figures are those up to there.
    pub outcome: InsertionOutcome,
    /// The way in, from the first touch.
    pub insertion: Vec<ForcePoint>,
    /// The way out, from the seat.
    pub removal: Vec<ForcePoint>,
    /// Greatest push on the way in.
    pub snap_in: ForcePeak,
    /// Greatest pull on the way out.
    pub pull_out: ForcePeak,
    /// Whether equilibrium was lost on the way out: the true pull is at least `pull_out` then.
    pub jams_on_the_way_out: bool,
    /// Greatest force with which the lips draw it home, N/mm; zero when they never do.
    pub pull_in_n_per_mm: f64,
    /// Height of the axis at rest, mm, by balance of forces.
    pub seat_axis_mm: f64,
    /// Sum of the normal forces at rest, N/mm.
    pub grip_n_per_mm: f64,
    /// Of them, those below the axis.
    pub grip_below_n_per_mm: f64,
    /// Greatest strain on both ways.
    pub strain: StrainPeak,
    /// Greatest strain of the inner faces on the way in.
    pub inner_strain_in: f64,
    /// Greatest strain of the inner faces on the way out.
    pub inner_strain_out: f64,
    /// Least (most compressed) strain of the outer faces on the way in.
    pub outer_strain_in: f64,
    /// Strain that stays while it rests.
    pub strain_at_rest: f64,
    /// How far the lips open at most, mm.
    pub opening_mm: f64,
}

impl SnapRun {
    /// The run of the same clip in a material `factor` times as stiff: forces follow, shapes and strains stay.
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
