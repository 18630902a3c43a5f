//! Split ring: the cross-section of a sleeve.
//!
//! In its own drawing, the barrel's axis is the origin and the slit opens toward +y.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::{
    clip_error::{ClipError, all_positive},
    curve::Curve,
    joint::join_lines,
    outline::{Outline, Segment, mirrored_segments},
    point::Point,
    role::Role,
};

/// Ring with one slit between radial faces.
///
/// The slit's edges at the bore are rounded, because the ring's ends touch the barrel there. The outer edges are square,
/// so that the outside can step out to a collar between the same faces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SplitRing {
    /// Radius of the bore, mm.
    pub bore_radius_mm: f64,
    /// Wall, mm.
    pub wall_mm: f64,
    /// Half of the wrap angle, rad: from the middle of the back (−y) to the slit.
    pub half_wrap_rad: f64,
    /// Radius of the slit's rounded edges at the bore, mm; less than the wall.
    pub edge_mm: f64,
}

impl SplitRing {
    /// Closed outline, counter-clockwise: the outside, one face of the slit, the bore with a rounded edge at either end,
    /// and the other face.
    pub fn outline(&self) -> Result<Outline, ClipError> {
        self.check()?;
        let RoundedEdge { centre, turn_rad: turn } = self.edge_round();
        let direction = Point::unit(self.half_wrap_rad - FRAC_PI_2);
        let inner_end = (self.bore_radius_mm + self.edge_mm) * turn.cos();
        let outer = self.bore_radius_mm + self.wall_mm;
        let face = Curve::line(direction * outer, direction * inner_end);
        let round = Curve::arc(centre, self.edge_mm, self.half_wrap_rad, FRAC_PI_2 - turn);
        let right = [Segment::new(face, Role::ArmBack), Segment::new(round, Role::Lip)];
        let bend = self.half_wrap_rad - turn;
        let outside = Curve::arc(Point::ORIGIN, outer, -FRAC_PI_2 - self.half_wrap_rad, 2.0 * self.half_wrap_rad);
        let bore = Curve::arc(Point::ORIGIN, self.bore_radius_mm, bend - FRAC_PI_2, -2.0 * bend);
        let mut segments = vec![Segment::new(outside, Role::ArmBack)];
        segments.extend_from_slice(&right);
        segments.push(Segment::new(bore, Role::Seat));
        segments.extend(mirrored_segments(&right));
        // The faces share the end points of the outside bit for bit.
        let mut curves: Vec<Curve> = segments.iter().map(|s| s.curve).collect();
        join_lines(&mut curves, |_| false);
        let joined = segments.iter().zip(curves).map(|(s, curve)| Segment::new(curve, s.role));
        Ok(Outline::new(joined.collect())?)
    }

    /// The right rounded edge at the bore.
    pub fn edge_round(&self) -> RoundedEdge {
        let far = self.bore_radius_mm + self.edge_mm;
        let turn = (self.edge_mm / far).asin();
        RoundedEdge { centre: Point::unit(self.half_wrap_rad - FRAC_PI_2 - turn) * far, turn_rad: turn }
    }

    /// Least width of the slit, beside its rounded edges, mm.
    pub fn slit_mm(&self) -> f64 {
        let turn = self.edge_round().turn_rad;
        2.0 * (self.bore_radius_mm + self.edge_mm) * turn.cos() * (PI - self.half_wrap_rad).sin()
    }

    fn check(&self) -> Result<(), ClipError> {
        all_positive(&[
            ("the bore's radius", self.bore_radius_mm),
            ("the wall", self.wall_mm),
            ("the round of the slit's edges", self.edge_mm),
        ])?;
        let half_wrap_rad = self.half_wrap_rad;
        if !(FRAC_PI_2 < half_wrap_rad && half_wrap_rad < PI) {
            return Err(ClipError::Wrap { half_wrap_rad });
        }
        // A larger radius leaves nothing of the slit's face.
        if self.edge_mm < self.wall_mm {
            Ok(())
        } else {
            Err(ClipError::NotPositive {
                what: "what the rounds leave of the slit's faces",
                value: self.wall_mm - self.edge_mm,
            })
        }
    }
}

/// Rounded edge between the bore and a face of the slit.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct RoundedEdge {
    /// Centre of the round, mm.
    pub centre: Point,
    /// Angle between the end of the bore and the slit's face, rad.
    pub turn_rad: f64,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring() -> SplitRing {
        SplitRing { bore_radius_mm: 6.0, wall_mm: 1.6, half_wrap_rad: 165.0_f64.to_radians(), edge_mm: 0.4 }
    }

    /// Source: geometry. A sector of a ring less what the two rounds take: a corner between a line and an arc.
    #[test]
    fn area_is_that_of_a_sector_less_two_corners() {
        let ring = ring();
        let outline = ring.outline().unwrap();
        let (r, t, a, e) = (ring.bore_radius_mm, ring.wall_mm, ring.half_wrap_rad, ring.edge_mm);
        let sector = a * ((r + t).powi(2) - r * r);
        let turn = ring.edge_round().turn_rad;
        // Between face, round and bore: a triangle less the sectors of the round and of the bore.
        let triangle = 0.5 * (r + e) * turn.cos() * e;
        let corner = triangle - 0.5 * e * e * (FRAC_PI_2 - turn) - 0.5 * r * r * turn;
        assert!((outline.area_mm2() - (sector - 2.0 * corner)).abs() < 1e-9);
        assert!(outline.self_contact().is_none());
        let wall = outline.least_wall().unwrap();
        assert!((wall.thickness_mm - t).abs() < 1e-6, "{wall:?}");
    }

    #[test]
    fn the_rounds_are_tangent_and_the_faces_stand_square_on_the_outside() {
        let outline = ring().outline().unwrap();
        let segments = outline.segments();
        let corners = segments
            .iter()
            .zip(segments.iter().cycle().skip(1))
            .filter(|(a, b)| a.curve.tangent(1.0).distance(b.curve.tangent(0.0)) > 1e-9);
        let square = corners.filter(|(a, b)| a.curve.tangent(1.0).dot(b.curve.tangent(0.0)).abs() < 1e-12);
        assert_eq!(square.count(), 2);
        let slit = ring().slit_mm();
        assert!((slit - 2.0 * 6.387_487_8 * 15.0_f64.to_radians().sin()).abs() < 1e-6, "{slit}");
    }

    #[test]
    fn what_cannot_be_drawn_is_named() {
        for bad in [
            SplitRing { bore_radius_mm: 0.0, ..ring() },
            SplitRing { wall_mm: f64::NAN, ..ring() },
            SplitRing { half_wrap_rad: PI, ..ring() },
            SplitRing { edge_mm: 1.7, ..ring() },
        ] {
            assert!(bad.outline().is_err(), "{bad:?}");
        }
    }
}
