//! Stretch that undercuts ask of the rubber: of a straight pull, and of a pull across, mouth first.

use gripwright_section::{Curve, Outline, Point, Role};
use gripwright_solid::{
    Brep, EdgeUse, Mesh, Point3,
    vector::{self, along, cross, dot, sub},
};

use crate::vector::unit;

use super::{
    face_draft::{FaceDraft, FaceGroup, heights_mm, plane_normal},
    mesh_rays::MeshRays,
    mould_half::MouldHalf,
    round_face::RoundFace,
};

/// Share of its elongation at break that a silicone may be stretched by at each demoulding (common practice, no source).
pub const STRETCH_SHARE: f64 = 1.0 / 3.0;
/// Distance from the surface at which a ray starts, and greatest error of the mesh that it allows for, mm.
const CLEAR_MM: f64 = 0.05;
/// The thickness of the part is measured this share of a face's height from its ends.
const END_SHARE: f64 = 2e-3;
/// Levels at which the width of a mouth is measured.
const MOUTH_LEVELS: u32 = 400;

/// Stretch of the rubber that grips round an undercut face, in a straight pull.
///
/// The opening in the rubber is as wide as the part where the undercut ends (narrow) and must let it pass where it begins
/// (wide). Rubber shears and rolls aside as well, so this is an upper bound.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct UndercutStretch {
    /// Index of the face in its boundary.
    pub face: usize,
    /// Class of the face.
    pub group: FaceGroup,
    /// Depth of the undercut, mm.
    pub depth_mm: f64,
    /// Thickness of the part below the undercut, across it, mm.
    pub wide_mm: f64,
    /// Thickness of the part above it, mm; zero if nothing of the part stands there.
    pub narrow_mm: f64,
    /// Stretch of the opening: (wide − narrow) / narrow, infinite if nothing of the part stands above.
    pub stretch: f64,
    /// Point of the face, mm.
    pub at_mm: Point3,
}

/// Stretch at every undercut face of a part that leaves `half`, the greatest first. `mesh` is the part's own.
pub fn undercut_stretches(part: &Brep, mesh: &Mesh, half: &MouldHalf, drafts: &[FaceDraft]) -> Vec<UndercutStretch> {
    let rays = MeshRays::new(&[mesh]);
    let range_mm = part.bounds().map_or(0.0, |bounds| vector::length(bounds.size_mm()));
    let of_face = |draft: &FaceDraft| {
        let probe = Probe::new(part, half, draft)?;
        let thickness = |from: Point3, first_mm: f64| {
            let hits = rays.hits(along(from, probe.outward, CLEAR_MM), probe.outward.map(|x| -x), range_mm);
            let enter = hits.iter().find(|hit| dot(hit.normal, probe.outward) > 0.0)?.distance_mm;
            let leave = hits.iter().find(|hit| hit.distance_mm > enter && dot(hit.normal, probe.outward) < 0.0)?;
            (enter <= first_mm + 4.0 * CLEAR_MM).then_some(leave.distance_mm - enter)
        };
        let wide = thickness(probe.wide, 0.0).unwrap_or(draft.undercut_mm);
        // Above a flat ledge, the part begins somewhere on the ledge.
        let narrow_mm = thickness(probe.narrow, if probe.is_ledge { wide } else { 0.0 }).unwrap_or(0.0);
        let wide_mm = wide.max(narrow_mm + draft.undercut_mm.min(wide));
        let stretch = if narrow_mm > 0.0 { wide_mm / narrow_mm - 1.0 } else { f64::INFINITY };
        let FaceDraft { face, group, undercut_mm: depth_mm, .. } = *draft;
        Some(UndercutStretch { face, group, depth_mm, wide_mm, narrow_mm, stretch, at_mm: probe.wide })
    };
    let mut found: Vec<UndercutStretch> =
        drafts.iter().filter(|draft| draft.undercut_mm > 0.0).filter_map(of_face).collect();
    found.sort_by(|a, b| b.stretch.total_cmp(&a.stretch));
    found
}

