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
        let mut tightest = ("mount".to_owned(), None, self.mount_fit.margin, self.mount.active_limits.clone());
        for row in &self.fit {
            if row.figures.margin.ratio < tightest.2.ratio {
                let part =
                    row.sleeve.as_ref().map_or_else(|| format!("size {}", row.letter), |s| format!("sleeve {s}"));
                tightest = (part, Some(row.tool_name.clone()), row.figures.margin, bound_by(row.letter));
            }
        }
        for holder in &self.holders {
            let margin = Margin::new(holder.web.strain_limit / holder.web.strain, Limit::Strain);
            if margin.ratio < tightest.2.ratio {
                tightest = (format!("web {}", holder.letter), None, margin, vec![Limit::Strain]);
            }
        }
        let (part, tool, margin, bound_by) = tightest;
        Verdict { serves: margin.is_kept(), part, tool, tightest: margin, bound_by }
    }
}
