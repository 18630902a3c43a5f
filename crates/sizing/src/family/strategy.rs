//! Strategies that serve a family, the number of parts that each needs, and the strategy that is taken.
//!
//! `fit.wide_range` asks for one strategy or for the best of all. The comparison of all:
//! 1. looks for one round clip first, which needs no comparison;
//! 2. splits into round sizes and, at the same time, with vees; both reuse what was found for that;
//! 3. considers sleeves only where they could need as few parts.
//!
//! The best clip of each group is searched only for the strategies with the fewest parts.

use gripwright_input::{Spec, Tool, WideRange};

use crate::{
    design::family_plan::{FamilyPlan, FamilyStrategy, PartCount, StrategyPlan, UnservedFamily},
    family::sleeve_obstacle::SleeveObstacle,
    family::sleeve_split::{SleeveOutcome, SleeveSplit, split_with_sleeves},
    family::split::{ClipGroup, FamilySplit, SplitCache, UnservedTool, is_served_by_one, split_family},
    limits::design_limits::{DesignLimits, ProcessSpreads, ToolDemand},
    limits::margin::Margin,
    model::clip_context::ClipContext,
    sleeve::sleeve_ring::SleeveRejection,
};

/// Parts of a spec that strategies need.
#[derive(Clone, Debug)]
pub(crate) struct StrategyBrief<'a> {
    /// In the order of the spec.
    tools: &'a [Tool],
    spreads: ProcessSpreads,
    sleeve_obstacle: Option<SleeveObstacle>,
}

impl<'a> StrategyBrief<'a> {
    pub(crate) fn new(spec: &'a Spec) -> Self {
        Self {
            tools: &spec.tools,
            spreads: ProcessSpreads::from_spec(spec),
            sleeve_obstacle: SleeveObstacle::first_in(spec),
        }
    }
}

/// Search for the strategy of a family.
#[derive(Clone, Copy)]
pub(crate) struct Planner<'a> {
    pub(crate) brief: &'a StrategyBrief<'a>,
    pub(crate) tools: &'a [ToolDemand],
    pub(crate) context: ClipContext<'a>,
}

/// One strategy, with its groups if its best clips were searched.
struct Strategy {
    plan: StrategyPlan,
    groups: Option<Vec<ClipGroup>>,
}

