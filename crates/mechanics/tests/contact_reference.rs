//! The contact solver against finite-element studies of our own. The data files describe how they were made.
//!
//! Run with `--nocapture` to see the tables.

#![expect(clippy::print_stdout, reason = "the figures are what the reader of these tests is after")]

use gripwright_mechanics::{
    ArmGeometry, CoulombFriction, ForceTravel, GREATEST_WALL_OVER_CORNER, GREATEST_WALL_OVER_SEAT_RADIUS, HoldingLoad,
    InsertionOutcome, MeshDensity, MeshedClip, PlaneStiffness, RigidDisplacement, RigidSection, SnapRun,
    SolverSettings, TiltingClip, displace_from_rest, simulate, solve_split_ring,
};
use gripwright_section::{
    ClipBack, HexagonOrientation, LeadIn, LipRound, Mount, RoundClip, SplitRing, hexagon, rounded_rectangle,
};

const ROUND: &str = include_str!("data/round-clips.csv");
const FURTHER: &str = include_str!("data/fem-clips.csv");
const DISPLACED: &str = include_str!("data/fem-displacements.csv");
const TILTED: &str = include_str!("data/fem-tilting.csv");
const FILLETS: &str = include_str!("data/fem-fillets.csv");
const RINGS: &str = include_str!("data/fem-rings.csv");

struct Case {
    cells: Vec<(String, String)>,
}

impl Case {
    fn text(&self, column: &str) -> Option<&str> {
        let (_, text) = self.cells.iter().find(|(name, _)| name == column)?;
        (!text.is_empty()).then_some(text.as_str())
    }

    fn maybe(&self, column: &str) -> Option<f64> {
        self.text(column).map(|text| text.parse().expect("figures are numbers"))
    }

    fn get(&self, column: &str) -> f64 {
        self.maybe(column).unwrap_or_else(|| panic!("the reference has no {column}"))
    }

    fn name(&self) -> &str {
        &self.cells[0].1
    }

    fn run(&self) -> SnapRun {
        let (modulus, poisson) = (self.maybe("E_MPa").unwrap_or(2000.0), self.maybe("nu").unwrap_or(0.38));
        let friction = CoulombFriction { coefficient: self.get("mu") };
        let (clip, rigid) = self.parts();
        simulate(&clip, &rigid, friction, PlaneStiffness::plane_strain(modulus, poisson), &SolverSettings::default())
    }

    fn parts(&self) -> (MeshedClip, RigidSection) {
        if self.maybe("body_width_mm").is_some() { self.mount() } else { self.round() }
    }

    /// Wall over the radius of the seat, for mounts that of the seat's corners; `None` for cases of other studies.
    fn wall_ratio(&self) -> Option<f64> {
        let thick = ["wall-", "body-wall-", "body-corner-", "body-sharp"];
        let radius_mm = || match self.maybe("body_corner_mm") {
            Some(corner_mm) => corner_mm + self.get("gap_mm"),
            None => self.get("Ri_mm"),
        };
        thick.iter().any(|start| self.name().starts_with(start)).then(|| self.get("t_mm") / radius_mm())
    }

    fn half_wrap_rad(&self) -> f64 {
        0.5 * self.get("wrap_2alpha_deg").to_radians()
    }

    fn round(&self) -> (MeshedClip, RigidSection) {
        let wall = self.get("t_mm");
        let flare = self.maybe("lead_in_radius_mm").zip(self.maybe("lead_in_angle_deg"));
        let drawn = RoundClip {
            seat_radius_mm: self.get("Ri_mm"),
            root_wall_mm: wall,
            lip_wall_mm: self.maybe("lip_wall_mm").unwrap_or(wall),
            half_wrap_rad: self.half_wrap_rad(),
            lead_in: flare.map(|(radius_mm, angle)| LeadIn { radius_mm, angle_rad: angle.to_radians() }),
            // The pad's edge is given as an angle; its drawing plays no part.
            back: ClipBack::Pad { half_width_mm: 1.0, depth_mm: 1.0, fillet_mm: 0.5 },
        };
        let pad = self.get("clamp_halfangle_gamma_deg").to_radians();
        let clip = MeshedClip::from_round_clip(&drawn, pad, [0.0, 0.0], MeshDensity::default())
            .expect("the study's clips are sound");
        (
            clip,
            self.attitude().map_or_else(|| RigidSection::round(self.get("Rt_mm")), |attitude| self.hexagon(attitude)),
        )
    }

