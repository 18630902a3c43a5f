//! The fit table as text, at most 80 columns wide.

use std::fmt::Write;

use gripwright_input::Spec;
use gripwright_sizing::{Design, FitFigures, Interval, Limit, Odds, WebPlan};

use crate::{keep_outs, sleeve_table};

/// Widest line.
const COLUMNS: usize = 80;

/// Fit of every tool, sizes, mount, webs and notes.
pub(crate) fn fit_table(spec: &Spec, design: &Design) -> String {
    let mut out = format!("{}\n\n", wrapped(&spec.name, ""));
    let intro = "Fit at the least and the greatest diameter of each tool: snap-in and pull-out at their worst over the \
                 ranges of modulus and friction, hold over what is asked, strain in % of the permissible, how far off \
                 its point a tool may come to lie, and the odds that a part of this process fits.";
    out.push_str(&wrapped(intro, ""));
    out.push_str("\n\n");
    let head = ["tool", "diam", "size", "snap-in", "pull-out", "hold", "strain", "aim", "odds", "verdict"];
    let unit = ["", "mm", "", "N", "N", "times", "%", "mm", "%", ""];
    for cells in [head, unit] {
        row(&mut out, &cells.map(str::to_owned));
    }
    for fit in &design.fit {
        let (name, odds) = if fit.greatest {
            (String::new(), String::new())
        } else {
            (fit.tool_name.clone(), chance(fit.odds.as_ref()))
        };
        let size = fit.sleeve.clone().unwrap_or_else(|| fit.letter.to_string());
        row(&mut out, &cells(name, format!("{:.2}", fit.diameter_mm), size, &fit.figures, odds));
    }
    row(
        &mut out,
        &cells(
            "mount on body".to_owned(),
            String::new(),
            "M".to_owned(),
            &design.mount_fit,
            chance(design.mount_odds.as_ref()),
        ),
    );
    hexagons(&mut out, design);
    if let Some(plan) = &design.plan {
        sleeve_table::family_plan(&mut out, plan);
    }
    out.push_str("\nSizes\n");
    sizes(&mut out, spec, design);
    if !design.sleeves.is_empty() {
        sleeve_table::sleeves(&mut out, spec, design);
    }
    out.push_str("\nMount and webs\n");
    mount_and_webs(&mut out, spec, design);
    layouts(&mut out, design);
    out.push_str(&keep_outs::table(design));
    for note in &design.notes {
        let _ = write!(out, "\n{}\n", wrapped(note, "  "));
    }
    out.push('\n');
    out
}

/// 16 + 5 + 4 + 7 + 8 + 5 + 6 + 5 + 5 + 10 with one space between: 80 columns.
fn row(out: &mut String, [name, diameter, size, snap, pull, hold, strain, aim, odds, verdict]: &[String; 10]) {
    let name = shortened(name, 16);
    let line = format!(
        "{name:<16} {diameter:>5} {size:>4} {snap:>7} {pull:>8} {hold:>5} {strain:>6} {aim:>5} {odds:>5} {verdict:<10}"
    );
    let _ = writeln!(out, "{}", line.trim_end());
}

fn cells(name: String, diameter: String, size: String, fit: &FitFigures, odds: String) -> [String; 10] {
    let across = fit.pull_out_n.least / fit.across_needed_n;
    let along = fit.axial_hold_n.least / fit.along_needed_n;
    [
        name,
        diameter,
        size,
        short(fit.snap_in_n.greatest),
        short(fit.pull_out_n.least),
        short(across.min(along)),
        format!("{:.0}", 100.0 * fit.strain / fit.strain_limit),
        format!("{:.2}", fit.aim_mm),
        odds,
        verdict(fit).to_owned(),
    ]
}

