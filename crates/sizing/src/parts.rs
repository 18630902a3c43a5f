//! Parts of a holder: mount, web and clips put together, sleeves, keep-outs.
//!
//! A part takes a [`holder_brief::HolderBrief`] instead of the spec. Faults are data; `explain` turns them into messages.

pub(crate) mod draft_check;
pub(crate) mod holder;
pub(crate) mod holder_brief;
pub(crate) mod holder_fault;
pub(crate) mod keep_out;
pub(crate) mod layout;
pub(crate) mod pad_fillets;
pub(crate) mod side_case;
pub(crate) mod sleeve;
pub(crate) mod web_load;
pub(crate) mod web_strength;
pub(crate) mod web_windows;
