//! Which examples pages call for by name: whoever wants one names it here, so that none is asked for that nobody
//! works. One that only a workbook prints says so itself ([`crate::formula::Part`]).

use crate::formula::{Worked, Working};
use crate::quantity::UnitSystem;

/// The kinds of worked examples, each with its name in the machine's view.
macro_rules! examples {
    ($($(#[$doc:meta])* $example:ident = $key:literal,)*) => {
        /// A kind of worked example.
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum Example { $($(#[$doc])* $example,)* }

        impl Example {
            /// Every kind.
            pub const ALL: &'static [Self] = &[$(Self::$example,)*];

            /// Its name in the machine's view.
            pub fn key(self) -> &'static str {
                match self { $(Self::$example => $key,)* }
            }
        }
    };
}

examples! {
    /// What pulls a vehicle down the steepest stretch.
    ForceDown = "force-down",
    /// Axle loads while the steepest stretch is held.
    AxleLoads = "axle-loads",
    /// Energy of the height, and what of it is left for the brakes.
    Energy = "energy",
    /// How much warmer the front brakes get in one run.
    BrakeTemperatureRise = "brake-temperature-rise",
    /// What is left for engine or brakes to hold.
    LeftToHold = "left-to-hold",
    /// Where engine and slope balance.
    EngineHolds = "engine-holds",
    /// Wheels locked half-way down, at the limit: time and distance to stop.
    LockedStop = "locked-stop",
    /// Wheels locked half-way down, at the limit, that do not stop on what is left of the stretch.
    LockedRunaway = "locked-runaway",
    /// The same metres with the wheels just turning: the distance to stop.
    TurningStop = "turning-stop",
    /// The same metres with the wheels just turning, where that does not stop either.
    TurningGoesOn = "turning-goes-on",
    /// One turn of the wheel, and the radius that counts.
    RollingRadius = "rolling-radius",
    /// The lowest gear of all.
    CrawlRatio = "crawl-ratio",
    /// Creep speed at idle in the lowest gear.
    CreepSpeed = "creep-speed",
    /// The steepest stretch in per cent.
    Grade = "grade",
    /// How high a slope is.
    Height = "height",
    /// Steepest slope the ground holds under turning wheels.
    LimitSlopeTurning = "limit-slope-turning",
    /// Steepest slope the ground holds under locked wheels.
    LimitSlopeLocked = "limit-slope-locked",
    /// Roll off the fall line.
    Roll = "roll",
    /// A vehicle as a braked anchor.
    RecoveryAnchor = "recovery-anchor",
    /// What a winch pulls on its third layer.
    RecoveryLayer = "recovery-layer",
    /// From breaking strength to working load.
    RecoveryWorkingLoad = "recovery-working-load",
    /// The peak of a snatch.
    RecoverySnatch = "recovery-snatch",
    /// How far everybody stands from a line.
    RecoveryClear = "recovery-clear",
    /// The pull by the depth rule.
    RecoveryDepthRule = "recovery-depth-rule",
    /// The pull by the older fractions.
    RecoveryFractions = "recovery-fractions",
    /// The pull with wheels that cannot turn.
    RecoveryLocked = "recovery-locked",
    /// The pull that rights a vehicle.
    RecoveryRighting = "recovery-righting",
    /// The pull on a double line.
    RecoveryDoubleLine = "recovery-double-line",
    /// The pull on a two-leg bridle.
    RecoveryBridle = "recovery-bridle",
    /// What holds a vehicle that is let down.
    RecoveryLowering = "recovery-lowering",
    /// What its own foot brake can take of that.
    RecoveryBrake = "recovery-brake",
    /// What sets a vehicle moving on a tow.
    RecoveryTow = "recovery-tow",
    /// What a point may carry pulled sideways.
    RecoverySideways = "recovery-sideways",
    /// The gear to drive: what it holds over what the slope asks.
    GearChoice = "gear-choice",
    /// The next gear, too high.
    GearTooHigh = "gear-too-high",
    /// The comparison: what the lowest gear holds over what the slope asks.
    Comparison = "comparison",
    /// Seconds between two pegs at the speed limit.
    PegTime = "peg-time",
    /// The day's sum: a turn on a slope.
    DaySum = "day-sum",
    /// How fast onto the skid pad.
    SlideSpeed = "slide-speed",
    /// The creep speed of a model.
    ModelSpeed = "model-speed",
    /// The heat of a model.
    ModelEnergy = "model-energy",
    /// What the lowest gear holds at idle.
    HeldByGear = "held-by-gear",
}

impl Example {
    /// Whether a worked example is of this kind.
    pub fn is(self, worked: &Worked) -> bool {
        worked.id == self.key()
    }

    /// Begins one.
    pub(super) fn begun(self, title: impl Into<String>, system: UnitSystem) -> Working {
        Working::new(self.key(), title, system)
    }
}
