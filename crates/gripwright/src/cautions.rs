//! Cautions for printing, trimming, trying and loading the parts: on the coupons' card and after files are made.

/// A caution.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Caution {
    /// Subject in a word.
    pub subject: &'static str,
    /// Text in lines that fit a terminal.
    pub lines: &'static [&'static str],
}

/// All cautions.
pub const CAUTIONS: [Caution; 5] = [
    Caution {
        subject: "Loads",
        lines: &[
            "Forces and margins are estimates until coupons have been tried. Do not hang anything over people,",
            "and do not trust a holder where its failure could hurt someone, without a test of your own.",
        ],
    },
    Caution {
        subject: "Snap",
        lines: &["A clip that is bent too far can break and throw pieces: wear eye protection when trying coupons."],
    },
    Caution {
        subject: "Blades",
        lines: &["Cut away from the hand and clamp the part when trimming; follow the tool maker's instructions."],
    },
    Caution {
        subject: "Dust",
        lines: &["Sand wet or with extraction and a mask; the dust of resins and filled plastics harms the lungs."],
    },
    Caution { subject: "Fumes", lines: &["Print in a ventilated room and follow the material's data sheet."] },
];
/// Sentence on what takes precedence over the cautions.
pub const PRECEDENCE: &str = "Data sheets, local codes and licensed practice go before anything said here.";
