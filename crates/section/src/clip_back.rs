//! Back of a clip or mount: two fillets, and either the pad that the web joins or the tab for a coupon's label.

use std::f64::consts::PI;

use crate::{curve::Curve, outline::Segment, point::Point, role::Role};

/// Shape that closes a clip at its back, below its floor in the clip's own drawing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ClipBack {
    /// Flat pad for the web.
    Pad {
        /// Half width of the pad, mm.
        half_width_mm: f64,
        /// Least distance from the outer face of the floor to the flat, mm.
        depth_mm: f64,
        /// Radius of the fillets between pad and arms, mm.
        fillet_mm: f64,
    },
    /// Neck as wide as the pad, followed by a tab for a label.
    Tab {
        /// Half width of the neck, mm: that of the product's pad, so that the arms bend in the same way.
        neck_half_width_mm: f64,
        /// Least distance from the outer face of the floor to the tab, mm.
        depth_mm: f64,
        /// Radius of the fillets between neck and arms, mm.
        fillet_mm: f64,
        /// Half width of the tab, mm; the half width of the neck applies if it is greater.
        half_width_mm: f64,
        /// Length of the tab along y, mm.
        length_mm: f64,
    },
}

impl ClipBack {
    /// Half width of the pad or neck, mm.
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

    /// The same back with fillets of another radius, mm.
    #[must_use]
    pub fn with_fillets(mut self, radius_mm: f64) -> Self {
        match &mut self {
            Self::Pad { fillet_mm, .. } | Self::Tab { fillet_mm, .. } => *fillet_mm = radius_mm,
        }
        self
    }

    /// Least distance from the floor's outer face to the pad or tab, mm.
    pub fn depth_mm(&self) -> f64 {
        match *self {
            Self::Pad { depth_mm, .. } | Self::Tab { depth_mm, .. } => depth_mm,
        }
    }

    /// Shortest neck between a fillet and the shoulder of a wider tab, mm.
    /// Without it, the fillet would meet the shoulder at an angle that no draft can follow exactly.
    const SHOULDER_NECK_MM: f64 = 0.5;

    /// True if the tab is wider than its neck.
    fn has_shoulder(&self) -> bool {
        match *self {
            Self::Pad { .. } => false,
            Self::Tab { neck_half_width_mm, half_width_mm, .. } => half_width_mm > neck_half_width_mm + 1e-6,
        }
    }
}

/// Fillet between the neck and the outer face of an arm.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ArmFillet {
    pub(crate) centre: Point,
    /// Direction from the centre to the point of contact with the arm, rad.
    pub(crate) contact_angle: f64,
    /// Radius, mm.
    pub(crate) radius: f64,
}

impl ArmFillet {
    /// The fillet mirrored in the y axis.
    pub(crate) fn mirrored(self) -> Self {
        Self { centre: Point::new(-self.centre.x, self.centre.y), contact_angle: PI - self.contact_angle, ..self }
    }
}

/// Height of the pad's flat, or of the shoulder where the tab begins. `floor_y` is the lowest point of the arms.
pub(crate) fn flat_y(back: &ClipBack, floor_y: f64, fillets: [ArmFillet; 2]) -> f64 {
    let spare = if back.has_shoulder() { ClipBack::SHOULDER_NECK_MM } else { 0.0 };
    let lowest_fillet = fillets[0].centre.y.min(fillets[1].centre.y);
    (floor_y - back.depth_mm()).min(lowest_fillet - spare)
}

/// Block behind the flats of a vee clip, above the neck and wider than it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct VeeBlock {
    pub(crate) half_width_mm: f64,
    /// Height of the shoulder where the neck begins.
    pub(crate) shoulder_y: f64,
}

impl VeeBlock {
    /// Height of the pad's flat, or of the shoulder where the tab begins.
    pub(crate) fn flat_y(&self, back: &ClipBack) -> f64 {
        let least = if back.has_shoulder() { ClipBack::SHOULDER_NECK_MM } else { 0.0 };
        self.shoulder_y - back.depth_mm().max(least)
    }
}

/// Segments of the back in order of travel: from the left arm over the pad or tab to the right arm.
pub(crate) fn segments(back: &ClipBack, floor_y: f64, left: ArmFillet, right: ArmFillet) -> Vec<Segment> {
    segments_to_flat(back, flat_y(back, floor_y, [left, right]), left, right)
}

