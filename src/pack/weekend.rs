//! A club's day with its drivers: rota, cards, forms, calendar, and the pages that are its own.

pub(crate) mod after;
pub(crate) mod calendar;
pub(crate) mod cards;
mod company;
pub(crate) mod convoy;
pub(crate) mod day;
pub(crate) mod forms;
pub(crate) mod joining;
pub(crate) mod leader;
pub(crate) mod on_call;
pub(crate) mod own;
pub(crate) mod posts;
pub(crate) mod run_sheets;
mod service;
pub(crate) mod take_back;
pub(crate) mod vehicle_check;
