//! Where the lips of a vee clip stand against the barrels on its flats.

use std::f64::consts::FRAC_PI_2;

use crate::{
    point::Point,
    round_clip::ClipError,
    vee_clip::{VeeClip, vee_contact_mm},
};

impl VeeClip {
    /// The same flats and walls with arms that close over as follows: the lips just touch a barrel of `free_radius_mm`
    /// that rests on both flats, in the direction `lip_rad` from its axis (rad from straight down).
    ///
    /// Closing radius and wrap follow from that; those given are not looked at. Only for plain lips.
    pub fn closing_over(self, free_radius_mm: f64, lip_rad: f64) -> Result<Self, ClipError> {
        /// The lip's own round depends a little on the arc that it ends; it settles at once.
        const ROUNDS: usize = 6;
        let no_arc = ClipError::Vee { angle_rad: self.angle_rad, half_wrap_rad: lip_rad };
        let normal = self.flat_normal();
        let end = self.flat_end();
        let axis = Point::new(0.0, self.seat_mm(free_radius_mm));
        let mut lip_radius = 0.5 * self.lip_wall_mm;
        let mut out = self;
        for _ in 0..ROUNDS {
            let centre = axis + Point::unit(lip_rad - FRAC_PI_2) * (free_radius_mm + lip_radius);
            // The arc leaves the flat tangentially and passes the lip's centre at a distance of its own radius and the
            // lip's.
            let way = centre - end;
            let radius = (way.dot(way) - lip_radius * lip_radius) / (2.0 * (lip_radius - normal.dot(way)));
            // Not-a-number fails this test as well.
            if !(radius > 0.0 && radius.is_finite()) {
                return Err(no_arc);
            }
            let arc_centre = end - normal * radius;
            let half_wrap_rad = (centre - arc_centre).angle() + FRAC_PI_2;
            out = Self { closing_radius_mm: radius, half_wrap_rad, ..out };
            lip_radius = out.lip_round()?.1;
        }
        Ok(out)
    }

    /// Radius of the barrel that rests on both flats and just touches the lips, mm: larger ones are gripped.
    pub fn free_radius_mm(&self) -> Result<f64, ClipError> {
        let (lip, lip_radius) = self.lip_round()?;
        let sine = (0.5 * self.angle_rad).sin();
        // |lip − axis| = radius + lip radius with the axis at radius / sine above the vertex: a quadratic, of which the
        // smaller root is meant; written so that a flat vee divides by nothing.
        let height = lip.y + self.axis_mm;
        let (a, b) = (1.0 / (sine * sine) - 1.0, height / sine + lip_radius);
        let c = lip.x * lip.x + height * height - lip_radius * lip_radius;
        Ok(c / (b + (b * b - a * c).max(0.0).sqrt()))
    }

    /// The same clip with its inner faces moved outward by `mm`, walls kept: a seat printed larger. A barrel larger by
    /// as much in radius rests where it did.
    #[must_use]
    pub fn opened(self, mm: f64) -> Self {
        let sine = (0.5 * self.angle_rad).sin();
        Self {
            axis_mm: self.axis_mm + mm / sine,
            root_radius_mm: self.root_radius_mm + mm,
            flat_mm: self.flat_mm + vee_contact_mm(self.angle_rad, mm),
            closing_radius_mm: self.closing_radius_mm + mm,
            ..self
        }
    }
}
