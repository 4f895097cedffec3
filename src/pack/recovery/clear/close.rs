//! The working ground from above, close up and to scale: who stands where, what is made fast to what. All of it
//! lies inside the ground kept clear.

use serde::Serialize;

use crate::course::{Course, Vehicle};
use crate::page::figure::Show;
use crate::recovery::Recovery;
use crate::recovery::ladder::lower::Operator;
use crate::recovery::layout::{Joint, WinchAt};
use crate::recovery::pull::Direction;
use crate::recovery::rig::{Fastened, HeldBy, Rig};
use crate::recovery::{BEYOND, LEAD};

use super::OVER;

/// A place, m: along the slope from the middle of the stuck vehicle, downhill positive; across it.
type Place = [f64; 2];

/// A vehicle from above.
#[derive(Clone, Debug, Serialize)]
struct Car {
    at: Place,
    size: [f64; 2],
    mark: String,
    stuck: bool,
    /// Whether somebody sits in it.
    seat: bool,
}

/// A ground anchor.
#[derive(Clone, Debug, Serialize)]
struct Post {
    at: Place,
    no: String,
}

/// A line as it runs, parts beside one another drawn one by one.
#[derive(Clone, Debug, Serialize)]
struct Run {
    through: Vec<Place>,
    catch: bool,
    single: bool,
}

/// Everything drawn close up.
#[derive(Clone, Debug, Default, Serialize)]
pub(crate) struct Close {
    cars: Vec<Car>,
    posts: Vec<Post>,
    lines: Vec<Run>,
    winches: Vec<Place>,
    blocks: Vec<Place>,
    operators: Vec<Place>,
    brow: Option<f64>,
    goes: f64,
    /// Least and greatest along and across, m.
    along: [f64; 2],
    across: [f64; 2],
    words: String,
    alt: String,
}

/// Between what stands beside one another, m. Common practice, no source.
const LANE: f64 = 3.0;
/// Whoever works a winch by hand is so far beside the line, m: an arm's length and the lever. Common practice, no
/// source.
const BESIDE: f64 = 1.2;
/// From a vehicle or a winch to what it is tied to, m.
const TIE: f64 = 2.0;

/// What the drawing is made from.
pub(crate) struct Scene<'a> {
    pub course: &'a Course,
    pub vehicle: &'a Vehicle,
    pub recovery: &'a Recovery,
    pub aboard: bool,
    pub show: Show,
    /// The mark of a vehicle, by its identifier.
    pub mark: &'a dyn Fn(&str) -> String,
    /// The number in the table of an anchor of a rig, by its identifier: of the first line, of the catch line.
    pub number: &'a dyn Fn(&str, bool) -> String,
}

fn size(vehicle: &Vehicle) -> [f64; 2] {
    [vehicle.wheelbase.si() + OVER[0], vehicle.track.si() + OVER[1]]
}

impl Close {
    /// Of a rig and the catch line beside it.
    pub(crate) fn of(scene: &Scene, rig: &Rig, catch: Option<&Rig>) -> Self {
        let own = size(scene.vehicle);
        let direction = scene.recovery.pull.direction;
        let side = if direction == Direction::Down { 1.0 } else { -1.0 };
        let mut told = Self {
            goes: if matches!(direction, Direction::Down | Direction::Lower) { 1.0 } else { -1.0 },
            brow: scene.recovery.lie.filter(|lie| lie.guard.is_some()).map(|_| {
                // The brow lies at the far end less the room behind it.
                side * scene.recovery.at_start - side * BEYOND
            }),
            ..Self::default()
        };
        told.cars.push(Car {
            at: [0.0, 0.0],
            size: own,
            mark: (scene.mark)(&scene.vehicle.id),
            stuck: true,
            seat: scene.aboard,
        });
        let near = side * own[0] / 2.0;
        let far = side * scene.recovery.at_start;
        // Two lines stand apart, each with its operator on the outer side; what belongs to one lies between them.
        let lanes = if catch.is_some() { [-LANE - 1.0, LANE + 1.0] } else { [0.0, 0.0] };
        for (rig, lane, second) in std::iter::once((rig, lanes[0], false))
            .chain(catch.into_iter().map(|catch| (catch, lanes[1], true)))
        {
            let inward = if lane > 0.0 { -1.0 } else { 1.0 };
            let lay = Lay { scene, rig, near, far, side, lane, inward, second };
            lay.put(&mut told, if lane == 0.0 { 0.0 } else { 0.4 * lane.signum() });
        }
        told.bounds();
        told.spoken(scene, catch.is_some())
    }

