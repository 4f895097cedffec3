//! A formula of the trade as data.
//!
//! Each is written once, as a function generic over an [`Algebra`]. With plain numbers it is what
//! the engine runs; with [`Expr`] it is a tree that prints with letters, prints with numbers, is
//! read aloud, has its dimensions checked and is bent by the usual slips. What is printed is what ran.
//!
//! ```
//! use slopepack::engine::symbols::SLOPE_ANGLE;
//! use slopepack::engine::taught::slope::GRADE_OF_ANGLE;
//! use slopepack::formula::Working;
//! use slopepack::quantity::UnitSystem;
//! let worked = Working::new("grade", "Grade", UnitSystem::Metric)
//!     .given(&SLOPE_ANGLE, 20_f64.to_radians())
//!     .step(&GRADE_OF_ANGLE)
//!     .finish()
//!     .expect("it can be worked");
//! assert_eq!(worked.answer().shown.text, "36.4");
//! assert!(worked.answer().plain.contains("tan(20"));
//! ```

mod algebra;
mod chain;
mod conversion;
mod definition;
mod digits;
mod dimension;
mod expr;
mod part;
mod reading;
mod slip;
mod symbol;
mod table;
mod voice;
mod worked;
mod working;
mod wrong;

pub use algebra::Algebra;
pub use chain::Link;
pub use definition::Formula;
pub(crate) use definition::formula;
pub(crate) use digits::given_digits;
pub use dimension::dimension;
pub use expr::{Expr, Function, Literal};
pub use part::Part;
pub use reading::{evaluate, line_holds};
pub use slip::{Bend, Slip};
pub use symbol::Symbol;
pub(crate) use symbol::symbols;
pub use voice::{Plain, Typeset, Voice, Words, say};
pub use worked::{Given, Line, Worked};
pub use working::Working;
pub use wrong::SlipAnswer;
