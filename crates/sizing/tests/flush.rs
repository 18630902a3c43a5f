//! Cast holders whose mould parts at their flush lower ends: place of the clip, draft over the full length, statics.

use gripwright_input::{MaterialLibrary, Parting, Spec, read_spec};
use gripwright_sizing::{Design, WebPlan, size};

/// An invented cast holder; `layout`, `casting` and `finish` are lines of their tables.
fn spec(mount_mm: f64, layout: &str, casting: &str, finish: &str) -> Spec {
    let text = format!(
        "[holder]\nname = \"Invented\"\n[body]\nprofile = {{ shape = \"rounded-rectangle\", width = 24.0, height = 16.0, corner = 5.0 }}\n\
         mount_length = {mount_mm}\nspread = 0.02\noutlasts = \"held\"\n[[tools]]\nname = \"pen\"\ndiameter = {{ min = 11.9, max = 12.1 }}\nmass = \"8 g\"\n\
         working_load = {{ across = \"1.5 N\", along = \"1 N\" }}\n[layout]\noffset = 30.0\n{layout}\n[fit]\nload_path = \"limit\"\n\
         snap_on = {{ at_most = \"90 N\" }}\nhold = {{ safety = 1.5 }}\nuses = \"single\"\n[material]\nprint = \"petg\"\nfinal = \"pu-abs-like\"\n[finish]\n{finish}\n\
         {casting}"
    );
    read_spec(&text, "flush.toml", &MaterialLibrary::built_in()).unwrap_or_else(|p| panic!("{p:?}")).spec
}

const END: &str = "[casting]\nparting = \"end\"\n";

fn designed(spec: &Spec) -> Design {
    size(spec).unwrap_or_else(|problems| panic!("{problems:?}"))
}

/// Every clip stands with its lower end in the plane of the mount's.
#[test]
fn clips_are_flush_with_the_mount() {
    let design = designed(&spec(26.0, "", END, "draft = \"1 deg\""));
    for holder in &design.holders {
        let [station] = holder.stations.as_slice() else { panic!("one clip") };
        assert!((station.at_mm - 0.5 * station.length_mm + 13.0).abs() < 1e-12, "{station:?}");
        assert_eq!((holder.parting, &holder.web_plan), (Parting::End, &WebPlan::Plain));
        assert_eq!(holder.seat_chamfers_mm.map(f64::to_bits), [0.0_f64.to_bits(); 2]);
    }
    assert!(design.coupons.coupons.iter().all(|coupon| coupon.parting == Parting::End));
}

/// The table without a parting takes the end where one clip can be flush, and is cut open elsewhere.
#[test]
fn the_default_goes_by_the_layout() {
    let parting = |layout: &str, casting: &str| spec(26.0, layout, casting, "draft = 0").finish.parting;
    assert_eq!(parting("", ""), Parting::Middle);
    assert_eq!(parting("", "[casting]\n"), Parting::End);
    assert_eq!(parting("pitch = 4.0", "[casting]\n"), Parting::Cut);
    assert_eq!(parting("stations = [-9.0, 9.0]", "[casting]\n"), Parting::Cut);
    assert_eq!(parting("", "[casting]\nparting = \"middle\"\n"), Parting::Middle);
}

/// Without draft, a flush clip bears what one bears that a spec puts in the same place; so does its mount.
#[test]
fn a_flush_clip_is_loaded_as_one_beside_the_middle() {
    for layout in
        ["lengths = [12.0]", "lengths = [12.0]\naim = { ahead = 12.0, within = \"3 mm\" }", "lengths = [30.0]"]
    {
        let flush = designed(&spec(24.0, layout, END, "draft = 0\nchamfer = 0"));
        let at_mm = if layout.contains("30.0]") { 3.0 } else { -6.0 };
        let beside = format!("{layout}\nstations = [{at_mm:?}]");
        let beside = designed(&spec(24.0, &beside, "[casting]\nparting = \"cut\"\n", "draft = 0\nchamfer = 0"));
        assert_eq!(flush.mount.mount, beside.mount.mount);
        assert_eq!(flush.mount_fit.load_path, beside.mount_fit.load_path);
        assert_eq!(flush.mount_fit.margin, beside.mount_fit.margin);
        for (flush, beside) in flush.fit.iter().zip(&beside.fit) {
            assert_eq!(flush.figures.load_path, beside.figures.load_path);
            assert_eq!(flush.figures.margin, beside.figures.margin);
        }
        let [flush, beside] = [&flush.holders[0], &beside.holders[0]];
        assert!((flush.stations[0].at_mm - at_mm).abs() < 1e-12);
        assert_eq!(flush.web.working.mount_mm, beside.web.working.mount_mm);
        assert_eq!(flush.web.working.clips_mm, beside.web.working.clips_mm);
    }
}