impl Planner<'_> {
    /// The obstacle to sleeves, if the spec asks for sleeves alone.
    pub(crate) fn sleeve_obstacle(&self) -> Option<SleeveObstacle> {
        self.brief.sleeve_obstacle.filter(|_| self.context.limits.wide_range == WideRange::Sleeves)
    }

    /// Groups of the strategy that is asked for, or of the best of all.
    pub(crate) fn groups(&self) -> Result<(Vec<ClipGroup>, Option<FamilyPlan>), Vec<UnservedTool>> {
        match self.context.limits.wide_range {
            WideRange::Sizes => self.clips_alone(FamilyStrategy::Sizes),
            WideRange::Vee => self.clips_alone(FamilyStrategy::Vee),
            WideRange::Sleeves => self.sleeves_alone(),
            WideRange::Best => self.best(),
        }
    }

    /// One strategy without sleeves and without a comparison; more than one part is worth a plan.
    fn clips_alone(&self, strategy: FamilyStrategy) -> Result<(Vec<ClipGroup>, Option<FamilyPlan>), Vec<UnservedTool>> {
        let split = split_family(self.tools, self.context, &mut SplitCache::default())?;
        let groups = split.with_best_clips(self.context);
        let plan = (groups.len() > 1 || strategy == FamilyStrategy::Vee).then(|| FamilyPlan {
            chosen: strategy,
            strategies: vec![StrategyPlan { strategy, needs: Ok(part_count(&groups)) }],
            remarks: vec!["No other way was looked at: `wide_range = \"best\"` compares them.".to_owned()],
        });
        Ok((groups, plan))
    }

    fn sleeves_alone(&self) -> Result<(Vec<ClipGroup>, Option<FamilyPlan>), Vec<UnservedTool>> {
        let SleeveOutcome::Complete(found) = self.split_with_sleeves(usize::MAX)? else {
            return self.clips_alone(FamilyStrategy::Sizes);
        };
        let remarks = self.remarks(&found);
        let strategies = vec![StrategyPlan { strategy: FamilyStrategy::Sleeves, needs: Ok(part_count(&found.groups)) }];
        Ok((found.groups, Some(FamilyPlan { chosen: FamilyStrategy::Sleeves, strategies, remarks })))
    }

    /// All strategies, and the groups of the one with the fewest parts; of equals the one with the greater least
    /// margin. Strategies that need more parts than another are only counted.
    fn best(&self) -> Result<(Vec<ClipGroup>, Option<FamilyPlan>), Vec<UnservedTool>> {
        let round_limits = DesignLimits { wide_range: WideRange::Sizes, ..self.context.limits.clone() };
        let round = self.context.with_limits(&round_limits);
        let mut cache = SplitCache::default();
        let by_one = is_served_by_one(self.tools, round, &mut cache);
        let mut with_vees = cache.clone();
        let mut vee = || split_family(self.tools, self.context, &mut with_vees);
        let (sizes, early) = rayon::join(|| split_family(self.tools, round, &mut cache), || (!by_one).then(&mut vee));
        if let Ok(split) = &sizes
            && split.len() == 1
        {
            return Ok((split.with_best_clips(round), None));
        }
        let vee = early.unwrap_or_else(vee);
        let fewest = [&sizes, &vee].iter().filter_map(|split| split.as_ref().ok()).map(FamilySplit::len).min();
        let most = fewest.unwrap_or(usize::MAX);
        let (with_sleeves, remarks) = self.sleeve_strategy(most);
        // Sleeves may still need fewer parts than the two others.
        let most = with_sleeves.groups.as_deref().map_or(most, |groups| most.min(parts(groups)));
        let (with_sizes, with_vee) = rayon::join(
            || self.split_strategy(FamilyStrategy::Sizes, &sizes, most, round),
            || self.split_strategy(FamilyStrategy::Vee, &vee, most, self.context),
        );
        let least = |groups: &[ClipGroup]| part_count(groups).margin.map_or(0.0, |m| m.ratio);
        let better =
            |a: &[ClipGroup], b: &[ClipGroup]| parts(a) < parts(b) || (parts(a) == parts(b) && least(a) > least(b));
        let strategies = [&with_sizes, &with_sleeves, &with_vee].map(|strategy| strategy.plan.clone()).to_vec();
        // The first of equals is taken, in this order.
        let complete =
            [with_sizes, with_vee, with_sleeves].into_iter().filter_map(|s| Some((s.plan.strategy, s.groups?)));
        let chosen = complete.reduce(|a, b| if better(&b.1, &a.1) { b } else { a });
        let Some((chosen, groups)) = chosen else { return Err(vee.or(sizes).err().unwrap_or_default()) };
        Ok((groups, Some(FamilyPlan { chosen, strategies, remarks })))
    }

    /// The strategy of a split; its best clips are searched unless it needs more than `most` parts.
    fn split_strategy(
        &self,
        strategy: FamilyStrategy,
        split: &Result<FamilySplit, Vec<UnservedTool>>,
        most: usize,
        context: ClipContext<'_>,
    ) -> Strategy {
        let (needs, groups) = match split {
            Err(unserved) => (Err(UnservedFamily { reason: self.unserved_message(unserved) }), None),
            Ok(split) if split.len() > most => (Ok(PartCount::without_margin(split.len(), 0)), None),
            Ok(split) => {
                let groups = split.with_best_clips(context);
                (Ok(part_count(&groups)), Some(groups))
            }
        };
        Strategy { plan: StrategyPlan { strategy, needs }, groups }
    }

    /// The strategy with sleeves and its remarks; it is only counted when it needs more than `most` parts.
    fn sleeve_strategy(&self, most: usize) -> (Strategy, Vec<String>) {
        let outcome = match self.brief.sleeve_obstacle {
            Some(obstacle) => Err(obstacle.to_string()),
            // A family that one round clip does not serve takes a holder and a sleeve at least.
            None if most == 1 => Ok(SleeveOutcome::TooManyParts { holders: 1, sleeves: 1 }),
            None => self.split_with_sleeves(most).map_err(|unserved| self.unserved_message(&unserved)),
        };
        let (needs, groups, remarks) = match outcome {
            Err(reason) => (Err(UnservedFamily { reason }), None, Vec::new()),
            Ok(SleeveOutcome::TooManyParts { holders, sleeves }) => {
                (Ok(PartCount::without_margin(holders, sleeves)), None, Vec::new())
            }
            Ok(SleeveOutcome::Complete(found)) => {
                let remarks = self.remarks(&found);
                (Ok(part_count(&found.groups)), Some(found.groups), remarks)
            }
        };
        (Strategy { plan: StrategyPlan { strategy: FamilyStrategy::Sleeves, needs }, groups }, remarks)
    }

    fn split_with_sleeves(&self, most_parts: usize) -> Result<SleeveOutcome, Vec<UnservedTool>> {
        split_with_sleeves(self.tools, self.context, &self.brief.spreads, most_parts)
    }

    fn name(&self, index: usize) -> &str {
        self.brief.tools.get(index).map_or("", |t| t.name.as_str())
    }

    fn unserved_message(&self, unserved: &[UnservedTool]) -> String {
        let names: Vec<String> = unserved.iter().map(|u| format!("`{}`", self.name(u.tool.index))).collect();
        let others = if unserved.iter().any(|u| u.not_examined > 0) { ", nor perhaps thicker tools" } else { "" };
        format!("no clip serves {}{others}", names.join(", "))
    }

    fn remarks(&self, found: &SleeveSplit) -> Vec<String> {
        let why = |(index, rejection): &(usize, SleeveRejection)| {
            format!("No sleeve for `{}`: {}.", self.name(*index), rejection.message(self.context.limits))
        };
        found.reasons.iter().map(why).collect()
    }
}

/// Number of holders and sleeves.
fn parts(groups: &[ClipGroup]) -> usize {
    groups.iter().map(|g| 1 + g.sleeves.len()).sum()
}

/// Parts of some groups, with their least margin.
fn part_count(groups: &[ClipGroup]) -> PartCount {
    let margins = groups.iter().flat_map(|g| [g.clip.margin].into_iter().chain(g.sleeves.iter().map(|s| s.margin)));
    let sleeves = groups.iter().map(|g| g.sleeves.len()).sum();
    PartCount { margin: margins.reduce(Margin::least), ..PartCount::without_margin(groups.len(), sleeves) }
}
