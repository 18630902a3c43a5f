//! Moulds: distances of masters, keys and walls, exact volumes, valid parts, limits of printer and vessel.

use std::f64::consts::PI;

use gripwright_casting::mould::{
    BoxSize, LayoutError, MasterKind, Misfit, MouldFigures, MouldLayout, MouldLimits, MouldPart, PartKind, Parting,
    Peg, RodKind, RodOpening, lay_out, misfits, mould_parts, turn_on_bed_rad,
};
use gripwright_section::{ClipBack, Curve, Outline, Point, Role, RoundClip, Segment, circle, rounded_rectangle};
use gripwright_solid::{CheckLimits, PlateSpec, Relief, check, mass_properties, plate, triangulate};

/// A peg that fits in the sprue of the samples.
const PEG: Peg = Peg { length_mm: 3.2, width_mm: 2.0, turn_rad: 0.3 };

/// Area of the peg, larger by a gap all round, mm².
fn peg_mm2(gap_mm: f64) -> f64 {
    let (length, width) = (3.2 + 2.0 * gap_mm, 2.0 + 2.0 * gap_mm);
    (length - width) * width + 0.25 * PI * width * width
}

const NO_LIMITS: MouldLimits = MouldLimits { bed_mm: None, vessel_mm: None, up: None };

fn clip_outline() -> Outline {
    let back = ClipBack::Pad { half_width_mm: 5.0, depth_mm: 6.0, fillet_mm: 1.5 };
    let clip =
        RoundClip { seat_radius_mm: 6.0, root_wall_mm: 2.4, lip_wall_mm: 1.6, half_wrap_rad: 2.0, lead_in: None, back };
    clip.outline().expect("the sample clip can be drawn")
}

fn opening(kind: RodKind, at: [f64; 2], height_mm: f64) -> RodOpening {
    let is_sprue = kind == RodKind::Sprue;
    RodOpening {
        at,
        height_mm,
        kind,
        diameter_mm: if is_sprue { 4.0 } else { 2.0 },
        peg: (is_sprue && height_mm <= 0.0).then_some(PEG),
    }
}

/// Prism over an outline, with a sprue at a place and vents at others.
fn master(name: &str, outline: Outline, height_mm: f64, openings: Vec<RodOpening>) -> MasterKind {
    let volume_mm3 = height_mm * outline.area_mm2();
    MasterKind { name: name.to_owned(), outlines: vec![outline], height_mm, volume_mm3, wanted: 1, openings }
}

/// Two sizes of clips and a block. The pad of a clip is thick enough for the sprue.
fn kinds(height_mm: f64) -> Vec<MasterKind> {
    let clip = clip_outline();
    let low = clip.bounds().min.y;
    let vent = |x: f64| opening(RodKind::Vent, [x, 2.0], height_mm);
    let sprue = opening(RodKind::Sprue, [0.0, low + 3.0], height_mm);
    let block = rounded_rectangle(16.0, 24.0, 3.0).expect("it can be drawn");
    let block_sprue = opening(RodKind::Sprue, [0.0, 0.0], height_mm);
    let block_vent = opening(RodKind::Vent, [0.0, 10.5], height_mm);
    vec![
        MasterKind { wanted: 3, ..master("clip", clip, 15.0, vec![sprue, vent(7.2), vent(-7.2)]) },
        MasterKind { wanted: 2, ..master("block", block, 8.0, vec![block_sprue, block_vent]) },
    ]
}

fn placed(kind: &MasterKind, layout: &MouldLayout, place: usize) -> Outline {
    let at = &layout.places[place];
    kind.outlines[0].moved(at.turn_rad, Point::new(at.at[0], at.at[1]))
}

fn masters(kinds: &[MasterKind], layout: &MouldLayout) -> Vec<Outline> {
    (0..layout.places.len()).map(|i| placed(&kinds[layout.places[i].kind], layout, i)).collect()
}

fn points(outline: &Outline) -> Vec<Point> {
    outline.segments().iter().flat_map(|s| (0..60).map(|k| s.curve.at(f64::from(k) / 60.0))).collect()
}

fn rectangle(size: [f64; 2]) -> Outline {
    let [x, y] = size.map(|s| 0.5 * s);
    let corners = [Point::new(-x, -y), Point::new(x, -y), Point::new(x, y), Point::new(-x, y)];
    let side = |i: usize| Segment::new(Curve::line(corners[i], corners[(i + 1) % 4]), Role::Body);
    Outline::new((0..4).map(side).collect()).expect("it is closed")
}