    fn bounds(&mut self) {
        let cars = self.cars.iter().flat_map(|car| {
            let [x, y] = car.at;
            let [l, w] = [car.size[0] / 2.0, car.size[1] / 2.0];
            [[x - l, y - w], [x + l, y + w]]
        });
        let points = self.posts.iter().map(|post| post.at).chain(self.winches.iter().copied());
        let all: Vec<Place> = cars.chain(points).chain(self.operators.iter().copied()).collect();
        let reach = |axis: usize, room: f64| {
            let low = all.iter().map(|at| at[axis]).fold(f64::INFINITY, f64::min);
            let high = all.iter().map(|at| at[axis]).fold(f64::NEG_INFINITY, f64::max);
            [low - room, high + room]
        };
        (self.along, self.across) = (reach(0, 2.0), reach(1, 1.6));
    }

    fn spoken(mut self, scene: &Scene, caught: bool) -> Self {
        let operator = if self.operators.is_empty() {
            "the winch is worked from the seat of the vehicle that carries it".to_owned()
        } else {
            format!(
                "whoever works a winch stands at it, {} beside the line, on the side away from any other line",
                scene.show.length(BESIDE, false).text()
            )
        };
        self.words = format!(
            "Close up, to scale, all of it inside the ground kept clear: {operator}; {}.",
            if scene.aboard { "the driver is at the wheel" } else { "nobody is aboard" }
        );
        let anchors = self.cars.len() - 1 + self.posts.len();
        self.alt = format!(
            "From above, close up and to scale, downhill to the right: the stuck vehicle, {anchors} place{} that hold{} a line or a winch, each by itself{}; {operator}; {}.",
            if anchors == 1 { "" } else { "s" },
            if anchors == 1 { "s" } else { "" },
            if caught { "; a catch line, dashed, beside the first" } else { "" },
            if scene.aboard { "the driver at the wheel" } else { "nobody aboard" },
        );
        self
    }
}

/// One rig laid out.
struct Lay<'a> {
    scene: &'a Scene<'a>,
    rig: &'a Rig,
    /// Where the line leaves the stuck vehicle, and where it is made fast, along the slope.
    near: f64,
    far: f64,
    /// Towards the far end: 1 downhill, -1 uphill.
    side: f64,
    lane: f64,
    /// Across, towards the other places of this rig.
    inward: f64,
    second: bool,
}

