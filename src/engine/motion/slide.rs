//! A sliding vehicle on a plane, exactly.
//!
//! With constant friction a locked vehicle is a block: its speed follows from its direction, and
//! distance and time are sums of exponentials of u = ln tan(ψ/2), ψ being the angle between its
//! travel and the steepest way down. The path bends towards that way (a classical problem).

use crate::engine::chassis::body::Leg;
use crate::engine::root;

/// A vehicle sliding with wheels locked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Slider {
    /// Speed, m/s.
    pub speed: f64,
    /// Direction of travel off the line driven, towards the low side, rad.
    pub off_line: f64,
}

/// What sliding over one leg did.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Slid {
    /// Speed and direction at the end.
    pub end: Slider,
    /// Progress along the line driven, m.
    pub along: f64,
    /// Drift to the low side, m.
    pub aside: f64,
    /// Length of the path, m.
    pub path: f64,
    /// Time, s.
    pub time: f64,
    /// Height lost, m.
    pub drop: f64,
    /// Whether it came to rest on the leg.
    pub stopped: bool,
    /// Whether it slid off the side first.
    pub off_side: bool,
    /// Whether it turned back down a leg that rises before either, too steep for it to come to rest.
    pub turned: bool,
}

/// Slides over a leg with this friction of the whole vehicle, with so much room to the low side (m).
pub(crate) fn over(leg: &Leg, start: Slider, friction: f64, gravity: f64, room: f64) -> Slid {
    let (down, side) = (leg.down(), leg.side());
    let pull = libm::hypot(down, side);
    let toward = libm::atan2(side, down);
    let angle = toward - start.off_line;
    let drag = friction * leg.press();
    if pull < 1e-12 || libm::sin(angle).abs() < 1e-9 {
        let with = if pull < 1e-12 { 0.0 } else { pull * libm::cos(angle).signum() };
        return straight(leg, start, gravity * (drag - with), with, room);
    }
    bent(leg, start, Plane { pull, toward, angle, m: drag / pull, gravity }, room)
}

/// Straight along the pull, or against it: constant retardation.
fn straight(leg: &Leg, start: Slider, deceleration: f64, pull: f64, side: f64) -> Slid {
    let (progress, drift) = (libm::cos(start.off_line), libm::sin(start.off_line));
    let ahead = leg.length / progress.max(1e-9);
    let beside = side / drift.max(1e-9);
    let room = ahead.min(beside);
    let reach =
        if deceleration > 0.0 { start.speed * start.speed / (2.0 * deceleration) } else { f64::INFINITY };
    let stopped = reach <= room;
    let path = reach.min(room);
    let speed = if stopped {
        0.0
    } else {
        libm::sqrt((start.speed * start.speed - 2.0 * deceleration * path).max(0.0))
    };
    // Twice the path over the sum of the speeds: exact for any constant retardation.
    let time = if path > 0.0 { 2.0 * path / (start.speed + speed) } else { 0.0 };
    Slid {
        end: Slider { speed, ..start },
        along: path * progress,
        aside: path * drift,
        path,
        time,
        drop: path * pull,
        stopped,
        off_side: !stopped && beside < ahead,
        turned: false,
    }
}

/// The plane slid on, as seen by the vehicle.
#[derive(Clone, Copy)]
struct Plane {
    /// Pull down the plane, for each unit of weight.
    pull: f64,
    /// Direction of the pull off the line, rad.
    toward: f64,
    /// Angle between pull and travel at the start, rad.
    angle: f64,
    /// Friction over pull.
    m: f64,
    /// Gravity, m/s².
    gravity: f64,
}

/// What has happened by w = u − u₀, going from 0 down.
struct Bent {
    speed: f64,
    angle: f64,
    with_pull: f64,
    across: f64,
    path: f64,
    time: f64,
}

/// ∫ e^(c w) dw from w to 0.
fn area(c: f64, w: f64) -> f64 {
    if c == 0.0 { -w } else { -libm::expm1(c * w) / c }
}

impl Plane {
    fn at(self, speed: f64, w: f64) -> Bent {
        let u = libm::log(libm::tan(self.angle.abs() / 2.0));
        let m = self.m;
        let cosh = libm::cosh(u);
        let g = self.gravity * self.pull;
        let square = speed * speed / (4.0 * cosh * cosh * g);
        let (up, low) = (libm::exp(u), libm::exp(-u));
        let (fast, slow) = (area(2.0 * (m + 1.0), w) * up * up, area(2.0 * (m - 1.0), w) * low * low);
        let across = 2.0 * square * (area(2.0 * m + 1.0, w) * up + area(2.0 * m - 1.0, w) * low);
        Bent {
            speed: speed * libm::cosh(u + w) / cosh * libm::exp(m * w),
            angle: 2.0 * libm::atan(libm::exp(u + w)),
            with_pull: square * (slow - fast),
            across,
            path: square * (fast + 2.0 * area(2.0 * m, w) + slow),
            time: speed / (2.0 * cosh * g) * (area(m + 1.0, w) * up + area(m - 1.0, w) * low),
        }
    }
}

fn bent(leg: &Leg, start: Slider, plane: Plane, room: f64) -> Slid {
    // Mirrored when the travel has already swung past the pull.
    let hand = plane.angle.signum();
    let (sine, cosine) = (libm::sin(plane.toward), libm::cos(plane.toward));
    let along = |bent: &Bent| bent.with_pull * cosine + hand * bent.across * sine;
    let aside = |bent: &Bent| bent.with_pull * sine - hand * bent.across * cosine;
    let off_line = |bent: &Bent| plane.toward - hand * bent.angle;
    // Friction below the pull never lets it rest: up a leg that rises it swings round and goes back
    // for ever, so the account ends where it no longer gets on.
    let back = |bent: &Bent| if plane.m < 1.0 { -libm::cos(off_line(bent)) } else { -1.0 };
    // Above zero once the end of the leg or its side is passed, or it turns back.
    let past = |w: f64| {
        let bent = plane.at(start.speed, w);
        (along(&bent) - leg.length).max(aside(&bent).abs() - room).max(back(&bent))
    };
    let mut far = -1.0;
    // By then the direction is the pull's to the last digit, or the vehicle stands.
    while past(far) < 0.0 && far > -1e6 {
        far *= 2.0;
    }
    let passes = past(far) >= 0.0;
    let w = if passes { -root::rising(0.0, -far, |w| past(-w)) } else { far };
    let bent = plane.at(start.speed, w);
    let turned = passes && back(&bent) > -1e-9;
    let end = off_line(&bent);
    let (along, aside) = (along(&bent), aside(&bent));
    Slid {
        end: Slider { speed: if passes { bent.speed } else { 0.0 }, off_line: end },
        along,
        aside,
        path: bent.path,
        time: bent.time,
        drop: bent.with_pull * plane.pull,
        stopped: !passes,
        off_side: passes && !turned && along < leg.length * (1.0 - 1e-9),
        turned,
    }
}
