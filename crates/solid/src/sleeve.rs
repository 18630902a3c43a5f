//! Sleeve: a split ring between two collars. A cone of 45° leads to each collar, so that it prints without support.
//!
//! Only the outside has steps, and only the rims and the bore with its rounded edges are chamfered. The slit's faces are
//! radial and do not move, so every face is a plane, a cylinder or a cone.

use gripwright_section::{Role, SplitRing};

use crate::{
    brep::Brep,
    layer_stack::{LevelAmounts, stack_by_amounts},
    pocket::{Pocket, check_pockets},
    prism::{add_caps, section_levels},
    prism_error::PrismError,
    side_walls::add_walls,
    solid::Solid,
};

/// Specification of a sleeve. It is symmetric about z = 0.
#[derive(Clone, Debug, PartialEq)]
pub struct SleeveSpec {
    /// Section between the collars.
    pub ring: SplitRing,
    /// Length between the collars' cones, mm: the room for the clip.
    pub between_mm: f64,
    /// Radial height of the collars, mm; their cones have the same length.
    pub collar_mm: f64,
    /// Length of the collars' rims including the chamfer, mm.
    pub rim_mm: f64,
    /// Leg of the chamfers on the rims and on both ends of the bore, mm; zero for sharp edges.
    pub chamfer_mm: f64,
    /// Engravings in the ends, in the drawing of the ring. They are less deep than the rims are long.
    pub pockets: Vec<Pocket>,
}

impl SleeveSpec {
    /// Overall length, mm.
    pub fn length_mm(&self) -> f64 {
        self.between_mm + 2.0 * (self.collar_mm + self.rim_mm)
    }
}

/// Makes a sleeve.
pub fn sleeve(name: &str, spec: &SleeveSpec) -> Result<Solid, PrismError> {
    check(spec)?;
    // The outline is that of the collars, so that the body is an inset of it.
    let rim = SplitRing { wall_mm: spec.ring.wall_mm + spec.collar_mm, ..spec.ring };
    let outline = rim.outline().map_err(|_| PrismError::Clockwise { area_mm2: 0.0 })?;
    let (half, c) = (0.5 * spec.length_mm(), spec.chamfer_mm);
    let body = 0.5 * spec.between_mm;
    let amounts = |outside: f64, bore: f64| -> Vec<f64> {
        let segments = outline.segments().iter().enumerate();
        segments
            .map(|(index, s)| match s.role {
                // The first segment is the outside; the slit's faces have the same role and do not move.
                Role::ArmBack if index == 0 => outside,
                Role::ArmBack => 0.0,
                _ => bore,
            })
            .collect()
    };
    let mut upper = Vec::new();
    let mut push = |height: f64, amounts: Vec<f64>| upper.push(LevelAmounts { height, amounts });
    if c > 0.0 {
        push(half, amounts(c, c));
    }
    push(half - c, amounts(0.0, 0.0));
    push(body + spec.collar_mm, amounts(0.0, 0.0));
    push(body, amounts(spec.collar_mm, 0.0));
    let lower = upper.iter().map(|level| LevelAmounts { height: -level.height, amounts: level.amounts.clone() });
    let table: Vec<LevelAmounts> = lower.chain(upper.iter().rev().cloned()).collect();
    let stack = stack_by_amounts(&outline, &table)?;
    let levels = section_levels(&stack, [c > 0.0; 2])?;
    let mut brep = Brep::default();
    let walls = add_walls(&mut brep, &stack, &[])?;
    check_pockets(&spec.pockets, 0.5 * spec.rim_mm, [&levels[0].outline; 2])?;
    add_caps(&mut brep, &spec.pockets, &walls, half)?;
    Ok(Solid::from_faces(name, brep, levels)?)
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
