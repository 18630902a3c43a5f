//! Clock of a pour: time that mixing, pouring, closing and pressing take, against the pot life.

/// Share of the pot life within which everything must be done: after it the resin thickens. Common practice, no source.
const USABLE_SHARE: f64 = 2.0 / 3.0;
/// Mixing in one cup and again in a second, min. Common practice, no source: 45 to 60 s.
const MIX_MIN: f64 = 1.0;
/// Pouring of the first cavity and of each further one, min. The fill itself takes 1 to 12 s through a sprue of 6 mm.
const POUR_FIRST_MIN: f64 = 0.25;
const POUR_FURTHER_MIN: f64 = 0.1;
/// Degassing of a small batch under vacuum, min, and the least pot life that allows it. Common practice, no source.
const DEGAS_MIN: f64 = 2.0;
const LEAST_DEGASSED_POT_LIFE_MIN: f64 = 6.0;
/// Placing the mould in the vessel and closing the lid, and letting the air in slowly, min. Common practice, no source.
const CLOSE_MIN: f64 = 0.5;
const PRESS_MIN: f64 = 0.5;

/// Step of a pour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PourStep {
    /// Both components are mixed.
    Mix,
    /// The batch has risen and collapsed under vacuum.
    Degas,
    /// The mould is filled.
    Pour,
    /// The vessel is closed over the mould.
    Close,
    /// The vessel is under pressure.
    Press,
}

impl PourStep {
    /// Word for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::Mix => "mix",
            Self::Degas => "degas",
            Self::Pour => "pour",
            Self::Close => "close",
            Self::Press => "press",
        }
    }
}

/// A step with its time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TimedStep {
    /// The step.
    pub step: PourStep,
    /// Time that it takes, min.
    pub takes_min: f64,
    /// Latest moment at which it must be done, min after the components meet.
    pub done_by_min: f64,
}

/// Means of a bench.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct PourMeans {
    /// True with a pressure vessel.
    pub vessel: bool,
    /// True with a vacuum chamber.
    pub vacuum: bool,
}

/// Steps of a pour in their order.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct PourClock {
    /// The steps.
    pub steps: Vec<TimedStep>,
    /// Time in which all must be done, min: a share of the pot life.
    pub usable_min: f64,
    /// Time that is left of it, min; negative if the resin is too fast.
    pub spare_min: f64,
}

impl PourClock {
    /// Clock of a resin with a pot life (min), for a number of cavities. With a vacuum chamber the resin is degassed if there
    /// is time for it.
    pub fn new(pot_life_min: f64, cavities: usize, means: PourMeans) -> Self {
        let degassed = Self::with_steps(pot_life_min, cavities, means.vessel, true);
        if means.vacuum && pot_life_min >= LEAST_DEGASSED_POT_LIFE_MIN && degassed.spare_min >= 0.0 {
            return degassed;
        }
        Self::with_steps(pot_life_min, cavities, means.vessel, false)
    }

    fn with_steps(pot_life_min: f64, cavities: usize, has_vessel: bool, degasses: bool) -> Self {
        let further = cavities.saturating_sub(1) as f64;
        let mut taken = vec![(PourStep::Mix, MIX_MIN)];
        taken.extend(degasses.then_some((PourStep::Degas, DEGAS_MIN)));
        taken.push((PourStep::Pour, POUR_FIRST_MIN + further * POUR_FURTHER_MIN));
        if has_vessel {
            taken.extend([(PourStep::Close, CLOSE_MIN), (PourStep::Press, PRESS_MIN)]);
        }
        let usable_min = USABLE_SHARE * pot_life_min;
        let mut done_by_min = usable_min;
        let mut steps: Vec<TimedStep> = Vec::with_capacity(taken.len());
        for (step, takes_min) in taken.iter().rev().copied() {
            steps.push(TimedStep { step, takes_min, done_by_min });
            done_by_min -= takes_min;
        }
        steps.reverse();
        Self { steps, usable_min, spare_min: done_by_min }
    }

    /// Least pot life (min) that leaves time for all steps.
    pub fn least_pot_life_min(&self) -> f64 {
        self.steps.iter().map(|step| step.takes_min).sum::<f64>() / USABLE_SHARE
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const VESSEL: PourMeans = PourMeans { vessel: true, vacuum: false };
    const NONE: PourMeans = PourMeans { vessel: false, vacuum: false };

    /// 1 min to mix, 2 to degas, 1/4 to pour: a pot life of 6 min just allows it, of which two thirds count.
    #[test]
    fn resin_is_degassed_where_there_is_time() {
        let steps = |pot_life_min: f64, cavities: usize, means: PourMeans| -> Vec<PourStep> {
            PourClock::new(pot_life_min, cavities, means).steps.iter().map(|step| step.step).collect()
        };
        let vacuum = PourMeans { vacuum: true, ..NONE };
        assert_eq!(steps(6.0, 1, vacuum), [PourStep::Mix, PourStep::Degas, PourStep::Pour]);
        assert_eq!(steps(5.9, 1, vacuum), [PourStep::Mix, PourStep::Pour]);
        assert_eq!(steps(6.0, 9, vacuum), [PourStep::Mix, PourStep::Pour], "many cavities take long to pour");
        let both = PourMeans { vacuum: true, ..VESSEL };
        assert_eq!(steps(6.0, 1, both).len(), 4);
        assert_eq!(steps(7.0, 1, both).len(), 5);
    }

    #[test]
    fn each_step_ends_where_the_next_one_must_begin() {
        let clock = PourClock::new(6.0, 4, VESSEL);
        assert!((clock.usable_min - 4.0).abs() < 1e-12);
        for pair in clock.steps.windows(2) {
            assert!((pair[1].done_by_min - pair[1].takes_min - pair[0].done_by_min).abs() < 1e-12);
        }
        let taken: f64 = clock.steps.iter().map(|step| step.takes_min).sum();
        assert!((clock.spare_min - (4.0 - taken)).abs() < 1e-12);
    }

    #[test]
    fn a_resin_that_is_too_fast_has_no_spare_time() {
        let fast = PourClock::new(1.5, 1, VESSEL);
        assert!(fast.spare_min < 0.0);
        let enough = PourClock::new(fast.least_pot_life_min(), 1, VESSEL);
        assert!(enough.spare_min.abs() < 1e-12);
        assert_eq!(PourClock::new(6.0, 1, NONE).steps.len(), 2);
    }
}
