//! Card that goes with a set of coupons: how to print them, how to try them, and what to write down.
//!
//! It is one page of HTML that needs no other file, made to be printed.

mod good_fit;
mod plate_plan;
mod print_advice;

use std::fmt::Write;

use gripwright_input::Spec;
use gripwright_report::{PageFrame, ScaleBar, escaped};
use gripwright_sizing::{Coupon, CouponKind, CouponLoads, Design, FEW_TRIES, Interval, PrintProposal, StiffnessMatch};

pub(crate) use print_advice::Plastic;

use crate::{
    cautions::{Caution, CautionStep, PRECEDENCE, cautions_of},
    coupon_list::tries_cell,
    coupon_selection::strain_notes,
    solids::PartError,
    version::MADE_BY,
};

/// Rules besides those of every page.
const STYLE: &str = include_str!("coupon_card/page.css");
/// A size with more tools than this is tried with its thinnest and its thickest tool only.
const MOST_TOOLS: usize = 4;

/// Figures that the card states besides those of spec and design.
pub(crate) struct CouponReport<'a> {
    /// Volume of all coupons of each plate, mm³.
    pub plates_mm3: &'a [f64],
    /// Predicted forces and strains of each coupon, in the order of the coupons.
    pub coupon_loads: &'a [CouponLoads],
    /// Print material that bears coupons which their own does not.
    pub proposal: Option<&'a PrintProposal>,
}

/// Returns the page.
pub(crate) fn card(spec: &Spec, design: &Design, figures: &CouponReport<'_>) -> Result<String, PartError> {
    let print = spec.coupon_material();
    let mut out = String::new();
    out.push_str("<h2>Print</h2>\n<dl>\n");
    let all = Plastic::of(figures.plates_mm3.iter().sum(), print);
    for (word, text) in print_advice::rows(spec, design, all) {
        let _ = writeln!(out, "<dt>{word}</dt><dd>{text}</dd>");
    }
    cautions(&mut out, spec, &[CautionStep::Print]);
    out.push_str("</dl>\n");
    try_section(&mut out, spec, figures);
    out.push_str(&good_fit::table(spec, design));
    stiffness_match_section(&mut out, spec, design);
    gauge_section(&mut out, design);
    record_section(&mut out, design, figures.coupon_loads);
    plates_section(&mut out, spec, design, figures)?;
    let title = format!("{}: coupons", spec.name);
    let subtitle = format!(
        "{} slices of {} mm, made by {MADE_BY}. Engraved is the size (M: the mount) and the change of its seat in mm; \
         +0.0 is as designed.",
        design.coupons.coupons.len(),
        spec.coupons.length_mm
    );
    let footer = format!("{title} · {MADE_BY}");
    Ok(PageFrame { title, subtitle, revision: None, footer }.page(STYLE, &out))
}

fn try_section(out: &mut String, spec: &Spec, figures: &CouponReport<'_>) {
    // Names are engraved in one piece and read so.
    let notes =
        strain_notes(&escaped(&spec.coupon_material().title), figures.coupon_loads, figures.proposal, |identity| {
            format!("<span class=\"whole\">{}</span>", escaped(identity))
        });
    let is_over = figures.coupon_loads.iter().any(CouponLoads::over_strained);
    let first = if is_over {
        "Begin with the loosest coupon of each size (+) and go tighter (−) as long as it asks for it."
    } else {
        "Begin with the coupon of each size that ends in +0.0; go looser (+) or tighter (−) as it asks for."
    };
    out.push_str("<h2>Try</h2>\n<dl>\n");
    cautions(out, spec, &[CautionStep::Trim, CautionStep::Try]);
    let _ = write!(
        out,
        "</dl>\n<ol>\n<li>{first}</li>\n\
         <li>Hold the coupon by its tab. Press the tool straight into the mouth, without turning it; pull it straight out \
         again. Press M coupons on the body where the mount is to sit.</li>\n\
         <li>Write down one word, below or in <code>trials.csv</code>: <b>fell-out</b> (its own weight takes it out), <b>loose</b> (holds less than its share, or than you want), \
         <b>good</b>, <b>tight</b> (asks more push than its share, or than you want), <b>would-not-go</b> (you gave up), <b>cracked</b>.</li>\n\
         <li>With a luggage scale, note the greatest pull through the mouth and, after another push, the force that makes \
         the tool slide along; with a calliper, the bore as printed, across the seat, the mean of three readings.</li>\n\
         <li>Pull and slide tell stiffness and friction together. For friction alone, clamp a coupon, lay the barrel \
         lengthwise on the edge of its tab, which is a wall as the seat is, put a known weight on it (a full one-litre \
         bottle presses with 10 N) and draw it along with the scale: <b>drag</b> is the steady reading, <b>load</b> all that \
         presses, the tool itself with it. Three to five of them are enough, with any coupon.</li>\n</ol>\n"
    );
    for note in notes {
        let _ = writeln!(out, "<p class=\"warning\">{note}</p>");
    }
    let _ = writeln!(out, "<p>{PRECEDENCE}</p>");
}

