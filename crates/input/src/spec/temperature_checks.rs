//! Checks of the temperature of use against what the material declares.

use crate::keys::spec_keys::{FIT, TEMPERATURE};
use crate::keys::table_reader::TableReader;
use crate::values::material::{Material, REFERENCE_TEMPERATURE_C};

/// The material must serve at the temperature of use. A figure that it declares by temperature must reach so far; one that
/// it does not declare at all on that side of 23 °C is no error, and the notes of a design say so.
pub(crate) fn check_temperature(reader: &mut TableReader<'_>, celsius: f64, material: &Material) {
    let path = format!("{}.{}", FIT.name, TEMPERATURE.name);
    if let Some(most) = material.service_temperature_c
        && celsius > most
    {
        let message = format!("`{path}` is {celsius} °C, more than {} serves at, which is {most} °C", material.title);
        let hint = "take a material that serves when it is warmer; `gripwright materials` lists them";
        reader.report_value(&path, "too-warm", message, format!("at most {most} °C"), hint);
        return;
    }
    for (what, shares) in material.shares_by_temperature() {
        let Some(shares) = shares else { continue };
        let [least, greatest] = shares.reach_c();
        let declared = if celsius > REFERENCE_TEMPERATURE_C { greatest } else { least };
        // Exactly 23 °C: nothing is declared on this side, for any figure alike.
        let is_declared = (declared - REFERENCE_TEMPERATURE_C).abs() > 0.0;
        if is_declared && shares.at(celsius).is_none() {
            let title = &material.title;
            let message =
                format!("`{path}` is {celsius} °C, and {title} declares its {what} from {least} to {greatest} °C");
            let hint = "a file of your own, `material.library`, may declare more";
            reader.report_value(&path, "undeclared-temperature", message, format!("{least} °C to {greatest} °C"), hint);
            return;
        }
    }
}
