//! All files of a design as bytes.

use gripwright_input::Spec;
use gripwright_sizing::{CouponLoads, Design, Sizer};

use crate::{
    coupon_card::over_strain_warning,
    coupon_files::{card_and_list, plate_files},
    holder_files::holder_files,
    output_set::{OutputError, OutputSet},
};

/// Parts of a design that are to be made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outputs {
    /// Holders, sleeves and coupons.
    Everything,
    /// Coupons alone.
    CouponsOnly,
}

/// Files of a design, and the predictions for its coupons that they state.
#[derive(Clone, Debug)]
pub struct DesignFiles {
    /// The files, without the design document and the trials sheet.
    pub set: OutputSet,
    /// Predicted forces and strains of each coupon.
    pub coupon_loads: Vec<CouponLoads>,
    /// Warning about coupons that are strained beyond what the print bears.
    pub note: Option<String>,
}

/// Draws the parts of a design and encodes their files. STEP files state the time `unix_seconds` (since 1970).
///
/// `sizer` is the one that made the design: coupons reuse its results.
pub fn design_files(
    sizer: &Sizer,
    spec: &Spec,
    design: &Design,
    outputs: Outputs,
    unix_seconds: u32,
) -> Result<DesignFiles, OutputError> {
    // Holders, coupons and what the coupons will bear share nothing: cores that are free take what is left.
    let holders = || match outputs {
        Outputs::Everything => holder_files(spec, design, unix_seconds),
        Outputs::CouponsOnly => Ok(OutputSet::default()),
    };
    let ((holders, coupon_loads), plates) = rayon::join(
        || rayon::join(holders, || sizer.coupon_loads(spec, design)),
        || plate_files(spec, design, unix_seconds),
    );
    let plates = plates?;
    let note = over_strain_warning(&spec.material.print.title, &coupon_loads, str::to_owned);
    let mut set = holders?;
    let plates_mm3: Vec<f64> = plates.iter().map(|p| p.volume_mm3).collect();
    for plate in plates {
        set.append(plate.files);
    }
    set.append(card_and_list(spec, design, &plates_mm3, &coupon_loads)?);
    Ok(DesignFiles { set, coupon_loads, note })
}