/// Adds the cautions of some steps as rows of a list.
fn cautions(out: &mut String, spec: &Spec, steps: &[CautionStep]) {
    for Caution { subject, text, .. } in cautions_of(spec, steps) {
        let _ = writeln!(out, "<dt>{subject}</dt><dd>{}</dd>", escaped(&text));
    }
}

fn stiffness_match_section(out: &mut String, spec: &Spec, design: &Design) {
    let Some(cast) = &spec.material.cast else { return };
    let (print, cast) = (escaped(&spec.coupon_material().title), escaped(&cast.title));
    out.push_str("<h2>What they say about the cast part</h2>\n<dl>\n");
    cautions(out, spec, &[CautionStep::Cast]);
    out.push_str("</dl>\n");
    if design.coupons.matches.is_empty() {
        let middle = |m: &gripwright_input::Material| m.modulus_mpa.middle();
        let ratio = middle(spec.coupon_material()) / middle(spec.material.part_material());
        let _ = writeln!(
            out,
            "<p>They have its shape. In {print} they push about {ratio:.1} times as hard as {cast}, by the middles of the \
             moduli: they tell whether a seat has the right size, not how the part will feel. \
             {}</p>",
            unmatched_sentence(design)
        );
        return;
    }
    let _ = writeln!(
        out,
        "<p>They are matched in stiffness: walls in {print} are such that, in the contact solver, greatest push and pull \
         are those of equally short slices of the part in {cast}. Inner faces are the part's.</p>"
    );
    out.push_str(
        "<table><thead><tr><th>size</th><th class=\"n\">wall of the part<small>mm</small></th>\
         <th class=\"n\">of the slice<small>mm</small></th><th class=\"n\">factor<small>solved</small></th>\
         <th class=\"n\">cube root<small>of moduli</small></th><th class=\"n\">push and pull off<small>as designed</small></th>\
         <th class=\"n\">at all steps<small>of greatest force</small></th>\
         <th class=\"n\">curves off<small>root mean square</small></th>\
         <th class=\"n\">over both ranges<small>times as hard</small></th></tr></thead>\n<tbody>\n",
    );
    for m in &design.coupons.matches {
        match_row(out, m);
    }
    out.push_str("</tbody></table>\n<ul>\n");
    let friction = design.coupons.matches.first().map_or(0.0, |m| m.friction);
    let _ = writeln!(
        out,
        "<li><b>Reproduced:</b> the push and the pull that the hand feels, at the friction {friction:.2}, with both moduli \
         in the middle of their ranges; the last column says how far they may be off elsewhere.</li>\n\
         <li><b>Not reproduced:</b> strain (it follows the wall: these slices bear other strains, against another limit), \
         the friction of {cast} on the tool, how grip relaxes, heat, and the allowance of mould and resin.</li>"
    );
    if !design.coupons.unmatched.is_empty() {
        let _ = writeln!(out, "<li>{}</li>", unmatched_sentence(design));
    }
    out.push_str("</ul>\n");
}

