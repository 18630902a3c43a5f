//! Files that break off, are of another kind, or claim to be huge: what each of the readers says, word for word.
#![expect(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

use gripwright_survey::{
    CutAxis, DrawingOptions, OutlineOptions, SectionCut, SurveyError, SurveyedOutline, outline_from_dxf,
    outline_from_stl, outline_from_svg,
};

const OPTIONS: OutlineOptions = OutlineOptions { tolerance_mm: 0.01, corner_mm: 0.3, hull: false, centre: None };
const MM: DrawingOptions =
    DrawingOptions { unit_mm: 1.0, scale: 1.0, gap_mm: 0.05, check: None, outline_options: OPTIONS };
const CUT: SectionCut =
    SectionCut { unit_mm: 1.0, axis: CutAxis::Z, height_mm: 5.0, gap_mm: 0.05, outline_options: OPTIONS };

#[track_caller]
fn says(found: Result<SurveyedOutline, SurveyError>, code: &str, message: &str) {
    let error = found.map(|s| s.outline.bounds()).unwrap_err();
    assert_eq!((error.code(), error.to_string().as_str()), (code, message));
    assert!(!error.hint().is_empty());
}

fn entities(inner: &str) -> String {
    format!("0\nSECTION\n2\nENTITIES\n{inner}0\nENDSEC\n0\nEOF\n")
}

#[test]
fn drawings_that_break_off() {
    says(
        outline_from_svg(b"<svg><path", &MM),
        "bad-drawing",
        "the SVG cannot be read: the root node was opened but never closed",
    );
    says(
        outline_from_svg(b"<svg xmlns='http://www.w3.org/2000/svg'><circle r='9'/>", &MM),
        "bad-drawing",
        "the SVG cannot be read: the root node was opened but never closed",
    );
    says(
        outline_from_dxf(b"0\nSECTION\n2\nENTITIES\n0\nLINE\n10", &MM),
        "bad-drawing",
        "the DXF cannot be read: it breaks off",
    );
    says(
        outline_from_dxf(b"0\nSECTION\n2\nENTITIES\n0\nLINE\n10\n1.0\n20\n2.0\n0\nEOF\n", &MM),
        "bad-drawing",
        "the DXF cannot be read: the input unexpectedly ended before the drawing was completely loaded",
    );
}

#[test]
fn files_of_another_kind() {
    says(
        outline_from_svg(b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", &MM),
        "bad-drawing",
        "the SVG cannot be read: byte 0 is not UTF-8 text",
    );
    says(
        outline_from_svg(b"AutoCAD Binary DXF\r\n\x1a\0", &MM),
        "bad-drawing",
        "the SVG cannot be read: unknown token at 1:1",
    );
    says(
        outline_from_dxf(b"\xff\xfe\0\0\x01", &MM),
        "bad-drawing",
        "the DXF cannot be read: line 1 is no code of a DXF",
    );
    says(
        outline_from_stl(b"<svg xmlns='http://www.w3.org/2000/svg'/>", &CUT),
        "bad-drawing",
        "the STL cannot be read: it is shorter than the header",
    );
    says(
        outline_from_stl(b"solid x\nfacet normal 0 0 1\nouter loop\nvertex 0 0", &CUT),
        "bad-drawing",
        "the STL cannot be read: vertex f32 f32 f32, got [\"vertex\", \"0\", \"0\"]",
    );
    says(outline_from_stl(b"solid x\nendsolid x\n", &CUT), "no-outline", "the STL has no triangle in it");
}

/// Counts in a file are believed no further than the file is long.
#[test]
fn files_that_claim_to_be_huge() {
    let polyline = entities("0\nLWPOLYLINE\n8\n0\n90\n2000000000\n70\n1\n10\n0\n20\n0\n10\n9\n20\n0\n");
    says(outline_from_dxf(polyline.as_bytes(), &MM), "wrong-size", "the outline is 9.000 mm wide and 0.000 mm high");
    let spline =
        entities("0\nSPLINE\n8\n0\n70\n8\n71\n3\n72\n2000000000\n73\n2000000000\n74\n0\n40\n0\n10\n0\n20\n0\n30\n0\n");
    says(
        outline_from_dxf(spline.as_bytes(), &MM),
        "unknown-entity",
        "the drawing has a SPLINE with wrong knots, which is no line or curve, at (0, 0)",
    );
    let degree = spline.replace("71\n3\n", "71\n2000000000\n");
    says(
        outline_from_dxf(degree.as_bytes(), &MM),
        "unknown-entity",
        "the drawing has a SPLINE with wrong knots, which is no line or curve, at (0, 0)",
    );
    let mut stl = vec![b' '; 80];
    stl.extend(20_000_000_u32.to_le_bytes());
    says(
        outline_from_stl(&stl, &CUT),
        "bad-drawing",
        "the STL cannot be read: it claims 20000000 triangles, which its 84 bytes do not hold",
    );
    let far = "<svg xmlns='http://www.w3.org/2000/svg'><!DOCTYPE svg SYSTEM 'file:///dev/zero'></svg>";
    says(outline_from_svg(far.as_bytes(), &MM), "bad-drawing", "the SVG cannot be read: unknown token at 1:41");
    let outer = "<!DOCTYPE svg [<!ENTITY x SYSTEM 'file:///dev/zero'>]><svg>&x;</svg>";
    says(outline_from_svg(outer.as_bytes(), &MM), "bad-drawing", "the SVG cannot be read: it declares entities");
    let wide = "<svg xmlns='http://www.w3.org/2000/svg'><circle r='1e300'/></svg>";
    says(outline_from_svg(wide.as_bytes(), &MM), "not-finite", "the drawing has circle with a number that is no size");
}
