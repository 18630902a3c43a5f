//! Outlines out of DXF drawings.

use std::f64::consts::TAU;

use dxf::{
    Drawing as DxfFile, Vector,
    entities::{Entity, EntityType, Insert, LwPolyline, Polyline, Spline},
};
use gripwright_section::Point;

use crate::{
    drawing::{DrawingOptions, check_unit},
    error::SurveyError,
    nurbs::Nurbs,
    polylines::{AffineMap, Polylines, arc_from_bulge},
    reduced_dxf::reduce_dxf,
    surveyed_outline::SurveyedOutline,
};

const FORMAT: &str = "DXF";
/// How deep blocks may lie in blocks, and how many may be placed in all.
const DEEPEST: usize = 8;
const MOST_INSERTS: usize = 10_000;
/// Heights of one line that differ by more than this, in units of the drawing, leave the plane.
const FLAT: f64 = 1e-6;

/// The outline in an ASCII DXF: lines, arcs, circles, ellipses, polylines with bulges, splines, and blocks of them.
pub fn outline_from_dxf(bytes: &[u8], drawing: &DrawingOptions) -> Result<SurveyedOutline, SurveyError> {
    let reduced = reduce_dxf(bytes)?;
    check_unit(reduced.unit_mm, drawing.unit_mm)?;
    let file = DxfFile::load(&mut reduced.text.as_bytes())
        .map_err(|error| SurveyError::Unreadable { format: FORMAT, reason: error.to_string() })?;
    let mm = drawing.mm();
    let map = AffineMap { x: Point::new(mm, 0.0), y: Point::new(0.0, mm), shift: Point::ORIGIN };
    let mut reader = Reader { file: &file, pieces: drawing.pieces(FORMAT), inserts: 0, mm };
    for entity in file.entities() {
        reader.entity(entity, &map, 0)?;
    }
    drawing.outline(reader.pieces, FORMAT, |p| p * mm, |p| p * (1.0 / mm))
}

struct Reader<'a> {
    file: &'a DxfFile,
    pieces: Polylines,
    inserts: usize,
    mm: f64,
}