    fn attitude(&self) -> Option<HexagonOrientation> {
        self.text("hexagon_down").map(|down| match down {
            "flat" => HexagonOrientation::FlatDown,
            "corner" => HexagonOrientation::CornerDown,
            _ => panic!("a hexagon lies on a flat or on a corner, not on {down}"),
        })
    }

    fn hexagon(&self, attitude: HexagonOrientation) -> RigidSection {
        let bar = hexagon(self.get("hexagon_flats_mm"), self.get("hexagon_corner_mm"), attitude);
        RigidSection::from_outline(&bar.expect("the study's bars are sound")).expect("hexagons are convex")
    }

    fn mount(&self) -> (MeshedClip, RigidSection) {
        let body = rounded_rectangle(self.get("body_width_mm"), self.get("body_height_mm"), self.get("body_corner_mm"))
            .expect("the study's bodies are sound");
        let (wall, pad_mm) = (self.get("t_mm"), self.get("clamp_halfwidth_mm"));
        let mount = Mount {
            body: body.clone(),
            gap_mm: self.get("gap_mm"),
            wall_mm: wall,
            half_wrap_rad: self.half_wrap_rad(),
            lead_in: None,
            back: ClipBack::Pad { half_width_mm: pad_mm, depth_mm: 1.0, fillet_mm: 0.5 },
        };
        let face = mount.right_arm().expect("the study's mounts are sound");
        let end = face.last().expect("an arm has a face");
        let lip = LipRound { centre: end.end() - end.tangent(1.0).turned_left() * (0.5 * wall), radius_mm: 0.5 * wall };
        let plan = ArmGeometry { inner_face: &face, wall: &|_, _| wall, pad_mm, lip };
        let clip = MeshedClip::symmetric(&plan, MeshDensity::default()).expect("the study's mounts are sound");
        (clip, RigidSection::from_outline(&body).expect("the study's bodies are convex"))
    }
}

fn cases(text: &str) -> Vec<Case> {
    let mut lines = text.lines().filter(|l| !l.starts_with('#') && !l.trim().is_empty());
    let head: Vec<&str> = lines.next().expect("the reference has a head line").split(',').collect();
    let row = |line: &str| Case {
        cells: head.iter().zip(line.split(',')).map(|(name, v)| ((*name).to_owned(), v.trim().to_owned())).collect(),
    };
    lines.map(row).collect()
}

fn near(case: &Case, what: &str, found: f64, wanted: f64, share: f64) {
    let ratio = found / wanted;
    print!("  {what} {ratio:.4}");
    assert!((ratio - 1.0).abs() <= share, "{}: {what} {found} against {wanted}", case.name());
}

/// Even round clips: measured within 0.6 % for forces and grip, 1.2 % for strain, 0.2 % for the opening.
#[test]
fn round_clips_agree_with_finite_elements() {
    let cases = cases(ROUND);
    assert_eq!(cases.len(), 8);
    for case in &cases {
        let snap = case.run();
        print!("{:16}", case.name());
        assert_eq!(snap.outcome == InsertionOutcome::Snaps, case.get("snaps_in") > 0.5, "{}", case.name());
        near(case, "snap-in", snap.snap_in.force_n_per_mm, case.get("ins_peak_extrap_N_per_mm"), 0.01);
        near(case, "pull-out", snap.pull_out.force_n_per_mm, case.get("ret_peak_extrap_N_per_mm"), 0.01);
        near(case, "strain in", snap.inner_strain_in, case.get("eps_inner_max_insertion"), 0.02);
        near(case, "strain out", snap.inner_strain_out, case.get("eps_inner_max_pullout"), 0.02);
        near(case, "opening", snap.opening_mm, case.get("tip_open_max_mm"), 0.005);
        let interference = case.get("Rt_mm") - case.get("Ri_mm");
        if interference > 0.0 {
            near(case, "grip", snap.grip_n_per_mm, case.get("grip_extrap_N_per_mm"), 0.015);
            near(case, "strain at rest", snap.strain_at_rest, case.get("eps_inner_at_seat"), 0.02);
            let seat = case.get("seat_tool_y_mm");
            assert!((snap.seat_axis_mm - seat).abs() < 0.01, "{}: seat {}", case.name(), snap.seat_axis_mm);
        }
        println!();
    }
}

