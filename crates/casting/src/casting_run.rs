//! Run of castings: shots, moulds and batches for the copies that are wanted.

/// Shots that a silicone mould bears before its surface goes: about 10, up to 25 (makers' texts). The lower figure counts.
pub const SHOTS_OF_A_MOULD: u32 = 10;

/// Number of shots and moulds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct CastingRun {
    /// Times that the mould is filled.
    pub shots: u32,
    /// Moulds that are worn out by them.
    pub moulds: u32,
    /// Castings beyond what is wanted, of the holder of which fewest cavities are in the mould.
    pub spare: u32,
}

impl CastingRun {
    /// Run for `copies` castings of each holder; `least_cavities` is the number of cavities of the holder that has fewest.
    /// `None` if it has no cavity.
    pub fn new(copies: u32, least_cavities: u32) -> Option<Self> {
        let shots = copies.checked_add(least_cavities.checked_sub(1)?)? / least_cavities;
        Some(Self { shots, moulds: shots.div_ceil(SHOTS_OF_A_MOULD), spare: shots * least_cavities - copies })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shots_cover_the_copies() {
        for (copies, cavities, shots, moulds, spare) in
            [(1, 1, 1, 1, 0), (10, 4, 3, 1, 2), (100, 2, 50, 5, 0), (21, 1, 21, 3, 0)]
        {
            let run = CastingRun::new(copies, cavities).unwrap();
            assert_eq!((run.shots, run.moulds, run.spare), (shots, moulds, spare));
        }
        assert_eq!(CastingRun::new(3, 0), None);
    }
}
