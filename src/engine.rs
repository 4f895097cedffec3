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

mod case;
mod chassis;
mod descent;
pub mod formulas;
mod judging;
mod mark;
mod motion;
mod pair;
mod reckon;
mod root;
pub mod symbols;
pub mod taught;
mod trace;
mod way;

pub use case::{Case, Spread};
pub use chassis::axle::{Axle, AxleDemand};
pub use chassis::body::{AIR_DENSITY, Body, Footing, Leg, Profile, circumference_of, tilt};
pub use chassis::brakes::{
    Air, AxleHeat, BrakeHeat, Duty, EMISSIVITY, FADE_BAND, Gap, IRON_SHARE, Load, Node, front_part,
    run_after_run, whole_minutes,
};
pub use chassis::clearance::{Bend, Room, Stood, Under};
pub use chassis::drive::{Drive, overall_ratio_of};
pub use chassis::hold::{Hold, LIMITED_BIAS, Side, Wheels};
pub use chassis::overrun::curves::{CURVES, DragCurve};
pub use chassis::overrun::{Converter, DIRECT_INJECTION, EngineDrag, FLEET, Fit, MEASURED_MARGIN, THROTTLE};
pub use chassis::slip::{FIRM_STIFFNESS, LOOSE_STIFFNESS, ROAD_SETS, RoadSet, SlipCurve};
pub use chassis::stability::{AxleLoads, ROLL_INERTIA_FACTOR, Stability, axle_loads};
pub use descent::Descent;
pub use judging::judgement::{
    Differential, Judgement, LockedAt, Measure, NextGear, NotDriven, OnWayOut, Unforgiving,
};
pub use judging::leaning::{fall_line, leans, way_out};
pub use judging::limits::Slips;
pub use judging::profiles::{room_under, stood};
pub use judging::reason::{AbortRule, Caution, Reason};
pub use judging::sensitivity::Sensitivity;
pub use judging::setting::Told;
pub use judging::verdict::{Evidence, Margins, Verdict};
pub use mark::{Corner, Deciding, End, Losses, Mark, Tolerance, What};
pub use motion::balance::Balance;
pub use motion::braked::{OnBrakes, braked};
pub use motion::geared::geared;
pub use motion::ledger::Ledger;
pub use motion::locked::locked;
pub use motion::run::{Outcome, Run};
pub use motion::skid::{FASTEST, NoSkid, Skid, VISIBLE};
pub use motion::steer;
pub use motion::stop::Stop;
pub use pair::{DescentRecord, Pair, Standing};
pub use reckon::{
    Compared, Factor, GearFigures, Reckoning, SurfaceFigures, VehicleFigures, compare, comparison,
    hold_at_limit, pairs_where, reckon, slick,
};
pub use trace::{Trace, runaway, traces};
pub use way::{Place, Way};
