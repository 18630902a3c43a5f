//! Figures of practice that no plan works out.

/// Degassing container over the batch: silicone rises to a multiple of its volume. Source: casting guides.
pub(super) const DEGASSING_ROOM: [f64; 2] = [3.0, 5.0];
/// Longest vacuum for fast materials, min. Source: casting guides.
pub(super) const FAST_VACUUM_MIN: u32 = 5;
/// Greatest relative humidity for polyurethane, %. Source: casting guides.
pub(super) const MOST_HUMIDITY: u32 = 50;
/// Time of mixing a small batch of resin, s. Common practice, no source.
pub(super) const MIXING_S: [u32; 2] = [45, 60];
/// Grit of the last sanding between coats. Source: finishing guides.
pub(super) const GRIT: u32 = 400;
