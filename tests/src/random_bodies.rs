//! Random asymmetric convex bodies as drawings, each with a spec that grips a tool on it; all figures are invented.

use std::f64::consts::TAU;
use std::fmt::Write;

use crate::random_specs::SplitMix64;

/// Name of the drawing in the spec of [`random_body`].
pub const DRAWING: &str = "body.svg";
/// Points of a drawing: on the roundest bodies they are 0.002 mm off the curve between.
const POINTS: usize = 720;

/// Distance of a tangent from the origin by the direction of its normal, and the change of it.
type Support = Box<dyn Fn(f64) -> [f64; 2]>;

/// Spec and drawing of the body of a seed. The body is convex and smooth and has no axis of symmetry; it is the hull of
/// some discs, or a curve whose width varies gently. Every spec passes its own checks; it need not have a design.
pub fn random_body(seed: u64) -> (String, Vec<u8>) {
    let mut random = SplitMix64::new(seed ^ 0xb0_d1e5);
    let mean = random.between(7.0, 18.0);
    let support = if random.below(3) > 0 { discs(&mut random, mean) } else { gentle_curve(&mut random, mean) };
    let points: Vec<[f64; 2]> = (0..POINTS)
        .map(|k| {
            let (sin, cos) = (TAU * k as f64 / POINTS as f64).sin_cos();
            let [far, turn] = support(TAU * k as f64 / POINTS as f64);
            [far * cos - turn * sin, far * sin + turn * cos]
        })
        .collect();
    let middle = [0, 1].map(|axis| {
        let along = points.iter().map(|p| p[axis]);
        0.5 * (along.clone().fold(f64::INFINITY, f64::min) + along.fold(f64::NEG_INFINITY, f64::max))
    });
    (spec(&mut random, seed, mean, middle), svg(&points))
}

/// Hull of three to five discs of unlike radii.
fn discs(random: &mut SplitMix64, mean: f64) -> Support {
    let turn = random.between(0.0, TAU);
    let (count, flat) = (3 + random.below(3), random.between(0.5, 1.0));
    let discs: Vec<[f64; 3]> = (0..count)
        .map(|k| {
            let angle = turn + TAU * (k as f64 + random.between(-0.3, 0.3)) / count as f64;
            let radius = mean * random.between(0.05, 0.45);
            let out = mean * random.between(0.6, 1.5) - radius;
            let (sin, cos) = angle.sin_cos();
            [out * cos, flat * out * sin, radius]
        })
        .collect();
    Box::new(move |angle| {
        let (sin, cos) = angle.sin_cos();
        let tangents = discs.iter().map(|[x, y, r]| [x * cos + y * sin + r, y * cos - x * sin]);
        tangents.fold([f64::NEG_INFINITY, 0.0], |far, tangent| if tangent[0] > far[0] { tangent } else { far })
    })
}

/// A curve whose support is a short Fourier series. A term of order k bends it by k² − 1 times its height: the shares keep
/// the least radius above a sixth of the mean.
fn gentle_curve(random: &mut SplitMix64, mean: f64) -> Support {
    let terms: Vec<[f64; 3]> = [(2.0, 0.45), (3.0, 0.25), (5.0, 0.12)]
        .map(|(order, share)| {
            let height = mean * share * random.between(0.4, 1.0) / (order * order - 1.0);
            [order, height, random.between(0.0, TAU)]
        })
        .to_vec();
    Box::new(move |angle| {
        terms.iter().fold([mean, 0.0], |[far, turn], [order, height, phase]| {
            let (sin, cos) = (order * angle + phase).sin_cos();
            [far + height * cos, turn - order * height * sin]
        })
    })
}

/// The closed line as an SVG in mm, whose y runs down.
fn svg(points: &[[f64; 2]]) -> Vec<u8> {
    let mut path = String::new();
    for (k, [x, y]) in points.iter().enumerate() {
        let _ = write!(path, "{}{x:.5} {:.5}", if k == 0 { "M" } else { " L" }, -y);
    }
    format!("<svg xmlns=\"http://www.w3.org/2000/svg\"><path d=\"{path} Z\"/></svg>").into_bytes()
}

fn spec(random: &mut SplitMix64, seed: u64, mean: f64, middle: [f64; 2]) -> String {
    let opens = ["up", "down", "left", "right"][random.below(4)];
    let mut profile = format!("shape = \"traced\", file = \"{DRAWING}\", unit = \"mm\"");
    // The axis need not lie in the middle of the body.
    if random.below(3) == 0 {
        let [x, y] = middle.map(|at| at + mean * random.between(-0.3, 0.3));
        let _ = write!(profile, ", centre = [{x:.2}, {y:.2}]");
    }
    let length = random.between(14.0, 32.0);
    let least = random.between(6.0, 20.0);
    let offset = 1.4 * mean + 0.5 * least + random.between(7.0, 18.0);
    let push = random.between(60.0, 150.0);
    let material = ["petg", "pa12", "pp", "abs"][random.below(4)];
    let draft = [0.0, 0.0, 0.5, 1.0, 1.5][random.below(5)];
    let gripping = ["straight", "drafted"][random.below(2)];
    let chamfer = [0.0, 0.3, 0.4][random.below(3)];
    format!(
        "[holder]\nname = \"Invented holder {seed}\"\n\n\
         [body]\nprofile = {{ {profile} }}\nspread = 0.03\nmount_length = {length:.1}\nopens = \"{opens}\"\n\n\
         [[tools]]\nname = \"tool\"\ndiameter = {{ min = {least:.2}, max = {:.2} }}\nmass = \"{:.0} g\"\n\
         working_load = {{ along = \"{:.1} N\", across = \"{:.1} N\" }}\n\n\
         [layout]\noffset = {offset:.1}\n\n\
         [fit]\nload_path = \"report\"\nsnap_on = {{ at_most = \"{push:.0} N\" }}\nhold = {{ safety = 1.2 }}\nuses = \"single\"\n\n\
         [material]\nprint = \"{material}\"\n\n\
         [finish]\ndraft = \"{draft} deg\"\ngripping_faces = \"{gripping}\"\nchamfer = {chamfer}\n\n\
         [printer]\nbed = [250.0, 250.0]\nleast_wall = 0.8\n",
        least * (1.0 + random.between(0.0, 0.02)),
        random.between(5.0, 40.0),
        random.between(0.5, 2.0),
        random.between(0.3, 1.5),
    )
}
