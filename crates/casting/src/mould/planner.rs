//! Search for the layout with the least rubber.

use super::{
    bed_pockets::bed_pockets,
    fit::{BoxSize, box_misfits, misfits},
    keys::key_places,
    layout::{BedPocket, LayoutError, MouldLayout, MouldVolumes, PlacedOpening, Reservoir},
    outline_gap::Plan,
    packing::{MasterPlace, Packing, arrangements},
    request::{KeyFigures, MasterKind, MouldFigures, MouldLimits, Parting, Peg, RodKind, RodOpening},
    reservoirs::ReservoirRoom,
};

/// Step to which the room between the walls is rounded up, mm.
const SIZE_STEP_MM: f64 = 0.5;
/// Lengths that differ by less (mm) are equal.
const ROUNDING_MM: f64 = 1e-6;
/// Gaps beyond the fin that are tried between masters until their rods keep apart, mm.
const WIDER_GAPS_MM: [f64; 5] = [0.0, 3.0, 6.0, 9.0, 12.0];
/// Step by which it is widened for keys, mm.
const WIDENING_MM: f64 = 1.0;
/// Greatest widening for keys, mm.
const WIDEST_MM: f64 = 40.0;

/// Lays masters out in the box that takes the least rubber. Among layouts that keep the limits, it is the one with the least;
/// if none keeps them, [`misfits`] tells by how much the least one fails.
pub fn lay_out(
    kinds: &[MasterKind],
    parting: Parting,
    figures: &MouldFigures,
    limits: &MouldLimits,
) -> Result<MouldLayout, LayoutError> {
    check_figures(figures)?;
    let plans = kinds.iter().map(|kind| plan(kind, figures)).collect::<Result<Vec<_>, _>>()?;
    let counts: Vec<usize> = kinds.iter().map(|k| k.wanted).collect();
    let planner = Planner { kinds, parting, figures };
    let mut failure = LayoutError::NoMasters;
    for wider_mm in WIDER_GAPS_MM {
        let candidates = arrangements(&plans, &counts, figures.fin_mm + wider_mm);
        match planner.least_rubber(candidates, limits) {
            Ok(layout) => return Ok(layout),
            // Rods that touch need a wider gap; everything else stays as it is.
            Err(error @ LayoutError::Rods { .. }) => failure = error,
            Err(error) => return Err(error),
        }
    }
    Err(failure)
}

fn area(size: [f64; 2]) -> f64 {
    size[0] * size[1]
}

fn plan(kind: &MasterKind, figures: &MouldFigures) -> Result<Plan, LayoutError> {
    let positive = |value: f64| value.is_finite() && value > 0.0;
    if kind.wanted > 0 && !kind.openings.iter().any(|o| o.kind == RodKind::Sprue) {
        return Err(LayoutError::NoSprue { kind: kind.name.clone() });
    }
    let solid = positive(kind.height_mm) && positive(kind.volume_mm3);
    for (i, one) in kind.openings.iter().enumerate() {
        let gaps = kind.openings[..i].iter().map(|other| rubber_between_mm(one, other, figures));
        let apart_mm = gaps.fold(f64::INFINITY, f64::min);
        if apart_mm < figures.between_rods_mm - ROUNDING_MM {
            return Err(LayoutError::RodsOfMaster {
                kind: kind.name.clone(),
                apart_mm,
                least_mm: figures.between_rods_mm,
            });
        }
    }
    let plan = Plan::new(kind.outlines.clone()).filter(|_| solid);
    plan.ok_or_else(|| LayoutError::Master { kind: kind.name.clone() })
}

/// Rubber between two rods, mm; negative where they overlap.
fn rubber_between_mm(one: &RodOpening, other: &RodOpening, figures: &MouldFigures) -> f64 {
    let radius = |rod: &RodOpening| figures.rod_radius_mm(rod.kind, rod.diameter_mm);
    (one.at[0] - other.at[0]).hypot(one.at[1] - other.at[1]) - radius(one) - radius(other)
}

