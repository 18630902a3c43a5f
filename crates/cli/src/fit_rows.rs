//! Tables of the fit of every tool: the verdict, push and pull, and what holds.

use gripwright::input::Spec;
use gripwright::sizing::{Design, FitFigures, FitRow, HoldClass, Interval, Limit, Margin, Odds};

use crate::text_report::{
    Column::{self, Left, Right},
    TextReport, limit_words, shortened, two_digits,
};

/// Longest name of a tool that is shown whole.
pub(crate) const NAME_WIDTH: usize = 16;
/// Columns of the forces.
const FORCE_COLUMNS: [Column; 7] = [Left(NAME_WIDTH), Right(6), Right(4), Right(15), Right(15), Right(11), Left(5)];
/// Columns of hold, strain, aim and odds.
const HOLD_COLUMNS: [Column; 9] =
    [Left(NAME_WIDTH), Right(6), Right(4), Right(5), Right(6), Right(5), Right(4), Right(6), Left(20)];

/// Adds whether the design serves, its tightest margin and what decides it.
pub(crate) fn verdict(out: &mut TextReport, spec: &Spec, design: &Design) {
    let verdict = design.verdict();
    let tools = match spec.tools.len() {
        1 => "the tool".to_owned(),
        count => format!("all {count} tools"),
    };
    let serves = if verdict.serves { format!("Serves {tools}") } else { format!("Does not serve {tools}") };
    let with = verdict.tool.map_or(String::new(), |tool| format!(" with {}", shortened(&tool, NAME_WIDTH)));
    let Margin { ratio, limit, .. } = verdict.tightest;
    let others: Vec<Limit> = verdict.bound_by.into_iter().filter(|other| *other != limit).collect();
    let also = if others.is_empty() { String::new() } else { format!(" Also near: {}.", limit_words(&others)) };
    let text = format!(
        "{serves}. Tightest: {} of {}{with}, {ratio:.2} times; 1 is the limit.{also}",
        limit.word(),
        verdict.part,
    );
    out.paragraph(&text, "");
    let weak = |figures: &FitFigures| figures.load_path.all().any(|margin| !margin.is_kept());
    if verdict.serves && (weak(&design.mount_fit) || design.fit.iter().any(|row| weak(&row.figures))) {
        out.paragraph("The load path is only reported here, and falls below 1: see its table.", "");
    }
    out.blank();
}

/// Adds push and pull of every tool, typical and over the material.
pub(crate) fn forces(out: &mut TextReport, design: &Design) {
    let friction = |figures: &FitFigures| {
        let [least, greatest] = [&figures.curves[0], &figures.curves[1]].map(|curves| curves.friction);
        format!("{least:.2} to {greatest:.2}")
    };
    let own = design.fit.iter().find(|row| row.sleeve.is_none()).or(design.fit.first());
    let of_tools = own.map_or(String::new(), |row| friction(&row.figures));
    let of_mount = friction(&design.mount_fit);
    let range = if of_tools == of_mount { of_tools } else { format!("{of_tools}, of the mount {of_mount}") };
    let intro = format!(
        "Forces at the least and the greatest diameter of each tool: typical, at the middle of modulus and friction, and in \
         brackets over all of the material. \"Snaps home\" is the friction up to which the lips draw it home; otherwise push \
         it home. The friction may be {range}."
    );
    out.paragraph(&intro, "");
    out.blank();
    out.row(&FORCE_COLUMNS, &["tool", "diam", "size", "snap-in", "pull-out", "snaps home", "fits"]);
    out.row(&FORCE_COLUMNS, &["", "mm", "", "N", "N", "friction", ""]);
    for row in &design.fit {
        let [name, diameter, size] = row_head(row);
        out.row(&FORCE_COLUMNS, &force_cells([name, diameter, size], &row.figures));
    }
    out.row(&FORCE_COLUMNS, &force_cells(mount_head(), &design.mount_fit));
}