/// A load over a clip beside the mount's middle tilts the mount, and less of it is held.
#[test]
fn a_shorter_clip_tilts_its_mount_more() {
    let hold = |casting: &str, length_mm: f64| {
        let design = designed(&spec(24.0, &format!("lengths = [{length_mm}]"), casting, "draft = 0"));
        let tilt = design.holders[0].web.working.mount_mm.expect("it holds");
        (design.mount_fit.load_path, tilt)
    };
    let (as_long, in_middle) = (hold(END, 24.0), hold("[casting]\nparting = \"middle\"\n", 24.0));
    // As long as the mount, the clip stands over its middle.
    assert_eq!(as_long.0, in_middle.0);
    let (flush, middle) = (hold(END, 10.0), hold("[casting]\nparting = \"middle\"\n", 10.0));
    assert!(flush.1 > 1.02 * middle.1, "{flush:?} {middle:?}");
}

/// A web that stands wholly over a shorter clip's length bears a load over the clip without twist, and one at a point ahead by
/// its distance from the clip.
#[test]
fn the_web_turns_about_the_middle_of_its_depth() {
    let web = |casting: &str, ahead: f64| {
        let layout = format!("lengths = [12.0]\naim = {{ ahead = {ahead:?}, within = \"9 mm\" }}");
        designed(&spec(24.0, &layout, casting, "draft = 0\nchamfer = 0")).holders[0].web
    };
    // The clip's middle stands 6 mm below the mount's.
    let (flush, middle) = (web(END, 10.0), web("[casting]\nparting = \"middle\"\n", 16.0));
    assert!((flush.bending.load.at_mm - middle.bending.load.at_mm).abs() < 1e-12);
    assert!((flush.strain / middle.strain - 1.0).abs() < 0.05, "{} {}", flush.strain, middle.strain);
}

/// The wall that a mould must fill at the far end is thinner by the draft over the full length, and the sized one is thicker
/// for it.
#[test]
fn walls_bear_the_draft_over_the_full_length() {
    let thinnest = |casting: &str| {
        let mut spec = spec(28.0, "lengths = [28.0]", casting, "draft = \"1 deg\"");
        spec.mould.least_wall_mm = 1.5;
        let design = designed(&spec);
        let clip = design.sizes[0].clip.root_wall_mm().min(design.sizes[0].clip.lip_wall_mm());
        clip.min(design.mount.mount.wall_mm)
    };
    // 28 mm at tan 1° = 0.017455 take 0.4887 mm off the back; from the middle it is half of that.
    let (end, middle) = (thinnest(END), thinnest("[casting]\nparting = \"middle\"\n"));
    assert!(end >= 1.5 + 0.4887 - 1e-4, "{end}");
    assert!((1.5 + 0.2443..1.5 + 0.4887).contains(&middle), "{middle}");
}

/// A volume that only the web is near to: a relief would hold the mould, and the message says what does not.
#[test]
fn a_web_at_a_parting_end_is_not_relieved() {
    let keep_out = "[[keep_out]]\nname = \"switch\"\nbox = { from = [-10.0, 15.5, 6.0], to = [10.0, 17.0, 40.0] }\nclearance = 0.3\n";
    let blocked = spec(24.0, "", &format!("{END}{keep_out}"), "draft = 0");
    let problem = size(&blocked).expect_err("the web is in the way").remove(0);
    assert_eq!(problem.code, "keep-out-parting", "{problem:?}");
    assert!(problem.hint.iter().any(|hint| hint.contains("`parting = \"cut\"` in [casting]")), "{problem:?}");
    let cut = spec(24.0, "", &format!("[casting]\nparting = \"cut\"\n{keep_out}"), "draft = 0");
    assert!(designed(&cut).holders[0].keep_outs[0].relieved);
}

/// Distances to keep-outs are those of the clip in its flush place.
#[test]
fn keep_outs_meet_the_clip_where_it_stands() {
    let box_at = |z: f64| {
        format!(
            "[[keep_out]]\nname = \"wall\"\nbox = {{ from = [-5.0, 40.0, {z:?}], to = [5.0, 50.0, 60.0] }}\nclearance = 0.5\n"
        )
    };
    // A clip of 12 mm on a mount of 24 mm ends at z = 0 when it is flush, and at z = 6 mm over the middle.
    let with =
        |casting: &str, z: f64| size(&spec(24.0, "lengths = [12.0]", &format!("{casting}{}", box_at(z)), "draft = 0"));
    let flush = designed(&spec(24.0, "lengths = [12.0]", &format!("{END}{}", box_at(30.0)), "draft = 0"));
    let middle = with("[casting]\nparting = \"middle\"\n", 30.0).expect("nothing is near");
    let distance = |design: &Design| design.holders[0].keep_outs[0].after.distance_mm;
    assert!(distance(&flush) > distance(&middle) + 3.0, "{} {}", distance(&flush), distance(&middle));
}
