//! What is believed before the first trial.

use gripwright_input::Spec;

/// What is believed before the first trial, and how surely a person judges.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Prior {
    /// Standard deviation of the error of bore that all sizes of a printer share, mm of diameter. One printer in twenty is
    /// taken to be off by three times as much.
    pub common_sd_mm: f64,
    /// Standard deviation of each size's own error besides, mm of diameter.
    pub size_sd_mm: f64,
    /// Standard deviation from print to print of one seat, mm of diameter.
    pub scatter_sd_mm: f64,
    /// Standard deviation of the logarithm of the stiffness factor, whose middle is one.
    pub stiffness_log_sd: f64,
    /// Middle of the friction.
    pub friction: f64,
    /// Standard deviation of the logarithm of the friction.
    pub friction_log_sd: f64,
    /// Standard deviation of a measured bore, mm.
    pub bore_reading_sd_mm: f64,
    /// Standard deviation of the logarithm of a measured force.
    pub force_log_sd: f64,
    /// Standard deviation of the logarithm of the force at which a person says *loose* or *tight*.
    pub judgement_log_sd: f64,
    /// Share of rows that say nothing: a slip of the pen, a wrong tool, a bad print.
    pub lapse: f64,
}

/// Errors of bore of a filament printer that was set up with care. Common practice, no source.
const COMMON_SD_MM: f64 = 0.12;
/// The same: how much the error differs from diameter to diameter.
const SIZE_SD_MM: f64 = 0.04;
/// Callipers in a bore with a slit. Common practice, no source.
const BORE_READING_SD_MM: f64 = 0.03;
/// A luggage scale that is read by eye. Common practice, no source.
const FORCE_LOG_SD: f64 = 0.10;
/// How differently people judge a push or a hold. An assumption: no source.
const JUDGEMENT_LOG_SD: f64 = 0.25;
/// As in adaptive psychometrics, where 0.01 to 0.02 is usual (the QUEST notes of Psychtoolbox).
const LAPSE: f64 = 0.02;
/// No material file knows a modulus or a friction better than this.
const LEAST_LOG_SD: f64 = 0.05;

/// A printer that was never set up: so often, and with so many times the usual error. An assumption, no source. Without it
/// a coupon that is far off would sooner be taken for a slip of the pen.
const ASTRAY: (f64, f64) = (0.05, 3.0);

impl Prior {
    /// Logarithm of the density of the common error, but for a constant.
    pub(crate) fn log_common(&self, error_mm: f64) -> f64 {
        let bell = |sd: f64| (-0.5 * (error_mm / sd).powi(2)).exp() / sd;
        let (share, wider) = ASTRAY;
        let density = (1.0 - share) * bell(self.common_sd_mm) + share * bell(wider * self.common_sd_mm);
        density.max(f64::MIN_POSITIVE).ln()
    }

    /// How far the error of a size may be followed, mm.
    pub(crate) fn reach_mm(&self) -> f64 {
        const DEVIATIONS: f64 = 3.2;
        DEVIATIONS * (ASTRAY.1 * self.common_sd_mm).hypot(self.size_sd_mm)
    }

    /// From the spec: the spread of the printer, and the ranges of the printed material, which are taken to be the
    /// middle 95 %.
    pub fn of(spec: &Spec) -> Self {
        let material = &spec.material.print;
        let log_sd = |least: f64, greatest: f64| (0.25 * (greatest / least).ln()).max(LEAST_LOG_SD);
        Self {
            scatter_sd_mm: spec.printer.seat_spread_mm,
            stiffness_log_sd: log_sd(material.modulus_mpa.least, material.modulus_mpa.greatest),
            friction: (material.friction.least * material.friction.greatest).sqrt(),
            friction_log_sd: log_sd(material.friction.least, material.friction.greatest),
            ..Self::default()
        }
    }
}

impl Default for Prior {
    /// For whoever has no spec: the usual printer and person, and round figures for scatter and material. Assumptions, no
    /// source.
    fn default() -> Self {
        Self {
            common_sd_mm: COMMON_SD_MM,
            size_sd_mm: SIZE_SD_MM,
            scatter_sd_mm: 0.02,
            stiffness_log_sd: 0.1,
            friction: 0.3,
            friction_log_sd: 0.2,
            bore_reading_sd_mm: BORE_READING_SD_MM,
            force_log_sd: FORCE_LOG_SD,
            judgement_log_sd: JUDGEMENT_LOG_SD,
            lapse: LAPSE,
        }
    }
}
