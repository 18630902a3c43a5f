//! Holders with several clips, pitched or drafted. Random ones with fixed seeds are valid and watertight, with clips at the
//! given positions. All sizes are arbitrary.

mod common;

use std::f64::consts::PI;

use common::{PAD, assert_second_mesh_agrees, clip, mesh_faults, mount_outline};
use gripwright_section::{ClipBack, RoundClip, SideWeb, SideWebError, ToolStop};
use gripwright_solid::{
    CheckLimits, GripDraft, HolderError, PrismSpec, Solid, Station, Surface, ToolAxis, WebShape, check, holder,
    holder_with_stations, mass_properties, triangulate,
};
use proptest::{
    prelude::*,
    strategy::ValueTree,
    test_runner::{Config, RngSeed, TestRunner},
};

/// Layout of a holder.
#[derive(Clone, Debug)]
struct Layout {
    mount_half: f64,
    offset: f64,
    pitch: f64,
    /// Middle and length of each clip, mm.
    clips: Vec<(f64, f64)>,
    stop: Option<ToolStop>,
    chamfer: f64,
}

fn mount(half_height_mm: f64, chamfer_mm: f64) -> PrismSpec {
    PrismSpec { chamfer_mm, ..PrismSpec::plain(mount_outline(), half_height_mm) }
}

fn pad_y(spec: &PrismSpec) -> f64 {
    spec.outline.bounds().min.y
}

fn side_web(layout: &Layout) -> SideWeb {
    let clip = common::clip_outline();
    SideWeb {
        mount_pad_mm: -pad_y(&mount(layout.mount_half, 0.0)),
        mount_half_mm: layout.mount_half,
        offset_mm: layout.offset,
        pitch_rad: layout.pitch,
        pad_depth_mm: -clip.bounds().min.y,
        pads_mm: layout.clips.iter().map(|(at, length)| [at - 0.5 * length, at + 0.5 * length]).collect(),
        stop: layout.stop,
        chamfer_mm: layout.chamfer,
        least_wall_mm: 0.8,
    }
}

fn make(layout: &Layout) -> Result<Solid, String> {
    let outline = side_web(layout).outline().map_err(|e| match e {
        SideWebError::TooClose { .. }
        | SideWebError::Thin { .. }
        | SideWebError::Severed { .. }
        | SideWebError::Chamfer { .. } => e.to_string(),
        other => panic!("{other}: {layout:?}"),
    })?;
    let chamfer_mm = layout.chamfer;
    let stations: Vec<Station> = layout
        .clips
        .iter()
        .map(|&(at_mm, length)| Station {
            at_mm,
            clip: PrismSpec { chamfer_mm, ..PrismSpec::plain(common::clip_outline(), 0.5 * length) },
        })
        .collect();
    let mount = mount(layout.mount_half, chamfer_mm);
    let web = WebShape::Side { outline, windows: Vec::new() };
    Ok(holder_with_stations(
        "random",
        &mount,
        &stations,
        ToolAxis { offset_mm: layout.offset, pitch_rad: layout.pitch },
        &web,
    )
    .unwrap_or_else(|e| panic!("{e}: {layout:?}")))
}

/// Checks that there is no defect, the mesh is watertight, and its volume matches the exact one within area × tolerance.
fn assert_valid(solid: &Solid) {
    assert_eq!(check(solid, &CheckLimits { least_wall_mm: Some(0.76), least_wall_at_chamfers_mm: Some(0.19) }), vec![]);
    let exact = mass_properties(solid.brep()).expect("its faces can be integrated");
    let mesh = triangulate(solid.brep(), 0.02).expect("its faces can be cut");
    assert_eq!(mesh_faults(&mesh), Vec::<String>::new());
    assert!((mesh.volume_mm3() - exact.volume_mm3).abs() <= exact.area_mm2 * 0.02);
    assert_second_mesh_agrees(solid, &mesh, 0.02);
}

fn sample() -> Layout {
    Layout {
        mount_half: 9.0,
        offset: 32.0,
        pitch: 0.2,
        clips: vec![(-14.0, 8.0), (13.0, 10.0)],
        stop: None,
        chamfer: 0.3,
    }
}

/// The seats are cylinders about the pitched axis.
#[test]
fn seats_lie_about_the_pitched_axis() {
    let layout = sample();
    let solid = make(&layout).unwrap();
    assert_valid(&solid);
    let (sin, cos) = layout.pitch.sin_cos();
    let seats: Vec<_> = solid
        .brep()
        .faces
        .iter()
        .filter_map(|f| match f.surface {
            Surface::Cylinder { frame, radius } if (radius - 6.0).abs() < 1e-12 && !f.same_sense => Some(frame),
            _ => None,
        })
        .filter(|frame| frame.z[0].abs() < 1e-12)
        .collect();
    assert_eq!(seats.len(), 2);
    for frame in seats {
        assert!((frame.z[1] - sin).abs() < 1e-12 && (frame.z[2] - cos).abs() < 1e-12, "{frame:?}");
        // The axis passes through the point over the middle of the mount.
        let [x, y, z] = frame.origin;
        assert!(x.abs() < 1e-12 && ((y - 32.0) * cos - z * sin).abs() < 1e-12);
    }
}