/// Segments of the back with the pad's flat, or the tab's shoulder, at the height `flat_y`.
pub(crate) fn segments_to_flat(back: &ClipBack, flat_y: f64, left: ArmFillet, right: ArmFillet) -> Vec<Segment> {
    let mut chain = Chain(Vec::new());
    chain.push_left_fillet(left);
    let necks =
        [Point::new(-back.neck_half_width_mm(), left.centre.y), Point::new(back.neck_half_width_mm(), right.centre.y)];
    chain.push_neck_and_end(back, flat_y, necks);
    chain.push_right_fillet(right);
    chain.0
}

/// Segments of the back with a block between the fillets and the neck.
pub(crate) fn segments_with_block(back: &ClipBack, block: VeeBlock, left: ArmFillet, right: ArmFillet) -> Vec<Segment> {
    let VeeBlock { half_width_mm, shoulder_y } = block;
    let necks = [-back.neck_half_width_mm(), back.neck_half_width_mm()].map(|x| Point::new(x, shoulder_y));
    let corners = [-half_width_mm, half_width_mm].map(|x| Point::new(x, shoulder_y));
    let mut chain = Chain(Vec::new());
    chain.push_left_fillet(left);
    chain.push_line(Point::new(-half_width_mm, left.centre.y), corners[0], Role::Web);
    chain.push_line(corners[0], necks[0], Role::Web);
    chain.push_neck_and_end(back, block.flat_y(back), necks);
    chain.push_line(necks[1], corners[1], Role::Web);
    chain.push_line(corners[1], Point::new(half_width_mm, right.centre.y), Role::Web);
    chain.push_right_fillet(right);
    chain.0
}

/// Back under construction.
struct Chain(Vec<Segment>);

impl Chain {
    /// Adds a segment unless it has no length: a neck without length is left out, and the fillet then ends on the flat.
    fn push(&mut self, curve: Curve, role: Role) {
        if curve.length() > 1e-9 {
            self.0.push(Segment::new(curve, role));
        }
    }

    fn push_line(&mut self, start: Point, end: Point, role: Role) {
        self.push(Curve::line(start, end), role);
    }

    fn push_left_fillet(&mut self, fillet: ArmFillet) {
        self.push(Curve::arc(fillet.centre, fillet.radius, fillet.contact_angle, -fillet.contact_angle), Role::Fillet);
    }

    fn push_right_fillet(&mut self, fillet: ArmFillet) {
        self.push(Curve::arc(fillet.centre, fillet.radius, PI, fillet.contact_angle - PI), Role::Fillet);
    }

    /// Both sides of the neck, which begin at `necks` (left, right), and the pad or tab between them.
    fn push_neck_and_end(&mut self, back: &ClipBack, flat_y: f64, necks: [Point; 2]) {
        let w = back.neck_half_width_mm();
        let [left_neck, right_neck] = necks;
        match *back {
            ClipBack::Pad { .. } => {
                self.push_line(left_neck, Point::new(-w, flat_y), Role::Web);
                self.push_line(Point::new(-w, flat_y), Point::new(w, flat_y), Role::Pad);
                self.push_line(Point::new(w, flat_y), right_neck, Role::Web);
            }
            ClipBack::Tab { half_width_mm, length_mm, .. } => {
                let end = flat_y - length_mm;
                if back.has_shoulder() {
                    self.push_line(left_neck, Point::new(-w, flat_y), Role::Tab);
                    self.push_line(Point::new(-w, flat_y), Point::new(-half_width_mm, flat_y), Role::Tab);
                    self.push_line(Point::new(-half_width_mm, flat_y), Point::new(-half_width_mm, end), Role::Tab);
                    self.push_line(Point::new(-half_width_mm, end), Point::new(half_width_mm, end), Role::Tab);
                    self.push_line(Point::new(half_width_mm, end), Point::new(half_width_mm, flat_y), Role::Tab);
                    self.push_line(Point::new(half_width_mm, flat_y), Point::new(w, flat_y), Role::Tab);
                    self.push_line(Point::new(w, flat_y), right_neck, Role::Tab);
                } else {
                    self.push_line(left_neck, Point::new(-w, end), Role::Tab);
                    self.push_line(Point::new(-w, end), Point::new(w, end), Role::Tab);
                    self.push_line(Point::new(w, end), right_neck, Role::Tab);
                }
            }
        }
    }
}
