//! Notes of a design for the user, in plain sentences.

use gripwright_input::{FigureBounds, LoadPath, PrintDirection, Spec, Tool, WebStyle};
use gripwright_mechanics::Interval;
use gripwright_section::Outline;

use crate::{
    design::Design,
    design::coupon::CouponSet,
    design::fit_row::{FitFigures, FitRow},
    design::holder_plan::{HolderPlan, Web, WebPlan},
    design::sizes::{MountDesign, Size},
    explain::material_notes::{
        accuracy_note, friction_alone_note, measurement_note, push_by_hand_note, temperature_note,
    },
    explain::tapers::{even_taper_note, uneven_taper_note},
    limits::margin::Limit,
    shape::wall_ratio::WallRatio,
};

/// Notes of a design: accuracy of the figures, what to measure, how to print, hold that lasts, tapers, windows.
pub(crate) fn notes(spec: &Spec, design: &Design) -> Vec<String> {
    let (fit, mount) = (&design.fit, &design.mount);
    let mut notes = vec![accuracy_note(design)];
    notes.extend(thick_wall_notes(&design.sizes, mount));
    notes.extend(measurement_note(spec, design));
    notes.extend(measured_barrels_note(&spec.tools));
    notes.extend(temperature_note(spec));
    notes.push(print_advice(spec));
    notes.extend(print_supports_note(spec, &design.holders));
    notes.extend(several_clips(spec));
    notes.extend(sleeves_note(fit));
    notes.extend(push_by_hand_note(spec, design));
    notes.extend(friction_alone_note(design));
    notes.extend(lasting_hold_note(spec, design));
    notes.extend(unknown_movement_note(spec, &design.holders));
    notes.extend(opened_vee_note(fit));
    notes.extend(odds_note(fit, design.mount_odds.is_some()));
    notes.extend(coupons_of_a_casting(spec, &design.coupons));
    notes.extend(even_taper_note(&mount.taper, mount.length_mm));
    notes.extend(mount.uneven.as_ref().map(|uneven| uneven_taper_note(uneven, mount.length_mm)));
    notes.extend(windows_note(spec, &design.holders));
    notes
}

/// Height over the bed from which on a part hangs, mm: less than a layer is none.
const LEAST_HANGING_MM: f64 = 0.15;

/// A note for each clip, and for the mount, whose wall is thicker over its radius than finite elements prove.
fn thick_wall_notes(sizes: &[Size], mount: &MountDesign) -> Vec<String> {
    let clips = sizes.iter().map(|size| (format!("size {}", size.letter), size.wall_ratio()));
    let parts = clips.chain([("the mount".to_owned(), mount.wall_ratio())]);
    let note = |(part, WallRatio { over, ratio, proved_up_to, .. }): (String, WallRatio)| {
        format!(
            "The wall of {part} is {ratio:.2} times {over}. Finite elements prove the beam model up to {proved_up_to:.2}; \
             beyond, forces, strain and grip may be off by more than 3 %. Trust its coupons instead."
        )
    };
    parts.filter(|(_, ratio)| !ratio.is_proved()).map(note).collect()
}

/// Validity of the coupons of a cast part.
fn coupons_of_a_casting(spec: &Spec, coupons: &CouponSet) -> Option<String> {
    let (print, cast) = (&spec.coupon_material().title, &spec.material.cast.as_ref()?.title);
    let CouponSet { matches, unmatched, .. } = coupons;
    let shaped = match unmatched.as_slice() {
        [] => String::new(),
        reasons => format!(" Coupons have the shape of the part where no wall matches it: {}.", reasons.join("; ")),
    };
    let Some(first) = matches.first() else {
        return Some(format!(
            "Forces are those of the cast part in {cast}; coupons printed in {print} are stiffer or softer by the ratio of \
             the moduli.{shaped}"
        ));
    };
    let scales = matches.iter().map(|m| m.scale);
    let (least, greatest) = (scales.clone().fold(f64::INFINITY, f64::min), scales.fold(0.0, f64::max));
    let [least, greatest] = [least, greatest].map(|scale| format!("{scale:.2}"));
    let walls = if least == greatest { least } else { format!("{least} to {greatest}") };
    let off = matches.iter().map(|m| m.peaks_off).fold(0.0, f64::max);
    let Interval { least: softer, greatest: stiffer } = first.over_ranges;
    Some(format!(
        "The coupons are matched in stiffness: printed in {print}, with walls {walls} times those of the cast \
         part, they push and pull like it within {:.0} % when both moduli lie in the middle of their ranges, and \
         {softer:.1} to {stiffer:.1} times as hard over the ranges. Strain and the friction of {cast} are not matched.{shaped}",
        (100.0 * off).ceil()
    ))
}

