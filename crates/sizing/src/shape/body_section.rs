//! Cross-section of the body as the mount meets it.

use gripwright_input::{Body, BodyProfile, MouthDirection};
use gripwright_mechanics::RigidSection;
use gripwright_section::{Curve, Outline, Point, inset};

use crate::{
    shape::body_outline::{body_outline, turn_rad},
    shape::even_taper::Taper,
    shape::uneven_taper::UnevenTaper,
};

/// The body as a mount sees it: its section turned so that the mouth side is +y.
#[derive(Clone, Debug)]
pub(crate) struct BodySection {
    pub(crate) outline: Outline,
    /// True if the two arms are mirror images.
    pub(crate) symmetric: bool,
    /// Its radius when it is round: such a body rests as a barrel does.
    pub(crate) round_radius_mm: Option<f64>,
    /// Its mean half extent, mm: the radius for rules that need one.
    pub(crate) mean_radius_mm: f64,
    /// Its taper along the mount.
    pub(crate) taper: Taper,
    /// Its sections elsewhere, when it tapers unevenly.
    pub(crate) uneven: Option<UnevenTaper>,
    /// The body at both ends of its mount, when it tapers unevenly; at the thin end, when evenly.
    pub(crate) ends: Vec<Self>,
    /// Section that each arm of its mount meets, the right one first; one for both where they are mirror images. Empty
    /// when its outline is no body.
    pub(crate) sides: Vec<RigidSection>,
}

/// A body larger on each side than drawn, as the arms of its mount meet it.
#[derive(Clone, Debug)]
pub(crate) struct OffsetBody {
    pub(crate) over_mm: f64,
    pub(crate) sides: Vec<RigidSection>,
}

fn sides(outline: &Outline, symmetric: bool) -> Option<Vec<RigidSection>> {
    let right = RigidSection::from_outline(outline).ok()?;
    Some(if symmetric { vec![right] } else { vec![right, RigidSection::from_outline(&outline.mirrored()).ok()?] })
}

/// True if an outline is its own mirror image in the y axis, to a nanometre. Arms that differ by less than the error of
/// measurement still differ, and are then bent one by one.
pub(crate) fn is_its_mirror_image(outline: &Outline) -> bool {
    let there = |p: Point| outline.nearest(Point::new(-p.x, p.y)).distance_mm.abs() < 1e-6;
    outline.segments().iter().all(|s| [0.0, 0.25, 0.5, 0.75].iter().all(|t| there(s.curve.at(*t))))
}

/// An outline as a rigid body; a circle rests as a barrel does.
pub(crate) fn rigid_section(outline: &Outline) -> Option<RigidSection> {
    match radius_when_round(outline) {
        Some(radius) => Some(RigidSection::round(radius)),
        None => RigidSection::from_outline(outline).ok(),
    }
}

/// Radius of an outline that is one circle about the axis.
fn radius_when_round(outline: &Outline) -> Option<f64> {
    let radii = outline.segments().iter().map(|s| match s.curve {
        Curve::Arc { centre, radius, .. } if centre.length() < 1e-9 => Some(radius),
        _ => None,
    });
    let radii: Vec<f64> = radii.collect::<Option<_>>()?;
    radii.iter().all(|r| (r - radii[0]).abs() < 1e-9).then(|| radii[0])
}

impl BodySection {
    /// Section of a spec's body, without its taper. Fails with the reason in words.
    pub(crate) fn from_body(body: &Body) -> Result<Self, String> {
        let (outline, width, height) = body_outline(&body.profile)?;
        let sideways = matches!(body.opens, MouthDirection::Left | MouthDirection::Right);
        let outline = outline.moved(turn_rad(body.opens), Point::ORIGIN);
        let symmetric = match body.profile {
            BodyProfile::FlattedCircle { .. } => !sideways,
            BodyProfile::Surveyed(_) => is_its_mirror_image(&outline),
            _ => true,
        };
        Ok(Self {
            symmetric,
            sides: sides(&outline, symmetric).unwrap_or_default(),
            round_radius_mm: match body.profile {
                BodyProfile::Circle { diameter_mm } => Some(0.5 * diameter_mm),
                BodyProfile::Surveyed(_) => radius_when_round(&outline),
                _ => None,
            },
            outline,
            mean_radius_mm: 0.25 * (width + height),
            taper: Taper::NONE,
            uneven: None,
            ends: Vec::new(),
        })
    }

    /// The same body with its taper, and its sections at the ends of a mount of this length, mm.
    pub(crate) fn tapering(self, taper: Taper, uneven: Option<UnevenTaper>, length_mm: f64) -> Self {
        let sections = uneven.as_ref().and_then(|uneven| uneven.ends(length_mm).ok());
        let end = |outline: Outline| {
            let size = outline.bounds().size();
            let symmetric = is_its_mirror_image(&outline);
            Self {
                symmetric,
                sides: sides(&outline, symmetric).unwrap_or_default(),
                round_radius_mm: radius_when_round(&outline),
                mean_radius_mm: 0.25 * (size.x + size.y),
                taper: Taper { slope: 0.0, ..taper },
                uneven: None,
                ends: Vec::new(),
                outline,
            }
        };
        let moved = (taper.slope.abs() > 0.0).then(|| vec![taper.end_mm(length_mm); self.outline.segments().len()]);
        let thin = moved.and_then(|amounts| inset(&self.outline, &amounts).ok()?.to_outline(&self.outline).ok());
        let ends = sections.into_iter().flatten().chain(thin).map(end).collect();
        Self { taper, uneven, ends, ..self }
    }

    /// The sections at which a mount is evaluated: both ends of a body that tapers unevenly.
    pub(crate) fn evaluated_sections(&self) -> &[Self] {
        if self.uneven.is_some() { &self.ends } else { std::slice::from_ref(self) }
    }

    /// The body at the thin end of its mount, where it tapers evenly: there the wall is thickest and the body most
    /// curved.
    pub(crate) fn thin_end(&self) -> Option<&Self> {
        if self.uneven.is_some() { None } else { self.ends.first() }
    }
}

impl BodySection {
    /// The body for the contact solver. `None` when its outline is none.
    pub(crate) fn rigid(&self) -> Option<RigidSection> {
        match self.round_radius_mm {
            Some(radius) => Some(RigidSection::round(radius)),
            None => self.sides.first().cloned(),
        }
    }

    /// The body larger by `over_mm` on each side than drawn.
    pub(crate) fn grown(&self, over_mm: f64) -> OffsetBody {
        OffsetBody { over_mm, sides: self.sides.iter().map(|side| side.clone().grown(over_mm)).collect() }
    }
}
