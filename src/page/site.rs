//! The ground from above, to scale: the whole site with north at the top, and each slope's own part of it with the
//! way down to the right, so that the driver's left hand lies at the top.

mod clip;
mod drawn;
mod label;
mod near;
mod paper;
mod picture;
mod told;
mod words;

pub(crate) use picture::{SitePicture, Size, Who};
pub(crate) use told::{Listed, areas, degrees, listed};
