//! Files that give no outline say why and where, word for word, and no bytes make the readers panic.
#![expect(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

use std::fmt::Write as _;

use gripwright_section::Point;
use gripwright_survey::{
    CutAxis, DistanceCheck, DrawingOptions, OutlineOptions, SectionCut, SurveyError, SurveyedOutline, outline_from_dxf,
    outline_from_stl, outline_from_svg,
};
use proptest::prelude::*;

const OPTIONS: OutlineOptions = OutlineOptions { tolerance_mm: 0.01, corner_mm: 0.3, hull: false, centre: None };
const MM: DrawingOptions =
    DrawingOptions { unit_mm: 1.0, scale: 1.0, gap_mm: 0.05, check: None, outline_options: OPTIONS };
const CUT: SectionCut =
    SectionCut { unit_mm: 1.0, axis: CutAxis::Z, height_mm: 5.0, gap_mm: 0.05, outline_options: OPTIONS };

/// A DXF of lines between places.
fn lines(unit: &str, ends: &[[f64; 4]]) -> String {
    let mut out = format!("0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n{unit}\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n");
    for [x, y, u, v] in ends {
        let _ = write!(out, "0\nLINE\n8\n0\n10\n{x}\n20\n{y}\n30\n0\n11\n{u}\n21\n{v}\n31\n0\n");
    }
    out + "0\nENDSEC\n0\nEOF\n"
}

fn polygon(corners: &[(f64, f64)]) -> Vec<[f64; 4]> {
    let next = corners.iter().cycle().skip(1);
    corners.iter().zip(next).map(|(a, b)| [a.0, a.1, b.0, b.1]).collect()
}

