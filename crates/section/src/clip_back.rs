//! The back of a clip: the fillets, and the pad that the web joins or the tab that carries a coupon's label.

use std::f64::consts::PI;

use crate::{curve::Curve, outline::Segment, point::Point, role::Role};

/// What closes a clip at its back, below its floor in the clip's own drawing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Back {
    /// A flat pad for the web.
    Pad {
        /// Half the width of the pad, mm.
        half_width_mm: f64,
        /// Least distance from the outer face of the floor to the flat, mm.
        depth_mm: f64,
        /// Radius of the fillets between pad and arms, mm.
        fillet_mm: f64,
    },
    /// A neck as wide as the pad, and a tab for a label.
    Tab {
        /// Half the width of the neck, mm: the product's pad, so that the arms bend alike.
        neck_half_width_mm: f64,
        /// Least distance from the outer face of the floor to the tab, mm.
        depth_mm: f64,
        /// Radius of the fillets between neck and arms, mm.
        fillet_mm: f64,
        /// Half the width of the tab, mm; the neck's when that is greater.
        half_width_mm: f64,
        /// Length of the tab along y, mm.
        length_mm: f64,
    },
}

impl Back {
    /// Half the width of the pad or neck, mm.
    pub fn neck_half_width_mm(&self) -> f64 {
        match *self {
            Self::Pad { half_width_mm, .. } => half_width_mm,
            Self::Tab { neck_half_width_mm, .. } => neck_half_width_mm,
        }
    }

    /// Radius of the fillets, mm.
    pub fn fillet_mm(&self) -> f64 {
        match *self {
            Self::Pad { fillet_mm, .. } | Self::Tab { fillet_mm, .. } => fillet_mm,
        }
    }

    /// Least distance from the floor's outer face to the pad or tab, mm.
    pub fn depth_mm(&self) -> f64 {
        match *self {
            Self::Pad { depth_mm, .. } | Self::Tab { depth_mm, .. } => depth_mm,
        }
    }

    /// Shortest neck that separates a fillet from the shoulder of a wider tab, mm.
    /// Without it the fillet would meet the shoulder at an angle that no draft can follow exactly.
    const SHOULDER_NECK_MM: f64 = 0.5;

    fn widens(&self) -> bool {
        match *self {
            Self::Pad { .. } => false,
            Self::Tab { neck_half_width_mm, half_width_mm, .. } => half_width_mm > neck_half_width_mm + 1e-6,
        }
    }
}

/// Where a fillet between neck and arm sits: its centre, and the direction from there to the arm's outer face.
#[derive(Clone, Copy, Debug)]
pub(crate) struct FilletPlace {
    pub(crate) centre: Point,
    pub(crate) contact_angle: f64,
    /// Its radius, mm.
    pub(crate) radius: f64,
}

impl FilletPlace {
    /// The same in the mirror.
    pub(crate) fn mirrored(self) -> Self {
        Self { centre: Point::new(-self.centre.x, self.centre.y), contact_angle: PI - self.contact_angle, ..self }
    }
}

/// Height of the flat: y of the pad, or of the place where the tab begins. `floor_y` is the lowest point of the arms.
pub(crate) fn flat_y(back: &Back, floor_y: f64, fillets: [FilletPlace; 2]) -> f64 {
    let spare = if back.widens() { Back::SHOULDER_NECK_MM } else { 0.0 };
    let lowest_fillet = fillets[0].centre.y.min(fillets[1].centre.y);
    (floor_y - back.depth_mm()).min(lowest_fillet - spare)
}

/// A stretch above the neck that is wider than it: what stands behind the flats of a vee.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Block {
    pub(crate) half_width_mm: f64,
    /// Height of its shoulder, where the neck begins.
    pub(crate) shoulder_y: f64,
}