/// What the table above says of hexagons at their worst, by the way in which they lie.
fn hexagons(out: &mut String, design: &Design) {
    let rows: Vec<_> = design.fit.iter().filter_map(|row| Some((row, row.hexagon?))).collect();
    if rows.is_empty() {
        return;
    }
    let about = "Hexagons: their diam is the size across flats, their figures are the worst of lying with a flat and with \
                 a corner down; here how high the axis then stands over its place, mm.";
    let _ = write!(out, "\n{}\n", wrapped(about, ""));
    let _ = writeln!(
        out,
        "{:<16} {:>12} {:>14} {:>16} {:>16}",
        "tool", "across flats", "across corners", "flat down", "corner down"
    );
    for (row, hexagon) in rows {
        let name = if row.greatest { String::new() } else { shortened(&row.tool_name, 16) };
        let height = |at: Interval| format!("{:+.2} to {:+.2}", at.least + 0.0, at.greatest + 0.0);
        let _ = writeln!(
            out,
            "{name:<16} {:>12.2} {:>14.2} {:>16} {:>16}",
            row.diameter_mm,
            hexagon.across_corners_mm,
            height(hexagon.flat_down_mm),
            height(hexagon.corner_down_mm),
        );
    }
}

fn verdict(fit: &FitFigures) -> &'static str {
    match (fit.margin.kept(), fit.snaps) {
        (true, true) => "snaps home",
        (true, false) => "push home",
        (false, _) => "fails",
    }
}

/// As many digits as their error leaves.
fn chance(odds: Option<&Odds>) -> String {
    match odds {
        Some(odds) if odds.both >= 0.9995 => "100".to_owned(),
        Some(odds) if odds.both > 0.99 => format!("{:.1}", 100.0 * odds.both),
        Some(odds) => format!("{:.0}", 100.0 * odds.both),
        None => "-".to_owned(),
    }
}

/// With as many digits as a force or a ratio deserves.
pub(crate) fn short(value: f64) -> String {
    if value.abs() < 9.95 { format!("{value:.1}") } else { format!("{value:.0}") }
}

fn sizes(out: &mut String, spec: &Spec, design: &Design) {
    let _ = writeln!(
        out,
        "{:<4} {:>10} {:>10} {:>10} {:>9} {:>10} {:>10}",
        "size", "seat diam", "root wall", "lip wall", "wrap", "mouth", "length"
    );
    for size in &design.sizes {
        let mouth = size.clip.mouth_mm().map_or(String::new(), |m| format!("{m:.2}"));
        let _ = writeln!(
            out,
            "{:<4} {:>10.2} {:>10.2} {:>10.2} {:>8.0}° {mouth:>10} {:>10.1}",
            size.letter,
            2.0 * size.seat_radius_mm,
            size.clip.root_wall_mm(),
            size.clip.lip_wall_mm(),
            2.0 * size.clip.half_wrap_rad().to_degrees(),
            size.length_mm,
        );
        let tools: Vec<&str> = size.tools.iter().filter_map(|t| spec.tools.get(*t)).map(|t| t.name.as_str()).collect();
        let vee = size.clip.vee().map_or(String::new(), |vee| {
            // By the exact rule of the vee: half of what the axis rises for a millimetre of radius.
            let rise = 0.5 * gripwright_section::vee_axis_mm(vee.angle_rad, 1.0);
            format!(
                "a vee of {:.0}°, its axis rises {rise:.2} mm for each mm of diameter; ",
                vee.angle_rad.to_degrees()
            )
        });
        let drawn = drawn(2.0 * size.drawn_radius_mm(), size.drawn_wider_mm);
        let about = format!("{vee}for {}{drawn}; bound by {}", tools.join(", "), bound_by(&size.binds));
        let _ = writeln!(out, "{}", wrapped(&about, "     "));
    }
}

/// How a seat is drawn, where trials ask for another than the wanted one.
fn drawn(seat_mm: f64, wider_mm: f64) -> String {
    if wider_mm.abs() < 1e-9 {
        return String::new();
    }
    let way = if wider_mm > 0.0 { "wider" } else { "tighter" };
    format!("; drawn {:.2} {way}, at {seat_mm:.2}, as trials taught", wider_mm.abs())
}

