//! Explains stations that leave no room for clips.

use gripwright_input::Spec;
use gripwright_section::LEAST_PAD_GAP_MM;

use crate::{limits::station_share::SHORTEST_CLIP_MM, problem::Problem};

/// Stations so near to each other, or to the stop, that no clip goes between.
pub(crate) fn too_near(spec: &Spec) -> Option<Problem> {
    let layout = &spec.layout;
    if layout.lengths_mm.is_some() {
        return None;
    }
    let least = SHORTEST_CLIP_MM + LEAST_PAD_GAP_MM;
    for (index, pair) in layout.stations_mm.windows(2).enumerate() {
        if pair[1] - pair[0] < least - 1e-9 {
            let path = format!("layout.stations[{}]", index + 1);
            let message = format!("`{path}` is {} mm: no clip goes between it and the station before it", pair[1]);
            return Some(
                Problem::bad_spec(path, "stations-overlap", message)
                    .allowing(format!("at least {} mm", pair[0] + least))
                    .hinting("move the stations apart"),
            );
        }
    }
    let at = layout.stop_at_mm?;
    let least = 0.5 * SHORTEST_CLIP_MM + LEAST_PAD_GAP_MM;
    let nearest = layout.stations_mm.iter().map(|s| (s - at).abs()).fold(f64::INFINITY, f64::min);
    (nearest < least - 1e-9).then(|| {
        let message = format!("`layout.stop.at` is {at} mm: no clip goes between it and the nearest station");
        Problem::bad_spec("layout.stop.at", "stop-among-clips", message)
            .allowing(format!("at least {least} mm from every station"))
            .hinting("move the stop away from the clips")
    })
}
