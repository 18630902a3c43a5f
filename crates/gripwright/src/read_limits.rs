//! Limits of what is read and kept, from the readers that count by them: the table of the user guide.

use gripwright_input::read_limits as text;
use gripwright_survey::read_limits as drawing;

/// Most contradictions between trials that a calibration keeps.
pub const MOST_CONTRADICTIONS: usize = 100;
/// Most rows that one contradiction names.
pub const MOST_NAMED_ROWS: usize = 6;

/// One limit: what is counted, and the most of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ReadLimit {
    /// What is counted.
    pub what: &'static str,
    /// Greatest number that is read.
    pub most: usize,
}

/// All limits.
pub const READ_LIMITS: [ReadLimit; 17] = [
    limit("bytes of a spec, material library, trials file or calibration", text::MAX_FILE_BYTES),
    limit("problems of one file that are listed", text::MOST_PROBLEMS),
    limit("errors of TOML syntax that are listed", text::MOST_SYNTAX_PROBLEMS),
    limit("columns of a trials file", text::MOST_COLUMNS),
    limit("rows of a trials file", text::MOST_ROWS),
    limit("bytes of a drawing or scan", drawing::MOST_BYTES),
    limit("points of a drawing or scan, once curves are points", drawing::MOST_POINTS),
    limit("entities in a DXF file", drawing::MOST_DXF_ENTITIES),
    limit("entities with those of placed blocks", drawing::MOST_PLACED_ENTITIES),
    limit("placed blocks", drawing::MOST_INSERTS),
    limit("blocks in each other", drawing::DEEPEST_INSERT),
    limit("control points of a spline", drawing::MOST_CONTROLS),
    limit("degree of a spline", drawing::HIGHEST_DEGREE),
    limit("elements and attributes of an SVG", drawing::MOST_SVG_NODES as usize),
    limit("attributes of one SVG element", drawing::MOST_ATTRIBUTES),
    limit("SVG groups in each other", drawing::DEEPEST_GROUP),
    limit("contradictions that a calibration keeps", MOST_CONTRADICTIONS),
];

const fn limit(what: &'static str, most: usize) -> ReadLimit {
    ReadLimit { what, most }
}
