//! Failures of a sizing run, as data.

use crate::{
    coupons::coupon_error::CouponError,
    design::fit_row::FitRow,
    design::holder_plan::{PointMovement, Web},
    design::sizes::{MountDesign, Size},
    family::sleeve_obstacle::SleeveObstacle,
    family::split::UnservedTool,
    limits::design_limits::DesignLimits,
    limits::margin::Margin,
    limits::mount_loads::MountLoads,
    limits::station_share::StationCollision,
    model::load_and_hold::Correction,
    parts::holder_brief::HolderLoads,
    parts::holder_fault::HolderFault,
    parts::keep_out::clearance::KeepOutBlock,
    search::mount_evaluation::MountTask,
    search::mount_search::SizedMount,
    shape::body_section::BodySection,
    shape::taper_fault::TaperFault,
};

/// A spec has no design: every reason that was found, in the order of the pipeline.
#[derive(Clone, Debug)]
pub(crate) struct NoDesign(pub(crate) Vec<Failure>);

impl From<Failure> for NoDesign {
    fn from(failure: Failure) -> Self {
        Self(vec![failure])
    }
}

/// One reason for which a spec has no design.
#[derive(Clone, Debug)]
pub(crate) enum Failure {
    /// The section of the body cannot be drawn.
    BodyNotDrawable { reason: String },
    /// The two sections of the body give no taper.
    Taper(TaperFault),
    /// The spec asks for sleeves, which cannot be made for its layout or finish.
    Sleeves(SleeveObstacle),
    /// Stations, or a station and the stop, leave no room for a clip.
    Stations(StationCollision),
    /// No clip serves a tool.
    NoClip(Box<NoClip>),
    /// No mount serves the body.
    NoMount(Box<NoMount>),
    /// The family needs more sizes than there are letters.
    TooManySizes { count: usize },
    /// A barrel does not go into its clip at every friction.
    SticksInClip { tool: usize, letter: char },
    /// A tool gives way by the load path.
    GivesWay { tool: usize, letter: char, margin: Margin },
    /// A tool comes to lie farther off its point than allowed.
    OffAim(Box<OffAim>),
    /// The web of a size is strained beyond its limit.
    WeakWeb { letter: char, strain: f64, strain_limit: f64, relieved: bool },
    /// The parts of a holder do not go together.
    Holder(HolderFault),
    /// A keep-out is in the way of a holder.
    KeepOut(Box<BlockedHolder>),
    /// The coupons cannot be made.
    Coupons(CouponError),
    /// Web, mount and clips let the tool move farther than allowed.
    SoftWeb(Box<SoftWeb>),
}

impl Failure {
    /// No mount serves the task; `nearest` is the best one.
    pub(crate) fn no_mount(task: &MountTask<'_>, nearest: Option<SizedMount>) -> Self {
        Self::NoMount(Box::new(NoMount {
            body: task.body_section.clone(),
            limits: task.context.limits.clone(),
            pad_half_width_mm: task.context.pad_half_width_mm,
            length_mm: task.length_mm,
            spread_mm: task.spread_mm,
            loads: task.loads.clone(),
            correction: task.correction,
            nearest,
        }))
    }
}

/// A tool without a clip, with the limits of the search.
#[derive(Clone, Debug)]
pub(crate) struct NoClip {
    pub(crate) unserved: UnservedTool,
    pub(crate) limits: DesignLimits,
    pub(crate) pad_half_width_mm: f64,
}

/// A body without a mount, with everything that the search for it was given.
#[derive(Clone, Debug)]
pub(crate) struct NoMount {
    pub(crate) body: BodySection,
    pub(crate) limits: DesignLimits,
    pub(crate) pad_half_width_mm: f64,
    pub(crate) length_mm: f64,
    pub(crate) spread_mm: f64,
    pub(crate) loads: MountLoads,
    pub(crate) correction: Correction,
    /// The best mount; `None` when none can be drawn.
    pub(crate) nearest: Option<SizedMount>,
}

/// A tool off its aim.
#[derive(Clone, Debug)]
pub(crate) struct OffAim {
    pub(crate) row: FitRow,
    pub(crate) limit_mm: f64,
    /// Movement of the tool's point under its load.
    pub(crate) tip: PointMovement,
    /// Offset of the body's axis in the mount, mm.
    pub(crate) mount_seat_mm: f64,
}

/// A holder that a keep-out blocks, with the parts as they are sized.
#[derive(Clone, Debug)]
pub(crate) struct BlockedHolder {
    pub(crate) letter: char,
    /// Index of the keep-out in the spec.
    pub(crate) index: usize,
    pub(crate) block: KeepOutBlock,
    pub(crate) size: Size,
    pub(crate) mount: MountDesign,
    pub(crate) loads: HolderLoads,
}

/// The holder whose tool moves farthest beyond the limit.
#[derive(Clone, Debug)]
pub(crate) struct SoftWeb {
    pub(crate) letter: char,
    pub(crate) web: Web,
    pub(crate) limit_mm: f64,
    pub(crate) clip_length_mm: f64,
    /// Width of the web that would do, mm; `None` when no width does.
    pub(crate) sufficient_width_mm: Option<f64>,
}
