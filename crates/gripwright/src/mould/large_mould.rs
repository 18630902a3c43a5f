//! A mould that is too large for printer or vessel: by how much, and what would fit.

use gripwright_casting::{
    VentPlan,
    mould::{BoxSize, Misfit, MouldFigures, MouldLayout, MouldLimits, lay_out, misfits},
};
use gripwright_input::{Parting, Source};

use crate::mould::{
    cast_master::{CastKind, CastMaster},
    mould_error::MouldError,
    settled_layout::{SAME_TURN_RAD, kinds, mould_parting, settled_layout, share_of, vents},
};

/// A mould as it was asked for, which is too large for bed or vessel.
pub(crate) struct LargeMould<'a> {
    pub(crate) masters: &'a [CastMaster],
    pub(crate) vents: &'a [VentPlan],
    pub(crate) parting: Parting,
    pub(crate) figures: &'a MouldFigures,
    pub(crate) limits: &'a MouldLimits,
    pub(crate) tilt_rad: f64,
}

impl LargeMould<'_> {
    /// Says by how much it is too large, and which attitude, or which numbers of cavities and slices, would fit.
    pub(crate) fn error(
        &self,
        source: &Source,
        found: &[Misfit],
        layout: &MouldLayout,
    ) -> Result<MouldError, MouldError> {
        let texts: Vec<String> = found.iter().map(ToString::to_string).collect();
        let is_bed = found.iter().any(|misfit| matches!(misfit, Misfit::Bed { .. }));
        let path = if is_bed { "printer.bed" } else { "casting.vessel" };
        let is_tilted = matches!(found, [Misfit::Tilted { .. }]);
        let flatter = if is_tilted { self.flatter()? } else { None };
        let tilt = flatter.map(|degrees| format!("`tilt = \"{degrees} deg\"`"));
        let fewer =
            self.fitting()?.map(|[cavities, slices]| format!("`cavities = {cavities}` with `slices = {slices}`"));
        let remedies: Vec<String> = tilt.into_iter().chain(fewer).collect();
        let hint = if remedies.is_empty() {
            let size = BoxSize::new(layout, self.figures);
            let [width, depth] = size.outer_mm;
            format!(
                "no smaller number fits; this mould is {width:.0} × {depth:.0} mm and {:.0} mm high with its box",
                size.height_mm
            )
        } else {
            format!("{} in [casting] fits", remedies.join(", or "))
        };
        Ok(MouldError::unmet(source, source.diagnostic(path, "mould-too-large", texts.join("; ")).with_hint(hint)))
    }

    /// Greatest whole number of degrees of tilt, less than that asked for, at which the mould fits and no air stays.
    fn flatter(&self) -> Result<Option<u8>, MouldError> {
        let less = (0..=45_u8).rev().filter(|degrees| f64::from(*degrees).to_radians() < self.tilt_rad - SAME_TURN_RAD);
        for degrees in less {
            let vented = vents(self.masters, self.parting, f64::from(degrees).to_radians())?;
            let limits = MouldLimits { up: Some(vented.attitude.up), ..*self.limits };
            let (layout, vented) = settled_layout(self.masters, self.parting, self.figures, &limits, vented)?;
            let is_dry = vented.plans.iter().all(|plan| plan.pockets_left.is_empty());
            if is_dry && misfits(&layout, self.figures, &limits).is_empty() {
                return Ok(Some(degrees));
            }
        }
        Ok(None)
    }

    /// Greatest numbers of cavities and of slices of each clip that fit: as many slices as possible first.
    fn fitting(&self) -> Result<Option<[usize; 2]>, MouldError> {
        let is_holder = |kind: &usize| self.masters[*kind].kind == CastKind::Holder;
        let holders: Vec<usize> = (0..self.masters.len()).filter(is_holder).collect();
        let asked: usize = holders.iter().map(|&kind| self.masters[kind].count).sum();
        let slices = self.masters.iter().filter(|m| m.kind == CastKind::Slice).map(|m| m.count).max().unwrap_or(0);
        for slices in (0..=slices).rev() {
            for cavities in (holders.len()..=asked).rev() {
                let mut kinds = kinds(self.masters, self.vents, self.figures);
                for (index, kind) in kinds.iter_mut().enumerate() {
                    kind.wanted = match holders.iter().position(|&holder| holder == index) {
                        Some(size) => share_of(cavities, holders.len(), size),
                        None => slices,
                    };
                }
                let layout = lay_out(&kinds, mould_parting(self.parting), self.figures, self.limits)?;
                if misfits(&layout, self.figures, self.limits).is_empty() {
                    return Ok(Some([cavities, slices]));
                }
            }
        }
        Ok(None)
    }
}
