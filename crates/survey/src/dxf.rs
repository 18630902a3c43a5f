//! Outlines from DXF drawings.

use std::f64::consts::TAU;

use dxf::{
    Drawing as DxfFile, Vector,
    entities::{Ellipse, Entity, EntityType, Insert, LwPolyline, Polyline, Spline},
};
use gripwright_section::Point;

use crate::{
    affine_map::AffineMap,
    drawing::{DrawingOptions, check_unit},
    error::SurveyError,
    nurbs::Nurbs,
    polylines::{CircleArc, EllipseArc, Polylines, arc_from_bulge},
    read_limits::{DEEPEST_INSERT, MOST_INSERTS, MOST_PLACED_ENTITIES},
    reduced_dxf::reduce_dxf,
    surveyed_outline::SurveyedOutline,
};

const FORMAT: &str = "DXF";
/// Greatest difference of the heights of one line, in units of the drawing, that still counts as plane.
const FLAT: f64 = 1e-6;

/// Returns the outline of the body in an ASCII DXF.
///
/// It reads lines, arcs, circles, ellipses, polylines with bulges, splines, and blocks of them. Texts, points and
/// dimensions are ignored; any other entity is an error.
pub fn outline_from_dxf(bytes: &[u8], drawing: &DrawingOptions) -> Result<SurveyedOutline, SurveyError> {
    let reduced = reduce_dxf(bytes)?;
    check_unit(reduced.unit_mm, drawing)?;
    let file = DxfFile::load(&mut reduced.text.as_bytes())
        .map_err(|error| SurveyError::Unreadable { format: FORMAT, reason: error.to_string() })?;
    let mm = drawing.mm();
    let map = AffineMap { x: Point::new(mm, 0.0), y: Point::new(0.0, mm), shift: Point::ORIGIN };
    let mut reader =
        EntityReader { file: &file, polylines: drawing.new_polylines(FORMAT), inserts: 0, entities: 0, mm };
    for entity in file.entities() {
        reader.entity(entity, &map, 0)?;
    }
    drawing.outline(reader.polylines, FORMAT, |p| p * mm, |p| p * (1.0 / mm))
}

/// Collects the curves of a drawing's entities as polylines.
struct EntityReader<'a> {
    file: &'a DxfFile,
    polylines: Polylines,
    inserts: usize,
    entities: usize,
    mm: f64,
}

