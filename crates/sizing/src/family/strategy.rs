//! The ways in which a family can be served, how many parts each needs, and which is taken.

use gripwright_input::{Spec, WideRange};

use crate::{
    design::family_plan::{FamilyPlan, PartCount, Way, WayPlan},
    family::sleeve_split::{SleeveOutcome, SleeveSplit, split_with_sleeves},
    family::split::{ClipGroup, FamilySplit, SplitCache, UnservedTool, split_family},
    limits::design_limits::{DesignLimits, ProcessSpreads, ToolDemand},
    limits::margin::Margin,
    model::clip_context::ClipContext,
    problem::Problem,
    sleeve::sleeve_ring::SleeveRejection,
};

/// What the ways are looked for with.
pub(crate) struct Planner<'a> {
    pub(crate) spec: &'a Spec,
    pub(crate) tools: &'a [ToolDemand],
    pub(crate) context: ClipContext<'a>,
}

/// Why no sleeves can be made for a spec, whatever its tools.
fn no_sleeves(spec: &Spec) -> Option<(&'static str, &'static str, String, &'static str)> {
    if spec.finish.draft_rad > 0.0 {
        let draft = spec.finish.draft_rad.to_degrees();
        let message = format!(
            "sleeves have a collar at either end, which no mould that parts in the middle lets go: `finish.draft` is {draft:.2} deg"
        );
        return Some(("finish.draft", "sleeves-with-draft", message, "write `draft = 0`, or another `wide_range`"));
    }
    let stations = spec.layout.stations_mm.len();
    if stations > 1 {
        let message = format!("sleeves are made for one clip: `layout.stations` has {stations}");
        return Some((
            "layout.stations",
            "sleeves-several-clips",
            message,
            "leave one station, or write another `wide_range`",
        ));
    }
    spec.layout.stop_at_mm.map(|at| {
        let message = format!("the collars of a sleeve need the room before the stop: `layout.stop` stands at {at} mm");
        ("layout.stop", "sleeves-with-stop", message, "leave the stop out, or write another `wide_range`")
    })
}

