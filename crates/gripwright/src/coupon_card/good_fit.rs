//! What good means: the hold that a slice must have and the push that it may ask, in numbers for a luggage scale.

use std::fmt::Write;

use gripwright_input::Spec;
use gripwright_report::escaped;
use gripwright_sizing::{Design, FitFigures};

/// Returns the table of what good means for each size, tool and the mount.
pub(crate) fn table(spec: &Spec, design: &Design) -> String {
    let mut out = "<h2>What good means</h2>\n<p>A coupon is a slice: it need hold only its share of what the whole clip holds, \
                   and it asks only its share of the push. Pull with a luggage scale if you are not sure. The whole tool hangs \
                   on the slice when it falls out.</p>\n<table><thead><tr><th>coupons</th><th>with</th><th class=\"n\">holds along at \
                   least<small>N</small></th><th class=\"n\">holds across at least<small>N</small></th><th class=\"n\">goes on with \
                   less than<small>N</small></th></tr></thead>\n<tbody>\n"
        .to_owned();
    let slice_mm = spec.coupons.length_mm;
    for size in &design.sizes {
        // Both diameters of a tool ask the same.
        for row in design.fit.iter().filter(|row| row.letter == size.letter && row.greatest) {
            table_row(&mut out, size.letter, &row.tool_name, slice_demand_n(&row.figures, slice_mm / size.length_mm));
        }
    }
    table_row(&mut out, 'M', "the body", slice_demand_n(&design.mount_fit, slice_mm / design.mount.length_mm));
    out.push_str("</tbody></table>\n");
    out
}

/// Hold along and across, and push, that are asked of a slice with this share of the clip, N.
fn slice_demand_n(figures: &FitFigures, share: f64) -> [f64; 3] {
    [figures.along_needed_n, figures.across_needed_n, figures.snap_in_limit_n].map(|whole| share * whole)
}

fn table_row(out: &mut String, letter: char, tool: &str, [along_n, across_n, push_n]: [f64; 3]) {
    let _ = writeln!(
        out,
        "<tr><td class=\"id\">{letter}</td><td>{}</td><td class=\"n\">{along_n:.1}</td><td class=\"n\">{across_n:.1}</td>\
         <td class=\"n\">{push_n:.0}</td></tr>",
        escaped(tool)
    );
}