impl Reader<'_> {
    fn entity(&mut self, entity: &Entity, map: &AffineMap, depth: usize) -> Result<(), SurveyError> {
        if entity.common.is_in_paper_space {
            return Ok(());
        }
        match &entity.specific {
            EntityType::Line(line) => {
                let (from, to) = (flat(&line.p1), flat(&line.p2));
                if (line.p1.z - line.p2.z).abs() > FLAT {
                    return Err(self.leaves("a LINE", map.of(from)));
                }
                self.pieces.add("a LINE", vec![map.of(from), map.of(to)])
            }
            EntityType::Circle(circle) => {
                let map = self.facing(&circle.normal, "a CIRCLE", flat(&circle.center), map)?;
                self.round(&map, "a CIRCLE", flat(&circle.center), circle.radius, 0.0, TAU)
            }
            EntityType::Arc(arc) => {
                let map = self.facing(&arc.normal, "an ARC", flat(&arc.center), map)?;
                let (from, sweep) =
                    (arc.start_angle.to_radians(), positive((arc.end_angle - arc.start_angle).to_radians()));
                self.round(&map, "an ARC", flat(&arc.center), arc.radius, from, sweep)
            }
            EntityType::Ellipse(ellipse) => {
                let centre = flat(&ellipse.center);
                // Its axes are in the plane of the drawing already; only the sense of the angle turns with the normal.
                let side = self.side(&ellipse.normal, "an ELLIPSE", centre, map)?;
                let major = Point::new(ellipse.major_axis.x, ellipse.major_axis.y);
                if ellipse.major_axis.z.abs() > FLAT {
                    return Err(self.leaves("an ELLIPSE", map.of(centre)));
                }
                let minor = major.turned_left() * (ellipse.minor_axis_ratio * side);
                let sweep = positive(ellipse.end_parameter - ellipse.start_parameter);
                let axes = (map.of(major) - map.shift, map.of(minor) - map.shift);
                let points = self.pieces.ellipse(map.of(centre), axes.0, axes.1, ellipse.start_parameter, sweep);
                self.pieces.add("an ELLIPSE", points)
            }
            EntityType::LwPolyline(line) => self.lightweight(line, map),
            EntityType::Polyline(line) => self.polyline(line, map),
            EntityType::Spline(spline) => self.spline(spline, map),
            EntityType::Insert(insert) => self.insert(insert, map, depth),
            EntityType::Text(_)
            | EntityType::MText(_)
            | EntityType::ModelPoint(_)
            | EntityType::RotatedDimension(_)
            | EntityType::RadialDimension(_)
            | EntityType::DiameterDimension(_)
            | EntityType::AngularThreePointDimension(_)
            | EntityType::OrdinateDimension(_)
            | EntityType::Leader(_)
            | EntityType::AttributeDefinition(_)
            | EntityType::Attribute(_)
            | EntityType::Tolerance(_)
            | EntityType::Vertex(_)
            | EntityType::Seqend(_) => Ok(()),
            other => {
                let name: String = format!("{other:?}").chars().take_while(|c| c.is_alphanumeric()).collect();
                Err(SurveyError::UnknownEntity { what: format!("a {}", name.to_uppercase()), place: None })
            }
        }
    }

    fn leaves(&self, what: &str, place: Point) -> SurveyError {
        SurveyError::OutOfPlane { what: what.to_owned(), place: Some(place * (1.0 / self.mm)) }
    }

    /// 1 for a normal toward the viewer, −1 for one away from him.
    fn side(&self, normal: &Vector, what: &str, place: Point, map: &AffineMap) -> Result<f64, SurveyError> {
        let length = normal.x.hypot(normal.y).hypot(normal.z);
        let along = normal.z / length;
        if along.abs() > 1.0 - 1e-9 { Ok(along.signum()) } else { Err(self.leaves(what, map.of(place))) }
    }

    /// The map of an entity that is drawn in its own coordinates: seen from behind, its x runs the other way.
    fn facing(&self, normal: &Vector, what: &str, place: Point, map: &AffineMap) -> Result<AffineMap, SurveyError> {
        let side = self.side(normal, what, place, map)?;
        Ok(map.after(&AffineMap { x: Point::new(side, 0.0), ..AffineMap::NONE }))
    }

    fn round(
        &mut self,
        map: &AffineMap,
        what: &str,
        centre: Point,
        radius: f64,
        from: f64,
        sweep: f64,
    ) -> Result<(), SurveyError> {
        let points = self.pieces.ellipse(map.of(centre), map.x * radius, map.y * radius, from, sweep);
        self.pieces.add(what, points)
    }

    fn lightweight(&mut self, line: &LwPolyline, map: &AffineMap) -> Result<(), SurveyError> {
        let vertices: Vec<(Point, f64)> = line.vertices.iter().map(|v| (Point::new(v.x, v.y), v.bulge)).collect();
        let place = vertices.first().map_or(Point::ORIGIN, |v| v.0);
        let map = self.facing(&line.extrusion_direction, "an LWPOLYLINE", place, map)?;
        self.bulges("an LWPOLYLINE", &vertices, line.is_closed(), &map)
    }

    fn polyline(&mut self, line: &Polyline, map: &AffineMap) -> Result<(), SurveyError> {
        /// 3D polylines and meshes.
        const SPATIAL: i32 = 8 | 16 | 64;
        /// A corner of the frame of a smoothed polyline, not of the line.
        const FRAME: i32 = 16;
        if line.flags & SPATIAL != 0 {
            return Err(self.leaves("a POLYLINE", map.of(flat(&line.location))));
        }
        let vertices: Vec<(Point, f64)> =
            line.vertices().filter(|v| v.flags & FRAME == 0).map(|v| (flat(&v.location), v.bulge)).collect();
        let place = vertices.first().map_or(Point::ORIGIN, |v| v.0);
        let map = self.facing(&line.normal, "a POLYLINE", place, map)?;
        self.bulges("a POLYLINE", &vertices, line.is_closed(), &map)
    }

    fn bulges(
        &mut self,
        what: &str,
        vertices: &[(Point, f64)],
        closed: bool,
        map: &AffineMap,
    ) -> Result<(), SurveyError> {
        let mut points: Vec<Point> = vertices.first().map(|v| map.of(v.0)).into_iter().collect();
        let next = vertices.iter().skip(1).chain(vertices.first().filter(|_| closed));
        for (&(from, bulge), &(to, _)) in vertices.iter().zip(next) {
            if let Some((centre, radius, first, sweep)) = arc_from_bulge(from, to, bulge) {
                let arc = self.pieces.ellipse(map.of(centre), map.x * radius, map.y * radius, first, sweep);
                points.extend(arc.into_iter().skip(1));
                // The end is known better than by the arc.
                points.pop();
            }
            points.push(map.of(to));
        }
        self.pieces.add(what, points)
    }

    fn spline(&mut self, spline: &Spline, map: &AffineMap) -> Result<(), SurveyError> {
        let what = "a SPLINE";
        if spline.control_points.is_empty() {
            let place = spline.fit_points.first().map(flat);
            return Err(SurveyError::UnknownEntity { what: "a SPLINE without control points".to_owned(), place });
        }
        let first = &spline.control_points[0];
        if spline.control_points.iter().any(|p| (p.z - first.z).abs() > FLAT) {
            return Err(self.leaves(what, map.of(flat(first))));
        }
        let degree = usize::try_from(spline.degree_of_curve).unwrap_or(0);
        let corners = spline.control_points.iter().map(|p| map.of(flat(p))).collect();
        let nurbs = Nurbs::new(degree, corners, &spline.weight_values, &spline.knot_values).ok_or(
            SurveyError::UnknownEntity { what: "a SPLINE with wrong knots".to_owned(), place: Some(flat(first)) },
        )?;
        let points = nurbs.points(&self.pieces);
        self.pieces.add(what, points)
    }

    fn insert(&mut self, insert: &Insert, map: &AffineMap, depth: usize) -> Result<(), SurveyError> {
        self.inserts += 1;
        if self.inserts > MOST_INSERTS || depth >= DEEPEST {
            return Err(SurveyError::TooMany {
                format: FORMAT,
                most: MOST_INSERTS,
                what: "blocks, or 8 in each other",
            });
        }
        let place = flat(&insert.location);
        if insert.row_count > 1 || insert.column_count > 1 {
            return Err(SurveyError::UnknownEntity {
                what: "an INSERT with rows or columns".to_owned(),
                place: Some(place),
            });
        }
        let file = self.file;
        let Some(block) = file.blocks().find(|b| b.name == insert.name) else {
            return Err(SurveyError::UnknownEntity {
                what: "an INSERT of no known block".to_owned(),
                place: Some(place),
            });
        };
        let map = self.facing(&insert.extrusion_direction, "an INSERT", place, map)?;
        let turn = insert.rotation.to_radians();
        let (x, y) =
            (Point::unit(turn) * insert.x_scale_factor, Point::unit(turn).turned_left() * insert.y_scale_factor);
        let placed = AffineMap { x, y, shift: place };
        let base = flat(&block.base_point);
        let inner = map.after(&placed).after(&AffineMap { shift: -base, ..AffineMap::NONE });
        for entity in &block.entities {
            self.entity(entity, &inner, depth + 1)?;
        }
        Ok(())
    }
}

fn flat(p: &dxf::Point) -> Point {
    Point::new(p.x, p.y)
}

/// An angle of travel from 0, not included, to a full turn.
fn positive(sweep: f64) -> f64 {
    let turn = sweep.rem_euclid(TAU);
    if turn > 1e-12 { turn } else { TAU }
}
