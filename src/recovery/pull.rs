//! How hard the pull is: every published system worked on the same vehicle, the spread kept.

use serde::Serialize;

use super::facts::{Mark, OldGround, TRADE_HARD, TRADE_SOFT};
use super::stance::upper_arm;
pub use super::stuck::{Direction, Stuck};
use crate::course::{Band, Ground, Slope, Surface, Vehicle};
use crate::engine::formulas::{GRAVITY, recovery as r};

/// A published way to reckon resistance.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum System {
    /// First published depth rule (B10), grade by the sixtieth.
    DepthHubOnce,
    /// Second published depth rule (E5), grade by the sine.
    DepthHubTwice,
    /// Fractions by ground of the older four-wheel-drive practice, a quarter added.
    OldFractions,
    /// Towing trade.
    TowingTrade,
    /// A winch maker: off the road the whole weight.
    WinchMaker,
    /// Forces resolved, with this ground's own coefficients.
    Physics,
}

impl System {
    /// Its name on pages.
    pub const fn words(self) -> &'static str {
        match self {
            Self::DepthHubOnce => "depth rule, hubs once the weight",
            Self::DepthHubTwice => "depth rule, hubs twice the weight",
            Self::OldFractions => "older four-wheel-drive fractions, with a quarter added",
            Self::TowingTrade => "towing trade",
            Self::WinchMaker => "a winch maker's rule: off the road the whole weight",
            Self::Physics => "forces resolved on this ground",
        }
    }
}

/// The pull by one system.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct SystemPull {
    /// The system.
    pub system: System,
    /// Which of its rows: the mark or the ground, with its number.
    pub row: &'static str,
    /// Whether the row could not be read in a source.
    pub from_memory: bool,
    /// Part from the ground, N.
    pub ground: f64,
    /// Part from the grade, N; negative where it helps.
    pub grade: f64,
    /// What the system comes to, N, its own addition included; never below 0.
    pub pull: f64,
}

/// The pull by every system that has something to say.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Pull {
    /// How it is stuck.
    pub stuck: Stuck,
    /// Which way it is pulled.
    pub direction: Direction,
    /// Each system.
    pub systems: Vec<SystemPull>,
    /// Lowest, N.
    pub low: f64,
    /// Middle one of the systems, N.
    pub likely: f64,
    /// Highest, N: rigs are chosen for it.
    pub high: f64,
    /// The system that gives the highest.
    pub high_by: System,
    /// Whether a second line must hold the vehicle back: it would run down by itself.
    pub runs_away: bool,
}

/// What parts are chosen for, N: the pull, or, where a brake may be let off at once, twice what holds it.
pub fn chosen_for(pull: &Pull) -> f64 {
    match pull.direction {
        Direction::Lower => r::sudden_load(pull.high),
        _ => pull.high,
    }
}

/// Ground in which vehicles sink: loose, or rolling resistance up to a tenth of the weight and more.
/// Common practice, no source.
pub fn sinks(surface: &Surface) -> bool {
    surface.ground == Ground::Loose || surface.rolling.high >= 0.1
}

/// Cross slope from which a vehicle on its side is reckoned with, degrees. Common practice, no source.
pub const TILT_TO_RECKON: f64 = 5.0;

/// The ways a vehicle may be stuck on a slope, each with its direction, and whether it is likely there.
pub fn cases(slope: &Slope, surface: &Surface) -> Vec<(Stuck, Direction, bool)> {
    let soft = sinks(surface);
    let tilts = slope.cross_slope.si().to_degrees() >= TILT_TO_RECKON;
    vec![
        (Stuck::Rolls, Direction::Lower, true),
        (Stuck::Rolls, Direction::Down, false),
        (Stuck::Rolls, Direction::Level, true),
        (Stuck::Rolls, Direction::Up, true),
        (Stuck::Locked, Direction::Down, true),
        (Stuck::Locked, Direction::Up, true),
        (Stuck::Mired(Mark::Sidewall), Direction::Down, soft),
        (Stuck::Mired(Mark::Sidewall), Direction::Up, soft),
        (Stuck::Mired(Mark::Hub), Direction::Down, soft),
        (Stuck::Mired(Mark::Hub), Direction::Up, soft),
        (Stuck::Mired(Mark::Hub), Direction::Level, false),
        (Stuck::Mired(Mark::Wing), Direction::Up, false),
        (Stuck::Mired(Mark::Cab), Direction::Up, false),
        (Stuck::Overturned, Direction::Level, tilts),
    ]
}

