//! The day of a course without a rota: who is where on every turn, the day on one page, and what holds when it is wet.

pub(in crate::pack) mod careful;
pub(crate) mod channels;
pub(crate) mod control;
mod crew_time;
pub(crate) mod limit;
pub(crate) mod page;
pub(crate) mod posts;
pub(crate) mod practical;
pub(crate) mod said_seen;
pub(crate) mod wet;
