//! One mount on its body: geometry to estimate.

use std::f64::consts::{FRAC_PI_2, PI};

use gripwright_input::{Body, BodyProfile, Facing};
use gripwright_mechanics::{
    Arm, ArmPlan, CLAMP_INTO_PAD, Clip, Elastic, Estimate, Fineness, Outcome, Rest, Rigid, STRAIN_FROM_EDGE, Side,
    WidthRegime, estimate,
};
use gripwright_section::{
    Back, Curve, Mount, Outline, Point, Role, Segment, circle, ellipse, flatted_circle, inset, rounded_rectangle,
};

use crate::{
    limits::design_limits::Rules,
    model::clip_model::{Drawn, FILLET_MM, PAD_DEPTH_MM, levels},
    model::response::{Ahead, Response, Scale, respond},
    model::solver_cache::Key,
    shape::even_taper::Taper,
    shape::uneven_taper::Uneven,
};

/// An ellipse is drawn by arcs within this of it, mm.
const ELLIPSE_TOLERANCE_MM: f64 = 0.001;

/// The body as a mount sees it: its section turned so that the mouth side is +y.
#[derive(Clone, Debug)]
pub(crate) struct Carrier {
    pub(crate) outline: Outline,
    /// Whether the two arms are mirror images.
    symmetric: bool,
    /// Its radius when it is round: such a body rests as a barrel does.
    round_radius_mm: Option<f64>,
    /// Its mean half extent, mm: the radius that stands for it where a rule asks for one.
    pub(crate) mean_radius_mm: f64,
    /// How it tapers.
    pub(crate) taper: Taper,
    /// What it is elsewhere, when it tapers unevenly.
    pub(crate) uneven: Option<Uneven>,
    /// The body at both ends of its mount, when it tapers unevenly; at the thin end, when evenly.
    ends: Vec<Self>,
    /// What each arm of its mount meets, the right one first: one for both where they are mirror images. None when its
    /// outline is no body.
    sides: Vec<Rigid>,
}

/// A body that is larger on each side than drawn, as the arms of its mount meet it.
#[derive(Clone, Debug)]
pub(crate) struct Grown {
    over_mm: f64,
    sides: Vec<Rigid>,
}

impl Carrier {
    /// The reason in words when the section cannot be drawn.
    pub(crate) fn of(body: &Body) -> Result<Self, String> {
        let (outline, width, height) = drawn(&body.profile)?;
        let sideways = matches!(body.opens, Facing::Left | Facing::Right);
        let outline = outline.moved(turn_rad(body.opens), Point::ORIGIN);
        let symmetric = match body.profile {
            BodyProfile::FlattedCircle { .. } => !sideways,
            BodyProfile::Surveyed(_) => is_its_mirror_image(&outline),
            _ => true,
        };
        Ok(Self {
            symmetric,
            sides: sides(&outline, symmetric).unwrap_or_default(),
            round_radius_mm: match body.profile {
                BodyProfile::Circle { diameter_mm } => Some(0.5 * diameter_mm),
                BodyProfile::Surveyed(_) => radius_when_round(&outline),
                _ => None,
            },
            outline,
            mean_radius_mm: 0.25 * (width + height),
            taper: Taper::NONE,
            uneven: None,
            ends: Vec::new(),
        })
    }

    /// The same body, which tapers, with what a mount of this length has at its ends when it does so unevenly.
    pub(crate) fn tapering(self, taper: Taper, uneven: Option<Uneven>, length_mm: f64) -> Self {
        let sections = uneven.as_ref().and_then(|uneven| uneven.ends(length_mm).ok());
        let end = |outline: Outline| {
            let size = outline.bounds().size();
            let symmetric = is_its_mirror_image(&outline);
            Self {
                symmetric,
                sides: sides(&outline, symmetric).unwrap_or_default(),
                round_radius_mm: radius_when_round(&outline),
                mean_radius_mm: 0.25 * (size.x + size.y),
                taper: Taper { slope: 0.0, ..taper },
                uneven: None,
                ends: Vec::new(),
                outline,
            }
        };
        let moved = (taper.slope.abs() > 0.0).then(|| vec![taper.end_mm(length_mm); self.outline.segments().len()]);
        let thin = moved.and_then(|amounts| inset(&self.outline, &amounts).ok()?.to_outline(&self.outline).ok());
        let ends = sections.into_iter().flatten().chain(thin).map(end).collect();
        Self { taper, uneven, ends, ..self }
    }

