//! Quantities of a mould: batches of rubber and resin, shots for the copies, and the clock of a pour.

use gripwright_casting::{
    BatchError, CastingRun, MixBatch, MixRatio, PourClock, PourMeans,
    mould::{MouldVolumes, Parting},
};
use gripwright_input::CastingSettings;

/// Mass (g) of resin in one cup above which it is split: a larger one gets too hot. Common practice, no source.
const MOST_IN_A_CUP_G: f64 = 100.0;

/// Batches, shots and clock of a mould.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct PourQuantities {
    /// Rubber of each pour: that of the cavities, then that of the lid.
    pub rubber: Vec<RubberBatch>,
    /// Volume of the resin of one shot, mm³: cavities, sprues, vents, reservoirs.
    pub resin_mm3: f64,
    /// Its density, g/cm³.
    pub resin_g_cm3: f64,
    /// Batch of resin for one cup.
    pub resin: MixBatch,
    /// Batches that one shot takes.
    pub batches_per_shot: u32,
    /// Shots and moulds for the copies.
    pub run: CastingRun,
    /// Clock of a pour.
    pub clock: PourClock,
}

/// Batch of rubber.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct RubberBatch {
    /// Volume in the box, mm³.
    pub volume_mm3: f64,
    /// Batch as weighed.
    pub batch: MixBatch,
}

/// Mould as far as quantities depend on it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct PouredMould {
    pub(crate) parting: Parting,
    pub(crate) volumes: MouldVolumes,
    /// Masters in it, and the least number of a holder's.
    pub(crate) cavities: usize,
    pub(crate) least_cavities: u32,
}

/// Quantities of a mould for a resin of some density (g/cm³).
pub(crate) fn pour_quantities(
    mould: &PouredMould,
    settings: &CastingSettings,
    resin_g_cm3: f64,
) -> Result<PourQuantities, BatchError> {
    let ratio = |[first, second]: [f64; 2]| MixRatio { first, second };
    let step_g = settings.scale_step_g;
    let rubber = |volume_mm3: f64| -> Result<RubberBatch, BatchError> {
        let poured_g = 1e-3 * volume_mm3 * settings.rubber.density_g_cm3;
        Ok(RubberBatch { volume_mm3, batch: MixBatch::new(poured_g, 0.0, ratio(settings.rubber.ratio), step_g)? })
    };
    let pours = match mould.parting {
        Parting::Cut => vec![mould.volumes.first_rubber_mm3],
        _ => vec![mould.volumes.first_rubber_mm3, mould.volumes.lid_rubber_mm3],
    };
    let resin_mm3 = mould.volumes.resin_mm3();
    let poured_g = 1e-3 * resin_mm3 * resin_g_cm3;
    let whole = MixBatch::new(poured_g, settings.resin.least_batch_g, ratio(settings.resin.ratio), step_g)?;
    let batches_per_shot = (1..=1000).find(|&n| whole.mass_g() <= f64::from(n) * MOST_IN_A_CUP_G).unwrap_or(1000);
    let resin = MixBatch::new(
        poured_g / f64::from(batches_per_shot),
        settings.resin.least_batch_g.min(MOST_IN_A_CUP_G),
        ratio(settings.resin.ratio),
        step_g,
    )?;
    let run = CastingRun::new(settings.copies, mould.least_cavities.max(1)).ok_or(BatchError::NotPositive)?;
    let means = PourMeans { vessel: settings.vessel.is_some(), vacuum: settings.vacuum };
    Ok(PourQuantities {
        rubber: pours.into_iter().map(rubber).collect::<Result<_, _>>()?,
        resin_mm3,
        resin_g_cm3,
        resin,
        batches_per_shot,
        run,
        clock: PourClock::new(settings.resin.pot_life_min, mould.cavities, means),
    })
}
