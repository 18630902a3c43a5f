//! Typical forces, their spread and the friction of snapping home, against the solver, for clips of the starter spec.

use std::sync::LazyLock;

use gripwright_input::{MaterialLibrary, STARTER_SPEC, Spec, read_spec};

use crate::{
    design::Design,
    design::fit_row::FitRow,
    limits::barrel_section::BarrelSection,
    limits::design_limits::{DesignLimits, ToolDemand},
    model::clip_model::ClipModel,
    model::solver_cache::SolverCache,
    shape::clip_shape::ClipShape,
    sizing::size,
};

use super::*;
use crate::model::clip_context::Effort;

static STARTER: LazyLock<(Spec, Design)> = LazyLock::new(|| {
    // Its loads are doubled, its first barrel varies and the order of letting go is no limit, so that its clips wrap far
    // enough to snap.
    let changes = [
        ("\"limit\"", "\"report\""),
        ("along = \"1 N\"", "along = \"2 N\""),
        ("safety = 1.5", "safety = 2.0"),
        ("{ readings = [9.62, 9.58, 9.65] }", "{ min = 9.5449, max = 9.6851, spread = 0.0351 }"),
    ];
    let text = changes.iter().fold(STARTER_SPEC.to_owned(), |text, (from, to)| {
        assert!(text.contains(from), "{from}");
        text.replace(from, to)
    });
    let spec = read_spec(&text, "starter.toml", &MaterialLibrary::built_in()).expect("it is sound").spec;
    let design = size(&spec).expect("the starter has a design");
    (spec, design)
});

/// A clip of the starter spec with a least barrel, under changed ranges of friction.
struct StarterClip {
    row: FitRow,
    model: ClipModel,
    section: BarrelSection,
    limits: DesignLimits,
    cache: SolverCache,
}

impl StarterClip {
    fn new(friction: Option<Interval>) -> Self {
        let (spec, design) = &*STARTER;
        let mut limits = DesignLimits::from_spec(spec);
        limits.elastic.friction = friction.unwrap_or(limits.elastic.friction);
        let cache = SolverCache::default();
        let row = design.fit.iter().find(|row| !row.greatest).expect("every tool has rows").clone();
        let found = design.sizes.iter().find(|size| size.letter == row.letter).expect("every row has a size");
        let pad_half_width_mm = found.clip.back().neck_half_width_mm();
        let shape = ClipShape::of_round_clip(found.seat_radius_mm, &found.clip);
        let context = ClipContext { limits: &limits, cache: &cache, pad_half_width_mm, effort: Effort::Quick };
        let model = ClipModel::new(&shape, found.length_mm, context).expect("the clip is drawn");
        let section = ToolDemand::new(spec, row.tool, &spec.tools[row.tool]).least();
        Self { row, model, section, limits, cache }
    }

    fn context(&self) -> ClipContext<'_> {
        ClipContext { limits: &self.limits, cache: &self.cache, pad_half_width_mm: 3.0, effort: Effort::Quick }
    }

    fn gripped(&self) -> GrippedSection<'_> {
        let rigid = self.section.orientations()[0].rigid().expect("it has a size");
        GrippedSection { clip: self.model.clip(), rigid }
    }

    fn effect(&self) -> MaterialEffect {
        let on = [self.gripped()];
        material_effect(&on, &on, self.model.scale(), self.row.figures.strain, self.context()).expect("it goes in")
    }
}

#[test]
fn at_a_little_less_friction_it_snaps_home_and_at_a_little_more_it_does_not() {
    let clip = StarterClip::new(Some(Interval::between(0.0, 0.6)));
    let limit = clip.effect().snaps_home_up_to_friction.expect("without friction the lips draw in");
    assert!(limit > 0.0 && limit < 0.6, "{limit}");
    let outcome = |friction: f64| clip.gripped().run(friction, clip.context()).outcome;
    assert_eq!(outcome(0.99 * limit), InsertionOutcome::Snaps);
    assert_ne!(outcome(1.01 * limit + 1e-9), InsertionOutcome::Snaps);
}

#[test]
fn the_friction_of_snapping_home_is_found_within_a_few_runs() {
    let clip = StarterClip::new(None);
    let runs = std::cell::Cell::new(0);
    let counted = |friction: f64| {
        runs.set(runs.get() + 1);
        clip.gripped().run(friction, clip.context())
    };
    assert!(snap_home_friction(Interval::between(0.0, 0.6), counted).is_some());
    assert!(runs.get() <= 8, "{}", runs.get());
    // Ends alike, or both on one side, need no search.
    assert_eq!(snap_home_friction(Interval::exactly(0.0), counted), Some(0.0));
    assert_eq!(snap_home_friction(Interval::between(0.58, 0.6), counted), None);
}

#[test]
fn modulus_and_friction_together_explain_the_whole_range_of_push_and_pull() {
    let clip = StarterClip::new(None);
    let (figures, effect) = (&clip.row.figures, clip.effect());
    let ratio = |range: Interval| range.greatest / range.least;
    assert!((effect.snap_in_spread.whole() / ratio(figures.snap_in_n) - 1.0).abs() < 1e-9);
    assert!((effect.pull_out_spread.whole() / ratio(figures.pull_out_n) - 1.0).abs() < 1e-9);
    assert!(effect.snap_in_spread.by_friction > 1.0 && effect.snap_in_spread.by_modulus > 1.0);
    let within = |range: Interval, at: f64| range.least < at && at < range.greatest;
    assert!(within(figures.snap_in_n, effect.typical_snap_in_n));
    assert!(within(figures.pull_out_n, effect.typical_pull_out_n));
}

#[test]
fn without_a_range_of_friction_the_modulus_explains_everything() {
    let clip = StarterClip::new(Some(Interval::exactly(0.2)));
    let effect = clip.effect();
    for spread in [effect.snap_in_spread, effect.pull_out_spread] {
        assert!((spread.by_friction - 1.0).abs() < 1e-12);
        assert!((spread.whole() - spread.by_modulus).abs() < 1e-12);
    }
}

#[test]
fn without_a_range_of_modulus_the_friction_explains_everything() {
    let mut clip = StarterClip::new(None);
    clip.limits.elastic.modulus_mpa = Interval::exactly(1500.0);
    let scale = ForceScale { plane_modulus_mpa: Interval::exactly(1500.0), ..*clip.model.scale() };
    let on = [clip.gripped()];
    let effect = material_effect(&on, &on, &scale, 0.0, clip.context()).expect("it goes in");
    assert!((effect.snap_in_spread.by_modulus - 1.0).abs() < 1e-3, "{effect:?}");
    assert!((effect.snap_in_spread.whole() / effect.snap_in_spread.by_friction - 1.0).abs() < 1e-3);
}

#[test]
fn classes_follow_the_pull_with_and_without_friction() {
    assert_eq!(class_of_pushed(1.0, 2.0), HoldClass::PushedHome);
    assert_eq!(class_of_pushed(0.0, 2.0), HoldClass::FrictionAlone);
    assert_eq!(class_of_pushed(0.0, 0.0), HoldClass::Loose);
    let clip = StarterClip::new(Some(Interval::between(0.0, 0.6)));
    assert_eq!(clip.effect().hold_class, HoldClass::SnapsHome);
    // Much friction keeps the lips from drawing it home, but they hold it without any.
    let rough = StarterClip::new(Some(Interval::between(0.55, 0.6)));
    assert_eq!(rough.effect().hold_class, HoldClass::PushedHome);
}
