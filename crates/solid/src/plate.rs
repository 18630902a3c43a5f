//! Plate: an outline of some thickness with reliefs on both sides, bosses and recesses, and holes straight through.
//!
//! A relief may carry further reliefs on its end, so that stepped parts need no boolean operation.

use gripwright_section::{Outline, inset};

use crate::{
    brep::{Brep, EdgeUse},
    brep_builder::level_plane,
    plate_error::{PlateError, ReliefPath},
    pocket::Cap,
    side_walls::{SideWalls, add_walls, stack_between},
    solid::{SectionLevel, Solid},
};

/// Specification of a plate. It lies on z = 0.
#[derive(Clone, Debug, PartialEq)]
pub struct PlateSpec {
    /// Outline at the lower side, counter-clockwise about the material.
    pub outline: Outline,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// Draft of the sides, rad: the upper side is the smaller one.
    pub draft_rad: f64,
    /// Reliefs of the lower side. Here and above, they lie inside the outlines of both sides and touch neither their
    /// edges nor each other.
    pub lower: Vec<Relief>,
    /// Reliefs of the upper side.
    pub upper: Vec<Relief>,
    /// Holes straight through the plate, each counter-clockwise; they touch neither the edge nor a relief.
    pub holes: Vec<Outline>,
}

/// Boss or recess with a flat end.
#[derive(Clone, Debug, PartialEq)]
pub struct Relief {
    /// Outline in the face that carries the relief, counter-clockwise.
    pub outline: Outline,
    /// Height of a boss over that face, mm; negative for the depth of a recess.
    pub rise_mm: f64,
    /// Draft of the sides, rad: the end is smaller than the outline.
    pub draft_rad: f64,
    /// Reliefs of the end.
    pub on_end: Vec<Self>,
}

impl Relief {
    /// Boss with straight sides, or recess if the rise is negative.
    pub const fn straight(outline: Outline, rise_mm: f64) -> Self {
        Self { outline, rise_mm, draft_rad: 0.0, on_end: Vec::new() }
    }
}

impl PlateSpec {
    /// A plate without draft, reliefs and holes.
    pub const fn plain(outline: Outline, thickness_mm: f64) -> Self {
        Self { outline, thickness_mm, draft_rad: 0.0, lower: Vec::new(), upper: Vec::new(), holes: Vec::new() }
    }
}

/// Makes a plate.
pub fn plate(name: &str, spec: &PlateSpec) -> Result<Solid, PlateError> {
    let depth_mm = deepest(&spec.lower) + deepest(&spec.upper);
    if !(spec.thickness_mm.is_finite() && spec.thickness_mm > depth_mm) {
        return Err(PlateError::Thickness { thickness_mm: spec.thickness_mm, depth_mm });
    }
    let area_mm2 = spec.outline.area_mm2();
    if area_mm2.is_nan() || area_mm2 <= 0.0 {
        return Err(PlateError::Clockwise { at: ReliefPath::default() });
    }
    let narrow = narrowed(&spec.outline, spec.thickness_mm, spec.draft_rad, &ReliefPath::default())?;
    let sides = [&spec.outline, &narrow];
    let mut brep = Brep::default();
    let stack = stack_between(sides, [0.0, spec.thickness_mm]);
    let walls = add_walls(&mut brep, &stack, &[])?;
    let mut loops = [vec![walls.rings[0].backward_loop()], vec![walls.rings[1].forward_loop()]];
    for hole in &spec.holes {
        // A reversed hole has the material on its left, like the outline of the plate.
        let around = hole.reversed();
        let walls = add_walls(&mut brep, &stack_between([&around; 2], [0.0, spec.thickness_mm]), &[])?;
        loops[0].push(walls.rings[0].backward_loop());
        loops[1].push(walls.rings[1].forward_loop());
    }
    let [lower, upper] = loops;
    let caps = [
        (CapFace { height: 0.0, faces_up: false }, lower, &spec.lower, Cap::Lower),
        (CapFace { height: spec.thickness_mm, faces_up: true }, upper, &spec.upper, Cap::Upper),
    ];
    for (face, outer, reliefs, cap) in caps {
        let path = ReliefPath::on(cap);
        // Drafted sides narrow upward: a recess in the lower face must have room at its floor, and holes all the way.
        let room = match cap {
            Cap::Lower => narrowed(&spec.outline, deepest(reliefs), spec.draft_rad, &path)?,
            Cap::Upper => narrow.clone(),
        };
        check_places(&room, reliefs, &spec.holes, &path)?;
        check_places(&narrow, &[], &spec.holes, &path)?;
        face.add(&mut brep, outer, reliefs, &path)?;
    }
    let mut levels = vec![SectionLevel::plain(0.0, spec.outline.clone())];
    if spec.draft_rad > 0.0 {
        levels.push(SectionLevel::plain(spec.thickness_mm, narrow));
    }
    Ok(Solid::from_faces(name, brep, levels)?.with_tunnels(spec.holes.len()))
}

