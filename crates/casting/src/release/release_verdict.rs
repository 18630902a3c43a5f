//! Verdict on the release of a part, with its reasons and figures.

use std::fmt;

use super::{
    face_draft::FaceGroup,
    pull_strain::PullStrain,
    rubber_fin::{LEAST_FIN_MM, RubberFin},
    rubber_stretch::{MouthWidths, STRETCH_SHARE, UndercutStretch},
};

/// Share of the permitted stretch from which on a release needs care (own choice).
const CARE_SHARE: f64 = 0.5;

/// Undercut up to which a lip of silicone rolls aside instead of stretching, mm (common practice, from memory).
const SHALLOW_MM: f64 = 1.0;

/// What was found about one part, for the way in which it leaves its mould. What does not apply is left out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ReleaseFindings {
    /// Stretch at the undercuts in a straight pull.
    pub undercuts: Vec<UndercutStretch>,
    /// Mouths that pass their cores in a pull across, each with the name of its part.
    pub mouths: Vec<(String, MouthWidths)>,
    /// Thinnest fin of rubber.
    pub fin: Option<RubberFin>,
    /// Strain over the core in a pull across, each with the name of its part.
    pub strains: Vec<(String, PullStrain)>,
}

impl UndercutStretch {
    /// True if the rubber rolls aside instead of stretching.
    fn rolls_aside(&self) -> bool {
        self.depth_mm <= SHALLOW_MM && self.stretch.is_finite()
    }
}

/// What rubber and part bear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReleaseLimits {
    /// Elongation of the rubber at break, as a share: 3 for 300 %.
    pub break_elongation: f64,
    /// Least thickness of a fin of rubber, mm.
    pub least_fin_mm: f64,
    /// Greatest strain that the part bears at demoulding.
    pub strain_limit: f64,
}

impl ReleaseLimits {
    /// Limits with the usual least fin.
    pub const fn new(break_elongation: f64, strain_limit: f64) -> Self {
        Self { break_elongation, least_fin_mm: LEAST_FIN_MM, strain_limit }
    }

    /// Stretch at which rubber is used again and again: a third of its elongation at break.
    pub fn permitted_stretch(&self) -> f64 {
        STRETCH_SHARE * self.break_elongation
    }
}

/// One reason for care, or against a release. Its text gives the figures.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum ReleaseConcern {
    /// Rubber lies over an end of the part, and no opening leads through it.
    RubberOverEnd {
        /// Thickness of the part there, mm.
        wide_mm: f64,
    },
    /// An undercut stretches the rubber in a straight pull.
    Undercut {
        /// Class of the face.
        group: FaceGroup,
        /// Depth, mm.
        depth_mm: f64,
        /// Stretch asked.
        stretch: f64,
        /// Stretch permitted.
        permitted: f64,
    },
    /// A mouth and its core must pass each other in a pull across.
    Mouth {
        /// Name of the part.
        part: String,
        /// Widths of seat and mouth.
        widths: MouthWidths,
        /// Stretch permitted.
        permitted: f64,
    },
    /// A fin of rubber is thin.
    ThinFin {
        /// The fin.
        fin: RubberFin,
        /// Least thickness, mm.
        least_mm: f64,
    },
    /// The part bears the pull only because the rubber yields: over a rigid core it would not.
    NeedsSoftCore {
        /// Name of the part.
        part: String,
        /// Strain over a rigid core.
        rigid: f64,
        /// Estimate over rubber.
        shared: f64,
        /// Strain limit at demoulding.
        limit: f64,
    },
    /// The part is strained too far even as the rubber yields.
    OverStrained {
        /// Name of the part.
        part: String,
        /// Estimate over rubber.
        shared: f64,
        /// Strain limit at demoulding.
        limit: f64,
    },
    /// The solver found no way of the mouth over its core.
    NoWayOverCore {
        /// Name of the part.
        part: String,
    },
}

