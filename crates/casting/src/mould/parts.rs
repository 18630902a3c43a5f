//! Printed parts of a mould: box, board, rods, pins and formers of the reservoirs.
//!
//! ```text
//!   first pour                      turned over, floor and board off: second pour
//!   ┌──────────────┐ brim              ┌──────────────┐ brim
//!   │   rubber     │                   │ │││ lid  ▽   │ former of the reservoir
//!   │   ┌──┐  ┌──┐ │                   │ │││      │   │ vent rods, sprue rod
//!   │   │  │  │  │ │ masters           │ └──┘  └──┘   │ masters
//!   ╞═══╧══╧══╧══╧═╡ board             │   rubber     │
//!   └┐___________┌┘  floor             └──────────────┘
//! ```
//!
//! Board and step of the floor are as thick as the lid, so the walls serve both pours and both are poured to the brim. The
//! walls interlock at the corners like a comb and are pulled off sideways; a rubber band or tape holds them.
//! In a mould that parts in the middle, the board is a bed with a pocket for the lower half of each master.

use std::f64::consts::{FRAC_PI_2, TAU};

use gripwright_section::{BodyError, Outline, OutlineError, Point, circle};
use gripwright_solid::{Motion, PlateError, PlateSpec, Relief, Solid, plate};

use super::{
    fit::BoxSize,
    layout::{MouldLayout, PlacedOpening, Reservoir},
    request::{MouldFigures, Parting, Peg, RodKind, RodOpening},
    walls::{Wall, rectangle, wall_outline},
};

/// Least floor under a blind hole, mm: a few layers of a printer, common practice, no source.
const LEAST_FLOOR_MM: f64 = 1.2;
/// Least wall round the hole of a former's peg in a rod, and its shortest peg, mm. Common practice, no source.
const LEAST_ROD_WALL_MM: f64 = 0.8;
const LEAST_PEG_MM: f64 = 0.5;
/// Depth of holes for pegs in printed parts, mm, where there is room for it: common practice, no source.
const PEG_HOLE_MM: f64 = 5.0;

/// Part of a mould.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct MouldPart {
    /// Part as it lies on the printer's bed, z = 0.
    pub solid: Solid,
    /// Motion to each place in the mould, at the pour in which the part serves: its number is the number of pieces.
    pub places: Vec<Motion>,
    /// Kind of the part.
    pub kind: PartKind,
}

/// Kind of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PartKind {
    /// Floor with a step that fits between the walls.
    Floor,
    /// Board on which the masters stand.
    Board,
    /// Wall of the box.
    Wall,
    /// Pin that locates a master on the board.
    Pin,
    /// Tapered rod of a sprue.
    SprueRod,
    /// Straight rod of a vent. A steel wire of the same diameter does as well, and is stiffer.
    VentRod,
    /// Former of a reservoir or runner.
    ReservoirFormer,
}

/// Reason why a part cannot be drawn.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PartError {
    /// The outlines of a part do not make a plate.
    #[error("{part}: {cause}")]
    Plate {
        /// Name of the part.
        part: String,
        /// Reason.
        cause: PlateError,
    },
    /// An outline cannot be drawn.
    #[error(transparent)]
    Outline(#[from] OutlineError),
    /// A round outline cannot be drawn.
    #[error(transparent)]
    Round(#[from] BodyError),
    /// A sprue is wider at the master than at its wide end.
    #[error("a sprue of {diameter_mm} mm at the master is not narrower than its wide end, {top_mm} mm")]
    Sprue {
        /// Diameter at the master, mm.
        diameter_mm: f64,
        /// Diameter of the wide end, mm.
        top_mm: f64,
    },
}

/// All parts of a mould.
pub fn mould_parts(layout: &MouldLayout, figures: &MouldFigures) -> Result<Vec<MouldPart>, PartError> {
    let maker = PartMaker { layout, figures, size: BoxSize::new(layout, figures) };
    let mut parts = vec![maker.floor()?];
    let has_two_halves = layout.parting != Parting::Cut;
    if has_two_halves {
        parts.push(maker.board()?);
    }
    parts.extend(maker.walls()?);
    if has_two_halves {
        parts.extend(maker.pins()?);
        parts.extend(maker.formers()?);
    }
    parts.extend(maker.rods(RodKind::Sprue)?);
    parts.extend(maker.rods(RodKind::Vent)?);
    Ok(parts)
}

fn disc(at: [f64; 2], diameter_mm: f64) -> Result<Outline, BodyError> {
    Ok(circle(diameter_mm)?.moved(0.0, Point::new(at[0], at[1])))
}

fn part(name: &str, kind: PartKind, spec: &PlateSpec, places: Vec<Motion>) -> Result<MouldPart, PartError> {
    let solid = plate(name, spec).map_err(|cause| PartError::Plate { part: name.to_owned(), cause })?;
    Ok(MouldPart { solid, places, kind })
}

/// Openings of equal size, which take equal rods and pins.
fn equal_openings<'a>(openings: impl Iterator<Item = &'a PlacedOpening>) -> Vec<Vec<PlacedOpening>> {
    let mut groups: Vec<Vec<PlacedOpening>> = Vec::new();
    let same = |a: &PlacedOpening, b: &PlacedOpening| {
        // Pegs that differ in their turn alone take equal parts.
        let peg = |o: &PlacedOpening| o.opening.peg.map_or([0.0; 2], |peg| [peg.length_mm, peg.width_mm]);
        let key = |o: &PlacedOpening| {
            let [length, width] = peg(o);
            [o.opening.diameter_mm, o.opening.height_mm, length, width].map(f64::to_bits)
        };
        key(a) == key(b) && a.opening.kind == b.opening.kind
    };
    for opening in openings {
        match groups.iter_mut().find(|group| same(&group[0], opening)) {
            Some(group) => group.push(*opening),
            None => groups.push(vec![*opening]),
        }
    }
    groups
}

