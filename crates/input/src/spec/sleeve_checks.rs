//! Checks of the spec when sleeves are requested.

use crate::keys::table_reader::TableReader;
use crate::values::checked_spec::{Finish, Layout};

/// Checks draft, stations and stop.
///
/// A sleeve sits in a single clip and has a collar at either end. The collars need room there, and no mould of two
/// halves releases them.
pub(crate) fn check_sleeves(reader: &mut TableReader<'_>, layout: &Layout, finish: &Finish) {
    let other = "or write another `fit.wide_range`";
    if finish.draft_rad > 0.0 {
        let draft = finish.draft_rad.to_degrees();
        let message = format!(
            "`finish.draft` is {draft:.2} deg: no mould of two halves lets go of sleeves, which have a collar at either end"
        );
        let hint = format!("write `draft = 0`, {other}");
        reader.report_value("finish.draft", "sleeves-with-draft", message, "0 deg with sleeves", hint);
    }
    let stations = layout.stations_mm.len();
    if stations > 1 {
        reader.report_value(
            "layout.stations",
            "sleeves-several-clips",
            format!("`layout.stations` has {stations}: a sleeve sits in one clip"),
            "one station with sleeves",
            format!("leave one station, {other}"),
        );
    }
    if let Some(at) = layout.stop_at_mm {
        reader.report_value(
            "layout.stop",
            "sleeves-with-stop",
            format!("`layout.stop` stands at {at} mm: the collars of sleeves need the room beside the clip"),
            "no stop with sleeves",
            format!("leave the stop out, {other}"),
        );
    }
}