fn force_cells(head: [String; 3], fit: &FitFigures) -> [String; 7] {
    let [name, diameter, size] = head;
    let material = &fit.material;
    [
        name,
        diameter,
        size,
        typical_and_range(material.typical_snap_in_n, fit.snap_in_n),
        typical_and_range(material.typical_pull_out_n, fit.pull_out_n),
        snaps_home(fit),
        if fit.margin.is_kept() { "yes" } else { "no" }.to_owned(),
    ]
}

/// A typical force with its range over the material.
fn typical_and_range(typical_n: f64, range: Interval) -> String {
    format!("{} ({}–{})", two_digits(typical_n), two_digits(range.least), two_digits(range.greatest))
}

/// The friction up to which it snaps home, or what holds it otherwise.
fn snaps_home(fit: &FitFigures) -> String {
    match (fit.material.hold_class, fit.material.snaps_home_up_to_friction) {
        (_, Some(_)) if fit.snaps => "any".to_owned(),
        (HoldClass::SnapsHome, Some(friction)) => format!("to {friction:.2}"),
        (HoldClass::FrictionAlone, _) => "by friction".to_owned(),
        (HoldClass::Loose, _) => "loose".to_owned(),
        _ => "no".to_owned(),
    }
}

/// Adds hold, strain, aim and odds of every tool, and its tightest margin.
pub(crate) fn holds(out: &mut TextReport, design: &Design) {
    let intro = "At their worst over the material: hold over what is asked, strain in % of the permissible, how far off its \
                 point a tool may come to lie; the odds that a part of this process fits; and the tightest margin, in times \
                 of what is asked or allowed.";
    out.blank();
    out.paragraph(intro, "");
    out.blank();
    out.row(&HOLD_COLUMNS, &["tool", "diam", "size", "hold", "strain", "aim", "odds", "margin", "decided by"]);
    out.row(&HOLD_COLUMNS, &["", "mm", "", "times", "%", "mm", "%", "times", ""]);
    for row in &design.fit {
        let odds = if row.greatest { String::new() } else { percent(row.odds.as_ref()) };
        out.row(&HOLD_COLUMNS, &hold_cells(row_head(row), &row.figures, odds));
    }
    out.row(&HOLD_COLUMNS, &hold_cells(mount_head(), &design.mount_fit, percent(design.mount_odds.as_ref())));
}

fn hold_cells(head: [String; 3], fit: &FitFigures, odds: String) -> [String; 9] {
    let [name, diameter, size] = head;
    let across = fit.pull_out_n.least / fit.across_needed_n;
    let along = fit.axial_hold_n.least / fit.along_needed_n;
    [
        name,
        diameter,
        size,
        two_digits(across.min(along)),
        format!("{:.0}", 100.0 * fit.strain / fit.strain_limit),
        format!("{}{:.2}", if fit.aim_is_known { "" } else { ">" }, fit.aim_mm),
        odds,
        format!("{:.2}", fit.margin.ratio),
        fit.margin.limit.word().to_owned(),
    ]
}

fn row_head(row: &FitRow) -> [String; 3] {
    let name = if row.greatest { String::new() } else { shortened(&row.tool_name, NAME_WIDTH) };
    let size = row.sleeve.clone().unwrap_or_else(|| row.letter.to_string());
    [name, format!("{:.2}", row.diameter_mm), size]
}

fn mount_head() -> [String; 3] {
    ["mount on body".to_owned(), String::new(), "M".to_owned()]
}

/// Returns the odds of fitting in percent, with as many digits as their error leaves.
fn percent(odds: Option<&Odds>) -> String {
    match odds {
        Some(odds) if odds.both >= 0.9995 => "100".to_owned(),
        Some(odds) if odds.both > 0.99 => format!("{:.1}", 100.0 * odds.both),
        Some(odds) => format!("{:.0}", 100.0 * odds.both),
        None => "-".to_owned(),
    }
}