/// Name with a number, if there are several.
fn numbered(name: &str, index: usize, count: usize) -> String {
    if count > 1 { format!("{name} {}", index + 1) } else { name.to_owned() }
}

/// Maker of the parts of one layout.
struct PartMaker<'a> {
    layout: &'a MouldLayout,
    figures: &'a MouldFigures,
    size: BoxSize,
}

impl PartMaker<'_> {
    /// Height of the step of the floor over its rim, mm.
    fn step_mm(&self) -> f64 {
        self.figures.floor_mm
    }

    /// Height of the lower edge of the walls, mm.
    fn walls_from(&self) -> f64 {
        self.layout.above_mm - self.size.wall_height_mm
    }

    /// Rectangle that slides between the walls.
    fn between_walls(&self) -> Result<Outline, OutlineError> {
        rectangle(self.layout.inner_mm.map(|s| s - 2.0 * self.figures.clearance_mm))
    }

    /// Half the gap between a peg and its hole, all round, mm.
    fn peg_gap_mm(&self) -> f64 {
        0.5 * self.figures.clearance_mm
    }

    /// Openings over which a master stands on a pin of the board, with their pegs. Pockets of a bed hold without pins.
    fn pinned(&self) -> impl Iterator<Item = (&PlacedOpening, Peg)> {
        let has_pockets = !self.layout.pockets.is_empty();
        let openings = self.layout.openings.iter().filter(move |_| !has_pockets);
        openings.filter_map(|o| o.opening.peg.filter(|_| o.opening.height_mm <= 0.0).map(|peg| (o, peg)))
    }

    /// Blind hole in a face for a peg or rod of a diameter.
    fn hole(&self, at: [f64; 2], diameter_mm: f64, depth_mm: f64) -> Result<Relief, PartError> {
        Ok(Relief::straight(disc(at, diameter_mm + self.figures.clearance_mm)?, -depth_mm))
    }

    fn floor(&self) -> Result<MouldPart, PartError> {
        let figures = self.figures;
        let mut on_end = Vec::new();
        if self.layout.parting == Parting::Cut {
            for reservoir in &self.layout.reservoirs {
                let basin = Relief::straight(reservoir.outline.clone(), reservoir.depth_mm);
                on_end.push(Relief { draft_rad: reservoir.draft_rad, on_end: self.pegs(&reservoir.sprues)?, ..basin });
            }
            for vent in self.layout.openings.iter().filter(|o| o.opening.kind == RodKind::Vent) {
                on_end.push(self.hole(vent.opening.at, vent.opening.diameter_mm, self.vent_hole_mm())?);
            }
        }
        let step = Relief { on_end, ..Relief::straight(self.between_walls()?, self.step_mm()) };
        let spec =
            PlateSpec { upper: vec![step], ..PlateSpec::plain(rectangle(self.size.outer_mm)?, figures.floor_mm) };
        part("floor", PartKind::Floor, &spec, vec![Motion::shift([0.0, 0.0, self.walls_from() - figures.floor_mm])])
    }

    /// Depth of the holes in the floor that hold vent rods, mm.
    fn vent_hole_mm(&self) -> f64 {
        (self.figures.floor_mm + self.step_mm() - LEAST_FLOOR_MM).min(PEG_HOLE_MM)
    }

    fn pegs(&self, sprues: &[[f64; 2]]) -> Result<Vec<Relief>, PartError> {
        let pegs = self.figures.pegs;
        let depth_mm = self.former_peg_mm();
        sprues.iter().map(|at| Ok(Relief::straight(disc(*at, pegs.diameter_mm)?, depth_mm))).collect()
    }

    fn board_mm(&self) -> f64 {
        self.layout.below_mm - self.step_mm()
    }

    /// Depth of the holes for the pins of masters in the board, mm.
    fn board_hole_mm(&self) -> f64 {
        (self.board_mm() - LEAST_FLOOR_MM).min(PEG_HOLE_MM)
    }

    fn board(&self) -> Result<MouldPart, PartError> {
        let keys = self.figures.keys;
        let mut upper = Vec::new();
        for at in &self.layout.keys {
            let socket = Relief::straight(disc(*at, keys.diameter_mm)?, -keys.depth_mm);
            upper.push(Relief { draft_rad: keys.taper_rad, ..socket });
        }
        for pocket in &self.layout.pockets {
            upper.push(Relief::straight(pocket.outline.clone(), -pocket.depth_mm));
        }
        for (opening, peg) in self.pinned() {
            let hole = peg.outline(opening.opening.at, self.peg_gap_mm())?;
            upper.push(Relief::straight(hole, -self.board_hole_mm()));
        }
        let spec = PlateSpec { upper, ..PlateSpec::plain(self.between_walls()?, self.board_mm()) };
        part("board", PartKind::Board, &spec, vec![Motion::shift([0.0, 0.0, -self.board_mm()])])
    }

    fn walls(&self) -> Result<[MouldPart; 2], PartError> {
        let thickness_mm = self.figures.wall_mm;
        let wall = |length_mm: f64, has_end_fingers: bool| {
            let (height_mm, clearance_mm) = (self.size.wall_height_mm, self.figures.clearance_mm);
            wall_outline(&Wall { length_mm, height_mm, thickness_mm, clearance_mm, has_end_fingers })
        };
        let ([width, depth], low) = (self.layout.inner_mm, self.walls_from());
        let along_x = |y: f64| Motion::turn([1.0, 0.0, 0.0], FRAC_PI_2, [0.0, y, low]);
        // A third of a turn about the diagonal takes x to y, y to z and z to x.
        let along_y = |x: f64| Motion::turn([1.0, 1.0, 1.0], TAU / 3.0, [x, 0.0, low]);
        let spec = |outline: Outline| PlateSpec::plain(outline, thickness_mm);
        let [half_width, half_depth] = [0.5 * width, 0.5 * depth];
        let front = vec![along_x(-half_depth), along_x(half_depth + thickness_mm)];
        let side = vec![along_y(-half_width - thickness_mm), along_y(half_width)];
        Ok([
            part("wall along the width", PartKind::Wall, &spec(wall(width, true)?), front)?,
            part("wall along the depth", PartKind::Wall, &spec(wall(depth, false)?), side)?,
        ])
    }

    fn pins(&self) -> Result<Vec<MouldPart>, PartError> {
        let clearance = self.figures.clearance_mm;
        let pinned: Vec<PlacedOpening> = self.pinned().map(|(opening, _)| *opening).collect();
        let groups = equal_openings(pinned.iter());
        let length = self.board_hole_mm() + self.figures.pegs.depth_mm - 2.0 * clearance;
        let mut pins = Vec::new();
        for (k, group) in groups.iter().enumerate() {
            let Some(peg) = group[0].opening.peg else { continue };
            let spec = PlateSpec::plain(Peg { turn_rad: 0.0, ..peg }.outline([0.0; 2], 0.0)?, length);
            let low = clearance - self.board_hole_mm();
            let places = group.iter().map(|o| at_height(o, low)).collect();
            pins.push(part(&numbered("pin", k, groups.len()), PartKind::Pin, &spec, places)?);
        }
        Ok(pins)
    }

    /// Formers of the reservoirs of a lid. They are printed as they lie in the lid: the rim at its outer face, the pegs
    /// toward the masters.
    fn formers(&self) -> Result<Vec<MouldPart>, PartError> {
        let count = self.layout.reservoirs.len();
        let former = |(k, reservoir): (usize, &Reservoir)| {
            let spec = PlateSpec {
                draft_rad: reservoir.draft_rad,
                upper: self.pegs(&reservoir.sprues)?,
                ..PlateSpec::plain(reservoir.outline.clone(), reservoir.depth_mm)
            };
            let place = Motion::shift([0.0, 0.0, -self.layout.below_mm]);
            part(&numbered("reservoir former", k, count), PartKind::ReservoirFormer, &spec, vec![place])
        };
        self.layout.reservoirs.iter().enumerate().map(former).collect()
    }

    fn rods(&self, kind: RodKind) -> Result<Vec<MouldPart>, PartError> {
        let groups = equal_openings(self.layout.openings.iter().filter(|o| o.opening.kind == kind));
        let rod = |(k, group): (usize, &Vec<PlacedOpening>)| match kind {
            RodKind::Sprue => self.sprue_rod(&numbered("sprue rod", k, groups.len()), group),
            RodKind::Vent => self.vent_rod(&numbered("vent rod", k, groups.len()), group),
        };
        groups.iter().enumerate().map(rod).collect()
    }

    /// Length of a sprue rod, mm.
    fn sprue_length_mm(&self, opening: &RodOpening) -> f64 {
        let basin_mm = self.layout.reservoirs.first().map_or(0.0, |r| r.depth_mm);
        self.layout.below_mm + opening.height_mm - basin_mm
    }

    /// Length of the pegs of formers, mm: short enough for a sound wall round their holes in every tapered rod.
    fn former_peg_mm(&self) -> f64 {
        let figures = self.figures;
        let room = |opening: &RodOpening| {
            let narrowing = 0.5 * (figures.sprue_top_mm - opening.diameter_mm);
            let wall =
                0.5 * (figures.sprue_top_mm - figures.pegs.diameter_mm - figures.clearance_mm) - LEAST_ROD_WALL_MM;
            self.sprue_length_mm(opening) * (wall / narrowing.max(wall))
        };
        let sprues = self.layout.openings.iter().map(|o| &o.opening).filter(|o| o.kind == RodKind::Sprue);
        sprues.map(|o| room(o) - figures.clearance_mm).fold(figures.pegs.depth_mm, f64::min).max(LEAST_PEG_MM)
    }

    /// Tapered rod: a hole for the peg of the reservoir in its wide end, a peg for the master on the other.
    fn sprue_rod(&self, name: &str, group: &[PlacedOpening]) -> Result<MouldPart, PartError> {
        let (figures, opening) = (self.figures, group[0].opening);
        let basin_mm = self.layout.reservoirs.first().map_or(0.0, |r| r.depth_mm);
        let length = self.sprue_length_mm(&opening);
        let narrowing = 0.5 * (figures.sprue_top_mm - opening.diameter_mm);
        if narrowing < 0.0 {
            return Err(PartError::Sprue { diameter_mm: opening.diameter_mm, top_mm: figures.sprue_top_mm });
        }
        let pegs = figures.pegs;
        let mut upper = Vec::new();
        if let Some(peg) = opening.peg {
            let outline = Peg { turn_rad: 0.0, ..peg }.outline([0.0; 2], 0.0)?;
            upper.push(Relief::straight(outline, pegs.depth_mm - figures.clearance_mm));
        }
        let spec = PlateSpec {
            draft_rad: (narrowing / length).atan(),
            lower: vec![self.hole([0.0; 2], pegs.diameter_mm, self.former_peg_mm() + figures.clearance_mm)?],
            upper,
            ..PlateSpec::plain(circle(figures.sprue_top_mm)?, length)
        };
        let low = basin_mm - self.layout.below_mm;
        part(name, PartKind::SprueRod, &spec, group.iter().map(|o| at_height(o, low)).collect())
    }

    fn vent_rod(&self, name: &str, group: &[PlacedOpening]) -> Result<MouldPart, PartError> {
        let (figures, opening) = (self.figures, group[0].opening);
        let in_floor = match self.layout.parting {
            Parting::End | Parting::Middle => 0.0,
            Parting::Cut => self.vent_hole_mm() - figures.clearance_mm,
        };
        let length = in_floor + self.layout.below_mm + opening.height_mm;
        let spec = PlateSpec::plain(circle(opening.diameter_mm)?, length);
        let low = -self.layout.below_mm - in_floor;
        part(name, PartKind::VentRod, &spec, group.iter().map(|o| at_height(o, low)).collect())
    }
}

/// Motion of a rod or pin to its opening, its lower end at a height (mm), in the turn of the peg.
fn at_height(opening: &PlacedOpening, height: f64) -> Motion {
    let RodOpening { at, peg, .. } = opening.opening;
    let shift = [at[0], at[1], height];
    peg.map_or_else(|| Motion::shift(shift), |peg| Motion::turn([0.0, 0.0, 1.0], peg.turn_rad, shift))
}
