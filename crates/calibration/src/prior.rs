//! Prior: assumptions about printer, material and people before the first trial.

use gripwright_input::Spec;

/// Distribution of the unknowns before the first trial, and the errors of people and instruments.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Prior {
    /// Standard deviation of the bore error that all sizes of a printer share, mm of diameter. One printer in twenty is
    /// assumed to be off by three times as much.
    pub common_error_sd_mm: f64,
    /// Standard deviation of each size's additional own error, mm of diameter.
    pub size_error_sd_mm: f64,
    /// Standard deviation from print to print of one seat, mm of diameter.
    pub scatter_sd_mm: f64,
    /// Standard deviation of the logarithm of the stiffness factor, whose median is one.
    pub stiffness_log_sd: f64,
    /// Median of the friction.
    pub friction: f64,
    /// Standard deviation of the logarithm of the friction.
    pub friction_log_sd: f64,
    /// Standard deviation of a measured bore, mm.
    pub bore_reading_sd_mm: f64,
    /// Standard deviation of the logarithm of a measured force.
    pub force_log_sd: f64,
    /// Standard deviation, from try to try, of the logarithm of the force at which one person says *loose* or *tight*.
    pub judgement_log_sd: f64,
    /// Share of rows that are outliers without information: a slip of the pen, a wrong tool, a bad print.
    pub lapse_rate: f64,
}

/// Bore error of a filament printer that was set up with care. Common practice, no source.
const COMMON_ERROR_SD_MM: f64 = 0.12;
/// Variation of the bore error from diameter to diameter. Common practice, no source.
const SIZE_ERROR_SD_MM: f64 = 0.04;
/// Callipers in a bore with a slit. Common practice, no source.
const BORE_READING_SD_MM: f64 = 0.03;
/// A luggage scale that is read by eye. Common practice, no source.
const FORCE_LOG_SD: f64 = 0.10;
/// Variation of one person's judgement of a push or a hold from try to try. An assumption, no source.
const JUDGEMENT_LOG_SD: f64 = 0.10;
/// Lapse rate as in adaptive psychometrics, where 0.01 to 0.02 is usual (the QUEST notes of Psychtoolbox).
const LAPSE_RATE: f64 = 0.02;
/// Least standard deviation of the logarithm of stiffness or friction: no material file is more accurate.
const LEAST_LOG_SD: f64 = 0.05;

/// Share of printers that were never set up. An assumption, no source. Without it, a coupon that is
/// far off would count as an outlier.
const MISADJUSTED_SHARE: f64 = 0.05;
/// Factor on the common error of such a printer. An assumption, no source.
const MISADJUSTED_FACTOR: f64 = 3.0;

impl Prior {
    /// Returns the prior of a spec, from the scatter of its printer and the ranges of the material of its coupons.
    ///
    /// A range of a material is taken as a central 95 % interval.
    pub fn from_spec(spec: &Spec) -> Self {
        let material = spec.coupon_material();
        let log_sd = |least: f64, greatest: f64| (0.25 * (greatest / least).ln()).max(LEAST_LOG_SD);
        Self {
            scatter_sd_mm: spec.printer.seat_spread_mm,
            stiffness_log_sd: log_sd(material.modulus_mpa.least, material.modulus_mpa.greatest),
            friction: (material.friction.least * material.friction.greatest).sqrt(),
            friction_log_sd: log_sd(material.friction.least, material.friction.greatest),
            ..Self::default()
        }
    }

    /// Logarithm of the density of the common error, up to a constant.
    pub(crate) fn log_common_error_density(&self, error_mm: f64) -> f64 {
        let gaussian = |sd: f64| (-0.5 * (error_mm / sd).powi(2)).exp() / sd;
        let (share, factor) = (MISADJUSTED_SHARE, MISADJUSTED_FACTOR);
        let density =
            (1.0 - share) * gaussian(self.common_error_sd_mm) + share * gaussian(factor * self.common_error_sd_mm);
        density.max(f64::MIN_POSITIVE).ln()
    }

    /// Half width of the grid of bore errors, mm.
    pub(crate) fn error_reach_mm(&self) -> f64 {
        const REACH_IN_SDS: f64 = 3.2;
        REACH_IN_SDS * (MISADJUSTED_FACTOR * self.common_error_sd_mm).hypot(self.size_error_sd_mm)
    }
}

impl Default for Prior {
    /// Returns the prior of a usual printer and user, with round figures for scatter and material. Assumptions, no source.
    fn default() -> Self {
        Self {
            common_error_sd_mm: COMMON_ERROR_SD_MM,
            size_error_sd_mm: SIZE_ERROR_SD_MM,
            scatter_sd_mm: 0.02,
            stiffness_log_sd: 0.1,
            friction: 0.3,
            friction_log_sd: 0.2,
            bore_reading_sd_mm: BORE_READING_SD_MM,
            force_log_sd: FORCE_LOG_SD,
            judgement_log_sd: JUDGEMENT_LOG_SD,
            lapse_rate: LAPSE_RATE,
        }
    }
}
