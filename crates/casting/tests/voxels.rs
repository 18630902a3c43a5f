//! Trapped air and vents against a flood in small cubes: another algorithm, which knows neither surfaces nor integrals.
#![expect(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

mod voxel_flood;

use gripwright_casting::{Attitude, DEFAULT_TILT_RAD, Opening, SurfacePoint};
use gripwright_section::{
    ClipBack, Curve, LeadIn, Mount, Outline, Point, Role, RoundClip, Segment, VeeClip, circle, rounded_rectangle,
};
use gripwright_solid::{Cap, Mesh, Pocket, PrismSpec, prism, triangulate};
use voxel_flood::VoxelCavity;

const Y: [f64; 3] = [0.0, 1.0, 0.0];
const Z: [f64; 3] = [0.0, 0.0, 1.0];

/// Random generator `SplitMix64` (Steele, Lea and Flood, "Fast splittable pseudorandom number generators", 2014).
struct SplitMix64(u64);

impl SplitMix64 {
    /// Uniform between 0 and 1.
    fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Whole number below a limit.
    #[expect(clippy::cast_sign_loss, clippy::cast_possible_truncation, reason = "the number is small and not negative")]
    fn below(&mut self, limit: usize) -> usize {
        ((self.unit() * limit as f64) as usize).min(limit - 1)
    }
}

fn polygon(points: &[[f64; 2]]) -> Outline {
    let point = |i: usize| Point::new(points[i % points.len()][0], points[i % points.len()][1]);
    let side = |i| Segment::new(Curve::line(point(i), point(i + 1)), Role::Body);
    Outline::new((0..points.len()).map(side).collect()).unwrap()
}

fn mesh_of(spec: &PrismSpec) -> Mesh {
    triangulate(prism("cavity", spec).unwrap().brep(), 0.01).unwrap()
}

/// Plate whose upper side has three to six levels.
fn levels(random: &mut SplitMix64) -> Mesh {
    let count = 3 + random.below(4);
    let widths: Vec<f64> = (0..count).map(|_| 4.0 + 6.0 * random.unit()).collect();
    let mut points = vec![[0.0, 0.0], [widths.iter().sum(), 0.0]];
    let mut right: f64 = widths.iter().sum();
    for width in widths {
        let height = 5.0 + 12.0 * random.unit();
        points.extend([[right, height], [right - width, height]]);
        right -= width;
    }
    // The last point lies above the first.
    points.last_mut().unwrap()[0] = 0.0;
    mesh_of(&PrismSpec::plain(polygon(&points), 4.0 + 3.0 * random.unit()))
}

/// Block with a blind bore; upside down, an inverted cup.
fn bored(random: &mut SplitMix64) -> Mesh {
    let outline = rounded_rectangle(18.0 + 6.0 * random.unit(), 16.0, 3.0).unwrap();
    let bore = circle(7.0 + 4.0 * random.unit()).unwrap();
    let pockets = vec![Pocket { outlines: vec![bore], depth_mm: 6.0 + 5.0 * random.unit(), cap: Cap::Lower }];
    mesh_of(&PrismSpec { pockets, ..PrismSpec::plain(outline, 7.0) })
}

fn clip_outline(random: &mut SplitMix64, kind: usize) -> Option<Outline> {
    let mut between = |low: f64, high: f64| low + (high - low) * random.unit();
    let root_wall_mm = between(2.0, 3.5);
    let lip_wall_mm = root_wall_mm * between(0.7, 1.0);
    let half_wrap_rad = between(1.8, 2.3);
    let lead_in =
        (between(0.0, 1.0) < 0.5).then(|| LeadIn { radius_mm: between(4.0, 6.0), angle_rad: between(0.2, 0.6) });
    let back = ClipBack::Pad { half_width_mm: 3.0, depth_mm: 2.0, fillet_mm: 1.5 };
    match kind % 3 {
        0 => {
            let seat_radius_mm = between(6.0, 13.0);
            RoundClip { seat_radius_mm, root_wall_mm, lip_wall_mm, half_wrap_rad, lead_in, back }.outline().ok()
        }
        1 => {
            let axis_mm = between(9.0, 14.0);
            let clip = VeeClip {
                angle_rad: between(1.4, 1.9),
                axis_mm,
                root_radius_mm: 2.0,
                flat_mm: axis_mm * between(0.8, 1.1),
                closing_radius_mm: between(7.0, 10.0),
                half_wrap_rad,
                root_wall_mm,
                lip_wall_mm,
                lead_in,
                back,
            };
            clip.outline().ok()
        }
        _ => {
            let body = rounded_rectangle(between(18.0, 28.0), between(14.0, 20.0), between(3.0, 6.0)).ok()?;
            Mount { body, gap_mm: 0.1, wall_mm: root_wall_mm, half_wrap_rad: 1.9, lead_in, back }.outline().ok()
        }
    }
}

