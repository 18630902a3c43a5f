//! One clip and one barrel: geometry to estimate.

use std::f64::consts::FRAC_PI_2;

use gripwright_input::ToolSection;
use gripwright_mechanics::{
    Arm, Clip, Contact, Estimate, Fineness, Outcome, Rest, Rigid, Side, Support, WidthRegime, effective_clamp_rad,
    estimate, strain_site_rad,
};
use gripwright_section::{Attitude, Back, Curve, Point, RoundClip};

use crate::{
    limits::barrel_section::{Gripped, Lying, NO_BARREL, worst_way},
    limits::design_limits::Rules,
    model::response::{Response, Scale, respond},
    model::solver_cache::Key,
    model::vee_model::{VeeFace, VeeModel},
    shape::clip_geometry::ClipForm,
};

/// Depth of the pad below the floor, mm: enough for the fillets to end above the web. Common practice, no source.
pub(crate) const PAD_DEPTH_MM: f64 = 1.0;
/// Radius of the fillets between pad and arms, mm. The guides see the stress concentration level off at a radius of
/// 0.6 of the wall, and ask for 0.4 mm at least (Bayer guide, secondary text).
pub(crate) const FILLET_MM: f64 = 1.0;

/// The free numbers of a clip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct ClipShape {
    /// Radius of the barrel from which on it grips: the seat's; in a vee that of the barrel that just touches the lips.
    pub(crate) seat_radius_mm: f64,
    pub(crate) root_wall_mm: f64,
    pub(crate) lip_wall_mm: f64,
    /// Half the angle embraced; in a vee the direction in which the lips touch that barrel.
    pub(crate) half_wrap_rad: f64,
    /// The rest of a vee's inner face; absent for a round clip.
    pub(crate) vee: Option<VeeFace>,
}

impl ClipShape {
    pub(crate) fn clip(&self, pad_half_width_mm: f64) -> ClipForm {
        let back = Back::Pad { half_width_mm: pad_half_width_mm, depth_mm: PAD_DEPTH_MM, fillet_mm: FILLET_MM };
        match &self.vee {
            Some(face) => ClipForm::Vee(face.clip(self.root_wall_mm, self.lip_wall_mm, back)),
            None => ClipForm::Round(RoundClip {
                seat_radius_mm: self.seat_radius_mm,
                root_wall_mm: self.root_wall_mm,
                lip_wall_mm: self.lip_wall_mm,
                half_wrap_rad: self.half_wrap_rad,
                lead_in: None,
                back,
            }),
        }
    }

    /// The shape with a vee's inner face drawn anew after its other numbers. `None` when there is no such vee.
    pub(crate) fn refaced(self) -> Option<Self> {
        let Some(face) = self.vee else { return Some(self) };
        self.as_vee(face.angle_rad, face.range_mm)
    }

    /// The same numbers as a vee for barrels of a range of radii, mm.
    pub(crate) fn as_vee(self, angle_rad: f64, range_mm: [f64; 2]) -> Option<Self> {
        let lips = (self.seat_radius_mm, self.half_wrap_rad);
        let walls = (self.root_wall_mm, self.lip_wall_mm);
        Some(Self { vee: Some(VeeFace::new(angle_rad, range_mm, lips, walls)?), ..self })
    }
}

/// A barrel made ready for estimates.
#[derive(Clone, Debug)]
pub(crate) struct Barrel {
    /// Half its greatest width.
    radius_mm: f64,
    rigid: Rigid,
    /// Whether it lies as a round barrel of that radius would: on the edges of the floor.
    as_round: bool,
    /// What it is, bit by bit.
    pub(crate) key: [u64; 3],
}

impl Barrel {
    /// A hexagon with a flat down stands on two corners, as far apart as a round barrel over its corners touches.
    pub(crate) fn new(lying: &Lying) -> Option<Self> {
        let radius_mm = 0.5 * lying.gripped.widest_mm();
        let as_round = lying.attitude != Some(Attitude::CornerDown);
        let corner_mm = match lying.gripped.section {
            ToolSection::Round => f64::NAN,
            ToolSection::Hexagon { corner_mm } => corner_mm,
        };
        let key = [lying.gripped.size_mm.to_bits(), corner_mm.to_bits(), u64::from(as_round)];
        Some(Self { radius_mm, rigid: lying.rigid()?, as_round, key })
    }

    /// How far it reaches from its axis against a normal, rad from −y, mm.
    fn reach_mm(&self, normal_rad: f64) -> f64 {
        let normal = Contact::new(Point::ORIGIN, normal_rad).normal;
        self.rigid.contacts().iter().map(|c| c.point.dot(normal)).fold(f64::NEG_INFINITY, f64::max)
    }

    /// Radius of the round barrel that would stand as high in a vee, mm.
    fn in_vee_mm(&self, vee: &VeeModel) -> f64 {
        if self.as_round && self.rigid.is_round() { self.radius_mm } else { self.reach_mm(vee.flank_rad()) }
    }

