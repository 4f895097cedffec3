//! The working ground from above, close up and to scale: who stands where, what is made fast to what. All of it
//! lies inside the ground kept clear.

use serde::Serialize;

use crate::course::{Course, Vehicle};
use crate::page::figure::Show;
use crate::recovery::Recovery;
use crate::recovery::layout::{Joint, WinchAt};
use crate::recovery::operator::{BESIDE, Operator};
use crate::recovery::pull::Direction;
use crate::recovery::rig::{Fastened, HeldBy, Rig};
use crate::recovery::stance::{Beside, LANE, Stance};
use crate::recovery::{BEYOND, LEAD};

use super::OVER;
use crate::pack::recovery::words::operator;

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

/// From a vehicle or a winch to what it is tied to, m.
const TIE: f64 = 2.0;

/// What the drawing is made from.
pub(crate) struct Scene<'a> {
    pub course: &'a Course,
    pub vehicle: &'a Vehicle,
    pub aboard: bool,
    /// Whether people leave to the right of the driver who comes down.
    pub right_hand: bool,
    pub show: Show,
    /// The mark of a vehicle, by its identifier.
    pub mark: &'a dyn Fn(&str) -> String,
    /// The number in the table of an anchor of a rig, by its identifier: of the first line, of the catch line.
    pub number: &'a dyn Fn(&str, bool) -> String,
}

/// The middle of some places.
fn mean(places: impl Iterator<Item = f64>) -> f64 {
    let (sum, count) = places.fold((0.0, 0.0), |(sum, count), at| (sum + at, count + 1.0));
    if count > 0.0 { sum / count } else { 0.0 }
}

fn size(vehicle: &Vehicle) -> [f64; 2] {
    [vehicle.wheelbase.si() + OVER[0], vehicle.track.si() + OVER[1]]
}

