//! Random clips and mounts from seeded random numbers, for tests and examples. All geometry is invented.

#![allow(dead_code, reason = "each test and example uses its part")]

use std::f64::consts::{FRAC_PI_2, PI};

use gripwright_mechanics::{
    ArmError, ArmGeometry, CoulombFriction, MeshDensity, MeshedClip, PlaneStiffness, RigidSection, SnapRun,
    SolverSettings, simulate,
};
use gripwright_section::{
    ClipBack, Curve, LeadIn, LipRound, Mount, Outline, Point, RoundClip, VeeClip, circle, ellipse, flatted_circle,
    rounded_rectangle, vee_axis_mm, vee_contact_mm,
};

/// Modulus (MPa) and Poisson's ratio of the tests: an unfilled plastic, round figures, no source.
pub(crate) fn plastic() -> PlaneStiffness {
    PlaneStiffness::plane_strain(2000.0, 0.38)
}

/// Random number generator `SplitMix64`: a seed gives the same clips on every machine.
pub(crate) struct SplitMix64(pub(crate) u64);

impl SplitMix64 {
    pub(crate) fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    pub(crate) fn between(&mut self, least: f64, greatest: f64) -> f64 {
        least + (greatest - least) * self.unit()
    }
}

/// Kind of a random clip or mount.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Kind {
    Even,
    Tapered,
    LeadIn,
    Circle,
    Rectangle,
    Ellipse,
    Flatted,
    RectangleLeadIn,
    Vee,
}

pub(crate) const KINDS: [Kind; 9] = [
    Kind::Even,
    Kind::Tapered,
    Kind::LeadIn,
    Kind::Circle,
    Kind::Rectangle,
    Kind::Ellipse,
    Kind::Flatted,
    Kind::RectangleLeadIn,
    Kind::Vee,
];

/// A random clip with its barrel or body, before meshing.
#[derive(Clone, Debug)]
pub(crate) struct Case {
    pub(crate) friction: CoulombFriction,
    pub(crate) shape: RigidShape,
    pub(crate) text: String,
}

#[derive(Clone, Debug)]
pub(crate) enum RigidShape {
    Round { clip: RoundClip, pad_rad: f64, barrel_mm: f64 },
    Mount { mount: Mount, pad_mm: f64 },
    Vee { clip: VeeClip, barrel_mm: f64 },
}

impl Case {
    /// Returns a random case; `None` if the numbers drawn give no clip (a flare too tight, a pad beyond the corner).
    pub(crate) fn random(kind: Kind, rng: &mut SplitMix64) -> Option<Self> {
        let scale = rng.between(2.0, 20.0);
        let friction = CoulombFriction { coefficient: rng.between(0.0, 0.5) };
        let wall = scale * rng.between(0.1, 0.4);
        let shape = match kind {
            Kind::Even | Kind::Tapered | Kind::LeadIn => random_round(kind, scale, wall, rng),
            Kind::Vee => random_vee(scale, wall, rng)?,
            _ => random_mount(kind, scale, wall, rng)?,
        };
        let text = format!("{kind:?}, friction {:.3}, {}", friction.coefficient, shape.text());
        let case = Self { friction, shape, text };
        case.is_drawable().then_some(case)
    }

    /// True if the clip can be drawn.
    fn is_drawable(&self) -> bool {
        match &self.shape {
            RigidShape::Round { clip, .. } => clip.lip_round().is_ok() && clip.mouth_mm().is_ok_and(|m| m > 0.0),
            RigidShape::Mount { mount, .. } => mount.outline().is_ok(),
            RigidShape::Vee { clip, .. } => clip.outline().is_ok(),
        }
    }

    pub(crate) fn clip(&self, density: MeshDensity) -> Result<MeshedClip, ArmError> {
        match &self.shape {
            RigidShape::Round { clip, pad_rad, .. } => MeshedClip::from_round_clip(clip, *pad_rad, [0.0, 0.0], density),
            RigidShape::Mount { mount, pad_mm } => mount_clip(mount, *pad_mm, density),
            RigidShape::Vee { clip, .. } => MeshedClip::from_vee_clip(clip, [0.0, 0.0], density),
        }
    }

    pub(crate) fn half_wrap_rad(&self) -> f64 {
        match &self.shape {
            RigidShape::Round { clip, .. } => clip.half_wrap_rad,
            RigidShape::Mount { mount, .. } => mount.half_wrap_rad,
            RigidShape::Vee { clip, .. } => clip.half_wrap_rad,
        }
    }