/// The older system's word for a surface.
pub fn old_ground(surface: &Surface) -> OldGround {
    let named = |word: &str| surface.id.contains(word) || surface.name.full().contains(word);
    if named("grass") {
        OldGround::Grass
    } else if surface.rolling.high >= 0.1 && surface.ground == Ground::Firm {
        OldGround::ShallowMud
    } else if surface.ground == Ground::Loose && surface.rolling.likely >= 0.1 {
        OldGround::DrySand
    } else if surface.rolling.high <= 0.015 {
        OldGround::HardRoad
    } else {
        OldGround::Gravel
    }
}

/// The numbers a pull is worked from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scene {
    /// Weight, N.
    pub weight: f64,
    /// Angle of the steepest stretch, rad.
    pub angle: f64,
    /// Rolling resistance coefficient.
    pub rolling: Band,
    /// Friction of wheels that slide.
    pub sliding: Band,
    /// The older system's ground.
    pub old: OldGround,
    /// Tilt of the ground across the way driven, rad: a vehicle on its side is righted up it.
    pub cross: f64,
    /// Height of the centre of mass, m.
    pub centre_height: f64,
    /// Its track, m (the tyres stand a little further out, which makes the real pull smaller).
    pub width: f64,
}

impl Scene {
    /// A vehicle on the steepest stretch of a slope.
    pub fn of(slope: &Slope, surface: &Surface, vehicle: &Vehicle) -> Self {
        Self {
            weight: r::weight(vehicle.mass.si(), GRAVITY),
            angle: slope.steepest().gradient.si(),
            rolling: surface.rolling,
            sliding: surface.sliding,
            old: old_ground(surface),
            cross: slope.cross_slope.si(),
            centre_height: vehicle.loaded_centre_height().si(),
            width: vehicle.track.si(),
        }
    }

    fn grade_rule(&self, direction: Direction) -> f64 {
        match direction {
            Direction::Up => {
                let degrees = self.angle.to_degrees();
                if degrees > 45.0 { self.weight } else { r::grade_rule(self.weight, degrees) }
            }
            Direction::Level | Direction::Down | Direction::Lower => 0.0,
        }
    }

    /// Part of the weight that presses on the ground, N.
    fn pressing(&self, direction: Direction) -> f64 {
        match direction {
            Direction::Level => self.weight,
            Direction::Up | Direction::Down | Direction::Lower => self.weight * libm::cos(self.angle),
        }
    }

    fn grade(&self, direction: Direction) -> f64 {
        match direction {
            Direction::Up => r::grade_pull(self.weight, self.angle),
            Direction::Level => 0.0,
            Direction::Down | Direction::Lower => -r::grade_pull(self.weight, self.angle),
        }
    }

    /// The pull of a vehicle stuck like this and pulled that way.
    pub fn pull(&self, stuck: Stuck, direction: Direction) -> Pull {
        let systems = match stuck {
            Stuck::Rolls if direction == Direction::Lower => self.lowered(),
            Stuck::Rolls => self.rolls(direction),
            Stuck::Locked => self.locked(direction),
            Stuck::Mired(mark) => self.mired(mark, direction),
            Stuck::Overturned => self.overturned(),
        };
        Pull::of(stuck, direction, systems)
    }

    fn by(system: System, row: &'static str, parts: [f64; 2]) -> SystemPull {
        let [ground, grade] = parts;
        let pull = r::whole_pull(ground, grade).max(0.0);
        SystemPull { system, row, from_memory: false, ground, grade, pull }
    }

    fn rolls(&self, direction: Direction) -> Vec<SystemPull> {
        let weight = self.weight;
        let old = Self::by(
            System::OldFractions,
            self.old.words(),
            [r::ground_pull(self.old.fraction(), weight), self.grade_rule(direction)],
        );
        let (row, fraction) = match self.old {
            OldGround::HardRoad => ("hard level ground, 1/10", TRADE_HARD),
            _ => ("grass, gravel or sand, 1/3", TRADE_SOFT),
        };
        let trade = [r::ground_pull(fraction, weight), self.grade_rule(direction)];
        let own = [r::ground_pull(self.rolling.likely, self.pressing(direction)), self.grade(direction)];
        let mut all = vec![
            SystemPull { pull: r::planned_pull(old.pull), from_memory: self.old.from_memory(), ..old },
            Self::by(System::TowingTrade, row, trade),
            Self::by(System::Physics, "rolling coefficient of this surface", own),
        ];
        all.extend(self.whole_weight(direction));
        all
    }

