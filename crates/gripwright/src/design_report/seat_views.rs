//! Sections through mount and clip for the slider of a report: one for each row of the fit, one for the mount.

use std::f64::consts::PI;

use gripwright_input::{Spec, ToolSection};
use gripwright_report::SeatView;
use gripwright_section::{HexagonOrientation, Outline, Point, circle, hexagon};
use gripwright_sizing::{Design, FitRow, HolderPlan, Size};

/// Most places of the slider besides the mount's.
const MOST_VIEWS: usize = 48;

/// Views of a design; those that cannot be drawn are left out.
pub(super) fn seat_views(spec: &Spec, design: &Design) -> Vec<SeatView> {
    let rows = design.fit.iter().enumerate().take(MOST_VIEWS);
    let mut views: Vec<SeatView> = rows.filter_map(|(index, row)| view_of_row(spec, design, index, row)).collect();
    if let (Some(size), Some(holder)) = (design.sizes.first(), design.holders.first()) {
        let on_body = view_of_size(design, size, holder);
        views.extend(on_body.map(|view| SeatView {
            words: "mount on the body".to_owned(),
            at: "/mount/fit".to_owned(),
            ..view
        }));
    }
    views
}

fn view_of_row(spec: &Spec, design: &Design, index: usize, row: &FitRow) -> Option<SeatView> {
    let size = design.sizes.iter().find(|size| size.letter == row.letter)?;
    let holder = design.holders.iter().find(|holder| holder.letter == row.letter)?;
    let section = spec.tools.get(row.tool)?.section;
    let gripped = match (&row.sleeve, section) {
        (None, ToolSection::Hexagon { corner_mm }) => {
            hexagon(row.diameter_mm, corner_mm, HexagonOrientation::CornerDown).ok()?
        }
        // Under a sleeve the clip meets the outside of the ring.
        (Some(_), _) | (None, ToolSection::Round) => {
            circle(2.0 * (size.seat_radius_mm + row.figures.interference_mm)).ok()?
        }
    };
    let end = if row.greatest { "greatest" } else { "least" };
    let sleeve = row.sleeve.as_ref().map_or(String::new(), |sleeve| format!(" in sleeve {sleeve}"));
    Some(SeatView {
        words: format!("{}{sleeve}, {end}: {:.2} mm, size {}", row.tool_name, row.diameter_mm, row.letter),
        at: format!("/fit/{index}"),
        barrel: Some(gripped.moved(0.0, Point::new(0.0, holder.offset_mm))),
        ..view_of_size(design, size, holder)?
    })
}

/// The holder of a size in section, without a tool.
fn view_of_size(design: &Design, size: &Size, holder: &HolderPlan) -> Option<SeatView> {
    // The mount's own drawing has its mouth up and its pad down; in the holder the pad faces the tools.
    let in_holder = |outline: &Outline| outline.moved(PI, Point::ORIGIN);
    let mount = &design.mount.mount;
    let (mount_outline, clip) = (mount.outline().ok()?, size.clip.outline().ok()?);
    let web_mm = [-mount.flat_y_mm().ok()?, holder.offset_mm + size.clip.flat_y_mm().ok()?, 0.5 * holder.web.width_mm];
    Some(SeatView {
        words: String::new(),
        at: String::new(),
        body: in_holder(&mount.body),
        mount: in_holder(&mount_outline),
        web_mm,
        clip: clip.moved(0.0, Point::new(0.0, holder.offset_mm)),
        barrel: None,
    })
}
