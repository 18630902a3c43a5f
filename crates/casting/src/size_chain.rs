//! A size on its way from the master as drawn to the casting, step by step.

/// Mean and standard deviation of a figure.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Spread {
    /// Mean.
    pub mean: f64,
    /// Standard deviation, zero or more.
    pub deviation: f64,
}

impl Spread {
    /// A figure without a spread.
    pub fn exactly(mean: f64) -> Self {
        Self { mean, deviation: 0.0 }
    }
}

/// Kind of a size, by the faces between which it is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SizeKind {
    /// Between faces that look at each other: a bore, a mouth, a gap. A layer on both makes it smaller.
    Inside,
    /// Between faces that look away from each other: a wall, a length. A layer on both makes it greater.
    Outside,
    /// Between faces that look the same way, or between centres: layers leave it as it is.
    Distance,
}

impl SizeKind {
    /// Change of the size per layer on each of its faces.
    fn per_layer(self) -> f64 {
        match self {
            Self::Inside => -2.0,
            Self::Outside => 2.0,
            Self::Distance => 0.0,
        }
    }
}

/// A step that changes sizes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ChainStep {
    /// A layer on every face, mm; negative takes away.
    Layer(Spread),
    /// A change of all sizes by a share of them; negative shrinks.
    Growth(Spread),
}

/// Steps in the order in which they happen, each with its name.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SizeChain {
    /// Names and steps.
    pub steps: Vec<(&'static str, ChainStep)>,
}

/// A size with its standard deviation, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct SizeWithSpread {
    /// Mean, mm.
    pub mean_mm: f64,
    /// Standard deviation, mm: the root of the sum of the squares of all steps' effects.
    pub deviation_mm: f64,
}

/// Effect of one step on a size.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct StepEffect {
    /// Name of the step.
    pub name: &'static str,
    /// Size after the step, mm.
    pub after_mm: f64,
    /// Standard deviation that the step alone gives the size of the casting, mm.
    pub deviation_mm: f64,
}

impl SizeChain {
    /// Size (mm) of the casting for a size of the master as drawn.
    pub fn forwards(&self, drawn_mm: f64, kind: SizeKind) -> f64 {
        self.steps.iter().fold(drawn_mm, |size, (_, step)| step.apply(size, kind))
    }

    /// Size (mm) to draw on the master so that the casting has a size: the inverse of [`SizeChain::forwards`].
    pub fn backwards(&self, cast_mm: f64, kind: SizeKind) -> f64 {
        self.steps.iter().rev().fold(cast_mm, |size, (_, step)| match step {
            ChainStep::Layer(layer) => size - kind.per_layer() * layer.mean,
            ChainStep::Growth(share) => size / (1.0 + share.mean),
        })
    }

    /// Effects of all steps on a size of the master as drawn, in order.
    pub fn effects(&self, drawn_mm: f64, kind: SizeKind) -> Vec<StepEffect> {
        let mut size = drawn_mm;
        let mut effects: Vec<StepEffect> = Vec::with_capacity(self.steps.len());
        for (name, step) in &self.steps {
            let (own, growth) = match step {
                ChainStep::Layer(layer) => (kind.per_layer() * layer.deviation, 1.0),
                ChainStep::Growth(share) => (size * share.deviation, 1.0 + share.mean),
            };
            for before in &mut effects {
                before.deviation_mm *= growth;
            }
            size = step.apply(size, kind);
            effects.push(StepEffect { name, after_mm: size, deviation_mm: own.abs() });
        }
        effects
    }

    /// Size of the casting with its spread. The steps vary independently of each other.
    pub fn cast_size(&self, drawn_mm: f64, kind: SizeKind) -> SizeWithSpread {
        let effects = self.effects(drawn_mm, kind);
        let deviation_mm = effects.iter().map(|e| e.deviation_mm * e.deviation_mm).sum::<f64>().sqrt();
        SizeWithSpread { mean_mm: self.forwards(drawn_mm, kind), deviation_mm }
    }
}