fn check_figures(figures: &MouldFigures) -> Result<(), LayoutError> {
    let KeyFigures { diameter_mm, depth_mm, taper_rad, apart_mm } = figures.keys;
    let positive = [
        ("the rubber round the masters", figures.round_mm),
        ("the rubber over the masters", figures.above_mm),
        ("the fin", figures.fin_mm),
        ("the rubber between rods", figures.between_rods_mm),
        ("the rubber below the masters", figures.below_mm),
        ("the diameter of the keys", diameter_mm),
        ("the depth of the keys", depth_mm),
        ("the rubber beside the keys", apart_mm),
        ("the clearance", figures.clearance_mm),
        ("the wall", figures.wall_mm),
        ("the floor", figures.floor_mm),
        ("the wide end of the sprue", figures.sprue_top_mm),
        ("the diameter of the pegs", figures.pegs.diameter_mm),
        ("the depth of the pegs", figures.pegs.depth_mm),
        ("the share of the reservoirs", figures.reservoir_share),
    ];
    for (figure, value) in positive {
        if !(value.is_finite() && value > 0.0) {
            return Err(LayoutError::Figure { figure, value, condition: "greater than zero" });
        }
    }
    let taper = (0.0..std::f64::consts::FRAC_PI_4).contains(&taper_rad);
    let end = 0.5 * diameter_mm - depth_mm * taper_rad.tan();
    let lid = figures.below_mm - depth_mm - figures.fin_mm - figures.floor_mm;
    for (figure, value, condition, kept) in [
        ("the taper of the keys", taper_rad, "at least zero and less than π/4", taper),
        ("the depth of the keys", depth_mm, "less than what their taper allows", end > 0.0),
        ("the rubber below the masters", figures.below_mm, "greater than keys, fin and floor together", lid > 0.0),
    ] {
        if !kept {
            return Err(LayoutError::Figure { figure, value, condition });
        }
    }
    Ok(())
}

/// Volume of a round rod or key between two radii, mm³.
pub(crate) fn frustum_mm3(radii: [f64; 2], height: f64) -> f64 {
    let [a, b] = radii;
    std::f64::consts::PI * height / 3.0 * (a * a + a * b + b * b)
}

/// Request that is laid out.
struct Planner<'a> {
    kinds: &'a [MasterKind],
    parting: Parting,
    figures: &'a MouldFigures,
}

