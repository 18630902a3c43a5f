//! Placement of model points on a drawing, and outlines as exact paths.

use std::fmt::Write;

use gripwright_section::{Curve, Outline, Point};

/// Map from the model (mm, y up) to a drawing (y down).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SvgFrame {
    /// Model point at the drawing's upper left corner, mm.
    pub upper_left: Point,
    /// Units of the drawing for one mm of the model.
    pub scale: f64,
}

impl SvgFrame {
    /// Place of a model point on the drawing.
    pub fn place(&self, p: Point) -> Point {
        Point::new((p.x - self.upper_left.x) * self.scale, (self.upper_left.y - p.y) * self.scale)
    }

    /// An outline as path data: lines stay lines, arcs stay arcs.
    pub fn path(&self, outline: &Outline) -> String {
        let mut out = String::new();
        for (index, segment) in outline.segments().iter().enumerate() {
            if index == 0 {
                let start = self.place(segment.curve.start());
                let _ = write!(out, "M{:.3} {:.3}", start.x, start.y);
            }
            let end = self.place(segment.curve.end());
            match segment.curve {
                Curve::Line { .. } => {
                    let _ = write!(out, "L{:.3} {:.3}", end.x, end.y);
                }
                Curve::Arc { radius, sweep, .. } => {
                    let radius = radius * self.scale;
                    let long = u8::from(sweep.abs() > std::f64::consts::PI);
                    // Upside down on the page, left turns become right turns.
                    let right = u8::from(sweep < 0.0);
                    let _ = write!(out, "A{radius:.3} {radius:.3} 0 {long} {right} {:.3} {:.3}", end.x, end.y);
                }
            }
        }
        out.push('Z');
        out
    }
}

#[cfg(test)]
mod tests {
    use gripwright_section::circle;

    use super::*;

    #[test]
    fn a_circle_is_two_arcs_of_its_radius() {
        let frame = SvgFrame { upper_left: Point::new(-10.0, 10.0), scale: 0.5 };
        assert_eq!(
            frame.path(&circle(12.0).unwrap()),
            "M5.000 8.000A3.000 3.000 0 0 0 5.000 2.000A3.000 3.000 0 0 0 5.000 8.000Z"
        );
    }
}
