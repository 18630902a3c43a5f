//! Side views of the holders of a report.

use std::f64::consts::FRAC_PI_2;

use gripwright_input::Spec;
use gripwright_report::{SideView, turned_rectangle};
use gripwright_section::{Curve, Outline, Point, Role, Segment};
use gripwright_sizing::{Design, HolderPlan, WebPlan, keep_out_volume};

/// Length of tool shown beyond the outermost clip, stop or point, mm.
const BEYOND_MM: f64 = 6.0;

/// Side views of all holders.
pub(super) fn side_views(spec: &Spec, design: &Design) -> Vec<SideView> {
    design.holders.iter().enumerate().filter_map(|(index, holder)| side_view(spec, design, index, holder)).collect()
}

fn side_view(spec: &Spec, design: &Design, index: usize, holder: &HolderPlan) -> Option<SideView> {
    let (mount, clip) = (holder.mount_outline.bounds(), holder.clip_outline.bounds());
    let half = 0.5 * holder.mount_length_mm;
    let origin = Point::new(0.0, holder.offset_mm);
    let across_mm = [clip.min.y, clip.max.y];
    let span = |at_mm: f64, length_mm: f64| [at_mm - 0.5 * length_mm, at_mm + 0.5 * length_mm];
    let spans: Vec<[f64; 2]> = holder.stations.iter().map(|s| span(s.at_mm, s.length_mm)).collect();
    // The mount's own drawing has its pad down; in the holder it faces the tools.
    let mut parts = vec![turned_rectangle(Point::ORIGIN, 0.0, [-half, half], [-mount.max.y, -mount.min.y])?];
    parts.extend(web(holder, -mount.min.y, half, clip.min.y, &spans));
    parts.extend(spans.iter().filter_map(|along| turned_rectangle(origin, holder.pitch_rad, *along, across_mm)));
    let rows = || design.fit.iter().enumerate().filter(|(_, row)| row.letter == holder.letter);
    let radius_mm = rows().map(|(_, row)| 0.5 * row.diameter_mm).fold(0.0, f64::max);
    let ends = spans.iter().flatten().copied().chain(holder.stop_at_mm).chain(holder.ahead_mm);
    let [low, high] = ends.fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], at| [a.min(at), b.max(at)]);
    // The tool ends at its stop and at its point.
    let low = if holder.stop_at_mm.is_some_and(|at| at <= low) { low } else { low - BEYOND_MM };
    let high = if holder.ahead_mm.is_some_and(|at| at >= high) { high } else { high + BEYOND_MM };
    let aimed = rows().filter(|(_, row)| row.figures.aim_limit_mm.is_some());
    let worst_aim = aimed.max_by(|a, b| a.1.figures.aim_mm.total_cmp(&b.1.figures.aim_mm));
    let body = design.mount.mount.body.bounds();
    let keep_outs = spec.keep_outs.iter().filter_map(|keep_out| {
        let outline = keep_out_volume(&keep_out.shape).side_view(0.0).ok()?;
        Some((keep_out.name.clone(), in_side_view(&outline)))
    });
    Some(SideView {
        words: holder.name.clone(),
        holder: index,
        // Every holder has a tool, and with it loads.
        loads: Some(index),
        aim_row: worst_aim.map(|(row, _)| row),
        body_mm: [-body.max.y, -body.min.y],
        parts,
        windows: holder.windows.iter().map(in_side_view).collect(),
        tool: turned_rectangle(origin, holder.pitch_rad, [low, high], [-radius_mm, radius_mm])?,
        keep_outs: keep_outs.collect(),
    })
}

/// The web from the mount's pad to the clips.
fn web(
    holder: &HolderPlan,
    mount_pad_mm: f64,
    half_mount_mm: f64,
    clip_pad_mm: f64,
    spans: &[[f64; 2]],
) -> Option<Outline> {
    if let WebPlan::Side(outline) = &holder.web_plan {
        return Some(in_side_view(outline));
    }
    let (first, last) = (spans.first()?[0], spans.last()?[1]);
    let on_axis =
        |along: f64| Point::new(0.0, holder.offset_mm) + Point::new(along, clip_pad_mm).rotated(holder.pitch_rad);
    let corners = [
        Point::new(-half_mount_mm, mount_pad_mm),
        Point::new(half_mount_mm, mount_pad_mm),
        on_axis(last),
        on_axis(first),
    ];
    let side = |k: usize| Segment::new(Curve::line(corners[k], corners[(k + 1) % 4]), Role::Web);
    Outline::new((0..4).map(side).collect()).ok()
}

/// An outline of the web's drawing (height over the body's axis, then place along the body) with both axes exchanged.
fn in_side_view(outline: &Outline) -> Outline {
    outline.moved(FRAC_PI_2, Point::ORIGIN).mirrored()
}
