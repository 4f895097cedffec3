//! Vehicles as they stand on the day.

mod class;
pub mod classes;
pub(super) mod earned;
pub(super) mod fuel;
pub(super) mod known;
pub(super) mod point;
pub(super) mod tyre;
mod underside;
pub(super) mod usual;

use serde::Serialize;

pub use class::VehicleClass;
pub use underside::{LowPoint, Underside};

use super::{Known, Name, RecoveryPoint};
use crate::quantity::{
    Angle, Area, Displacement, HeatCapacity, Inertia, Length, Mass, Pressure, Ratio, Share, Speed, SpinRate,
    Torque,
};

/// Stands among the keys that were estimated where nobody told whether there is a low range: none is reckoned with.
pub const LOW_UNTOLD: &str = "low-range";

/// A vehicle as driven today.
#[derive(Clone, Debug, PartialEq)]
pub struct Vehicle {
    /// Short name used in references.
    pub id: String,
    /// Described by kind: "diesel pickup, long wheelbase".
    pub name: Name,
    /// Class whose values fill the gaps.
    pub class: VehicleClass,
    /// Mass with crew, load and fuel.
    pub mass: Mass,
    /// Between the axles.
    pub wheelbase: Length,
    /// Mean of front and rear.
    pub track: Known<Length>,
    /// Centre of mass above the ground, roof load left out.
    pub centre_height: Known<Length>,
    /// Centre of mass behind the front axle.
    pub centre_behind_front: Known<Length>,
    /// Load on the roof.
    pub roof_load: Option<RoofLoad>,
    /// Height over which a wheel can be raised before another of its axle or the one across leaves the
    /// ground.
    pub wheel_travel: Known<Length>,
    /// The tyres.
    pub tyre: Tyre,
    /// Pressure they run at today.
    pub pressure: Option<Pressure>,
    /// Engine to wheels.
    pub transmission: Transmission,
    /// The engine.
    pub engine: Engine,
    /// Foot brakes.
    pub brakes: Brakes,
    /// Frontal area times drag coefficient.
    pub drag_area: Known<Area>,
    /// Rotating inertia of all four wheels as extra mass over the vehicle's own, kg.
    pub wheel_inertia_mass: Known<Mass>,
    /// Inertia of the engine's turning parts, kg·m².
    pub engine_inertia: Known<Inertia>,
    /// Systems that brake or let go by themselves, as far as the course says.
    pub aids: Vec<Aid>,
    /// Where a line may be attached.
    pub recovery_points: Vec<RecoveryPoint>,
    /// What hangs lowest under it; none where nobody measured it.
    pub underside: Option<Underside>,
    /// Greatest side tilt the course allows this vehicle, if it says so itself.
    pub side_limit: Option<Angle>,
    /// What a fleet vehicle must give and was estimated here from the class: `mass`, `ratios`, …
    pub guessed: Vec<&'static str>,
}

/// A system that works the brakes or the throttle by itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Aid {
    /// Lets go of a wheel that is about to lock.
    AntiLock,
    /// Brakes a wheel that spins.
    TractionControl,
    /// Holds a low speed downhill by the brakes.
    HillDescentControl,
}

/// A load above the body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RoofLoad {
    /// Its mass, already part of the vehicle's mass.
    pub mass: Mass,
    /// Its centre above the ground.
    pub height: Length,
}

/// How a tyre is built.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TyreBuild {
    /// Belted, plies across.
    Radial,
    /// Plies crossing at an angle.
    Diagonal,
}

/// A tyre by its marking.
#[derive(Clone, Debug, PartialEq)]
pub struct Tyre {
    /// As written on the sidewall.
    pub marking: String,
    /// How it is built.
    pub build: TyreBuild,
    /// Overall diameter, new and inflated; estimated when only the marking is known by rule of thumb.
    pub diameter: Known<Length>,
    /// Rolling circumference measured on this vehicle, which beats every rule.
    pub measured_circumference: Option<Length>,
}

