//! Split rings that bring small barrels up to the size of a clip.

pub(crate) mod end_marks;
pub(crate) mod sleeve_ring;
