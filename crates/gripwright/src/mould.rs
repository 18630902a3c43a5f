//! Mould of a cast part: masters, vents, box, batches, and what they weigh and take.
//!
//! ```text
//!  design ──▶ master ──▶ sprue, vents ──▶ layout ──▶ parts of the box ──▶ batches, clock, shots
//!             chain of    release                    files, bench sheet
//!             sizes
//! ```

pub(crate) mod bench_facts_of_plan;
pub(crate) mod cast_master;
pub(crate) mod cast_size;
pub(crate) mod large_mould;
pub(crate) mod master_peg;
pub(crate) mod mould_document;
pub(crate) mod mould_error;
pub(crate) mod mould_files;
pub(crate) mod mould_plan;
pub(crate) mod mould_report;
pub(crate) mod pour_quantities;
pub(crate) mod settled_layout;
pub(crate) mod vent_places;
