//! What happens on the slope, in numbers.
//!
//! [`reckon`] works every vehicle down every slope of a course: in each gear, on the foot brake, and
//! with its wheels locked, at the unfavourable, likely and favourable end of every range. The rooms
//! below it can be used alone with plain numbers, which is how the published values are checked.
//!
//! ```
//! use slopepack::engine::formulas::gearing::creep_speed;
//! // A wheel of 2.4 m around, 10 turns of the engine a second, 40 of them for one of the wheel: m/s.
//! assert!((creep_speed(2.4, 10.0, 40.0) - 0.6).abs() < 1e-12);
//! ```

mod axle;
mod balance;
mod body;
mod braked;
mod brakes;
mod case;
mod descent;
mod drive;
pub mod formulas;
mod geared;
mod hold;
mod integrate;
mod judge;
mod judgement;
mod ledger;
mod limits;
mod locked;
mod mark;
mod near;
mod overrun;
mod pair;
mod reason;
mod reckon;
mod root;
mod run;
mod sensitivity;
mod setting;
mod skid;
mod slide;
mod slip;
mod stability;
pub mod steer;
mod stop;
pub mod symbols;
pub mod taught;
mod trace;
mod verdict;
mod way;
mod where_locked;
mod win_back;

pub use axle::{Axle, AxleDemand};
pub use balance::Balance;
pub use body::{AIR_DENSITY, Body, Footing, Leg, Profile, circumference_of, tilt};
pub use braked::{OnBrakes, braked};
pub use brakes::{
    Air, AxleHeat, BrakeHeat, Duty, EMISSIVITY, FADE_BAND, Gap, IRON_SHARE, Load, Node, run_after_run,
    whole_minutes,
};
pub use case::{Case, Spread};
pub use descent::Descent;
pub use drive::{Drive, overall_ratio_of};
pub use geared::geared;
pub use hold::{Hold, LIMITED_BIAS, Side, Wheels};
pub use judgement::{Differential, Judgement, LockedAt, Measure};
pub use ledger::Ledger;
pub use limits::Slips;
pub use locked::locked;
pub use mark::{Corner, Deciding, End, Losses, Mark, Tolerance, What};
pub use overrun::curves::{CURVES, DragCurve};
pub use overrun::{Converter, DIRECT_INJECTION, EngineDrag, FLEET, Fit, MEASURED_MARGIN, THROTTLE};
pub use pair::{DescentRecord, Pair, Standing};
pub use reason::{AbortRule, Caution, Reason};
pub use reckon::{
    Compared, Factor, GearFigures, Reckoning, SurfaceFigures, VehicleFigures, compare, comparison,
    hold_at_limit, reckon,
};
pub use run::{Outcome, Run};
pub use sensitivity::Sensitivity;
pub use setting::Told;
pub use skid::{FASTEST, NoSkid, Skid, VISIBLE};
pub use slip::{FIRM_STIFFNESS, LOOSE_STIFFNESS, ROAD_SETS, RoadSet, SlipCurve};
pub use stability::{AxleLoads, ROLL_INERTIA_FACTOR, Stability, axle_loads};
pub use stop::Stop;
pub use trace::{Trace, traces};
pub use verdict::{Evidence, Margins, Verdict};
pub use way::{Place, Way};
