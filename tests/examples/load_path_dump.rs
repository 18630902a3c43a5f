//! Prints random clips under a force and a moment, as JSON for `tests/outside/check_load_path.py`.
//!
//! ```text
//! cargo run --release -p gripwright-tests --example load_path_dump -- [COUNT]
//! ```

use std::{env, error::Error, f64::consts::PI, fmt::Write as _, io::Write as _};

use gripwright_mechanics::{
    CoulombFriction, ForceTravel, MeshedClip, PlaneStiffness, RigidSection, SnapRun, SolverSettings, TiltingClip,
    simulate,
};

/// Stiffness of the floor, N/mm per mm of length: an unfilled plastic, round figure, no source.
const FLOOR_N_PER_MM2: f64 = 2000.0;

/// Numbers between bounds from a quasi-random sequence: multiples of square roots of primes.
struct Sequence(f64);

impl Sequence {
    fn between(&self, index: f64, least: f64, greatest: f64) -> f64 {
        least + (greatest - least) * ((self.0 + 1.0) * index.sqrt()).fract()
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    let count: u32 = env::args().nth(1).and_then(|a| a.parse().ok()).unwrap_or(200);
    let mut text = format!("{{\"floor_n_per_mm2\":{FLOOR_N_PER_MM2},\"cases\":[");
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
        let run = simulate(&clip, &barrel, friction, plastic, &SolverSettings::FAST);
        // What hangs below its place in the drawing stands on the floor already.
        let gap_mm = run.seat_axis_mm.max(0.0);
        let Some(travel) = ForceTravel::of_run(&run, gap_mm, FLOOR_N_PER_MM2) else { continue };
        text.push_str(if written == 0 { "" } else { "," });
        push_case(&mut text, &from, &run, &travel, gap_mm)?;
        written += 1;
    }
    text.push_str("]}");
    writeln!(std::io::stdout(), "{text}")?;
    Ok(())
}

fn push_case(
    text: &mut String,
    from: &Sequence,
    run: &SnapRun,
    travel: &ForceTravel,
    gap_mm: f64,
) -> Result<(), Box<dyn Error>> {
    let clip = TiltingClip { length_mm: from.between(13.0, 5.0, 40.0), travel };
    // From a press inward to a pull, with less or more moment.
    let force_n = from.between(17.0, -1.0, 3.0);
    let moment_nmm = clip.length_mm * from.between(19.0, -1.5, 1.5);
    let pull: Vec<[f64; 2]> = run.removal.iter().map(|p| [p.axis_mm, p.force_n_per_mm]).collect();
    let finite = |factor: f64| if factor.is_finite() { format!("{factor}") } else { "null".to_owned() };
    write!(
        text,
        "{{\"length_mm\":{},\"force_n\":{force_n},\"moment_nmm\":{moment_nmm},\"gap_mm\":{gap_mm},\"seat_mm\":{},\
         \"peak\":[{},{}],\"pull\":{pull:?},\"peels\":{},\"lets_go\":{}}}",
        clip.length_mm,
        run.seat_axis_mm,
        run.pull_out.axis_mm,
        run.pull_out.force_n_per_mm,
        finite(clip.peeling_factor(force_n, moment_nmm)),
        finite(clip.letting_go_factor(force_n, moment_nmm)),
    )?;
    Ok(())
}