fn volume_mm3(part: &MouldPart) -> f64 {
    mass_properties(part.solid.brep()).expect("a part has a volume").volume_mm3
}

fn volume_of(parts: &[MouldPart], kind: PartKind) -> f64 {
    parts.iter().filter(|p| p.kind == kind).map(|p| volume_mm3(p) * p.places.len() as f64).sum()
}

#[test]
fn masters_keys_and_walls_keep_their_distances() {
    let kinds = kinds(0.0);
    let figures = MouldFigures::default();
    let layout = lay_out(&kinds, Parting::End, &figures, &NO_LIMITS).unwrap();
    assert_eq!(layout.counts(2), [3, 2]);
    let masters = masters(&kinds, &layout);
    let [half_width, half_depth] = layout.inner_mm.map(|s| 0.5 * s);
    for (i, outline) in masters.iter().enumerate() {
        for p in points(outline) {
            assert!(
                half_width - p.x.abs() >= figures.round_mm - 1e-9 && half_depth - p.y.abs() >= figures.round_mm - 1e-9
            );
            for other in &masters[..i] {
                assert!(other.nearest(p).distance_mm >= figures.fin_mm - 1e-9);
            }
        }
        // Nothing but the peg's hole is under a master: it lies flat on the board.
        for key in &layout.keys {
            let clear = outline.nearest(Point::new(key[0], key[1])).distance_mm;
            assert!(clear >= 0.5 * figures.keys.diameter_mm + figures.keys.apart_mm - 1e-9, "{clear}");
        }
    }
    assert!(layout.keys.len() >= 3);
    for [x, y] in &layout.keys {
        let from_wall = (half_width - x.abs()).min(half_depth - y.abs()) - 0.5 * figures.keys.diameter_mm;
        assert!(from_wall >= figures.keys.apart_mm - 1e-9);
    }
    for reservoir in &layout.reservoirs {
        for vent in layout.openings.iter().filter(|o| o.opening.kind == RodKind::Vent) {
            let at = Point::new(vent.opening.at[0], vent.opening.at[1]);
            assert!(reservoir.outline.nearest(at).distance_mm >= figures.fin_mm + 1.0 - 1e-9);
        }
    }
    let least = figures.reservoir_share * layout.volumes.masters_mm3;
    assert!(layout.volumes.reservoirs_mm3 >= least);
}

/// The first half, built as a solid of its own, has the volume that the layout states.
#[test]
fn rubber_of_the_first_half_is_exact() {
    let kinds = kinds(0.0);
    let figures = MouldFigures::default();
    let layout = lay_out(&kinds, Parting::End, &figures, &NO_LIMITS).unwrap();
    let mut lower: Vec<Relief> = masters(&kinds, &layout)
        .into_iter()
        .zip(&layout.places)
        .map(|(outline, place)| Relief::straight(outline, -kinds[place.kind].height_mm))
        .collect();
    for [x, y] in &layout.keys {
        let outline = circle(figures.keys.diameter_mm).unwrap().moved(0.0, Point::new(*x, *y));
        lower.push(Relief { draft_rad: figures.keys.taper_rad, ..Relief::straight(outline, figures.keys.depth_mm) });
    }
    let block = PlateSpec { lower, ..PlateSpec::plain(rectangle(layout.inner_mm), layout.above_mm) };
    let rubber = plate("first half", &block).unwrap();
    let exact = mass_properties(rubber.brep()).unwrap().volume_mm3;
    assert!((layout.volumes.first_rubber_mm3 / exact - 1.0).abs() < 1e-9);
}

