//! Coupon set: fit-test slices, cut from the outline functions of the product.
//!
//! Only the back of a slice differs from the product: a tab with a label instead of a pad. The step of a coupon is its
//! drawn seat minus the seat sized without any trial. This holds in every round of trials, so that coupons of all
//! rounds can be compared. Coupons are therefore cut from the clips as they are without the calibration, whatever the
//! holder becomes.

use gripwright_input::coupon_identity;
use gripwright_mechanics::Interval;
use gripwright_section::{Bounds, ClipBack, ClipError, Mount, Outline, Point};

use crate::{
    coupons::body_gauge::body_gauge,
    coupons::coupon_brief::CouponBrief,
    coupons::coupon_error::CouponError,
    coupons::coupon_label::{LETTER_HEIGHT_MM, label_margin_mm, label_room_mm},
    coupons::plates::{PlateError, arrange},
    coupons::stiffness_match::stiffness_matches,
    design::coupon::{Coupon, CouponKind, CouponSet, CouponShape, CouponStep, LabelPlace, MOUNT_LETTER, Plate},
    design::sizes::{MountDesign, Size},
    limits::design_limits::drafted_length_mm,
    parts::draft_check::FinishedEnds,
    parts::pad_fillets::largest_fillet,
    shape::clip_shape::{FILLET_MM, PAD_DEPTH_MM},
};

/// Coupons that the spec asks for: its steps about a middle for each letter.
pub(crate) fn step_ladder(brief: &CouponBrief<'_>, sizes: &[Size], middle_mm: impl Fn(char) -> f64) -> Vec<CouponStep> {
    let (clips, mount) = (&brief.coupons.clip_steps_mm, &brief.coupons.mount_steps_mm);
    let letters = sizes.iter().map(|size| (size.letter, clips)).chain([(MOUNT_LETTER, mount)]);
    letters
        .flat_map(|(letter, steps)| steps.iter().map(move |step| (letter, *step)).collect::<Vec<_>>())
        .map(|(letter, step)| CouponStep { letter, step_mm: step + middle_mm(letter) })
        .collect()
}

/// Coupons of some letters and steps, arranged on the printer's bed. Unknown letters are ignored.
///
/// Where a match in stiffness is wished but not demanded, slices that cannot have it have the shape of the part.
pub(crate) fn coupon_set(
    brief: &CouponBrief<'_>,
    sizes: &[Size],
    mount: &MountDesign,
    wanted: &[CouponStep],
) -> Result<CouponSet, CouponError> {
    let set = cut_coupons(brief, sizes, mount, wanted);
    match set {
        Err(error @ CouponError::MatchedWall { .. }) if !brief.must_match => {
            let shapes = CouponBrief { matched: false, ..brief.clone() };
            Ok(CouponSet { unmatched: vec![error.to_string()], ..cut_coupons(&shapes, sizes, mount, wanted)? })
        }
        set => set,
    }
}

/// Leaves coupons out of a set and arranges the others anew.
pub(crate) fn without_coupons(
    set: CouponSet,
    left_out: &[CouponStep],
    bed_mm: [f64; 2],
) -> Result<CouponSet, CouponError> {
    let is_left_out = |coupon: &Coupon| left_out.contains(&CouponStep::of(coupon));
    let coupons: Vec<Coupon> = set.coupons.into_iter().filter(|coupon| !is_left_out(coupon)).collect();
    let plates = arranged(&coupons, bed_mm)?;
    let mut matches = set.matches;
    matches.retain(|found| coupons.iter().any(|coupon| coupon.letter == found.letter));
    Ok(CouponSet { coupons, plates, matches, unmatched: set.unmatched, gauge: set.gauge })
}

fn arranged(coupons: &[Coupon], bed_mm: [f64; 2]) -> Result<Vec<Plate>, PlateError> {
    let boxes: Vec<Bounds> = coupons.iter().map(|c| c.outline.bounds()).collect();
    let rows: Vec<usize> = coupons.iter().map(|c| usize::try_from(u32::from(c.letter)).unwrap_or(0)).collect();
    arrange(&boxes, &rows, bed_mm)
}

