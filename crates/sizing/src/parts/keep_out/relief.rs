//! Relief of a web in side view.
//!
//! Pockets are tried from small to large. The relief is one boolean of line/arc outlines whose corners are filleted, so
//! that the outline stays one that bears chamfers.

use gripwright_input::KeepOut;
use gripwright_section::{
    ConvexVolume, FilletError, Outline, Point, SideWeb, SideWebError, WebPocketError, cut_web_pocket, linear_sweep,
};

use crate::design::holder_plan::WebPlan;

/// Least radius of a pocket's inner corners, mm: a sharp one starts cracks. Common practice, no source.
pub(crate) const POCKET_CORNER_MM: f64 = 1.0;
/// Radii to which the edges beside a pocket are rounded, mm, the first that fits; none less than the chamfer and a little.
const EDGE_RADII_MM: [f64; 4] = [1.5, 1.0, 0.7, 0.3];
/// Extra depths of a pocket beyond the clearance, mm, so that no crumb or crease is left beside it.
const EXTRA_DEPTHS_MM: [f64; 9] = [0.0, 0.1, 0.2, 0.35, 0.5, 0.75, 1.0, 1.5, 2.0];
/// Least excess of an edge's round over the chamfer along it, mm.
const BEYOND_CHAMFER_MM: f64 = 0.1;
/// Extension of a pocket that leaves the web at one side, mm.
const EXIT_EXTENSION_MM: f64 = 150.0;
/// Places between the pads at which the web that is left is measured.
const THICKNESS_SAMPLES: usize = 200;
/// A section shorter than before by less than this (mm) was not cut.
const LEAST_CUT_MM: f64 = 1e-6;

/// A web that cannot be relieved.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum ReliefRefusal {
    /// The web cannot be drawn in side view.
    NotDrawable(String),
    /// The pocket cannot be.
    Pocket(String),
    /// The relieved web is still too near.
    StillTooNear,
}

/// Cuts pockets for the keep-outs of these indices. Returns the outline of the web, and the least length along the body
/// that remains where it was cut, mm.
pub(crate) fn relieve_web(
    keep_outs: &[KeepOut],
    side_web: &SideWeb,
    web: &WebPlan,
    volumes: &[ConvexVolume],
    indices: &[usize],
) -> Result<(Outline, f64), (usize, ReliefRefusal)> {
    let first = indices.first().copied().unwrap_or(0);
    let whole = match web {
        WebPlan::Side(outline) => outline.clone(),
        WebPlan::Plain | WebPlan::Flat => {
            side_web.outline().map_err(|e| (first, ReliefRefusal::NotDrawable(e.to_string())))?
        }
    };
    let mut outline = whole.clone();
    for &index in indices {
        outline = with_pocket(side_web, &outline, &volumes[index], keep_outs[index].clearance_mm)
            .map_err(|reason| (index, ReliefRefusal::Pocket(reason)))?;
    }
    let left = least_remaining_mm(side_web, &whole, &outline);
    Ok((outline, left))
}

/// The web with the smallest sound pocket; where none is sound, with one that is open to a side.
fn with_pocket(web: &SideWeb, outline: &Outline, volume: &ConvexVolume, clearance_mm: f64) -> Result<Outline, String> {
    let mut reason = None;
    if let Some(found) = smallest_pocket(web, outline, volume, clearance_mm, None, &mut reason) {
        return Ok(found);
    }
    let mut open = |y: f64| smallest_pocket(web, outline, volume, clearance_mm, Some(Point::new(0.0, y)), &mut reason);
    let both = [open(EXIT_EXTENSION_MM), open(-EXIT_EXTENSION_MM)];
    let larger = |a: Outline, b: Outline| if b.area_mm2() > a.area_mm2() { b } else { a };
    both.into_iter().flatten().reduce(larger).ok_or_else(|| reason.unwrap_or_else(|| "no pocket fits".to_owned()))
}

/// The web with the smallest sound pocket, extended along `way` if there is one. Keeps the first reason against a pocket.
fn smallest_pocket(
    web: &SideWeb,
    outline: &Outline,
    volume: &ConvexVolume,
    clearance_mm: f64,
    way: Option<Point>,
    reason: &mut Option<String>,
) -> Option<Outline> {
    let least = clearance_mm.max(POCKET_CORNER_MM - volume.corner_radius_mm());
    let least_edge = web.chamfer_mm + BEYOND_CHAMFER_MM;
    for more in EXTRA_DEPTHS_MM {
        let cut = volume.side_view(least + more);
        let Ok(cut) = cut.and_then(|cut| way.map_or(Ok(cut.clone()), |way| linear_sweep(&cut, way))) else { continue };
        for radius in EDGE_RADII_MM {
            let refused = match cut_web_pocket(outline, &cut, radius.max(least_edge)) {
                Ok(found) => match web.check_walls(&found) {
                    Ok(()) => return Some(found),
                    Err(error) => refusal_words(&error),
                },
                Err(error @ WebPocketError::Fillet(FilletError::TooLarge { .. })) => error.to_string(),
                Err(error) => {
                    reason.get_or_insert(error.to_string());
                    break;
                }
            };
            reason.get_or_insert(refused);
        }
    }
    None
}

fn refusal_words(error: &SideWebError) -> String {
    match error {
        SideWebError::Severed { thickness_mm, least_mm } => {
            format!("a pocket would leave a wall of {thickness_mm:.2} mm where {least_mm:.2} mm is needed")
        }
        other => other.to_string(),
    }
}

/// Least length of material on lines from the mount's pad to that of the clips, where a relief has cut into it, mm.
fn least_remaining_mm(web: &SideWeb, whole: &Outline, relieved: &Outline) -> f64 {
    let foot = Point::new(web.mount_pad_mm, 0.0);
    let head = web.point_at(0.0, -web.pad_depth_mm);
    let ahead = (web.point_at(1.0, 0.0) - web.point_at(0.0, 0.0)).angle();
    let along = std::f64::consts::FRAC_PI_2;
    (1..THICKNESS_SAMPLES)
        .filter_map(|i| {
            let share = i as f64 / THICKNESS_SAMPLES as f64;
            let direction = Point::unit(along + share * (ahead - along));
            let from = foot.towards(head, share);
            let left = relieved.chord_mm(from, direction);
            (left < whole.chord_mm(from, direction) - LEAST_CUT_MM).then_some(left)
        })
        .fold(f64::INFINITY, f64::min)
}
