//! Layout of a mould: places of masters, size of the box, keys, reservoirs and volumes.
//!
//! The box is centred about the origin; height zero is the parting plane, or the lowest point of the masters in a block, as
//! the first silicone is poured.

use gripwright_section::Outline;

use super::{packing::MasterPlace, request::Parting, request::RodOpening};

/// Layout of a mould.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct MouldLayout {
    /// Way to part the mould.
    pub parting: Parting,
    /// Places of all masters.
    pub places: Vec<MasterPlace>,
    /// Width and depth of the room between the walls, mm.
    pub inner_mm: [f64; 2],
    /// Rubber from height zero down to the ends of sprue and vents, mm: the lid, if there are two halves.
    pub below_mm: f64,
    /// Rubber from height zero up to the brim, mm.
    pub above_mm: f64,
    /// Centres of the keys, mm; none in a block that is cut.
    pub keys: Vec<[f64; 2]>,
    /// Sprues and vents of all masters.
    pub openings: Vec<PlacedOpening>,
    /// Pockets of the bed for the lower halves of the masters; none unless the mould parts in their middle.
    pub pockets: Vec<BedPocket>,
    /// Basins at the ends of the sprues.
    pub reservoirs: Vec<Reservoir>,
    /// Volumes.
    pub volumes: MouldVolumes,
}

/// Sprue or vent of a master in the box.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct PlacedOpening {
    /// Index of the master's place.
    pub place: usize,
    /// Sprue or vent, with its place in the box; its height is over height zero.
    pub opening: RodOpening,
}

/// Pocket of a bed: the plan of a master, widened by the clearance.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct BedPocket {
    /// Index of the master's place.
    pub place: usize,
    /// Outline, counter-clockwise.
    pub outline: Outline,
    /// Depth, mm: half the height of the master and the clearance.
    pub depth_mm: f64,
}

/// Basin that feeds one sprue, or a runner that feeds several.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Reservoir {
    /// Centres of the sprues that it feeds, mm.
    pub sprues: Vec<[f64; 2]>,
    /// Rim.
    pub outline: Outline,
    /// Depth, mm.
    pub depth_mm: f64,
    /// Taper of its sides, rad.
    pub draft_rad: f64,
    /// Volume, mm³.
    pub volume_mm3: f64,
}

/// Volumes of a mould, mm³. Rubber, masters, rods and reservoirs fill the room between the walls.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct MouldVolumes {
    /// Rubber of the first pour: the half with the cavities, or the whole block.
    pub first_rubber_mm3: f64,
    /// Rubber of the lid; zero for a block.
    pub lid_rubber_mm3: f64,
    /// All masters.
    pub masters_mm3: f64,
    /// Sprues and vents.
    pub rods_mm3: f64,
    /// Reservoirs.
    pub reservoirs_mm3: f64,
}

impl MouldVolumes {
    /// Resin of one pour: cavities, sprues, vents and reservoirs, mm³.
    pub fn resin_mm3(&self) -> f64 {
        self.masters_mm3 + self.rods_mm3 + self.reservoirs_mm3
    }

    /// Rubber of both pours, mm³.
    pub fn rubber_mm3(&self) -> f64 {
        self.first_rubber_mm3 + self.lid_rubber_mm3
    }
}

impl MouldLayout {
    /// Number of masters of each kind, for this number of kinds.
    pub fn counts(&self, kinds: usize) -> Vec<usize> {
        (0..kinds).map(|kind| self.places.iter().filter(|p| p.kind == kind).count()).collect()
    }
}

/// Reason why there is no layout.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum LayoutError {
    /// No master is wanted.
    #[error("no master is wanted")]
    NoMasters,
    /// A kind of master has no outline, or its height or volume is not greater than zero.
    #[error("master `{kind}` has no outline, height or volume")]
    Master {
        /// Name of the kind.
        kind: String,
    },
    /// A master has no sprue.
    #[error("master `{kind}` has no sprue")]
    NoSprue {
        /// Name of the kind.
        kind: String,
    },
    /// A figure of the process is out of range.
    #[error("{figure} is {value}; it must be {condition}")]
    Figure {
        /// Name of the figure.
        figure: &'static str,
        /// Value given.
        value: f64,
        /// Condition.
        condition: &'static str,
    },
    /// Rods of neighbouring masters come too near to each other.
    #[error("rods of two masters are {apart_mm:.1} mm apart")]
    Rods {
        /// Rubber between them, mm; negative where they overlap.
        apart_mm: f64,
    },
    /// Rods of one master come too near to each other.
    #[error("rods of master `{kind}` are {apart_mm:.1} mm apart, less than {least_mm} mm")]
    RodsOfMaster {
        /// Name of the kind.
        kind: String,
        /// Rubber between them, mm; negative where they overlap.
        apart_mm: f64,
        /// Least rubber asked for, mm.
        least_mm: f64,
    },
    /// No arrangement has room for three keys, even in a wider box.
    #[error("no box up to {widened_mm} mm wider than the rubber needs has room for three keys")]
    Keys {
        /// Widening tried, mm.
        widened_mm: f64,
    },
    /// The plan of a master cannot be widened for the pocket of a bed: its mouth is too narrow, or it closes a ring.
    #[error("a bed has no pocket for master `{kind}` with a clearance of {clearance_mm} mm")]
    Pocket {
        /// Name of the kind.
        kind: String,
        /// Clearance, mm.
        clearance_mm: f64,
    },
}
