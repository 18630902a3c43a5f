//! Loads on a tool through its stations into the mount, and clips that tilt, against equilibrium and closed forms.

mod common;

use common::SplitMix64;
use gripwright_mechanics::{
    ClipSpan, ForceTravel, GripCapacity, PointLoad, StationSupport, TiltingClip, ToolSupport, Wrench,
};

/// Travels and forces of an invented clip over its floor.
const CURVE: [[f64; 2]; 7] = [[-1.1, -50.0], [-0.1, 0.0], [0.0, 0.0], [0.3, 1.0], [0.6, 1.3], [2.0, 0.2], [3.0, 0.0]];

fn near(found: f64, wanted: f64, share: f64) {
    assert!((found / wanted - 1.0).abs() < share, "{found} against {wanted}");
}

fn random_vector(rng: &mut SplitMix64, size: f64) -> [f64; 3] {
    std::array::from_fn(|_| rng.between(-size, size))
}

fn random_support(rng: &mut SplitMix64) -> ToolSupport {
    let count = 1 + usize::from(rng.between(0.0, 1.0) > 0.4) + usize::from(rng.between(0.0, 1.0) > 0.7);
    let mut at_mm = rng.between(-40.0, 0.0);
    let stations = (0..count).map(|_| {
        at_mm += rng.between(12.0, 40.0);
        let stiffness_n_per_mm = std::array::from_fn(|_| 10_f64.powf(rng.between(0.0, 3.0)));
        StationSupport { at_mm, length_mm: rng.between(4.0, 20.0), stiffness_n_per_mm }
    });
    let stations = stations.collect();
    ToolSupport { offset_mm: rng.between(15.0, 60.0), pitch_rad: rng.between(-0.3, 0.3), stations }
}

/// What the stations take is what loads the tool, and what loads the mount is that as well.
#[test]
fn random_holders_are_in_equilibrium() {
    let mut rng = SplitMix64(14);
    for _ in 0..1000 {
        let support = random_support(&mut rng);
        let loads: Vec<PointLoad> = (0..3)
            .map(|_| PointLoad { force_n: random_vector(&mut rng, 10.0), at_mm: random_vector(&mut rng, 80.0) })
            .collect();
        let on_stations = support.station_wrenches(&loads);
        let mount = support.mount_wrench(&on_stations);
        let wanted = Wrench::of_loads(&loads, [0.0; 3]);
        let size: f64 = loads.iter().flat_map(|l| l.force_n).map(f64::abs).sum();
        for k in 0..3 {
            assert!((mount.force_n[k] - wanted.force_n[k]).abs() < 1e-9 * size, "{support:?}: {mount:?}, {wanted:?}");
            let off = (mount.moment_nmm[k] - wanted.moment_nmm[k]).abs();
            assert!(off < 1e-9 * size * 80.0, "{support:?}: {mount:?}, {wanted:?}");
        }
    }
}

/// Two short clips carry a load between them and beyond by the law of the lever.
#[test]
fn two_short_stations_follow_the_law_of_the_lever() {
    let station = |at_mm| StationSupport { at_mm, length_mm: 1e-6, stiffness_n_per_mm: [50.0, 80.0, 20.0] };
    let support = ToolSupport { offset_mm: 30.0, pitch_rad: 0.1, stations: vec![station(-20.0), station(10.0)] };
    for at_mm in [-5.0, 40.0] {
        for direction in [0, 1] {
            let axis = support.directions()[direction];
            let load = PointLoad { force_n: axis.map(|a| 6.0 * a), at_mm: support.point_at(at_mm) };
            let found = support.station_wrenches(&[load]);
            let wanted = 6.0 * (10.0 - at_mm) / 30.0;
            let force = |w: &Wrench| (0..3).map(|k| w.force_n[k] * axis[k]).sum::<f64>();
            near(force(&found[0]), wanted, 1e-9);
            near(force(&found[1]), 6.0 - wanted, 1e-9);
        }
    }
}

