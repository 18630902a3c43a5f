//! Choice of the coupons that are printed: without those that no material bears, and with a material that bears them.

use gripwright_input::{LoadedSpec, Material, MaterialProcess};
use gripwright_sizing::{
    CouponLoads, CouponSet, CouponStep, CouponTries, Design, FEW_TRIES, PrintProposal, PrintSurvey, Sizer,
    TriedCoupons, remaining_coupons,
};
use serde::Serialize;

use crate::sizing_run::{SizingError, size_without_trials, sizing_error};

/// Coupons left out of a design, and the print material that is proposed for its coupons.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub(crate) struct CouponSelection {
    /// Print material that bears coupons which the one of the spec does not.
    pub(crate) proposal: Option<PrintProposal>,
    /// Identities of coupons that no material bears.
    pub(crate) left_out: Vec<String>,
}

impl CouponSelection {
    /// Returns a note on the coupons that were left out.
    pub(crate) fn note(&self) -> Option<String> {
        (!self.left_out.is_empty()).then(|| {
            format!(
                "Left out of the coupons: {}. They would be strained beyond a single use in every material that they could \
                 be printed in.",
                self.left_out.join(", ")
            )
        })
    }
}

/// Chooses the coupons of a design. Those of a printed part have its own material; those of a cast part may have any
/// printed class of the library.
pub(crate) fn select_coupons(
    sizer: &Sizer,
    loaded: &LoadedSpec,
    design: &Design,
) -> Result<(CouponSet, CouponSelection), SizingError> {
    let spec = &loaded.spec;
    let loads = sizer.coupon_loads(spec, design);
    let coupons = &design.coupons.coupons;
    let over = coupons.iter().zip(&loads).filter(|(_, loads)| loads.over_strained()).map(|(coupon, _)| coupon);
    let over: Vec<CouponStep> = over.map(CouponStep::of).collect();
    if over.is_empty() {
        return Ok((design.coupons.clone(), CouponSelection::default()));
    }
    let (unbearable, proposal) = if spec.material.cast.is_some() {
        let PrintSurvey { unbearable, proposal, .. } =
            survey(sizer, loaded, design, TriedCoupons { set: &design.coupons, loads: &loads })?;
        (unbearable, proposal)
    } else {
        (over, None)
    };
    let names = coupons.iter().filter(|coupon| unbearable.contains(&CouponStep::of(coupon)));
    let left_out = names.map(|coupon| coupon.identity.clone()).collect();
    let set = remaining_coupons(spec, design.coupons.clone(), &unbearable)
        .map_err(|problem| sizing_error(vec![problem], loaded))?;
    let proposal = proposal.filter(|_| !set.coupons.is_empty());
    Ok((set, CouponSelection { proposal, left_out }))
}

fn survey(
    sizer: &Sizer,
    loaded: &LoadedSpec,
    design: &Design,
    tried: TriedCoupons<'_>,
) -> Result<PrintSurvey, SizingError> {
    let spec = &loaded.spec;
    let is_printed = |material: &&Material| material.process.is_some_and(MaterialProcess::is_printed);
    let is_other = |material: &&Material| material.key != spec.coupon_material().key;
    let materials: Vec<&Material> = loaded.materials.materials().filter(is_printed).filter(is_other).collect();
    // Without a calibration the design is one without trials already.
    let sized_anew = spec.calibration.as_ref().map(|_| size_without_trials(sizer, loaded)).transpose()?;
    let untried = sized_anew.as_ref().unwrap_or(design);
    Ok(sizer.survey_prints(spec, untried, tried, &materials))
}

/// Returns notes on coupons that bear a few tries or none. `print` is the name of their material; `shown` formats the name
/// of a coupon.
pub(crate) fn strain_notes(
    print: &str,
    loads: &[CouponLoads],
    proposal: Option<&PrintProposal>,
    shown: impl Fn(&str) -> String,
) -> Vec<String> {
    let of = |tries: CouponTries| loads.iter().filter(move |one| one.tries_at_most == Some(tries));
    let names = |tries: CouponTries| of(tries).map(|loads| shown(&loads.identity)).collect::<Vec<_>>().join(", ");
    let few = of(CouponTries::Few).next().map(|first| {
        format!(
            "Try each of these at most {FEW_TRIES} times (common practice, no source): {}. The greatest tool strains them \
             beyond the {:.2} % that {print} bears again and again, but not beyond the {:.2} % of a single use.",
            names(CouponTries::Few),
            100.0 * first.strain_repeated,
            100.0 * first.strain_limit
        )
    });
    let worst = of(CouponTries::Never).filter_map(|loads| loads.strain).fold(0.0, f64::max);
    let over = of(CouponTries::Never).next().map(|first| {
        let remedy = proposal.map_or(String::new(), |proposal| format!(" {}", proposal_sentence(proposal)));
        format!(
            "The greatest tool strains {} of {} coupons to up to {:.2} % where {print} bears {:.2} % in a single use: {}. \
             They may whiten, stay open or crack at the first try.{remedy}",
            of(CouponTries::Never).count(),
            loads.len(),
            100.0 * worst,
            100.0 * first.strain_limit,
            names(CouponTries::Never)
        )
    });
    few.into_iter().chain(over).collect()
}

fn proposal_sentence(proposal: &PrintProposal) -> String {
    let PrintProposal { key, title, bears, coupons, also, .. } = proposal;
    let all = if bears == coupons { format!("all {coupons}") } else { format!("{bears} of {coupons}") };
    let others = match also.as_slice() {
        [] => String::new(),
        keys => format!(" So do {}.", keys.join(", ")),
    };
    format!("Sized for coupons in {title}, {all} keep that limit: write `print = \"{key}\"` under [coupons].{others}")
}