const SQUARE: [(f64, f64); 4] = [(0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (0.0, 10.0)];

fn drawn(inner: &str) -> String {
    format!("<svg xmlns=\"http://www.w3.org/2000/svg\">{inner}</svg>")
}

/// An open or closed box from z = 0 to z = 10 as binary STL.
fn tub(sides: usize, size: f64) -> Vec<u8> {
    let corners = [(0.0, 0.0), (2.0 * size, 0.0), (2.0 * size, size), (0.0, size)];
    let mut triangles: Vec<[[f64; 3]; 3]> = Vec::new();
    for side in 0..sides {
        let (a, b) = (corners[side], corners[(side + 1) % 4]);
        triangles.push([[a.0, a.1, 0.0], [b.0, b.1, 0.0], [b.0, b.1, 10.0]]);
        triangles.push([[a.0, a.1, 0.0], [b.0, b.1, 10.0], [a.0, a.1, 10.0]]);
    }
    binary(&triangles)
}

#[expect(clippy::cast_possible_truncation, reason = "the format has single precision")]
fn binary(triangles: &[[[f64; 3]; 3]]) -> Vec<u8> {
    let mut bytes = vec![b' '; 80];
    bytes.extend(u32::try_from(triangles.len()).unwrap().to_le_bytes());
    for triangle in triangles {
        bytes.extend([0_u8; 12]);
        for value in triangle.iter().flatten() {
            bytes.extend((*value as f32).to_le_bytes());
        }
        bytes.extend([0_u8; 2]);
    }
    bytes
}

#[track_caller]
fn assert_says(found: Result<SurveyedOutline, SurveyError>, code: &str, message: &str) {
    let error = found.map(|s| s.outline.bounds()).unwrap_err();
    assert_eq!((error.code(), error.to_string().as_str()), (code, message));
    assert!(!error.hint().is_empty() && !error.hint().ends_with('.'));
}

#[test]
fn sound_files_give_their_outline() {
    let found = outline_from_dxf(lines("4", &polygon(&SQUARE)).as_bytes(), &MM).unwrap();
    let size = found.outline.bounds().size();
    assert!((size.x - 20.0).abs() < 1e-9 && (size.y - 10.0).abs() < 1e-9);
    let found = outline_from_svg(drawn("<rect x='3' y='4' width='20' height='10'/>").as_bytes(), &MM).unwrap();
    assert!((found.outline.bounds().size().x - 20.0).abs() < 1e-9);
    let found = outline_from_stl(&tub(4, 10.0), &CUT).unwrap();
    assert!((found.outline.bounds().size().x - 20.0).abs() < 1e-6);
    assert!(
        found.largest_mm > 0.1 && found.largest_mm < 0.3 * 0.415 + 0.01,
        "the corners are rounded: {}",
        found.largest_mm
    );
}

#[test]
fn dxf_files_that_give_no_outline() {
    let says =
        |text: &str, code: &str, message: &str| assert_says(outline_from_dxf(text.as_bytes(), &MM), code, message);
    let good = lines("4", &polygon(&SQUARE));
    says("", "bad-drawing", "the DXF cannot be read: it is empty");
    says(&good[..good.len() - 30], "bad-drawing", "the DXF cannot be read: it breaks off");
    says("AutoCAD Binary DXF\r\n\u{1a}\0\0\0", "bad-drawing", "the DXF cannot be read: it is binary");
    says("<svg/>", "bad-drawing", "the DXF cannot be read: line 1 is no code of a DXF");
    says(&lines("4", &[]), "no-outline", "the DXF has no line or curve in it");
    says(
        &lines("1", &polygon(&SQUARE)),
        "wrong-unit",
        "the drawing says that its unit is 25.4 mm, the spec says 1 mm: too small by 25.4, as if inches were taken for \
         millimetres",
    );
    let inches: Vec<_> = SQUARE.iter().map(|(x, y)| (x / 25.4, y / 25.4)).collect();
    says(
        &lines("0", &polygon(&inches)),
        "wrong-size",
        "the outline is 0.787 mm wide and 0.394 mm high: too small by 25.4, as if inches were taken for millimetres",
    );
    let large: Vec<_> = SQUARE.iter().map(|(x, y)| (x * 25.4, y * 25.4)).collect();
    says(
        &lines("0", &polygon(&large)),
        "wrong-size",
        "the outline is 508.000 mm wide and 254.000 mm high: too large by 25.4, as if millimetres were taken for inches",
    );
    let open = lines("4", &polygon(&SQUARE)[..3]);
    says(&open, "open-outline", "the outline is open at (0, 0): the next end is 10.000 mm away");
    let mut two = polygon(&SQUARE);
    two.extend(polygon(&[(4.0, 4.0), (8.0, 4.0), (8.0, 8.0)]));
    let two = lines("4", &two);
    says(&two, "two-outlines", "there is more than one closed line: one at (0, 0), another at (4, 4)");
    let dented = lines("4", &polygon(&[(0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (10.0, 7.0), (0.0, 10.0)]));
    says(&dented, "turns-inward", "the body's outline turns inward at (10, 7), by 3.000 mm");
    let eight = lines("4", &polygon(&[(0.0, 0.0), (20.0, 10.0), (20.0, 0.0), (0.0, 10.0)]));
    says(&eight, "crossing-outline", "the outline crosses itself at (10, 5)");
    let solid = good.replace("0\nENDSEC\n0\nEOF", "0\n3DSOLID\n8\n0\n0\nENDSEC\n0\nEOF");
    assert_eq!(outline_from_dxf(solid.as_bytes(), &MM).unwrap_err().code(), "unknown-entity");
    let steep = good.replacen("31\n0\n", "31\n4\n", 1);
    says(&steep, "out-of-plane", "the drawing has a LINE that leaves the plane of the drawing, at (0, 0)");
    let endless = good.replacen("11\n20\n", "11\n1e300\n", 1);
    says(&endless, "not-finite", "the drawing has a LINE with a number that is no size");
}

#[test]
fn checks_and_centres_that_fail() {
    let text = lines("4", &polygon(&SQUARE));
    let with = |from: (f64, f64), to: (f64, f64), distance_mm: f64| {
        let check = DistanceCheck { from: Point::new(from.0, from.1), to: Point::new(to.0, to.1), distance_mm };
        outline_from_dxf(text.as_bytes(), &DrawingOptions { check: Some(check), ..MM })
    };
    assert!(with((0.0, 0.0), (20.0, 0.0), 20.1).is_ok());
    assert_says(
        with((0.0, 0.0), (20.0, 0.0), 508.0),
        "check-fails",
        "from (0, 0) to (20, 0) the drawing measures 20.000 mm, not 508 mm: too small by 25.4, as if inches were taken \
         for millimetres",
    );
    assert_says(
        with((0.0, 0.0), (20.0, 0.0), 21.0),
        "check-fails",
        "from (0, 0) to (20, 0) the drawing measures 20.000 mm, not 21 mm",
    );
    assert_says(
        with((0.0, 0.0), (10.0, 5.0), 20.0),
        "check-fails",
        "the point (10, 5) of the check lies 5.000 mm from the outline",
    );
    let options = OutlineOptions { centre: Some(Point::new(40.0, 5.0)), ..OPTIONS };
    assert_says(
        outline_from_dxf(text.as_bytes(), &DrawingOptions { outline_options: options, ..MM }),
        "centre-outside",
        "the centre (40, 5) lies outside the outline",
    );
    let options = OutlineOptions { corner_mm: 6.0, ..OPTIONS };
    assert_says(
        outline_from_dxf(text.as_bytes(), &DrawingOptions { outline_options: options, ..MM }),
        "corner-too-large",
        "a corner of 6 mm leaves nothing of the outline",
    );
}

#[test]
fn svg_files_that_give_no_outline() {
    let says =
        |text: &str, code: &str, message: &str| assert_says(outline_from_svg(text.as_bytes(), &MM), code, message);
    says("", "bad-drawing", "the SVG cannot be read: it is empty");
    says("<html/>", "bad-drawing", "the SVG cannot be read: its outermost element is <html>");
    assert_says(outline_from_svg(&[0x1f, 0x8b, 8, 0], &MM), "bad-drawing", "the SVG cannot be read: it is compressed");
    assert_says(
        outline_from_svg(b"<svg>\xff</svg>", &MM),
        "bad-drawing",
        "the SVG cannot be read: byte 5 is not UTF-8 text",
    );
    assert_eq!(outline_from_svg(b"<svg><path", &MM).unwrap_err().code(), "bad-drawing");
    let mut bomb = "<!DOCTYPE svg [<!ENTITY a0 \"ha\">".to_owned();
    for k in 1..40 {
        let _ = write!(bomb, "<!ENTITY a{k} \"&a{};&a{};\">", k - 1, k - 1);
    }
    bomb += "]><svg>&a39;</svg>";
    says(&bomb, "bad-drawing", "the SVG cannot be read: it declares entities");
    says(&drawn(""), "no-outline", "the SVG has no line or curve in it");
    says(&drawn("\n<use href='#a'/>"), "unknown-entity", "the drawing has <use> in line 2, which is no line or curve");
    says(
        &drawn("<path d='M 0 0 L ten 20'/>"),
        "unknown-entity",
        "the drawing has <path> with unreadable data in line 1, which is no line or curve",
    );
    says(
        &drawn("<path d='M 0 0 H 20 V 10 L 1 9'/>"),
        "open-outline",
        "the outline is open at (0, 0): the next end is 9.055 mm away",
    );
    says(
        &drawn("<circle r='9'/><circle r='8'/>"),
        "two-outlines",
        "there is more than one closed line: one at (9, 0), another at (8, 0)",
    );
    let sized = "<svg width='4in' viewBox='0 0 4 4'><circle r='1'/></svg>";
    says(
        sized,
        "wrong-unit",
        "the drawing says that its unit is 25.4 mm, the spec says 1 mm: too small by 25.4, as if inches were taken for \
         millimetres",
    );
    let twice = "<path d='M9 0A9 9 0 0 1 -9 0A9 9 0 0 1 9 0A9 9 0 0 1 -9 0A9 9 0 0 1 9 0Z'/>";
    says(&drawn(twice), "crossing-outline", "the outline from (9, 0) goes around 2 times");
    let deep = format!("{}<circle r='9'/>{}", "<g>".repeat(250), "</g>".repeat(250));
    says(&drawn(&deep), "too-much", "the SVG has more than 200 groups in each other");
}

/// A drawing whose unit has no name: `scale` names it.
#[test]
fn a_unit_of_half_a_millimetre_goes_by_scale() {
    let half = b"<svg width='20mm' viewBox='0 0 40 40'><circle cx='20' cy='20' r='19'/></svg>";
    let error = outline_from_svg(half, &MM).unwrap_err();
    assert_eq!(error.hint(), "write `unit = \"mm\"` and `scale = 0.5`, or correct the drawing");
    let found = outline_from_svg(half, &DrawingOptions { scale: 0.5, ..MM }).unwrap();
    assert!((found.outline.bounds().size().x - 19.0).abs() < 0.01);
    let points = b"<svg width='40pt' viewBox='0 0 40 40'><circle cx='20' cy='20' r='19'/></svg>";
    assert_eq!(outline_from_svg(points, &MM).unwrap_err().hint(), "write `unit = \"pt\"`, or correct the drawing");
    // A drawing at half of true size keeps the unit that it states.
    let small = b"<svg width='40mm' viewBox='0 0 40 40'><circle cx='20' cy='20' r='19'/></svg>";
    assert!(outline_from_svg(small, &DrawingOptions { scale: 2.0, ..MM }).is_ok());
}

#[test]
fn scans_that_give_no_outline() {
    let says = |bytes: &[u8], code: &str, message: &str| assert_says(outline_from_stl(bytes, &CUT), code, message);
    says(b"", "bad-drawing", "the STL cannot be read: it is empty");
    says(b"junk", "bad-drawing", "the STL cannot be read: it is shorter than the header");
    let good = tub(4, 10.0);
    let short = &good[..good.len() - 10];
    says(short, "bad-drawing", "the STL cannot be read: it claims 8 triangles, which its 474 bytes do not hold");
    let mut claims = good.clone();
    claims[80..84].copy_from_slice(&u32::MAX.to_le_bytes());
    says(
        &claims,
        "bad-drawing",
        "the STL cannot be read: it claims 4294967295 triangles, which its 484 bytes do not hold",
    );
    says(&binary(&[]), "no-outline", "the STL has no triangle in it");
    assert_eq!(
        outline_from_stl(b"solid x\nfacet normal 0 0 1\nouter loop\nvertex 0 0", &CUT).unwrap_err().code(),
        "bad-drawing"
    );
    says(&tub(3, 10.0), "open-outline", "the outline is open at (0, 0): the next end is 10.000 mm away");
    says(
        &tub(4, 10.0 / 25.4),
        "wrong-size",
        "the outline is 0.787 mm wide and 0.394 mm high: too small by 25.4, as if inches were taken for millimetres",
    );
    assert_says(
        outline_from_stl(&good, &SectionCut { height_mm: 12.0, ..CUT }),
        "no-outline",
        "at 12 mm nothing is cut: the scan reaches from 0.000 mm to 10.000 mm",
    );
    let endless = binary(&[[[f64::NAN, 0.0, 0.0], [1.0, 0.0, 9.0], [0.0, 1.0, 9.0]]]);
    says(&endless, "not-finite", "the drawing has a triangle with a number that is no size");
}

#[test]
fn two_bodies_in_one_scan_are_refused_and_a_tube_is_not() {
    let ring = |x: f64, size: f64| -> Vec<[[f64; 3]; 3]> {
        let corners = [(x, -0.5 * size), (x + size, -0.5 * size), (x + size, 0.5 * size), (x, 0.5 * size)];
        (0..4)
            .flat_map(|k| {
                let (a, b) = (corners[k], corners[(k + 1) % 4]);
                [
                    [[a.0, a.1, 0.0], [b.0, b.1, 0.0], [b.0, b.1, 10.0]],
                    [[a.0, a.1, 0.0], [b.0, b.1, 10.0], [a.0, a.1, 10.0]],
                ]
            })
            .collect()
    };
    let tube: Vec<_> = ring(0.0, 20.0).into_iter().chain(ring(2.0, 16.0)).collect();
    assert!((outline_from_stl(&binary(&tube), &CUT).unwrap().outline.bounds().size().x - 20.0).abs() < 1e-6);
    let two: Vec<_> = ring(0.0, 20.0).into_iter().chain(ring(30.0, 16.0)).collect();
    assert_eq!(outline_from_stl(&binary(&two), &CUT).unwrap_err().code(), "two-outlines");
}

/// 200,000 triangles and more.
#[test]
fn a_large_scan_is_cut_right() {
    let (around, up) = (1000_u32, 110_u32);
    let at = |i: u32, j: u32| {
        let turn = std::f64::consts::TAU * f64::from(i % around) / f64::from(around);
        [15.0 * turn.cos(), 9.0 * turn.sin(), 10.0 * f64::from(j) / f64::from(up)]
    };
    let mut triangles = Vec::new();
    for (i, j) in (0..around).flat_map(|i| (0..up).map(move |j| (i, j))) {
        triangles.push([at(i, j), at(i + 1, j), at(i + 1, j + 1)]);
        triangles.push([at(i, j), at(i + 1, j + 1), at(i, j + 1)]);
    }
    assert!(triangles.len() >= 200_000);
    let bytes = binary(&triangles);
    let found = outline_from_stl(&bytes, &SectionCut { height_mm: 5.02, ..CUT }).unwrap();
    let area = std::f64::consts::PI * 15.0 * 9.0;
    assert!((found.outline.area_mm2() / area - 1.0).abs() < 1e-3, "{}", found.outline.area_mm2());
}

fn fixed(seed: u64, cases: u32) -> ProptestConfig {
    let rng_seed = proptest::test_runner::RngSeed::Fixed(seed);
    ProptestConfig { cases, failure_persistence: None, rng_seed, ..ProptestConfig::default() }
}

/// Lines of a good DXF, some of them replaced by what could hurt.
fn mangled(text: &str, changes: &[(usize, usize)]) -> String {
    const BAD: [&str; 14] = [
        "1e400",
        "nan",
        "-1",
        "99999999999999999999",
        "",
        "ENDSEC",
        "0",
        "70",
        "2147483647",
        "310",
        "1004",
        "SPLINE",
        "INSERT",
        "LWPOLYLINE",
    ];
    let mut lines: Vec<&str> = text.lines().collect();
    for (place, bad) in changes {
        let place = place % lines.len();
        lines[place] = BAD[bad % BAD.len()];
    }
    lines.join("\n")
}

proptest! {
    #![proptest_config(fixed(0x5e, 300))]
    #[test]
    fn no_bytes_panic(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        let _ = (outline_from_dxf(&bytes, &MM), outline_from_svg(&bytes, &MM), outline_from_stl(&bytes, &CUT));
        let solid = [b"solid ".as_slice(), &bytes].concat();
        let _ = outline_from_stl(&solid, &CUT);
        let text: String = bytes.iter().map(|b| char::from(b % 96 + 32)).collect();
        let _ = outline_from_svg(drawn(&format!("<path d=\"M0 0{}\"/>", text.replace(['"', '<', '&'], " "))).as_bytes(), &MM);
    }

    #[test]
    fn no_mangled_dxf_panics(changes in prop::collection::vec((any::<usize>(), any::<usize>()), 1..6)) {
        let spline = "0\nSPLINE\n8\n0\n70\n8\n71\n2\n72\n6\n73\n3\n40\n0\n40\n0\n40\n0\n40\n1\n40\n1\n40\n1\n10\n0\n20\n0\n30\n0\n10\n\
                      5\n20\n5\n30\n0\n10\n9\n20\n0\n30\n0\n";
        let polyline = "0\nLWPOLYLINE\n8\n0\n90\n3\n70\n1\n10\n0\n20\n0\n42\n0.5\n10\n9\n20\n0\n10\n9\n20\n9\n";
        let insert = "0\nINSERT\n8\n0\n2\nB\n10\n1\n20\n1\n30\n0\n41\n2\n50\n30\n";
        let block = "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nB\n10\n0\n20\n0\n30\n0\n0\nCIRCLE\n10\n0\n20\n0\n40\n5\n0\nENDBLK\n0\nENDSEC\n";
        let good = lines("4", &polygon(&SQUARE));
        let text = good.replace("0\nSECTION\n2\nENTITIES\n", &format!("{block}0\nSECTION\n2\nENTITIES\n{spline}{polyline}{insert}"));
        let _ = outline_from_dxf(mangled(&text, &changes).as_bytes(), &MM);
    }

    #[test]
    fn no_mangled_scan_panics(place in 0_usize..484, byte in any::<u8>(), height_mm in -1.0..11.0f64) {
        let mut bytes = tub(4, 10.0);
        bytes[place] = byte;
        let _ = outline_from_stl(&bytes, &SectionCut { height_mm, ..CUT });
    }
}

/// A scan of an elliptical bar of 30 × 20 mm, 10 mm long, with even noise of this standard deviation, mm.
fn noisy_bar(seed: u64, noise: f64) -> Vec<u8> {
    let mut state = seed | 1;
    let mut even = || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((state >> 33) as f64 / f64::from(1_u32 << 31) - 0.5) * 12_f64.sqrt()
    };
    let ring: Vec<(f64, f64)> = (0..240)
        .map(|k| std::f64::consts::TAU * f64::from(k) / 240.0)
        .map(|t| ((15.0 + noise * even()) * t.cos(), (10.0 + noise * even()) * t.sin()))
        .collect();
    let wall = |k: usize| {
        let (a, b) = (ring[k], ring[(k + 1) % 240]);
        [[[a.0, a.1, 0.0], [b.0, b.1, 0.0], [b.0, b.1, 10.0]], [[a.0, a.1, 0.0], [b.0, b.1, 10.0], [a.0, a.1, 10.0]]]
    };
    binary(&(0..240).flat_map(wall).collect::<Vec<_>>())
}

/// The hint names a tolerance, and the outline is found with it.
#[test]
fn noise_of_a_scan_is_told_from_a_hollow() {
    let cut = |bytes: &[u8], tolerance_mm: f64| {
        outline_from_stl(bytes, &SectionCut { outline_options: OutlineOptions { tolerance_mm, ..OPTIONS }, ..CUT })
    };
    let mut refused = 0;
    for seed in 0..20 {
        let bytes = noisy_bar(seed, 0.04);
        // Some scans happen to keep the usual tolerance.
        let Err(error) = cut(&bytes, 0.1) else { continue };
        refused += 1;
        let SurveyError::TurnsInward { noise: Some(noise), .. } = error else { panic!("{seed}: {error}") };
        assert!((0.02..0.06).contains(&noise.spread_mm), "{seed}: {noise:?}");
        assert!(error.hint().contains(&format!("`tolerance = \"{} mm\"`", noise.tolerance_mm)), "{}", error.hint());
        cut(&bytes, noise.tolerance_mm).unwrap();
    }
    assert!(refused >= 15, "{refused} of 20 scans were refused");
    // A groove in a smooth body is none.
    let groove = |k: i32| f64::from(u8::from((40..80).contains(&k))) * 0.3;
    let ring = (0..400).map(|k| (f64::from(k) * std::f64::consts::TAU / 400.0, 12.0 - groove(k)));
    let path: Vec<String> = ring.map(|(t, r)| format!("{} {}", r * t.cos(), r * t.sin())).collect();
    let drawing = drawn(&format!("<polygon points='{}'/>", path.join(" ")));
    let error = outline_from_svg(drawing.as_bytes(), &MM).unwrap_err();
    assert!(matches!(error, SurveyError::TurnsInward { noise: None, .. }), "{error:?}");
}

proptest! {
    #![proptest_config(fixed(0x5f, 24))]
    /// A tolerance of five times the noise lets its hollows pass, and the outline keeps the tolerance.
    #[test]
    fn noisy_scans_are_recovered(seed in any::<u64>(), noise in 0.005..0.03f64) {
        let bytes = noisy_bar(seed, noise);
        let options = OutlineOptions { tolerance_mm: 5.0 * noise, corner_mm: 0.3, hull: false, centre: Some(Point::ORIGIN) };
        let found = outline_from_stl(&bytes, &SectionCut { outline_options: options, ..CUT }).unwrap();
        let exact = gripwright_section::ellipse(30.0, 20.0, 1e-4).unwrap();
        let ends = found.outline.segments().iter().flat_map(|s| [0.0, 0.5].map(|t| s.curve.at(t)));
        let off = ends.map(|p| exact.nearest(p).distance_mm.abs()).fold(0.0, f64::max);
        prop_assert!(off <= 5.0 * noise, "{off} with noise {noise}");
    }
}