impl Planner<'_> {
    /// Layout with the least rubber of some arrangements; one that keeps the limits goes before all others.
    fn least_rubber(&self, mut candidates: Vec<Packing>, limits: &MouldLimits) -> Result<MouldLayout, LayoutError> {
        let room = |packing: &Packing| packing.size.map(|s| s + 2.0 * self.figures.round_mm);
        candidates.sort_by(|a, b| area(room(a)).total_cmp(&area(room(b))));
        let mut best: Option<(bool, MouldLayout)> = None;
        let mut failure = LayoutError::NoMasters;
        for packing in candidates {
            // A box never gets smaller than its masters need. So a larger one cannot win, unless it fits and the best does
            // not.
            let bare = room(&packing);
            let may_fit = || box_misfits(&self.box_size(&packing, bare), limits).is_empty();
            let cannot_win =
                |found: &(bool, MouldLayout)| area(found.1.inner_mm) <= area(bare) && (found.0 || !may_fit());
            if best.as_ref().is_some_and(cannot_win) {
                continue;
            }
            match self.complete(packing) {
                Err(error) => failure = error,
                Ok(layout) => {
                    let fits = misfits(&layout, self.figures, limits).is_empty();
                    let rank = |fits: bool, layout: &MouldLayout| (!fits, layout.volumes.rubber_mm3());
                    let is_better = best.as_ref().is_none_or(|found| rank(fits, &layout) < rank(found.0, &found.1));
                    if is_better {
                        best = Some((fits, layout));
                    }
                }
            }
        }
        best.map(|found| found.1).ok_or(failure)
    }

    /// Rubber from the lowest points of the masters up to the brim, mm.
    fn above_mm(&self, packing: &Packing) -> f64 {
        let over = |p: &MasterPlace| self.kinds[p.kind].height_mm - self.sunk_mm(p);
        packing.places.iter().map(over).fold(0.0, f64::max) + self.figures.above_mm
    }

    /// Height of a master below height zero, mm.
    fn sunk_mm(&self, place: &MasterPlace) -> f64 {
        match self.parting {
            Parting::End | Parting::Cut => 0.0,
            Parting::Middle => 0.5 * self.kinds[place.kind].height_mm,
        }
    }

    /// Rubber from height zero down to the ends of sprue and vents, mm.
    fn below_mm(&self, places: &[MasterPlace]) -> f64 {
        places.iter().map(|p| self.sunk_mm(p)).fold(0.0, f64::max) + self.figures.below_mm
    }

    /// Pockets of the bed.
    fn pockets(&self, places: &[MasterPlace]) -> Result<Vec<BedPocket>, LayoutError> {
        let mut pockets = Vec::new();
        if self.parting == Parting::Middle {
            for (i, place) in places.iter().enumerate() {
                pockets.extend(bed_pockets(&self.kinds[place.kind], i, place, self.figures.clearance_mm)?);
            }
        }
        Ok(pockets)
    }

    /// Size of the box around an arrangement with this room between the walls.
    fn box_size(&self, packing: &Packing, inner_mm: [f64; 2]) -> BoxSize {
        let rubber_mm = self.below_mm(&packing.places) + self.above_mm(packing);
        BoxSize::around(inner_mm, rubber_mm, self.parting, self.figures)
    }

    /// Rods of neighbouring masters need rubber between them.
    fn check_rods(&self, openings: &[PlacedOpening]) -> Result<(), LayoutError> {
        for (i, one) in openings.iter().enumerate() {
            for other in openings[..i].iter().filter(|other| other.place != one.place) {
                let apart_mm = rubber_between_mm(&one.opening, &other.opening, self.figures);
                if apart_mm < self.figures.between_rods_mm {
                    return Err(LayoutError::Rods { apart_mm });
                }
            }
        }
        Ok(())
    }

    /// Box, keys and reservoirs for an arrangement of masters.
    fn complete(&self, packing: Packing) -> Result<MouldLayout, LayoutError> {
        let figures = self.figures;
        let room = packing.size.map(|s| rounded_up(s + 2.0 * figures.round_mm));
        let (inner_mm, keys) = match self.parting {
            Parting::End | Parting::Middle => self.with_keys(&packing.plans, room)?,
            Parting::Cut => (room, Vec::new()),
        };
        let openings = packing.places.iter().enumerate().flat_map(|(i, p)| {
            let (sin, cos) = p.turn_rad.sin_cos();
            let placed = move |o: &RodOpening| {
                let [x, y] = o.at;
                let at = [p.at[0] + x * cos - y * sin, p.at[1] + x * sin + y * cos];
                let height_mm = o.height_mm - self.sunk_mm(p);
                let peg = o.peg.map(|peg| Peg { turn_rad: peg.turn_rad + p.turn_rad, ..peg });
                PlacedOpening { place: i, opening: RodOpening { at, height_mm, peg, ..*o } }
            };
            self.kinds[p.kind].openings.iter().map(placed)
        });
        let openings: Vec<PlacedOpening> = openings.collect();
        self.check_rods(&openings)?;
        let beside_keys = figures.below_mm - figures.keys.depth_mm - figures.fin_mm;
        let depth_mm = match self.parting {
            Parting::End | Parting::Middle => beside_keys.min(0.5 * figures.below_mm),
            Parting::Cut => 0.5 * figures.below_mm,
        };
        let places = &packing.places;
        let room = ReservoirRoom { kinds: self.kinds, figures, places, openings: &openings, inner_mm, depth_mm };
        let reservoirs = room.reservoirs();
        let (above_mm, below_mm) = (self.above_mm(&packing), self.below_mm(&packing.places));
        let pockets = self.pockets(&packing.places)?;
        let mut layout = MouldLayout {
            parting: self.parting,
            places: packing.places,
            inner_mm,
            below_mm,
            above_mm,
            pockets,
            keys,
            openings,
            reservoirs,
            volumes: MouldVolumes::default(),
        };
        layout.volumes = self.volumes(&layout);
        Ok(layout)
    }

    /// Smallest box with room for keys: widened one way or both.
    fn with_keys(&self, plans: &[Plan], room: [f64; 2]) -> Result<([f64; 2], Vec<[f64; 2]>), LayoutError> {
        let steps = (0..).map(|k| f64::from(k) * WIDENING_MM).take_while(|mm| *mm <= WIDEST_MM);
        let widened = |way: [f64; 2]| {
            steps.clone().find_map(|mm| {
                let size = [room[0] + way[0] * mm, room[1] + way[1] * mm];
                key_places(plans, size, &self.figures.keys).map(|keys| (size, keys))
            })
        };
        let boxes = [[1.0, 0.0], [0.0, 1.0], [1.0, 1.0]].into_iter().filter_map(widened);
        let area = |found: &([f64; 2], Vec<[f64; 2]>)| found.0[0] * found.0[1];
        boxes.min_by(|a, b| area(a).total_cmp(&area(b))).ok_or(LayoutError::Keys { widened_mm: WIDEST_MM })
    }

    fn volumes(&self, layout: &MouldLayout) -> MouldVolumes {
        let figures = self.figures;
        let area = layout.inner_mm[0] * layout.inner_mm[1];
        let depth_mm = layout.reservoirs.first().map_or(0.0, |r| r.depth_mm);
        let rod = |o: &PlacedOpening| {
            let RodOpening { kind, diameter_mm, height_mm, .. } = o.opening;
            let length = layout.below_mm + height_mm;
            match kind {
                RodKind::Sprue => frustum_mm3([0.5 * figures.sprue_top_mm, 0.5 * diameter_mm], length - depth_mm),
                RodKind::Vent => frustum_mm3([0.5 * diameter_mm; 2], length),
            }
        };
        let rods_mm3: f64 = layout.openings.iter().map(rod).sum();
        let masters_mm3: f64 = layout.places.iter().map(|p| self.kinds[p.kind].volume_mm3).sum();
        let reservoirs_mm3: f64 = layout.reservoirs.iter().map(|r: &Reservoir| r.volume_mm3).sum();
        let KeyFigures { diameter_mm, depth_mm, taper_rad, .. } = figures.keys;
        let radius = 0.5 * diameter_mm;
        let key = frustum_mm3([radius, radius - depth_mm * taper_rad.tan()], depth_mm);
        let keys_mm3 = layout.keys.len() as f64 * key;
        let (above, below) = (area * layout.above_mm, area * layout.below_mm);
        let (first_rubber_mm3, lid_rubber_mm3) = match self.parting {
            Parting::End | Parting::Middle => {
                // Masters that part in their middle are symmetric about the parting plane.
                let sunk_mm3 = if self.parting == Parting::Middle { 0.5 * masters_mm3 } else { 0.0 };
                let first = above - (masters_mm3 - sunk_mm3) + keys_mm3;
                (first, below - sunk_mm3 - keys_mm3 - rods_mm3 - reservoirs_mm3)
            }
            Parting::Cut => (above + below - masters_mm3 - rods_mm3 - reservoirs_mm3, 0.0),
        };
        MouldVolumes { first_rubber_mm3, lid_rubber_mm3, masters_mm3, rods_mm3, reservoirs_mm3 }
    }
}

fn rounded_up(mm: f64) -> f64 {
    // A hair of rounding is no step.
    (mm / SIZE_STEP_MM - 1e-9).ceil() * SIZE_STEP_MM
}
