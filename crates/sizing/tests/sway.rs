//! Sway of a tool: web, mount and clips give way under its loads.

use gripwright_input::{MaterialLibrary, Spec, read_spec};
use gripwright_mechanics::secant_modulus_ratio;
use gripwright_sizing::{Design, PointMovement, size};

/// A pen on a handle that is not round, which takes small loads. The scenario is invented.
fn pen(mount_mm: f64, load: &str, layout: &str) -> Spec {
    let text = format!(
        "[holder]\nname = \"Invented\"\n[body]\nprofile = {{ shape = \"rounded-rectangle\", width = 24.0, height = 16.0, \
         corner = 4.0 }}\nmount_length = {mount_mm}\nspread = 0.0\noutlasts = \"held\"\n[[tools]]\nname = \"pen\"\ndiameter = {{ min = \
         11.9, max = 12.1 }}\nmass = \"1 g\"\nworking_load = {{ {load} }}\n[layout]\noffset = 30.0\n{layout}\n[fit]\nload_path = \"report\"\n\
         [material]\nprint = \"petg\"\n"
    );
    read_spec(&text, "pen.toml", &MaterialLibrary::built_in()).expect("the spec is sound").spec
}

fn designed(spec: &Spec) -> Design {
    size(spec).unwrap_or_else(|problems| panic!("{problems:?}"))
}

fn working(design: &Design) -> PointMovement {
    design.holders[0].web.working
}

/// Travel of the far end, mm, when a moment about the middle (N mm) tilts a mount whose slices pull as the curve says; the
/// other end stays where it is, on a floor that does not give, or goes in as far as the far end comes out.
fn end_travel_mm(curve: &[[f64; 2]], length_mm: f64, moment_nmm: f64, has_floor: bool) -> f64 {
    let force = |travel: f64| {
        let next = curve.iter().position(|p| p[0] >= travel.abs()).unwrap_or(curve.len() - 1).max(1);
        let [from, to] = [curve[next - 1], curve[next]];
        travel.signum() * (from[1] + (travel.abs() - from[0]) * (to[1] - from[1]) / (to[0] - from[0]))
    };
    let moment = |end_mm: f64| {
        let slices = 400;
        let slice = |k: i32| {
            let share = (f64::from(k) + 0.5) / f64::from(slices);
            let (place, travel) =
                if has_floor { (share, end_mm * share) } else { (share - 0.5, 2.0 * end_mm * (share - 0.5)) };
            force(travel) * place * length_mm * length_mm / f64::from(slices)
        };
        (0..slices).map(slice).sum::<f64>()
    };
    let (mut low, mut high) = (0.0, curve.last().map_or(0.0, |p| p[0]));
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if moment(middle) < moment_nmm { low = middle } else { high = middle }
    }
    low
}

/// A load along the tool rocks the mount. The part of the mount grows as it is shortened, and it lies between what its own
/// pull-out curve gives over a floor that does not give and without a floor, by summing slices.
#[test]
fn a_short_mount_lets_the_tool_sway_more_than_the_web() {
    const LOAD_N: f64 = 0.6;
    let mut before = 0.0;
    for length_mm in [40.0, 26.0, 18.0] {
        let spec = pen(length_mm, &format!("along = \"{LOAD_N} N\", across = \"0 N\""), "");
        let design = designed(&spec);
        let moved = working(&design);
        let mount_mm = moved.mount_mm.expect("the mount holds");
        assert!(mount_mm > 1.2 * before && mount_mm > 3.0 * moved.web_mm, "{length_mm}: {moved:?} {before}");
        let total = moved.total_mm().expect("all holds");
        assert!((total - moved.web_mm - mount_mm - moved.clips_mm.unwrap_or(f64::NAN)).abs() < 1e-12);
        before = mount_mm;

        // Curves are stated at the middle modulus; sizing takes the least one, softened by the strain of the peak.
        let (fit, material) = (&design.mount_fit, spec.material.part_material());
        let modulus = material.modulus_mpa;
        let softness = modulus.least / (0.5 * (modulus.least + modulus.greatest));
        let factor = softness * secant_modulus_ratio(fit.strain / material.strain_yield) / length_mm;
        let seat = fit.curves[0].removal[0][0];
        let rising = fit.curves[0].removal.iter().filter(|p| p[0] > seat && p[1] > 0.0);
        let mut curve: Vec<[f64; 2]> =
            [[0.0; 2]].into_iter().chain(rising.map(|p| [p[0] - seat, factor * p[1]])).collect();
        let peak = (0..curve.len()).max_by(|a, b| curve[*a][1].total_cmp(&curve[*b][1])).unwrap_or(0);
        curve.truncate(peak + 1);
        let moved_by = |has_floor: bool| {
            let travel = end_travel_mm(&curve, length_mm, LOAD_N * 30.0, has_floor);
            30.0 * travel / if has_floor { length_mm } else { 0.5 * length_mm }
        };
        let (floor, no_floor) = (moved_by(true), moved_by(false));
        assert!(mount_mm > 0.9 * floor && mount_mm < 1.1 * no_floor, "{length_mm}: {floor} {mount_mm} {no_floor}");
    }
}

/// Where the mount lets go under the working load, its part and the sum are absent, and a note says so beside a limit.
#[test]
fn movement_of_a_mount_that_lets_go_is_absent() {
    let load = "along = \"2 N\", across = \"0.5 N\"";
    let design = designed(&pen(14.0, load, "sway = { at_most = 5.0 }"));
    let moved = working(&design);
    assert!(moved.mount_mm.is_none() && moved.total_mm().is_none() && moved.at_least_mm() > 0.0, "{moved:?}");
    assert!(design.notes.iter().any(|note| note.contains("let go under the load of the limit")), "{:?}", design.notes);
}

/// A limit that mount and clips break by themselves is refused by naming them, without a word of a wider web; each change
/// that the hint names frees it.
#[test]
fn a_sway_that_the_mount_breaks_names_the_mount_and_its_remedies() {
    let load = "along = \"1 N\", across = \"0.3 N\"";
    let free = working(&designed(&pen(24.0, load, "")));
    let limit = 0.7 * free.supports_mm();
    assert!(limit > 1.1 * free.web_mm, "{free:?}");
    let problems = size(&pen(24.0, load, &format!("sway = {{ at_most = {limit} }}"))).expect_err("the mount is soft");
    assert_eq!(problems[0].code, "supports-too-soft", "{problems:?}");
    assert!(problems[0].message.contains("mount and clips alone") && !problems[0].message.contains("would do, but"));
    let hint = problems[0].hint.clone().unwrap_or_default();
    let length =
        hint.split("mount_length = \"").nth(1).and_then(|rest| rest.split(" mm").next()).expect("a longer mount");
    let length: f64 = length.parse().expect("a number");
    assert!(size(&pen(length, load, &format!("sway = {{ at_most = {limit} }}"))).is_ok(), "{hint}");
}
