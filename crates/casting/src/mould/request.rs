//! What a mould shall hold, and the figures of the process by which its parts are drawn.

use gripwright_section::{BodyError, Outline, Point, rounded_rectangle};
use gripwright_solid::Point3;

/// Way to part the mould.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Parting {
    /// At an end face of the masters: one half holds the cavities, the other is a flat lid.
    End,
    /// One block, cut by knife.
    Cut,
    /// In the middle of the height of the masters, which are symmetric about that plane. Their lower halves stand in pockets
    /// of a bed; sprues and vents go straight down through the second half.
    Middle,
}

/// Masters of one kind. They stand upright in the box, their lowest point at height zero.
#[derive(Clone, Debug, PartialEq)]
pub struct MasterKind {
    /// Name, for parts and messages.
    pub name: String,
    /// Plan along the mould's axis, seen from above as the first silicone is poured. Each outline is counter-clockwise.
    pub outlines: Vec<Outline>,
    /// Height, mm.
    pub height_mm: f64,
    /// Volume, mm³, with the hole of its peg filled.
    pub volume_mm3: f64,
    /// Number wanted.
    pub wanted: usize,
    /// Sprue and vents, in the drawing of the plan.
    pub openings: Vec<RodOpening>,
}

/// Place where a sprue or a vent meets a master.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RodOpening {
    /// Place in the plan, mm.
    pub at: [f64; 2],
    /// Height of the place over the lowest point of the master, mm.
    pub height_mm: f64,
    /// Sprue or vent.
    pub kind: RodKind,
    /// Diameter where it meets the master, mm.
    pub diameter_mm: f64,
    /// Peg of the rod of a sprue, for which the master has a blind hole; `None` where the rod is glued on.
    pub peg: Option<Peg>,
}

/// Peg with round ends. It is longer than wide, so that it fixes the turn of what it holds, too: a master on a pin of the
/// board, a rod on a master.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Peg {
    /// Length across its axis, mm.
    pub length_mm: f64,
    /// Width, mm.
    pub width_mm: f64,
    /// Turn of its length from x, rad.
    pub turn_rad: f64,
}

impl Peg {
    /// Section of the peg in place, larger by a gap (mm) all round.
    pub fn outline(&self, at: [f64; 2], gap_mm: f64) -> Result<Outline, BodyError> {
        let [length, width] = [self.length_mm, self.width_mm].map(|size| size + 2.0 * gap_mm);
        Ok(rounded_rectangle(length, width, 0.5 * width)?.moved(self.turn_rad, Point::new(at[0], at[1])))
    }
}

/// Kind of an opening.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RodKind {
    /// Resin flows in.
    Sprue,
    /// Air flows out.
    Vent,
}

/// Figures of the process.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MouldFigures {
    /// Rubber between masters and walls, mm.
    pub round_mm: f64,
    /// Rubber over the highest point, mm.
    pub above_mm: f64,
    /// Least rubber between two masters, and beside vents, mm.
    pub fin_mm: f64,
    /// Least rubber between two rods, mm.
    pub between_rods_mm: f64,
    /// Rubber between the masters and the ends of sprue and vents, mm: the thickness of a lid.
    pub below_mm: f64,
    /// Keys between two halves.
    pub keys: KeyFigures,
    /// Gap between printed parts that slide into each other, mm. Pegs and pins have half of it all round.
    pub clearance_mm: f64,
    /// Thickness of the printed walls, mm.
    pub wall_mm: f64,
    /// Thickness of the printed floor, mm.
    pub floor_mm: f64,
    /// Diameter of the sprue at its wide end, mm.
    pub sprue_top_mm: f64,
    /// Pegs and the holes that take them.
    pub pegs: PegFigures,
    /// Volume of the reservoirs, as a share of the volume of the masters, as far as vents and walls leave room.
    pub reservoir_share: f64,
}

/// Keys: round bosses of the first half in sockets of the lid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KeyFigures {
    /// Diameter at the parting plane, mm.
    pub diameter_mm: f64,
    /// Depth, mm.
    pub depth_mm: f64,
    /// Taper of their sides, rad.
    pub taper_rad: f64,
    /// Least rubber between a key and cavities or walls, mm.
    pub apart_mm: f64,
}

/// Pegs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PegFigures {
    /// Diameter of the pegs of reservoir formers, mm.
    pub diameter_mm: f64,
    /// Depth of the blind hole in a master, mm.
    pub depth_mm: f64,
}

impl MouldFigures {
    /// Radius of the rod of an opening where it is thickest, mm.
    pub fn rod_radius_mm(&self, kind: RodKind, diameter_mm: f64) -> f64 {
        match kind {
            RodKind::Sprue => 0.5 * self.sprue_top_mm,
            RodKind::Vent => 0.5 * diameter_mm,
        }
    }
}

impl Default for MouldFigures {
    /// Rubber, keys and sprue as in guides to mould making; rods, printed parts and pegs by common practice, no source.
    fn default() -> Self {
        Self {
            round_mm: 12.0,
            above_mm: 10.0,
            fin_mm: 3.0,
            between_rods_mm: 1.5,
            below_mm: 12.0,
            keys: KeyFigures { diameter_mm: 9.0, depth_mm: 4.5, taper_rad: 12_f64.to_radians(), apart_mm: 5.0 },
            clearance_mm: 0.2,
            wall_mm: 3.0,
            floor_mm: 3.0,
            sprue_top_mm: 7.0,
            pegs: PegFigures { diameter_mm: 2.0, depth_mm: 2.0 },
            reservoir_share: 0.15,
        }
    }
}

/// Room on the printer and in the pressure vessel; `None` where there is no limit.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MouldLimits {
    /// Width and depth of the printer's bed, mm.
    pub bed_mm: Option<[f64; 2]>,
    /// Inner diameter and height of the vessel, mm. The mould stands in it with its box, level for the silicone.
    pub vessel_mm: Option<[f64; 2]>,
    /// Direction against gravity in the coordinates of the box while the resin gels in the vessel, a unit vector; `None` for
    /// a level mould.
    pub up: Option<Point3>,
}