/// Rubber, masters, parts and the gaps between them fill the box, each measured by itself.
#[test]
fn parts_and_voids_fill_the_box() {
    let kinds = kinds(0.0);
    let figures = MouldFigures::default();
    let layout = lay_out(&kinds, Parting::End, &figures, &NO_LIMITS).unwrap();
    let parts = mould_parts(&layout, &figures).unwrap();
    let (size, gap) = (BoxSize::new(&layout, &figures), figures.clearance_mm);
    let [width, depth] = layout.inner_mm;
    let slide = (width - 2.0 * gap) * (depth - 2.0 * gap);
    let block = size.outer_mm[0] * size.outer_mm[1] * size.height_mm;
    // First pour: walls, floor and board around rubber and masters.
    let comb = 4.0 * figures.wall_mm * figures.wall_mm * size.wall_height_mm
        - (volume_of(&parts, PartKind::Wall) - 2.0 * (width + depth) * figures.wall_mm * size.wall_height_mm);
    let gaps_a_corner = comb / (4.0 * figures.wall_mm * figures.wall_mm * gap);
    assert!((gaps_a_corner - gaps_a_corner.round()).abs() < 1e-6 && gaps_a_corner.round() >= 2.0, "{gaps_a_corner}");
    let ring = (width * depth - slide) * layout.below_mm;
    let pegs: f64 = layout.openings.iter().filter(|o| o.opening.peg.is_some()).count() as f64;
    let peg_holes = pegs * peg_mm2(0.1) * 5.0;
    let solids: f64 = [PartKind::Floor, PartKind::Board, PartKind::Wall].iter().map(|k| volume_of(&parts, *k)).sum();
    let filled = layout.volumes.first_rubber_mm3 + layout.volumes.masters_mm3 + solids + comb + ring + peg_holes;
    assert!((filled / block - 1.0).abs() < 1e-6, "{filled} {block}");
    // Second pour: the lid with rods and formers.
    let pegs_of_rods = pegs * (peg_mm2(0.0) * (2.0 - gap) - PI * 1.1 * 1.1 * (2.0 + gap));
    let pegs_of_formers = layout.places.len() as f64 * PI * 2.0;
    let rods = volume_of(&parts, PartKind::SprueRod) - pegs_of_rods + volume_of(&parts, PartKind::VentRod);
    let formers = volume_of(&parts, PartKind::ReservoirFormer) - pegs_of_formers;
    let keys = layout.volumes.first_rubber_mm3 + layout.volumes.masters_mm3 - width * depth * layout.above_mm;
    let lid = layout.volumes.lid_rubber_mm3 + rods + formers + keys;
    assert!((lid / (width * depth * layout.below_mm) - 1.0).abs() < 1e-6);
    assert!((rods / layout.volumes.rods_mm3 - 1.0).abs() < 1e-9);
    assert!((formers / layout.volumes.reservoirs_mm3 - 1.0).abs() < 1e-9);
}

#[test]
fn every_part_is_valid_and_lies_on_the_bed() {
    for (parting, kinds) in [(Parting::End, kinds(0.0)), (Parting::Cut, kinds(4.0))] {
        let figures = MouldFigures::default();
        let layout = lay_out(&kinds, parting, &figures, &NO_LIMITS).unwrap();
        let parts = mould_parts(&layout, &figures).unwrap();
        for part in &parts {
            let name = part.solid.name();
            assert_eq!(check(&part.solid, &CheckLimits::default()), vec![], "{name}");
            let mesh = triangulate(part.solid.brep(), 0.02).unwrap();
            let exact = mass_properties(part.solid.brep()).unwrap();
            assert!((mesh.volume_mm3() - exact.volume_mm3).abs() < 0.02 * exact.area_mm2, "{name}");
            assert!(part.solid.brep().bounds().unwrap().min_mm[2].abs() < 1e-12, "{name}");
            assert!(!part.places.is_empty());
        }
        let names: Vec<&str> = parts.iter().map(|p| p.solid.name()).collect();
        assert_eq!(names.contains(&"board"), parting == Parting::End);
        let vents: usize = parts.iter().filter(|p| p.kind == PartKind::VentRod).map(|p| p.places.len()).sum();
        assert_eq!(vents, 8);
        assert_placed(&parts, &layout, &figures);
    }
}

/// Walls stand round the room and floor and rods end where they should.
fn assert_placed(parts: &[MouldPart], layout: &MouldLayout, figures: &MouldFigures) {
    let size = BoxSize::new(layout, figures);
    for part in parts {
        for place in &part.places {
            let bounds = part.solid.moved(place).brep().bounds().expect("it has vertices");
            for (k, outer) in size.outer_mm.iter().enumerate() {
                assert!(bounds.max_mm[k] <= 0.5 * outer + 1e-9 && bounds.min_mm[k] >= -0.5 * outer - 1e-9);
            }
            assert!(bounds.max_mm[2] <= layout.above_mm + 1e-9);
            match part.kind {
                PartKind::Wall => {
                    let inner = [0, 1].map(|k| bounds.min_mm[k].abs().min(bounds.max_mm[k].abs()));
                    let stands = [0, 1].iter().any(|&k| (inner[k] - 0.5 * layout.inner_mm[k]).abs() < 1e-9);
                    assert!(stands && (bounds.max_mm[2] - layout.above_mm).abs() < 1e-9);
                }
                PartKind::Board => assert!(bounds.max_mm[2].abs() < 1e-9),
                PartKind::Pin => {
                    assert!((bounds.max_mm[2] - (figures.pegs.depth_mm - figures.clearance_mm)).abs() < 1e-9);
                    assert!((bounds.min_mm[2] - (figures.clearance_mm - 5.0)).abs() < 1e-9);
                    assert_in_a_hole(&part.solid.moved(place), layout);
                }
                PartKind::SprueRod if layout.parting == Parting::End => {
                    assert!((bounds.max_mm[2] - (figures.pegs.depth_mm - figures.clearance_mm)).abs() < 1e-9);
                }
                PartKind::VentRod if layout.parting == Parting::End => {
                    assert!(bounds.max_mm[2].abs() < 1e-9 && (bounds.min_mm[2] + layout.below_mm).abs() < 1e-9);
                }
                _ => {}
            }
        }
    }
}