fn cut_coupons(
    brief: &CouponBrief<'_>,
    sizes: &[Size],
    mount: &MountDesign,
    wanted: &[CouponStep],
) -> Result<CouponSet, CouponError> {
    let (matches, unmatched) = stiffness_matches(brief, sizes, mount, wanted);
    if brief.must_match && !unmatched.is_empty() {
        return Err(CouponError::Unmatched(unmatched));
    }
    let walls = |letter: char| matches.iter().find(|m| m.letter == letter).map(|m| m.slice_walls_mm);
    let mut coupons = Vec::new();
    for CouponStep { letter, step_mm } in wanted {
        if let Some(size) = sizes.iter().find(|size| size.letter == *letter) {
            coupons.push(clip_coupon(brief, size, walls(*letter), *step_mm)?);
        } else if *letter == MOUNT_LETTER {
            coupons.push(mount_coupon(brief, mount, walls(*letter), *step_mm)?);
        }
    }
    let plates = arranged(&coupons, brief.printer.bed_mm)?;
    let gauge = body_gauge(brief, &mount.mount).map_err(CouponError::Gauge)?;
    let unmatched = unmatched.iter().map(ToString::to_string).collect();
    Ok(CouponSet { coupons, plates, matches, unmatched, gauge: Some(gauge) })
}

fn clip_coupon(
    brief: &CouponBrief<'_>,
    size: &Size,
    walls: Option<[f64; 2]>,
    step_mm: f64,
) -> Result<Coupon, CouponError> {
    let identity = coupon_identity(size.letter, step_mm);
    let tab = Tab::new(brief, &identity, size.clip.back().neck_half_width_mm());
    let sized = walls.map_or(size.clip, |walls| size.clip.with_walls(walls));
    let drawn = |fillet_mm: f64| sized.with_seat_and_back(0.5 * step_mm, tab.back(fillet_mm));
    let clip =
        largest_fillet(sized.root_wall_mm(), |fillet_mm| Some(drawn(fillet_mm)).filter(|c| c.flat_y_mm().is_ok()))
            .unwrap_or_else(|| drawn(FILLET_MM));
    let ends = FinishedEnds::straight(brief.coupons.length_mm, brief.finish);
    let clip = ends.without_narrow_shoulders(clip);
    let fault = |cause| CouponError::Outline { kind: CouponKind::Clip, identity: identity.clone(), cause };
    let outline = clip.outline().map_err(fault)?;
    let label = tab.label(clip.flat_y_mm().map_err(fault)?);
    let outlines = finished(ends, walls, (CouponKind::Clip, &identity), outline)?;
    let seat_chamfer_mm = ends.seat_chamfer_mm(&outlines, clip.root_wall_mm().min(clip.lip_wall_mm()));
    let [outline] = outlines;
    Ok(Coupon {
        seat_chamfer_mm,
        kind: CouponKind::Clip,
        letter: size.letter,
        step_mm,
        seat_mm: 2.0 * size.seat_radius_mm + step_mm,
        round_seat: size.clip.vee().is_none(),
        tools: size.tools.iter().filter_map(|t| brief.tools.get(*t)).map(|t| t.name.clone()).collect(),
        range_mm: Some(Interval { least: size.least_mm, greatest: size.greatest_mm }),
        ..tab_coupon(brief, identity, CouponShape::Clip(drawn(FILLET_MM)), outline, label)
    })
}

fn mount_coupon(
    brief: &CouponBrief<'_>,
    design: &MountDesign,
    walls: Option<[f64; 2]>,
    step_mm: f64,
) -> Result<Coupon, CouponError> {
    let identity = coupon_identity(MOUNT_LETTER, step_mm);
    let tab = Tab::new(brief, &identity, design.mount.back.neck_half_width_mm());
    let gap_mm = design.mount.gap_mm + 0.5 * step_mm;
    let wall_mm = walls.map_or(design.mount.wall_mm, |[wall_mm, _]| wall_mm);
    let drawn = |fillet_mm: f64| Mount { gap_mm, wall_mm, back: tab.back(fillet_mm), ..design.mount.clone() };
    let mount = largest_fillet(wall_mm, |fillet_mm| Some(drawn(fillet_mm)).filter(|m| m.outline().is_ok()))
        .unwrap_or_else(|| drawn(FILLET_MM));
    let fault = |cause| CouponError::Outline { kind: CouponKind::Mount, identity: identity.clone(), cause };
    let lost = |_| CouponError::Outline {
        kind: CouponKind::Mount,
        identity: identity.clone(),
        cause: ClipError::CornerLost { gap_mm },
    };
    let mount = design.taper.at_thick_end(&mount, brief.coupons.length_mm).map_err(lost)?;
    let outline = mount.outline().map_err(fault)?;
    let label = tab.label(mount.flat_y_mm().map_err(fault)?);
    let ends = FinishedEnds {
        grip_out_mm: 2.0 * design.taper.end_mm(brief.coupons.length_mm),
        ..FinishedEnds::straight(brief.coupons.length_mm, brief.finish)
    };
    let outlines = finished(ends, walls, (CouponKind::Mount, &identity), outline)?;
    let seat_chamfer_mm = ends.seat_chamfer_mm(&outlines, mount.wall_mm);
    let [outline] = outlines;
    Ok(Coupon {
        seat_chamfer_mm,
        kind: CouponKind::Mount,
        lean: design.taper.slope,
        letter: MOUNT_LETTER,
        step_mm,
        seat_mm: 2.0 * gap_mm,
        ..tab_coupon(brief, identity, CouponShape::Mount(mount), outline, label)
    })
}