    pub(crate) fn rigid(&self) -> RigidSection {
        match &self.shape {
            RigidShape::Round { barrel_mm, .. } | RigidShape::Vee { barrel_mm, .. } => RigidSection::round(*barrel_mm),
            RigidShape::Mount { mount, .. } => {
                RigidSection::from_outline(&mount.body).expect("random bodies are convex")
            }
        }
    }

    pub(crate) fn run(&self, density: MeshDensity, settings: &SolverSettings) -> SnapRun {
        let clip = self.clip(density).expect("random cases can be meshed");
        simulate(&clip, &self.rigid(), self.friction, plastic(), settings)
    }
}

impl RigidShape {
    fn text(&self) -> String {
        match self {
            Self::Round { clip, pad_rad, barrel_mm } => format!(
                "seat {:.3}, wall {:.3} to {:.3}, wrap {:.2} deg, pad {:.2} deg, flare {:?}, barrel {barrel_mm:.3}",
                clip.seat_radius_mm,
                clip.root_wall_mm,
                clip.lip_wall_mm,
                2.0 * clip.half_wrap_rad.to_degrees(),
                pad_rad.to_degrees(),
                clip.lead_in.map(|l| (l.radius_mm, l.angle_rad.to_degrees())),
            ),
            Self::Vee { clip, barrel_mm } => format!("barrel {barrel_mm:.3}, {clip:?}"),
            Self::Mount { mount, pad_mm } => {
                let points: Vec<Point> = mount.body.segments().iter().map(|s| s.curve.start()).collect();
                let (x, y) = points.iter().fold((0.0_f64, 0.0_f64), |a, p| (a.0.max(p.x), a.1.max(p.y)));
                format!(
                    "body about {x:.3} by {y:.3} (halves), wall {:.3}, gap {:.4}, half wrap {:.2} deg, pad {pad_mm:.3}, \
                     flare {:?}",
                    mount.wall_mm,
                    mount.gap_mm,
                    mount.half_wrap_rad.to_degrees(),
                    mount.lead_in.map(|l| (l.radius_mm, l.angle_rad.to_degrees())),
                )
            }
        }
    }
}

fn random_round(kind: Kind, scale: f64, wall: f64, rng: &mut SplitMix64) -> RigidShape {
    let half_wrap_rad = 0.5 * rng.between(195.0, 270.0).to_radians();
    let pad_rad = rng.between(10.0, 35.0).to_radians();
    let barrel_mm = scale * rng.between(0.98, 1.08);
    let taper = if kind == Kind::Tapered { rng.between(0.4, 1.2) } else { 1.0 };
    let lead_in = (kind == Kind::LeadIn).then(|| LeadIn {
        radius_mm: wall + scale * rng.between(0.05, 0.5),
        angle_rad: rng.between(10.0, 90.0).to_radians(),
    });
    let back = ClipBack::Pad { half_width_mm: 0.3 * scale, depth_mm: scale, fillet_mm: 0.1 * scale };
    let clip = RoundClip {
        seat_radius_mm: scale,
        root_wall_mm: wall,
        lip_wall_mm: taper * wall,
        half_wrap_rad,
        lead_in,
        back,
    };
    RigidShape::Round { clip, pad_rad, barrel_mm }
}

fn random_vee(scale: f64, wall: f64, rng: &mut SplitMix64) -> Option<RigidShape> {
    let angle_rad = rng.between(70.0, 150.0).to_radians();
    let barrel_mm = scale * rng.between(0.98, 1.08);
    let clip = VeeClip {
        angle_rad,
        axis_mm: vee_axis_mm(angle_rad, scale),
        root_radius_mm: scale * rng.between(0.1, 0.4),
        flat_mm: vee_contact_mm(angle_rad, scale) + scale * rng.between(0.1, 0.3),
        closing_radius_mm: scale * rng.between(0.8, 1.1),
        half_wrap_rad: rng.between(100.0, 130.0).to_radians(),
        root_wall_mm: 0.7 * wall,
        lip_wall_mm: 0.7 * wall * rng.between(0.5, 1.0),
        lead_in: None,
        back: ClipBack::Pad { half_width_mm: 0.4 * scale, depth_mm: 0.2 * scale, fillet_mm: 0.15 * scale },
    };
    let lips_touch_rad = rng.between(100.0, 120.0).to_radians();
    let clip = clip.with_lips_touching(scale * rng.between(0.96, 1.0), lips_touch_rad).ok()?;
    Some(RigidShape::Vee { clip, barrel_mm })
}