impl Block {
    /// Height of the pad's flat, or of the place where the tab begins.
    pub(crate) fn flat_y(&self, back: &Back) -> f64 {
        let least = if back.widens() { Back::SHOULDER_NECK_MM } else { 0.0 };
        self.shoulder_y - back.depth_mm().max(least)
    }
}

/// The back's segments in order of travel: from the left arm over the pad or tab to the right arm.
pub(crate) fn segments(back: &Back, floor_y: f64, left: FilletPlace, right: FilletPlace) -> Vec<Segment> {
    below(back, flat_y(back, floor_y, [left, right]), None, left, right)
}

/// The same with the flat at a height of one's own.
pub(crate) fn segments_down_to(back: &Back, flat_y: f64, left: FilletPlace, right: FilletPlace) -> Vec<Segment> {
    below(back, flat_y, None, left, right)
}

/// The same with a block between the fillets and the neck.
pub(crate) fn segments_below_block(back: &Back, block: Block, left: FilletPlace, right: FilletPlace) -> Vec<Segment> {
    below(back, block.flat_y(back), Some(block), left, right)
}

fn below(back: &Back, flat: f64, block: Option<Block>, left: FilletPlace, right: FilletPlace) -> Vec<Segment> {
    let w = back.neck_half_width_mm();
    let mut out = Vec::new();
    let mut push = |curve: Curve, role: Role| {
        // A neck of no length is left out; the fillet then ends on the flat.
        if curve.length() > 1e-9 {
            out.push(Segment::new(curve, role));
        }
    };
    push(Curve::arc(left.centre, left.radius, left.contact_angle, -left.contact_angle), Role::Fillet);
    let neck_y = |fillet: FilletPlace| block.map_or(fillet.centre.y, |b| b.shoulder_y);
    let (left_neck, right_neck) = (Point::new(-w, neck_y(left)), Point::new(w, neck_y(right)));
    if let Some(Block { half_width_mm, shoulder_y }) = block {
        let corner = Point::new(-half_width_mm, shoulder_y);
        push(Curve::line(Point::new(-half_width_mm, left.centre.y), corner), Role::Web);
        push(Curve::line(corner, left_neck), Role::Web);
    }
    match *back {
        Back::Pad { .. } => {
            push(Curve::line(left_neck, Point::new(-w, flat)), Role::Web);
            push(Curve::line(Point::new(-w, flat), Point::new(w, flat)), Role::Pad);
            push(Curve::line(Point::new(w, flat), right_neck), Role::Web);
        }
        Back::Tab { half_width_mm, length_mm, .. } => {
            let end = flat - length_mm;
            let (side, top) = if back.widens() { (half_width_mm, flat) } else { (w, f64::NAN) };
            if back.widens() {
                push(Curve::line(left_neck, Point::new(-w, top)), Role::Tab);
                push(Curve::line(Point::new(-w, top), Point::new(-side, top)), Role::Tab);
                push(Curve::line(Point::new(-side, top), Point::new(-side, end)), Role::Tab);
            } else {
                push(Curve::line(left_neck, Point::new(-w, end)), Role::Tab);
            }
            push(Curve::line(Point::new(-side, end), Point::new(side, end)), Role::Tab);
            if back.widens() {
                push(Curve::line(Point::new(side, end), Point::new(side, top)), Role::Tab);
                push(Curve::line(Point::new(side, top), Point::new(w, top)), Role::Tab);
                push(Curve::line(Point::new(w, top), right_neck), Role::Tab);
            } else {
                push(Curve::line(Point::new(w, end), right_neck), Role::Tab);
            }
        }
    }
    if let Some(Block { half_width_mm, shoulder_y }) = block {
        let corner = Point::new(half_width_mm, shoulder_y);
        push(Curve::line(right_neck, corner), Role::Web);
        push(Curve::line(corner, Point::new(half_width_mm, right.centre.y)), Role::Web);
    }
    push(Curve::arc(right.centre, right.radius, PI, right.contact_angle - PI), Role::Fillet);
    out
}