fn unmatched_sentence(design: &Design) -> String {
    match design.coupons.unmatched.as_slice() {
        [] => "<code>coupons.match = \"stiffness\"</code> makes slices that push and pull like it.".to_owned(),
        reasons => {
            format!("Slices have the shape of the part where no wall matches it: {}.", escaped(&reasons.join("; ")))
        }
    }
}

fn match_row(out: &mut String, m: &StiffnessMatch) {
    let walls = |[root, lip]: [f64; 2]| {
        if (root - lip).abs() < 0.005 { format!("{root:.2}") } else { format!("{root:.2} to {lip:.2}") }
    };
    let percent = |share: f64| format!("{:.1} %", 100.0 * share);
    let Interval { least: softer, greatest: stiffer } = m.over_ranges;
    let _ = write!(out, "<tr><td class=\"id\">{}</td>", m.letter);
    for cell in [
        walls(m.part_walls_mm),
        walls(m.slice_walls_mm),
        format!("{:.3}", m.scale),
        format!("{:.3}", m.cube_root),
        percent(m.peaks_off),
        m.steps_off.map_or_else(|| "–".to_owned(), percent),
        percent(m.curves_off),
        format!("{softer:.1} to {stiffer:.1}"),
    ] {
        let _ = write!(out, "<td class=\"n\">{cell}</td>");
    }
    out.push_str("</tr>\n");
}

fn gauge_section(out: &mut String, design: &Design) {
    let Some(gauge) = &design.coupons.gauge else { return };
    let _ = writeln!(
        out,
        "<h2>Gauge of the body</h2>\n<p>Print <code>gauge.stl</code> flat with the coupons and check the profile before the mount: \
         {} is a fork of {} mm that stands {:.2} mm off the body up to its widest places.</p>\n<ol>\n\
         <li>Slip it on where the mount is to sit, square to the body, from the side that faces the tools, letters up as on \
         the M coupons. It must go on without bending.</li>\n\
         <li>Hold it against a lamp. An even gap of light all round: the profile of the spec is right.</li>\n\
         <li>It binds at both prongs: the body is wider than <code>body.profile</code> says. More light at both prongs than \
         below: it is narrower. A feeler gauge or paper strips measure by how much.</li>\n\
         <li>It touches at the roundings first, or more light shows there: correct the corner radius, or measure that part \
         again. More light on one side, and after turning the gauge over still on that side of the body: the body is not \
         alike on both.</li>\n</ol>",
        gauge.identity, gauge.thickness_mm, gauge.clearance_mm
    );
}

fn record_section(out: &mut String, design: &Design, coupon_loads: &[CouponLoads]) {
    let _ = write!(
        out,
        "<h2>Record</h2>\n<p>Expected is what the contact solver gives over the ranges of modulus and friction of the \
         print: the push that snaps on the greatest diameter, the pull that takes out the least, and strain in % of what \
         the print bears in a single use. Tries with the greatest: any number up to the strain of repeated use, {FEW_TRIES} up to that of a single use (common \
         practice, no source), none beyond. The seat of M coupons is their greatest width across the mouth, between the inner jaws of a calliper.</p>\n<table><thead><tr><th>coupon</th><th class=\"n\">seat<small>mm</small></th>\
         <th>try with</th><th class=\"n\">push<small>N</small></th><th class=\"n\">pull<small>N</small></th>\
         <th class=\"n\">strain<small>%</small></th><th class=\"n\">tries<small>at most</small></th><th>outcome</th><th>pull<small>N</small></th>\
         <th>slide<small>N</small></th><th>drag<small>N</small></th><th>load<small>N</small></th>\
         <th>bore<small>mm</small></th><th>note</th></tr></thead>\n<tbody>\n",
    );
    let mut last = None;
    for (coupon, tried) in design.coupons.coupons.iter().zip(coupon_loads) {
        for (index, tool) in tools_to_try(coupon).iter().enumerate() {
            let class = if last == Some(coupon.letter) { "" } else { " class=\"first\"" };
            last = Some(coupon.letter);
            let _ = write!(out, "<tr{class}>");
            let cells = if index == 0 { figure_cells(coupon, tried) } else { Default::default() };
            let [identity, seat, push, pull, strain, tries] = cells;
            let _ = write!(
                out,
                "<td class=\"id\">{identity}</td><td class=\"n\">{seat}</td><td>{}</td><td class=\"n\">{push}</td>\
                 <td class=\"n\">{pull}</td><td class=\"n\">{strain}</td><td class=\"n\">{tries}</td>",
                escaped(tool)
            );
            for width in ["22mm", "10mm", "10mm", "10mm", "10mm", "13mm", "13mm"] {
                let _ = write!(out, "<td class=\"fill\" style=\"width:{width}\"></td>");
            }
            out.push_str("</tr>\n");
        }
    }
    out.push_str("</tbody></table>\n");
}

