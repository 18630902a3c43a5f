//! Tables of the material library: all classes, and one class with the source of every figure.

use gripwright::input::{FigureBounds, Material, MaterialLibrary, MaterialProcess, SharesByTemperature};

use crate::text_report::{
    Column::{self, Left, Right},
    TextReport,
};

const COLUMNS: [Column; 10] =
    [Left(20), Right(9), Right(4), Right(4), Right(4), Right(5), Right(9), Right(6), Right(3), Right(4)];
/// Indent of what belongs to the line above.
const INDENT: &str = "     ";

/// Returns the table of all classes.
pub(crate) fn all_classes(library: &MaterialLibrary) -> String {
    let mut out = TextReport::default();
    out.paragraph(
        "Classes of the material library at 23 °C: modulus, permissible strain of a single and of repeated snapping and at \
         rest, strain at yield, friction, what is left of the grip after 1,000 h, greatest temperature of service, density. \
         Every figure has its source: `gripwright materials KEY`.",
        "",
    );
    out.blank();
    out.row(&COLUMNS, &["key", "modulus", "one", "rep.", "rest", "yield", "friction", "1000 h", "to", "dens"]);
    out.row(&COLUMNS, &["", "MPa", "%", "%", "%", "%", "", "%", "°C", "g/cm³"]);
    for material in library.materials() {
        let percent = |share: f64| three_digits(100.0 * share);
        let left = material.grip_after_1000_h;
        let cells = [
            material.key.clone(),
            range(material.modulus_mpa, 0),
            percent(material.strain_single),
            percent(material.strain_repeated),
            percent(material.strain_at_rest),
            percent(material.strain_yield),
            range(material.friction, 2),
            range(FigureBounds { least: 100.0 * left.least, greatest: 100.0 * left.greatest }, 0),
            material.service_temperature_c.map_or_else(|| "-".to_owned(), |most| most.to_string()),
            format!("{:.2}", material.density_g_cm3),
        ];
        out.row(&COLUMNS, &cells);
        out.paragraph(&title(material), INDENT);
    }
    out.into_text()
}

/// Title of a class, with its narrower ones.
fn title(material: &Material) -> String {
    if material.narrower.is_empty() {
        return material.title.clone();
    }
    format!("{}; narrower: {}", material.title, material.narrower.join(", "))
}

/// Returns every figure of a class with its source.
pub(crate) fn all_figures(material: &Material) -> String {
    let mut out = TextReport::default();
    out.line(&material.key);
    out.paragraph(&title(material), INDENT);
    let process = material.process.map_or("not declared", MaterialProcess::word);
    out.paragraph(&format!("process: {process}"), INDENT);
    out.blank();
    for line in &material.sources {
        let (name, source) = line.split_once(": ").unwrap_or((line, ""));
        out.paragraph(&format!("{name}: {}", figure_text(material, name)), "");
        out.paragraph(source, INDENT);
    }
    for (what, shares) in material.shares_by_temperature() {
        if shares.is_none() {
            out.line(&format!("{what} by temperature: not declared"));
        }
    }
    out.blank();
    out.paragraph(
        &format!(
            "`gripwright materials {} --toml` prints the class as the library has it. Copy it into a file of your own, put in \
             the figures of your data sheet, and name the file as `library` under [material].",
            material.key
        ),
        "",
    );
    out.into_text()
}

/// Value of a figure of the library in words.
fn figure_text(material: &Material, name: &str) -> String {
    let percent = |share: f64| format!("{} %", three_digits(100.0 * share));
    let bounds = |figure: FigureBounds| format!("{} to {}", figure.least, figure.greatest);
    let words = |text: Option<&String>| text.cloned().unwrap_or_default();
    match name {
        "modulus" => format!("{} MPa", bounds(material.modulus_mpa)),
        "poisson" => material.poisson.to_string(),
        "strain_single" => percent(material.strain_single),
        "strain_repeated" => percent(material.strain_repeated),
        "strain_at_rest" => percent(material.strain_at_rest),
        "strain_yield" => percent(material.strain_yield),
        "friction" => bounds(material.friction),
        "density" => format!("{} g/cm³", material.density_g_cm3),
        "grip_after_1000_h" => bounds(material.grip_after_1000_h),
        "across_layers" => material.across_layers.to_string(),
        "service_temperature" => material.service_temperature_c.map(|most| format!("{most} °C")).unwrap_or_default(),
        "modulus_by_temperature" => shares_text(material.modulus_by_temperature.as_ref()),
        "strain_by_temperature" => shares_text(material.strain_by_temperature.as_ref()),
        "grip_by_temperature" => shares_text(material.grip_by_temperature.as_ref()),
        "moisture" => words(material.moisture.as_ref()),
        "cracks_with" => words(material.cracks_with.as_ref()),
        _ => String::new(),
    }
}

fn shares_text(shares: Option<&SharesByTemperature>) -> String {
    let points = shares.map(SharesByTemperature::points).unwrap_or_default();
    let words = points.iter().map(|point| format!("{} at {} °C", point.share, point.celsius));
    words.collect::<Vec<_>>().join(", ")
}

fn range(figure: FigureBounds, digits: usize) -> String {
    format!("{:.digits$}–{:.digits$}", figure.least, figure.greatest)
}

/// Returns a number with three digits at most and no zeros at its end.
fn three_digits(value: f64) -> String {
    let text = if value < 9.995 { format!("{value:.2}") } else { format!("{value:.1}") };
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