    /// What a free lip presses of it when its axis stands at a height, mm, and the normal there. A convex section is as far from a point as the farthest of the lines that touch it.
    pub(crate) fn at_lip(&self, height_mm: f64, (centre, radius): (Point, f64)) -> (f64, f64) {
        let place = centre - Point::new(0.0, height_mm);
        if self.rigid.is_round() {
            return (self.radius_mm + radius - place.length(), place.angle() + FRAC_PI_2);
        }
        let distance = |c: &Contact| (place - c.point).dot(c.normal);
        let nearest = self.rigid.contacts().iter().max_by(|a, b| distance(a).total_cmp(&distance(b)));
        nearest.map_or((0.0, FRAC_PI_2), |c| (radius - distance(c), c.normal_rad))
    }
}

/// A clip made ready for estimates: its arm at the mean of its drafted walls.
#[derive(Clone, Debug)]
pub(crate) struct ClipModel {
    seat: Seat,
    shape: ClipShape,
    /// The wall at the parting plane is thicker than the mean, and strained more by as much.
    strain_factor: f64,
}

/// The seat and the arm that bends beside it.
#[derive(Clone, Debug)]
enum Seat {
    Round { arm: Arm, strain_from_mm: f64, seat_radius_mm: f64, pad_rad: f64, lip: (Point, f64) },
    Vee(VeeModel),
}

impl ClipModel {
    /// `None` when the clip cannot be drawn.
    pub(crate) fn new(shape: &ClipShape, pad_half_width_mm: f64, length_mm: f64, rules: &Rules) -> Option<Self> {
        match shape.clip(pad_half_width_mm) {
            ClipForm::Round(clip) => Self::round(shape, &clip, length_mm, rules),
            ClipForm::Vee(clip) => {
                let inset = 0.5 * rules.end_inset_mm(length_mm);
                let lost = inset * rules.drafted_faces();
                let seat = Seat::Vee(VeeModel::new(&clip, inset * (rules.drafted_faces() - 1.0), lost)?);
                let strain_factor = clip.root_wall_mm / (clip.root_wall_mm - lost);
                Some(Self { seat, shape: *shape, strain_factor })
            }
        }
    }

    fn round(shape: &ClipShape, clip: &RoundClip, length_mm: f64, rules: &Rules) -> Option<Self> {
        let pad_rad = clip.root_angle_rad().ok()?;
        let (lip, lip_radius) = clip.lip_round().ok()?;
        // Half way to the ends the faces stand where they stand on average.
        let inset = 0.5 * rules.end_inset_mm(length_mm);
        let lost = inset * rules.drafted_faces();
        let seat_inset = inset * (rules.drafted_faces() - 1.0);
        let seat_radius_mm = shape.seat_radius_mm + seat_inset;
        let wall = |angle: f64| clip.wall_at_mm(angle) - lost;
        let ratio = wall(pad_rad) / (seat_radius_mm + 0.5 * wall(pad_rad));
        let clamp = effective_clamp_rad(pad_rad, ratio);
        let span = shape.half_wrap_rad - clamp;
        let inner = [Curve::arc(Point::ORIGIN, seat_radius_mm, clamp - FRAC_PI_2, span)];
        let arm = Arm::outside(&inner, |_, t| wall(clamp + t * span)).ok()?.with_lip(lip, lip_radius - seat_inset);
        let centre = seat_radius_mm + 0.5 * wall(pad_rad);
        let strain_from_mm = centre * (strain_site_rad(pad_rad, ratio) - clamp);
        Some(Self {
            seat: Seat::Round { arm, strain_from_mm, seat_radius_mm, pad_rad, lip: (lip, lip_radius - seat_inset) },
            shape: *shape,
            strain_factor: clip.wall_at_mm(pad_rad) / wall(pad_rad),
        })
    }

    /// How far a barrel's axis stands above its place in the drawing by the closed forms, mm.
    pub(crate) fn rise_mm(&self, barrel: &Barrel) -> f64 {
        match &self.seat {
            Seat::Round { seat_radius_mm, .. } if !barrel.as_round => barrel.radius_mm - seat_radius_mm,
            Seat::Round { seat_radius_mm, pad_rad, .. } => {
                Rest::round(*seat_radius_mm, barrel.radius_mm, *pad_rad).rise_mm
            }
            Seat::Vee(model) => model.rise_mm(barrel.in_vee_mm(model)),
        }
    }

