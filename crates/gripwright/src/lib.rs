//! The gripwright library: from the plans of a design to checked parts.
//!
//! ```
//! use gripwright_input::{MaterialLibrary, STARTER, read};
//!
//! let loaded = read(STARTER, "starter.toml", &MaterialLibrary::built_in()).expect("the starter is sound");
//! let design = gripwright_sizing::size(&loaded.spec).expect("the starter can be made");
//! let parts = gripwright::solids::holders(&design, loaded.spec.printer.least_wall_mm).expect("every part passes its checks");
//! assert_eq!(parts.len(), design.sizes.len());
//! ```

pub mod calibration_figures;
pub mod calibration_origin;
pub mod cautions;
pub mod coupon_card;
pub mod next_measurement;
pub mod solids;