/// Greatest number of barrels that a note lists.
const MAX_LISTED_BARRELS: usize = 6;

/// Limits for which measured barrels are designed, beside what was measured.
fn measured_barrels_note(tools: &[Tool]) -> Option<String> {
    let measured: Vec<&Tool> = tools.iter().filter(|tool| tool.barrel.spread_mm > 0.0).collect();
    let words = |tool: &&Tool| {
        let barrel = &tool.barrel;
        let given = barrel.read_mm.unwrap_or(FigureBounds { least: barrel.least_mm, greatest: barrel.greatest_mm });
        let [least, greatest] = barrel.limits_mm();
        format!("`{}` {:.2} to {:.2} mm for {least:.2} to {greatest:.2} mm", tool.name, given.least, given.greatest)
    };
    let listed: Vec<String> = measured.iter().take(MAX_LISTED_BARRELS).map(words).collect();
    let more = measured.len().saturating_sub(MAX_LISTED_BARRELS);
    let rest = if more > 0 { format!(", and {more} more") } else { String::new() };
    (!listed.is_empty()).then(|| {
        format!(
            "Measured barrels are designed for their limits at 95 % of a normal spread: {}{rest}.",
            listed.join(", ")
        )
    })
}

fn print_advice(spec: &Spec) -> String {
    let material = spec.material.part_material();
    let share = 100.0 * material.across_layers;
    match (spec.material.cast.is_some(), spec.printer.direction) {
        (true, _) => "Print the master and the coupons with the axis of the barrels upright, as in the STL, so that the layers run round the arms; the cast \
                      part itself has no layers."
            .to_owned(),
        (false, PrintDirection::OnItsSide) => format!(
            "Print parts and coupons with the axis of the barrels upright, as in the STL, so that the layers run round the arms. With \
             that axis level, the arms bend \
             across the layers and bear {share:.0} % of the strain."
        ),
        (false, PrintDirection::Standing) => format!(
            "The arms bend across the layers, so that only {share:.0} % of the material's strain is allowed here. \
             Printed with the axis of the barrels upright the part bears all of it: set `printer.direction = \"side\"` if the printer can."
        ),
    }
}

/// Names the parts that begin above the bed when a holder is printed upright; none of them where all ends are flush.
fn print_supports_note(spec: &Spec, holders: &[HolderPlan]) -> Option<String> {
    if spec.printer.direction == PrintDirection::Standing {
        return None;
    }
    let of_holder = |plan: &HolderPlan| {
        let clips = plan.stations.iter().enumerate().map(|(index, station)| {
            let low_mm = (station.at_mm - 0.5 * station.length_mm) * plan.pitch_rad.cos();
            let name = if plan.stations.len() > 1 { format!("clip {}", index + 1) } else { "the clip".to_owned() };
            (name, low_mm)
        });
        let parts: Vec<(String, f64)> = clips.chain([("the mount".to_owned(), -0.5 * plan.mount_length_mm)]).collect();
        let bed_mm = parts.iter().map(|(_, low_mm)| *low_mm).fold(f64::INFINITY, f64::min);
        let hanging = parts.iter().filter(|(_, low_mm)| low_mm - bed_mm > LEAST_HANGING_MM);
        let hanging: Vec<String> =
            hanging.map(|(name, low_mm)| format!("{name} by {:.1} mm", low_mm - bed_mm)).collect();
        (!hanging.is_empty()).then(|| format!("size {}: {}", plan.letter, hanging.join(", ")))
    };
    let hanging: Vec<String> = holders.iter().filter_map(of_holder).collect();
    (!hanging.is_empty()).then(|| {
        format!(
            "Printed upright, these begin above the bed and need supports under them, with what of the web is as high: {}. Keep \
             supports off the seats: what is left of them there changes the fit.",
            hanging.join("; ")
        )
    })
}

