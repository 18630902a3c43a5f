//! Fit table: verdict, fit of every tool, sizes, mount, webs and notes as text for the terminal.

use gripwright::input::{LengthUnit, Spec};
use gripwright::sizing::{Design, Interval, Limit, LoadPathMargins, Margin, PointMovement, Size, WebPlan};

use crate::{
    fit_rows::{self, NAME_WIDTH},
    keep_out_table::keep_out_table,
    sleeve_table::{family_plan_table, sleeve_table},
    text_report::{
        Column::{self, Left, Right},
        TextReport, limit_words, shortened,
    },
};

/// Columns of the load path.
const LOAD_PATH_COLUMNS: [Column; 8] = [Left(4), Right(6), Right(8), Left(13), Right(9), Left(13), Right(8), Right(7)];
/// Columns of the tables of sizes and of webs.
const SIZE_COLUMNS: [Column; 7] = [Left(4), Right(10), Right(10), Right(10), Right(9), Right(10), Right(10)];
/// Columns of the tables in inches.
const INCH_TOOL_COLUMNS: [Column; 3] = [Left(NAME_WIDTH), Right(10), Right(10)];
const INCH_PART_COLUMNS: [Column; 6] = [Left(4), Right(10), Right(10), Right(10), Right(10), Right(10)];
const INCH_MM: f64 = 25.4;
/// Columns of the table of hexagons.
const HEXAGON_COLUMNS: [Column; 5] = [Left(NAME_WIDTH), Right(12), Right(14), Right(16), Right(16)];

/// Returns the fit of every tool, the sizes, the mount and the webs of a design, and the notes of the run.
pub(crate) fn fit_table(spec: &Spec, design: &Design, notes: &[String]) -> String {
    let mut out = TextReport::default();
    out.paragraph(&spec.name, "");
    out.blank();
    fit_rows::verdict(&mut out, spec, design);
    fit_rows::forces(&mut out, design);
    fit_rows::holds(&mut out, design);
    hexagons(&mut out, design);
    load_path(&mut out, design);
    if let Some(plan) = &design.plan {
        family_plan_table(&mut out, plan);
    }
    sizes(&mut out, spec, design);
    if !design.sleeves.is_empty() {
        sleeve_table(&mut out, spec, design);
    }
    mount(&mut out, design);
    webs(&mut out, spec, design);
    if spec.length_unit == LengthUnit::Inch {
        inches(&mut out, design);
    }
    layouts(&mut out, design);
    keep_out_table(&mut out, design);
    for note in notes {
        out.blank();
        out.paragraph(note, "  ");
    }
    out.blank();
    out.into_text()
}

/// Adds how many times mount and clips bear the loads with their moments.
fn load_path(out: &mut TextReport, design: &Design) {
    let intro = "Load path: how many times the loads with their moments are held at the weakest of material and size, \
                 through the mouth until one end peels and until it lets go, and along and round the axis; the same \
                 without the safety factor after 1,000 h; and the pull that would take the mount off over the pull that \
                 takes the tool out and their factor. Below 1 it gives way.";
    out.blank();
    out.paragraph(intro, "");
    out.row(&LOAD_PATH_COLUMNS, &["part", "peels", "lets go", "bound by", "friction", "bound by", "1,000 h", "order"]);
    out.row(&LOAD_PATH_COLUMNS, &["", "times", "times", "", "times", "", "times", "times"]);
    let of_size = |letter: char| {
        let rows = design.fit.iter().filter(|row| row.letter == letter).map(|row| row.figures.load_path);
        Some((letter.to_string(), rows.reduce(LoadPathMargins::least)?))
    };
    let sizes = design.sizes.iter().filter_map(|size| of_size(size.letter));
    for (part, margins) in sizes.chain([("M".to_owned(), design.mount_fit.load_path)]) {
        let ratio = |margin: Option<Margin>| margin.map_or("-".to_owned(), |margin| format!("{:.2}", margin.ratio));
        let word = |margin: Option<Margin>| margin.map_or("", |margin| load_word(margin.limit)).to_owned();
        let LoadPathMargins { mouth, mouth_lets_go, friction, after_1000_h, letting_go, .. } = margins;
        let lets_go = mouth_lets_go.map_or("-".to_owned(), |times| format!("{times:.2}"));
        let cells = [
            part,
            ratio(mouth),
            lets_go,
            word(mouth),
            ratio(friction),
            word(friction),
            ratio(after_1000_h),
            ratio(letting_go),
        ];
        out.row(&LOAD_PATH_COLUMNS, &cells);
    }
}

