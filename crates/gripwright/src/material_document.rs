//! Document of the material library.

use gripwright_input::{FigureBounds, Material, SharesByTemperature};
use serde_json::{Map, Value, json};

use crate::version::MADE_BY;

/// Returns the classes of a material library with all figures and their sources, as JSON.
pub fn material_document<'a>(materials: impl IntoIterator<Item = &'a Material>) -> Value {
    json!({
        "done": true,
        "exit_code": 0,
        "made_by": MADE_BY,
        "units": { "stress": "MPa", "density": "g/cm3", "temperature": "degC" },
        "reference_temperature": gripwright_input::REFERENCE_TEMPERATURE_C,
        "materials": materials.into_iter().map(material_entry).collect::<Vec<_>>(),
    })
}

fn material_entry(material: &Material) -> Value {
    json!({
        "key": material.key,
        "title": material.title,
        "modulus_mpa": bounds(material.modulus_mpa),
        "poisson": material.poisson,
        "strain_single": material.strain_single,
        "strain_repeated": material.strain_repeated,
        "strain_at_rest": material.strain_at_rest,
        "strain_yield": material.strain_yield,
        "friction": bounds(material.friction),
        "density_g_cm3": material.density_g_cm3,
        "grip_after_1000_h": bounds(material.grip_after_1000_h),
        "across_layers": material.across_layers,
        "service_temperature_c": material.service_temperature_c,
        "modulus_by_temperature": shares(material.modulus_by_temperature.as_ref()),
        "strain_by_temperature": shares(material.strain_by_temperature.as_ref()),
        "grip_by_temperature": shares(material.grip_by_temperature.as_ref()),
        "moisture": material.moisture,
        "cracks_with": material.cracks_with,
        "process": material.process.map(gripwright_input::MaterialProcess::word),
        "narrower": material.narrower,
        "sources": sources(material),
    })
}

fn bounds(figure: FigureBounds) -> Value {
    json!({ "least": figure.least, "greatest": figure.greatest })
}

fn shares(shares: Option<&SharesByTemperature>) -> Value {
    let point = |point: &gripwright_input::TemperatureShare| json!({ "celsius": point.celsius, "share": point.share });
    shares.map_or(Value::Null, |shares| shares.points().iter().map(point).collect())
}

/// Source of each figure by its name.
fn sources(material: &Material) -> Map<String, Value> {
    let pairs = material.sources.iter().filter_map(|line| line.split_once(": "));
    pairs.map(|(figure, source)| (figure.to_owned(), json!(source))).collect()
}