/// One clip takes a load ahead of it as a moment about itself.
#[test]
fn one_station_takes_the_moment_of_a_load_ahead() {
    let stations = vec![StationSupport { at_mm: 0.0, length_mm: 20.0, stiffness_n_per_mm: [50.0, 80.0, 20.0] }];
    let support = ToolSupport { offset_mm: 30.0, pitch_rad: 0.0, stations };
    let load = PointLoad { force_n: [2.0, -3.0, 0.0], at_mm: support.point_at(70.0) };
    let found = support.station_wrenches(&[load])[0];
    near(found.moment_nmm[0], 210.0, 1e-12);
    near(found.moment_nmm[1], 140.0, 1e-12);
    // Sideways at the offset it rolls the mount, at 70 mm ahead it yaws it.
    let mount = support.mount_wrench(&[found]);
    near(mount.moment_nmm[2], -60.0, 1e-12);
    near(mount.moment_nmm[1], 140.0, 1e-12);
}

/// Evenly distributed springs that pull and push alike: force F and moment M strain the end by F/kL + 6M/kL².
#[test]
fn springs_that_push_and_pull_peel_as_a_rigid_bar_on_an_elastic_bed() {
    let (stiffness, travel_mm, length_mm) = (0.8, 0.4, 25.0);
    let travel = ForceTravel::new(&[[0.0; 2], [travel_mm, stiffness * travel_mm]]).expect("it rises");
    let clip = TiltingClip { length_mm, travel: &travel };
    for (force, moment) in [(3.0, 0.0), (0.0, 20.0), (2.0, 40.0), (-1.0, 30.0), (1.0, -35.0_f64)] {
        let end = force / (stiffness * length_mm) + 6.0 * moment.abs() / (stiffness * length_mm * length_mm);
        near(clip.peeling_factor(force, moment), travel_mm / end, 1e-9);
    }
    // Within the kernel of the section no end lifts.
    assert!(clip.peeling_factor(-3.0, 0.99 * 3.0 * length_mm / 6.0).is_infinite());
    assert!(clip.peeling_factor(-3.0, 1.05 * 3.0 * length_mm / 6.0).is_finite());
}

/// Springs over a stiff floor: the clip turns about its pressed end, where the floor gives what equilibrium lacks.
#[test]
fn springs_over_a_stiff_floor_turn_about_its_edge() {
    let (stiffness, travel_mm, length_mm) = (0.8, 0.4, 25.0);
    let travel = ForceTravel::new(&[[-1.0, -1e9], [0.0; 2], [travel_mm, stiffness * travel_mm]]).expect("it rises");
    let clip = TiltingClip { length_mm, travel: &travel };
    near(clip.peeling_factor(0.0, 1.0), stiffness * travel_mm * length_mm * length_mm / 3.0, 1e-3);
    // A flat force, as of a long slide out: half the length squared.
    let flat = ForceTravel::new(&[[-1.0, -1e9], [0.0; 2], [1e-6, 2.0], [0.5, 2.0 + 1e-9]]).expect("it rises");
    near(TiltingClip { length_mm, travel: &flat }.peeling_factor(0.0, 1.0), 2.0 * length_mm * length_mm / 2.0, 1e-3);
}

/// Beyond the peak the far end slips out while the rest still gains: the clip lets go at no less than peeling.
#[test]
fn clip_lets_go_at_or_above_the_onset_of_peeling() {
    let travel = ForceTravel::new(&CURVE).expect("it rises");
    let clip = TiltingClip { length_mm: 20.0, travel: &travel };
    for (force, moment) in [(1.0, 0.0), (1.0, 3.0), (1.0, 20.0), (0.0, 1.0), (-1.0, 8.0)] {
        let (onset, last) = (clip.peeling_factor(force, moment), clip.letting_go_factor(force, moment));
        assert!(last >= onset && onset > 0.0, "{force}, {moment}: {onset}, {last}");
    }
    near(clip.peeling_factor(1.0, 0.0), 26.0, 1e-9);
    assert!(clip.letting_go_factor(0.0, 1.0) > 1.1 * clip.peeling_factor(0.0, 1.0));
}

