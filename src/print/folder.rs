//! The folder papers go into: a run writes on a desk in it, and what is finished is moved into its place.

pub(super) mod clearing;
pub(super) mod desk;
pub(super) mod manifest;
mod placing;
pub(super) mod publish;
pub(super) mod standing;
