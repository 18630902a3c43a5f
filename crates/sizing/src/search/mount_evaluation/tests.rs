use gripwright_input::{MaterialLibrary, read_spec};

use crate::{limits::design_limits::DesignLimits, model::solver_cache::SolverCache, shape::even_taper::Taper};

use super::*;
use crate::model::clip_context::Effort;

/// A body of 22 mm that shrinks by 0.5 mm on each side from the middle of a 20 mm mount to its end is a round bar of 21
/// mm there, and the wall is 0.5 mm thicker: the mount of that bar alone, drawn straight, tells the strain.
#[test]
fn an_even_taper_is_strained_as_at_its_thin_end() {
    let spec = |diameter: f64, far: f64| {
        let text = format!(
            "[holder]\nname = \"Invented\"\n[body]\nprofile = {{ shape = \"circle\", diameter = {diameter} }}\n\
             far = {{ at = 30.0, profile = {{ shape = \"circle\", diameter = {far} }} }}\nmount_length = 20.0\n[[tools]]\n\
             name = \"rod\"\ndiameter = {{ min = 9.9, max = 10.1 }}\n[layout]\noffset = 32.0\n[material]\nprint = \"petg\"\n"
        );
        read_spec(&text, "taper.toml", &MaterialLibrary::built_in()).expect("the spec is sound").spec
    };
    let strains = |diameter: f64, far: f64, wall_mm: f64| {
        let spec = spec(diameter, far);
        let (taper, uneven) = Taper::from_body(&spec.body).expect("it can be followed");
        let body_section = BodySection::from_body(&spec.body).expect("it can be drawn").tapering(taper, uneven, 20.0);
        let (limits, cache) = (DesignLimits::from_spec(&spec), SolverCache::default());
        let loads = MountLoads::new(&[], Vec::new(), &limits.stations, None);
        let task = MountTask {
            body_section: &body_section,
            context: ClipContext { limits: &limits, cache: &cache, pad_half_width_mm: 3.0, effort: Effort::Quick },
            length_mm: 20.0,
            spread_mm: 0.02,
            loads: &loads,
            correction: Correction::NONE,
        };
        let shape = MountShape { gap_mm: -0.1, wall_mm, half_wrap_rad: 2.0 };
        let [_, greatest] = task.responses(&shape).expect("it goes in");
        let judged = task.evaluate(&shape, 0.0).expect("it goes in").expect("no floor is set").loads.strain;
        [greatest.strain, greatest.strain_at_rest, judged]
    };
    let (tapering, straight) = (strains(22.0, 19.0, 2.6), strains(21.0, 21.0, 3.1));
    for (tapering, straight) in tapering.into_iter().zip(straight) {
        assert!((tapering / straight - 1.0).abs() < 1e-3, "{tapering} {straight}");
    }
}
