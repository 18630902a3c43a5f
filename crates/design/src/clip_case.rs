//! One round clip and one barrel: geometry to estimate.

use std::f64::consts::FRAC_PI_2;

use gripwright_mechanics::{
    Arm, Clip, Estimate, Fineness, Outcome, Rest, Rigid, Side, WidthRegime, effective_clamp_rad, estimate,
    strain_site_rad,
};
use gripwright_section::{Back, Curve, Point, RoundClip};

use crate::{
    demand::Rules,
    response::{Response, Scale, respond},
};

/// Depth of the pad below the floor, mm: enough for the fillets to end above the web. Common practice, no source.
pub(crate) const PAD_DEPTH_MM: f64 = 1.0;
/// Radius of the fillets between pad and arms, mm. The guides see the stress concentration level off at a radius of
/// 0.6 of the wall, and ask for 0.4 mm at least (Bayer guide, secondary text).
pub(crate) const FILLET_MM: f64 = 1.0;

/// The free numbers of a round clip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct ClipShape {
    pub(crate) seat_radius_mm: f64,
    pub(crate) root_wall_mm: f64,
    pub(crate) lip_wall_mm: f64,
    pub(crate) half_wrap_rad: f64,
}

impl ClipShape {
    pub(crate) fn clip(&self, pad_half_width_mm: f64) -> RoundClip {
        RoundClip {
            seat_radius_mm: self.seat_radius_mm,
            root_wall_mm: self.root_wall_mm,
            lip_wall_mm: self.lip_wall_mm,
            half_wrap_rad: self.half_wrap_rad,
            lead_in: None,
            back: Back::Pad { half_width_mm: pad_half_width_mm, depth_mm: PAD_DEPTH_MM, fillet_mm: FILLET_MM },
        }
    }
}

/// A barrel made ready for estimates.
#[derive(Clone, Debug)]
pub(crate) struct Barrel {
    radius_mm: f64,
    rigid: Rigid,
}

impl Barrel {
    pub(crate) fn new(diameter_mm: f64) -> Self {
        let radius_mm = 0.5 * diameter_mm;
        Self { radius_mm, rigid: Rigid::round(radius_mm) }
    }
}

/// A clip made ready for estimates: its arm at the mean of its drafted walls.
#[derive(Clone, Debug)]
pub(crate) struct ClipModel {
    arm: Arm,
    shape: ClipShape,
    seat_radius_mm: f64,
    pad_rad: f64,
    strain_from_mm: f64,
    /// The wall at the parting plane is thicker than the mean, and strained more by as much.
    strain_factor: f64,
}

impl ClipModel {
    /// `None` when the clip cannot be drawn.
    pub(crate) fn new(shape: &ClipShape, pad_half_width_mm: f64, length_mm: f64, rules: &Rules) -> Option<Self> {
        let clip = shape.clip(pad_half_width_mm);
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
        Some(Self {
            arm,
            shape: *shape,
            seat_radius_mm,
            pad_rad,
            strain_from_mm: centre * (strain_site_rad(pad_rad, ratio) - clamp),
            strain_factor: clip.wall_at_mm(pad_rad) / wall(pad_rad),
        })
    }

    /// How far a barrel's axis stands above the seat's by the closed forms, mm.
    pub(crate) fn rise_mm(&self, barrel: &Barrel) -> f64 {
        Rest::round(self.seat_radius_mm, barrel.radius_mm, self.pad_rad).rise_mm
    }

    /// Estimates for a barrel. `None` when the clip cannot take it.
    pub(crate) fn estimate(&self, barrel: &Barrel, length_mm: f64, rules: &Rules) -> Option<Estimate> {
        let side = Side {
            arm: &self.arm,
            rigid: &barrel.rigid,
            wrap_rad: self.shape.half_wrap_rad,
            strain_from_mm: self.strain_from_mm,
            rest: Rest::round(self.seat_radius_mm, barrel.radius_mm, self.pad_rad),
        };
        let regime = WidthRegime::of(length_mm, self.seat_radius_mm, self.shape.root_wall_mm);
        let mut found = estimate(&[side], &rules.elastic, regime).ok()?;
        found.strain_peak *= self.strain_factor;
        found.strain_at_rest *= self.strain_factor;
        Some(found)
    }
}

/// A clip made ready for the contact solver.
#[derive(Clone, Debug)]
pub(crate) struct SolvedClip {
    clip: Clip,
    scale: Scale,
}

impl SolvedClip {
    /// `None` when the clip cannot be drawn.
    pub(crate) fn new(shape: &ClipShape, pad_half_width_mm: f64, length_mm: f64, rules: &Rules) -> Option<Self> {
        let drawn = shape.clip(pad_half_width_mm);
        let pad_rad = drawn.root_angle_rad().ok()?;
        let levels = levels(length_mm, rules);
        let thickest = levels.iter().map(|(_, back)| *back).fold(f64::INFINITY, f64::min);
        let share = 1.0 / levels.len() as f64;
        let clips: Option<Vec<(Clip, f64)>> = levels
            .iter()
            .map(|(seat, back)| Some((Clip::drawn(&drawn, pad_rad, [*seat, *back], Fineness::SWIFT).ok()?, share)))
            .collect();
        let wall = drawn.wall_at_mm(pad_rad);
        let regime = WidthRegime::of(length_mm, shape.seat_radius_mm, shape.root_wall_mm);
        let strain_factor = wall / (wall - rules.drafted_faces() * thickest);
        Some(Self { clip: Clip::levels(clips?), scale: Scale::new(rules, regime, length_mm, strain_factor) })
    }

    /// Runs at the corners of friction, or why the barrel does not go in.
    pub(crate) fn respond(&self, diameter_mm: f64, rules: &Rules) -> Result<Response, Outcome> {
        respond(&self.clip, &Rigid::round(0.5 * diameter_mm), rules, &self.scale)
    }

    pub(crate) fn clip(&self) -> &Clip {
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