    /// The body where a mount is judged: at both ends where it tapers unevenly.
    pub(crate) fn judged(&self) -> &[Self] {
        if self.uneven.is_some() { &self.ends } else { std::slice::from_ref(self) }
    }

    /// The body at the thin end of its mount, where it tapers evenly: there the wall is thickest and the body most curved.
    pub(crate) fn thin_end(&self) -> Option<&Self> {
        if self.uneven.is_some() { None } else { self.ends.first() }
    }
}

/// The turn that makes the mount's mouth look along +y, rad.
pub(crate) fn turn_rad(opens: Facing) -> f64 {
    match opens {
        Facing::Up => 0.0,
        Facing::Down => PI,
        Facing::Left => -FRAC_PI_2,
        Facing::Right => FRAC_PI_2,
    }
}

impl Carrier {
    /// The body for the contact solver. `None` when its outline is none.
    pub(crate) fn rigid(&self) -> Option<Rigid> {
        match self.round_radius_mm {
            Some(radius) => Some(Rigid::round(radius)),
            None => self.sides.first().cloned(),
        }
    }

    /// The body larger by `over_mm` on each side than drawn.
    pub(crate) fn grown(&self, over_mm: f64) -> Grown {
        Grown { over_mm, sides: self.sides.iter().map(|side| side.clone().grown(over_mm)).collect() }
    }
}

fn sides(outline: &Outline, symmetric: bool) -> Option<Vec<Rigid>> {
    let right = Rigid::outline(outline).ok()?;
    Some(if symmetric { vec![right] } else { vec![right, Rigid::outline(&mirrored(outline)?).ok()?] })
}

/// The outline of a section, and its width and height, mm. The reason in words when it cannot be drawn.
pub(crate) fn drawn(profile: &BodyProfile) -> Result<(Outline, f64, f64), String> {
    Ok(match profile {
        &BodyProfile::Circle { diameter_mm } => {
            (circle(diameter_mm).map_err(|e| e.to_string())?, diameter_mm, diameter_mm)
        }
        &BodyProfile::Ellipse { width_mm, height_mm } => {
            let drawn = ellipse(width_mm, height_mm, ELLIPSE_TOLERANCE_MM).map_err(|e| e.to_string())?;
            (drawn, width_mm, height_mm)
        }
        &BodyProfile::RoundedRectangle { width_mm, height_mm, corner_mm } => {
            let drawn = rounded_rectangle(width_mm, height_mm, corner_mm).map_err(|e| e.to_string())?;
            (drawn, width_mm, height_mm)
        }
        &BodyProfile::FlattedCircle { diameter_mm, across_mm, corner_mm } => {
            let drawn = flatted_circle(diameter_mm, across_mm, corner_mm).map_err(|e| e.to_string())?;
            (drawn, diameter_mm, across_mm)
        }
        BodyProfile::Surveyed(surveyed) => {
            let size = surveyed.outline.bounds().size();
            (surveyed.outline.clone(), size.x, size.y)
        }
        BodyProfile::Measured(_) => return Err("its outline has not been made from what was measured".to_owned()),
    })
}

/// Whether an outline is its own mirror image in the y axis, to a nanometre: arms that differ by less than what was
/// measured still differ, and are then bent one by one.
fn is_its_mirror_image(outline: &Outline) -> bool {
    let there = |p: Point| outline.nearest(Point::new(-p.x, p.y)).distance_mm.abs() < 1e-6;
    outline.segments().iter().all(|s| [0.0, 0.25, 0.5, 0.75].iter().all(|t| there(s.curve.at(*t))))
}

