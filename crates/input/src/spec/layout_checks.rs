//! Checks of the layout against itself and against the finish. Sizing checks what depends on sizes.

use crate::keys::spec_keys::{BARREL_LENGTH, LENGTHS};
use crate::keys::table_reader::TableReader;
use crate::values::checked_spec::{Body, Finish, Layout, Tool, WebStyle};

/// Least gap between the ends of neighbouring clips, and from a stop to a clip, mm: common practice, no source.
///
/// The fillets of the web lie in this gap.
const LEAST_GAP_MM: f64 = 2.0;

pub(crate) fn check_layout(
    reader: &mut TableReader<'_>,
    layout: &Layout,
    finish: Option<&Finish>,
    tools: Option<&[Tool]>,
) {
    let counted = check_length_count(reader, layout);
    if check_ascending(reader, layout) && counted {
        check_gaps(reader, layout);
        check_barrel_lengths(reader, layout, tools.unwrap_or_default());
        if let Some(at) = layout.stop_at_mm {
            check_stop(reader, layout, at);
        }
    }
    if let Some(finish) = finish.filter(|finish| finish.draft_rad > 0.0) {
        check_draft(reader, layout, finish);
    }
}

/// Checks that there is one length for each station.
fn check_length_count(reader: &mut TableReader<'_>, layout: &Layout) -> bool {
    let (stations, Some(lengths)) = (layout.stations_mm.len(), &layout.lengths_mm) else { return true };
    if lengths.len() == stations {
        return true;
    }
    let message = format!("`layout.lengths` has {} entries for {stations} in `layout.stations`", lengths.len());
    let hint = "give each clip its length, or leave `lengths` out to have them sized";
    reader.report_value("layout.lengths", "lengths-miscounted", message, format!("{stations}"), hint);
    false
}

fn check_ascending(reader: &mut TableReader<'_>, layout: &Layout) -> bool {
    let mut sound = true;
    for (index, pair) in layout.stations_mm.windows(2).enumerate() {
        let &[before, after] = pair else { continue };
        if after <= before {
            let path = format!("layout.stations[{}]", index + 1);
            let message = format!("`{path}` is {after} mm, not above the station before it");
            let hint = "put the stations in ascending order, each once";
            reader.report_value(&path, "not-ascending", message, format!("more than {before} mm"), hint);
            sound = false;
        }
    }
    sound
}

/// Checks that clips of given lengths do not overlap and leave room for the valley between them.
fn check_gaps(reader: &mut TableReader<'_>, layout: &Layout) {
    let Some(lengths) = &layout.lengths_mm else { return };
    for index in 1..layout.stations_mm.len() {
        let (at, before) = (layout.stations_mm[index], layout.stations_mm[index - 1]);
        let least = before + 0.5 * (lengths[index - 1] + lengths[index]) + LEAST_GAP_MM;
        if at < least - 1e-9 {
            let path = format!("layout.stations[{index}]");
            let gap = at - least + LEAST_GAP_MM;
            let message = if gap < 0.0 {
                format!("`{path}` is {at} mm: its clip overlaps the one before it by {:.2} mm", -gap)
            } else {
                format!("`{path}` is {at} mm: only {gap:.2} mm are left between its clip and the one before it")
            };
            let hint = "move the stations apart or shorten the clips";
            reader.report_value(&path, "stations-overlap", message, format!("at least {least:.2} mm"), hint);
        }
    }
}

/// Checks that the stop stands beyond all clips, as far as their lengths are known.
fn check_stop(reader: &mut TableReader<'_>, layout: &Layout, at: f64) {
    let half = |index: usize| layout.lengths_mm.as_ref().and_then(|l| l.get(index)).map_or(0.0, |length| 0.5 * length);
    let last = layout.stations_mm.len() - 1;
    let low = layout.stations_mm[0] - half(0) - LEAST_GAP_MM;
    let high = layout.stations_mm[last] + half(last) + LEAST_GAP_MM;
    if at > low + 1e-9 && at < high - 1e-9 {
        let message = format!("`layout.stop.at` is {at} mm, among the clips");
        let allowed = format!("at most {low:.2} mm or at least {high:.2} mm");
        let hint = "a stop stands behind or ahead of all clips";
        reader.report_value("layout.stop.at", "stop-among-clips", message, allowed, hint);
    }
}

