//! The formulas of the trade, each written once.
//!
//! Every function here is generic over an [`Algebra`](crate::formula::Algebra): with numbers it is
//! what the engine runs, with trees it is what the pages print. Units are SI; angles are radians;
//! rotational speeds are turns per second.

pub mod day;
pub mod gearing;
pub mod grip;
pub mod heat;
pub mod overrun;
pub mod recovery;
pub mod show;
pub mod slope;
pub mod stability;

/// Standard gravity, m/s² (ISO 80000-3).
pub const GRAVITY: f64 = 9.806_65;
