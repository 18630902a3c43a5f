//! Expected properties of parts, for the checks with the independent kernel.

use gripwright::solids::Part;

/// One entry in the form of the program's own list of files. Names need no escapes.
pub(crate) fn part_entry(name: &str, parts: &[Part], drafts_deg: &[f64]) -> String {
    let parts: Vec<String> = parts
        .iter()
        .zip(drafts_deg)
        .map(|(p, draft_deg)| {
            let [x, y, z] = p.mass.centroid_mm;
            let seat = p.seat_radius_mm.map_or("null".to_owned(), |r| r.to_string());
            format!(
                "{{\"name\":\"{}\",\"volume_mm3\":{},\"area_mm2\":{},\"centroid_mm\":[{x},{y},{z}],\
                 \"draft_deg\":{draft_deg},\"seat_radius_mm\":{seat},\"seat_axis\":{:?},\"seat_height_mm\":{},\"web_across\":{},\
                 \"parting_plane_mm\":{},\"taper_deg\":{},\"tapers_unevenly\":{}}}",
                p.solid.name(),
                p.mass.volume_mm3,
                p.mass.area_mm2,
                p.seat_axis,
                p.seat_height_mm,
                p.web_across,
                p.parting_mm,
                p.taper_rad.to_degrees(),
                p.tapers_unevenly
            )
        })
        .collect();
    format!("{{\"path\":\"{name}\",\"kind\":\"step\",\"parts\":[{}]}}", parts.join(","))
}
