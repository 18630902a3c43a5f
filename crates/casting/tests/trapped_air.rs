//! Pockets of air in cavities whose pockets can be worked out by hand.

use gripwright_casting::{
    AirLimits, AirPocket, Attitude, CavityError, DEFAULT_TILT_RAD, Opening, OpeningPurpose, PlannedOpening,
    SurfacePoint, TrappedAir, VentBrief, find_pockets, flat_tops, plan_vents,
};
use gripwright_section::{Curve, Outline, Point, Role, Segment, circle};
use gripwright_solid::{Cap, Mesh, Pocket, PrismSpec, prism, triangulate};

const X: [f64; 3] = [1.0, 0.0, 0.0];
const Y: [f64; 3] = [0.0, 1.0, 0.0];
const Z: [f64; 3] = [0.0, 0.0, 1.0];

fn polygon(points: &[[f64; 2]]) -> Outline {
    let point = |i: usize| Point::new(points[i % points.len()][0], points[i % points.len()][1]);
    let side = |i| Segment::new(Curve::line(point(i), point(i + 1)), Role::Body);
    Outline::new((0..points.len()).map(side).collect()).expect("the polygon is closed")
}

fn mesh_of(spec: &PrismSpec) -> Mesh {
    let solid = prism("cavity", spec).expect("the prism can be made");
    triangulate(solid.brep(), 0.01).expect("it can be cut into triangles")
}

fn upright(points: &[[f64; 2]], half_height_mm: f64) -> Mesh {
    mesh_of(&PrismSpec::plain(polygon(points), half_height_mm))
}

/// Box of 20 × 10 × 8 mm about the origin.
fn block() -> Mesh {
    upright(&[[-10.0, -5.0], [10.0, -5.0], [10.0, 5.0], [-10.0, 5.0]], 4.0)
}

fn find(cavity: &Mesh, up: [f64; 3], openings: &[[f64; 3]]) -> TrappedAir {
    let openings: Vec<Opening> = openings.iter().map(|at| Opening { at_mm: *at, radius_mm: 0.5 }).collect();
    find_pockets(cavity, up, &openings, &AirLimits::default()).expect("the cavity is closed")
}

#[track_caller]
fn assert_pocket(pocket: &AirPocket, top: f64, spill: f64, volume: f64, area: f64) {
    let found = [pocket.top_height_mm, pocket.spill_height_mm, pocket.volume_mm3, pocket.area_mm2];
    for (found, wanted) in found.iter().zip([top, spill, volume, area]) {
        assert!((found - wanted).abs() < 1e-6 * wanted.abs().max(1.0), "{pocket:?}");
    }
}

#[test]
fn a_closed_block_keeps_all_its_air() {
    let air = find(&block(), Z, &[]);
    assert_eq!(air.pockets.len(), 1);
    assert_pocket(&air.pockets[0], 4.0, -4.0, 1600.0, 200.0);
    assert!((air.pockets[0].wall_area_mm2 - 680.0).abs() < 1e-6);
    assert!(air.negligible.is_empty());
}

#[test]
fn a_vent_on_a_level_ceiling_lets_all_air_out_wherever_it_stands() {
    for at in [[0.0, 0.0, 4.0], [9.9, -4.9, 4.0], [-7.0, 3.0, 4.5]] {
        assert_eq!(find(&block(), Z, &[at]), TrappedAir::default(), "{at:?}");
    }
}

#[test]
fn air_above_an_opening_stays() {
    let air = find(&block(), Z, &[[10.0, 0.0, 0.0]]);
    assert_eq!(air.pockets.len(), 1);
    // The opening ends at half a millimetre above its middle.
    assert_pocket(&air.pockets[0], 4.0, 0.5, 700.0, 200.0);
}

/// Tilted by α about y, the highest edge is at one end; a vent in the middle keeps a wedge.
#[test]
fn a_tilted_ceiling_keeps_a_wedge_above_a_vent_in_its_middle() {
    let tilt = 12.0_f64.to_radians();
    let up = [tilt.sin(), 0.0, tilt.cos()];
    let air = find(&block(), up, &[[0.0, 0.0, 4.0]]);
    assert_eq!(air.pockets.len(), 1);
    // From 0.5 mm beside the middle to the end: a triangle with the legs 9.5 and 9.5 tan α.
    let wedge = 0.5 * 9.5 * 9.5 * tilt.tan() * 10.0;
    assert!((air.pockets[0].volume_mm3 - wedge).abs() < 1e-6, "{air:?}");
    assert!(find(&block(), up, &[[9.6, 4.0, 4.0]]).pockets.is_empty());
}