#[test]
fn curves_that_do_not_rise_are_refused() {
    assert!(ForceTravel::new(&[]).is_none());
    assert!(ForceTravel::new(&[[0.0; 2], [0.3, 1.0], [0.2, 1.0]]).is_none());
    assert!(ForceTravel::new(&[[0.0; 2], [0.3, f64::NAN]]).is_none());
    assert!(ForceTravel::new(&[[0.0; 2], [0.3, -1.0], [0.4, 1.0]]).is_none());
    assert!(ForceTravel::new(&[[-1.0, -1.0], [0.0; 2]]).is_none());
}

/// A capacity that no moment about the axis and no force along it exceeds.
fn capacity(out: ForceTravel, aside: Option<ForceTravel>, roll: Vec<ForceTravel>) -> GripCapacity {
    let aside = aside.map(|right| [right.clone(), right.reversed().expect("it holds")]);
    GripCapacity { length_mm: 10.0, out, aside, roll, round_nmm: 1e6, along_n: 1e6 }
}

/// Springs of one stiffness in either direction, N/mm per mm, up to a travel.
fn springs(stiffness: f64, travel_mm: f64) -> ForceTravel {
    let end = [travel_mm, stiffness * travel_mm];
    ForceTravel::new(&[[-end[0], -end[1]], [0.0; 2], end]).expect("it rises")
}

/// One clip of linear springs: F/kL in the middle and a tilt of 12 M/kL³, each about its own axis; a point ahead moves by
/// both. Roll turns by the moment over its stiffness.
#[test]
fn a_bar_on_linear_springs_moves_as_in_the_closed_form() {
    let (out, aside, roll, length_mm) = (0.8, 0.5, 40.0, 25.0);
    let grip = capacity(springs(out, 9.0), Some(springs(aside, 9.0)), vec![springs(roll, 0.5)]);
    let clips = [ClipSpan { at_mm: 0.0, length_mm }];
    let (force, lever) = ([1.5, -2.0, 0.7], 30.0);
    let on = Wrench { force_n: force, moment_nmm: [-force[1] * lever, force[0] * lever, -60.0] };
    let moved = grip.displacement(&clips, &on).expect("it holds");
    let point = moved.at([0.0, 0.0, lever]);
    let expected = |force: f64, stiffness: f64| {
        force / (stiffness * length_mm) + 12.0 * force * lever * lever / (stiffness * length_mm.powi(3))
    };
    near(point[0], expected(force[0], aside), 1e-9);
    near(point[1], expected(force[1], out), 1e-9);
    near(moved.turn_rad[2], -60.0 / (roll * length_mm), 1e-9);
    near(moved.at([0.0, 40.0, 0.0])[0] - moved.shift_mm[0], 40.0 * 60.0 / (roll * length_mm), 1e-9);
}