fn random_mount(kind: Kind, scale: f64, wall: f64, rng: &mut SplitMix64) -> Option<RigidShape> {
    let tall = 2.0 * scale * rng.between(0.5, 1.6);
    let wide = 2.0 * scale;
    let body: Outline = match kind {
        Kind::Circle => circle(wide).ok()?,
        Kind::Rectangle | Kind::RectangleLeadIn => {
            rounded_rectangle(wide, tall, 0.5 * wide.min(tall) * rng.between(0.1, 1.0)).ok()?
        }
        Kind::Ellipse => ellipse(wide, tall, 0.002 * scale).ok()?,
        _ => {
            let across = wide * rng.between(0.7, 0.98);
            flatted_circle(wide, across, (across - scale) * rng.between(0.05, 0.8)).ok()?
        }
    };
    let half_wrap_rad = rng.between(97.5, 150.0).to_radians();
    let gap_mm = scale * rng.between(-0.02, 0.02);
    let pad_mm = scale * rng.between(0.15, 0.6);
    let lead_in = (kind == Kind::RectangleLeadIn).then(|| LeadIn {
        radius_mm: wall + scale * rng.between(0.05, 0.5),
        angle_rad: rng.between(10.0, 80.0).to_radians(),
    });
    let back = ClipBack::Pad { half_width_mm: pad_mm, depth_mm: scale, fillet_mm: 0.1 * scale };
    Some(RigidShape::Mount { mount: Mount { body, gap_mm, wall_mm: wall, half_wrap_rad, lead_in, back }, pad_mm })
}

/// Returns the meshed clip of a mount: an even wall, a half round or a flare at its end.
pub(crate) fn mount_clip(mount: &Mount, pad_mm: f64, density: MeshDensity) -> Result<MeshedClip, ArmError> {
    let wall = mount.wall_mm;
    let arm = |face: Vec<Curve>| {
        let mut face = face;
        let along = Point::unit(mount.half_wrap_rad - FRAC_PI_2);
        let end = face.last().map_or(Point::ORIGIN, Curve::end);
        let centre = match mount.lead_in {
            None => end + along * (0.5 * wall),
            Some(flare) => {
                let middle = end + along * flare.radius_mm;
                let start = mount.half_wrap_rad - FRAC_PI_2 + PI;
                face.push(Curve::arc(middle, flare.radius_mm, start, -flare.angle_rad));
                middle + Point::unit(start - flare.angle_rad) * (flare.radius_mm - 0.5 * wall)
            }
        };
        (face, LipRound { centre, radius_mm: 0.5 * wall })
    };
    let (face, lip) = arm(mount.right_arm().map_err(|_| ArmError::Empty)?);
    MeshedClip::symmetric(&ArmGeometry { inner_face: &face, wall: &|_, _| wall, pad_mm, lip }, density)
}

/// Mesh density and settings whose result counts as the exact solution of the model.
pub(crate) const FINE: (MeshDensity, SolverSettings) = (
    MeshDensity { elements: 72, points_per_element: 24 },
    SolverSettings { steps: 400.0, strain_limit: 0.2, try_locking: false },
);

/// True if the lips open enough for the forces to mean anything: a hook that barely reaches holds nothing.
pub(crate) fn lips_open(fine: &SnapRun) -> bool {
    fine.outcome.reaches_seat() && fine.snap_in.force_n_per_mm > 0.0 && fine.strain.strain > 1e-3
}

/// Names of the quantities that [`relative_errors`] compares.
pub(crate) fn quantities() -> [&'static str; 5] {
    ["snap-in", "pull-out", "grip", "strain", "opening"]
}

/// Relative errors of the main quantities. A small grip is compared with the push instead, because it decides nothing.
pub(crate) fn relative_errors(found: &SnapRun, fine: &SnapRun) -> [f64; 5] {
    let least_grip = 0.5 * fine.snap_in.force_n_per_mm;
    [
        (found.snap_in.force_n_per_mm, fine.snap_in.force_n_per_mm, 0.0),
        (found.pull_out.force_n_per_mm, fine.pull_out.force_n_per_mm, 0.0),
        (found.grip_n_per_mm, fine.grip_n_per_mm, least_grip),
        (found.strain.strain, fine.strain.strain, 0.0),
        (found.opening_mm, fine.opening_mm, 0.0),
    ]
    .map(|(found, fine, least)| (found - fine).abs() / fine.abs().max(least))
}