/// An inverted U: air in each leg's top is cut off by the lower bridge.
#[test]
fn an_m_shape_keeps_air_in_the_peak_without_vent() {
    let outline =
        [[0.0, 0.0], [30.0, 0.0], [30.0, 20.0], [20.0, 20.0], [20.0, 8.0], [10.0, 8.0], [10.0, 14.0], [0.0, 14.0]];
    let cavity = upright(&outline, 5.0);
    let air = find(&cavity, Y, &[[25.0, 20.0, 0.0]]);
    assert_eq!(air.pockets.len(), 1);
    assert_pocket(&air.pockets[0], 14.0, 8.0, 600.0, 100.0);
    assert_eq!(air.pockets[0].highest_mm[1].to_bits(), 14.0_f64.to_bits());
    // Both peaks are one pocket if the only opening lies below the bridge.
    let air = find(&cavity, Y, &[[15.0, 0.0, 0.0]]);
    assert_eq!(air.pockets.len(), 1);
    assert_pocket(&air.pockets[0], 20.0, 0.0, 30.0 * 8.0 * 10.0 + 600.0 + 1200.0, 300.0);
    assert!(find(&cavity, Y, &[[25.0, 20.0, 0.0], [5.0, 14.0, 0.0]]).pockets.is_empty());
    // Lying on its side, the short end is a level ceiling beside the way to the vent.
    assert!(find(&cavity, X, &[[30.0, 5.0, 0.0]]).pockets.is_empty());
}

/// The surface of the bore's end is not connected to the outer surface above the bore's lower parts.
#[test]
fn a_blind_bore_from_below_traps_nothing_but_takes_its_volume() {
    let bore = Pocket { outlines: vec![circle(6.0).expect("drawn")], depth_mm: 5.0, cap: Cap::Lower };
    let square = polygon(&[[-10.0, -5.0], [10.0, -5.0], [10.0, 5.0], [-10.0, 5.0]]);
    let cavity = mesh_of(&PrismSpec { pockets: vec![bore], ..PrismSpec::plain(square, 4.0) });
    assert_eq!(find(&cavity, Z, &[[8.0, 0.0, 4.0]]), TrappedAir::default());
    let air = find(&cavity, Z, &[[10.0, 0.0, -1.0]]);
    assert_eq!(air.pockets.len(), 1);
    // From −0.5 to 4, less the bore up to 1. The mesh's circle is a polygon with less area.
    let hole = (1600.0 - cavity.volume_mm3()) / 5.0;
    assert_pocket(&air.pockets[0], 4.0, -0.5, 900.0 - 1.5 * hole, 200.0 - hole);
    // Upside down, all air is in the ring round the bore.
    let air = find(&cavity, [0.0, 0.0, -1.0], &[[8.0, 0.0, -4.0]]);
    assert_eq!(air, TrappedAir::default());
}

/// A void inside is no part of the cavity; the cavity round it drains past it.
#[test]
fn an_inner_surface_joins_the_part_round_it() {
    let mut cavity = block();
    let inner = upright(&[[-3.0, -2.0], [3.0, -2.0], [3.0, 2.0], [-3.0, 2.0]], 1.0);
    let first = u32::try_from(cavity.vertices.len()).expect("few");
    cavity.vertices.extend(&inner.vertices);
    cavity.triangles.extend(inner.triangles.iter().map(|t| [t[0] + first, t[2] + first, t[1] + first]));
    for up in [X, Y, Z, [0.3, -0.2, 0.9]] {
        let air = find(&cavity, up, &[]);
        assert_eq!(air.pockets.len(), 1, "{up:?}");
        assert!((air.pockets[0].volume_mm3 - (1600.0 - 48.0)).abs() < 1e-6);
    }
}

#[test]
fn small_pockets_are_listed_apart() {
    // A nick of 0.5 × 1 × 1 mm beside the vent.
    let outline = [[0.0, 0.0], [10.0, 0.0], [10.0, 5.0], [3.0, 5.0], [3.0, 4.0], [0.5, 4.0], [0.5, 5.0], [0.0, 5.0]];
    let air = find(&upright(&outline, 0.5), Y, &[[8.0, 5.0, 0.0]]);
    assert!(air.pockets.is_empty());
    assert_eq!(air.negligible.len(), 1);
    assert_pocket(&air.negligible[0], 5.0, 4.0, 0.5, 0.5);
}