/// Word for the load that takes the greatest share.
fn load_word(limit: Limit) -> &'static str {
    match limit {
        Limit::HoldAcross => "force across",
        Limit::HoldAlong => "force along",
        other => other.word(),
    }
}

/// Adds the sizes of hexagons, and how high their axes stand in each orientation.
fn hexagons(out: &mut TextReport, design: &Design) {
    let rows: Vec<_> = design.fit.iter().filter_map(|row| Some((row, row.hexagon?))).collect();
    if rows.is_empty() {
        return;
    }
    let about = "Hexagons: their diam is the size across flats, their figures are the worst of lying with a flat and with \
                 a corner down; here how high the axis then stands over its place, mm.";
    out.blank();
    out.paragraph(about, "");
    out.row(&HEXAGON_COLUMNS, &["tool", "across flats", "across corners", "flat down", "corner down"]);
    out.row(&HEXAGON_COLUMNS, &["", "mm", "mm", "mm", "mm"]);
    for (row, hexagon) in rows {
        let name = if row.greatest { String::new() } else { shortened(&row.tool_name, NAME_WIDTH) };
        let height = |at: Interval| format!("{:+.2} to {:+.2}", at.least + 0.0, at.greatest + 0.0);
        let cells = [
            name,
            format!("{:.2}", row.diameter_mm),
            format!("{:.2}", hexagon.across_corners_mm),
            height(hexagon.flat_down_mm),
            height(hexagon.corner_down_mm),
        ];
        out.row(&HEXAGON_COLUMNS, &cells);
    }
}

fn sizes(out: &mut TextReport, spec: &Spec, design: &Design) {
    out.line("\nSizes");
    out.row(&SIZE_COLUMNS, &["size", "seat diam", "root wall", "lip wall", "wrap", "mouth", "length"]);
    out.row(&SIZE_COLUMNS, &["", "mm", "mm", "mm", "", "mm", "mm"]);
    for size in &design.sizes {
        let cells = [
            size.letter.to_string(),
            format!("{:.2}", 2.0 * size.seat_radius_mm),
            format!("{:.2}", size.clip.root_wall_mm()),
            format!("{:.2}", size.clip.lip_wall_mm()),
            format!("{:.0}°", 2.0 * size.clip.half_wrap_rad().to_degrees()),
            size.clip.mouth_mm().map_or(String::new(), |m| format!("{m:.2}")),
            format!("{:.1}", size.length_mm),
        ];
        out.row(&SIZE_COLUMNS, &cells);
        out.paragraph(&size_details(spec, size), "     ");
    }
}

fn size_details(spec: &Spec, size: &Size) -> String {
    let tools: Vec<&str> = size.tools.iter().filter_map(|t| spec.tools.get(*t)).map(|t| t.name.as_str()).collect();
    let vee = size.clip.vee().map_or(String::new(), |vee| {
        // By the exact rule of the vee: half of what the axis rises for a millimetre of radius.
        let rise = 0.5 * gripwright::section::vee_axis_mm(vee.angle_rad, 1.0);
        format!("a vee of {:.0}°, its axis rises {rise:.2} mm for each mm of diameter; ", vee.angle_rad.to_degrees())
    });
    let drawn = drawn_seat(2.0 * size.drawn_radius_mm(), size.drawn_wider_mm);
    format!("{vee}for {}{drawn}; bound by {}", tools.join(", "), limit_words(&size.active_limits))
}

/// Returns how a seat is drawn if trials ask for another than the designed one.
fn drawn_seat(seat_mm: f64, wider_mm: f64) -> String {
    if wider_mm.abs() < 1e-9 {
        return String::new();
    }
    let way = if wider_mm > 0.0 { "wider" } else { "tighter" };
    format!("; drawn {:.2} {way}, at {seat_mm:.2}, as trials taught", wider_mm.abs())
}

fn mount(out: &mut TextReport, design: &Design) {
    out.line("\nMount and webs");
    let mount = &design.mount;
    let mouth = mount.mount.mouth_mm().map_or(String::new(), |m| format!(", mouth {m:.2}"));
    let line = format!(
        "M: wall {:.2}, seat {:.2} wide, {} on each side, wrap {:.0}°{mouth}, length {:.1} mm{}; bound by {}",
        mount.mount.wall_mm,
        mount.mount.seat_width_mm(),
        gap_words(mount.mount.gap_mm),
        2.0 * mount.mount.half_wrap_rad.to_degrees(),
        mount.length_mm,
        drawn_seat(mount.mount.seat_width_mm() + mount.drawn_wider_mm, mount.drawn_wider_mm),
        limit_words(&mount.active_limits)
    );
    out.paragraph(&line, "");
    out.blank();
}

