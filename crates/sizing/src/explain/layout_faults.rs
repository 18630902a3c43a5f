//! Explains stations that leave no room for clips.

use gripwright_input::Layout;

use crate::{limits::station_share::StationCollision, problem::Problem};

/// Explains stations, or a station and the stop, that collide.
pub(crate) fn colliding_stations(layout: &Layout, collision: &StationCollision) -> Problem {
    match *collision {
        StationCollision::Stations { index, least_mm } => {
            let path = format!("layout.stations[{index}]");
            let at = layout.stations_mm.get(index).copied().unwrap_or_default();
            let message = format!("`{path}` is {at} mm: no clip goes between it and the station before it");
            Problem::bad_spec(path, "stations-overlap", message)
                .allowing(format!("at least {least_mm} mm"))
                .hinting("move the stations apart")
        }
        StationCollision::Stop { at_mm, least_mm } => {
            let message = format!("`layout.stop.at` is {at_mm} mm: no clip goes between it and the nearest station");
            Problem::bad_spec("layout.stop.at", "stop-among-clips", message)
                .allowing(format!("at least {least_mm} mm from every station"))
                .hinting("move the stop away from the clips")
        }
    }
}
