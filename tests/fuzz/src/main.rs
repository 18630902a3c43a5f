//! Fuzzer of one target, whose name is in `FUZZ_TARGET`.
#![no_main]

use std::sync::LazyLock;

use gripwright_tests::fuzz::{FuzzTarget, mutation, target};
use libfuzzer_sys::{fuzz_mutator, fuzz_target, fuzzer_mutate};

static TARGET: LazyLock<&FuzzTarget> = LazyLock::new(|| {
    let name = std::env::var("FUZZ_TARGET").expect("FUZZ_TARGET names the target");
    target(&name).unwrap_or_else(|| panic!("there is no target {name}"))
});

fuzz_target!(|bytes: &[u8]| (TARGET.run)(bytes));

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
    // One change in four is one of bytes, which knows what the program compares.
    if seed % 4 == 0 {
        return fuzzer_mutate(data, size, max_size);
    }
    let mut changed = mutation::mutated(&data[..size], TARGET.pieces, u64::from(seed));
    changed.truncate(max_size);
    data[..changed.len()].copy_from_slice(&changed);
    changed.len()
});
