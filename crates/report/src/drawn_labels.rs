//! Places of letters beside what they point at, so that no two overlap.

use std::{f64::consts::TAU, fmt::Write};

use gripwright_section::{Bounds, Point};

use crate::{
    drawing::DrawnLabel,
    lettering::{FONT_MM, text_width_mm},
    markup::escaped,
    svg_frame::SvgFrame,
};

/// Radius of the ring round a letter, mm on paper.
const RING_MM: f64 = 2.6;
/// Free space round rings and what they must not cover, mm on paper.
const GAP_MM: f64 = 0.8;
/// Distance of the nearest place of a letter from what it points at, and how much farther the next ones are, mm.
const NEAREST_MM: f64 = 5.5;
const FARTHER_MM: f64 = 2.5;
/// Directions that are tried at each distance.
const DIRECTIONS: u8 = 16;

/// Places at which a letter is tried whose leader crosses no other ring: 24 distances.
const LEADER_PLACES: usize = 24 * DIRECTIONS as usize;

/// A letter with its place on paper.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct PlacedLabel {
    /// Letter.
    pub(crate) letter: String,
    /// Centre of its ring.
    pub(crate) centre: Point,
    /// Point that it shows.
    pub(crate) target: Point,
    half_width_mm: f64,
}

impl PlacedLabel {
    /// Box of the ring.
    pub(crate) fn bounds(&self) -> Bounds {
        let reach = Point::new(self.half_width_mm, RING_MM);
        Bounds::containing(self.centre - reach, self.centre + reach)
    }

    /// Ring, letter and leader as SVG.
    pub(crate) fn svg(&self, out: &mut String) {
        let Self { centre, target, half_width_mm, .. } = self;
        let _ = writeln!(
            out,
            "<line x1=\"{:.2}\" y1=\"{:.2}\" x2=\"{:.2}\" y2=\"{:.2}\" stroke=\"#111\" stroke-width=\"0.2\"/>\
             <circle cx=\"{:.2}\" cy=\"{:.2}\" r=\"0.45\" fill=\"#111\"/>\
             <rect class=\"ring\" x=\"{:.2}\" y=\"{:.2}\" width=\"{:.2}\" height=\"{:.2}\" rx=\"{RING_MM}\" fill=\"#fff\" \
             stroke=\"#111\" stroke-width=\"0.25\"/>\
             <text x=\"{:.2}\" y=\"{:.2}\" font-size=\"{FONT_MM}\" font-weight=\"bold\" text-anchor=\"middle\" \
             fill=\"#111\">{}</text>",
            centre.x,
            centre.y,
            target.x,
            target.y,
            target.x,
            target.y,
            centre.x - half_width_mm,
            centre.y - RING_MM,
            2.0 * half_width_mm,
            2.0 * RING_MM,
            centre.x,
            centre.y + 0.36 * FONT_MM,
            escaped(&self.letter)
        );
    }
}

/// Places letters on paper. `details` are boxes that no letter may cover.
pub(crate) fn place_labels(labels: &[DrawnLabel], frame: SvgFrame, details: &[Bounds]) -> Vec<PlacedLabel> {
    let targets: Vec<Point> = labels.iter().map(|label| frame.place(label.at)).collect();
    let dots = targets.iter().map(|target| Bounds::containing(*target, *target));
    let taken: Vec<Bounds> = dots.chain(details.iter().copied()).collect();
    let mut placed: Vec<PlacedLabel> = Vec::new();
    for (label, target) in labels.iter().zip(&targets) {
        let half_width_mm = RING_MM.max(0.5 * text_width_mm(&label.letter) + 0.8);
        let at = |centre| PlacedLabel { letter: label.letter.clone(), centre, target: *target, half_width_mm };
        // Where rings surround the target, every leader crosses one: then the ring alone must be free, which some distance is.
        let near = candidates(*target).take(LEADER_PLACES).map(at).find(|new| is_free(new, &placed, &taken));
        let free = near.or_else(|| {
            candidates(*target).map(at).find(|new| {
                let is_near = |bounds: Bounds| new.bounds().near(bounds, GAP_MM);
                !placed.iter().any(|old| is_near(old.bounds())) && !taken.iter().any(|bounds| is_near(*bounds))
            })
        });
        placed.extend(free);
    }
    placed
}

