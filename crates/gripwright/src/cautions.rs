//! The usual cautions, printed after files are made. They defer to data sheets, local codes and licensed practice.

/// Cautions for printing, trimming, trying and loading the parts.
pub(crate) const CAUTIONS: &str = "\
Cautions
  Loads   Forces and margins are estimates until coupons have been tried. Do not hang anything over people,
          and do not trust a holder where its failure could hurt someone, without a test of your own.
  Snap    A clip that is bent too far can break and throw pieces: wear eye protection when trying coupons.
  Blades  Cut away from the hand and clamp the part when trimming; follow the tool maker's instructions.
  Dust    Sand wet or with extraction and a mask; the dust of resins and filled plastics harms the lungs.
  Fumes   Print in a ventilated room and follow the material's data sheet.
  Data sheets, local codes and licensed practice go before anything said here.
";