/// A pin stands in the middle of the hole of some master, in the turn of its peg.
fn assert_in_a_hole(pin: &gripwright_solid::Solid, layout: &MouldLayout) {
    let holes = layout
        .openings
        .iter()
        .filter_map(|o| Some(o.opening.peg?.outline(o.opening.at, 0.1).expect("it can be drawn")));
    let fits = |hole: Outline| {
        let gap = |v: &[f64; 3]| -> f64 { hole.nearest(Point::new(v[0], v[1])).distance_mm };
        pin.brep().vertices.iter().all(|v| hole.encloses(Point::new(v[0], v[1])) && (gap(v).abs() - 0.1).abs() < 1e-9)
    };
    assert!(holes.into_iter().any(fits));
}

/// One block: rubber, masters, rods and basins fill the room between walls and floor, each measured by itself.
#[test]
fn a_block_is_filled() {
    let kinds = kinds(4.0);
    let figures = MouldFigures::default();
    let layout = lay_out(&kinds, Parting::Cut, &figures, &NO_LIMITS).unwrap();
    assert!(layout.keys.is_empty() && layout.volumes.lid_rubber_mm3 <= 0.0);
    let parts = mould_parts(&layout, &figures).unwrap();
    let ([width, depth], gap, count) = (layout.inner_mm, figures.clearance_mm, layout.places.len() as f64);
    // The floor: plate, step with holes for the vents, basins with pegs.
    let outer = BoxSize::new(&layout, &figures).outer_mm;
    let vents = layout.openings.iter().filter(|o| o.opening.kind == RodKind::Vent).count() as f64;
    let hole = figures.floor_mm + figures.floor_mm - 1.2;
    let basins = volume_of(&parts, PartKind::Floor)
        - outer[0] * outer[1] * figures.floor_mm
        - (width - 2.0 * gap) * (depth - 2.0 * gap) * figures.floor_mm
        + vents * PI * 1.1 * 1.1 * hole
        - count * PI * 2.0;
    assert!((basins / layout.volumes.reservoirs_mm3 - 1.0).abs() < 1e-6, "{basins}");
    let sprues = volume_of(&parts, PartKind::SprueRod) + count * PI * 1.1 * 1.1 * (2.0 + gap);
    let wires = volume_of(&parts, PartKind::VentRod) - vents * PI * (hole - gap);
    assert!(((sprues + wires) / layout.volumes.rods_mm3 - 1.0).abs() < 1e-6);
    let filled = layout.volumes.rubber_mm3() + layout.volumes.masters_mm3 + sprues + wires + basins;
    let room = width * depth * (layout.above_mm + layout.below_mm);
    assert!((filled / room - 1.0).abs() < 1e-6, "{filled} {room}");
}

