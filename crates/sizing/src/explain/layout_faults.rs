//! Explains stations that leave no room for clips.

use gripwright_input::Layout;

use crate::{family::sleeve_obstacle::SleeveObstacle, limits::station_share::StationCollision, problem::Problem};

/// Explains why sleeves cannot be made.
pub(crate) fn impossible_sleeves(obstacle: &SleeveObstacle) -> Problem {
    let (at, code, hint) = match obstacle {
        SleeveObstacle::Draft { .. } => {
            ("finish.draft", "sleeves-with-draft", "write `draft = 0`, or another `wide_range`")
        }
        SleeveObstacle::SeveralStations { .. } => {
            ("layout.stations", "sleeves-several-clips", "leave one station, or write another `wide_range`")
        }
        SleeveObstacle::Stop { .. } => {
            ("layout.stop", "sleeves-with-stop", "leave the stop out, or write another `wide_range`")
        }
    };
    Problem::bad_spec(at, code, obstacle.to_string()).with_hint(hint)
}

/// Explains stations, or a station and the stop, that collide.
pub(crate) fn colliding_stations(layout: &Layout, collision: &StationCollision) -> Problem {
    match *collision {
        StationCollision::Stations { index, least_mm } => {
            let path = format!("layout.stations[{index}]");
            let at = layout.stations_mm.get(index).copied().unwrap_or_default();
            let message = format!("`{path}` is {at} mm: no clip goes between it and the station before it");
            Problem::bad_spec(path, "stations-overlap", message)
                .with_allowed(format!("at least {least_mm} mm"))
                .with_hint("move the stations apart")
        }
        StationCollision::Stop { at_mm, least_mm } => {
            let message = format!("`layout.stop.at` is {at_mm} mm: no clip goes between it and the nearest station");
            Problem::bad_spec("layout.stop.at", "stop-among-clips", message)
                .with_allowed(format!("at least {least_mm} mm from every station"))
                .with_hint("move the stop away from the clips")
        }
    }
}
