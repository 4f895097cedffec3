//! A pace anyone can observe: seconds between two pegs, the rev counter, somebody walking beside.

use serde::Serialize;

use crate::course::{Gear, Gearbox, Slope, Vehicle};
use crate::engine::formulas::gearing::{creep_speed, engine_spin};
use crate::engine::formulas::show::peg_time;
use crate::engine::{Spread, Told, Way, circumference_of, overall_ratio_of};
use crate::page::figure::{Fig, Show};

/// Two pegs beside the line, and the fewest seconds between them that the speed limit allows.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Pegs {
    /// How far apart.
    pub apart: Fig,
    /// Fewest seconds.
    pub least: Fig,
    /// The same as a number.
    pub seconds: f64,
}

/// What a speed looks like.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Pace {
    /// Seconds between the pegs beside the steepest stretch.
    pub pegs: Fig,
    /// Speed there: over the brow it may have been faster.
    pub speed: Fig,
    /// Fewest seconds to expect there.
    pub fewest: f64,
    /// Somebody beside it.
    pub beside: &'static str,
    /// Engine speed at the course's limit in the gear; none through an open converter.
    pub engine: Option<Fig>,
    /// Where the engine may turn no faster before the course's limit is reached: what the vehicle does then.
    pub own: Option<Own>,
    /// Whether a thumb on a watch can tell it from a run over the limit.
    pub by_watch: bool,
}

/// A vehicle's own limit in a gear: the engine turns as fast as it may below the course's speed limit.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Own {
    /// How fast the vehicle goes then.
    pub speed: Fig,
    /// Pegs, and the fewest seconds between them at that speed.
    pub pegs: Pegs,
}

impl Own {
    /// None where the engine reaches the course's limit, m/s, and where it is open to the wheels through a
    /// converter.
    fn of(vehicle: &Vehicle, gear: Gear, limit: f64, show: Show) -> Option<Self> {
        let (ratio, way) = (overall_ratio_of(vehicle, gear), circumference_of(vehicle));
        let most = vehicle.engine.highest.si();
        let linked = vehicle.transmission.gearbox != Gearbox::AutomaticUnlocked;
        (linked && engine_spin(limit, ratio, way) > most).then(|| {
            let speed = creep_speed(way, whole_fifties(most), ratio);
            Self { speed: show.speed(speed, false), pegs: Pegs::of(None, speed, show) }
        })
    }
}

/// Down to fifty turns a minute, as a rev counter is read; turns a second.
fn whole_fifties(spin: f64) -> f64 {
    let step = 50.0 / 60.0;
    (spin / step + 1e-9).floor() * step
}

/// How far apart pegs stand on a slope, m: half as far where its steepest stretch is short. Common practice,
/// no source.
fn apart(slope: Option<&Slope>, show: Show) -> f64 {
    let whole = show.pegs_apart();
    match slope {
        Some(slope) if slope.steepest().length.si() < 1.5 * whole => whole / 2.0,
        _ => whole,
    }
}

/// What two thumbs on a watch may be out together, start and stop, s. Common practice, no source.
const THUMB: f64 = 0.5;

/// The fewest whole tenths of a second that are no shorter; what is a tenth but for the last digits stays one.
fn fewest_tenths(seconds: f64) -> f64 {
    (10.0 * seconds - 1e-6).ceil()
}

impl Pegs {
    /// On a slope, or anywhere.
    pub(crate) fn of(slope: Option<&Slope>, limit: f64, show: Show) -> Self {
        let apart = apart(slope, show);
        // Up to the next tenth: never more than the limit, and by no more than a watch shows less.
        let least = fewest_tenths(peg_time(apart, limit)) / 10.0;
        Self {
            apart: show.length(apart, false).trimmed(),
            least: Fig::new(format!("{least:.1}"), "s", false),
            seconds: least,
        }
    }
}