impl Lay<'_> {
    fn put(&self, told: &mut Close, at_vehicle: f64) {
        let layout = self.rig.layout;
        let turned = layout.turns();
        let winch = match layout.winch {
            WinchAt::Casualty => [self.near, at_vehicle],
            WinchAt::Helper if turned => [self.far, self.lane - self.inward * LEAD],
            WinchAt::Helper => [self.far, self.lane],
        };
        told.winches.push(winch);
        let extension = self.rig.rigged_length - self.rig.line_out;
        let joint_x = self.near + self.side * if layout.winch == WinchAt::Helper { extension } else { 0.0 };
        let fixed = self.fixed(told, turned);
        let mut path = vec![winch];
        if turned {
            path.push([self.far, self.lane]);
            told.blocks.push([self.far, self.lane]);
        }
        let near: Vec<Place> =
            (0..layout.casualty.len()).map(|no| [joint_x, at_vehicle + self.apart(no)]).collect();
        let (first, then) = if layout.winch == WinchAt::Helper { (&near, &fixed) } else { (&fixed, &near) };
        for place in 0..first.len().max(then.len()) {
            path.extend(first.get(place));
            path.extend(then.get(place));
        }
        let blocks = layout.casualty.iter().zip(&near).filter(|(joint, _)| **joint == Joint::Block);
        told.blocks.extend(blocks.map(|(_, at)| *at));
        told.lines.push(Run { through: path, catch: self.second, single: false });
        if layout.winch == WinchAt::Helper && extension > 0.0 {
            let ends = vec![[joint_x, at_vehicle], [self.near, at_vehicle]];
            told.lines.push(Run { through: ends, catch: self.second, single: true });
        }
        if layout.winch == WinchAt::Helper {
            self.held_winch(told, winch, turned);
        }
    }

    fn apart(&self, no: usize) -> f64 {
        if no == 0 { 0.0 } else { 0.5 * self.inward }
    }

    /// The joints made fast away from the vehicle: where each is, and what holds it.
    fn fixed(&self, told: &mut Close, turned: bool) -> Vec<Place> {
        let mut beside = if turned || self.rig.layout.winch == WinchAt::Helper { 1.0 } else { 0.0 };
        let mut places = Vec::new();
        for (what, to) in self.rig.made_fast.iter().filter(|(what, _)| *what != Fastened::Winch) {
            if *what == Fastened::Turn {
                self.hold(told, [self.far, self.lane], to, self.side);
                continue;
            }
            let at = if *to == HeldBy::Host {
                [self.far, self.lane + 0.6 * self.inward]
            } else {
                [self.far, self.lane + beside * LANE * self.inward]
            };
            beside += 1.0;
            if *what == Fastened::Block {
                told.blocks.push(at);
            }
            self.hold(told, at, to, self.side);
            places.push(at);
        }
        places
    }

    /// The vehicle that carries the winch, what it is tied to, and who works it.
    fn held_winch(&self, told: &mut Close, winch: Place, turned: bool) {
        let host = self.rig.host.as_ref().and_then(|id| self.car(id));
        let away = if turned { [0.0, -self.inward] } else { [self.side, 0.0] };
        let mut behind = 0.0;
        if let Some((mut car, length)) = host {
            car.at = [winch[0] + away[0] * length / 2.0, winch[1] + away[1] * length / 2.0];
            car.seat = Operator::of(self.rig) == Operator::InItsVehicle;
            if turned {
                car.size.reverse();
            }
            told.cars.push(car);
            behind = length;
        }
        if Operator::of(self.rig) == Operator::BesideIt {
            // Away from the angle: outside a bend, and on the side where no other line runs.
            told.operators.push(if turned {
                [winch[0] + self.side * BESIDE, winch[1]]
            } else {
                [winch[0], winch[1] - self.inward * BESIDE]
            });
        }
        let tie = [winch[0] + away[0] * behind, winch[1] + away[1] * behind];
        for (_, to) in self.rig.made_fast.iter().filter(|(what, _)| *what == Fastened::Winch) {
            if turned {
                self.hold_across(told, tie, to);
            } else {
                self.hold(told, tie, to, self.side);
            }
        }
    }

    fn car(&self, id: &str) -> Option<(Car, f64)> {
        let vehicle = self.scene.course.vehicles.iter().find(|vehicle| vehicle.id == id)?;
        let size = size(vehicle);
        let mark = (self.scene.mark)(id);
        Some((Car { at: [0.0, 0.0], size, mark, stuck: false, seat: false }, size[0]))
    }

    /// What holds something, beyond it along the slope.
    fn hold(&self, told: &mut Close, at: Place, to: &HeldBy, side: f64) {
        self.held(told, [at[0] + side * TIE, at[1]], [side, 0.0], to);
    }

    fn hold_across(&self, told: &mut Close, at: Place, to: &HeldBy) {
        self.held(told, [at[0], at[1] - self.inward * TIE], [0.0, -self.inward], to);
    }

    fn held(&self, told: &mut Close, at: Place, away: Place, to: &HeldBy) {
        let from = [at[0] - away[0] * TIE, at[1] - away[1] * TIE];
        match to {
            HeldBy::Anchor { id } => {
                told.posts.push(Post { at, no: (self.scene.number)(id, self.second) });
            }
            HeldBy::Vehicle { id } => {
                let Some((mut car, length)) = self.car(id) else { return };
                car.at = [at[0] + away[0] * length / 2.0, at[1] + away[1] * length / 2.0];
                told.cars.push(car);
            }
            HeldBy::Host | HeldBy::Brakes => return,
        }
        told.lines.push(Run { through: vec![from, at], catch: self.second, single: true });
    }
}
