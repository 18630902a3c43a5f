//! Cautions for printing, trimming, trying and loading the parts: on the coupons' card and after files are made.

/// Subject of each caution, and its text in lines that fit a terminal.
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
/// Sentence on what takes precedence over the cautions.
pub const PRECEDENCE: &str = "Data sheets, local codes and licensed practice go before anything said here.";