impl Pace {
    /// Of a vehicle that comes down a slope this way at these highest speeds: beside the steepest stretch, where
    /// the pegs stand, it goes at the speed it settles at there.
    pub(crate) fn of(
        vehicle: &Vehicle,
        slope: &Slope,
        (told, speed): (&Told, Spread),
        limit: f64,
        show: Show,
    ) -> Self {
        let apart = apart(Some(slope), show);
        // A slope may end before it has settled: never faster than the highest speed to expect.
        let most = speed.high;
        let speed =
            settled(told).map_or(speed, |at| Spread { low: at.low.min(most), high: at.high.min(most), ..at });
        let gear = told.descent.gear;
        let seconds = |speed: f64| peg_time(apart, speed.max(0.05));
        Self {
            pegs: show.counts(seconds(speed.high), seconds(speed.low), true),
            speed: show.speeds(speed.low, speed.high, true),
            fewest: seconds(speed.high),
            beside: beside(speed.high),
            engine: gear.and_then(|gear| engine_at(vehicle, gear, limit, show)),
            own: gear.and_then(|gear| Own::of(vehicle, gear, limit, show)),
            by_watch: seconds(speed.high) - seconds(limit) >= THUMB,
        }
    }
}

/// Speeds at which it settles on the steepest stretch: in a gear where that balances, with the foot brake at what the
/// driver keeps; none otherwise.
fn settled(told: &Told) -> Option<Spread> {
    if told.descent.way == Way::Assisted {
        return Some(told.descent.foot_speed);
    }
    let [worst, likely, best] = told.descent.balance.filter(|_| told.descent.way == Way::Geared)?;
    Some(Spread::of([worst.speed()?, likely.speed()?, best.speed()?]))
}

/// Engine speed at a ground speed, m/s, to the 50 below so that the limit is kept, and never over what the
/// engine may turn; none through an open converter.
pub(crate) fn engine_at(vehicle: &Vehicle, gear: Gear, speed: f64, show: Show) -> Option<Fig> {
    if vehicle.transmission.gearbox == Gearbox::AutomaticUnlocked {
        return None;
    }
    let spin = engine_spin(speed, overall_ratio_of(vehicle, gear), circumference_of(vehicle));
    Some(show.spin(whole_fifties(spin.min(vehicle.engine.highest.si())), false))
}

/// Somebody who goes along at a speed, m/s. Common practice, no source.
fn beside(speed: f64) -> &'static str {
    match 3.6 * speed {
        v if v < 2.5 => "a slow stroll",
        v if v < 4.0 => "a stroll",
        v if v < 5.5 => "a walk",
        v if v < 7.5 => "a fast walk",
        v if v < 11.0 => "a jog",
        _ => "a run",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::UnitSystem;

    #[test]
    fn the_fewest_seconds_never_allow_more_than_the_limit() {
        let show = Show::new(UnitSystem::Metric);
        let pegs = Pegs::of(None, 8.0 / 3.6, show);
        assert_eq!((pegs.apart.text(), pegs.least.text()), ("10 m".to_owned(), "4.5 s".to_owned()));
        let pegs = Pegs::of(None, 6.0 * 0.447_04, Show::new(UnitSystem::Imperial));
        // 30 ft in 3.41 s are 6 mph.
        assert_eq!((pegs.apart.text(), pegs.least.text()), ("30 ft".to_owned(), "3.5 s".to_owned()));
        for tenths in 20..=250 {
            let limit = f64::from(tenths) / 36.0;
            let pegs = Pegs::of(None, limit, show);
            let least: f64 = pegs.least.v.parse().expect("a number");
            assert!(10.0 / least <= limit * (1.0 + 1e-6), "{least} s allow more than {limit} m/s");
            assert!(10.0 / (least - 0.1) > limit, "{least} s where fewer keep {limit} m/s");
        }
        assert_eq!(Pegs::of(None, 10.0 / 3.6, show).least.text(), "3.6 s");
    }
}
