//! A demo spec and its design, for tests and examples.

use gripwright_calibration::Prior;
use gripwright_input::{MaterialLibrary, Spec, read_spec};
use gripwright_sizing::{Design, size};

/// A spec and its design.
pub(crate) struct DemoDesign {
    pub(crate) spec: Spec,
    pub(crate) design: Design,
}

impl DemoDesign {
    pub(crate) fn from_spec_text(text: &str) -> Option<Self> {
        let spec = read_spec(text, "demo.toml", &MaterialLibrary::built_in()).ok()?.spec;
        let design = size(&spec).ok()?;
        Some(Self { spec, design })
    }

    pub(crate) fn prior(&self) -> Prior {
        Prior::from_spec(&self.spec)
    }
}