#[test]
fn an_open_surface_is_an_error() {
    let mut cavity = block();
    cavity.triangles.pop();
    let find = |up| find_pockets(&cavity, up, &[], &AirLimits::default());
    assert!(matches!(find(Z), Err(CavityError::NotClosed { .. })));
    assert!(matches!(find([0.0; 3]), Err(CavityError::NoDirection { .. })));
}

#[test]
fn pockets_do_not_depend_on_the_order_of_vertices_and_triangles() {
    let outline =
        [[0.0, 0.0], [30.0, 0.0], [30.0, 20.0], [20.0, 20.0], [20.0, 8.0], [10.0, 8.0], [10.0, 14.0], [0.0, 14.0]];
    let cavity = upright(&outline, 5.0);
    let count = u32::try_from(cavity.vertices.len()).expect("few");
    let other = Mesh {
        vertices: cavity.vertices.iter().rev().copied().collect(),
        triangles: cavity.triangles.iter().rev().map(|t| [t[1], t[2], t[0]].map(|v| count - 1 - v)).collect(),
    };
    for up in [Y, X, Z, [0.2, 0.9, 0.3], [0.1, -0.8, 0.2]] {
        let [a, b] = [&cavity, &other].map(|mesh| find(mesh, up, &[[28.0, 20.0, 0.0]]).pockets);
        assert_eq!(a.len(), b.len(), "{up:?}");
        for (a, b) in a.iter().zip(&b) {
            assert_pocket(a, b.top_height_mm, b.spill_height_mm, b.volume_mm3, b.area_mm2);
        }
    }
}

/// Least component of a normal along an axis, of a face that looks along it.
const END: f64 = 0.9;

fn is_end(p: &SurfacePoint) -> bool {
    p.normal[2].abs() > END
}

#[test]
fn a_tilted_end_needs_one_vent_and_a_level_one_several() {
    // A plate of 80 × 60 mm that stands on its lower face and is poured with the upper face up.
    let plate = upright(&[[-40.0, -30.0], [40.0, -30.0], [40.0, 30.0], [-40.0, 30.0]], 2.0);
    let at_sprue = |p: &SurfacePoint| p.normal[2] > END && p.at_mm[0].hypot(p.at_mm[1]) < 3.0;
    let on_top = |p: &SurfacePoint| p.normal[2] > END;
    let level = [Attitude::tilted(Z, X, 0.0)];
    let plan = plan_vents(&plate, &VentBrief::new(&level, &at_sprue, &on_top)).expect("it can be planned");
    assert!(plan.vents.len() >= 8, "{plan:?}");
    assert!(plan.vents.iter().all(|vent| vent.purpose == OpeningPurpose::FlatTop));
    assert!(plan.pockets_without_vents.is_empty() && plan.flat_tops_left.is_empty());

    let attitudes = Attitude::candidates(Z, DEFAULT_TILT_RAD, 8);
    let plan = plan_vents(&plate, &VentBrief::new(&attitudes, &at_sprue, &on_top)).expect("it can be planned");
    assert!((plan.attitude.tilt_rad - DEFAULT_TILT_RAD).abs() < 1e-12);
    assert_eq!(plan.vents.len(), 1, "{plan:?}");
    let vent = plan.vents[0].opening.at_mm;
    assert!(vent[0].abs() > 39.0 && vent[0].abs() < 40.0 && vent[1].abs() > 29.0 && vent[1].abs() < 30.0, "{vent:?}");
    assert_eq!(plan.pockets_without_vents.len(), 1);
    assert!(plan.pockets_left.is_empty() && plan.flat_tops_left.is_empty());
    let openings: Vec<Opening> = [plan.sprue, plan.vents[0]].iter().map(|o| o.opening).collect();
    let air = find_pockets(&plate, plan.attitude.up, &openings, &AirLimits::default()).expect("closed");
    assert_eq!((air.pockets, air.negligible), (plan.pockets_left.clone(), plan.negligible.clone()));

    // The rods end at one height: the sprue's, which stands lower, is longer.
    let lengths = plan.lengths_to_one_height(Z, 10.0).expect("the axis rises");
    let end = |o: &PlannedOpening, length: f64| o.height_mm + length * plan.attitude.up[2];
    assert!((end(&plan.sprue, lengths[0]) - end(&plan.vents[0], lengths[1])).abs() < 1e-9);
    assert!((lengths[1] - 10.0).abs() < 1e-9 && lengths[0] > 10.0);
    assert!(plan.lengths_to_one_height([0.0, 0.0, -1.0], 10.0).is_none());
}

