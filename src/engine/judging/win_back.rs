//! What to measure so that a pair can be judged better.

use super::judgement::Measure;
use super::setting::Setting;
use crate::course::{Driven, Lock};
use crate::engine::mark::{Deciding, Mark, Tolerance, What};

/// What to measure to win a better mark back: only what decides or nearly does, and was not measured.
pub(crate) fn measure(setting: &Setting, mark: Mark, reasons: &[Deciding]) -> Vec<Measure> {
    if mark == Mark::Within {
        return Vec::new();
    }
    let vehicle = setting.vehicle;
    let transmission = &vehicle.transmission;
    let any = |what: &[What]| reasons.iter().any(|reason| what.contains(&reason.what));
    let broken_by = |tolerance| reasons.iter().any(|reason| reason.tolerance == Some(tolerance));
    let by_engine = any(&[What::Speed, What::EngineSpeed, What::Balance]) || broken_by(Tolerance::Drag);
    let by_mass = broken_by(Tolerance::Mass) || broken_by(Tolerance::Lighter);
    let by_grip = any(&[What::FrontGrip, What::RearGrip, What::GripInHand]);
    let unsurveyed = setting.slope.survey.as_ref().is_none_or(|survey| survey.reads_to.is_none());
    let differentials = transmission.differentials;
    let tilted = setting.stability.side_tilt > 0.0;
    let wheels_unknown = transmission.driven == Driven::Unknown;
    let locks_unknown = (transmission.driven == Driven::AllWheels && differentials.centre == Lock::Unknown)
        || (tilted && [differentials.front, differentials.rear].contains(&Lock::Unknown));
    let touches = any(&[What::NoseTouches, What::BellyTouches, What::TailTouches]);
    let bends_unmeasured = setting.slope.brow.rounded.is_none() || setting.slope.foot_rounded.is_none();
    let wants = [
        (Measure::RunOut, setting.slope.run_out.is_none()),
        (Measure::WayOut, any(&[What::WayOutMissing])),
        (Measure::Mass, vehicle.is_guessed("mass") && (by_engine || by_mass)),
        (Measure::Gradient, unsurveyed && (by_grip || by_engine || broken_by(Tolerance::Gradient))),
        (Measure::Overrun, vehicle.engine.drag.is_empty() && vehicle.engine.earned.is_none() && by_engine),
        (Measure::Drive, wheels_unknown && by_grip),
        (Measure::Differentials, !wheels_unknown && locks_unknown && by_grip),
        (Measure::LockUp, any(&[What::LockUp])),
        (Measure::Bends, touches && bends_unmeasured),
    ];
    wants.into_iter().filter(|(_, wanted)| *wanted).map(|(measure, _)| measure).collect()
}
