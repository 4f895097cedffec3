//! One slope, one vehicle, one way down: the sheets that documents are put together from.

pub(crate) mod asked;
mod braked;
pub(crate) mod descent;
pub(crate) mod fetch;
pub(crate) mod helped;
pub(crate) mod locked;
pub(crate) mod own_limit;
mod rules;
pub(crate) mod site;
pub(crate) mod slope;
mod steeper;
mod under;
pub(crate) mod vehicle;
