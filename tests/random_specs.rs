//! 500 random specs that a design meets: every part closed and valid, and no panic anywhere.

use gripwright_design::size;
use gripwright_spec::{MaterialLibrary, read};
use gripwright_tests::random_spec;

/// Specs that must be made by each of the two tests, which run side by side.
const MADE: usize = 250;
/// Seeds that may be tried; more refusals than this would mean that the sizing refuses what it should make.
const TRIED: u64 = 1000;

fn make_from(first_seed: u64) {
    let materials = MaterialLibrary::built_in();
    let (mut made, mut refused, mut parts) = (0, 0, 0);
    for seed in first_seed..first_seed + TRIED {
        let text = random_spec(seed);
        let loaded = read(&text, "random.toml", &materials)
            .unwrap_or_else(|problems| panic!("seed {seed} is no sound spec: {}\n{text}", problems[0]));
        let Ok(design) = size(&loaded.spec) else {
            refused += 1;
            continue;
        };
        let wall = loaded.spec.printer.least_wall_mm;
        let holders = gripwright::solids::holders(&design, wall).unwrap_or_else(|e| panic!("seed {seed}: {e}\n{text}"));
        parts += holders.len();
        for plate in &design.coupons.plates {
            let coupons = gripwright::solids::coupons_on(&design, plate, wall);
            parts += coupons.unwrap_or_else(|e| panic!("seed {seed}: {e}\n{text}")).len();
        }
        made += 1;
        if made == MADE {
            break;
        }
    }
    assert_eq!(made, MADE, "{refused} specs were refused");
    assert!(parts >= 9 * MADE, "{parts} parts");
}

#[test]
fn the_first_half_of_500_random_specs() {
    make_from(0);
}

#[test]
fn the_second_half_of_500_random_specs() {
    make_from(100_000);
}