impl fmt::Display for ReleaseConcern {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let percent = |share: &f64| 100.0 * share;
        match self {
            Self::RubberOverEnd { wide_mm } => write!(
                f,
                "rubber lies over an end that is {wide_mm:.1} mm thick: make that end flush with the parting plane, or step the board"
            ),
            Self::Undercut { group, depth_mm, stretch, permitted } => write!(
                f,
                "{} are undercut by {depth_mm:.2} mm in a straight pull and stretch the rubber by {:.0} % of {:.0} % permitted",
                group.name(),
                percent(stretch),
                percent(permitted)
            ),
            Self::Mouth { part, widths, permitted } => write!(
                f,
                "the mouth of the {part}, {:.2} mm, passes a core of {:.2} mm in a pull across: {:.0} % of {:.0} % permitted",
                widths.narrow_mm,
                widths.wide_mm,
                percent(&widths.stretch()),
                percent(permitted)
            ),
            Self::ThinFin { fin, least_mm } => write!(
                f,
                "a fin of rubber is {:.1} mm thick and {:.1} mm deep, less than {least_mm:.1} mm: it tears first; pull along it",
                fin.thickness_mm, fin.depth_mm
            ),
            Self::NeedsSoftCore { part, rigid, shared, limit } => write!(
                f,
                "the {part} is strained by about {:.1} % as its core yields, of {:.1} % at demoulding; over a stiff core it would be {:.1} %: press the core in, pull slowly",
                percent(shared),
                percent(limit),
                percent(rigid)
            ),
            Self::OverStrained { part, shared, limit } => write!(
                f,
                "the {part} is strained by about {:.1} % as its core yields, more than {:.1} % at demoulding: wait for more cure, or pull it along its length",
                percent(shared),
                percent(limit)
            ),
            Self::NoWayOverCore { part } => {
                write!(f, "no way was found for the mouth of the {part} over its core: pull it along its length")
            }
        }
    }
}

/// Verdict on the release of a part.
#[derive(Clone, Debug, PartialEq)]
pub enum ReleaseVerdict {
    /// It comes off.
    ComesOff,
    /// It comes off with care.
    WithCare(Vec<ReleaseConcern>),
    /// It does not come off, or not whole. Reasons come first, then what needs care besides.
    DoesNot(Vec<ReleaseConcern>),
}

impl ReleaseVerdict {
    /// Judges the findings about a part. Undercuts of up to 1 mm need care at most, unless rubber lies over an end. A strain counts over the rigid core if that passes; otherwise as shared with the
    /// rubber, and then the part needs care.
    pub fn judge(findings: &ReleaseFindings, limits: &ReleaseLimits) -> Self {
        let (mut reasons, mut cares) = (Vec::new(), Vec::new());
        let permitted = limits.permitted_stretch();
        let mut stretched = |stretch: f64, concern: ReleaseConcern| {
            if stretch > permitted {
                reasons.push(concern);
            } else if stretch > CARE_SHARE * permitted {
                cares.push(concern);
            }
        };
        // The worst of the deep and of the shallow undercuts.
        for shallow in [false, true] {
            let alike = findings.undercuts.iter().filter(|u| u.rolls_aside() == shallow);
            let Some(worst) = alike.max_by(|a, b| a.stretch.total_cmp(&b.stretch)) else { continue };
            let UndercutStretch { group, depth_mm, wide_mm, stretch, .. } = *worst;
            let concern = ReleaseConcern::Undercut { group, depth_mm, stretch, permitted };
            let concern = if stretch.is_finite() { concern } else { ReleaseConcern::RubberOverEnd { wide_mm } };
            stretched(if shallow { stretch.min(permitted) } else { stretch }, concern);
        }
        for (part, widths) in &findings.mouths {
            stretched(widths.stretch(), ReleaseConcern::Mouth { part: part.clone(), widths: *widths, permitted });
        }
        for (part, strain) in &findings.strains {
            let (part, limit) = (part.clone(), limits.strain_limit);
            match (strain.rigid, strain.shared()) {
                (Some(rigid), _) if rigid <= limit => {}
                (Some(rigid), Some(shared)) if shared <= limit => {
                    cares.push(ReleaseConcern::NeedsSoftCore { part, rigid, shared, limit });
                }
                (Some(_), Some(shared)) => reasons.push(ReleaseConcern::OverStrained { part, shared, limit }),
                _ => reasons.push(ReleaseConcern::NoWayOverCore { part }),
            }
        }
        if let Some(fin) = findings.fin.filter(|fin| fin.thickness_mm < limits.least_fin_mm) {
            cares.push(ReleaseConcern::ThinFin { fin, least_mm: limits.least_fin_mm });
        }
        if !reasons.is_empty() {
            reasons.append(&mut cares);
            Self::DoesNot(reasons)
        } else if cares.is_empty() {
            Self::ComesOff
        } else {
            Self::WithCare(cares)
        }
    }

    /// The verdict in words, without its concerns.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::ComesOff => "comes off",
            Self::WithCare(_) => "comes off with care",
            Self::DoesNot(_) => "does not come off",
        }
    }

    /// The concerns, the gravest first.
    pub fn concerns(&self) -> &[ReleaseConcern] {
        match self {
            Self::ComesOff => &[],
            Self::WithCare(concerns) | Self::DoesNot(concerns) => concerns,
        }
    }
}