/// Vents stand on the upright faces alone; the lower leg of an M has its own vent, and the sprue stands low.
#[test]
fn each_peak_gets_its_vent_where_one_may_stand() {
    let outline =
        [[0.0, 0.0], [30.0, 0.0], [30.0, 20.0], [20.0, 20.0], [20.0, 8.0], [10.0, 8.0], [10.0, 14.0], [0.0, 14.0]];
    let cavity = upright(&outline, 5.0);
    let at_sprue = |p: &SurfacePoint| p.normal[1] > END && (p.at_mm[1] - 8.0).abs() < 1e-6;
    let level = [Attitude::tilted(Y, X, 0.0)];
    let tops = |p: &SurfacePoint| p.normal[1] > END;
    let plan = plan_vents(&cavity, &VentBrief::new(&level, &at_sprue, &tops)).expect("it can be planned");
    let mut places: Vec<f64> = plan.vents.iter().map(|v| v.opening.at_mm[1]).collect();
    places.sort_by(f64::total_cmp);
    assert_eq!(places.len(), 2, "{plan:?}");
    assert!((places[0] - 14.0).abs() < 1e-9 && (places[1] - 20.0).abs() < 1e-9);
    assert!(plan.pockets_left.is_empty());

    // If none may stand on the higher peak, the pocket is left and told with its place and volume.
    let lower = |p: &SurfacePoint| p.normal[1] > END && p.at_mm[1] < 15.0;
    let plan = plan_vents(&cavity, &VentBrief::new(&level, &at_sprue, &lower)).expect("it can be planned");
    assert_eq!(plan.vents.len(), 1);
    assert_eq!(plan.pockets_left.len(), 1);
    assert_pocket(&plan.pockets_left[0], 20.0, 8.0, 1200.0, 100.0);
    assert!(plan.pockets_left[0].highest_mm[0] >= 20.0);

    // On the ends, a vent stands as high as it can, so that its edge reaches the top.
    let plan = plan_vents(&cavity, &VentBrief::new(&level, &at_sprue, &is_end)).expect("it can be planned");
    assert!(plan.pockets_left.is_empty() && plan.vents.iter().all(|v| v.normal[2].abs() > END), "{plan:?}");
    assert!(matches!(
        plan_vents(&cavity, &VentBrief::new(&level, &|_| false, &is_end)),
        Err(CavityError::NoSpruePlace)
    ));
    assert!(matches!(plan_vents(&cavity, &VentBrief::new(&[], &at_sprue, &is_end)), Err(CavityError::NoAttitude)));
}

/// A lying roof of 60 mm has a ridge, and its ends fall.
#[test]
fn a_level_ridge_is_a_flat_top_with_vents_along_it() {
    let roof = upright(&[[-5.0, 0.0], [5.0, 0.0], [0.0, 6.0]], 30.0);
    let tops = flat_tops(&roof, Y, &AirLimits::default()).expect("closed");
    assert_eq!(tops.len(), 1);
    assert!(tops[0].area_mm2 <= 0.0 && (tops[0].extent_mm - 60.0).abs() < 1e-9, "{tops:?}");
    let at_sprue = |p: &SurfacePoint| p.normal[2] > END && p.at_mm[1] < 3.0;
    let anywhere = |p: &SurfacePoint| p.normal[2].abs() < END;
    let level = [Attitude::tilted(Y, X, 0.0)];
    let plan = plan_vents(&roof, &VentBrief::new(&level, &at_sprue, &anywhere)).expect("it can be planned");
    let mut along: Vec<f64> = plan.vents.iter().map(|v| v.opening.at_mm[2]).collect();
    along.sort_by(f64::total_cmp);
    assert!(along.windows(2).all(|pair| pair[1] - pair[0] <= 26.0), "{along:?}");
    // The sprue serves the other end.
    assert!(along[0] < -17.0 && along[0] > -26.0 && plan.sprue.opening.at_mm[2] > 29.0, "{plan:?}");
    assert!(along.len() <= 3 && plan.flat_tops_left.is_empty(), "{along:?}");
}