/// Tapered clips, lead-ins and mounts on rounded rectangles: measured within 1.6 % for forces, 1.4 % for strain,
/// 0.9 % for grip and 0.4 % for the opening.
#[test]
fn further_clips_and_mounts_agree_with_finite_elements() {
    let usual = |case: &Case| case.attitude().is_none() && case.wall_ratio().is_none();
    let cases: Vec<Case> = cases(FURTHER).into_iter().filter(usual).collect();
    assert_eq!(cases.len(), 12);
    let mut held_short = 0;
    for case in &cases {
        let snap = case.run();
        print!("{:16}", case.name());
        near(case, "strain in", snap.inner_strain_in, case.get("eps_inner_max_insertion"), 0.03);
        near(case, "opening", snap.opening_mm, case.get("tip_open_max_mm"), 0.01);
        let (seat, push) = (case.get("seat_tool_y_mm"), case.get("ins_peak_extrap_N_per_mm"));
        if let Some(before) = push_before_held_short(&snap, seat) {
            held_short += 1;
            near(case, "snap-in before the flanks hold", before, push, 0.03);
            println!();
            continue;
        }
        assert_eq!(snap.outcome == InsertionOutcome::Snaps, case.get("snaps_in") > 0.5, "{}", case.name());
        near(case, "snap-in", snap.snap_in.force_n_per_mm, push, 0.03);
        near(case, "pull-out", snap.pull_out.force_n_per_mm, case.get("ret_peak_extrap_N_per_mm"), 0.03);
        assert!((snap.seat_axis_mm - seat).abs() < 0.01, "{}: seat {}", case.name(), snap.seat_axis_mm);
        let grip = case.get("grip_extrap_N_per_mm");
        if grip > 0.05 * push {
            near(case, "grip", snap.grip_n_per_mm, grip, 0.03);
        }
        println!();
    }
    assert!(held_short <= 1, "{held_short} cases say nothing of the pull-out");
}

/// Greatest push up to the study's seat, where the study stops because the flanks hold the body short of the floor. The
/// program pushes it home. `None` where both reach the same seat.
fn push_before_held_short(snap: &SnapRun, seat_mm: f64) -> Option<f64> {
    let held_short = snap.outcome == InsertionOutcome::PushedHome && snap.seat_axis_mm < seat_mm - 0.1;
    let upto = snap.insertion.iter().filter(|point| point.axis_mm >= seat_mm).map(|point| point.force_n_per_mm);
    held_short.then(|| upto.fold(0.0, f64::max))
}

/// Round clips with even and tapered walls of 0.3 to 0.8 of the seat's radius: measured within 1.8 % for push, pull, grip
/// and strain, 1.3 % for the opening.
#[test]
fn thick_round_clips_agree_with_finite_elements() {
    let thick = |case: &Case| case.wall_ratio().is_some() && case.text("kind") == Some("round");
    let mut cases: Vec<Case> = cases(FURTHER).into_iter().filter(thick).collect();
    cases.sort_by(|a, b| a.wall_ratio().partial_cmp(&b.wall_ratio()).expect("ratios are numbers"));
    let ratios: Vec<f64> = cases.iter().filter_map(Case::wall_ratio).collect();
    for wanted in [0.3, 0.4, 0.5, 0.6, GREATEST_WALL_OVER_SEAT_RADIUS] {
        assert!(ratios.iter().any(|ratio| (ratio - wanted).abs() < 1e-9), "no case has a wall of {wanted} radii");
    }
    for (case, ratio) in cases.iter().zip(ratios) {
        let snap = case.run();
        print!("{:16} wall over radius {ratio:.2}", case.name());
        assert_eq!(snap.outcome == InsertionOutcome::Snaps, case.get("snaps_in") > 0.5, "{}", case.name());
        near(case, "snap-in", snap.snap_in.force_n_per_mm, case.get("ins_peak_extrap_N_per_mm"), 0.02);
        near(case, "pull-out", snap.pull_out.force_n_per_mm, case.get("ret_peak_extrap_N_per_mm"), 0.02);
        near(case, "grip", snap.grip_n_per_mm, case.get("grip_extrap_N_per_mm"), 0.02);
        near(case, "strain in", snap.inner_strain_in, case.get("eps_inner_max_insertion"), 0.02);
        near(case, "opening", snap.opening_mm, case.get("tip_open_max_mm"), 0.015);
        println!();
    }
}