/// Places round a target, from the nearest outwards, beginning at the upper right.
fn candidates(target: Point) -> impl Iterator<Item = Point> {
    (0u32..).flat_map(move |step| {
        let distance = NEAREST_MM + FARTHER_MM * f64::from(step);
        (0..DIRECTIONS).map(move |index| {
            // Alternately to either side of the first direction. The page counts down.
            let turns = f64::from(index.div_ceil(2)) * if index % 2 == 0 { 1.0 } else { -1.0 };
            target + Point::unit(TAU * (turns / f64::from(DIRECTIONS) - 0.125)) * distance
        })
    })
}

fn is_free(new: &PlacedLabel, placed: &[PlacedLabel], taken: &[Bounds]) -> bool {
    let bounds = new.bounds();
    let near_leader = |label: &PlacedLabel, centre: Point| {
        let along = label.target - label.centre;
        let t = ((centre - label.centre).dot(along) / along.dot(along).max(1e-12)).clamp(0.0, 1.0);
        (label.centre + along * t).distance(centre)
    };
    let clear = |old: &PlacedLabel| {
        !bounds.near(old.bounds(), GAP_MM)
            && near_leader(old, new.centre) > new.half_width_mm + 0.3
            && near_leader(new, old.centre) > old.half_width_mm + 0.3
    };
    taken.iter().all(|detail| !bounds.near(*detail, GAP_MM)) && placed.iter().all(clear)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn labels(places: &[[f64; 2]]) -> Vec<DrawnLabel> {
        let label = |(index, [x, y]): (usize, &[f64; 2])| DrawnLabel {
            letter: format!("K{index}"),
            at: Point::new(*x, *y),
            meaning: String::new(),
            is_detail: false,
        };
        places.iter().enumerate().map(label).collect()
    }

    #[test]
    fn crowded_letters_do_not_overlap() {
        let frame = SvgFrame { upper_left: Point::new(-50.0, 50.0), scale: 1.0 };
        let ring: Vec<[f64; 2]> = (0..20).map(|k| [4.0 * f64::from(k).cos(), 3.0 * f64::from(k).sin()]).collect();
        let detail = Bounds::containing(Point::new(40.0, 40.0), Point::new(60.0, 60.0));
        for places in [vec![[0.0, 0.0]; 12], ring] {
            let placed = place_labels(&labels(&places), frame, &[detail]);
            assert_eq!(placed.len(), places.len());
            for (index, label) in placed.iter().enumerate() {
                assert!(!label.bounds().near(detail, 0.0), "{index} covers the detail");
                assert!(placed[..index].iter().all(|other| !label.bounds().near(other.bounds(), 0.0)), "{index}");
            }
        }
    }

    #[test]
    fn a_single_letter_stands_beside_its_place() {
        let frame = SvgFrame { upper_left: Point::ORIGIN, scale: 1.0 };
        let placed = place_labels(&labels(&[[10.0, -10.0]]), frame, &[]);
        assert!((placed[0].centre.distance(placed[0].target) - NEAREST_MM).abs() < 1e-9);
        assert!(placed[0].centre.x > 10.0 && placed[0].centre.y < 10.0, "upper right: {:?}", placed[0].centre);
    }

    /// Every leader to a target that rings surround crosses one of them; its letter still gets a place.
    #[test]
    fn a_surrounded_target_gets_its_letter() {
        let label = |x: f64, y: f64| DrawnLabel {
            letter: "V".to_owned(),
            at: Point::new(x, y),
            meaning: "vent".to_owned(),
            is_detail: false,
        };
        let around = (0..24).map(|k| Point::unit(TAU * f64::from(k) / 24.0) * (3.0 + f64::from(k % 3)));
        let mut labels: Vec<DrawnLabel> = around.map(|p| label(p.x, p.y)).collect();
        labels.push(label(0.0, 0.0));
        let frame = SvgFrame { upper_left: Point::new(-100.0, 100.0), scale: 1.0 };
        let placed = place_labels(&labels, frame, &[]);
        assert_eq!(placed.len(), labels.len());
        for (i, one) in placed.iter().enumerate() {
            assert!(placed[..i].iter().all(|other| !one.bounds().near(other.bounds(), 0.0)));
        }
    }
}
