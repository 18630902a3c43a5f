//! Entrance of sizing: a spec becomes a design, or explained problems.

use gripwright_input::{Material, Spec};

use crate::{
    coupons::coupon_brief::CouponBrief,
    coupons::coupon_loads::{CouponLoads, coupon_loads},
    coupons::coupon_set::{coupon_set, without_coupons},
    coupons::print_survey::{PrintSurvey, TriedCoupons, survey_prints},
    design::Design,
    design::coupon::{CouponSet, CouponStep},
    design::strain_profile::StrainProfile,
    explain::explain,
    explain::no_design::no_coupon,
    explain::notes::notes,
    explain::verdict::verdict,
    fit::strain_profiles::strain_profiles,
    model::solver_cache::SolverCache,
    pipeline::calibrated::{BoreCorrection, Calibrated, keeps_all_limits},
    pipeline::design_run::DesignRun,
    problem::Problem,
};

/// Sizes specs and judges their coupons, with one cache of solver results for all of them.
///
/// Results do not depend on what was sized before; the cache only saves work.
#[derive(Debug, Default)]
pub struct Sizer {
    skips_steps: bool,
    refusal_notice: Option<RefusalNotice>,
    cache: SolverCache,
}

/// Told why a spec is refused before changes that free it are looked for, which takes seconds.
pub type RefusalNotice = fn(&str);

impl Sizer {
    /// A sizer with an empty cache.
    pub fn new() -> Self {
        Self::default()
    }

    /// A sizer with an empty cache that leaves out [`crate::StiffnessMatch::steps_off`]: most of the work of a match, which
    /// no design depends on.
    pub fn without_steps() -> Self {
        Self { skips_steps: true, ..Self::default() }
    }

    /// The same sizer, which tells of a refusal at once.
    #[must_use]
    pub fn with_refusal_notice(self, notice: RefusalNotice) -> Self {
        Self { refusal_notice: Some(notice), ..self }
    }

    fn run<'a>(&'a self, spec: &'a Spec) -> DesignRun<'a> {
        DesignRun { compares_steps: !self.skips_steps, ..DesignRun::without_trials(spec, &self.cache) }
    }

    /// Sizes clips, mount, holders and coupons for a spec.
    ///
    /// Returns a design that keeps every limit, or all the reasons found why there is none.
    pub fn size(&self, spec: &Spec) -> Result<Design, Vec<Problem>> {
        self.explained(&self.run(spec))
    }

    /// True if a spec has a design, without the reasons if it has none.
    pub fn has_design(&self, spec: &Spec) -> bool {
        DesignRun::without_trials(spec, &self.cache).design().is_ok()
    }

    /// Sizes a spec after trials. Keeps the tried clips and mount if they meet every limit with the calibrated figures;
    /// otherwise sizes the family anew.
    ///
    /// Coupons are always slices of what was sized without the trials, so that those of all rounds can be compared.
    pub fn size_calibrated(&self, spec: &Spec, calibrated: &Calibrated) -> Result<Design, Vec<Problem>> {
        let seats = &calibrated.sizes;
        let untried = self.run(spec);
        let tried = DesignRun { calibrated: Some(calibrated), bores: BoreCorrection::Tried(seats), ..untried }.design();
        let coupons = match tried {
            Ok(design) if keeps_all_limits(&design, spec.layout.sway_at_most_mm) => {
                return Ok(Design { notes: notes(&calibrated.spec, &design), ..design });
            }
            Ok(design) => design.coupons,
            Err(_) => self.explained(&untried)?.coupons,
        };
        let nearest = BoreCorrection::Nearest(seats);
        let anew = self.explained(&DesignRun { spec: &calibrated.spec, bores: nearest, ..untried })?;
        let mut notes = anew.notes;
        notes.push(
            "With what the trials taught, the clips that were tried break a limit, so the family was sized anew. Each \
             bore is corrected by the error of the nearest seat that was tried; the coupons are still slices of the \
             clips that were tried."
                .to_owned(),
        );
        Ok(Design { notes, coupons, ..anew })
    }

    /// A design with its notes, or the explained problems.
    fn explained(&self, run: &DesignRun<'_>) -> Result<Design, Vec<Problem>> {
        match run.design() {
            Ok(design) => Ok(Design { notes: notes(run.spec, &design), ..design }),
            Err(no_design) => {
                if let Some(notice) = self.refusal_notice {
                    notice(&verdict(run.spec, &no_design));
                }
                Err(explain(run, no_design))
            }
        }
    }

    /// Force and strain of every coupon of a design in the material of the print, in their order.
    pub fn coupon_loads(&self, spec: &Spec, design: &Design) -> Vec<CouponLoads> {
        coupon_loads(&CouponBrief::new(spec), &design.coupons.coupons, &self.cache)
    }

    /// Strains along the arms of a design at their worst moment: with each tool at its greatest diameter, and of the mount on
    /// the greatest body.
    pub fn strain_profiles(&self, spec: &Spec, design: &Design) -> Vec<StrainProfile> {
        strain_profiles(spec, design, &self.cache)
    }

    /// Cuts and solves the coupons of a cast part in each of some print materials. `untried` is the design without trials.
    pub fn survey_prints(
        &self,
        spec: &Spec,
        untried: &Design,
        tried: TriedCoupons<'_>,
        materials: &[&Material],
    ) -> PrintSurvey {
        survey_prints(spec, untried, tried, materials, &self.cache)
    }
}

/// Sizes clips, mount, holders and coupons for a spec: [`Sizer::size`] with a cache of its own.
pub fn size(spec: &Spec) -> Result<Design, Vec<Problem>> {
    Sizer::new().size(spec)
}

/// Coupons of chosen letters and steps of the sizes and the mount of a design, arranged on the printer's bed.
pub fn chosen_coupons(spec: &Spec, design: &Design, steps: &[CouponStep]) -> Result<CouponSet, Problem> {
    let brief = CouponBrief { compares_steps: true, ..CouponBrief::new(spec) };
    coupon_set(&brief, &design.sizes, &design.mount, steps).map_err(|error| no_coupon(&error))
}

/// The coupons of a set but those of some steps, arranged anew on the printer's bed.
pub fn remaining_coupons(spec: &Spec, set: CouponSet, left_out: &[CouponStep]) -> Result<CouponSet, Problem> {
    without_coupons(set, left_out, spec.printer.bed_mm).map_err(|error| no_coupon(&error))
}