    /// Estimates for a barrel. `None` when the clip cannot take it.
    pub(crate) fn estimate(&self, barrel: &Barrel, length_mm: f64, rules: &Rules) -> Option<Estimate> {
        let rigid = &barrel.rigid;
        let side = match &self.seat {
            Seat::Round { arm, strain_from_mm, lip, .. } if !barrel.as_round => {
                let (interference_mm, wrap_rad) = barrel.at_lip(self.rise_mm(barrel), *lip);
                // The corner at the bottom carries it in the middle of the floor.
                let rest = Rest { interference_mm, rise_mm: 0.0, support: Support::Edges { flank_rad: 0.0 } };
                Side { arm, rigid, wrap_rad, strain_from_mm: *strain_from_mm, rest }
            }
            Seat::Round { arm, strain_from_mm, seat_radius_mm, pad_rad, .. } => Side {
                arm,
                rigid,
                wrap_rad: self.shape.half_wrap_rad,
                strain_from_mm: *strain_from_mm,
                rest: Rest::round(*seat_radius_mm, barrel.radius_mm, *pad_rad),
            },
            Seat::Vee(model) => {
                let (rest, wrap_rad) = model.rest(barrel, self.rise_mm(barrel));
                Side { arm: &model.arm, rigid, wrap_rad, strain_from_mm: model.strain_from_mm, rest }
            }
        };
        let radius = match &self.seat {
            Seat::Round { seat_radius_mm, .. } => *seat_radius_mm,
            Seat::Vee(_) => self.shape.seat_radius_mm,
        };
        let regime = WidthRegime::of(length_mm, radius, self.shape.root_wall_mm);
        let mut found = estimate(&[side], &rules.elastic, regime).ok()?;
        found.strain_peak *= self.strain_factor;
        found.strain_at_rest *= self.strain_factor;
        Some(found)
    }
}

/// A clip made ready for the contact solver.
#[derive(Clone, Debug)]
pub(crate) struct SolvedClip {
    clip: Drawn,
    scale: Scale,
}

/// A clip or mount as the solver takes it, with all numbers that it was drawn after.
#[derive(Clone, Debug)]
pub(crate) struct Drawn {
    pub(crate) clip: Clip,
    pub(crate) key: Key,
}

impl SolvedClip {
    /// `None` when the clip cannot be drawn.
    pub(crate) fn new(shape: &ClipShape, pad_half_width_mm: f64, length_mm: f64, rules: &Rules) -> Option<Self> {
        Self::drawn(&shape.clip(pad_half_width_mm), shape.seat_radius_mm, length_mm, rules)
    }

    /// A drawn clip that grips from a barrel of `seat_radius_mm` on. `None` when it cannot be drawn.
    pub(crate) fn drawn(drawn: &ClipForm, seat_radius_mm: f64, length_mm: f64, rules: &Rules) -> Option<Self> {
        let levels = levels(length_mm, rules);
        let thickest = levels.iter().map(|(_, back)| *back).fold(f64::INFINITY, f64::min);
        let share = 1.0 / levels.len() as f64;
        let mut clips = Vec::new();
        for (seat, back) in &levels {
            let inset = [*seat, *back];
            let clip = match drawn {
                ClipForm::Round(clip) => Clip::drawn(clip, clip.root_angle_rad().ok()?, inset, Fineness::SWIFT),
                ClipForm::Vee(clip) => Clip::drawn_vee(clip, inset, Fineness::SWIFT),
            };
            clips.push((clip.ok()?, share));
        }
        let wall = match drawn {
            ClipForm::Round(clip) => clip.wall_at_mm(clip.root_angle_rad().ok()?),
            ClipForm::Vee(clip) => clip.root_wall_mm,
        };
        let regime = WidthRegime::of(length_mm, seat_radius_mm, drawn.root_wall_mm());
        let strain_factor = wall / (wall - rules.drafted_faces() * thickest);
        let key = drawn.key().and(levels.iter().flat_map(|(seat, back)| [*seat, *back]));
        let clip = Drawn { clip: Clip::levels(clips), key };
        Some(Self { clip, scale: Scale::new(rules, regime, length_mm, strain_factor) })
    }

    /// Runs at the corners of friction, or why the barrel does not go in.
    pub(crate) fn respond(&self, lying: &Lying, rules: &Rules) -> Result<Response, Outcome> {
        respond(&self.clip, &lying.rigid().ok_or(NO_BARREL)?, rules, &self.scale)
    }

    /// The worst of the ways in which it may come to lie.
    pub(crate) fn respond_at_worst(&self, gripped: &Gripped, rules: &Rules) -> Result<Response, Outcome> {
        worst_way(gripped, |rigid| respond(&self.clip, rigid, rules, &self.scale), Response::worst)
    }

    pub(crate) fn clip(&self) -> &Drawn {
        &self.clip
    }

    pub(crate) fn scale(&self) -> &Scale {
        &self.scale
    }
}

/// Insets of seat and back (mm) at the levels over which a drafted part is integrated.
///
/// The stiffness of a wall goes with its third power, which two Gauss points over the half length integrate exactly.
pub(crate) fn levels(length_mm: f64, rules: &Rules) -> Vec<(f64, f64)> {
    const GAUSS: [f64; 2] = [0.211_324_865_405_187_1, 0.788_675_134_594_812_9];
    let end = rules.end_inset_mm(length_mm);
    if end <= 0.0 {
        return vec![(0.0, 0.0)];
    }
    let seat = rules.drafted_faces() - 1.0;
    GAUSS.iter().map(|place| (seat * place * end, place * end)).collect()
}