/// Where the thickness of a part is measured above and below an undercut face.
struct Probe {
    narrow: Point3,
    wide: Point3,
    /// Unit direction square to the pull, out of the part.
    outward: Point3,
    is_ledge: bool,
}

impl Probe {
    fn new(part: &Brep, half: &MouldHalf, draft: &FaceDraft) -> Option<Self> {
        let face = &part.faces[draft.face];
        if let Some(round) = RoundFace::new(part, face) {
            return Self::on_round_face(&round, half);
        }
        let normal = plane_normal(face);
        let level = along(normal, half.pull, -dot(normal, half.pull));
        let midpoint = |usage: &EdgeUse| part.edge_point(&part.edges[usage.edge], 0.5);
        if vector::length(level) < 1e-6 {
            let length = |usage: &&EdgeUse| {
                vector::length(sub(
                    part.vertices[part.edges[usage.edge].to],
                    part.vertices[part.edges[usage.edge].from],
                ))
            };
            let longest = face.loops.first()?.iter().max_by(|a, b| length(a).total_cmp(&length(b)))?;
            let (edge, middle) = (&part.edges[longest.edge], midpoint(longest));
            let tangent = sub(part.edge_point(edge, 0.51), part.edge_point(edge, 0.49));
            // Loops keep the face on their left, seen from outside.
            let left = cross(normal, if longest.forward { tangent } else { tangent.map(|x| -x) });
            let outward = unit(left.map(|x| -x));
            let [narrow, wide] = [CLEAR_MM, -CLEAR_MM].map(|up| along(middle, half.pull, up));
            return Some(Self { narrow, wide, outward, is_ledge: true });
        }
        let outward = unit(level);
        let height = |usage: &&EdgeUse| half.height_mm(midpoint(usage));
        let top = midpoint(face.loops.first()?.iter().max_by(|a, b| height(a).total_cmp(&height(b)))?);
        let [low, high] = heights_mm(part, face, half.pull);
        // Down the face from its upper edge, a little short of both ends.
        let slope = dot(normal, half.pull).asin().tan();
        let down = |mm: f64| along(along(top, half.pull, -mm), outward, mm * slope);
        let fall = high.min(half.parting_mm) - low;
        Some(Self { narrow: down(END_SHARE * fall), wide: down((1.0 - END_SHARE) * fall), outward, is_ledge: false })
    }

    fn on_round_face(round: &RoundFace, half: &MouldHalf) -> Option<Self> {
        let angles = round.divided(half.pull, half.parting_mm, 8);
        let middles = angles.windows(2).map(|pair| 0.5 * (pair[0] + pair[1]));
        let (mut narrow_at, mut highest) = (None, f64::NEG_INFINITY);
        let (mut wide_at, mut lowest) = (None, f64::INFINITY);
        let height = |p: Point3| half.height_mm(p);
        for angle in middles.filter(|angle| dot(round.normal(*angle), half.pull) > 0.0) {
            let [a, b] = round.line(angle).map(height);
            // The first of equals, so that both ends are measured on one line where all lines are alike.
            if half.reaches(a.max(b)) && a.max(b) > highest + CLEAR_MM {
                (narrow_at, highest) = (Some(angle), a.max(b));
            }
            if a.min(b) < lowest - CLEAR_MM {
                (wide_at, lowest) = (Some(angle), a.min(b));
            }
        }
        let wide_at = wide_at?;
        let narrow_at = narrow_at.unwrap_or(wide_at);
        let end = |angle: f64, upper: bool| {
            let [a, b] = round.line(angle);
            let (low, high) = if height(a) < height(b) { (a, b) } else { (b, a) };
            let share = if upper { 1.0 - END_SHARE } else { END_SHARE };
            along(low, sub(high, low), share)
        };
        let normal = round.normal(wide_at);
        let outward = unit(along(normal, half.pull, -dot(normal, half.pull)));
        Some(Self { narrow: end(narrow_at, true), wide: end(wide_at, false), outward, is_ledge: false })
    }
}

