//! A design does not depend on the number of threads.

use gripwright_input::{MaterialLibrary, read_spec};

use super::size;

#[test]
fn one_thread_and_seven_make_the_same_design() {
    let text = include_str!("../../../../demo-specs/round-cells.toml");
    let spec = read_spec(text, "demo.toml", &MaterialLibrary::built_in()).expect("the demo is sound").spec;
    let designs = [1, 7, 2].map(|threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads start");
        pool.install(|| size(&spec).expect("the demo has a design"))
    });
    assert!(designs[0] == designs[1] && designs[1] == designs[2]);
}
