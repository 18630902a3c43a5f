//! Targets of the fuzzer: each takes any bytes and panics if the program's own promises are broken.
//!
//! `tests/fuzz/run` feeds them with coverage; `tests/fuzz_corpus.rs` replays the kept inputs.

pub mod mutation;
mod part_maker;
mod random_bytes;
mod readers;

/// One target.
#[derive(Clone, Copy)]
pub struct FuzzTarget {
    /// Name of the target and of its folder of inputs.
    pub name: &'static str,
    /// Runs one input.
    pub run: fn(&[u8]),
    /// Pieces that inputs consist of, for the mutation.
    pub pieces: mutation::Pieces,
}

/// All targets.
pub const TARGETS: [FuzzTarget; 9] = [
    FuzzTarget { name: "spec", run: readers::spec, pieces: mutation::Pieces::Lines },
    FuzzTarget { name: "trials", run: readers::trials, pieces: mutation::Pieces::Cells },
    FuzzTarget { name: "calibration", run: readers::calibration, pieces: mutation::Pieces::Lines },
    FuzzTarget { name: "materials", run: readers::materials, pieces: mutation::Pieces::Lines },
    FuzzTarget { name: "dxf", run: readers::dxf, pieces: mutation::Pieces::PairsOfLines },
    FuzzTarget { name: "svg", run: readers::svg, pieces: mutation::Pieces::Tags },
    FuzzTarget { name: "stl", run: readers::stl, pieces: mutation::Pieces::Triangles },
    FuzzTarget { name: "units", run: readers::units, pieces: mutation::Pieces::Cells },
    FuzzTarget { name: "parts", run: part_maker::parts, pieces: mutation::Pieces::Bytes },
];

/// Returns the target of a name.
pub fn target(name: &str) -> Option<&'static FuzzTarget> {
    TARGETS.iter().find(|target| target.name == name)
}
