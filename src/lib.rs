//! One course file in, one day's paper out.
//!
//! A course file describes slopes and a fleet; the engine works out what each vehicle does on each
//! slope; lessons turn the numbers into worked examples; the pack says which pages exist and what
//! each is given; printing fills templates and has them typeset. One way, no room reaching back.
//!
//! ```
//! use slopepack::{course::read_text, engine::reckon};
//! let course = read_text(include_str!("../courses/quarry-day.yaml")).expect("a course without mistakes");
//! assert_eq!(reckon(&course).pairs.len(), course.slopes.len() * course.vehicles.len());
//! ```

pub mod beside;
pub mod cli;
pub mod commands;
pub mod course;
pub mod earned;
pub mod engine;
pub mod formula;
pub mod lesson;
pub mod pack;
pub mod page;
pub mod paper;
pub mod print;
pub mod problem;
pub mod quantity;
pub mod recovery;
pub mod rota;
pub mod spreadsheet;
pub mod survey;
