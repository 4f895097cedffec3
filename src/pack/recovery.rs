//! Pulls, rigs, kit and the recovery lesson, as their pages print them.

pub(crate) mod clear;
pub(crate) mod drawing;
pub(crate) mod drawn;
pub(crate) mod kit;
pub(crate) mod lesson;
pub(crate) mod moved;
pub(crate) mod parts;
pub(crate) mod plan;
pub(crate) mod rows;
pub(crate) mod rungs;
pub(crate) mod snatch;
pub(crate) mod strip;
pub(crate) mod summary;
pub(crate) mod tags;
pub(crate) mod told;
pub(crate) mod words;
