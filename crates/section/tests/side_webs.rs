//! Webs in side view: every outline is valid, allows its chamfer, and has its pads at the given positions.

use gripwright_section::{Curve, Outline, Role, SideWeb, SideWebError, ToolStop, inset};
use proptest::{
    prelude::*,
    test_runner::{Config, RngSeed},
};

fn web() -> SideWeb {
    SideWeb {
        mount_pad_mm: 12.0,
        mount_half_mm: 9.0,
        offset_mm: 34.0,
        pitch_rad: 0.2,
        pad_depth_mm: 10.0,
        pads_mm: vec![[-18.0, -9.0], [8.0, 18.0]],
        stop: None,
        chamfer_mm: 0.4,
        least_wall_mm: 0.8,
    }
}

/// Outline at the end of the chamfers: all segments except the pads are moved inward.
fn chamfered(outline: &Outline, chamfer_mm: f64) -> Outline {
    let pads = outline.segments().iter().map(|s| if s.role == Role::Pad { 0.0 } else { chamfer_mm });
    let amounts: Vec<f64> = pads.collect();
    let moved = inset(outline, &amounts).expect("the chamfer fits");
    moved.to_outline(outline).expect("the moved chain closes")
}

fn pads(outline: &Outline) -> Vec<Curve> {
    outline.segments().iter().filter(|s| s.role == Role::Pad).map(|s| s.curve).collect()
}

/// Checks that the outline is simple, thick enough, and chamferable.
fn assert_valid(web: &SideWeb, outline: &Outline) {
    assert_eq!(outline.self_contact(), None, "{web:?}");
    assert!(outline.area_mm2() > 0.0, "{web:?}");
    let end = chamfered(outline, web.chamfer_mm);
    assert_eq!(end.self_contact(), None, "{web:?}");
    // The chamfer shortens every pad by its leg at both ends, like the chamfers of mount and clips.
    for (before, after) in pads(outline).iter().zip(pads(&end)) {
        assert!((before.start().distance(after.start()) - web.chamfer_mm).abs() < 1e-9, "{web:?}");
        assert!((before.end().distance(after.end()) - web.chamfer_mm).abs() < 1e-9, "{web:?}");
    }
    // Joints are tangent, or perpendicular at a pad.
    let segments = outline.segments();
    for (i, segment) in segments.iter().enumerate() {
        let next = &segments[(i + 1) % segments.len()];
        let (a, b) = (segment.curve.tangent(1.0), next.curve.tangent(0.0));
        let square = segment.role == Role::Pad || next.role == Role::Pad;
        let off = if square { a.dot(b).abs() } else { a.cross(b).abs() };
        assert!(off < 1e-7, "joint {i} of {web:?}");
    }
}

#[test]
fn pads_lie_at_the_given_positions() {
    let web = web();
    let outline = web.outline().expect("it can be drawn");
    assert_valid(&web, &outline);
    let found = pads(&outline);
    assert_eq!(found.len(), 3);
    let (sin, cos) = web.pitch_rad.sin_cos();
    for (pad, asked) in found[1..].iter().zip(&web.pads_mm) {
        for (point, along) in [(pad.start(), asked[0]), (pad.end(), asked[1])] {
            assert!((point.x - (34.0 + along * sin - 10.0 * cos)).abs() < 1e-12);
            assert!((point.y - (along * cos + 10.0 * sin)).abs() < 1e-12);
        }
    }
}

#[test]
fn a_stop_stands_before_or_after_the_clips() {
    for at_mm in [-24.0, 24.0] {
        let stop = Some(ToolStop { at_mm, thickness_mm: 3.0, top_mm: 1.0 });
        let web = SideWeb { stop, ..web() };
        let outline = web.outline().expect("it can be drawn");
        assert_valid(&web, &outline);
        // The face against which the tool rests is perpendicular to its axis, at the given position.
        let along = |curve: &Curve| {
            let (sin, cos) = web.pitch_rad.sin_cos();
            [curve.start(), curve.end()].map(|p| (p.x - 34.0) * sin + p.y * cos)
        };
        let faces = outline.segments().iter().filter(|s| {
            matches!(s.curve, Curve::Line { .. }) && along(&s.curve).iter().all(|a| (a - at_mm).abs() < 1e-9)
        });
        assert!(faces.map(|s| s.curve.length()).sum::<f64>() > 9.0);
    }
}