/// Which range of the transfer case.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Range {
    /// Low range.
    Low,
    /// High range.
    High,
}

/// A gear in a range: `L1`, `H3`, `LR`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gear {
    /// The range.
    pub range: Range,
    /// 1 for first; 0 for reverse.
    pub number: u8,
    /// Its gearbox ratio.
    pub ratio: Ratio,
}

/// Manual or automatic.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gearbox {
    /// Clutch and lever.
    Manual,
    /// Torque converter that locks in the gear used.
    AutomaticLocked,
    /// Torque converter that slips on overrun.
    AutomaticUnlocked,
}

/// Engine to wheels.
#[derive(Clone, Debug, PartialEq)]
pub struct Transmission {
    /// Manual or automatic.
    pub gearbox: Gearbox,
    /// Forward gearbox ratios, first gear first.
    pub ratios: Vec<Ratio>,
    /// Reverse, if given.
    pub reverse: Option<Ratio>,
    /// Transfer case, high range.
    pub transfer_high: Ratio,
    /// Transfer case, low range; none when it has no low range, or nobody told of one.
    pub transfer_low: Option<Ratio>,
    /// Axle (final drive).
    pub axle: Ratio,
    /// Hub reduction; 1 when there is none.
    pub hub: Ratio,
    /// Share of power that passes from engine to wheels.
    pub efficiency: Known<Share>,
    /// Which wheels the gearing acts on.
    pub driven: Driven,
    /// What stands between the axles and between the wheels of an axle.
    pub differentials: Differentials,
    /// Speed above which the lock-up of an automatic's converter is known to stay closed on overrun; none
    /// when nobody knows: it opens by itself as the vehicle slows.
    pub lock_up_from: Option<Speed>,
}

/// Which wheels the gearing acts on when a gear is engaged for a descent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Driven {
    /// Both axles.
    AllWheels,
    /// The rear axle alone.
    Rear,
    /// The front axle alone.
    Front,
    /// Nobody said: reckoned as the rear axle alone, the worse nose-down.
    Unknown,
}

/// How a differential is on the descent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lock {
    /// Open: both sides get the same torque.
    Open,
    /// Limited slip.
    Limited,
    /// Locked: both sides turn together.
    Locked,
    /// There is none, as in a part-time transfer case: once engaged, both sides turn together.
    Absent,
    /// Nobody said: reckoned as open.
    Unknown,
}

/// The differentials of a vehicle, as they are on the descent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Differentials {
    /// Between the axles.
    pub centre: Lock,
    /// Between the front wheels.
    pub front: Lock,
    /// Between the rear wheels.
    pub rear: Lock,
    /// Front axle's part of the torque through an open centre differential.
    pub front_share: Known<Share>,
}

/// What the engine burns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fuel {
    /// Spark ignition: a shut throttle adds to its drag.
    Petrol,
    /// Compression ignition: no throttle.
    Diesel,
}

/// How a petrol engine breathes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Aspiration {
    /// Without a charger.
    Natural,
    /// Turbocharged.
    Turbo,
}

/// A point of a measured overrun curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DragPoint {
    /// Engine speed.
    pub speed: SpinRate,
    /// Torque it takes to turn the engine.
    pub torque: Torque,
}

/// The engine.
#[derive(Clone, Debug, PartialEq)]
pub struct Engine {
    /// What it burns.
    pub fuel: Fuel,
    /// How it breathes.
    pub aspiration: Aspiration,
    /// Swept volume.
    pub displacement: Displacement,
    /// Number of cylinders.
    pub cylinders: Known<u8>,
    /// Piston stroke.
    pub stroke: Known<Length>,
    /// Idle speed, warm.
    pub idle: SpinRate,
    /// Lowest and highest idle speed: cold, warm, air conditioning on; both the idle speed when only that
    /// is known.
    pub idle_range: (SpinRate, SpinRate),
    /// Highest speed allowed on a descent.
    pub highest: Known<SpinRate>,
    /// Measured overrun torque, rising in speed; empty when not measured.
    pub drag: Vec<DragPoint>,
    /// Where in its range the day's runs have found the drag; none where none bears on it.
    pub earned: Option<super::DragEarned>,
}

