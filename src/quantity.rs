//! Numbers that know what they measure.
//!
//! Inside the program every value is in SI; at the edges it is read and shown in a [`Unit`].
//!
//! ```
//! use slopepack::quantity::{Speed, parse};
//! let speed: Speed = parse("36 km/h").expect("a speed");
//! assert!((speed.si() - 10.0).abs() < 1e-9);
//! assert!(parse::<Speed>("36 kg").is_err());
//! ```

mod dim;
mod foot_pound;
mod measure;
mod parse;
mod shown;
mod unit;

pub use dim::Dim;
pub use foot_pound::way_of;
pub use measure::{
    Angle, Area, Displacement, Energy, Force, HeatCapacity, Inertia, Length, Mass, Measure, Power, Pressure,
    Ratio, Share, Speed, SpinRate, Temperature, Time, Torque,
};
pub use parse::{ParseError, Written, parse, parse_range, range_form};
pub use shown::{Digits, Shown, show};
pub use unit::{ToSi, Unit, UnitSystem, unit_named, units_of};

pub mod units {
    //! Every unit the program reads or shows.
    pub use super::unit::catalogue::*;
}
