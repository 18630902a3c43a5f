//! Advice on printing the coupons, with numbers worked out for their set.

use std::fmt::Write;

use gripwright_input::{GrippingFaces, Material, PrintDirection, Spec};
use gripwright_report::escaped;
use gripwright_sizing::{Coupon, CouponShape, Design};

/// Width of a printed line, mm: a common 0.4 mm nozzle. Common practice, no source.
const LINE_MM: f64 = 0.4;
/// Height of a layer, mm: half of that nozzle. Common practice, no source.
const LAYER_MM: f64 = 0.2;
/// Least chamfer that keeps the squeezed-out first layer off the seat, mm. Common practice, no source.
const LEAST_CHAMFER_MM: f64 = 0.3;

/// Amount of plastic: volume of the solids, mm³, and mass, g.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Plastic {
    pub(crate) volume_mm3: f64,
    pub(crate) mass_g: f64,
}

impl Plastic {
    /// Returns the amount in solid parts of a volume, mm³.
    pub(crate) fn of(volume_mm3: f64, material: &Material) -> Self {
        Self { volume_mm3, mass_g: 1e-3 * volume_mm3 * material.density_g_cm3 }
    }

    /// Returns both as text.
    pub(super) fn text(&self) -> String {
        format!("{:.1} cm³, {:.0} g", 1e-3 * self.volume_mm3, self.mass_g)
    }
}

/// Returns the number of loops that fill a wall from both of its faces.
fn loops(wall_mm: f64) -> u32 {
    // A loop is a line on each side. Walls are at most a few centimetres.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small count, never negative")]
    let loops = (wall_mm / (2.0 * LINE_MM) - 1e-9).ceil().max(1.0) as u32;
    loops
}

fn thickest_wall_mm(design: &Design) -> f64 {
    let wall = |coupon: &Coupon| match &coupon.shape {
        CouponShape::Clip(form) => form.root_wall_mm().max(form.lip_wall_mm()),
        CouponShape::Mount(mount) => mount.wall_mm,
    };
    design.coupons.coupons.iter().map(wall).fold(0.0, f64::max)
}

/// Returns the rows of the advice: a word, and a sentence or two of HTML.
pub(super) fn rows(spec: &Spec, design: &Design, plastic: Plastic) -> Vec<(&'static str, String)> {
    let print = spec.coupon_material();
    let wall = thickest_wall_mm(design);
    let loops = loops(wall);
    vec![
        ("Attitude", attitude(spec)),
        ("Material", material(spec)),
        ("Layers", format!("{LAYER_MM} mm high with a 0.4 mm nozzle (common practice, no source).")),
        (
            "Walls",
            format!(
                "{loops} wall lines of {LINE_MM} mm make the thickest arm, {wall:.2} mm, solid from both sides; fill \
                 100 %. With another line width: wall over twice the width, rounded up. All forces are those of solid arms."
            ),
        ),
        (
            "Plastic",
            format!(
                "{} in all, by the volume of the solids at {} g/cm³ ({}); skirts, brims and purging come on top.",
                plastic.text(),
                print.density_g_cm3,
                escaped(density_source(print))
            ),
        ),
        ("First layer", first_layer(seat_chamfer_mm(&design.coupons.coupons))),
    ]
}

fn material(spec: &Spec) -> String {
    let print = escaped(&spec.coupon_material().title);
    let part = if spec.material.cast.is_some() { "master" } else { "part" };
    let compensation = "No scaling; no other compensation of holes and outlines than";
    if spec.coupons.print.as_ref().is_some_and(|own| own.key != spec.material.print.key) {
        return format!(
            "{print}. {compensation} the master gets. Seats come out otherwise in another plastic: what the coupons say of the \
             bore holds for a master that is printed in {print}, too, not for one in {}.",
            escaped(&spec.material.print.title)
        );
    }
    format!(
        "{print}. The same spool, nozzle, temperatures and speeds as for the {part}: the coupons show what this printer does \
         with them. {compensation} the {part} gets."
    )
}

fn attitude(spec: &Spec) -> String {
    let mut text =
        "As the plates lie: every coupon on its side, flat on the bed, letters up. The layers then run along \
                    the arms, which bend within them. No supports."
            .to_owned();
    if spec.material.cast.is_none() && spec.printer.direction == PrintDirection::Standing {
        let _ = write!(
            text,
            " <strong>The part is to be printed standing (<code>printer.direction</code>): its arms bend across the \
             layers and bear {:.0} % of the strain, and its bores come out otherwise. These coupons do not show that.</strong>",
            100.0 * spec.material.print.across_layers
        );
    }
    text
}

/// Least chamfer of the coupons' seats at the end on the bed, mm.
fn seat_chamfer_mm(coupons: &[Coupon]) -> f64 {
    let depth = |coupon: &Coupon| match coupon.gripping {
        GrippingFaces::Straight => coupon.seat_chamfer_mm,
        GrippingFaces::Drafted => coupon.chamfer_mm,
    };
    coupons.iter().map(depth).reduce(f64::min).unwrap_or(0.0)
}

fn first_layer(chamfer_mm: f64) -> String {
    let so = if chamfer_mm >= LEAST_CHAMFER_MM {
        format!(
            "The seats have a chamfer of {chamfer_mm} mm at the bed, which keeps the edge that is squeezed out there off them"
        )
    } else if chamfer_mm > 0.0 {
        format!(
            "The edge that is squeezed out on the bed makes seats tight, and thin walls leave room for a chamfer of only \
             {chamfer_mm} mm: take the edge off with a deburring blade"
        )
    } else {
        "The edge that is squeezed out on the bed makes the seat tight: take it off with a deburring blade".to_owned()
    };
    format!("{so} (common practice, no source). Let the coupons cool on the bed; do not sand the seats.")
}

/// Returns the source of the density that the material library states.
fn density_source(material: &Material) -> &str {
    let source = material.sources.iter().find_map(|source| source.strip_prefix("density: "));
    source.unwrap_or("no source")
}

#[cfg(test)]
mod tests {
    use gripwright_input::MaterialLibrary;

    use super::*;

    #[test]
    fn loops_fill_a_wall_from_both_sides() {
        for (wall, expected) in [(0.8, 1), (0.81, 2), (1.6, 2), (2.65, 4), (3.2, 4), (0.5, 1)] {
            assert_eq!(loops(wall), expected, "{wall} mm");
        }
    }

    #[test]
    fn the_first_layer_is_said_as_the_seats_are() {
        assert!(first_layer(0.4).starts_with("The seats have a chamfer of 0.4 mm at the bed"));
        assert!(first_layer(0.15).contains("only 0.15 mm: take the edge off"));
        assert!(first_layer(0.0).contains("take it off with a deburring blade"));
    }

    #[test]
    fn a_cube_of_ten_millimetres_weighs_its_density() {
        let pla = MaterialLibrary::built_in().get("pla").cloned().unwrap();
        let plastic = Plastic::of(1000.0, &pla);
        assert!((plastic.mass_g - 1.25).abs() < 1e-12);
        assert_eq!(plastic.text(), "1.0 cm³, 1 g");
        assert!(density_source(&pla).contains("2733"));
    }
}
