//! Position of a vee clip's lips relative to the barrels on its flats.

use std::f64::consts::FRAC_PI_2;

use crate::{
    clip_error::ClipError,
    lip::LipRound,
    point::Point,
    vee_clip::{VeeClip, vee_contact_mm},
};

impl VeeClip {
    /// The same flats and walls with other arms: their lips just touch a barrel of `free_radius_mm` that rests on both
    /// flats. `lip_rad` is the direction from the barrel's axis to the lip, rad from straight down.
    ///
    /// Closing radius and wrap follow from this; the given ones are ignored. Only for plain lips.
    pub fn with_lips_touching(self, free_radius_mm: f64, lip_rad: f64) -> Result<Self, ClipError> {
        /// The radius of the lip depends slightly on the arm's arc; the iteration converges at once.
        const ITERATIONS: usize = 6;
        let no_arc = ClipError::Vee { angle_rad: self.angle_rad, half_wrap_rad: lip_rad };
        let normal = self.flat_normal();
        let end = self.flat_end();
        let axis = Point::new(0.0, self.barrel_axis_mm(free_radius_mm));
        let mut lip_radius = 0.5 * self.lip_wall_mm;
        let mut out = self;
        for _ in 0..ITERATIONS {
            let centre = axis + Point::unit(lip_rad - FRAC_PI_2) * (free_radius_mm + lip_radius);
            // The arc is tangent to the flat. The lip's centre lies at a distance of the sum of both radii from the
            // arc's centre.
            let chord = centre - end;
            let radius = (chord.dot(chord) - lip_radius * lip_radius) / (2.0 * (lip_radius - normal.dot(chord)));
            // NaN fails this test as well.
            if !(radius > 0.0 && radius.is_finite()) {
                return Err(no_arc);
            }
            let arc_centre = end - normal * radius;
            let half_wrap_rad = (centre - arc_centre).angle() + FRAC_PI_2;
            out = Self { closing_radius_mm: radius, half_wrap_rad, ..out };
            lip_radius = out.lip_round()?.radius_mm;
        }
        Ok(out)
    }

    /// Radius of the barrel that rests on both flats and just touches the lips, mm. Larger barrels are gripped.
    pub fn free_radius_mm(&self) -> Result<f64, ClipError> {
        let LipRound { centre: lip, radius_mm: lip_radius } = self.lip_round()?;
        let sine = (0.5 * self.angle_rad).sin();
        // |lip − axis| = radius + lip radius with the axis at radius / sine above the vertex. This is the smaller root of
        // that quadratic, in a form that does not divide by zero for a flat vee.
        let height = lip.y + self.axis_mm;
        let (a, b) = (1.0 / (sine * sine) - 1.0, height / sine + lip_radius);
        let c = lip.x * lip.x + height * height - lip_radius * lip_radius;
        Ok(c / (b + (b * b - a * c).max(0.0).sqrt()))
    }

    /// The same clip with its inner faces moved outward by `mm` and the walls kept, as if the seat printed larger. A barrel
    /// whose radius is larger by `mm` has its axis at the same place.
    #[must_use]
    pub fn widened(self, mm: f64) -> Self {
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