/// Greatest depth of reliefs and those on them below their face, mm.
fn deepest(reliefs: &[Relief]) -> f64 {
    reliefs.iter().map(|r| deepest(&r.on_end) - r.rise_mm).fold(0.0, f64::max)
}

/// Outline at the end of drafted sides.
fn narrowed(outline: &Outline, height: f64, draft_rad: f64, at: &ReliefPath) -> Result<Outline, PlateError> {
    if !(0.0..std::f64::consts::FRAC_PI_4).contains(&draft_rad) {
        return Err(PlateError::Draft { at: at.clone(), draft_rad });
    }
    if draft_rad <= 0.0 {
        return Ok(outline.clone());
    }
    let amounts = vec![height.abs() * draft_rad.tan(); outline.segments().len()];
    let moved = inset(outline, &amounts).map_err(|cause| PlateError::Inset { at: at.clone(), cause })?;
    let end = moved.to_outline(outline).map_err(|cause| PlateError::Section { at: at.clone(), cause })?;
    // An inset that lost a segment could not be joined to the outline.
    if end.segments().len() == outline.segments().len() && end.self_contact().is_none() {
        Ok(end)
    } else {
        Err(PlateError::SelfContact { at: at.clone() })
    }
}

/// Checks that reliefs and holes lie inside a face and apart from each other.
fn check_places(face: &Outline, reliefs: &[Relief], holes: &[Outline], path: &ReliefPath) -> Result<(), PlateError> {
    let all: Vec<&Outline> = reliefs.iter().map(|r| &r.outline).chain(holes).collect();
    for (i, outline) in all.iter().enumerate() {
        let at = || path.to(i);
        if outline.area_mm2() <= 0.0 {
            return Err(PlateError::Clockwise { at: at() });
        }
        if outline.self_contact().is_some() {
            return Err(PlateError::SelfContact { at: at() });
        }
        if !(face.encloses(outline.segments()[0].curve.start()) && face.contact_with(outline).is_none()) {
            return Err(PlateError::Outside { at: at() });
        }
        let bounds = outline.bounds();
        let touches = |other: &Outline| {
            bounds.near(other.bounds(), 0.0)
                && (outline.contact_with(other).is_some()
                    || outline.encloses(other.segments()[0].curve.start())
                    || other.encloses(outline.segments()[0].curve.start()))
        };
        if let Some(j) = all[..i].iter().position(|other| touches(other)) {
            return Err(PlateError::Touching { first: path.to(j), second: at() });
        }
    }
    Ok(())
}

/// Flat face that carries reliefs.
#[derive(Clone, Copy)]
struct CapFace {
    height: f64,
    faces_up: bool,
}

impl CapFace {
    /// Adds the face with these outer loops and holes, and its reliefs.
    fn add(
        self,
        brep: &mut Brep,
        mut loops: Vec<Vec<EdgeUse>>,
        reliefs: &[Relief],
        path: &ReliefPath,
    ) -> Result<(), PlateError> {
        for (i, relief) in reliefs.iter().enumerate() {
            loops.push(self.add_relief(brep, relief, &path.to(i))?);
        }
        brep.add_face(level_plane(self.height, self.faces_up), true, loops);
        Ok(())
    }

    /// Adds a relief; the result is its opening in this face.
    fn add_relief(self, brep: &mut Brep, relief: &Relief, path: &ReliefPath) -> Result<Vec<EdgeUse>, PlateError> {
        if relief.rise_mm.abs() <= 0.0 || !relief.rise_mm.is_finite() {
            return Err(PlateError::Rise { at: path.clone(), rise_mm: relief.rise_mm });
        }
        let end_outline = narrowed(&relief.outline, relief.rise_mm, relief.draft_rad, path)?;
        check_places(&end_outline, &relief.on_end, &[], path)?;
        let outward = if self.faces_up { 1.0 } else { -1.0 };
        let end = Self { height: self.height + outward * relief.rise_mm, ..self };
        // Sides run counter-clockwise about a boss. A recess has the material on the outside.
        let directed = |o: &Outline| if relief.rise_mm < 0.0 { o.reversed() } else { o.clone() };
        let (near, far) = (directed(&relief.outline), directed(&end_outline));
        let rises = end.height > self.height;
        let stack = if rises {
            stack_between([&near, &far], [self.height, end.height])
        } else {
            stack_between([&far, &near], [end.height, self.height])
        };
        let SideWalls { rings, .. } = add_walls(brep, &stack, &[])?;
        let (low, high) = (rings[0].backward_loop(), rings[1].forward_loop());
        let (opening, end_loop) = if rises { (low, high) } else { (high, low) };
        end.add(brep, vec![end_loop], &relief.on_end, path)?;
        Ok(opening)
    }
}