/// The radius of an outline that is one circle about the axis.
fn radius_when_round(outline: &Outline) -> Option<f64> {
    let radii = outline.segments().iter().map(|s| match s.curve {
        Curve::Arc { centre, radius, .. } if centre.length() < 1e-9 => Some(radius),
        _ => None,
    });
    let radii: Vec<f64> = radii.collect::<Option<_>>()?;
    radii.iter().all(|r| (r - radii[0]).abs() < 1e-9).then(|| radii[0])
}

/// The free numbers of a mount.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct MountShape {
    pub(crate) gap_mm: f64,
    pub(crate) wall_mm: f64,
    pub(crate) half_wrap_rad: f64,
}

impl MountShape {
    pub(crate) fn mount(&self, carrier: &Carrier, pad_half_width_mm: f64) -> Mount {
        Mount {
            body: carrier.outline.clone(),
            gap_mm: self.gap_mm,
            wall_mm: self.wall_mm,
            half_wrap_rad: self.half_wrap_rad,
            lead_in: None,
            back: Back::Pad { half_width_mm: pad_half_width_mm, depth_mm: PAD_DEPTH_MM, fillet_mm: FILLET_MM },
        }
    }
}

/// A mount made ready for estimates.
#[derive(Clone, Debug)]
pub(crate) struct MountModel {
    /// The arms, each with the run behind which its strain counts, mm.
    arms: Vec<(Arm, f64)>,
    shape: MountShape,
    gap_mm: f64,
    /// Radius of a round body, and the angle up to which its seat is held by the pad, rad.
    round: Option<(f64, f64)>,
    radius_mm: f64,
    strain_factor: f64,
}

impl MountModel {
    /// `None` when the mount cannot be drawn.
    pub(crate) fn new(
        shape: &MountShape,
        carrier: &Carrier,
        pad_half_width_mm: f64,
        length_mm: f64,
        rules: &Rules,
    ) -> Option<Self> {
        let mount = shape.mount(carrier, pad_half_width_mm);
        let outline = mount.outline().ok()?;
        let tapers = carrier.taper.end_mm(length_mm);
        if tapers > 0.0 {
            carrier.taper.bears(&mount, length_mm).ok()?;
        }
        let inset = 0.5 * rules.end_inset_mm(length_mm);
        let seat_inset = inset * (rules.drafted_faces() - 1.0);
        let mean = Mean { wall_mm: shape.wall_mm - inset * rules.drafted_faces(), seat_inset, full: shape.wall_mm };
        let root = right_root(&outline)?;
        let mut arms = vec![mean.arm(&mount.right_arm().ok()?, root)?];
        if !carrier.symmetric {
            arms.push(mean.arm(&mount.left_arm().ok()?, right_root(&mirrored(&outline)?)?)?);
        }
        Some(Self {
            arms,
            shape: *shape,
            gap_mm: shape.gap_mm + seat_inset,
            round: carrier.round_radius_mm.map(|radius| (radius, root.angle() + FRAC_PI_2)),
            radius_mm: carrier.mean_radius_mm,
            strain_factor: (shape.wall_mm + tapers) / mean.wall_mm,
        })
    }

    /// Estimates for a body. `None` when it cannot snap on.
    pub(crate) fn estimate(&self, body: &Grown, length_mm: f64, material: &Elastic) -> Option<Estimate> {
        let over_mm = body.over_mm;
        if body.sides.len() != self.arms.len() {
            return None;
        }
        let rest = match self.round {
            Some((radius, pad_rad)) => Rest::round(radius + self.gap_mm, radius + over_mm, pad_rad),
            None => Rest::fitted(self.gap_mm - over_mm),
        };
        let sides: Vec<Side<'_>> = self
            .arms
            .iter()
            .zip(&body.sides)
            .map(|((arm, strain_from_mm), rigid)| Side {
                arm,
                rigid,
                wrap_rad: self.shape.half_wrap_rad,
                strain_from_mm: *strain_from_mm,
                rest,
            })
            .collect();
        let regime = WidthRegime::of(length_mm, self.radius_mm, self.shape.wall_mm);
        let mut found = estimate(&sides, material, regime).ok()?;
        found.strain_peak *= self.strain_factor;
        found.strain_at_rest *= self.strain_factor;
        Some(found)
    }
}