/// Several stations of linear springs share a load as the rigid bar of [`ToolSupport`] does: force and moment on each
/// station, over its stiffness, are the bar's displacement and tilt there.
#[test]
fn stations_on_linear_springs_move_as_the_tool_support_shares() {
    let mut rng = SplitMix64(3);
    for _ in 0..200 {
        let support = ToolSupport { pitch_rad: 0.0, ..random_support(&mut rng) };
        let (stiffness, offset) = (rng.between(0.2, 4.0), support.point_at(0.0));
        let alike = |s: &StationSupport| StationSupport { stiffness_n_per_mm: [stiffness * s.length_mm; 3], ..*s };
        let support = ToolSupport { stations: support.stations.iter().map(alike).collect(), ..support };
        let clips: Vec<ClipSpan> =
            support.stations.iter().map(|s| ClipSpan { at_mm: s.at_mm, length_mm: s.length_mm }).collect();
        let grip = capacity(springs(stiffness, 1e3), Some(springs(stiffness, 1e3)), Vec::new());
        let load =
            PointLoad { force_n: random_vector(&mut rng, 5.0), at_mm: [0.0, offset[1], rng.between(-60.0, 60.0)] };
        let moved = grip.displacement(&clips, &Wrench::of_loads(&[load], offset)).expect("it holds");
        for (station, wrench) in support.stations.iter().zip(support.station_wrenches(&[load])) {
            let at = moved.at([0.0, 0.0, station.at_mm]);
            for k in 0..2 {
                let wanted = wrench.force_n[k] / (stiffness * station.length_mm);
                assert!((at[k] - wanted).abs() < 1e-7, "{at:?}, {wrench:?}");
            }
        }
    }
}

/// On curves that bend and have a floor, what the clips give back at the displacement is the load; beyond the onset of
/// peeling there is no displacement.
#[test]
fn displaced_bars_are_in_equilibrium_up_to_the_onset_of_peeling() {
    let curve = ForceTravel::new(&CURVE).expect("it rises");
    let mut rng = SplitMix64(5);
    for _ in 0..500 {
        let length_mm = rng.between(5.0, 40.0);
        let clip = TiltingClip { length_mm, travel: &curve };
        let (force, moment) = (rng.between(-5.0, 5.0), rng.between(-60.0, 60.0));
        let onset = clip.peeling_factor(force, moment);
        let share = if onset.is_finite() { onset } else { 1.0 };
        let grip = capacity(curve.clone(), None, Vec::new());
        let moved = |factor: f64| {
            let on = Wrench { force_n: [0.0, factor * force, 0.0], moment_nmm: [-factor * moment, 0.0, 0.0] };
            grip.displacement(&[ClipSpan { at_mm: 0.0, length_mm }], &on)
        };
        let factor = rng.between(0.02, 0.999) * share;
        let held = moved(factor).expect("below the onset of peeling it holds");
        let [near_mm, far_mm] = [-0.5, 0.5].map(|half| held.at([0.0, 0.0, half * length_mm])[1]);
        let found = clip.load_at(near_mm, far_mm);
        let size = factor * (force.abs() + moment.abs());
        assert!((found[0] - factor * force).abs() < 1e-6 * size, "{found:?} {force} {moment}");
        assert!((found[1] - factor * moment).abs() < 1e-5 * size * length_mm, "{found:?} {force} {moment}");
        if onset.is_finite() {
            assert!(moved(1.02 * onset).is_none(), "{force} {moment} {length_mm}");
        }
    }
}

/// A bar whose friction is used up, or which is loaded aside where nothing is known to hold, has no displacement.
#[test]
fn a_bar_that_slips_has_no_displacement() {
    let grip = GripCapacity { round_nmm: 30.0, along_n: 4.0, ..capacity(springs(1.0, 1.0), None, Vec::new()) };
    let clips = [ClipSpan { at_mm: 0.0, length_mm: 20.0 }];
    let moved = |force_n, moment_nmm| grip.displacement(&clips, &Wrench { force_n, moment_nmm });
    // Twice the length of the capacity holds twice as much: 8 N along, 60 N mm round.
    assert!(moved([0.0, 1.0, 7.9], [0.0; 3]).is_some() && moved([0.0, 1.0, 8.1], [0.0; 3]).is_none());
    assert!(moved([0.0; 3], [0.0, 0.0, 59.0]).is_some_and(|m| m.turn_rad[2].abs() <= 0.0));
    assert!(moved([0.0, 0.0, 4.1], [0.0, 0.0, 30.0]).is_none() && moved([0.1, 0.0, 0.0], [0.0; 3]).is_none());
}