/// Widths of the opening of a clip or mount, in its own drawing, mouth toward +y: what a core of rubber must pass in a pull
/// across, mouth first.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct MouthWidths {
    /// Greatest width of the seat, mm.
    pub wide_mm: f64,
    /// Least width between the lips above it, mm.
    pub narrow_mm: f64,
}

impl MouthWidths {
    /// Widths between the gripping segments (seat and lips) on either side of the y axis; `None` if an outline has none.
    /// Measured at 400 levels, so that a round seat or lip is off by less than 1e-4 of its radius.
    pub fn of_outline(outline: &Outline) -> Option<Self> {
        let grips: Vec<Curve> = outline.segments().iter().filter(|s| s.role.grips()).map(|s| s.curve).collect();
        let ends = || {
            outline.segments().iter().filter(|s| s.role == Role::Lip).flat_map(|s| [s.curve.at(0.0), s.curve.at(1.0)])
        };
        let low = grips.iter().map(|curve| curve.bounds().min.y).reduce(f64::min)?;
        let high = ends().map(|p| p.y).reduce(f64::max)?;
        let level = |i: u32| low + (high - low) * (f64::from(i) + 0.5) / f64::from(MOUTH_LEVELS);
        let widths: Vec<f64> = (0..MOUTH_LEVELS).filter_map(|i| width_at(&grips, level(i))).collect();
        // The mouth is the narrowest place above the seat; below it the seat closes toward its floor.
        let (mut best, mut widest) = (None::<Self>, 0.0_f64);
        for width in widths {
            widest = widest.max(width);
            let ratio = widest / width;
            if best.is_none_or(|b| ratio > b.wide_mm / b.narrow_mm) {
                best = Some(Self { wide_mm: widest, narrow_mm: width });
            }
        }
        best
    }

    /// Stretch in a pull across: (wide − narrow) / narrow. Either the mouth of the part opens by it, or the core of rubber
    /// yields.
    pub fn stretch(&self) -> f64 {
        self.wide_mm / self.narrow_mm - 1.0
    }
}

/// Width between the nearest curves on either side of the y axis at a height.
fn width_at(curves: &[Curve], y: f64) -> Option<f64> {
    let (mut left, mut right) = (f64::NEG_INFINITY, f64::INFINITY);
    for x in curves.iter().flat_map(|curve| crossings(curve, y)).flatten() {
        if x > 0.0 {
            right = right.min(x);
        } else {
            left = left.max(x);
        }
    }
    let width = right - left;
    width.is_finite().then_some(width)
}

/// Where a curve crosses a height.
fn crossings(curve: &Curve, y: f64) -> [Option<f64>; 2] {
    match *curve {
        Curve::Line { start, end } => {
            let share = (y - start.y) / (end.y - start.y);
            [(0.0..=1.0).contains(&share).then_some(start.x + share * (end.x - start.x)), None]
        }
        Curve::Arc { centre, radius, .. } => {
            let reach = radius * radius - (y - centre.y).powi(2);
            let half = if reach >= 0.0 { reach.sqrt() } else { return [None, None] };
            [half, -half].map(|x| {
                let place = Point::new(centre.x + x, y);
                (curve.nearest(place).point.distance(place) < 1e-9 * radius).then_some(place.x)
            })
        }
    }
}

#[cfg(test)]
mod tests {
    use gripwright_section::{ClipBack, RoundClip, rounded_rectangle};
    use gripwright_solid::{PrismSpec, prism, triangulate};

    use super::*;
    use crate::release::{face_draft::face_drafts, turned_part::turned};

    fn stretches(part: &Brep, pull: Point3) -> Vec<UndercutStretch> {
        let half = MouldHalf::through_end(part, pull);
        let drafts = face_drafts(part, &half, &|_| false).unwrap();
        undercut_stretches(part, &triangulate(part, 0.005).unwrap(), &half, &drafts)
    }