/// Volume by hand calculation: the side outline times the width, plus the clips and the mount.
#[test]
fn volume_is_that_of_its_parts() {
    for stop in [None, Some(ToolStop { at_mm: -22.0, thickness_mm: 3.0, top_mm: 0.0 })] {
        let layout = Layout { chamfer: 0.0, stop, ..sample() };
        let solid = make(&layout).unwrap();
        let area = |spec: &PrismSpec| spec.outline.area_mm2() * 2.0 * spec.half_height_mm;
        let ClipBack::Pad { half_width_mm, .. } = PAD else { unreachable!() };
        let web = side_web(&layout).outline().expect("it can be drawn").area_mm2() * 2.0 * half_width_mm;
        let clips: f64 = layout.clips.iter().map(|(_, l)| common::clip_outline().area_mm2() * l).sum();
        let wanted = area(&mount(9.0, 0.0)) + web + clips;
        let found = mass_properties(solid.brep()).expect("its faces can be integrated").volume_mm3;
        assert!((found / wanted - 1.0).abs() < 1e-12, "{found} {wanted}");
    }
}

/// Clip of a drafted holder at its position: its walls are nominal in its middle, and its pad is as wide as the web there.
fn drafted_station(at_mm: f64, length: f64, draft_rad: f64, chamfer_mm: f64, gripping: GripDraft) -> Station {
    let nearest = (at_mm.abs() - 0.5 * length).max(0.0);
    let more = (at_mm.abs() - nearest) * draft_rad.tan();
    let ClipBack::Pad { half_width_mm, depth_mm, fillet_mm } = PAD else { unreachable!() };
    let plain = clip(PAD);
    let back = ClipBack::Pad {
        half_width_mm: half_width_mm - nearest * draft_rad.tan(),
        depth_mm: depth_mm - more,
        fillet_mm,
    };
    let outline =
        RoundClip { root_wall_mm: plain.root_wall_mm + more, lip_wall_mm: plain.lip_wall_mm + more, back, ..plain };
    let outline = outline.outline().expect("it can be drawn");
    Station { at_mm, clip: PrismSpec { draft_rad, gripping, chamfer_mm, ..PrismSpec::plain(outline, 0.5 * length) } }
}

#[test]
fn one_clip_in_the_middle_gives_the_plain_holder() {
    let draft = 1.5_f64.to_radians();
    for chamfer_mm in [0.0, 0.3] {
        let station = drafted_station(0.0, 12.0, draft, chamfer_mm, GripDraft::Straight);
        let mount = PrismSpec { draft_rad: draft, gripping: GripDraft::Straight, ..mount(9.0, chamfer_mm) };
        let plain = holder("h", &mount, &station.clip, 28.0).unwrap();
        let flat = holder_with_stations(
            "h",
            &mount,
            &[station],
            ToolAxis { offset_mm: 28.0, pitch_rad: 0.0 },
            &WebShape::Flat,
        )
        .unwrap();
        let volume = |s: &Solid| mass_properties(s.brep()).unwrap().volume_mm3;
        assert!((volume(&plain) - volume(&flat)).abs() < 1e-9);
        assert_eq!(plain.brep().faces.len(), flat.brep().faces.len());
    }
}

#[test]
fn impossible_layouts_are_errors() {
    let draft = 0.02;
    let mount = PrismSpec { draft_rad: draft, ..mount(9.0, 0.3) };
    let at = |at: f64| drafted_station(at, 8.0, draft, 0.3, GripDraft::Drafted);
    let make = |stations: &[Station], pitch: f64| {
        holder_with_stations("h", &mount, stations, ToolAxis { offset_mm: 30.0, pitch_rad: pitch }, &WebShape::Flat)
            .unwrap_err()
    };
    assert!(matches!(make(&[at(-10.0), at(10.0)], 0.1), HolderError::PitchedDraft { .. }));
    assert!(matches!(make(&[at(10.0), at(30.0)], 0.0), HolderError::OneSided { .. }));
    assert!(matches!(make(&[at(-4.0005), at(10.0)], 0.0), HolderError::Sliver { .. }));
    assert!(matches!(make(&[at(10.0), at(-10.0)], 0.0), HolderError::Order { .. }));
    assert!(matches!(make(&[], 0.0), HolderError::Order { .. }));
    let undrafted = PrismSpec { draft_rad: 0.0, ..mount.clone() };
    let plain = [Station { at_mm: -8.0, clip: PrismSpec { draft_rad: 0.0, ..at(0.0).clip } }];
    let flat =
        holder_with_stations("h", &undrafted, &plain, ToolAxis { offset_mm: 30.0, pitch_rad: 0.0 }, &WebShape::Flat);
    assert!(flat.is_err(), "{flat:?}");
}