/// Disc or drum.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum BrakeKind {
    /// Disc.
    Disc,
    /// Drum.
    Drum,
}

impl BrakeKind {
    /// Its name on a page.
    pub fn word(self) -> &'static str {
        if self == Self::Drum { "drum" } else { "disc" }
    }
}

/// The brakes of one axle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AxleBrakes {
    /// Disc or drum.
    pub kind: BrakeKind,
    /// Discs or drums on the axle.
    pub count: u8,
    /// Mass of one disc or drum that takes up heat.
    pub mass: Known<Mass>,
    /// Outer diameter of one.
    pub diameter: Known<Length>,
    /// Cooling surface of one.
    pub area: Known<Area>,
}

/// Foot brakes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Brakes {
    /// Front axle; none when only the rear is braked.
    pub front: Option<AxleBrakes>,
    /// Rear axle; none when only the front is braked.
    pub rear: Option<AxleBrakes>,
    /// Part of the braking heat the front axle takes.
    pub front_share: Known<Share>,
    /// Specific heat capacity of the iron.
    pub heat_capacity: Known<HeatCapacity>,
}

impl Vehicle {
    /// Whether this value, by its key, was estimated although a fleet vehicle must give it.
    pub fn is_guessed(&self, key: &str) -> bool {
        self.guessed.contains(&key)
    }

    /// What was estimated although a fleet vehicle must give it, in words.
    pub fn guessed_words(&self) -> String {
        let word = |key: &&'static str| match *key {
            "transfer-high" => "high range",
            "transfer-low" => "low range",
            LOW_UNTOLD => "no low range, as nobody told of one",
            "ratios" => "gear ratios",
            "axle" => "axle ratio",
            "drive" => "driven wheels",
            "gearbox" => "kind of gearbox",
            "idle" => "idle speed",
            other => other,
        };
        self.guessed.iter().map(word).collect::<Vec<_>>().join(", ")
    }

    /// Every forward gear, lowest overall ratio first: low range, then high.
    pub fn gears(&self) -> Vec<Gear> {
        let ranges = [self.transmission.transfer_low.map(|_| Range::Low), Some(Range::High)];
        ranges
            .into_iter()
            .flatten()
            .flat_map(|range| {
                (1u8..).zip(&self.transmission.ratios).map(move |(number, ratio)| Gear {
                    range,
                    number,
                    ratio: *ratio,
                })
            })
            .collect()
    }

    /// Transfer ratio of a range; high range when the vehicle has no low.
    pub fn transfer(&self, range: Range) -> Ratio {
        match range {
            Range::Low => self.transmission.transfer_low.unwrap_or(self.transmission.transfer_high),
            Range::High => self.transmission.transfer_high,
        }
    }

    /// Centre of mass above the ground with the roof load on.
    pub fn loaded_centre_height(&self) -> Length {
        let body = self.centre_height.si();
        let Some(roof) = self.roof_load else { return self.centre_height.value };
        let share = roof.mass.si() / self.mass.si();
        Length::new(body * (1.0 - share) + roof.height.si() * share)
    }
}

impl Gear {
    /// The gear in words: "low range, first gear".
    pub fn in_words(&self) -> String {
        const NAMES: [&str; 13] = [
            "reverse", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth",
            "tenth", "eleventh", "twelfth",
        ];
        let range = if self.range == Range::Low { "low range" } else { "high range" };
        match NAMES.get(usize::from(self.number)) {
            Some(name) => format!("{range}, {name} gear"),
            None => format!("{range}, gear {}", self.number),
        }
    }
}

impl std::fmt::Display for Gear {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let range = if self.range == Range::Low { 'L' } else { 'H' };
        match self.number {
            0 => write!(f, "{range}R"),
            number => write!(f, "{range}{number}"),
        }
    }
}
