//! The coupon card, with and without matched stiffness.

use std::fs;

use serde_json::Value;

use crate::program::{WorkFolder, demo};

/// Makes the coupons of a spec; returns the card and the document.
fn make_card(spec: &str) -> (String, Value) {
    let work = WorkFolder::new();
    work.write("spec.toml", spec);
    let run = work.run(&["coupons", "spec.toml", "--out", "o", "--json"]);
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    let page = fs::read_to_string(work.path("o/coupons-card.html")).unwrap();
    (page, serde_json::from_str(&run.out).unwrap())
}

#[test]
fn a_matched_set_states_what_it_reproduces_and_warns() {
    let spec = fs::read_to_string(demo("dispensing-arm")).unwrap();
    let coupons = |keys: &str| spec.replace("print = \"petg\"", keys);
    let (plain, plain_document) = make_card(&coupons("match = \"shape\""));
    assert!(plain.contains("They have its shape") && !plain.contains("Not reproduced"));
    assert_eq!(plain_document["matches"], Value::Array(Vec::new()));

    // In PLA, the print of the master, some of the slices bear the strain.
    let (matched, document) = make_card(&coupons("match = \"stiffness\""));
    for words in ["matched in stiffness", "Reproduced:", "Not reproduced:", "root mean square"] {
        assert!(matched.contains(words), "{words}");
    }
    let matches = document["matches"].as_array().unwrap();
    assert_eq!(matches.len(), document["sizes"].as_array().unwrap().len() + 1);
    for row in matches {
        assert!(row["peaks_off"].as_f64().unwrap() < 0.05, "{row}");
        assert!(row["slice_walls_mm"][0].as_f64().unwrap() < row["part_walls_mm"][0].as_f64().unwrap(), "{row}");
    }
    // Some slices that match a polyurethane part exceed the strain limit of the print; card and document both say so.
    let tries = document["tries"].as_array().unwrap();
    let over = |t: &&Value| t["strain"].as_f64().unwrap() > t["strain_limit"].as_f64().unwrap();
    let over: Vec<&str> = tries.iter().filter(over).map(|t| t["coupon"].as_str().unwrap()).collect();
    assert!(!over.is_empty() && over.len() < tries.len(), "{over:?}");
    let note = document["notes"].as_array().unwrap().iter().filter_map(Value::as_str).find(|n| n.contains("whiten"));
    for identity in over {
        assert!(note.unwrap().contains(identity), "{identity}");
        assert!(matched.contains(&format!("<span class=\"whole\">{identity}</span>")), "{identity}");
    }
}
