//! Chain of sizes of a spec: from the master as drawn to the casting.

use gripwright_casting::{CastingProcess, FaceClass, FaceLayers, Shrinkage, ShrinkageFactors, SizeKind, Spread};
use gripwright_input::{CastingSettings, CastingShrinkage, MeanAndSpread, Mould, Printer, RubberCure, Spec};

/// Least standard deviation (mm) of a cast seat that may be claimed before the shrinkage was learnt on a casting: the best
/// published tolerance for cast polyurethane is ±0.1 mm up to 25 mm (*Castable Polyurethane Elastomers*, ch. 5, as quoted in
/// secondary texts); a little less than that is common practice, no source.
const UNLEARNT_SEAT_SPREAD_MM: f64 = 0.08;

/// Returns the process of a spec that is cast.
///
/// The print's own error is not in it: drawn sizes undo it already, as far as trials have found it. Its spread is.
pub(crate) fn casting_process(printer: &Printer, settings: &CastingSettings) -> CastingProcess {
    // The spreads of seat and wall are those of two faces that vary together.
    let printed = |spread_mm: f64| Spread { mean: 0.0, deviation: 0.5 * spread_mm };
    let print = FaceLayers {
        gripping: printed(printer.seat_spread_mm),
        outer: printed(printer.wall_spread_mm),
        pad: printed(printer.wall_spread_mm),
    };
    let coat = Spread { mean: settings.primer.thickness_mm, deviation: settings.primer.spread_mm };
    let gripping = if settings.primer.masked { Spread::default() } else { coat };
    let primer = FaceLayers { gripping, outer: coat, pad: Spread::default() };
    CastingProcess { print, primer, shrinkage: shrinkage(settings) }
}

fn shrinkage(settings: &CastingSettings) -> Shrinkage {
    let (rubber, resin) = (&settings.rubber, &settings.resin);
    match settings.shrinkage {
        CastingShrinkage::Net => {
            let net = spread(resin.net_shrinkage);
            // Net figures are those of moulds that cure by addition; the others shrink more, and go on.
            Shrinkage::Net(match rubber.cure {
                RubberCure::Condensation if !settings.learnt => Spread {
                    mean: net.mean + rubber.shrinkage.mean,
                    deviation: net.deviation.hypot(rubber.shrinkage.spread),
                },
                _ => net,
            })
        }
        CastingShrinkage::Factors { rubber_cure_c, mould_c, gel_c, master_per_k } => {
            Shrinkage::Factors(ShrinkageFactors {
                master_per_k: Spread::exactly(master_per_k),
                cure_c: rubber_cure_c,
                silicone: spread(rubber.shrinkage),
                silicone_per_k: spread(rubber.expansion_per_k),
                pour_c: mould_c,
                gelling: spread(resin.gel_shrinkage),
                resin_per_k: spread(resin.expansion_per_k),
                gel_c,
            })
        }
    }
}

fn spread(figure: MeanAndSpread) -> Spread {
    Spread { mean: figure.mean, deviation: figure.spread }
}

/// Returns the spreads that the mould adds to those of the printer, so that both together are those of the chain.
///
/// `given` are the spreads of the spec, and `written` says of seat and wall whether the spec gives them itself: then they stay.
pub(crate) fn mould_spreads(spec: &Spec, settings: &CastingSettings, written: [bool; 2]) -> Mould {
    let (printer, given) = (&spec.printer, spec.mould);
    let process = casting_process(printer, settings);
    let widest_mm = spec.tools.iter().map(|tool| tool.barrel.limits_mm()[1]).fold(0.0, f64::max);
    let seat = process.chain(FaceClass::Gripping).cast_size(widest_mm, SizeKind::Inside).deviation_mm;
    let seat = if settings.learnt { seat } else { seat.max(UNLEARNT_SEAT_SPREAD_MM) };
    // A wall lies between a gripping face and an outer one.
    let wall = process.chain(FaceClass::Outer).cast_size(given.least_wall_mm, SizeKind::Outside).deviation_mm;
    let added = |whole: f64, print: f64| (whole * whole - print * print).max(0.0).sqrt();
    Mould {
        seat_spread_mm: if written[0] { given.seat_spread_mm } else { added(seat, printer.seat_spread_mm) },
        wall_spread_mm: if written[1] { given.wall_spread_mm } else { added(wall, printer.wall_spread_mm) },
        ..given
    }
}
