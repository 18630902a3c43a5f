//! Load path: from the loads on a tool through its clips into the mount.
//!
//! ```text
//!      load ↘                 n ▲        A tool is a rigid bar on springs, its stations.
//!   ═════════╪═══tool══════════ ┼─▶ t    Each station carries a force and a moment.
//!        ┌───┴───┐   ┌───────┐
//!        │station│   │station│           ▲ y       A clip of some length tilts as one part:
//!        └───┬───┘   └───┬───┘           │
//!            └─── web ───┘               │      far end ,─´        travel out of the seat
//!          ┌──────┴──────┐             ──┼──────────,─´─────
//!          │    mount    │──body──▶ z    │  near ,─´  length      floor
//! ```
//!
//! Axes of the holder: x across, y from the body's axis toward the tools, z along the body. Moments about z roll the
//! mount round the body, those about x rock it in the plane of its mouth, those about y yaw it.

mod force_travel;
mod friction_use;
mod grip_capacity;
mod held_bar;
mod tilting_clip;
mod tool_support;
mod wrench;

pub use force_travel::ForceTravel;
pub use friction_use::friction_use;
pub use grip_capacity::{GripCapacity, LoadKind, LoadShares};
pub use held_bar::{BarMotion, ClipSpan};
pub use tilting_clip::TiltingClip;
pub use tool_support::{StationSupport, ToolSupport};
pub use wrench::{PointLoad, Wrench};
