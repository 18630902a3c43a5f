//! Fewest sets by brute force, which the tests compare with the splits.

/// Fewest sets over all ways to part tools into sets that are served; `serves` has an answer for every set, a bit for
/// each tool. `None` when some tool is in no served set.
pub(crate) fn fewest_sets(serves: &[bool]) -> Option<usize> {
    let mut fewest = vec![None; serves.len()];
    fewest[0] = Some(0);
    for mask in 1..serves.len() {
        let first = mask & mask.wrapping_neg();
        let mut part = mask;
        // Every part that holds the first tool of the mask.
        while part > 0 {
            if part & first != 0
                && serves[part]
                && let Some(rest) = fewest[mask ^ part]
                && fewest[mask].is_none_or(|f: usize| rest + 1 < f)
            {
                fewest[mask] = Some(rest + 1);
            }
            part = (part - 1) & mask;
        }
    }
    fewest[serves.len() - 1]
}
