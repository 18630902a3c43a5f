//! Places of sprue and vents, in the attitude that needs the fewest.
//!
//! 1. The sprue stands at the lowest place of its region, so that resin falls as little as possible.
//! 2. Each pocket gets a vent at its highest permitted place. Then the pockets are searched anew, until none is left that a
//!    vent can reach.
//!    Vents stand clear of the openings before them.
//! 3. Flat tops get vents along them. Those that extend less than a fifth of the distance of vents are left out.

use gripwright_solid::{
    Mesh, Point3,
    vector::{distance, dot},
};

use super::{
    air_pocket::{AirPocket, CavityError, FlatTop, Opening},
    cavity_surface::CavitySurface,
    flat_tops::{FlatRegion, ends, flat_regions},
    height_sweep::{DryPart, HeightSweep, dry_amounts},
    opening_reach::{OpeningReach, opening_reach},
    surface_samples::{SurfaceSampler, middle_point, standing_on_face},
    vent_plan::{Attitude, OpeningPlace, OpeningPurpose, PlannedOpening, SurfacePoint, VentBrief, VentPlan},
};

/// Height below the highest permitted point within which points are as high, mm: twice the usual chord error of a mesh.
const LEVEL_MM: f64 = 0.02;
/// Spacing of the points on which openings may stand, over the vent's radius.
const SPACING_SHARE: f64 = 0.25;
/// Spacing of the points of a flat top that must be near a vent, over the distance at which they are.
const COARSE_SHARE: f64 = 0.125;
/// Least extent of a flat top that gets vents, over the distance of vents.
const LEAST_EXTENT_SHARE: f64 = 0.2;

/// Places the sprue and vents of a cavity in each attitude of a brief and returns the best plan: the one that leaves the
/// least air in pockets, then the one with the fewest vents, then the one with the fewest flat tops left.
pub fn plan_vents(cavity: &Mesh, brief: &VentBrief) -> Result<VentPlan, CavityError> {
    let mut best: Option<VentPlan> = None;
    for attitude in brief.attitudes {
        let surface = CavitySurface::new(cavity, attitude.up)?;
        let plan = AttitudePlanner { surface: &surface, brief, attitude: *attitude }.plan()?;
        if best.as_ref().is_none_or(|best| cost(&plan, brief) < cost(best, brief)) {
            best = Some(plan);
        }
    }
    best.ok_or(CavityError::NoAttitude)
}

/// Air left, in steps of the negligible volume; vents; flat tops left.
fn cost(plan: &VentPlan, brief: &VentBrief) -> (f64, usize, usize) {
    let left: f64 = plan.pockets_left.iter().map(|pocket| pocket.volume_mm3).sum();
    let step = brief.limits.negligible_mm3.max(f64::MIN_POSITIVE);
    ((left / step).round(), plan.vents.len(), plan.flat_tops_left.len())
}

struct AttitudePlanner<'a> {
    surface: &'a CavitySurface<'a>,
    brief: &'a VentBrief<'a>,
    attitude: Attitude,
}

/// Openings so far and their reaches.
struct Placed {
    openings: Vec<PlannedOpening>,
    reaches: Vec<OpeningReach>,
}

