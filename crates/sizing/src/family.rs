//! Number of clip sizes: splits a family of tools into sizes.

#[cfg(test)]
pub(crate) mod brute_force;
pub(crate) mod set_partition;
pub(crate) mod sleeve_obstacle;
pub(crate) mod sleeve_split;
pub(crate) mod split;
pub(crate) mod strategy;