impl fmt::Display for ReleaseVerdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())?;
        for (index, concern) in self.concerns().iter().enumerate() {
            write!(f, "{} {concern}", if index == 0 { ":" } else { ";" })?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LIMITS: ReleaseLimits = ReleaseLimits::new(3.0, 0.02);

    fn mouth(wide_mm: f64, narrow_mm: f64) -> ReleaseFindings {
        let widths = MouthWidths { wide_mm, narrow_mm };
        ReleaseFindings { mouths: vec![("clip".to_owned(), widths)], ..ReleaseFindings::default() }
    }

    fn strained(rigid: Option<f64>, part_share: f64) -> ReleaseFindings {
        let strain = PullStrain { rigid, part_share };
        ReleaseFindings { strains: vec![("mount".to_owned(), strain)], ..ReleaseFindings::default() }
    }

    fn undercut(stretch: f64, depth_mm: f64) -> ReleaseFindings {
        let undercut = UndercutStretch {
            face: 3,
            group: FaceGroup::FlatEnd,
            depth_mm,
            wide_mm: 4.0,
            narrow_mm: 2.0,
            stretch,
            at_mm: [0.0; 3],
        };
        ReleaseFindings { undercuts: vec![undercut], ..ReleaseFindings::default() }
    }

    fn judged(findings: &ReleaseFindings) -> String {
        ReleaseVerdict::judge(findings, &LIMITS).to_string()
    }

    /// A third of 300 % is permitted; half of that needs care.
    #[test]
    fn stretch_is_judged_by_a_third_of_the_elongation_at_break() {
        assert_eq!(judged(&ReleaseFindings::default()), "comes off");
        assert_eq!(judged(&mouth(16.0, 15.0)), "comes off");
        assert!(judged(&mouth(16.0, 10.0)).starts_with("comes off with care: the mouth of the clip, 10.00 mm"));
        assert!(judged(&mouth(16.0, 7.9)).starts_with("does not come off: the mouth"));
        assert_eq!(judged(&undercut(0.4, 2.0)), "comes off");
        assert!(
            judged(&undercut(1.1, 2.0)).starts_with("does not come off: flat ends and ledges are undercut by 2.00 mm")
        );
        assert!(judged(&undercut(f64::INFINITY, 0.5)).contains("rubber lies over an end that is 4.0 mm thick"));
    }

    /// A lip of rubber over a chamfer rolls aside; it must not hide a deep undercut that stretches less.
    #[test]
    fn shallow_undercuts_need_care_at_most() {
        assert!(
            judged(&undercut(1.4, 0.4))
                .starts_with("comes off with care: flat ends and ledges are undercut by 0.40 mm")
        );
        let mut both = undercut(1.4, 0.4);
        both.undercuts.extend(undercut(1.2, 3.0).undercuts);
        assert!(judged(&both).starts_with("does not come off: flat ends and ledges are undercut by 3.00 mm"));
    }

    #[test]
    fn strain_is_judged_over_a_rigid_core_first() {
        assert_eq!(judged(&strained(Some(0.019), 0.5)), "comes off");
        assert!(
            judged(&strained(Some(0.03), 0.5)).starts_with("comes off with care: the mount is strained by about 1.5 %")
        );
        assert!(
            judged(&strained(Some(0.05), 0.5)).starts_with("does not come off: the mount is strained by about 2.5 %")
        );
        assert!(judged(&strained(None, 1.0)).starts_with("does not come off: no way was found"));
    }

    #[test]
    fn a_thin_fin_needs_care_and_follows_graver_reasons() {
        let fin = RubberFin { thickness_mm: 1.8, depth_mm: 6.0, at_mm: [0.0; 3] };
        let thin = ReleaseFindings { fin: Some(fin), ..ReleaseFindings::default() };
        assert!(judged(&thin).starts_with("comes off with care: a fin of rubber is 1.8 mm thick"));
        let both = ReleaseFindings { fin: Some(fin), ..strained(Some(0.05), 0.5) };
        let verdict = ReleaseVerdict::judge(&both, &LIMITS);
        assert!(matches!(verdict, ReleaseVerdict::DoesNot(_)));
        assert!(matches!(verdict.concerns(), [ReleaseConcern::OverStrained { .. }, ReleaseConcern::ThinFin { .. }]));
    }
}
