//! The usual cautions, printed after files are made and on the coupons' card. They defer to data sheets, local codes and
//! licensed practice.

use std::fmt::Write;

/// What each is about, and the lines that it takes in a terminal: for printing, trimming, trying and loading the parts.
pub const CAUTIONS: [(&str, &[&str]); 5] = [
    (
        "Loads",
        &[
            "Forces and margins are estimates until coupons have been tried. Do not hang anything over people,",
            "and do not trust a holder where its failure could hurt someone, without a test of your own.",
        ],
    ),
    ("Snap", &["A clip that is bent too far can break and throw pieces: wear eye protection when trying coupons."]),
    ("Blades", &["Cut away from the hand and clamp the part when trimming; follow the tool maker's instructions."]),
    ("Dust", &["Sand wet or with extraction and a mask; the dust of resins and filled plastics harms the lungs."]),
    ("Fumes", &["Print in a ventilated room and follow the material's data sheet."]),
];
/// What stands over all of them.
pub const FIRST: &str = "Data sheets, local codes and licensed practice go before anything said here.";

/// The cautions as text.
pub fn text() -> String {
    let mut out = String::from("Cautions\n");
    for (about, lines) in CAUTIONS {
        let _ = writeln!(out, "  {about:<7} {}", lines.join(&format!("\n{:10}", "")));
    }
    let _ = writeln!(out, "  {FIRST}");
    out
}