/// Mounts on rounded rectangles with walls of up to 0.6 of the body's mean half extent and 1.1 of the seat's corners:
/// measured within 2 % for push, pull and strain; the grip up to 9 % too low.
///
/// Sharper corners bend more than a curved beam says: with a wall of 1.6 and 3.3 times the corner, push and strain are
/// measured up to 12 % and 15 % too high.
#[test]
fn thick_mounts_agree_with_finite_elements() {
    let thick = |case: &Case| case.wall_ratio().is_some() && case.text("kind") == Some("body");
    let (mut proved, mut beyond) = (0, 0);
    for case in cases(FURTHER).into_iter().filter(thick) {
        let snap = case.run();
        let over_extent = case.get("t_mm") / (0.25 * (case.get("body_width_mm") + case.get("body_height_mm")));
        let over_corner = case.wall_ratio().expect("it has one");
        print!("{:16} wall over mean half extent {over_extent:.2}, over corner {over_corner:.2}", case.name());
        let is_proved = over_corner <= GREATEST_WALL_OVER_CORNER;
        *(if is_proved { &mut proved } else { &mut beyond }) += 1;
        let share = if is_proved { 0.025 } else { 0.16 };
        near(&case, "strain in", snap.inner_strain_in, case.get("eps_inner_max_insertion"), share);
        let (seat, push) = (case.get("seat_tool_y_mm"), case.get("ins_peak_extrap_N_per_mm"));
        if let Some(before) = push_before_held_short(&snap, seat) {
            near(&case, "snap-in before the flanks hold", before, push, share);
        } else {
            near(&case, "snap-in", snap.snap_in.force_n_per_mm, push, share);
            near(&case, "grip", snap.grip_n_per_mm, case.get("grip_extrap_N_per_mm"), share.max(0.1));
        }
        if snap.outcome == InsertionOutcome::Snaps {
            near(&case, "pull-out", snap.pull_out.force_n_per_mm, case.get("ret_peak_extrap_N_per_mm"), share);
        }
        println!();
    }
    assert!(proved >= 5 && beyond >= 2, "{proved} proved, {beyond} beyond");
}

/// Hexagonal bars on a flat and on a corner, most of them pushed home against flanks that hold them short.
#[test]
fn hexagonal_bars_agree_with_finite_elements() {
    let cases: Vec<Case> = cases(FURTHER).into_iter().filter(|case| case.attitude().is_some()).collect();
    let flat_down = cases.iter().filter(|case| case.attitude() == Some(HexagonOrientation::FlatDown)).count();
    assert!(flat_down >= 3 && cases.len() >= flat_down + 3, "{flat_down} of {}", cases.len());
    for case in &cases {
        let snap = case.run();
        print!("{:16}", case.name());
        let push = case.get("ins_peak_extrap_N_per_mm");
        assert_eq!(snap.outcome == InsertionOutcome::Snaps, case.get("snaps_in") > 0.5, "{}", case.name());
        near(case, "snap-in", snap.snap_in.force_n_per_mm, push, 0.02);
        near(case, "pull-out", snap.pull_out.force_n_per_mm, case.get("ret_peak_extrap_N_per_mm"), 0.04);
        near(case, "strain in", snap.inner_strain_in, case.get("eps_inner_max_insertion"), 0.02);
        near(case, "opening", snap.opening_mm, case.get("tip_open_max_mm"), 0.01);
        let seat = case.get("seat_tool_y_mm");
        print!("  seat {:+.4}", snap.seat_axis_mm - seat);
        let grip = case.get("grip_extrap_N_per_mm");
        if grip > 0.2 * push {
            near(case, "grip", snap.grip_n_per_mm, grip, 0.05);
        }
        println!();
    }
}

/// Force across and out (N/mm) and moment (N mm/mm) that hold a displaced tool or body, at a share of its way.
fn held_at(case: &Case, share: f64) -> [f64; 3] {
    let (clip, rigid) = case.parts();
    let friction = CoulombFriction { coefficient: case.get("mu") };
    let stiffness = PlaneStiffness::plane_strain(case.get("E_MPa"), case.get("nu"));
    let way = RigidDisplacement {
        across_mm: case.get("across_mm"),
        out_mm: case.get("out_mm"),
        turn_rad: case.get("turn_deg").to_radians(),
    };
    let loads = displace_from_rest(&clip, &rigid, friction, stiffness, &SolverSettings::default(), &way);
    let after = loads.iter().position(|load| load.share >= share).expect("the way reaches that share");
    let (a, b) = (loads[after - 1], loads[after]);
    let t = (share - a.share) / (b.share - a.share);
    let of = |load: HoldingLoad| [load.across_n_per_mm, load.out_n_per_mm, load.turn_nmm_per_mm];
    std::array::from_fn(|i| of(a)[i] + t * (of(b)[i] - of(a)[i]))
}