/// A gap between seat and body in the words of fits.
fn gap_words(gap_mm: f64) -> String {
    if gap_mm < 0.0 { format!("interference {:.2}", -gap_mm) } else { format!("clearance {:.2}", gap_mm + 0.0) }
}

fn webs(out: &mut TextReport, spec: &Spec, design: &Design) {
    out.row(&SIZE_COLUMNS, &["web", "length", "width", "depth", "strain", "sway", "at point"]);
    out.row(&SIZE_COLUMNS, &["", "mm", "mm", "mm", "%", "mm", "mm"]);
    for holder in &design.holders {
        let web = &holder.web;
        let cells = [
            holder.letter.to_string(),
            format!("{:.1}", web.length_mm),
            format!("{:.1}", web.width_mm),
            format!("{:.1}", web.depth_mm),
            format!("{:.0}", 100.0 * web.strain / web.strain_limit),
            format!("{:.2}", web.sway_mm),
            // Without a point that must be true the tool's own middle is all there is.
            spec.layout.aim.map_or(String::new(), |_| format!("{:.2}", web.tip.web_mm)),
        ];
        out.row(&SIZE_COLUMNS, &cells);
    }
    for (letter, web) in design.holders.iter().map(|h| (h.letter, &h.web)) {
        if let Some(limit) = web.working_limit_mm {
            let line = format!(
                "{letter}: under its working load the tool moves {} where {limit} mm is allowed",
                movement_words(&web.working)
            );
            out.paragraph(&line, "");
        }
    }
}

/// Adds the dimensions of tools and parts in inches, for a spec that is written in them.
fn inches(out: &mut TextReport, design: &Design) {
    let inch = |mm: f64| format!("{:.4}", mm / INCH_MM);
    out.line("\nIn inches (names of coupons and what is engraved stay in mm)");
    out.row(&INCH_TOOL_COLUMNS, &["tool", "least", "greatest"]);
    out.row(&INCH_TOOL_COLUMNS, &["", "in", "in"]);
    for (least, greatest) in design.fit.iter().zip(design.fit.iter().skip(1)).filter(|(_, row)| row.greatest) {
        let name = shortened(&least.tool_name, NAME_WIDTH);
        out.row(&INCH_TOOL_COLUMNS, &[name, inch(least.diameter_mm), inch(greatest.diameter_mm)]);
    }
    out.row(&INCH_PART_COLUMNS, &["part", "seat width", "root wall", "lip wall", "mouth", "length"]);
    out.row(&INCH_PART_COLUMNS, &["", "in", "in", "in", "in", "in"]);
    for size in &design.sizes {
        let cells = [
            size.letter.to_string(),
            inch(2.0 * size.seat_radius_mm),
            inch(size.clip.root_wall_mm()),
            inch(size.clip.lip_wall_mm()),
            size.clip.mouth_mm().map_or(String::new(), inch),
            inch(size.length_mm),
        ];
        out.row(&INCH_PART_COLUMNS, &cells);
    }
    let mount = &design.mount;
    let cells = [
        "M".to_owned(),
        inch(mount.mount.seat_width_mm()),
        inch(mount.mount.wall_mm),
        inch(mount.mount.wall_mm),
        mount.mount.mouth_mm().map_or(String::new(), inch),
        inch(mount.length_mm),
    ];
    out.row(&INCH_PART_COLUMNS, &cells);
}

/// Movement of a tool with its parts.
fn movement_words(moved: &PointMovement) -> String {
    let part = |part_mm: Option<f64>| part_mm.map_or("unknown".to_owned(), |mm| format!("{mm:.3}"));
    let more = if moved.total_mm().is_none() { "more than " } else { "" };
    format!(
        "{more}{:.3} mm (web {:.3}, mount {}, clips {})",
        moved.at_least_mm(),
        moved.web_mm,
        part(moved.mount_mm),
        part(moved.clips_mm)
    )
}

/// Adds the places of the tool's axis, the clips and the aimed point, unless a single clip sits over the mount's middle.
fn layouts(out: &mut TextReport, design: &Design) {
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
        out.paragraph(&line, "");
    }
}
