//! What an instructor holds on the ground: the plan, its timetable, briefing, risks, cards, the demonstration.

pub(crate) mod briefing;
pub(crate) mod cards;
pub(crate) mod comparison;
pub(crate) mod day_sum;
pub(crate) mod demonstration;
mod hazards;
pub(crate) mod pad;
pub(crate) mod plan;
pub(crate) mod risk;
mod scored;
mod slope_hazards;
pub(crate) mod systems;
pub(crate) mod table_top;
pub(crate) mod timetable;
pub(crate) mod trouble;
pub(crate) mod wanted;
