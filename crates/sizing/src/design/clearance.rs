//! Free space at keep-outs, as a result.

use serde::{Serialize, Serializer};

/// A part of a holder, or its thickest tool.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum KeepOutPart {
    /// The mount.
    Mount,
    /// The clip at a station, counted from zero.
    Clip(usize),
    /// The web.
    Web,
    /// The end stop.
    Stop,
    /// The thickest barrel in the clips: from the first end of a clip, or the stop, to the last, or the point ahead.
    Tool,
}

impl KeepOutPart {
    /// The part as it reads in tables and files.
    pub fn word(self) -> String {
        match self {
            Self::Mount => "mount".to_owned(),
            Self::Clip(index) => format!("clip {}", index + 1),
            Self::Web => "web".to_owned(),
            Self::Stop => "stop".to_owned(),
            Self::Tool => "tool".to_owned(),
        }
    }
}

impl Serialize for KeepOutPart {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.word())
    }
}

/// The part that comes nearest to a keep-out.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Approach {
    /// The part.
    pub part: KeepOutPart,
    /// Distance to the keep-out, mm; negative inside it.
    pub distance_mm: f64,
    /// Place in the holder's axes, mm.
    pub at_mm: [f64; 3],
}

/// Free space that a holder leaves at one keep-out.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct KeepOutPlan {
    /// Its name.
    pub name: String,
    /// The free space asked for, mm.
    pub clearance_mm: f64,
    /// Closest approach before the web was relieved and lightened.
    pub before: Approach,
    /// Closest approach of the holder as it is made, with pockets and windows.
    pub after: Approach,
    /// True if the web was relieved for it.
    #[serde(rename = "web_relieved")]
    pub relieved: bool,
}