fn several_clips(spec: &Spec) -> Option<String> {
    let clips = spec.layout.stations_mm.len();
    (clips > 1).then(|| {
        let drafted = if spec.finish.draft_rad > 0.0 {
            " With draft, clips beside the parting plane are as thick as sized in their middle and thin toward their far \
             end alone: they are a few per cent stiffer than these figures, which count a clip that thins to both ends."
        } else {
            ""
        };
        format!(
            "Each tool is gripped by {clips} clips: snap-in is the push that snaps all on together, and pull-out, grip and \
             hold are those of all together. Clips of one holder are taken to come out of the process alike.{drafted}"
        )
    })
}

fn sleeves_note(fit: &[FitRow]) -> Option<String> {
    let mut which: Vec<&str> = fit.iter().filter_map(|row| row.sleeve.as_deref()).collect();
    which.dedup();
    (!which.is_empty()).then(|| {
        format!(
            "Sleeves ({}): print them standing on an end, as the clips lie, slide them over the barrel's end and leave them \
             there; press them into the clip with the slit in the mouth. Grip and push are those of a ring that the barrel \
             alone opens, at either end of the spreads of bore and wall; what the clip's squeeze adds is not counted. Of \
             the clip the friction on sleeves is taken 1.5 times as high as on barrels: a plastic rubs more on itself.",
            which.join(", ")
        )
    })
}

/// Parts that the load path puts below one where it is reported only, and grip that relaxes below what is asked.
fn lasting_hold_note(spec: &Spec, design: &Design) -> Option<String> {
    let reported = spec.fit.load_path == LoadPath::Report;
    let below = |figures: &FitFigures| {
        let margins = figures.load_path.all().filter(|margin| reported && !margin.is_kept());
        margins.map(|margin| margin.limit).collect::<Vec<_>>()
    };
    let mut weak: Vec<String> = Vec::new();
    let mut relaxing: Vec<String> = Vec::new();
    for row in &design.fit {
        let limits = below(&row.figures);
        let slack = row.figures.axial_hold_after_1000_h_n.least < row.figures.along_needed_n;
        if !limits.is_empty() {
            weak.push(format!("size {}", row.letter));
        }
        // The load path names what relaxes already.
        if slack && !limits.contains(&Limit::Remains) {
            relaxing.push(row.letter.to_string());
        }
    }
    if !below(&design.mount_fit).is_empty() {
        weak.push("the mount".to_owned());
    }
    weak.dedup();
    relaxing.dedup();
    let relaxes = (!relaxing.is_empty()).then(|| relaxed_grip_sentence(spec, &relaxing));
    let gives_way = (!weak.is_empty()).then(|| {
        format!(
            "By the load path these bear less than is asked, or let go in the wrong order: {}. With `load_path = \"limit\"` \
             under [fit] such a design is refused, and the message names changes that were tried and help.",
            weak.join(", ")
        )
    });
    let sentences: Vec<String> = gives_way.into_iter().chain(relaxes).collect();
    (!sentences.is_empty()).then(|| sentences.join(" "))
}

fn relaxed_grip_sentence(spec: &Spec, letters: &[String]) -> String {
    let material = spec.used_material();
    let left = material.grip_after_1000_h;
    format!(
        "After 1,000 h with a tool in place {:.0} to {:.0} % of the grip is left (declared for {}); then size {} may hold \
         less along the axis than is asked. Take the tool out when it is not used.",
        100.0 * left.least,
        100.0 * left.greatest,
        material.title,
        letters.join(", ")
    )
}

