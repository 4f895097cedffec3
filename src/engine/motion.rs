//! How a vehicle comes down, worked metre by metre: in gear, on the foot brake, with its wheels locked.

pub(in crate::engine) mod balance;
pub(in crate::engine) mod braked;
pub(in crate::engine) mod geared;
pub(in crate::engine) mod integrate;
pub(in crate::engine) mod ledger;
pub(in crate::engine) mod locked;
pub(in crate::engine) mod run;
pub(in crate::engine) mod skid;
pub(in crate::engine) mod slide;
pub mod steer;
pub(in crate::engine) mod stop;