/// Parted in the middle: both halves and the bed have the volumes of solids built by themselves.
#[test]
fn a_bed_takes_the_lower_halves_of_the_masters() {
    let kinds = kinds(0.0);
    let figures = MouldFigures::default();
    let layout = lay_out(&kinds, Parting::Middle, &figures, &NO_LIMITS).unwrap();
    assert!((layout.below_mm - 7.5 - figures.below_mm).abs() < 1e-12 && layout.keys.len() >= 3);
    let parts = mould_parts(&layout, &figures).unwrap();
    for part in &parts {
        assert_eq!(check(&part.solid, &CheckLimits::default()), vec![], "{}", part.solid.name());
    }
    let outlines = masters(&kinds, &layout);
    let halves = outlines.iter().zip(&layout.places).map(|(o, p)| (o.clone(), 0.5 * kinds[p.kind].height_mm));
    let mut lower: Vec<Relief> = halves.clone().map(|(outline, depth)| Relief::straight(outline, -depth)).collect();
    for [x, y] in &layout.keys {
        let outline = circle(figures.keys.diameter_mm).unwrap().moved(0.0, Point::new(*x, *y));
        lower.push(Relief { draft_rad: figures.keys.taper_rad, ..Relief::straight(outline, figures.keys.depth_mm) });
    }
    let keys = lower[outlines.len()..].to_vec();
    let half = PlateSpec { lower, ..PlateSpec::plain(rectangle(layout.inner_mm), layout.above_mm) };
    let first = mass_properties(plate("first half", &half).unwrap().brep()).unwrap().volume_mm3;
    assert!((layout.volumes.first_rubber_mm3 / first - 1.0).abs() < 1e-9);
    // The second half takes rods and reservoirs away, each measured as a part.
    let upper = keys.into_iter().map(|k| Relief { rise_mm: -k.rise_mm, ..k });
    let upper = upper.chain(halves.map(|(outline, depth)| Relief::straight(outline, -depth))).collect();
    let solid = PlateSpec { upper, ..PlateSpec::plain(rectangle(layout.inner_mm), layout.below_mm) };
    let lid = mass_properties(plate("second half", &solid).unwrap().brep()).unwrap().volume_mm3;
    let (count, gap) = (layout.places.len() as f64, figures.clearance_mm);
    let pegs = count * (peg_mm2(0.0) * (2.0 - gap) - PI * 1.1 * 1.1 * (2.0 + gap));
    let rods = volume_of(&parts, PartKind::SprueRod) - pegs + volume_of(&parts, PartKind::VentRod);
    let formers = volume_of(&parts, PartKind::ReservoirFormer) - count * PI * 2.0;
    assert!((layout.volumes.lid_rubber_mm3 / (lid - rods - formers) - 1.0).abs() < 1e-9);
    for (pocket, outline) in layout.pockets.iter().zip(&outlines) {
        for p in points(outline) {
            assert!((pocket.outline.nearest(p).distance_mm + gap).abs() < 1e-6);
        }
        let height = kinds[layout.places[pocket.place].kind].height_mm;
        assert!((pocket.depth_mm - 0.5 * height - gap).abs() < 1e-12);
    }
    // Pockets hold the masters without pins, and the holes for pegs of rods change nothing in the bed.
    assert!(parts.iter().all(|p| p.kind != PartKind::Pin));
}

#[test]
fn a_small_bed_or_vessel_tells_by_how_much() {
    let kinds = kinds(0.0);
    let figures = MouldFigures::default();
    let layout = lay_out(&kinds, Parting::End, &figures, &NO_LIMITS).unwrap();
    let size = BoxSize::new(&layout, &figures);
    let [width, depth] = size.outer_mm;
    let diagonal = width.hypot(depth);
    let vessel = |diameter: f64, height: f64| MouldLimits { vessel_mm: Some([diameter, height]), ..NO_LIMITS };
    assert_eq!(misfits(&layout, &figures, &vessel(diagonal, size.height_mm)), vec![]);
    match misfits(&layout, &figures, &vessel(diagonal - 7.0, size.height_mm - 2.0)).as_slice() {
        [Misfit::VesselDiameter { over_mm }, Misfit::VesselHeight { over_mm: higher }] => {
            assert!((over_mm - 7.0).abs() < 1e-9 && (higher - 2.0).abs() < 1e-9);
        }
        other => panic!("{other:?}"),
    }
    let tiny = MouldLimits { bed_mm: Some([30.0, 200.0]), ..NO_LIMITS };
    let long = misfits(&layout, &figures, &tiny);
    assert!(long.iter().any(|m| matches!(m, Misfit::Bed { part: "the floor", over_mm } if over_mm[1] > 0.0)));
}

