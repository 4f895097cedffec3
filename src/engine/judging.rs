//! What is said of a descent: limits, tolerances, the deciding corner and the mark.

pub(in crate::engine) mod forgiving;
pub(in crate::engine) mod judge;
pub(in crate::engine) mod judgement;
pub(in crate::engine) mod leaning;
pub(in crate::engine) mod limits;
pub(in crate::engine) mod near;
pub(in crate::engine) mod profiles;
pub(in crate::engine) mod reason;
pub(in crate::engine) mod sensitivity;
pub(in crate::engine) mod setting;
pub(in crate::engine) mod verdict;
pub(in crate::engine) mod way_out;
pub(in crate::engine) mod where_locked;
pub(in crate::engine) mod win_back;
