//! The fit table as text, at most 80 columns wide.

use std::fmt::Write;

use gripwright_design::{Design, FitFigures, Margin};
use gripwright_spec::Spec;

/// Widest line.
const COLUMNS: usize = 80;

/// Fit of every tool, sizes, mount, webs and notes.
pub(crate) fn fit_table(spec: &Spec, design: &Design) -> String {
    let mut out = format!("{}\n\n", wrapped(&spec.name, ""));
    let intro = "Forces and strains are estimates by closed forms, the worst over the ranges of modulus and friction; \
                 print and try the coupons before the part.";
    out.push_str(&wrapped(intro, ""));
    out.push_str("\n\nFit: estimate / limit at the least and greatest diameter of each tool\n");
    let head = ["size, tool", "diam.", "interf.", "snap N", "pull N", "axial N", "strain %", "margin"];
    row(&mut out, &head.map(str::to_owned));
    for fit in &design.fit {
        let name = format!("{} {}", fit.letter, fit.tool_name);
        row(&mut out, &cells(name, format!("{:.2}", fit.diameter_mm), &fit.figures));
    }
    row(&mut out, &cells("M mount on body".to_owned(), String::new(), &design.mount_fit));
    out.push_str("\nSizes\n");
    sizes(&mut out, spec, design);
    out.push_str("\nMount and webs\n");
    mount_and_webs(&mut out, design);
    for note in &design.notes {
        let _ = write!(out, "\n{}\n", wrapped(note, "  "));
    }
    out.push('\n');
    out
}

/// 17 + 6 + 7 + 4 × 8 + 9 with one space between: 78 columns.
fn row(out: &mut String, [name, diameter, interference, snap, pull, axial, strain, margin]: &[String; 8]) {
    let name = shortened(name, 17);
    let _ = writeln!(
        out,
        "{name:<17} {diameter:>6} {interference:>7} {snap:>8} {pull:>8} {axial:>8} {strain:>8} {margin:>9}"
    );
}

fn cells(name: String, diameter: String, fit: &FitFigures) -> [String; 8] {
    [
        name,
        diameter,
        format!("{:+.2}", fit.interference_mm),
        pair(fit.snap_in_n.greatest, fit.snap_in_limit_n),
        pair(fit.pull_out_n.least, fit.across_needed_n),
        pair(fit.axial_hold_n.least, fit.along_needed_n),
        format!("{:.1}/{:.1}", 100.0 * fit.strain, 100.0 * fit.strain_limit),
        verdict(&fit.margin),
    ]
}

fn verdict(margin: &Margin) -> String {
    if margin.kept() { format!("fits {:.1}", margin.ratio.min(99.9)) } else { "no".to_owned() }
}

/// Estimate and limit with as many digits as an estimate deserves.
fn pair(estimate: f64, limit: f64) -> String {
    let short = |v: f64| if v.abs() < 10.0 { format!("{v:.1}") } else { format!("{v:.0}") };
    format!("{}/{}", short(estimate), short(limit))
}

fn sizes(out: &mut String, spec: &Spec, design: &Design) {
    let _ = writeln!(
        out,
        "{:<4} {:>8} {:>10} {:>9} {:>6} {:>8} {:>8}  bound by",
        "size", "seat dia", "root wall", "lip wall", "wrap", "mouth", "length"
    );
    for size in &design.sizes {
        let mouth = size.clip.mouth_mm().map_or(String::new(), |m| format!("{m:.2}"));
        let _ = writeln!(
            out,
            "{:<4} {:>8.2} {:>10.2} {:>9.2} {:>5.0}° {mouth:>8} {:>8.1}  {}",
            size.letter,
            2.0 * size.clip.seat_radius_mm,
            size.clip.root_wall_mm,
            size.clip.lip_wall_mm,
            2.0 * size.clip.half_wrap_rad.to_degrees(),
            size.length_mm,
            size.margin.limit.word(),
        );
        let tools: Vec<&str> = size.tools.iter().filter_map(|t| spec.tools.get(*t)).map(|t| t.name.as_str()).collect();
        let _ = writeln!(out, "{}", wrapped(&format!("for {}", tools.join(", ")), "     "));
    }
}

fn mount_and_webs(out: &mut String, design: &Design) {
    let mount = &design.mount;
    let mouth = mount.mount.mouth_mm().map_or(String::new(), |m| format!(", mouth {m:.2}"));
    let line = format!(
        "M: wall {:.2}, clearance {:+.2}, wrap {:.0}°{mouth}, length {:.1} mm; bound by {}",
        mount.mount.wall_mm,
        mount.mount.gap_mm,
        2.0 * mount.mount.half_wrap_rad.to_degrees(),
        mount.length_mm,
        mount.margin.limit.word()
    );
    let _ = writeln!(out, "{}", wrapped(&line, ""));
    for holder in &design.holders {
        let web = &holder.web;
        let line = format!(
            "web of {}: {:.1} long, {:.1} wide; strain {:.2} of {:.1} %, sway {:.2} mm at the tool under its load",
            holder.letter,
            web.length_mm,
            web.width_mm,
            100.0 * web.strain,
            100.0 * web.strain_limit,
            web.sway_mm
        );
        let _ = writeln!(out, "{}", wrapped(&line, ""));
    }
}

fn shortened(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    text.chars().take(most - 1).chain(['…']).collect()
}

/// Breaks a sentence into lines that keep within the columns; a single longer word is cut hard.
fn wrapped(text: &str, indent: &str) -> String {
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
