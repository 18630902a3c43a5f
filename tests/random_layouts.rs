//! Random layouts: pitched, with several clips, with a stop, on tapering bodies, with windows, with draft. Every holder
//! must be closed and valid, and every refusal must say what to change. The example of the same name makes any number.

use gripwright_input::{MaterialLibrary, read_spec};
use gripwright_sizing::{ProblemKind, WebPlan, size};
use gripwright_tests::{random_layout, random_sweep};

/// Number of layouts that must be made.
const MADE: usize = 60;
/// Number of seeds that may be tried.
const TRIED: u64 = 240;

#[test]
fn random_layouts_are_valid() {
    let materials = MaterialLibrary::built_in();
    let (mut made, mut pitched, mut several, mut drafted, mut tapered, mut uneven, mut windowed) =
        (0, 0, 0, 0, 0, 0, 0);
    for seed in 0..TRIED {
        let text = random_layout(seed);
        // The spec's own checks refuse overlapping stations and a stop among stations.
        let Ok(loaded) = read_spec(&text, "layout.toml", &materials) else { continue };
        let spec = &loaded.spec;
        let design = match size(spec) {
            Ok(design) => design,
            Err(problems) => {
                let without_advice =
                    problems.iter().find(|p| p.kind == ProblemKind::BadSpec && p.allowed.is_none() && p.hint.is_none());
                assert!(without_advice.is_none(), "seed {seed}: {without_advice:?}\n{text}");
                continue;
            }
        };
        gripwright::solids::holders(&design, spec.printer.least_wall_mm)
            .unwrap_or_else(|e| panic!("seed {seed}: {e}\n{text}"));
        made += 1;
        pitched += usize::from(spec.layout.pitch_rad != 0.0);
        several += usize::from(spec.layout.stations_mm.len() > 1);
        drafted += usize::from(spec.finish.draft_rad > 0.0);
        tapered += usize::from(!design.mount.taper.is_none());
        uneven += usize::from(design.mount.uneven.is_some());
        windowed += usize::from(design.holders.iter().any(|h| !h.windows.is_empty()));
        if made == MADE {
            break;
        }
    }
    assert_eq!(made, MADE);
    assert!(pitched >= 15 && several >= 20 && drafted >= 5, "{pitched} pitched, {several} several, {drafted} drafted");
    assert!(tapered >= 5 && windowed >= 5, "{tapered} tapered, {windowed} windowed");
    assert!(uneven >= 3, "{uneven} of them unevenly");
}

/// Beside a pocket and between each other, windows leave 1.5 times the least wall.
#[test]
fn windows_beside_pockets_leave_walls() {
    let materials = MaterialLibrary::built_in();
    let mut seen = 0;
    for seed in (2..74).step_by(3) {
        let spec = read_spec(&random_sweep(seed), "sweep.toml", &materials).expect("a valid spec").spec;
        let Ok(design) = size(&spec) else { continue };
        let holder = &design.holders[0];
        let WebPlan::Side(web) = &holder.web_plan else { continue };
        if holder.windows.is_empty() || !holder.keep_outs[0].relieved {
            continue;
        }
        seen += 1;
        let least = 1.5 * spec.printer.least_wall_mm;
        for (index, window) in holder.windows.iter().enumerate() {
            let others = holder.windows.iter().enumerate().filter(|(i, _)| *i != index).map(|(_, other)| other);
            for neighbour in others.chain([web]) {
                let places = neighbour.segments().iter().flat_map(|s| (0..32).map(|i| s.curve.at(f64::from(i) / 32.0)));
                let wall = places.map(|p| window.nearest(p).distance_mm).fold(f64::INFINITY, f64::min);
                assert!(wall > least, "seed {seed}: {wall} mm are left");
            }
        }
    }
    assert!(seen >= 10, "{seen} webs have both");
}
