//! A locked stop that a class can see: how fast, how long, how much room.

use crate::course::Surface;

use crate::engine::formulas::GRAVITY;
use crate::engine::formulas::show::slide_speed;
use crate::engine::formulas::slope::{locked_deceleration, stop_distance};

/// Shortest slide, m, that people behind a rope can tell from a stop. Judgement.
pub const VISIBLE: f64 = 3.0;

/// Fastest a vehicle is driven onto a skid pad, m/s: 15 km/h. Common practice, no source.
pub const FASTEST: f64 = 15.0 / 3.6;

/// How gently a vehicle is brought to its speed before the pegs, m/s². Judgement.
const GATHERING: f64 = 1.0;

/// A locked slide on nearly level ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Skid {
    /// Speed at which the wheels lock, m/s.
    pub speed: f64,
    /// Slide at the high end of the friction, m.
    pub shortest: f64,
    /// Slide at the low end of the friction, m.
    pub longest: f64,
    /// Deceleration at the high end, m/s².
    pub slowing: f64,
}

/// Why a piece of ground cannot show a locked slide.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoSkid {
    /// At the low end of the friction it never stops.
    NeverStops,
    /// A slide that can be seen takes this speed, m/s, more than is driven for it.
    TooFast(f64),
    /// It needs this length, m.
    TooShort(f64),
}

impl Skid {
    /// The slowest slide that can be seen on a surface with this gradient (rad, down positive), driven
    /// no faster than `fastest` (m/s).
    ///
    /// # Errors
    /// Why this ground cannot show it.
    pub fn on(surface: &Surface, gradient: f64, fastest: f64) -> Result<Self, NoSkid> {
        let slowing = |friction: f64| locked_deceleration(GRAVITY, friction, gradient);
        let (least, most) = (slowing(surface.sliding.low), slowing(surface.sliding.high));
        if least <= 0.0 {
            return Err(NoSkid::NeverStops);
        }
        let speed = slide_speed(most, VISIBLE);
        if speed > fastest {
            return Err(NoSkid::TooFast(speed));
        }
        Ok(Self { speed, shortest: VISIBLE, longest: stop_distance(speed, least), slowing: most })
    }

    /// Clear ground from the peg where the wheels lock, m: twice the longest slide and the vehicle.
    pub fn room(&self, vehicle: f64) -> f64 {
        2.0 * self.longest + vehicle
    }

    /// Ground before that peg on which the vehicle gathers its speed, m.
    pub fn approach(&self) -> f64 {
        stop_distance(self.speed, GATHERING)
    }

    /// The same if a strip of this length (m) holds it with a vehicle of this length (m).
    ///
    /// # Errors
    /// The length it needs.
    pub fn within(self, strip: f64, vehicle: f64) -> Result<Self, NoSkid> {
        let needs = self.approach() + self.room(vehicle);
        if needs > strip { Err(NoSkid::TooShort(needs)) } else { Ok(self) }
    }
}
