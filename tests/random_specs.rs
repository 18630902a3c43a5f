//! Random specs: every part must be closed and valid, and nothing may panic.
//!
//! `GRIPWRIGHT_RANDOM_SPECS=500` sets the number of specs; by default a sample is made.

use gripwright_input::{MaterialLibrary, read_spec};
use gripwright_sizing::size;
use gripwright_tests::random_spec;

/// Default number of specs that must be made.
const SAMPLE: usize = 96;
/// Number of seeds that may be tried for each spec that is made; more refusals would be a fault of the sizing.
const TRIED: u64 = 4;

/// Makes half of the specs: two tests run in parallel.
fn make_from(first_seed: u64) {
    let wanted = std::env::var("GRIPWRIGHT_RANDOM_SPECS").map_or(SAMPLE, |n| n.parse().expect("a number of specs"));
    let half = wanted.div_ceil(2).max(1);
    let materials = MaterialLibrary::built_in();
    let (mut made, mut refused, mut parts, mut hexagons, mut rings) = (0, 0, 0, 0, 0);
    for seed in first_seed..first_seed + TRIED * half as u64 {
        let text = random_spec(seed);
        let loaded = read_spec(&text, "random.toml", &materials)
            .unwrap_or_else(|problems| panic!("seed {seed} is no valid spec: {}\n{text}", problems[0]));
        let Ok(design) = size(&loaded.spec) else {
            refused += 1;
            continue;
        };
        let wall = loaded.spec.printer.least_wall_mm;
        let holders = gripwright::solids::holders(&design, wall).unwrap_or_else(|e| panic!("seed {seed}: {e}\n{text}"));
        parts += holders.len();
        let sleeves = gripwright::solids::sleeves(&design, wall).unwrap_or_else(|e| panic!("seed {seed}: {e}\n{text}"));
        parts += sleeves.len();
        rings += sleeves.len();
        hexagons += design.fit.iter().filter(|row| row.hexagon.is_some()).count() / 2;
        for plate in &design.coupons.plates {
            let coupons = gripwright::solids::coupons_on(&design, plate, wall);
            parts += coupons.unwrap_or_else(|e| panic!("seed {seed}: {e}\n{text}")).len();
        }
        made += 1;
        if made == half {
            break;
        }
    }
    assert_eq!(made, half, "{refused} specs were refused");
    assert!(parts >= 9 * half, "{parts} parts");
    assert!(hexagons >= half / 6, "{hexagons} hexagons in {half} specs");
    assert!(rings >= half / 20, "{rings} sleeves in {half} specs");
}

#[test]
fn the_first_half_of_the_random_specs() {
    make_from(0);
}

#[test]
fn the_second_half_of_the_random_specs() {
    make_from(100_000);
}
