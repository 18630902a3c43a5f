//! Coupons of the demos: how often they may be tried, in which print, and which are left out.
#![expect(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

use std::{fs, path::Path};

use gripwright::{FileOptions, Outputs, Project, ProjectDesign};

fn demo(name: &str) -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo-specs").join(name)).unwrap()
}

/// The main demo as it is written, with lines changed.
fn dispensing_arm(changed: impl Fn(String) -> String) -> Project {
    changed(demo("dispensing-arm.toml")).parse().unwrap()
}

/// The design document of the coupons.
fn document(design: &ProjectDesign<'_>) -> serde_json::Value {
    let parts = design.parts(Outputs::CouponsOnly).unwrap();
    design.files(&parts, &FileOptions::default()).unwrap().document
}

fn tries(document: &serde_json::Value) -> Vec<&serde_json::Value> {
    document["tries"].as_array().unwrap().iter().map(|tried| &tried["tries_at_most"]).collect()
}

#[test]
fn no_coupon_of_the_main_demo_is_over_its_limit() {
    let project = dispensing_arm(|text| text);
    let design = project.design().and_then(|design| design.with_bearable_coupons()).unwrap();
    let document = document(&design);
    assert_eq!(tries(&document).len(), 18);
    assert!(tries(&document).iter().all(|tries| **tries == "any" || **tries == 5), "{:?}", tries(&document));
    assert_eq!(document["matches"].as_array().map(Vec::len), Some(4), "a cast part is matched in stiffness by default");
    assert!(document["coupon_print"]["left_out"].as_array().is_some_and(Vec::is_empty));
}

#[test]
fn the_material_that_is_proposed_bears_the_coupons() {
    let project = dispensing_arm(|text| text.replace("print = \"petg\"", ""));
    let design = project.design().and_then(|design| design.with_bearable_coupons()).unwrap();
    let before = document(&design);
    assert!(tries(&before).iter().any(|tries| **tries == 0), "PLA does not bear them: {:?}", tries(&before));
    let proposal = &before["coupon_print"]["proposal"];
    assert_eq!((&proposal["bears"], &proposal["coupons"]), (&18.into(), &18.into()));
    let also = proposal["also"].as_array().unwrap().iter();
    for key in also.chain([&proposal["key"]]).filter_map(serde_json::Value::as_str) {
        let project = dispensing_arm(|text| text.replace("\"petg\"", &format!("\"{key}\"")));
        let design = project.design().unwrap();
        let after = document(&design);
        assert!(tries(&after).iter().all(|tries| **tries == "any" || **tries == 5), "{key}: {:?}", tries(&after));
    }
}

#[test]
fn a_coupon_that_no_material_bears_is_left_out_with_a_word() {
    let text = demo("round-cells.toml");
    let steps = "\n[coupons]\nmount_steps = [-1.0, 0.0]\n";
    let project: Project = format!("{text}{steps}").parse().unwrap();
    let whole = project.design().unwrap();
    let design = whole.with_bearable_coupons().unwrap();
    let named =
        |design: &ProjectDesign<'_>| design.design().coupons.coupons.iter().any(|coupon| coupon.identity == "M-1.0");
    assert!(named(&whole) && !named(&design));
    let notes = &design.design().notes;
    assert!(notes.iter().any(|note| note.starts_with("Left out of the coupons: M-1.0.")), "{notes:#?}");
    assert!(tries(&document(&design)).iter().all(|tries| **tries != 0));
}