/// Mounts on rounded rectangles and a round clip whose body or barrel moves aside, out and turns.
///
/// Clear of the floor's middle: measured within 5.2 % for the force and 2.9 % for the moment, without both ways
/// straight aside 2.2 %. Pressed onto the floor, loads are a hundred times greater. There the solver's pad is rigid under contacts
/// of its own firmness and that of the study gives, which matters most where the contact begins: measured 19 %, at the
/// end of the way 8 %.
#[test]
fn displaced_bodies_agree_with_finite_elements() {
    let cases = cases(DISPLACED);
    let (mut clear, mut pressed) = (0, 0);
    for case in &cases {
        let share = case.get("share");
        let found = held_at(case, share);
        let wanted = |load: &str, unit: &str| case.get(&format!("{load}_extrap_{unit}"));
        let force = [wanted("across", "N_per_mm"), wanted("out", "N_per_mm")];
        let turn = wanted("turn", "Nmm_per_mm");
        let off = [
            (found[0] - force[0]).hypot(found[1] - force[1]) / force[0].hypot(force[1]),
            (found[2] / turn - 1.0).abs(),
        ];
        let way = ["across_mm", "out_mm", "turn_deg"].map(|name| case.get(name));
        println!("{:12} by {way:?} at {share}: force {:.4}, moment {:.4} off", case.name(), off[0], off[1]);
        // Straight aside, the flats of a body slide along the floor; all else presses on it.
        let may_press = way[1] <= 0.0 && (way[2] > 0.0 || case.text("kind") == Some("round"));
        let bounds = if may_press { [0.25, 0.25] } else { [0.06, 0.04] };
        *(if may_press { &mut pressed } else { &mut clear }) += 1;
        assert!(off[0] < bounds[0] && off[1] < bounds[1], "{}: {found:?} against {force:?}, {turn}", case.name());
    }
    assert!(clear >= 28 && pressed >= 8, "{clear} clear, {pressed} pressed");
}

/// Round clips of some length under a moment that tilts their barrel, against three-dimensional finite elements.
///
/// The clip is cut into slices that know nothing of each other. In the study, the arms carry loads along the length as
/// plates do, and friction acts along the barrel as well. So slices are on the safe side, the more so the shorter the
/// clip: of the onset of peeling, they have measured 49 % at 1.25 radii of the seat, 63 % at 2, 75 % at 3 and 82 % at 4;
/// of a thinner wall 77 % at 4. Without friction it is 61 % at 1.25, 74 % at 2 and 85 % at 3.
#[test]
fn tilted_clips_agree_with_finite_elements() {
    let cases = cases(TILTED);
    let mut long = 0;
    for case in &cases {
        let (seat, length_mm) = (case.get("seat_mm"), case.get("length_mm"));
        let angle = |name: &str| case.get(name).to_radians();
        let clip = MeshedClip::round(seat, case.get("wall_mm"), angle("half_wrap_deg"), angle("pad_deg"))
            .expect("the study's clips are sound");
        let barrel = RigidSection::round(case.get("barrel_mm"));
        let friction = CoulombFriction { coefficient: case.get("mu") };
        let stiffness = PlaneStiffness::plane_strain(2000.0, case.get("nu"));
        let displaced = |out_mm: f64| {
            let way = RigidDisplacement { out_mm, ..RigidDisplacement::default() };
            displace_from_rest(&clip, &barrel, friction, stiffness, &SolverSettings::default(), &way)
        };
        let (out_mm, in_mm) = (seat, 0.1 * seat);
        let travel = ForceTravel::of_displacements(&displaced(out_mm), out_mm, &displaced(-in_mm), in_mm)
            .expect("the study's clips hold");
        let tilting = TiltingClip { length_mm, travel: &travel };
        let ratio = tilting.peeling_factor(0.0, 1.0) / case.get("peels_Nmm");
        let last = tilting.letting_go_factor(0.0, 1.0) / case.get("greatest_Nmm");
        let pull = travel.peak()[1] / case.get("pull_peak_N_per_mm");
        println!("{:16} length {length_mm}: peels {ratio:.3}, lets go {last:.3}, straight pull {pull:.3}", case.name());
        assert!((pull - 1.0).abs() < 0.06, "{}: straight pull {pull}", case.name());
        let is_long = length_mm >= 2.0 * seat;
        let least = if is_long { 0.6 } else { 0.4 };
        long += usize::from(is_long);
        assert!((least..1.15).contains(&ratio) && (least..1.15).contains(&last), "{}: {ratio}, {last}", case.name());
    }
    assert!(long >= 7 && cases.len() > long, "{long} of {}", cases.len());
}