/// Checks that every barrel reaches over all clips, measured from the stop if there is one.
fn check_barrel_lengths(reader: &mut TableReader<'_>, layout: &Layout, tools: &[Tool]) {
    let half = |index: usize| {
        let length = layout.lengths_mm.as_ref().and_then(|l| l.get(index)).copied();
        0.5 * length.unwrap_or(LENGTHS.form.range.least)
    };
    let last = layout.stations_mm.len() - 1;
    let low = layout.stations_mm[0] - half(0);
    let high = layout.stations_mm[last] + half(last);
    for (index, tool) in tools.iter().enumerate() {
        let Some(length) = tool.length_mm else { continue };
        let name = &tool.name;
        let path = format!("tools[{index}].{}", BARREL_LENGTH.name);
        match layout.stop_at_mm {
            Some(at) if at <= low || at >= high => {
                // The barrel's end rests against the stop, and the barrel runs past the clips.
                let needed = if at <= low { high - at } else { at - low };
                if length < needed - 1e-9 {
                    let message = format!(
                        "`{path}` is {length} mm: with its end against the stop at {at} mm `{name}` is {:.2} mm too short \
                         for the farthest clip",
                        needed - length
                    );
                    let nearest = if at <= low { high - length } else { low + length };
                    let hint = format!(
                        "move the farthest station nearer to the stop, or the stop to {nearest:.2} mm where no clip is in \
                         its way"
                    );
                    reader.report_value(&path, "stop-beyond-barrel", message, format!("at least {needed:.2} mm"), hint);
                }
            }
            None if length < high - low - 1e-9 => {
                let needed = high - low;
                let message =
                    format!("`{path}` is {length} mm: the clips of `{name}` stand over {needed:.2} mm of its axis");
                let hint = "move the stations together, shorten the clips, or take fewer";
                reader.report_value(&path, "stations-beyond-barrel", message, format!("at least {needed:.2} mm"), hint);
            }
            Some(_) | None => {}
        }
    }
}

/// A tapered body excludes draft: a tapered seat with a drafted back needs patches that are not cones.
pub(crate) fn check_taper(reader: &mut TableReader<'_>, body: &Body, finish: &Finish) {
    if body.far.is_some() && finish.draft_rad > 0.0 {
        let draft = finish.draft_rad.to_degrees();
        let message = format!("`body.far` and a draft of {draft:.2} deg do not go together");
        let hint = "write `draft = 0` and cast in a flexible mould, or leave `far` out";
        reader.report_value("body.far", "taper-with-draft", message, "no second section with draft", hint);
    }
}

/// A pitched clip, a stop and windows exclude draft.
///
/// The parting plane of a pitched clip differs from that of the mount. The draft of the web would hide a stop. Windows
/// have no draft.
fn check_draft(reader: &mut TableReader<'_>, layout: &Layout, finish: &Finish) {
    let draft = finish.draft_rad.to_degrees();
    if layout.pitch_rad != 0.0 {
        let pitch = layout.pitch_rad.to_degrees();
        let message = format!(
            "`layout.pitch` is {pitch:.2} deg and `finish.draft` is {draft:.2} deg: a pitched clip has another parting \
             plane than the mount"
        );
        let hint = "write `draft = 0` and cast in a flexible mould, or `pitch = 0`";
        reader.report_value("layout.pitch", "pitched-draft", message, "0 deg with draft", hint);
    }
    if layout.stop_at_mm.is_some() {
        let message = format!("`layout.stop` and a draft of {draft:.2} deg do not go together");
        let hint = "write `draft = 0`, or leave the stop out";
        reader.report_value("layout.stop", "stop-with-draft", message, "no stop with draft", hint);
    }
    if layout.web == WebStyle::Windows {
        let message =
            format!("`layout.web` is \"windows\" and `finish.draft` is {draft:.2} deg: windows have no draft");
        let hint = "write `draft = 0`, or `web = \"solid\"`";
        reader.report_value("layout.web", "windows-with-draft", message, "\"solid\" with draft", hint);
    }
}
