//! Loads on a tool through its stations into the mount, and clips that tilt, against equilibrium and closed forms.

mod common;

use common::SplitMix64;
use gripwright_mechanics::{ForceTravel, PointLoad, StationSupport, TiltingClip, ToolSupport, Wrench};

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