impl AttitudePlanner<'_> {
    fn plan(&self) -> Result<VentPlan, CavityError> {
        let mut placed = Placed { openings: Vec::new(), reaches: Vec::new() };
        self.place(&mut placed, OpeningPurpose::Sprue, &self.sprue().ok_or(CavityError::NoSpruePlace)?);
        let sprue = placed.openings[0];
        let dry = self.dry_parts(&placed);
        let (pockets_without_vents, _) = self.sorted_out(&dry);
        self.vent_pockets(&mut placed, dry);
        let flat_tops_left = self.vent_flat_tops(&mut placed);
        let (pockets_left, negligible) = self.sorted_out(&self.dry_parts(&placed));
        Ok(VentPlan {
            attitude: self.attitude,
            sprue,
            vents: placed.openings.split_off(1),
            pockets_without_vents,
            pockets_left,
            negligible,
            flat_tops_left,
        })
    }

    /// Adds vents at high points, round by round, until a round would let out no more than a negligible volume.
    fn vent_pockets(&self, placed: &mut Placed, mut dry: Vec<DryPart>) {
        loop {
            let before = [placed.openings.len(), placed.reaches.len()];
            for part in &dry {
                if let Some(vent) = self.vent_of(part, placed) {
                    self.place(placed, OpeningPurpose::HighPoint, &vent);
                }
            }
            let next = self.dry_parts(placed);
            if volume_mm3(&dry) - volume_mm3(&next) <= self.brief.limits.negligible_mm3 {
                placed.openings.truncate(before[0]);
                placed.reaches.truncate(before[1]);
                return;
            }
            dry = next;
        }
    }

    fn dry_parts(&self, placed: &Placed) -> Vec<DryPart> {
        HeightSweep::new(self.surface).run(&placed.reaches)
    }

    /// Pockets, and the negligible ones among them.
    fn sorted_out(&self, dry: &[DryPart]) -> (Vec<AirPocket>, Vec<AirPocket>) {
        dry.iter().map(|part| part.pocket).partition(|pocket| pocket.volume_mm3 > self.brief.limits.negligible_mm3)
    }

    fn opening(&self, purpose: OpeningPurpose, point: &SurfacePoint) -> PlannedOpening {
        let is_sprue = purpose == OpeningPurpose::Sprue;
        let radius_mm = if is_sprue { self.brief.sprue_radius_mm } else { self.brief.vent_radius_mm };
        PlannedOpening {
            purpose,
            opening: Opening { at_mm: point.at_mm, radius_mm },
            normal: point.normal,
            height_mm: dot(point.at_mm, self.surface.up),
        }
    }

    fn place(&self, placed: &mut Placed, purpose: OpeningPurpose, point: &SurfacePoint) {
        let planned = self.opening(purpose, point);
        placed.reaches.extend(opening_reach(self.surface, &planned.opening));
        placed.openings.push(planned);
    }

    fn sampler<'s>(&'s self, place: &'s OpeningPlace<'s>) -> SurfaceSampler<'s> {
        SurfaceSampler { surface: self.surface, place, spacing_mm: SPACING_SHARE * self.brief.vent_radius_mm }
    }

    fn is_clear(&self, point: &SurfacePoint, placed: &Placed) -> bool {
        placed.openings.iter().all(|opening| (self.brief.vent_apart)(point, opening))
    }

    /// Lowest place of the region of the sprue.
    fn sprue(&self) -> Option<SurfacePoint> {
        let sampler = self.sampler(self.brief.sprue_place);
        let points = sampler.all_permitted(self.surface.triangles_downwards(), f64::NEG_INFINITY);
        let lowest = points.iter().map(|p| sampler.height(p)).fold(f64::INFINITY, f64::min);
        let level = points.iter().filter(|p| sampler.height(p) <= lowest + LEVEL_MM);
        let around = middle_point(level, self.surface.up)?;
        Some(standing_on_face(&points, &around, self.brief.sprue_radius_mm, self.surface.up))
    }

    /// Highest permitted place for a vent of a pocket; `None` if a vent there would let out a negligible volume.
    fn vent_of(&self, part: &DryPart, placed: &Placed) -> Option<SurfacePoint> {
        let limit = self.brief.limits.negligible_mm3;
        if part.pocket.volume_mm3 <= limit {
            return None;
        }
        let place = |point: &SurfacePoint| (self.brief.vent_place)(point) && self.is_clear(point, placed);
        let sampler = self.sampler(&place);
        let mut triangles = part.triangles.clone();
        triangles.sort_by_key(|t| self.surface.rank[self.surface.top(*t) as usize]);
        let highest = sampler.highest(&triangles)?;
        let points = sampler.all_permitted(&triangles, highest - self.brief.vent_radius_mm);
        let level = points.iter().filter(|p| sampler.height(p) >= highest - LEVEL_MM);
        let around = middle_point(level, self.surface.up)?;
        let vent = standing_on_face(&points, &around, self.brief.vent_radius_mm, self.surface.up);
        let reaches = opening_reach(self.surface, &self.opening(OpeningPurpose::HighPoint, &vent).opening);
        let inside = reaches.iter().filter(|reach| part.triangles.contains(&reach.triangle));
        let level = inside.map(|reach| reach.height_mm).fold(part.pocket.spill_height_mm, f64::max);
        let [_, _, kept] = dry_amounts(self.surface, &part.triangles, level);
        (part.pocket.volume_mm3 - kept > limit).then_some(vent)
    }

    /// Adds vents along flat tops. Returns those with places that no permitted vent comes near.
    fn vent_flat_tops(&self, placed: &mut Placed) -> Vec<FlatTop> {
        let mut left = Vec::new();
        for region in flat_regions(self.surface, self.brief.limits.least_slope_rad) {
            let is_long = region.top.extent_mm >= LEAST_EXTENT_SHARE * self.brief.vent_spacing_mm;
            if is_long && !self.vent_flat_top(&region, placed) {
                left.push(region.top);
            }
        }
        left
    }

    /// Adds vents along a flat top, each where it comes near the most places that are still too far from all openings. Returns
    /// false if some stay too far.
    fn vent_flat_top(&self, region: &FlatRegion, placed: &mut Placed) -> bool {
        let reach_mm = 0.5 * self.brief.vent_spacing_mm;
        let fine = self.sampler(self.brief.vent_place);
        let coarse = SurfaceSampler { spacing_mm: COARSE_SHARE * reach_mm, ..fine };
        let beside = region.ridges.iter().flat_map(|(t, k)| [*t, self.surface.beyond[*t as usize][*k]]);
        let triangles: Vec<u32> = region.triangles.iter().copied().chain(beside).collect();
        let mut permitted = fine.all_permitted(&triangles, f64::NEG_INFINITY);
        let mut candidates = coarse.thinned(permitted.clone(), |p| p.at_mm);
        let mut dry = coarse.thinned(points_of(&coarse, region), |p| *p);
        for planned in &placed.openings {
            dry.retain(|p| distance(planned.opening.at_mm, *p) > reach_mm);
        }
        while !dry.is_empty() {
            candidates.retain(|p| self.is_clear(p, placed));
            permitted.retain(|p| self.is_clear(p, placed));
            let Some(around) = best_of(&candidates, &dry, reach_mm) else { return false };
            let vent = standing_on_face(&permitted, &around, self.brief.vent_radius_mm, self.surface.up);
            let served = |p: &Point3| [around.at_mm, vent.at_mm].iter().any(|at| distance(*at, *p) <= reach_mm);
            dry.retain(|p| !served(p));
            self.place(placed, OpeningPurpose::FlatTop, &vent);
        }
        true
    }
}

