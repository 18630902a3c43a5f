//! The adapted grid against one that is much finer and covers the whole prior.

use gripwright_input::{FigureBounds, MaterialLibrary, TrialOutcome, read_spec};
use gripwright_sizing::{ForceTableRange, coupon_forces, size};

use super::*;
use crate::{
    force_curves::MeasurableForces, material_marginals::MaterialMarginals, parameter_estimate::ParameterEstimate,
    posterior_summary::summarise, printed_piece::gather_pieces, prior::Prior, size_model::SizeModel, trial::Trial,
};

const TWO_TOOLS: &str = include_str!("../../data/two-tools.toml");

fn two_tools() -> (Prior, Vec<SizeModel>) {
    let mut spec = read_spec(TWO_TOOLS, "two-tools.toml", &MaterialLibrary::built_in()).unwrap().spec;
    // The case keeps its clips, whatever range the library gives for the class.
    spec.material.print.modulus_mpa = FigureBounds { least: 1900.0, greatest: 2200.0 };
    let design = size(&spec).unwrap();
    let prior = Prior { stiffness_log_sd: 0.2, ..Prior::from_spec(&spec) };
    let factor = (2.5 * prior.friction_log_sd).exp();
    let frictions = [prior.friction / factor, prior.friction, prior.friction * factor];
    let cases = coupon_forces(&spec, &design, &ForceTableRange { seat_mm: 0.9, frictions }).unwrap();
    (prior, cases.into_iter().map(SizeModel::new).collect())
}

const BY_FORCE: Criterion = Criterion::Force { hold_log: 0.0, push_log: 0.0, whole_clip: false };

/// Rows of one true process, with a fixed sequence of force errors.
fn rows(sizes: &[SizeModel], count: usize, with_forces: bool) -> Vec<Trial> {
    let (stiffness, friction, error) = (1.12, 0.19, -0.08);
    (0..count)
        .map(|line| {
            let size = line % (sizes.len() - 1);
            let step_mm = [-0.35, -0.15, -0.25, -0.30, -0.05][line % 5];
            let force_error = 0.1 * ((line * 7 % 11) as f64 / 5.0 - 1.0);
            let MeasurableForces { pull_n, slide_n } =
                sizes[size].predict_coupon(stiffness, friction, BY_FORCE, 0.25).forces(0, step_mm + error).unwrap();
            let outcome = match slide_n {
                s if s < 3.0 => TrialOutcome::Loose,
                _ => TrialOutcome::Good,
            };
            Trial {
                size,
                step_mm,
                tool: sizes[size].tools()[0],
                outcome,
                pull_n: with_forces.then_some(pull_n * (1.0 + force_error)),
                slide_n: with_forces.then_some(slide_n * (1.0 - force_error)),
                drag: None,
                bore_mm: None,
                round: line / 7,
                line,
            }
        })
        .collect()
}

/// Compares two estimates within a share of their standard deviation.
fn assert_close(found: ParameterEstimate, fine: ParameterEstimate, share: f64, name: &str) {
    let scale = share * fine.sd;
    assert!((found.median - fine.median).abs() < scale, "{name}: {found:?} against {fine:?}");
    for (a, b) in found.interval90.iter().zip(fine.interval90) {
        assert!((a - b).abs() < 1.5 * scale, "{name}: {found:?} against {fine:?}");
    }
    assert!((found.sd / fine.sd - 1.0).abs() < 1.5 * share, "{name}: {found:?} against {fine:?}");
}

#[test]
fn a_few_places_along_the_ridge_agree_with_thousands() {
    let (prior, sizes) = two_tools();
    for (count, with_forces, reach, counts) in
        [(3, false, 3.2, [13, 13]), (4, true, 3.2, [21, 25]), (45, true, 1.6, [41, 67])]
    {
        let trials = rows(&sizes, count, with_forces);
        let (pieces, used) = gather_pieces(&trials, &sizes);
        assert_eq!(used, count);
        let problem = FitProblem::new(&prior, &sizes, &pieces, true);
        let quadrature = Quadrature::new(&problem);
        let (lattice, weights) = quadrature.adapted_lattice(ShearedLattice::over_prior(&prior));
        assert!(weights.len() <= 169, "{}", weights.len());
        let fine = ShearedLattice::unsheared(&prior, reach, counts);
        let fine_weights = quadrature.place_weights(&fine, &all_scatters());
        let found = MaterialMarginals::new(&lattice, &weights);
        let exact = MaterialMarginals::new(&fine, &fine_weights);
        let name = format!("{count} rows");
        assert_close(found.stiffness.estimate, exact.stiffness.estimate, 0.06, &format!("{name}, stiffness"));
        assert_close(found.friction.estimate, exact.friction.estimate, 0.06, &format!("{name}, friction"));
    }
}

/// Words alone leave the material where the prior has it, to the last bit.
#[test]
fn words_do_not_teach_the_material() {
    let (prior, sizes) = two_tools();
    let materials = |trials: &[Trial]| {
        let (pieces, used) = gather_pieces(trials, &sizes);
        let problem = FitProblem::new(&prior, &sizes, &pieces, true);
        let found = summarise(&problem, &posterior_grid(&problem), used);
        (found.stiffness, found.friction)
    };
    assert_eq!(materials(&rows(&sizes, 9, false)), materials(&[]));
    let pulled = materials(&rows(&sizes, 9, true));
    assert!(pulled.0.sd < 0.9 * materials(&[]).0.sd, "{pulled:?}");
}