impl Planner<'_> {
    /// Sleeves that are asked for and cannot be made for this spec.
    pub(crate) fn refused(&self) -> Option<Problem> {
        let (at, code, message, hint) = no_sleeves(self.spec)?;
        (self.context.limits.wide_range == WideRange::Sleeves)
            .then(|| Problem::bad_spec(at, code, message).hinting(hint))
    }

    /// The groups of the way that is asked for, or of the best of all.
    pub(crate) fn groups(&self) -> Result<(Vec<ClipGroup>, Option<FamilyPlan>), Vec<UnservedTool>> {
        match self.context.limits.wide_range {
            WideRange::Sizes => self.alone(Way::Sizes),
            WideRange::Vee => self.alone(Way::Vee),
            WideRange::Sleeves => self.sleeves_alone(),
            WideRange::Best => self.best(),
        }
    }

    /// One way without a comparison; more than one part is worth a plan.
    fn alone(&self, way: Way) -> Result<(Vec<ClipGroup>, Option<FamilyPlan>), Vec<UnservedTool>> {
        let split = split_family(self.tools, self.context, &mut SplitCache::default())?;
        let groups = split.finished(self.context);
        let plan = (groups.len() > 1 || way == Way::Vee).then(|| FamilyPlan {
            taken: way,
            ways: vec![WayPlan { way, needs: Ok(count(&groups)) }],
            remarks: vec!["No other way was looked at: `wide_range = \"best\"` compares them.".to_owned()],
        });
        Ok((groups, plan))
    }

    fn sleeves_alone(&self) -> Result<(Vec<ClipGroup>, Option<FamilyPlan>), Vec<UnservedTool>> {
        let SleeveOutcome::Complete(found) = self.sleeved(usize::MAX)? else { return self.alone(Way::Sizes) };
        let remarks = self.remarks(&found);
        let ways = vec![WayPlan { way: Way::Sleeves, needs: Ok(count(&found.groups)) }];
        Ok((found.groups, Some(FamilyPlan { taken: Way::Sleeves, ways, remarks })))
    }

    /// All ways, and the one with the fewest parts; of equals the one with the greater least margin. Ways that need more
    /// parts than another are not worked out further.
    fn best(&self) -> Result<(Vec<ClipGroup>, Option<FamilyPlan>), Vec<UnservedTool>> {
        let round_limits = DesignLimits { wide_range: WideRange::Sizes, ..self.context.limits.clone() };
        let round = self.context.with_limits(&round_limits);
        let mut known = SplitCache::default();
        let sizes = split_family(self.tools, round, &mut known);
        if let Ok(split) = &sizes
            && split.len() == 1
        {
            return Ok((split.finished(round), None));
        }
        let vee = split_family(self.tools, self.context, &mut known);
        let fewest = [&sizes, &vee].iter().filter_map(|of| of.as_ref().ok()).map(FamilySplit::len).min();
        let most = fewest.unwrap_or(usize::MAX);
        let sleeves = match no_sleeves(self.spec) {
            Some((_, _, message, _)) => Err(message),
            // A family that one round clip does not serve takes a holder and a sleeve at least.
            None if most == 1 => Ok(SleeveOutcome::TooManyParts { holders: 1, sleeves: 1 }),
            None => self.sleeved(most).map_err(|unserved| self.unserved(&unserved)),
        };
        let mut remarks = Vec::new();
        let mut worked: Vec<(Way, Vec<ClipGroup>)> = Vec::new();
        let mut ways = Vec::new();
        // Sleeves may still need fewer parts than the two others.
        let most = match &sleeves {
            Ok(SleeveOutcome::Complete(found)) => most.min(parts(&found.groups)),
            _ => most,
        };
        for (way, of, context) in [(Way::Sizes, &sizes, round), (Way::Vee, &vee, self.context)] {
            let needs = match of {
                Err(unserved) => Err(self.unserved(unserved)),
                Ok(split) if split.len() > most => Ok(PartCount::of(split.len(), 0)),
                Ok(split) => {
                    let groups = split.finished(context);
                    let needs = count(&groups);
                    worked.push((way, groups));
                    Ok(needs)
                }
            };
            ways.push(WayPlan { way, needs });
        }
        let needs = match sleeves {
            Err(message) => Err(message),
            Ok(SleeveOutcome::TooManyParts { holders, sleeves }) => Ok(PartCount::of(holders, sleeves)),
            Ok(SleeveOutcome::Complete(found)) => {
                remarks = self.remarks(&found);
                let needs = count(&found.groups);
                worked.push((Way::Sleeves, found.groups));
                Ok(needs)
            }
        };
        ways.insert(1, WayPlan { way: Way::Sleeves, needs });
        let least = |groups: &[ClipGroup]| count(groups).margin.map_or(0.0, |m| m.ratio);
        let better =
            |a: &[ClipGroup], b: &[ClipGroup]| parts(a) < parts(b) || (parts(a) == parts(b) && least(a) > least(b));
        let taken = worked.into_iter().reduce(|a, b| if better(&b.1, &a.1) { b } else { a });
        let Some((taken, groups)) = taken else { return Err(vee.or(sizes).err().unwrap_or_default()) };
        Ok((groups, Some(FamilyPlan { taken, ways, remarks })))
    }

    fn sleeved(&self, most_parts: usize) -> Result<SleeveOutcome, Vec<UnservedTool>> {
        let spreads = ProcessSpreads::of(self.spec);
        split_with_sleeves(self.tools, self.context, &spreads, most_parts)
    }

    fn name(&self, index: usize) -> &str {
        self.spec.tools.get(index).map_or("", |t| t.name.as_str())
    }

    fn unserved(&self, unserved: &[UnservedTool]) -> String {
        let names: Vec<String> = unserved.iter().map(|u| format!("`{}`", self.name(u.tool.index))).collect();
        format!("no clip serves {}", names.join(", "))
    }

    fn remarks(&self, found: &SleeveSplit) -> Vec<String> {
        let why = |(index, rejection): &(usize, SleeveRejection)| {
            format!("No sleeve for `{}`: {}.", self.name(*index), rejection.words(self.context.limits))
        };
        found.reasons.iter().map(why).collect()
    }
}

fn parts(groups: &[ClipGroup]) -> usize {
    groups.iter().map(|g| 1 + g.sleeves.len()).sum()
}

fn count(groups: &[ClipGroup]) -> PartCount {
    let margins = groups.iter().flat_map(|g| [g.clip.margin].into_iter().chain(g.sleeves.iter().map(|s| s.margin)));
    let sleeves = groups.iter().map(|g| g.sleeves.len()).sum();
    PartCount { margin: margins.reduce(Margin::least), ..PartCount::of(groups.len(), sleeves) }
}
