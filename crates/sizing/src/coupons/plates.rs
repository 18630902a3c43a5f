//! Arrangement of coupons on plates: rows of boxes that fit the bed.

use gripwright_section::{Bounds, Point};

use crate::design::coupon::{PlacedItem, Plate};

/// Free space between neighbours, mm.
const GAP_MM: f64 = 3.0;
/// Free space along the edges of the bed, mm.
const EDGE_MM: f64 = 5.0;

/// Items cannot be arranged.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub(crate) enum PlateError {
    /// One item alone is larger than the bed.
    #[error("item {item} of {width_mm:.1} × {depth_mm:.1} mm does not fit a bed of {bed_width_mm} × {bed_depth_mm} mm")]
    TooLarge {
        /// Index of the item.
        item: usize,
        /// Its width with the free edges of the bed, mm.
        width_mm: f64,
        /// Its depth with the free edges of the bed, mm.
        depth_mm: f64,
        /// Width of the bed, mm.
        bed_width_mm: f64,
        /// Depth of the bed, mm.
        bed_depth_mm: f64,
    },
}

/// Arranges items, given by their bounding boxes (mm), in rows on as many plates as are needed.
///
/// Items keep their order and attitude. A new `row` number starts a new row, so that a size is read off line by line.
pub(crate) fn arrange(boxes: &[Bounds], rows: &[usize], bed_mm: [f64; 2]) -> Result<Vec<Plate>, PlateError> {
    let mut plates: Vec<Plate> = Vec::new();
    let mut pen = Pen::default();
    let mut last_row = None;
    for (item, bounds) in boxes.iter().enumerate() {
        let size = bounds.size();
        check_fits(item, size, bed_mm)?;
        let row = rows.get(item).copied();
        if plates.is_empty() {
            plates.push(Plate::default());
            pen = Pen::default();
        } else if row != last_row || pen.x + size.x > bed_mm[0] - EDGE_MM {
            pen.next_row();
        }
        last_row = row;
        if pen.y + size.y > bed_mm[1] - EDGE_MM {
            plates.push(Plate::default());
            pen = Pen::default();
        }
        let corner = Point::new(pen.x, pen.y);
        pen.x += size.x + GAP_MM;
        pen.depth = pen.depth.max(size.y);
        if let Some(plate) = plates.last_mut() {
            plate.items.push(PlacedItem { item, shift: corner - bounds.min });
        }
    }
    Ok(plates)
}

/// Place of the next item on the current plate.
struct Pen {
    x: f64,
    y: f64,
    depth: f64,
}

impl Default for Pen {
    fn default() -> Self {
        Self { x: EDGE_MM, y: EDGE_MM, depth: 0.0 }
    }
}

impl Pen {
    fn next_row(&mut self) {
        *self = Self { x: EDGE_MM, y: self.y + self.depth + GAP_MM, depth: 0.0 };
    }
}

fn check_fits(item: usize, size: Point, bed_mm: [f64; 2]) -> Result<(), PlateError> {
    let (width_mm, depth_mm) = (size.x + 2.0 * EDGE_MM, size.y + 2.0 * EDGE_MM);
    // Not-a-number fails this test as well.
    if width_mm <= bed_mm[0] && depth_mm <= bed_mm[1] {
        return Ok(());
    }
    let [bed_width_mm, bed_depth_mm] = bed_mm;
    Err(PlateError::TooLarge { item, width_mm, depth_mm, bed_width_mm, bed_depth_mm })
}

#[cfg(test)]
mod tests {
    use proptest::{prelude::*, test_runner::RngSeed};

    use super::*;

    fn item() -> impl Strategy<Value = ((f64, f64), (f64, f64), bool)> {
        ((-30.0_f64..30.0, -30.0_f64..30.0), (1.0_f64..60.0, 1.0_f64..60.0), any::<bool>())
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 256, rng_seed: RngSeed::Fixed(0xbed), failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn every_item_lies_once_inside_the_bed_and_apart(
            items in prop::collection::vec(item(), 0..40), bed in (70.0_f64..300.0, 70.0_f64..300.0),
        ) {
            let mut row = 0;
            let (mut boxes, mut rows) = (Vec::new(), Vec::new());
            for ((x, y), (width, depth), new_row) in items {
                row += usize::from(new_row);
                boxes.push(Bounds { min: Point::new(x, y), max: Point::new(x + width, y + depth) });
                rows.push(row);
            }
            let plates = arrange(&boxes, &rows, [bed.0, bed.1]).unwrap();
            let mut seen: Vec<usize> = plates.iter().flat_map(|p| p.items.iter().map(|i| i.item)).collect();
            prop_assert!(seen.is_sorted());
            seen.dedup();
            prop_assert_eq!(seen.len(), boxes.len());
            for plate in &plates {
                prop_assert!(!plate.items.is_empty());
                let placed: Vec<(Point, Point)> =
                    plate.items.iter().map(|i| (boxes[i.item].min + i.shift, boxes[i.item].max + i.shift)).collect();
                for (index, (low, high)) in placed.iter().enumerate() {
                    prop_assert!(low.x >= EDGE_MM - 1e-9 && low.y >= EDGE_MM - 1e-9);
                    prop_assert!(high.x <= bed.0 - EDGE_MM + 1e-9 && high.y <= bed.1 - EDGE_MM + 1e-9);
                    for (other_low, other_high) in &placed[index + 1..] {
                        let apart = (other_low.x - high.x)
                            .max(low.x - other_high.x)
                            .max(other_low.y - high.y)
                            .max(low.y - other_high.y);
                        prop_assert!(apart >= GAP_MM - 1e-9, "{} apart", apart);
                    }
                }
            }
        }
    }

    #[test]
    fn too_large_is_said_with_numbers() {
        let boxes = [Bounds { min: Point::ORIGIN, max: Point::new(95.0, 10.0) }];
        let error = arrange(&boxes, &[0], [100.0, 100.0]).unwrap_err();
        assert_eq!(error.to_string(), "item 0 of 105.0 × 20.0 mm does not fit a bed of 100 × 100 mm");
        assert_eq!(arrange(&boxes, &[0], [105.0, 100.0]).unwrap().len(), 1);
    }

    #[test]
    fn nothing_needs_no_plate() {
        assert_eq!(arrange(&[], &[], [100.0, 100.0]), Ok(Vec::new()));
    }
}
