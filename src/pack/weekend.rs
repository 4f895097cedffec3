//! A club's day with its drivers: rota, cards, forms, calendar.

pub(crate) mod after;
pub(crate) mod calendar;
pub(crate) mod cards;
pub(crate) mod convoy;
pub(crate) mod day;
pub(crate) mod forms;
pub(crate) mod joining;
pub(crate) mod leader;
pub(crate) mod posts;
pub(crate) mod run_sheets;
pub(crate) mod take_back;
