//! Survey of print materials for the coupons of a cast part: the coupons are cut and solved in each of them.

use std::cmp::Reverse;

use gripwright_input::{Coupons, Material, Spec};
use rayon::prelude::*;
use serde::Serialize;

use crate::{
    coupons::coupon_brief::CouponBrief,
    coupons::coupon_loads::{CouponLoads, coupon_loads},
    coupons::coupon_set::coupon_set,
    design::Design,
    design::coupon::{CouponSet, CouponStep},
    model::solver_cache::SolverCache,
};

/// Print material that bears coupons which the print of the spec does not bear.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct PrintProposal {
    /// Key of the material in the library.
    pub key: String,
    /// Name of the material.
    pub title: String,
    /// Number of coupons that it bears.
    pub bears: usize,
    /// Number of coupons that some material bears.
    pub coupons: usize,
    /// Keys of the other materials that bear as many.
    pub also: Vec<String>,
}

/// Result of the survey.
#[derive(Clone, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct PrintSurvey {
    /// The material that bears most coupons. Of several, one of the print's own process counts first, then the one whose
    /// modulus is nearest to the cast part's: its walls differ least from the part's.
    pub proposal: Option<PrintProposal>,
    /// Coupons that no material bears.
    pub unbearable: Vec<CouponStep>,
}

/// Coupons of a design, with their loads in the print of the spec.
#[derive(Clone, Copy, Debug)]
pub struct TriedCoupons<'a> {
    /// The coupons.
    pub set: &'a CouponSet,
    /// Their loads, in the same order.
    pub loads: &'a [CouponLoads],
}

/// A material, and whether it bears each of the coupons.
struct Candidate<'a> {
    material: &'a Material,
    bears: Vec<bool>,
}

impl Candidate<'_> {
    fn count(&self) -> usize {
        self.bears.iter().filter(|borne| **borne).count()
    }
}

/// Cuts and solves the coupons in each of the materials. `untried` is the design without trials, from which coupons are cut.
pub(crate) fn survey_prints(
    spec: &Spec,
    untried: &Design,
    tried: TriedCoupons<'_>,
    materials: &[&Material],
    cache: &SolverCache,
) -> PrintSurvey {
    let wanted: Vec<CouponStep> = tried.set.coupons.iter().map(CouponStep::of).collect();
    let question = SurveyQuestion { spec, untried, wanted: &wanted, unmatched: tried.set.unmatched.len() };
    let candidates: Vec<Candidate<'_>> =
        materials.par_iter().filter_map(|material| candidate(&question, material, cache)).collect();
    let over = |index: &usize| tried.loads.get(*index).is_some_and(CouponLoads::over_strained);
    let borne = |index: &usize| candidates.iter().any(|c| c.bears.get(*index) == Some(&true));
    let unbearable = (0..wanted.len()).filter(|index| over(index) && !borne(index));
    let unbearable: Vec<CouponStep> = unbearable.filter_map(|index| wanted.get(index).copied()).collect();
    let own_count = tried.loads.iter().filter(|loads| !loads.over_strained()).count();
    let most = candidates.iter().map(Candidate::count).max().filter(|most| *most > own_count);
    let mut best: Vec<&Material> = candidates.iter().filter(|c| Some(c.count()) == most).map(|c| c.material).collect();
    let part_modulus = spec.material.part_material().modulus_mpa.middle();
    let same_process = |material: &Material| material.process == spec.material.print.process;
    let distance = |material: &Material| (material.modulus_mpa.middle() / part_modulus).ln().abs();
    best.sort_by(|a, b| {
        Reverse(same_process(a)).cmp(&Reverse(same_process(b))).then(distance(a).total_cmp(&distance(b)))
    });
    let proposal = best.split_first().map(|(first, others)| PrintProposal {
        key: first.key.clone(),
        title: first.title.clone(),
        bears: most.unwrap_or_default(),
        coupons: wanted.len() - unbearable.len(),
        also: others.iter().map(|material| material.key.clone()).collect(),
    });
    PrintSurvey { proposal, unbearable }
}

/// Coupons that are cut in every material.
struct SurveyQuestion<'a> {
    spec: &'a Spec,
    untried: &'a Design,
    wanted: &'a [CouponStep],
    /// Number of sizes that miss a match in stiffness in the print of the spec.
    unmatched: usize,
}

/// `None` if the coupons cannot be cut in the material, or fewer of them match the part.
fn candidate<'a>(question: &SurveyQuestion<'_>, material: &'a Material, cache: &SolverCache) -> Option<Candidate<'a>> {
    let SurveyQuestion { spec, untried, wanted, unmatched } = *question;
    let coupons = Coupons { print: Some(material.clone()), ..spec.coupons.clone() };
    let spec = Spec { coupons, ..spec.clone() };
    let brief = CouponBrief::new(&spec);
    let set = coupon_set(&brief, &untried.sizes, &untried.mount, wanted).ok()?;
    if set.unmatched.len() > unmatched {
        return None;
    }
    let loads = coupon_loads(&brief, &set.coupons, cache);
    // A coupon that does not snap on at every friction has no strain to be borne.
    let bears = loads.iter().map(|loads| loads.strain.is_some() && !loads.over_strained()).collect();
    Some(Candidate { material, bears })
}