/// A box in an attitude against all of its corners, turned by hand.
#[test]
fn a_tilted_box_takes_the_cylinder_around_its_corners() {
    let layout = lay_out(&kinds(0.0), Parting::End, &MouldFigures::default(), &NO_LIMITS).unwrap();
    let size = BoxSize::new(&layout, &MouldFigures::default());
    let [width, depth] = size.outer_mm;
    for (tilt, side) in [(0.0, 0.0), (0.21, 0.0), (0.21, 0.9), (1.2, 2.0)] {
        let (tilt, side): (f64, f64) = (tilt, side);
        let up = [tilt.sin() * side.cos(), tilt.sin() * side.sin(), -tilt.cos()];
        let (mut across, mut low, mut high): (f64, f64, f64) = (0.0, f64::INFINITY, f64::NEG_INFINITY);
        for signs in 0..8 {
            let sign = |bit: u8| if signs >> bit & 1 == 1 { 0.5 } else { -0.5 };
            let corner = [sign(0) * width, sign(1) * depth, sign(2) * size.height_mm];
            let rise: f64 = (0..3).map(|k| corner[k] * up[k]).sum();
            let level: f64 = (0..3).map(|k| (corner[k] - rise * up[k]).powi(2)).sum();
            (across, low, high) = (across.max(2.0 * level.sqrt()), low.min(rise), high.max(rise));
        }
        let [found_across, found_tall] = size.in_attitude_mm(up);
        assert!((found_across - across).abs() < 1e-9 && (found_tall - (high - low)).abs() < 1e-9, "{tilt} {side}");
        // A vessel of just this size takes the mould; one that is lower or narrower does not.
        let vessel = |less: [f64; 2]| MouldLimits {
            vessel_mm: Some([across.max(width.hypot(depth)) - less[0], (high - low).max(size.height_mm) - less[1]]),
            up: Some(up),
            ..NO_LIMITS
        };
        let figures = MouldFigures::default();
        assert_eq!(misfits(&layout, &figures, &vessel([-1e-6; 2])), vec![]);
        assert_eq!(misfits(&layout, &figures, &vessel([-1e-6, 1.0])).len(), 1);
        assert_eq!(misfits(&layout, &figures, &vessel([1.0, -1e-6])).len(), 1);
    }
}

/// Turns of a rectangle on a bed against a fine search.
#[test]
fn a_long_part_fits_across_the_bed() {
    let fits = |[a, b]: [f64; 2], bed: [f64; 2], turn: f64| {
        a * turn.cos() + b * turn.sin() <= bed[0] + 1e-6 && a * turn.sin() + b * turn.cos() <= bed[1] + 1e-6
    };
    for extent in
        [[200.0, 50.0], [250.0, 50.0], [260.0, 20.0], [262.0, 60.0], [280.0, 30.0], [300.0, 5.0], [320.0, 1.0]]
    {
        for bed in [[220.0, 220.0], [100.0, 260.0], [256.0, 200.0], [60.0, 250.0]] {
            let steps = (0..=9000).map(|k| f64::from(k) / 9000.0 * std::f64::consts::FRAC_PI_2);
            let by_search = steps.into_iter().any(|turn| fits(extent, bed, turn));
            let found = turn_on_bed_rad(extent, bed);
            assert_eq!(found.is_some(), by_search, "{extent:?} on {bed:?}");
            assert!(found.is_none_or(|turn| fits(extent, bed, turn)), "{extent:?} on {bed:?}: {found:?}");
        }
    }
}

#[test]
fn impossible_requests_are_refused() {
    let figures = MouldFigures::default();
    let refused =
        |kinds: &[MasterKind], figures: &MouldFigures| lay_out(kinds, Parting::End, figures, &NO_LIMITS).unwrap_err();
    assert_eq!(refused(&[], &figures), LayoutError::NoMasters);
    let mut dry = kinds(0.0);
    dry[1].openings.retain(|o| o.kind == RodKind::Vent);
    assert_eq!(refused(&dry, &figures), LayoutError::NoSprue { kind: "block".to_owned() });
    let thin = MouldFigures { below_mm: 6.0, ..figures };
    assert!(matches!(refused(&kinds(0.0), &thin), LayoutError::Figure { .. }));
}

/// Where vents and walls leave no room for its share, a reservoir is as large as they let it be.
#[test]
fn reservoirs_grow_as_far_as_there_is_room() {
    let greedy = MouldFigures { reservoir_share: 50.0, ..MouldFigures::default() };
    let usual = lay_out(&kinds(0.0), Parting::End, &MouldFigures::default(), &NO_LIMITS).unwrap();
    let layout = lay_out(&kinds(0.0), Parting::End, &greedy, &NO_LIMITS).unwrap();
    let volumes = [usual, layout].map(|layout| layout.volumes);
    assert!(volumes[1].reservoirs_mm3 > volumes[0].reservoirs_mm3);
    assert!(volumes[1].reservoirs_mm3 < 50.0 * volumes[1].masters_mm3);
}