/// One to three openings in the middle of random triangles.
fn random_openings(mesh: &Mesh, random: &mut SplitMix64) -> Vec<Opening> {
    let count = 1 + random.below(3);
    let middle = |t: [u32; 3]| [0, 1, 2].map(|i| t.iter().map(|v| mesh.vertices[*v as usize][i]).sum::<f64>() / 3.0);
    (0..count)
        .map(|_| Opening { at_mm: middle(mesh.triangles[random.below(mesh.triangles.len())]), radius_mm: 1.2 })
        .collect()
}

/// Directions against gravity in which a part is tried: level, tilted and lying.
fn attitudes() -> [[f64; 3]; 4] {
    let tilted = Attitude::candidates(Z, DEFAULT_TILT_RAD, 8)[3].up;
    [Z, tilted, Y, [0.52, -0.61, 0.6]]
}

#[test]
fn pockets_are_those_of_a_flood_in_cubes() {
    let mut random = SplitMix64(0xa1b);
    let mut parts: Vec<(String, Mesh)> = Vec::new();
    for k in 0..3 {
        parts.push((format!("levels {k}"), levels(&mut random)));
        parts.push((format!("bored {k}"), bored(&mut random)));
    }
    for k in 0..9 {
        let outline = std::iter::repeat_with(|| clip_outline(&mut random, k)).take(50).flatten().next();
        let spec = PrismSpec::plain(outline.unwrap(), 5.0 + 4.0 * random.unit());
        parts.push((format!("clip {k}"), mesh_of(&spec)));
    }
    let (mut shapes, mut pockets) = (0, 0);
    for (name, part) in &parts {
        let cavity = VoxelCavity::new(part);
        for up in attitudes() {
            let openings = random_openings(part, &mut random);
            pockets += cavity.compare(&format!("{name} {up:?}"), up, &openings);
            shapes += 1;
        }
    }
    assert!(shapes >= 60 && pockets >= 50, "{pockets} pockets of {shapes} shapes");
}

/// Clips are poured with one end up and vents on this end alone, or lying with vents everywhere but on the seat.
#[test]
fn proposed_vents_leave_no_pocket() {
    let mut random = SplitMix64(0x5e47);
    let [upright, lying] = [Z, Y].map(|up| Attitude::candidates(up, DEFAULT_TILT_RAD, 8));
    for k in 0..3 {
        for (kind, mesh) in [("levels", levels(&mut random)), ("bored", bored(&mut random))] {
            let cavity = VoxelCavity::new(&mesh);
            cavity.assert_vented(&format!("{kind} {k}"), &upright, &|_| true);
            cavity.assert_vented(&format!("{kind} {k}, lying"), &lying, &|_| true);
        }
    }
    for k in 0..6 {
        let outline = std::iter::repeat_with(|| clip_outline(&mut random, k)).take(50).flatten().next().unwrap();
        let seat: Vec<Curve> = outline.segments().iter().filter(|s| s.role.grips()).map(|s| s.curve).collect();
        let mesh = mesh_of(&PrismSpec::plain(outline, 6.0 + 4.0 * random.unit()));
        let cavity = VoxelCavity::new(&mesh);
        cavity.assert_vented(&format!("clip {k}"), &upright, &|p: &SurfacePoint| p.normal[2] > 0.9);
        let is_free = |p: &SurfacePoint| {
            let at = Point::new(p.at_mm[0], p.at_mm[1]);
            seat.iter().all(|curve| curve.nearest(at).point.distance(at) > 0.5)
        };
        cavity.assert_vented(&format!("clip {k}, lying"), &lying, &is_free);
    }
}
