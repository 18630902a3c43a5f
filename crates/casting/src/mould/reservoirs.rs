//! Reservoirs: one runner for each row of masters, or a basin for each sprue where vents are in the way.

use gripwright_section::{Outline, Point};

use super::{
    layout::{PlacedOpening, Reservoir},
    outline_gap::Plan,
    packing::MasterPlace,
    request::{MasterKind, MouldFigures, RodKind},
    rounded_hull::rounded_hull,
};

/// Taper of the sides of a reservoir, rad: 10°, common practice, no source.
const DRAFT_RAD: f64 = 0.174_532_925_199_432_95;
/// Step by which a reservoir grows until it is large enough, mm.
const STEP_MM: f64 = 0.25;

/// Points of each segment of a rim at which its distance from another is measured.
const RIM_POINTS: u8 = 16;

/// Room for the reservoirs of a box.
pub(crate) struct ReservoirRoom<'a> {
    pub(crate) kinds: &'a [MasterKind],
    pub(crate) figures: &'a MouldFigures,
    pub(crate) places: &'a [MasterPlace],
    pub(crate) openings: &'a [PlacedOpening],
    pub(crate) inner_mm: [f64; 2],
    /// Depth of the reservoirs, mm.
    pub(crate) depth_mm: f64,
}

impl ReservoirRoom<'_> {
    /// Reservoirs of all rows. A basin that vents and walls leave no room for holds less, or is left out: its sprue is topped
    /// up by hand.
    pub(crate) fn reservoirs(&self) -> Vec<Reservoir> {
        let rows = self.places.iter().map(|p| p.row + 1).max().unwrap_or(0);
        let mut all = Vec::new();
        for row in 0..rows {
            let places: Vec<usize> = (0..self.places.len()).filter(|i| self.places[*i].row == row).collect();
            let runner = self.reservoir(&places, &all);
            if let (Some(runner), true) = runner {
                all.push(runner);
                continue;
            }
            let mut basins = Vec::new();
            for place in places {
                let known: Vec<Reservoir> = all.iter().chain(&basins).cloned().collect();
                basins.extend(self.reservoir(&[place], &known).0);
            }
            let volume = |some: &[Reservoir]| some.iter().map(|r| r.volume_mm3).sum::<f64>();
            match runner.0 {
                Some(runner) if runner.volume_mm3 > volume(&basins) => all.push(runner),
                _ => all.extend(basins),
            }
        }
        all
    }

    /// Smallest reservoir that feeds these places and holds its share of their volume, or the largest that has room; true if
    /// it holds its share.
    fn reservoir(&self, places: &[usize], others: &[Reservoir]) -> (Option<Reservoir>, bool) {
        let volume: f64 = places.iter().map(|i| self.kinds[self.places[*i].kind].volume_mm3).sum();
        let needed_mm3 = self.figures.reservoir_share * volume;
        let sprues: Vec<Point> = self
            .openings
            .iter()
            .filter(|o| places.contains(&o.place) && o.opening.kind == RodKind::Sprue)
            .map(|o| Point::new(o.opening.at[0], o.opening.at[1]))
            .collect();
        let lean = self.depth_mm * DRAFT_RAD.tan();
        // The floor of the reservoir takes the wide end of the sprue.
        let mut radius_mm = 0.5 * self.figures.sprue_top_mm + 0.5 + lean;
        let mut found = None;
        loop {
            let sized = |radius: f64| rounded_hull(&sprues, radius).ok().filter(|o| o.self_contact().is_none());
            let areas = [radius_mm, radius_mm - 0.5 * lean, radius_mm - lean].map(|r| sized(r).map(|o| o.area_mm2()));
            let (Some(outline), [Some(rim), Some(middle), Some(floor)]) = (sized(radius_mm), areas) else {
                return (found, false);
            };
            if !self.is_free(&outline, places) || others.iter().any(|other| self.is_near(&outline, &other.outline)) {
                return (found, false);
            }
            // The area is a quadratic of the height, which Simpson's rule integrates exactly.
            let volume_mm3 = self.depth_mm / 6.0 * (rim + 4.0 * middle + floor);
            let (fed, depth_mm) = (sprues.iter().map(|p| [p.x, p.y]).collect(), self.depth_mm);
            found = Some(Reservoir { sprues: fed, outline, depth_mm, draft_rad: DRAFT_RAD, volume_mm3 });
            if volume_mm3 >= needed_mm3 {
                return (found, true);
            }
            radius_mm += STEP_MM;
        }
    }

    /// True if two rims come nearer to each other than the fin, found at points along the second.
    fn is_near(&self, rim: &Outline, other: &Outline) -> bool {
        let Some(plan) = Plan::new(vec![rim.clone()]) else { return true };
        let mut points = other
            .segments()
            .iter()
            .flat_map(|s| (0..RIM_POINTS).map(|k| s.curve.at(f64::from(k) / f64::from(RIM_POINTS))));
        points.any(|point| !plan.is_clear_of(point, self.figures.fin_mm))
    }

    /// True if a rim keeps the fin from vents, from sprues of other masters, and from walls.
    fn is_free(&self, rim: &Outline, places: &[usize]) -> bool {
        let fin = self.figures.fin_mm;
        let Some(plan) = Plan::new(vec![rim.clone()]) else { return false };
        let bounds = plan.bounds();
        let inside = [(bounds.min.x, bounds.max.x, self.inner_mm[0]), (bounds.min.y, bounds.max.y, self.inner_mm[1])]
            .into_iter()
            .all(|(low, high, size)| low >= fin - 0.5 * size && high <= 0.5 * size - fin);
        let mut rods = self.openings.iter().filter(|o| o.opening.kind == RodKind::Vent || !places.contains(&o.place));
        inside
            && rods.all(|rod| {
                let at = Point::new(rod.opening.at[0], rod.opening.at[1]);
                let radius = self.figures.rod_radius_mm(rod.opening.kind, rod.opening.diameter_mm);
                plan.is_clear_of(at, fin + radius)
            })
    }
}