impl EntityReader<'_> {
    fn entity(&mut self, entity: &Entity, map: &AffineMap, depth: usize) -> Result<(), SurveyError> {
        self.entities += 1;
        if self.entities > MOST_PLACED_ENTITIES {
            return Err(SurveyError::TooMany { format: FORMAT, most: MOST_PLACED_ENTITIES, what: "entities" });
        }
        if entity.common.is_in_paper_space {
            return Ok(());
        }
        match &entity.specific {
            EntityType::Line(line) => {
                let (from, to) = (flat(&line.p1), flat(&line.p2));
                if (line.p1.z - line.p2.z).abs() > FLAT {
                    return Err(self.out_of_plane("a LINE", map.apply(from)));
                }
                self.polylines.add("a LINE", vec![map.apply(from), map.apply(to)])
            }
            EntityType::Circle(circle) => {
                let arc = CircleArc { centre: flat(&circle.center), radius: circle.radius, from: 0.0, sweep: TAU };
                self.circle_arc("a CIRCLE", &circle.normal, &arc, map)
            }
            EntityType::Arc(arc) => {
                let (from, sweep) =
                    (arc.start_angle.to_radians(), positive_sweep((arc.end_angle - arc.start_angle).to_radians()));
                let circle = CircleArc { centre: flat(&arc.center), radius: arc.radius, from, sweep };
                self.circle_arc("an ARC", &arc.normal, &circle, map)
            }
            EntityType::Ellipse(ellipse) => self.ellipse(ellipse, map),
            EntityType::LwPolyline(line) => self.light_polyline(line, map),
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

    fn out_of_plane(&self, what: &str, place: Point) -> SurveyError {
        SurveyError::OutOfPlane { what: what.to_owned(), place: Some(place * (1.0 / self.mm)) }
    }

    /// Returns 1 for a normal toward the viewer and −1 for one away from the viewer.
    fn normal_sign(&self, normal: &Vector, what: &str, place: Point, map: &AffineMap) -> Result<f64, SurveyError> {
        let length = normal.x.hypot(normal.y).hypot(normal.z);
        let along = normal.z / length;
        if along.abs() > 1.0 - 1e-9 { Ok(along.signum()) } else { Err(self.out_of_plane(what, map.apply(place))) }
    }

    /// Returns the map of an entity that is drawn in its own coordinates: seen from behind, its x runs the other way.
    fn entity_map(&self, normal: &Vector, what: &str, place: Point, map: &AffineMap) -> Result<AffineMap, SurveyError> {
        let side = self.normal_sign(normal, what, place, map)?;
        Ok(map.after(&AffineMap { x: Point::new(side, 0.0), ..AffineMap::IDENTITY }))
    }

    fn circle_arc(&mut self, what: &str, normal: &Vector, arc: &CircleArc, map: &AffineMap) -> Result<(), SurveyError> {
        let map = self.entity_map(normal, what, arc.centre, map)?;
        let points = self.polylines.ellipse(&EllipseArc::image_of(arc, &map));
        self.polylines.add(what, points)
    }

    fn ellipse(&mut self, ellipse: &Ellipse, map: &AffineMap) -> Result<(), SurveyError> {
        let what = "an ELLIPSE";
        let centre = flat(&ellipse.center);
        // Its axes are in the plane of the drawing already; only the sense of the angle turns with the normal.
        let side = self.normal_sign(&ellipse.normal, what, centre, map)?;
        let major = Point::new(ellipse.major_axis.x, ellipse.major_axis.y);
        if ellipse.major_axis.z.abs() > FLAT {
            return Err(self.out_of_plane(what, map.apply(centre)));
        }
        let minor = major.turned_left() * (ellipse.minor_axis_ratio * side);
        let points = self.polylines.ellipse(&EllipseArc {
            centre: map.apply(centre),
            x: map.apply(major) - map.shift,
            y: map.apply(minor) - map.shift,
            from: ellipse.start_parameter,
            sweep: positive_sweep(ellipse.end_parameter - ellipse.start_parameter),
        });
        self.polylines.add(what, points)
    }

    fn light_polyline(&mut self, line: &LwPolyline, map: &AffineMap) -> Result<(), SurveyError> {
        let vertices: Vec<(Point, f64)> = line.vertices.iter().map(|v| (Point::new(v.x, v.y), v.bulge)).collect();
        let place = vertices.first().map_or(Point::ORIGIN, |v| v.0);
        let map = self.entity_map(&line.extrusion_direction, "an LWPOLYLINE", place, map)?;
        self.add_bulged_polyline("an LWPOLYLINE", &vertices, line.is_closed(), &map)
    }

    fn polyline(&mut self, line: &Polyline, map: &AffineMap) -> Result<(), SurveyError> {
        /// Flags of 3D polylines and meshes.
        const SPATIAL: i32 = 8 | 16 | 64;
        /// Control point of a smoothed polyline, which is not on the line.
        const FRAME: i32 = 16;
        if line.flags & SPATIAL != 0 {
            return Err(self.out_of_plane("a POLYLINE", map.apply(flat(&line.location))));
        }
        let vertices: Vec<(Point, f64)> =
            line.vertices().filter(|v| v.flags & FRAME == 0).map(|v| (flat(&v.location), v.bulge)).collect();
        let place = vertices.first().map_or(Point::ORIGIN, |v| v.0);
        let map = self.entity_map(&line.normal, "a POLYLINE", place, map)?;
        self.add_bulged_polyline("a POLYLINE", &vertices, line.is_closed(), &map)
    }

    fn add_bulged_polyline(
        &mut self,
        what: &str,
        vertices: &[(Point, f64)],
        closed: bool,
        map: &AffineMap,
    ) -> Result<(), SurveyError> {
        let mut points: Vec<Point> = vertices.first().map(|v| map.apply(v.0)).into_iter().collect();
        let next = vertices.iter().skip(1).chain(vertices.first().filter(|_| closed));
        for (&(from, bulge), &(to, _)) in vertices.iter().zip(next) {
            if let Some(arc) = arc_from_bulge(from, to, bulge) {
                let arc = self.polylines.ellipse(&EllipseArc::image_of(&arc, map));
                points.extend(arc.into_iter().skip(1));
                // The vertex is more accurate than the end of the arc.
                points.pop();
            }
            points.push(map.apply(to));
            self.polylines.check_room(points.len())?;
        }
        self.polylines.add(what, points)
    }

    fn spline(&mut self, spline: &Spline, map: &AffineMap) -> Result<(), SurveyError> {
        let what = "a SPLINE";
        if spline.control_points.is_empty() {
            let place = spline.fit_points.first().map(flat);
            return Err(SurveyError::UnknownEntity { what: "a SPLINE without control points".to_owned(), place });
        }
        let first = &spline.control_points[0];
        if spline.control_points.iter().any(|p| (p.z - first.z).abs() > FLAT) {
            return Err(self.out_of_plane(what, map.apply(flat(first))));
        }
        let degree = usize::try_from(spline.degree_of_curve).unwrap_or(0);
        let corners = spline.control_points.iter().map(|p| map.apply(flat(p))).collect();
        let nurbs = Nurbs::new(degree, corners, &spline.weight_values, &spline.knot_values).ok_or(
            SurveyError::UnknownEntity { what: "a SPLINE with wrong knots".to_owned(), place: Some(flat(first)) },
        )?;
        let points = nurbs.points(&self.polylines)?;
        self.polylines.add(what, points)
    }

    fn insert(&mut self, insert: &Insert, map: &AffineMap, depth: usize) -> Result<(), SurveyError> {
        self.inserts += 1;
        if self.inserts > MOST_INSERTS || depth >= DEEPEST_INSERT {
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
        let map = self.entity_map(&insert.extrusion_direction, "an INSERT", place, map)?;
        let turn = insert.rotation.to_radians();
        let (x, y) =
            (Point::unit(turn) * insert.x_scale_factor, Point::unit(turn).turned_left() * insert.y_scale_factor);
        let placed = AffineMap { x, y, shift: place };
        let base = flat(&block.base_point);
        let inner = map.after(&placed).after(&AffineMap { shift: -base, ..AffineMap::IDENTITY });
        for entity in &block.entities {
            self.entity(entity, &inner, depth + 1)?;
        }
        Ok(())
    }
}

fn flat(p: &dxf::Point) -> Point {
    Point::new(p.x, p.y)
}

/// Returns the sweep in (0, full turn].
fn positive_sweep(sweep: f64) -> f64 {
    let turn = sweep.rem_euclid(TAU);
    if turn > 1e-12 { turn } else { TAU }
}