fn mount_and_webs(out: &mut String, spec: &Spec, design: &Design) {
    let mount = &design.mount;
    let mouth = mount.mount.mouth_mm().map_or(String::new(), |m| format!(", mouth {m:.2}"));
    let line = format!(
        "M: wall {:.2}, clearance {:+.2}, wrap {:.0}°{mouth}, length {:.1} mm{}; bound by {}",
        mount.mount.wall_mm,
        mount.mount.gap_mm,
        2.0 * mount.mount.half_wrap_rad.to_degrees(),
        mount.length_mm,
        drawn(mount.mount.gap_mm + 0.5 * mount.drawn_wider_mm, mount.drawn_wider_mm),
        bound_by(&mount.binds)
    );
    let _ = writeln!(out, "{}\n", wrapped(&line, ""));
    let _ = writeln!(
        out,
        "{:<4} {:>10} {:>10} {:>10} {:>9} {:>10} {:>10}",
        "web", "length", "width", "depth", "strain %", "sway", "at point"
    );
    for holder in &design.holders {
        let web = &holder.web;
        // Without a point that must be true the tool's own middle is all there is.
        let tip = spec.layout.aim.map_or(String::new(), |_| format!("{:.2}", web.tip_mm));
        let line = format!(
            "{:<4} {:>10.1} {:>10.1} {:>10.1} {:>9.0} {:>10.2} {tip:>10}",
            holder.letter,
            web.length_mm,
            web.width_mm,
            web.depth_mm,
            100.0 * web.strain / web.strain_limit,
            web.sway_mm,
        );
        let _ = writeln!(out, "{}", line.trim_end());
    }
    for (letter, web) in design.holders.iter().map(|h| (h.letter, &h.web)) {
        if let Some(limit) = web.working_limit_mm {
            let line = format!(
                "{letter}: under its working load the web lets the tool move {:.3} mm where {limit} mm is allowed",
                web.working_mm
            );
            let _ = writeln!(out, "{}", wrapped(&line, ""));
        }
    }
}

/// Where the tool's axis, the clips and the point that must be true lie, unless a single clip sits over the mount's middle.
fn layouts(out: &mut String, design: &Design) {
    for plan in design.holders.iter().filter(|plan| plan.web_plan != WebPlan::Plain) {
        let stations: Vec<String> =
            plan.stations.iter().map(|s| format!("{:+.1} ({:.1} long)", s.at_mm, s.length_mm)).collect();
        let point = |what: &str, along: Option<f64>| {
            along.map_or(String::new(), |along| {
                let [_, y, z] = plan.axis_point_mm(along);
                format!("; {what} at y {y:.2}, z {z:.2} mm")
            })
        };
        let line = format!(
            "{}: tool axis pitched {:.2}°, over the mount's middle at y {:.2} mm; clips at {} mm along it{}{}",
            plan.letter,
            plan.pitch_rad.to_degrees(),
            plan.offset_mm,
            stations.join(", "),
            point("stop", plan.stop_at_mm),
            point("point", plan.ahead_mm),
        );
        let _ = writeln!(out, "{}", wrapped(&line, ""));
    }
}

pub(crate) fn bound_by(binds: &[Limit]) -> String {
    binds.iter().map(|limit| limit.word()).collect::<Vec<_>>().join(", ")
}

fn shortened(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    text.chars().take(most - 1).chain(['…']).collect()
}

/// Breaks a sentence into lines that keep within the columns; a single longer word is cut hard.
pub(crate) fn wrapped(text: &str, indent: &str) -> String {
    let room = COLUMNS - indent.len();
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let mut rest: Vec<char> = word.chars().collect();
        loop {
            let taken = line.chars().count();
            let gap = usize::from(taken > 0);
            if taken + gap + rest.len() <= room {
                if gap == 1 {
                    line.push(' ');
                }
                line.extend(&rest);
                break;
            }
            if taken > 0 {
                lines.push(std::mem::take(&mut line));
                continue;
            }
            lines.push(rest.drain(..room).collect());
        }
    }
    lines.push(line);
    lines.iter().map(|l| format!("{indent}{l}").trim_end().to_owned()).collect::<Vec<_>>().join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_texts_stay_within_the_columns() {
        let text = format!("a short start {} and an end", "x".repeat(200));
        let lines = wrapped(&text, "  ");
        assert!(lines.lines().all(|l| l.chars().count() <= COLUMNS));
        assert_eq!(lines.chars().filter(|c| *c == 'x').count(), 200);
    }
}