impl ChainStep {
    fn apply(&self, size: f64, kind: SizeKind) -> f64 {
        match self {
            Self::Layer(layer) => size + kind.per_layer() * layer.mean,
            Self::Growth(share) => size * (1.0 + share.mean),
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn kinds() -> impl Strategy<Value = SizeKind> {
        prop_oneof![Just(SizeKind::Inside), Just(SizeKind::Outside), Just(SizeKind::Distance)]
    }

    fn steps() -> impl Strategy<Value = SizeChain> {
        let spread = |most: f64| (-most..most, 0.0..most).prop_map(|(mean, deviation)| Spread { mean, deviation });
        let step = prop_oneof![spread(0.2).prop_map(ChainStep::Layer), spread(0.02).prop_map(ChainStep::Growth)];
        prop::collection::vec(step.prop_map(|step| ("a step", step)), 0..8).prop_map(|steps| SizeChain { steps })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(1000))]

        #[test]
        fn backwards_is_the_inverse_of_forwards(chain in steps(), kind in kinds(), size in 1.0..200.0) {
            let back = chain.backwards(chain.forwards(size, kind), kind);
            prop_assert!((back - size).abs() < 1e-9);
        }

        #[test]
        fn the_last_effect_is_the_casting(chain in steps(), kind in kinds(), size in 1.0..200.0) {
            let last = chain.effects(size, kind).last().map_or(size, |effect| effect.after_mm);
            prop_assert!((last - chain.forwards(size, kind)).abs() < 1e-12);
        }
    }

    /// Mean and standard deviation of a size over samples of all steps (sums of twelve uniform numbers).
    fn sampled(chain: &SizeChain, size: f64, kind: SizeKind) -> [f64; 2] {
        const COUNT: u32 = 40_000;
        let mut state = 12_345_u64;
        let mut normal = || {
            let uniform = |_| {
                state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
                (state >> 11) as f64 / (1_u64 << 53) as f64
            };
            (0..12).map(uniform).sum::<f64>() - 6.0
        };
        let (mut sum, mut squares) = (0.0, 0.0);
        for _ in 0..COUNT {
            let mut drawn = |spread: &Spread| Spread::exactly(spread.mean + spread.deviation * normal());
            let steps = chain.steps.iter().map(|(name, step)| {
                let step = match step {
                    ChainStep::Layer(layer) => ChainStep::Layer(drawn(layer)),
                    ChainStep::Growth(share) => ChainStep::Growth(drawn(share)),
                };
                (*name, step)
            });
            let off = SizeChain { steps: steps.collect() }.forwards(size, kind) - size;
            sum += off;
            squares += off * off;
        }
        let mean = sum / f64::from(COUNT);
        [size + mean, (squares / f64::from(COUNT) - mean * mean).sqrt()]
    }

    #[test]
    fn root_of_squares_is_the_spread_of_samples() {
        let chain = SizeChain {
            steps: vec![
                ("print", ChainStep::Layer(Spread { mean: 0.05, deviation: 0.015 })),
                ("primer", ChainStep::Layer(Spread { mean: 0.04, deviation: 0.01 })),
                ("silicone", ChainStep::Growth(Spread { mean: -0.001, deviation: 0.0005 })),
                ("resin", ChainStep::Growth(Spread { mean: -0.003, deviation: 0.0015 })),
            ],
        };
        for kind in [SizeKind::Inside, SizeKind::Outside, SizeKind::Distance] {
            let [mean, deviation] = sampled(&chain, 30.0, kind);
            let found = chain.cast_size(30.0, kind);
            assert!((found.mean_mm - mean).abs() < 0.02 * deviation, "{kind:?}");
            assert!((found.deviation_mm / deviation - 1.0).abs() < 0.02, "{kind:?}: {found:?}, sampled {deviation}");
        }
    }

    #[test]
    fn layers_close_bores_and_leave_distances() {
        let chain = SizeChain { steps: vec![("primer", ChainStep::Layer(Spread::exactly(0.04)))] };
        let cast = |kind| chain.forwards(10.0, kind);
        assert!((cast(SizeKind::Inside) - 9.92).abs() < 1e-12);
        assert!((cast(SizeKind::Outside) - 10.08).abs() < 1e-12);
        assert!((cast(SizeKind::Distance) - 10.0).abs() < 1e-12);
    }
}