/// Returns the tools to try a coupon with, a line each.
fn tools_to_try(coupon: &Coupon) -> Vec<String> {
    match (coupon.kind, coupon.tools.as_slice()) {
        (CouponKind::Mount, _) => vec!["the body".to_owned()],
        (CouponKind::Clip, tools) if tools.len() > MOST_TOOLS => {
            let Interval { least, greatest } = coupon.range_mm.unwrap_or_default();
            vec![
                format!("the thinnest of {} tools ({least:.2} mm)", tools.len()),
                format!("the thickest ({greatest:.2} mm)"),
            ]
        }
        (CouponKind::Clip, tools) => tools.to_vec(),
    }
}

/// Returns the identity, seat, expected push, pull, strain and tries of a coupon.
fn figure_cells(coupon: &Coupon, tried: &CouponLoads) -> [String; 6] {
    let range = |range: Option<Interval>| {
        range.map_or("–".to_owned(), |r| format!("{}–{}", newtons(r.least.max(0.0)), newtons(r.greatest.max(0.0))))
    };
    let strain = tried.strain.map_or("–".to_owned(), |strain| {
        let mark = if tried.over_strained() { "<b>!</b> " } else { "" };
        format!("{mark}{:.0}", 100.0 * strain / tried.strain_limit)
    });
    let seat = format!("{:.2}", coupon.measured_seat_mm());
    [coupon.identity.clone(), seat, range(tried.push_n), range(tried.pull_n), strain, tries_cell(tried.tries_at_most)]
}

fn newtons(newton: f64) -> String {
    if newton < 9.95 { format!("{newton:.1}") } else { format!("{newton:.0}") }
}

fn plates_section(out: &mut String, spec: &Spec, design: &Design, figures: &CouponReport<'_>) -> Result<(), PartError> {
    // The bar stays on the page of the first plate.
    let _ = write!(out, "<div class=\"together\">\n<h2>Plates</h2>\n{}", ScaleBar.html());
    let count = design.coupons.plates.len();
    for (index, plate) in design.coupons.plates.iter().enumerate() {
        let drawn = plate_plan::plate_plan(&design.coupons, plate)?;
        let volume = figures.plates_mm3.get(index).copied().unwrap_or(0.0);
        let size = if drawn.scale < 1.0 {
            format!("at {:.0} % of true size", 100.0 * drawn.scale)
        } else {
            "at true size".to_owned()
        };
        let _ = writeln!(
            out,
            "<figure><figcaption><b>Plate {} of {count}</b>: <code>coupons-{}.3mf</code>, {} coupons, {}; from above, \
             {size}, as they lie on a bed of {} × {} mm.</figcaption>\n{}</figure>",
            index + 1,
            index + 1,
            plate.items.len(),
            Plastic::of(volume, spec.coupon_material()).text(),
            spec.printer.bed_mm[0],
            spec.printer.bed_mm[1],
            drawn.svg
        );
        if index == 0 {
            out.push_str("</div>\n");
        }
    }
    if count == 0 {
        out.push_str("</div>\n");
    }
    Ok(())
}
