//! What a vehicle is to a slope: its axles and their loads, what wheels, engine and brakes can hold.

pub(in crate::engine) mod axle;
pub(in crate::engine) mod body;
pub(in crate::engine) mod brakes;
pub(in crate::engine) mod clearance;
pub(in crate::engine) mod drive;
pub(in crate::engine) mod hold;
pub(in crate::engine) mod overrun;
pub(in crate::engine) mod slip;
pub(in crate::engine) mod stability;