/// A mount made ready for the contact solver.
#[derive(Clone, Debug)]
pub(crate) struct SolvedMount {
    clip: Drawn,
    body: Rigid,
    scale: Scale,
}

impl SolvedMount {
    /// `None` when the mount cannot be drawn.
    pub(crate) fn new(
        shape: &MountShape,
        carrier: &Carrier,
        pad_half_width_mm: f64,
        length_mm: f64,
        rules: &Rules,
    ) -> Option<Self> {
        let mount = shape.mount(carrier, pad_half_width_mm);
        let outline = mount.outline().ok()?;
        let right = (mount.right_arm().ok()?, right_root(&outline)?);
        let left =
            if carrier.symmetric { None } else { Some((mount.left_arm().ok()?, right_root(&mirrored(&outline)?)?)) };
        let tapers = carrier.taper.end_mm(length_mm);
        let levels = if tapers > 0.0 { carrier.taper.levels(length_mm) } else { levels(length_mm, rules) };
        let thickest = levels.iter().map(|(_, back)| *back).fold(f64::INFINITY, f64::min);
        let share = 1.0 / levels.len() as f64;
        let clips: Option<Vec<(Clip, f64)>> = levels
            .iter()
            .map(|level| Some((level_clip(shape.wall_mm, &right, left.as_ref(), *level)?, share)))
            .collect();
        let regime = WidthRegime::of(length_mm, carrier.mean_radius_mm, shape.wall_mm);
        let strain_factor = (shape.wall_mm + tapers) / (shape.wall_mm - rules.drafted_faces() * thickest);
        let body = carrier.rigid()?;
        let scale = Scale::new(rules, regime, length_mm, strain_factor);
        let scale = Scale { wedge: carrier.taper.steepest, ..scale };
        let key = Key::new([shape.gap_mm, shape.wall_mm, shape.half_wrap_rad, pad_half_width_mm])
            .and(levels.iter().flat_map(|(seat, back)| [*seat, *back]))
            .and(carrier.outline.segments().iter().flat_map(|s| numbers(&s.curve)));
        Some(Self { clip: Drawn { clip: Clip::levels(clips?), key }, body, scale })
    }

    /// Runs at the corners of friction for a body larger by `over_mm` on each side than drawn.
    pub(crate) fn respond(&self, over_mm: f64, rules: &Rules) -> Result<Response, Outcome> {
        respond(&self.clip, &self.body.clone().grown(over_mm), rules, &self.scale)
    }

    /// A run that is going to be asked for.
    pub(crate) fn ahead(&self, over_mm: f64, friction: f64) -> Ahead<'_> {
        Ahead { clip: &self.clip, rigid: self.body.clone().grown(over_mm), friction }
    }

    pub(crate) fn clip(&self) -> &Drawn {
        &self.clip
    }

    pub(crate) fn body(&self) -> &Rigid {
        &self.body
    }

    pub(crate) fn scale(&self) -> &Scale {
        &self.scale
    }
}

/// The arms of a mount at a level where draft has moved seat and back by so much, mm.
fn level_clip(
    wall_mm: f64,
    right: &(Vec<Curve>, Point),
    left: Option<&(Vec<Curve>, Point)>,
    (seat_inset, back_inset): (f64, f64),
) -> Option<Clip> {
    let left_wall = wall_mm - seat_inset - back_inset;
    let wall = |_: usize, _: f64| left_wall;
    let prepared = |(inner, root): &(Vec<Curve>, Point)| {
        let end = inner.last()?;
        let centre = end.end() - end.tangent(1.0).turned_left() * (0.5 * wall_mm);
        let moved: Vec<Curve> = inner.iter().map(|c| outward(*c, -seat_inset)).collect();
        Some((moved, run_at(inner, *root), (centre, 0.5 * wall_mm - seat_inset)))
    };
    let right = prepared(right)?;
    let left = match left {
        Some(arm) => Some(prepared(arm)?),
        None => None,
    };
    let (face, pad_mm, lip) = right;
    let right = ArmPlan { inner_face: &face, wall: &wall, pad_mm, lip };
    match left {
        None => Clip::symmetric(&right, Fineness::SWIFT).ok(),
        Some((face, pad_mm, lip)) => {
            let left = ArmPlan { inner_face: &face, wall: &wall, pad_mm, lip };
            Clip::of_arms(&right, &left, Fineness::SWIFT).ok()
        }
    }
}