/// Round clips on their pads with fillets of 0 to 1 mm and of 0.6 of the wall. In the solver, the arm bends from where the
/// neck's side would meet its back, whatever the fillet.
///
/// The fillet is compressed by 1.0 to 1.5 times the solver's strain.
#[test]
fn clips_on_their_pads_agree_with_finite_elements() {
    let cases = cases(FILLETS);
    assert!(cases.len() >= 3, "only {} rows", cases.len());
    for case in &cases {
        let (wall_mm, fillet_mm) = (case.get("t"), case.get("fillet"));
        let back = ClipBack::Pad {
            half_width_mm: case.get("half_width"),
            depth_mm: case.get("depth"),
            fillet_mm: fillet_mm.max(1e-3),
        };
        let clip = RoundClip {
            seat_radius_mm: case.get("ri"),
            root_wall_mm: wall_mm,
            lip_wall_mm: wall_mm,
            half_wrap_rad: 0.5 * case.get("wrap").to_radians(),
            lead_in: None,
            back,
        };
        let pad_rad = clip.root_angle_rad().expect("the study's clips are sound");
        let meshed = MeshedClip::from_round_clip(&clip, pad_rad, [0.0, 0.0], MeshDensity::default())
            .expect("the study's clips are sound");
        let friction = CoulombFriction { coefficient: case.get("mu") };
        let stiffness = PlaneStiffness::plane_strain(2000.0, case.get("nu"));
        let barrel = RigidSection::round(case.get("rt"));
        let snap = simulate(&meshed, &barrel, friction, stiffness, &SolverSettings::default());
        let push = snap.snap_in.force_n_per_mm / case.get("ins_peak_N_per_mm");
        let grip = snap.grip_n_per_mm / case.get("grip_N_per_mm");
        let strain = snap.inner_strain_in / case.get("eps_inner");
        let at_fillet = case.get("eps_root") / snap.inner_strain_in;
        println!(
            "{:16} fillet over wall {:.2}: push {push:.3}, grip {grip:.3}, strain {strain:.3}; fillet {at_fillet:.3}",
            case.name(),
            fillet_mm / wall_mm
        );
        assert!(
            [push, grip, strain].iter().all(|r| (0.96..1.04).contains(r)),
            "{}: {push}, {grip}, {strain}",
            case.name()
        );
        assert!(at_fillet < 1.55 || fillet_mm <= 0.0, "{}: {at_fillet}", case.name());
    }
}

/// Split rings on barrels larger than their bore.
#[test]
fn rings_agree_with_finite_elements() {
    let cases = cases(RINGS);
    assert!(cases.len() >= 3, "only {} rows", cases.len());
    for case in &cases {
        let ring = SplitRing {
            bore_radius_mm: case.get("bore_radius_mm"),
            wall_mm: case.get("wall_mm"),
            half_wrap_rad: case.half_wrap_rad(),
            edge_mm: case.get("edge_mm"),
        };
        let stiffness = PlaneStiffness::plane_strain(2000.0, case.get("nu"));
        let found =
            solve_split_ring(&ring, case.get("barrel_radius_mm"), stiffness).expect("the study's rings are sound");
        print!("{:16}", case.name());
        near(case, "grip", found.grip_n_per_mm, case.get("grip_N_per_mm"), 0.01);
        near(case, "strain", found.strain, case.get("strain"), 0.01);
        near(case, "stands off", found.stands_off_mm, case.get("stands_off_mm"), 0.03);
        near(case, "slit opens", found.slit_opens_mm, case.get("slit_opens_mm"), 0.02);
        println!();
    }
}
