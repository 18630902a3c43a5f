//! Prints the positions of coupons of random families on their plates, for a check with an independent polygon library.
//!
//!     plate_dump COUNT [FIRST_SEED]
//!
//! Every other family has a small bed, so that rows break and several plates are needed.

use std::error::Error;

use gripwright_input::{MaterialLibrary, read_spec};
use gripwright_section::{Curve, Point};
use gripwright_sizing::{CouponSet, size};
use gripwright_tests::random_spec;

/// Chord error of the printed outlines, mm.
const CHORD_MM: f64 = 0.005;

fn main() -> Result<(), Box<dyn Error>> {
    let mut numbers = std::env::args().skip(1).map(|argument| argument.parse::<u64>());
    let count = numbers.next().ok_or("usage: plate_dump COUNT [FIRST_SEED]")??;
    let first = numbers.next().transpose()?.unwrap_or(0);
    let materials = MaterialLibrary::built_in();
    let mut families = Vec::new();
    // More refusals than this would be a fault of the sizing.
    for seed in first..first + 20 * count {
        if families.len() as u64 >= count {
            break;
        }
        let bed = if seed % 2 == 0 {
            [250.0, 250.0]
        } else {
            [80.0 + (seed % 7) as f64 * 10.0, 100.0 + (seed % 5) as f64 * 8.0]
        };
        let [width, depth] = bed;
        let text = random_spec(seed).replace("bed = [250.0, 250.0]", &format!("bed = [{width:.1}, {depth:.1}]"));
        let Ok(loaded) = read_spec(&text, "random.toml", &materials) else { continue };
        let Ok(design) = size(&loaded.spec) else { continue };
        families.push(family(seed, bed, &design.coupons));
    }
    #[expect(clippy::print_stdout, reason = "this program prints a document")]
    {
        println!("[{}]", families.join(",\n"));
    }
    Ok(())
}

/// Starts of the chords of a curve that stay within [`CHORD_MM`] of it: the sagitta is at most r δ²/8.
fn chord_ends(curve: &Curve) -> Vec<Point> {
    let mut ends = vec![curve.start()];
    if let Curve::Arc { radius, sweep, .. } = *curve {
        let count = (sweep.abs() / (8.0 * CHORD_MM / radius).sqrt()).ceil();
        ends.extend((1..1000).map(f64::from).take_while(|k| *k < count).map(|k| curve.at(k / count)));
    }
    ends
}

/// One family as JSON. Identities need no escapes.
fn family(seed: u64, bed_mm: [f64; 2], set: &CouponSet) -> String {
    let mut plates = Vec::new();
    for plate in &set.plates {
        let mut items = Vec::new();
        for placed in &plate.items {
            let Some(coupon) = set.coupons.get(placed.item) else { continue };
            let points: Vec<String> = coupon
                .outline
                .segments()
                .iter()
                .flat_map(|s| chord_ends(&s.curve))
                .map(|p| format!("[{},{}]", p.x + placed.shift.x, p.y + placed.shift.y))
                .collect();
            items.push(format!("{{\"coupon\":\"{}\",\"outline_mm\":[{}]}}", coupon.identity, points.join(",")));
        }
        plates.push(format!("[{}]", items.join(",")));
    }
    format!(
        "{{\"seed\":{seed},\"bed_mm\":{bed_mm:?},\"coupons\":{},\"chord_mm\":{CHORD_MM},\"plates\":[{}]}}",
        set.coupons.len(),
        plates.join(",")
    )
}