fn fixed_seed(cases: u32) -> Config {
    Config { cases, rng_seed: RngSeed::Fixed(0x1a7), failure_persistence: None, ..Config::default() }
}

fn places() -> impl Strategy<Value = Vec<(f64, f64)>> {
    (prop::collection::vec((6.0..14.0f64, 2.2..16.0f64), 1..=4), 0.2..0.8f64).prop_map(|(list, share)| {
        let total: f64 = list.iter().map(|(length, gap)| length + gap).sum();
        let mut along = -share * total;
        let place = |(length, gap): (f64, f64)| {
            let middle = along + 0.5 * length;
            along += length + gap;
            (middle, length)
        };
        list.into_iter().map(place).collect()
    })
}

fn stop() -> impl Strategy<Value = Option<(bool, f64)>> {
    prop_oneof![2 => Just(None), 1 => (any::<bool>(), 2.5..8.0f64).prop_map(Some)]
}

/// Runs a number of random cases and checks that most of them can be made, since errors alone would test nothing.
fn assert_most<S: Strategy>(cases: u32, strategy: &S, made: impl Fn(S::Value) -> bool) {
    let mut runner = TestRunner::new(fixed_seed(cases));
    let count =
        (0..cases).filter(|_| made(strategy.new_tree(&mut runner).expect("every draw is a case").current())).count();
    assert!(count >= 200, "only {count} of {cases} could be made");
}

#[test]
fn random_pitched_holders() {
    let strategy = (
        (5.0..14.0f64, 7.0..20.0f64, prop_oneof![Just(0.0), -25.0..25.0f64]),
        places(),
        prop_oneof![Just(0.0), 0.1..0.5f64],
        stop(),
    );
    assert_most(300, &strategy, |((mount_half, height, pitch), clips, chamfer, stop)| {
        let ends = [clips[0].0 - 0.5 * clips[0].1, clips[clips.len() - 1].0 + 0.5 * clips[clips.len() - 1].1];
        let at = |(before, gap): (bool, f64)| if before { ends[0] - gap } else { ends[1] + gap };
        let stop = stop.map(|where_to| ToolStop { at_mm: at(where_to), thickness_mm: 3.0, top_mm: 0.0 });
        let mut layout = Layout { mount_half, offset: 0.0, pitch: pitch * PI / 180.0, clips, stop, chamfer };
        layout.offset = height - side_web(&layout).height_mm();
        make(&layout).inspect(assert_valid).is_ok()
    });
}

#[test]
fn random_drafted_holders() {
    let strategy =
        (5.0..14.0f64, 1.0..12.0f64, places(), 0.3..3.0f64, prop_oneof![Just(0.0), 0.1..0.4f64], any::<bool>());
    assert_most(300, &strategy, |(mount_half, web, clips, draft, chamfer, straight)| {
        let draft = draft.to_radians();
        let gripping = if straight { GripDraft::Straight } else { GripDraft::Drafted };
        let stations: Vec<Station> =
            clips.iter().map(|&(at, length)| drafted_station(at, length, draft, chamfer, gripping)).collect();
        let mount = PrismSpec { draft_rad: draft, gripping, ..mount(mount_half, chamfer) };
        let offset = web - pad_y(&mount) + 6.0 + 2.4 + 2.0;
        match holder_with_stations(
            "random",
            &mount,
            &stations,
            ToolAxis { offset_mm: offset, pitch_rad: 0.0 },
            &WebShape::Flat,
        ) {
            Ok(solid) => {
                assert_eq!(check(&solid, &CheckLimits::default()), vec![]);
                let exact = mass_properties(solid.brep()).expect("its faces can be integrated");
                let mesh = triangulate(solid.brep(), 0.02).expect("its faces can be cut");
                assert_eq!(mesh_faults(&mesh), Vec::<String>::new());
                assert!((mesh.volume_mm3() - exact.volume_mm3).abs() <= exact.area_mm2 * 0.02);
                true
            }
            Err(HolderError::OneSided { low_mm, high_mm, least_mm }) => {
                assert!(low_mm > -least_mm || high_mm < least_mm);
                false
            }
            Err(error) => {
                assert!(matches!(error, HolderError::Prism { .. } | HolderError::Sliver { .. }), "{error}");
                false
            }
        }
    });
}
