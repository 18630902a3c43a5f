//! The sleeve: a split ring between two collars, the step between them a cone of 45° that prints without support.
//!
//! Only the outside steps and only bore and its edge rounds are chamfered; the slit's faces are radial and stay where
//! they are, so that every face is a plane, a cylinder or a cone.

use gripwright_section::{Role, SplitRing};

use crate::{
    brep::Brep,
    layer_stack::stack_levels,
    pocket::{Pocket, check_pockets},
    prism::{PrismError, add_caps, levels},
    side_walls::add_walls,
    solid::Solid,
};

/// A sleeve to be made: its middle is z = 0, it reaches as far above as below.
#[derive(Clone, Debug, PartialEq)]
pub struct SleeveSpec {
    /// Its section between the collars.
    pub ring: SplitRing,
    /// Length between the collars' cones, mm: the room of the clip.
    pub between_mm: f64,
    /// How far the collars stand out, mm; their cones are as long.
    pub collar_mm: f64,
    /// Length of the collars' rims, chamfer included, mm.
    pub rim_mm: f64,
    /// Leg of the chamfers of the rims and of both ends of the bore, mm; zero for sharp edges.
    pub chamfer_mm: f64,
    /// What is engraved in the ends, in the drawing of the ring; less deep than the rims are long.
    pub pockets: Vec<Pocket>,
}

impl SleeveSpec {
    /// Length over all, mm.
    pub fn length_mm(&self) -> f64 {
        self.between_mm + 2.0 * (self.collar_mm + self.rim_mm)
    }
}

/// Makes a sleeve.
pub fn sleeve(name: &str, spec: &SleeveSpec) -> Result<Solid, PrismError> {
    check(spec)?;
    // Drawn with the collar's outside, so that the body is an inset of it.
    let rim = SplitRing { wall_mm: spec.ring.wall_mm + spec.collar_mm, ..spec.ring };
    let outline = rim.outline().map_err(|_| PrismError::Clockwise { area_mm2: 0.0 })?;
    let (half, c) = (0.5 * spec.length_mm(), spec.chamfer_mm);
    let body = 0.5 * spec.between_mm;
    let amounts = |outside: f64, bore: f64| -> Vec<f64> {
        let segments = outline.segments().iter().enumerate();
        segments
            .map(|(index, s)| match s.role {
                // The first segment is the outside; the slit's faces carry the same role and stay.
                Role::ArmBack if index == 0 => outside,
                Role::ArmBack => 0.0,
                _ => bore,
            })
            .collect()
    };
    let mut below = Vec::new();
    if c > 0.0 {
        below.push((half, amounts(c, c)));
    }
    below.push((half - c, amounts(0.0, 0.0)));
    below.push((body + spec.collar_mm, amounts(0.0, 0.0)));
    below.push((body, amounts(spec.collar_mm, 0.0)));
    let above = below.iter().rev().cloned();
    let table: Vec<(f64, Vec<f64>)> = below.iter().map(|(z, a)| (-z, a.clone())).chain(above).collect();
    let stack =
        stack_levels(&outline, &table).map_err(|(height_mm, source)| PrismError::Inset { height_mm, source })?;
    let levels = levels(&stack, [c > 0.0; 2])?;
    let mut brep = Brep::default();
    let walls = add_walls(&mut brep, &stack, &[])?;
    check_pockets(&spec.pockets, 0.5 * spec.rim_mm, &levels[0].outline)?;
    add_caps(&mut brep, &spec.pockets, &walls, half)?;
    Ok(Solid::from_pieces(name, brep, levels)?)
}

fn check(spec: &SleeveSpec) -> Result<(), PrismError> {
    let half_height_mm = 0.5 * spec.length_mm();
    let lengths = [spec.between_mm, spec.collar_mm, spec.rim_mm];
    if lengths.iter().any(|mm| !(mm.is_finite() && *mm > 0.0)) {
        return Err(PrismError::Height { half_height_mm });
    }
    if (0.0..spec.rim_mm).contains(&spec.chamfer_mm) {
        Ok(())
    } else {
        Err(PrismError::Chamfer { chamfer_mm: spec.chamfer_mm, half_height_mm: spec.rim_mm })
    }
}
