//! Option `--verify`: a second mesher checks every part before anything is written.

use gripwright::Parts;
use serde_json::Value;

use crate::failure::Failure;

/// The second mesher of a run.
#[derive(Clone, Copy, Debug)]
pub(crate) enum SecondMesher {
    /// Parts are not meshed twice.
    Unused,
    /// Truck meshes every part a second time.
    #[cfg(feature = "truck")]
    Truck,
}

/// Figures of a verification.
#[derive(Clone, Copy, Debug)]
pub(crate) enum VerificationReport {
    /// Agreement with truck.
    #[cfg(feature = "truck")]
    Truck(gripwright::Verification),
}

impl VerificationReport {
    /// Sentence for a person, with an empty line behind it.
    pub(crate) fn text(&self) -> String {
        match *self {
            #[cfg(feature = "truck")]
            Self::Truck(ref verified) => text(verified),
        }
    }

    /// Entry of the printed document.
    pub(crate) fn document(&self) -> Value {
        match *self {
            #[cfg(feature = "truck")]
            Self::Truck(ref verified) => verified.document(),
        }
    }
}

impl SecondMesher {
    /// Verifies parts; `None` without a second mesher.
    #[cfg_attr(not(feature = "truck"), expect(clippy::unnecessary_wraps, reason = "nothing can fail without truck"))]
    pub(crate) fn verify(self, parts: &Parts) -> Result<Option<VerificationReport>, Failure> {
        match self {
            Self::Unused => {
                let _ = parts;
                Ok(None)
            }
            #[cfg(feature = "truck")]
            Self::Truck => Ok(Some(VerificationReport::Truck(parts.verify()?))),
        }
    }
}

#[cfg(feature = "truck")]
fn text(verified: &gripwright::Verification) -> String {
    let percent = |share: f64| format!("{:.0} %", 100.0 * share);
    let sentence = format!(
        "Verified: a second mesher agrees about {} parts. Greatest use of the limits: distance {}, volume {}, centre \
         of gravity {}.",
        verified.parts,
        percent(verified.distance_share),
        percent(verified.volume_share),
        percent(verified.centroid_share)
    );
    crate::text_report::wrapped(&sentence, "") + "\n\n"
}