/// Walls half way between parting plane and ends.
struct Mean {
    wall_mm: f64,
    seat_inset: f64,
    full: f64,
}

impl Mean {
    /// The arm beyond its clamp, and the run behind which strain counts.
    ///
    /// The rules for clamp and strain site come from round clips; on other floors they are taken along the wall:
    /// the clamp before the end of the fillet, the site beyond it.
    fn arm(&self, inner: &[Curve], root: Point) -> Option<(Arm, f64)> {
        let site = run_at(inner, root);
        let clamp = (site - CLAMP_INTO_PAD * self.wall_mm).max(0.0);
        let bent: Vec<Curve> = beyond(inner, clamp).into_iter().map(|c| outward(c, -self.seat_inset)).collect();
        let arm = Arm::outside(&bent, |_, _| self.wall_mm).ok()?;
        let lip = inner.last()?;
        let centre = lip.end() - lip.tangent(1.0).turned_left() * (0.5 * self.full);
        let arm = arm.with_lip(centre, 0.5 * self.full - self.seat_inset);
        Some((arm, site - clamp + STRAIN_FROM_EDGE * self.wall_mm))
    }
}

/// Where the right arm's outer face leaves the fillet.
fn right_root(outline: &Outline) -> Option<Point> {
    outline.segments().iter().find(|s| s.role == Role::ArmBack).map(|s| s.curve.start())
}

fn mirrored(outline: &Outline) -> Option<Outline> {
    let segments = outline.segments().iter().rev().map(|s| Segment::new(s.curve.mirrored().reversed(), s.role));
    // The mirror image starts behind the pad again, so that the first arm back is the right one's.
    let mut segments: Vec<Segment> = segments.collect();
    if let Some(pad) = segments.iter().position(|s| s.role == Role::Pad) {
        segments.rotate_left(pad);
    }
    Outline::new(segments).ok()
}

/// Length of the chain up to the place nearest to `point`, mm.
fn run_at(chain: &[Curve], point: Point) -> f64 {
    let mut best = (f64::INFINITY, 0.0);
    let mut run = 0.0;
    for curve in chain {
        let (t, nearest) = curve.nearest(point);
        let distance = nearest.distance(point);
        if distance < best.0 - 1e-9 {
            best = (distance, run + t * curve.length());
        }
        run += curve.length();
    }
    best.1
}

/// The chain without its first `run` mm.
pub(crate) fn beyond(chain: &[Curve], run: f64) -> Vec<Curve> {
    let mut left = run;
    let mut out = Vec::new();
    for curve in chain {
        let length = curve.length();
        if left >= length - 1e-6 {
            left -= length;
            continue;
        }
        let t = (left / length).max(0.0);
        left = 0.0;
        out.push(match *curve {
            Curve::Line { end, .. } => Curve::line(curve.at(t), end),
            Curve::Arc { centre, radius, start_angle, sweep } => {
                Curve::arc(centre, radius, start_angle + t * sweep, (1.0 - t) * sweep)
            }
        });
    }
    out
}

/// The numbers of a curve.
fn numbers(curve: &Curve) -> [f64; 5] {
    match *curve {
        Curve::Line { start, end } => [start.x, start.y, end.x, end.y, f64::NAN],
        Curve::Arc { centre, radius, start_angle, sweep } => [centre.x, centre.y, radius, start_angle, sweep],
    }
}

/// A curve of a seat moved away from the cavity by minus `mm`.
fn outward(curve: Curve, mm: f64) -> Curve {
    match curve {
        Curve::Line { start, end } => {
            let shift = curve.tangent(0.0).turned_left() * mm;
            Curve::line(start + shift, end + shift)
        }
        Curve::Arc { centre, radius, start_angle, sweep } => {
            Curve::arc(centre, radius - mm * sweep.signum(), start_angle, sweep)
        }
    }
}