/// Holders whose aim or sway leaves out a part that lets go under the load.
fn unknown_movement_note(spec: &Spec, holders: &[HolderPlan]) -> Option<String> {
    let (aimed, swaying) = (spec.layout.aim.is_some(), spec.layout.sway_at_most_mm.is_some());
    let is_unknown = |holder: &&HolderPlan| {
        let Web { tip, working, .. } = &holder.web;
        (aimed && tip.total_mm().is_none()) || (swaying && working.total_mm().is_none())
    };
    let letters: Vec<String> = holders.iter().filter(is_unknown).map(|holder| holder.letter.to_string()).collect();
    (!letters.is_empty()).then(|| {
        format!(
            "Mount or clips of size {} let go under the load of the limit on aim or sway. How far they move is not known \
             then, and what is compared with the limit leaves it out.",
            letters.join(", ")
        )
    })
}

/// Hold of the tool that a vee holds least of, once the vee has held its largest tool for long.
fn opened_vee_note(fit: &[FitRow]) -> Option<String> {
    let opened = fit.iter().filter_map(|row| Some((row, row.figures.load_path.after_largest?.ratio)));
    let (row, ratio) = opened.min_by(|a, b| a.1.total_cmp(&b.1))?;
    let advice = if ratio < 1.0 { " Take the largest tool out when it is not used." } else { "" };
    Some(format!(
        "A vee opens under its largest tool. After 1,000 h of it, size {} holds {ratio:.2} times the loads of `{}`, without the \
         safety factor.{advice}",
        row.letter, row.tool_name
    ))
}

fn odds_note(fit: &[FitRow], mount_has_odds: bool) -> Option<String> {
    let missing = fit.iter().any(|row| row.odds.is_none()) || !mount_has_odds;
    missing.then(|| {
        "Odds marked with a dash could not be sampled: somewhere in the spread of the process the part does not go in."
            .to_owned()
    })
}

/// Shares of the webs that are windows, when windows are asked for.
fn windows_note(spec: &Spec, holders: &[HolderPlan]) -> Option<String> {
    if spec.layout.web == WebStyle::Solid {
        return None;
    }
    let lightened = holders.iter().map(|holder| {
        let cut: f64 = holder.windows.iter().map(Outline::area_mm2).sum();
        match (&holder.web_plan, holder.windows.len()) {
            (WebPlan::Side(web), count) if count > 0 => {
                let share = 100.0 * cut / web.area_mm2();
                format!("{share:.0} % of the web of size {} is windows ({count})", holder.letter)
            }
            _ => format!("the web of size {} has no window, as its walls and limits leave no room", holder.letter),
        }
    });
    Some(format!("Lightened as asked: {}.", lightened.collect::<Vec<_>>().join("; ")))
}

#[cfg(test)]
mod tests {
    use gripwright_input::{MaterialLibrary, STARTER_SPEC, read_spec};

    use super::*;

    fn tools(diameter: &str) -> Vec<Tool> {
        let text = STARTER_SPEC.replace("{ min = 12.0, max = 12.1 }", diameter);
        assert!(text.contains(diameter), "{diameter}");
        let spec = read_spec(&text, "starter.toml", &MaterialLibrary::built_in()).expect("it is sound").spec;
        spec.tools.into_iter().skip(1).collect()
    }

    #[test]
    fn limits_of_measured_barrels_are_said() {
        let note = measured_barrels_note(&tools("{ readings = [9.62, 9.58, 9.65] }")).expect("it was measured");
        assert!(note.ends_with("9.58 to 9.65 mm for 9.55 to 9.69 mm."), "{note}");
        let note = measured_barrels_note(&tools("{ min = 9.5, max = 9.7, spread = 0.02 }")).expect("it was measured");
        assert!(note.ends_with("9.50 to 9.70 mm for 9.46 to 9.74 mm."), "{note}");
        assert_eq!(measured_barrels_note(&tools("{ min = 9.5, max = 9.7 }")), None);
        let many: Vec<Tool> = (0..9).flat_map(|_| tools("{ readings = [9.6] }")).collect();
        assert!(measured_barrels_note(&many).is_some_and(|note| note.ends_with(", and 3 more.")));
    }
}
