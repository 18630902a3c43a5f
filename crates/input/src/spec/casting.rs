//! Reading of the table `[casting]`, and checks of the parting against layout, body and draft.

use crate::keys::casting_keys::{CASTING, PARTING};
use crate::keys::table_reader::{OpenTable, TableReader};
use crate::values::casting::Parting;
use crate::values::checked_spec::{Body, Finish, Layout, WebStyle};

/// Reads the parting of the mould from the opened `[casting]`. A part that is not cast parts in the middle.
pub(crate) fn read_parting<'a>(
    reader: &mut TableReader<'a>,
    casting: &OpenTable<'a>,
    is_cast: bool,
    layout: Option<&Layout>,
    body: Option<&Body>,
) -> Parting {
    let written = reader.choice(casting, &PARTING);
    if !is_cast {
        return Parting::Middle;
    }
    let obstacle = first_obstacle(layout, body);
    match written {
        Some(parting) => {
            if let (Parting::End, Some(Obstacle { what, why, remedy })) = (parting, obstacle) {
                let path = casting.path_of(PARTING.name);
                let message = format!("`{path}` is \"end\", but {what}: {why}");
                let hint = format!("write `parting = \"cut\"`, or {remedy}");
                reader.report_value(&path, "no-flush-end", message, "\"cut\", \"middle\"", hint);
            }
            parting
        }
        None if obstacle.is_some() => Parting::Cut,
        None => Parting::End,
    }
}

/// A mould that is cut open needs no draft, and its sizing knows none.
pub(crate) fn check_draft_of_cut_mould(
    reader: &mut TableReader<'_>,
    finish: &Finish,
    layout: Option<&Layout>,
    body: Option<&Body>,
) {
    if finish.parting != Parting::Cut || finish.draft_rad <= 0.0 {
        return;
    }
    let path = format!("{}.{}", CASTING.name, PARTING.name);
    let obstacle = first_obstacle(layout, body).filter(|_| !reader.source.is_written(&path));
    let because = obstacle.map_or(String::new(), |obstacle| format!(", because {}", obstacle.what));
    let draft = finish.draft_rad.to_degrees();
    let message = format!(
        "`finish.draft` is {draft:.2} deg, but `{path}` is \"cut\"{because}: a mould that is cut open needs none"
    );
    let hint = "write `draft = 0`, or another `casting.parting`";
    reader.report_value("finish.draft", "cut-with-draft", message, "0 deg with a mould that is cut", hint);
}

/// Property of a spec with which a mould cannot part at a flush end.
struct Obstacle {
    /// The property, with its key.
    what: String,
    why: &'static str,
    /// Change that removes it.
    remedy: &'static str,
}

/// Returns the first property with which a mould cannot part at a flush end.
fn first_obstacle(layout: Option<&Layout>, body: Option<&Body>) -> Option<Obstacle> {
    let obstacle = |what: String, why, remedy| Some(Obstacle { what, why, remedy });
    if body.is_some_and(|body| body.far.is_some()) {
        let why = "a mount that narrows toward the parting end would be held in its mould";
        return obstacle("the body tapers (`body.far`)".to_owned(), why, "leave `far` out");
    }
    let layout = layout?;
    if layout.pitch_rad != 0.0 {
        let what = format!("`layout.pitch` is {:.2} deg", layout.pitch_rad.to_degrees());
        return obstacle(what, "the ends of a pitched clip and of the mount lie in no common plane", "`pitch = 0`");
    }
    match layout.stations_mm.as_slice() {
        [0.0] => {}
        [at_mm] => {
            let what = format!("`layout.stations` places the clip at {at_mm} mm");
            return obstacle(
                what,
                "the place of a clip that is flush with the mount follows from the lengths",
                "leave `stations` out",
            );
        }
        stations => {
            let what = format!("`layout.stations` has {} clips", stations.len());
            return obstacle(what, "only one clip can be flush with the mount", "leave one station");
        }
    }
    if layout.stop_at_mm.is_some() {
        let why = "a stop closes the seat, so that the mould could not be drawn out";
        return obstacle("`layout.stop` is given".to_owned(), why, "leave the stop out");
    }
    if layout.web == WebStyle::Windows {
        let why = "a mould that fills windows could not be drawn out";
        return obstacle("`layout.web` is \"windows\"".to_owned(), why, "`web = \"solid\"`");
    }
    None
}