#[test]
fn impossible_webs_return_errors() {
    let overlap = SideWeb { pads_mm: vec![[-10.0, 1.0], [2.0, 12.0]], ..web() }.outline();
    assert!(matches!(overlap, Err(SideWebError::Overlap { gap_mm, .. }) if (gap_mm - 1.0).abs() < 1e-12));
    let steep = SideWeb { pitch_rad: 0.5, offset_mm: 30.0, ..web() }.outline();
    assert!(matches!(steep, Err(SideWebError::TooClose { .. })), "{steep:?}");
    let between = ToolStop { at_mm: 0.0, thickness_mm: 3.0, top_mm: 0.0 };
    let stop = SideWeb { stop: Some(between), ..web() }.outline();
    assert!(matches!(stop, Err(SideWebError::Stop { .. })), "{stop:?}");
    assert_eq!(SideWeb { pads_mm: Vec::new(), ..web() }.outline(), Err(SideWebError::NoPad));
    // A clip that overhangs far on a low web leaves no room for a valley.
    let thin = SideWeb {
        pitch_rad: 0.0,
        offset_mm: 26.5,
        chamfer_mm: 0.0,
        pads_mm: vec![[-4.0, 4.0], [70.0, 78.0]],
        least_wall_mm: 1.4,
        ..web()
    }
    .outline();
    assert!(matches!(thin, Err(SideWebError::Thin { .. })), "{thin:?}");
}

fn stops() -> impl Strategy<Value = Option<(bool, f64, f64)>> {
    prop_oneof![Just(None), (any::<bool>(), 2.5..9.0f64, 2.5..5.0f64).prop_map(Some)]
}

/// Most usual layouts can be drawn: clips over the mount and slightly beyond.
#[test]
fn usual_webs_can_be_drawn() {
    let mut drawn = 0;
    let mut asked = 0;
    for pitch in [-20.0, -10.0, -3.0, 0.0, 3.0, 10.0, 20.0] {
        for apart in [12.0, 20.0, 30.0, 44.0] {
            for height in [5.0, 8.0, 14.0] {
                for chamfer_mm in [0.0, 0.3, 0.5] {
                    let pads_mm =
                        vec![[-0.5 * apart - 4.0, -0.5 * apart + 4.0], [0.5 * apart - 4.0, 0.5 * apart + 4.0]];
                    let mut web = SideWeb { pitch_rad: f64::to_radians(pitch), pads_mm, chamfer_mm, ..web() };
                    web.offset_mm += height - web.height_mm();
                    asked += 1;
                    match web.outline() {
                        Ok(outline) => {
                            assert_valid(&web, &outline);
                            drawn += 1;
                        }
                        Err(error) => assert!(height < 6.0, "{error} {web:?}"),
                    }
                }
            }
        }
    }
    assert!(10 * drawn >= 9 * asked, "{drawn} of {asked}");
}

proptest! {
    #![proptest_config(Config {
        cases: 600, rng_seed: RngSeed::Fixed(0x51de), failure_persistence: None, ..Config::default()
    })]
    #[test]
    fn random_webs_are_valid(
        height in 1.0..25.0f64, half in 4.0..20.0f64, pitch in -30.0..30.0f64,
        lengths in prop::collection::vec((6.0..20.0f64, 2.0..20.0f64), 1..=4), first in -40.0..10.0f64,
        chamfer in prop_oneof![Just(0.0), 0.1..0.8f64], stop in stops(),
    ) {
        let mut along = first;
        let mut pads_mm = Vec::new();
        for (length, gap) in &lengths {
            pads_mm.push([along, along + length]);
            along += length + gap;
        }
        let ends = [first, along - lengths[lengths.len() - 1].1];
        let stop = stop.map(|(before, gap, thickness_mm)| ToolStop {
            at_mm: if before { ends[0] - gap } else { ends[1] + gap },
            thickness_mm,
            top_mm: 0.5,
        });
        let mut web = SideWeb {
            mount_pad_mm: 10.0, mount_half_mm: half, offset_mm: 0.0, pitch_rad: f64::to_radians(pitch),
            pad_depth_mm: 8.0, pads_mm, stop, chamfer_mm: chamfer, least_wall_mm: 0.8,
        };
        web.offset_mm = height - web.height_mm();
        match web.outline() {
            Ok(outline) => assert_valid(&web, &outline),
            Err(SideWebError::TooClose { height_mm, least_mm }) => prop_assert!(height_mm < least_mm),
            Err(SideWebError::Thin { thickness_mm, least_mm }) => prop_assert!(thickness_mm < least_mm),
            Err(SideWebError::Severed { thickness_mm, least_mm }) => prop_assert!(thickness_mm < least_mm),
            // Short sides at the ends of a wide chamfer.
            Err(SideWebError::Chamfer { chamfer_mm }) => prop_assert!(chamfer_mm > 0.0),
            Err(error) => prop_assert!(false, "{error} {web:?}"),
        }
    }
}