/// Candidate with the most points within reach; of several, the one that is nearest to them. `None` if there are no points
/// within reach of any.
fn best_of(candidates: &[SurfacePoint], points: &[Point3], reach_mm: f64) -> Option<SurfacePoint> {
    let mut best: Option<(usize, f64, SurfacePoint)> = None;
    for candidate in candidates {
        let near = points.iter().map(|p| distance(candidate.at_mm, *p)).filter(|away| *away <= reach_mm);
        let (count, sum) = near.fold((0, 0.0), |(count, sum), away| (count + 1, sum + away));
        if count > 0 && best.is_none_or(|(most, least, _)| count > most || (count == most && sum < least)) {
            best = Some((count, sum, *candidate));
        }
    }
    best.map(|best| best.2)
}

fn volume_mm3(dry: &[DryPart]) -> f64 {
    dry.iter().map(|part| part.pocket.volume_mm3).sum()
}

/// Points of a flat top, on ceilings and along ridges.
fn points_of(sampler: &SurfaceSampler, region: &FlatRegion) -> Vec<Point3> {
    let ceilings = region.triangles.iter().flat_map(|t| sampler.points(*t));
    let place = |v: u32| sampler.surface.mesh.vertices[v as usize];
    let ridges = region.ridges.iter().flat_map(|side| sampler.points_between(ends(sampler.surface, *side).map(place)));
    ceilings.chain(ridges).collect()
}
