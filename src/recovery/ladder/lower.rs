//! Letting a vehicle down on the line: what its own brake can take, how fast it goes, what line is left.

use serde::Serialize;

use crate::course::{Slope, Surface, Vehicle};
use crate::engine::formulas::{GRAVITY, recovery as r};
use crate::engine::{Body, Wheels};
use crate::recovery::gear::Winch;
use crate::recovery::operator::Operator;
use crate::recovery::rig::Rig;

/// A letting down, beside its rig.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Lowering {
    /// What the vehicle's own foot brake can hold here, N: wheels locked, lowest friction. Nothing of it
    /// is counted on where parts are chosen.
    pub brake_holds: f64,
    /// The share of the force held that the brake can take, 0 to 1.
    pub brake_share: f64,
    /// What the line holds while the brake takes its share, N.
    pub line_with_brake: f64,
    /// How fast it goes down, m/s, at the speed of the winch's own line; none where nobody told it.
    pub speed: Option<f64>,
    /// Time on the line, s.
    pub time: Option<f64>,
    /// Line that can still be drawn off when it stands on the run-out, m; the turns that stay on the drum
    /// are not in it.
    pub line_left: f64,
    /// Layers of the drum in use at the start and at the end; none where no drum is known.
    pub layers: Option<[usize; 2]>,
    /// Where the winch's operator is.
    pub operator: Operator,
}

/// What the foot brake of a vehicle holds on the steepest stretch of a slope, N.
pub fn brake_holds(slope: &Slope, surface: &Surface, vehicle: &Vehicle) -> f64 {
    let body = Body::of(vehicle);
    let whole = Wheels::locked(vehicle).map_or(0.0, |wheels| wheels.whole(surface.sliding.low, &body));
    let weight = r::weight(vehicle.mass.si(), GRAVITY);
    r::brake_hold(weight, slope.steepest().gradient.si(), whole)
}

impl Lowering {
    /// Of a vehicle (its identifier) that is held with a force (N), on a rig with this winch.
    pub fn of(stuck: &str, [brake_holds, held]: [f64; 2], rig: &Rig, winch: &Winch) -> Self {
        let parts = f64::from(rig.parts_of_line);
        let speed = winch.speed.map(|line| r::lowering_speed(line, parts));
        let brake_share = if held > 0.0 { (brake_holds / held).min(1.0) } else { 1.0 };
        // Line goes out with the vehicle: less is out when it begins.
        let at_start = rig.line_out - parts * rig.travel;
        Self {
            brake_holds,
            brake_share,
            line_with_brake: (1.0 - brake_share) * held,
            speed,
            time: speed.map(|speed| rig.travel / speed),
            line_left: winch.usable() - rig.line_out,
            layers: winch.layer(at_start).zip(winch.layer(rig.line_out)).map(<[usize; 2]>::from),
            operator: Operator::of(rig, stuck),
        }
    }

    /// Beside a catch line of so many parts at a line speed, m/s, over a way, m: the slower of the two sets the pace.
    #[must_use]
    pub(super) fn beside(self, catch: Option<(f64, u8)>, travel: f64) -> Self {
        let Some((line, parts)) = catch else { return self };
        let catch = r::lowering_speed(line, f64::from(parts));
        let speed = self.speed.map(|speed| speed.min(catch));
        Self { speed, time: speed.map(|speed| travel / speed), ..self }
    }
}