    /// What holds it while it is let down. The ground helps: it is counted at its lowest or not at all.
    fn lowered(&self) -> Vec<SystemPull> {
        let sixtieths = self.grade_rule(Direction::Up);
        let steady = r::holding_force(self.weight, self.angle, self.rolling.low);
        let on_ramp = r::grade_pull(self.weight, self.angle);
        let less = -r::ground_pull(self.old.fraction(), self.weight);
        let old = Self::by(System::OldFractions, self.old.words(), [less, sixtieths]);
        vec![
            SystemPull { pull: r::planned_pull(old.pull), from_memory: self.old.from_memory(), ..old },
            Self::by(
                System::TowingTrade,
                "a sixtieth of the weight a degree, ground not counted",
                [0.0, sixtieths],
            ),
            Self::by(System::WinchMaker, "smooth ramp: weight resolved, ground not counted", [0.0, on_ramp]),
            Self::by(
                System::Physics,
                "lowest rolling coefficient of this surface",
                [steady - on_ramp, on_ramp],
            ),
        ]
    }

    fn locked(&self, direction: Direction) -> Vec<SystemPull> {
        let share = r::damage_pull(self.weight);
        let own = [r::ground_pull(self.sliding.likely, self.pressing(direction)), self.grade(direction)];
        let mut all = vec![
            Self::by(System::TowingTrade, "all wheels locked, 2/3", [share, self.grade_rule(direction)]),
            Self::by(System::Physics, "sliding friction of this surface", own),
        ];
        all.extend(self.whole_weight(direction));
        all
    }

    /// A winch maker's whole weight, up a grade. The maker gives no grade off the road: it stands for all of it,
    /// however the wheels are.
    fn whole_weight(&self, direction: Direction) -> Option<SystemPull> {
        (direction == Direction::Up)
            .then(|| Self::by(System::WinchMaker, "off the road, whole weight", [0.0, self.weight]))
    }

    fn mired(&self, mark: Mark, direction: Direction) -> Vec<SystemPull> {
        let weight = self.weight;
        let (once, twice) = match mark {
            Mark::Sidewall => ("under the hubs: counted as 1", "sidewall, 1"),
            Mark::Hub => ("hub or wheel, 1", "hubs, 2"),
            Mark::Wing => ("fender, 2", "over the hubs: counted as frame, 3"),
            Mark::Cab => ("cab or turret, 3", "frame, 3"),
        };
        let by_once = [r::mire_pull(mark.hub_once(), weight), self.grade_rule(direction)];
        let by_twice = [r::mire_pull(mark.hub_twice(), weight), self.grade(direction).max(0.0)];
        let mut all = vec![
            SystemPull { from_memory: true, ..Self::by(System::DepthHubOnce, once, by_once) },
            Self::by(System::DepthHubTwice, twice, by_twice),
        ];
        if mark <= Mark::Hub {
            let bog = OldGround::Bog;
            let old = Self::by(
                System::OldFractions,
                bog.words(),
                [r::ground_pull(bog.fraction(), weight), self.grade_rule(direction)],
            );
            all.push(SystemPull { pull: r::planned_pull(old.pull), ..old });
            let own = [r::ground_pull(bog.fraction(), self.pressing(direction)), self.grade(direction)];
            all.push(Self::by(System::Physics, "half the weight as in a bog, grade by the sine", own));
        }
        all
    }

    fn overturned(&self) -> Vec<SystemPull> {
        // Turned up the tilt, its centre lies further from the lower edge than on the level.
        let arm = self.centre_height * libm::cos(self.cross) + self.width / 2.0 * libm::sin(self.cross);
        let moments = r::righting_pull(self.weight, arm, upper_arm(self.width));
        vec![
            SystemPull {
                from_memory: true,
                ..Self::by(System::DepthHubOnce, "overturned, half the weight", [self.weight / 2.0, 0.0])
            },
            Self::by(System::Physics, "moments about the lower edge, up the tilt", [moments, 0.0]),
        ]
    }
}

impl Pull {
    fn of(stuck: Stuck, direction: Direction, systems: Vec<SystemPull>) -> Self {
        let mut sorted: Vec<f64> = systems.iter().map(|system| system.pull).collect();
        sorted.sort_by(f64::total_cmp);
        let middle = sorted.len() / 2;
        let likely = if sorted.len() % 2 == 1 {
            sorted[middle]
        } else {
            f64::midpoint(sorted[middle - 1], sorted[middle])
        };
        let highest = systems
            .iter()
            .copied()
            .reduce(|a, b| if b.pull > a.pull { b } else { a })
            .expect("every way of being stuck has a system");
        Self {
            stuck,
            direction,
            low: sorted[0],
            likely,
            high: highest.pull,
            high_by: highest.system,
            runs_away: direction == Direction::Lower
                || systems.iter().any(|system| system.ground + system.grade < 0.0),
            systems,
        }
    }

    /// The row of the system with the highest pull.
    pub fn highest(&self) -> &SystemPull {
        self.systems.iter().find(|system| system.system == self.high_by).expect("it is one of them")
    }
}
