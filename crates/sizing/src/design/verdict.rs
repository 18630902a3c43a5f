//! Verdict on a design: whether it serves, and its tightest margin.

use serde::Serialize;

use crate::{
    design::Design,
    limits::margin::{Limit, Margin},
};

/// Whether a design serves, and the margin that is nearest to its limit.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Verdict {
    /// True if every limit of every part is kept.
    pub serves: bool,
    /// Part with the tightest margin, such as `size A` or `mount`.
    pub part: String,
    /// Tool whose fit it is; absent for the mount and for webs.
    pub tool: Option<String>,
    /// The tightest margin.
    pub tightest: Margin,
    /// Limits that keep the part from being better, the first most.
    pub bound_by: Vec<Limit>,
}

impl Design {
    /// Verdict on all tools, the mount and the webs.
    pub fn verdict(&self) -> Verdict {
        let bound_by = |letter: char| {
            let size = self.sizes.iter().find(|size| size.letter == letter);
            size.map_or_else(Vec::new, |size| size.active_limits.clone())
        };
        let mut verdict = Verdict {
            serves: true,
            part: "mount".to_owned(),
            tool: None,
            tightest: self.mount_fit.margin,
            bound_by: self.mount.active_limits.clone(),
        };
        for row in &self.fit {
            if row.figures.margin.ratio < verdict.tightest.ratio {
                verdict.part =
                    row.sleeve.as_ref().map_or_else(|| format!("size {}", row.letter), |s| format!("sleeve {s}"));
                verdict.tool = Some(row.tool_name.clone());
                verdict.tightest = row.figures.margin;
                verdict.bound_by = bound_by(row.letter);
            }
        }
        for holder in &self.holders {
            let margin = Margin::new(holder.web.strain_limit / holder.web.strain, Limit::Strain);
            if margin.ratio < verdict.tightest.ratio {
                verdict.part = format!("web {}", holder.letter);
                verdict.tool = None;
                verdict.tightest = margin;
                verdict.bound_by = vec![Limit::Strain];
            }
        }
        verdict.serves = verdict.tightest.is_kept();
        verdict
    }
}
