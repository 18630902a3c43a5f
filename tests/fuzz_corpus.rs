//! Replays the kept inputs of the fuzzer: none may panic or break a promise of its target.

use std::{fs, path::Path};

use gripwright_tests::fuzz::{TARGETS, mutation};

/// Runs the kept inputs of a target, and some changes of each.
fn replay(name: &str) {
    let target = TARGETS.iter().find(|target| target.name == name).expect("there is such a target");
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz/corpus").join(name);
    let mut paths: Vec<_> =
        fs::read_dir(&folder).expect("it has a folder").map(|entry| entry.expect("readable").path()).collect();
    paths.sort();
    assert!(paths.len() >= 5, "{} inputs in {}", paths.len(), folder.display());
    for path in paths {
        let bytes = fs::read(&path).expect("readable");
        // A panic shows the name of its input.
        let shown = path.display().to_string();
        let failed = std::panic::catch_unwind(|| (target.run)(&bytes)).is_err();
        assert!(!failed, "{shown} fails");
        for seed in 0..8 {
            let changed = mutation::mutated(&bytes, target.pieces, seed);
            let failed = std::panic::catch_unwind(|| (target.run)(&changed)).is_err();
            assert!(!failed, "{shown} fails as changed by seed {seed}");
        }
    }
}

/// A test for each target.
macro_rules! replays {
    ($($name:ident)*) => {
        $(#[test] fn $name() { replay(stringify!($name)); })*

        #[test]
        fn every_target_is_replayed() {
            assert_eq!(TARGETS.map(|target| target.name), [$(stringify!($name)),*]);
        }
    };
}

replays! { spec trials calibration materials dxf svg stl units parts }
