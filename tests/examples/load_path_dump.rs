//! Prints random clips under a force and a moment, as JSON for `tests/outside/check_load_path.py`.
//!
//! ```text
//! cargo run --release -p gripwright-tests --example load_path_dump -- [COUNT]
//! ```

use std::{env, error::Error, f64::consts::PI, fmt::Write as _, io::Write as _};

use gripwright_mechanics::{
    CoulombFriction, ForceTravel, HoldingLoad, MeshedClip, PlaneStiffness, RigidDisplacement, RigidSection,
    SolverSettings, TiltingClip, displace_from_rest,
};

/// Numbers between bounds from a quasi-random sequence: multiples of square roots of primes.
struct Sequence(f64);

impl Sequence {
    fn between(&self, index: f64, least: f64, greatest: f64) -> f64 {
        least + (greatest - least) * ((self.0 + 1.0) * index.sqrt()).fract()
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    let count: u32 = env::args().nth(1).and_then(|a| a.parse().ok()).unwrap_or(200);
    let mut text = "{\"cases\":[".to_owned();
    let mut written = 0;
    for number in 0.. {
        if written == count {
            break;
        }
        let from = Sequence(f64::from(number));
        let seat_mm = from.between(2.0, 4.0, 14.0);
        let wall_mm = seat_mm * from.between(3.0, 0.12, 0.3);
        let half_wrap_rad = from.between(5.0, 105.0, 130.0).to_radians();
        let Ok(clip) = MeshedClip::round(seat_mm, wall_mm, half_wrap_rad, 0.1 * PI) else { continue };
        let barrel = RigidSection::round(seat_mm * from.between(7.0, 0.99, 1.08));
        let friction = CoulombFriction { coefficient: from.between(11.0, 0.1, 0.45) };
        let plastic = PlaneStiffness::plane_strain(2000.0, 0.38);
        let displaced = |out_mm: f64| {
            let by = RigidDisplacement { out_mm, ..RigidDisplacement::default() };
            displace_from_rest(&clip, &barrel, friction, plastic, &SolverSettings::FAST, &by)
        };
        let (out_mm, in_mm) = (1.5 * seat_mm, 0.1 * seat_mm);
        let (out, inward) = (displaced(out_mm), displaced(-in_mm));
        let Some(travel) = ForceTravel::of_displacements(&out, out_mm, &inward, in_mm) else { continue };
        text.push_str(if written == 0 { "" } else { "," });
        push_case(&mut text, &from, &travel, &[(&out, out_mm), (&inward, -in_mm)])?;
        written += 1;
    }
    text.push_str("]}");
    writeln!(std::io::stdout(), "{text}")?;
    Ok(())
}

fn push_case(
    text: &mut String,
    from: &Sequence,
    travel: &ForceTravel,
    ways: &[(&Vec<HoldingLoad>, f64)],
) -> Result<(), Box<dyn Error>> {
    let clip = TiltingClip { length_mm: from.between(13.0, 5.0, 40.0), travel };
    // From a press inward to a pull, with less or more moment.
    let force_n = from.between(17.0, -1.0, 3.0);
    let moment_nmm = clip.length_mm * from.between(19.0, -1.5, 1.5);
    let points: Vec<[f64; 2]> = ways
        .iter()
        .flat_map(|(loads, way_mm)| loads.iter().map(move |load| [load.share * way_mm, load.out_n_per_mm]))
        .collect();
    let finite = |factor: f64| if factor.is_finite() { format!("{factor}") } else { "null".to_owned() };
    write!(
        text,
        "{{\"length_mm\":{},\"force_n\":{force_n},\"moment_nmm\":{moment_nmm},\"points\":{points:?},\"peels\":{},\
         \"lets_go\":{}}}",
        clip.length_mm,
        finite(clip.peeling_factor(force_n, moment_nmm)),
        finite(clip.letting_go_factor(force_n, moment_nmm)),
    )?;
    Ok(())
}
