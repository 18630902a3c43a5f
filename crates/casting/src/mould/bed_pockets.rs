//! Pockets of a bed for the lower halves of masters.

use gripwright_section::{Outline, Point, inset, union};

use super::{
    layout::{BedPocket, LayoutError},
    packing::MasterPlace,
    request::MasterKind,
};

/// Pockets for a master at a place: its plan, joined where outlines overlap or touch, widened by the clearance.
pub(crate) fn bed_pockets(
    kind: &MasterKind,
    index: usize,
    place: &MasterPlace,
    clearance_mm: f64,
) -> Result<Vec<BedPocket>, LayoutError> {
    let failure = || LayoutError::Pocket { kind: kind.name.clone(), clearance_mm };
    let pocket = |outline: &Outline| {
        let outline = widened(outline, clearance_mm)?.moved(place.turn_rad, Point::new(place.at[0], place.at[1]));
        Some(BedPocket { place: index, outline, depth_mm: 0.5 * kind.height_mm + clearance_mm })
    };
    let joined = joined(&kind.outlines).ok_or_else(failure)?;
    joined.iter().map(|outline| pocket(outline).ok_or_else(failure)).collect()
}

/// Outlines with those joined that overlap or touch; `None` if they enclose a hole.
fn joined(outlines: &[Outline]) -> Option<Vec<Outline>> {
    let mut apart: Vec<Outline> = Vec::new();
    for outline in outlines {
        let mut own = outline.clone();
        let mut k = 0;
        while k < apart.len() {
            let mut both = union(&apart[k], &own).ok()?;
            if !both.holes.is_empty() {
                return None;
            }
            if both.outers.len() == 1 {
                own = both.outers.pop()?;
                apart.remove(k);
                k = 0;
            } else {
                k += 1;
            }
        }
        apart.push(own);
    }
    Some(apart)
}

fn widened(outline: &Outline, by_mm: f64) -> Option<Outline> {
    let moved = inset(outline, &vec![-by_mm; outline.segments().len()]).ok()?;
    moved.to_outline(outline).ok().filter(|o| o.self_contact().is_none())
}

#[cfg(test)]
mod tests {
    use gripwright_section::rounded_rectangle;

    use super::*;

    #[test]
    fn outlines_that_touch_become_one() {
        let bar = |x: f64| rounded_rectangle(10.0, 6.0, 1.0).unwrap().moved(0.0, Point::new(x, 0.0));
        assert_eq!(joined(&[bar(0.0), bar(20.0), bar(10.0)]).unwrap().len(), 1);
        assert_eq!(joined(&[bar(0.0), bar(20.0)]).unwrap().len(), 2);
        let one = widened(&bar(0.0), 0.2).unwrap();
        assert!((one.bounds().size().x - 10.4).abs() < 1e-12);
    }
}