    const UP: Point3 = [0.0, 0.0, 1.0];

    #[test]
    fn drafted_and_straight_parts_stretch_nothing() {
        let plain = prism("block", &PrismSpec::plain(rounded_rectangle(30.0, 20.0, 4.0).unwrap(), 6.0)).unwrap();
        assert!(stretches(plain.brep(), UP).is_empty());
        assert!(stretches(&turned(&[[5.0, 0.0], [8.0, 30.0]]), UP).is_empty());
    }

    /// A flange of 18 mm below a shaft of 12 mm widens the opening by half.
    #[test]
    fn a_flange_widens_the_opening_to_its_diameter() {
        let found = stretches(&turned(&[[9.0, 0.0], [9.0, 4.0], [6.0, 4.0], [6.0, 12.0]]), UP);
        let [ledge] = found.as_slice() else { panic!("{found:?}") };
        assert!((ledge.stretch - 0.5).abs() < 2e-3, "{ledge:?}");
        let cone = stretches(&turned(&[[9.0, 0.0], [6.0, 12.0]]), UP);
        assert_eq!(cone.len(), 2);
        assert!(cone.iter().all(|c| (c.stretch - 0.5).abs() < 3e-3), "{cone:?}");
    }

    #[test]
    fn chamfers_at_the_parting_end_narrow_the_opening_by_both_legs() {
        let spec = PrismSpec { chamfer_mm: 0.4, ..PrismSpec::plain(rounded_rectangle(30.0, 20.0, 4.0).unwrap(), 6.0) };
        let found = stretches(prism("block", &spec).unwrap().brep(), UP);
        assert_eq!(found.len(), 8);
        let worst = &found[0];
        assert!((worst.stretch - (20.0 / 19.2 - 1.0)).abs() < 3e-3, "{worst:?}");
        assert!(found.iter().all(|f| f.stretch > 0.02 && f.depth_mm < 0.4 + 1e-9));
    }

    /// Nothing of the part stands above an end that does not reach the parting plane.
    #[test]
    fn a_short_end_over_rubber_has_no_opening() {
        let part = turned(&[[5.0, 0.0], [5.0, 10.0]]);
        let half = MouldHalf { parting_mm: 14.0, ..MouldHalf::through_end(&part, UP) };
        let drafts = face_drafts(&part, &half, &|_| false).unwrap();
        let found = undercut_stretches(&part, &triangulate(&part, 0.005).unwrap(), &half, &drafts);
        let [end] = found.as_slice() else { panic!("{found:?}") };
        assert!(end.stretch.is_infinite() && (end.wide_mm - 10.0).abs() < 0.02, "{end:?}");
    }

    /// A seat of 16 mm that embraces 200°: the round lips of 1 mm radius stand about circles 9 mm from the axis.
    #[test]
    fn a_mouth_is_narrower_than_its_seat() {
        let half_wrap_rad = 100.0_f64.to_radians();
        let clip = RoundClip {
            seat_radius_mm: 8.0,
            root_wall_mm: 2.0,
            lip_wall_mm: 2.0,
            half_wrap_rad,
            lead_in: None,
            back: ClipBack::Pad { half_width_mm: 4.0, depth_mm: 1.0, fillet_mm: 1.0 },
        };
        let mouth = MouthWidths::of_outline(&clip.outline().unwrap()).unwrap();
        assert!((mouth.wide_mm - 16.0).abs() < 2e-3, "{mouth:?}");
        let narrow_mm = 2.0 * (9.0 * half_wrap_rad.sin() - 1.0);
        assert!((mouth.narrow_mm - narrow_mm).abs() < 2e-3, "{mouth:?}");
        assert!((mouth.stretch() - (16.0 / narrow_mm - 1.0)).abs() < 3e-4);
    }
}