/// The outline with flats beside straight lips, if it bears draft and chamfer. The part does, but a coupon has another back,
/// a step, and perhaps walls matched to a cast part.
fn finished(
    ends: FinishedEnds<'_>,
    walls: Option<[f64; 2]>,
    (kind, identity): (CouponKind, &str),
    outline: Outline,
) -> Result<[Outline; 1], CouponError> {
    match ends.checked(&[outline]) {
        Ok(checked) if checked[0].self_contact().is_none() => Ok(checked),
        _ => Err(match walls {
            Some([wall_mm, _]) => CouponError::MatchedWall { identity: identity.to_owned(), wall_mm },
            None => CouponError::Unsound { kind, identity: identity.to_owned() },
        }),
    }
}

/// The tab that carries a label across.
#[expect(clippy::struct_field_names, reason = "the unit belongs to the name")]
struct Tab {
    neck_half_width_mm: f64,
    half_width_mm: f64,
    length_mm: f64,
    room_mm: f64,
}

impl Tab {
    fn new(brief: &CouponBrief<'_>, text: &str, neck_half_width_mm: f64) -> Self {
        let finish = brief.finish;
        let drafted_mm = drafted_length_mm(brief.coupons.length_mm, finish.parting);
        let lost = drafted_mm * finish.draft_rad.tan() + finish.chamfer_mm;
        // At the cap draft and chamfer have taken their part.
        let margin_mm = label_margin_mm(brief.printer) + lost;
        let room_mm = label_room_mm(text);
        // Whole tenths, so that the tab can be measured.
        let half_width = (10.0 * (0.5 * room_mm + margin_mm)).ceil() / 10.0;
        let length = (10.0 * (LETTER_HEIGHT_MM + 2.0 * margin_mm)).ceil() / 10.0;
        Self { neck_half_width_mm, half_width_mm: half_width.max(neck_half_width_mm), length_mm: length, room_mm }
    }

    fn back(&self, fillet_mm: f64) -> ClipBack {
        ClipBack::Tab {
            neck_half_width_mm: self.neck_half_width_mm,
            depth_mm: PAD_DEPTH_MM,
            fillet_mm,
            half_width_mm: self.half_width_mm,
            length_mm: self.length_mm,
        }
    }

    fn label(&self, top_y: f64) -> LabelPlace {
        let base = top_y - 0.5 * self.length_mm - 0.5 * LETTER_HEIGHT_MM;
        LabelPlace {
            origin: Point::new(-0.5 * self.room_mm, base),
            angle_rad: 0.0,
            height_mm: LETTER_HEIGHT_MM,
            room_mm: self.room_mm,
        }
    }
}

/// Coupon with what is common to clips and the mount.
fn tab_coupon(
    brief: &CouponBrief<'_>,
    identity: String,
    shape: CouponShape,
    outline: Outline,
    label: LabelPlace,
) -> Coupon {
    Coupon {
        identity,
        kind: CouponKind::Mount,
        letter: MOUNT_LETTER,
        step_mm: 0.0,
        seat_mm: 0.0,
        round_seat: false,
        tools: Vec::new(),
        range_mm: None,
        shape,
        outline,
        length_mm: brief.coupons.length_mm,
        draft_rad: brief.finish.draft_rad,
        parting: brief.finish.parting,
        chamfer_mm: brief.finish.chamfer_mm,
        gripping: brief.finish.gripping_faces,
        seat_chamfer_mm: 0.0,
        lean: 0.0,
        label,
    }
}
