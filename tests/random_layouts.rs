//! Random layouts that a design meets: pitched, with several clips, with a stop, on tapering bodies, with windows or with
//! draft; every holder closed and valid, and every refusal one that names what works. The example of the same name makes
//! as many as one likes.

use gripwright_design::{ProblemKind, size};
use gripwright_spec::{MaterialLibrary, read};
use gripwright_tests::random_layout;

/// Layouts that must be made.
const MADE: usize = 60;
/// Seeds that may be tried.
const TRIED: u64 = 240;

#[test]
fn random_layouts_are_valid() {
    let materials = MaterialLibrary::built_in();
    let (mut made, mut pitched, mut several, mut drafted, mut tapered, mut windowed) = (0, 0, 0, 0, 0, 0);
    for seed in 0..TRIED {
        let text = random_layout(seed);
        // Some stations overlap or have a stop among them; the spec's own checks say so.
        let Ok(loaded) = read(&text, "layout.toml", &materials) else { continue };
        let spec = &loaded.spec;
        let design = match size(spec) {
            Ok(design) => design,
            Err(problems) => {
                let lost =
                    problems.iter().find(|p| p.kind == ProblemKind::BadSpec && p.allowed.is_none() && p.hint.is_none());
                assert!(lost.is_none(), "seed {seed}: {lost:?}\n{text}");
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
        windowed += usize::from(design.holders.iter().any(|h| !h.windows.is_empty()));
        if made == MADE {
            break;
        }
    }
    assert_eq!(made, MADE);
    assert!(pitched >= 15 && several >= 20 && drafted >= 5, "{pitched} pitched, {several} several, {drafted} drafted");
    assert!(tapered >= 5 && windowed >= 5, "{tapered} tapered, {windowed} windowed");
}