impl Close {
    /// Of a rig and the catch line beside it.
    pub(crate) fn of(scene: &Scene, recovery: &Recovery, rig: &Rig, catch: Option<&Rig>) -> Self {
        let own = size(scene.vehicle);
        let direction = recovery.pull.direction;
        let side = if direction == Direction::Down { 1.0 } else { -1.0 };
        let mut told = Self {
            goes: if matches!(direction, Direction::Down | Direction::Lower) { 1.0 } else { -1.0 },
            brow: recovery.lie.filter(|lie| lie.guard.is_some()).map(|_| {
                // The brow lies at the far end less the room behind it.
                side * recovery.at_start - side * BEYOND
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
        let far = side * recovery.at_start;
        // Two lines stand apart, each with its operator on the outer side; what belongs to one lies between them.
        let besides = if catch.is_some() { [Beside::First, Beside::Second] } else { [Beside::Alone; 2] };
        for (rig, beside, second) in std::iter::once((rig, besides[0], false))
            .chain(catch.into_iter().map(|catch| (catch, besides[1], true)))
        {
            let on_host: Vec<bool> = rig.made_fast.iter().map(|(_, to)| *to == HeldBy::Host).collect();
            let stance = Stance::of(rig.layout, &on_host, beside);
            let inward = if beside == Beside::Second { -1.0 } else { 1.0 };
            Lay { scene, rig, stance, near, far, side, inward, second }.put(&mut told);
        }
        // A winch that stands aside and whoever works one stand on the side that people leave to.
        if scene.right_hand {
            told.mirror();
        }
        told.bounds();
        let rigs: Vec<&Rig> = std::iter::once(rig).chain(catch).collect();
        told.spoken(scene, &rigs)
    }

    /// Of a righting: the line that pulls leads up the tilt, the one that holds back down it.
    pub(crate) fn of_righting(scene: &Scene, reach: f64, pull: &Rig, catch: &Rig) -> Self {
        let mut told = Self { goes: -1.0, ..Self::default() };
        let [long, wide] = size(scene.vehicle);
        told.cars.push(Car {
            at: [0.0, 0.0],
            size: [wide, long],
            mark: (scene.mark)(&scene.vehicle.id),
            stuck: true,
            seat: false,
        });
        for (rig, side, second) in [(pull, -1.0, false), (catch, 1.0, true)] {
            let on_host: Vec<bool> = rig.made_fast.iter().map(|(_, to)| *to == HeldBy::Host).collect();
            let stance = Stance::of(rig.layout, &on_host, Beside::Alone);
            let (near, far) = (side * wide / 2.0, side * reach);
            Lay { scene, rig, stance, near, far, side, inward: 1.0, second }.put(&mut told);
        }
        told.bounds();
        told.spoken(scene, &[pull, catch])
    }

    /// Left and right of the driver changed over.
    fn mirror(&mut self) {
        let cars = self.cars.iter_mut().map(|car| &mut car.at);
        let posts = self.posts.iter_mut().map(|post| &mut post.at);
        let lines = self.lines.iter_mut().flat_map(|run| &mut run.through);
        let rest = lines.chain(&mut self.winches).chain(&mut self.blocks).chain(&mut self.operators);
        for place in cars.chain(posts).chain(rest) {
            place[1] = -place[1];
        }
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

    fn spoken(mut self, scene: &Scene, rigs: &[&Rig]) -> Self {
        let caught = rigs.len() > 1;
        let all: Vec<String> =
            rigs.iter().map(|rig| operator(rig, &scene.vehicle.id, scene.mark, scene.show)).collect();
        let said = match all.as_slice() {
            [one, other] if one != other => {
                format!("the operator of the first winch {one}; of the catch line’s, {other}")
            }
            [one, ..] => format!("whoever works a winch {one}"),
            [] => String::new(),
        };
        self.words = format!(
            "Close up, to scale, all of it inside the ground kept clear: {said}; {}.",
            if scene.aboard { "the driver is at the wheel" } else { "nobody is aboard" }
        );
        let anchors = self.cars.len() - 1 + self.posts.len();
        self.alt = format!(
            "From above, close up and to scale, downhill to the right: the stuck vehicle, {anchors} place{} that hold{} a line or a winch, each by itself{}; {said}; {}.",
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
    stance: Stance,
    /// Where the line leaves the stuck vehicle, and where it is made fast, along the slope.
    near: f64,
    far: f64,
    /// Towards the far end: 1 downhill, -1 uphill.
    side: f64,
    /// Across, towards the other places of this rig.
    inward: f64,
    second: bool,
}

impl Lay<'_> {
    fn put(&self, told: &mut Close) {
        let layout = self.rig.layout;
        let helper = layout.winch == WinchAt::Helper;
        let turned = layout.turns();
        let winch = match (helper, turned) {
            (false, _) => [self.near, self.stance.winch],
            (true, true) => [self.far, self.stance.winch - self.inward * LEAD],
            (true, false) => [self.far, self.stance.winch],
        };
        told.winches.push(winch);
        self.fixed(told);
        // Between block and vehicle a single line, straight from the point towards what holds the rig.
        let extension = if helper { self.rig.rigged_length - self.rig.line_out } else { 0.0 };
        let share = extension / (self.far - self.near).abs().max(1.0);
        let runs = self.stance.runs();
        let far = mean(runs.iter().filter(|(near, _)| !near).map(|(_, at)| *at));
        let drawn_in = |at: f64| if extension > 0.0 { at + (far - at) * share } else { at };
        let joint_x = self.near + self.side * extension;
        let place = |(near, at): &(bool, f64)| if *near { [joint_x, drawn_in(*at)] } else { [self.far, *at] };
        let through = turned.then_some(winch).into_iter().chain(runs.iter().map(place)).collect();
        told.lines.push(Run { through, catch: self.second, single: false });
        for (joint, at) in layout.casualty.iter().zip(&self.stance.near) {
            let block = [joint_x, drawn_in(*at)];
            if *joint == Joint::Block {
                told.blocks.push(block);
            }
            if extension > 0.0 {
                let through = vec![block, [self.near, *at]];
                told.lines.push(Run { through, catch: self.second, single: true });
            }
        }
        if helper {
            self.held_winch(told, winch, turned);
        }
    }

    /// The joints made fast away from the vehicle: where each is, and what holds it.
    fn fixed(&self, told: &mut Close) {
        let made_fast = self.rig.made_fast.iter().filter(|(what, _)| *what != Fastened::Winch);
        for ((what, to), across) in made_fast.zip(&self.stance.fixed) {
            let at = [self.far, *across];
            if *what != Fastened::End {
                told.blocks.push(at);
            }
            self.hold(told, at, to, self.side);
        }
    }

    /// The vehicle that carries the winch, what it is tied to, and who works it.
    fn held_winch(&self, told: &mut Close, winch: Place, turned: bool) {
        let host = self.rig.host.as_ref().and_then(|id| self.car(id));
        let away = if turned { [0.0, -self.inward] } else { [self.side, 0.0] };
        let mut behind = 0.0;
        if let Some((mut car, length)) = host {
            car.at = [winch[0] + away[0] * length / 2.0, winch[1] + away[1] * length / 2.0];
            if turned {
                car.size.reverse();
            }
            told.cars.push(car);
            behind = length;
        }
        // Away from the angle: outside a bend, and on the side where no other line runs.
        let out = if turned { [self.side, 0.0] } else { [0.0, -self.inward] };
        let stands = |back: f64, aside: f64| {
            [winch[0] + away[0] * back + out[0] * aside, winch[1] + away[1] * back + out[1] * aside]
        };
        match Operator::of(self.rig, &self.scene.vehicle.id) {
            Operator::BesideIt => told.operators.push(stands(0.0, BESIDE)),
            Operator::AtRearWheel => told.operators.push(stands(0.8 * behind, BESIDE + LANE / 4.0)),
            Operator::AtTheWheel => {}
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
