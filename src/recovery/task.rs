//! What is asked of the search, and where it may make fast: named by search and build alike.

use super::facing::Facing;
use super::layout::{Layout, WinchAt};
use super::lie::{BEYOND, BEYOND_AXLE};
use super::stance::Beside;
use crate::course::{End, Vehicle};

/// What is to be pulled, and how far.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Task {
    /// Place of the stuck vehicle in [`Gear::helpers`](super::gear::Gear::helpers).
    pub casualty: usize,
    /// The pull, N: the high end.
    pub pull: f64,
    /// From the stuck vehicle to where line and blocks are made fast, m, at its greatest.
    pub distance: f64,
    /// The same at its least: the drum is then fullest, and the winch weakest.
    pub nearest: f64,
    /// How far it must travel, m.
    pub travel: f64,
    /// From the middle of the stuck vehicle to its points, m.
    pub reach: f64,
    /// Angle between the line and the line of the point it hangs on seen from the side, rad: a side load on the point.
    pub askew: f64,
    /// Where a line hangs on two points far apart, by a bridle alone; none where it hangs on one end.
    pub sling: Option<Sling>,
    /// Whether a second line hangs on it beside this one.
    pub beside: Beside,
    /// The side of it that faces the pull.
    pub facing: Facing,
    /// Which ways to run the line may be used.
    pub ways: Ways,
    /// How often it may be set, once included: once where nothing would hold the vehicle meanwhile.
    pub most_settings: u32,
    /// Share of its rating that stays free on every part.
    pub margin: f64,
    /// Whether the weakest pieces that will do are taken, so that the stronger are left for a second line.
    pub thrifty: bool,
}

impl Task {
    /// Length of the line from the points of the vehicle to what holds it, m: at its longest, and at its
    /// shortest as long as the vehicle stands on the slope. Beyond the brow or the foot it stands on the level and hardly pulls.
    pub fn lines(&self) -> [f64; 2] {
        [self.distance, self.nearest.max(BEYOND)].map(|end| end - self.reach)
    }
}

/// A bridle along a vehicle that lies on its side, from the front point of its upper side to the rear one: on one end
/// alone the pull would slew it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sling {
    /// Between its two points, m.
    pub apart: f64,
    /// The share of the pull that the leg nearer to the centre of mass takes, 0.5 to 1.
    pub heavier: f64,
}

impl Sling {
    /// Along a vehicle; its points stand as far beyond its axles as those it is pulled by.
    pub fn along(vehicle: &Vehicle) -> Self {
        let wheelbase = vehicle.wheelbase.si();
        let apart = wheelbase + 2.0 * BEYOND_AXLE;
        let to_front = (vehicle.centre_behind_front.si() + BEYOND_AXLE) / apart;
        Self { apart, heavier: to_front.max(1.0 - to_front) }
    }
}

/// Which ways to run the line a piece of work allows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ways {
    /// Every one.
    All,
    /// Nobody and nothing stands below a vehicle that may run down: its own winch, or one that stands
    /// aside.
    Aside,
    /// Line is paid out: one or two parts, straight to a winch above.
    PaidOut,
    /// Line is paid out from below: one or two parts, turned to a winch that stands aside of where the load may roll.
    PaidOutAside,
}

impl Ways {
    /// Whether line is paid out: it is never set again under a vehicle that hangs on it.
    pub const fn pays_out(self) -> bool {
        matches!(self, Self::PaidOut | Self::PaidOutAside)
    }

    /// Whether it allows this layout.
    pub fn allows(self, layout: &Layout) -> bool {
        match self {
            Self::All => true,
            Self::Aside => layout.winch == WinchAt::Casualty || layout.turns(),
            Self::PaidOut => layout.parts <= 2 && !layout.turns(),
            Self::PaidOutAside => layout.parts <= 2 && layout.turns(),
        }
    }
}

/// Where a fixed joint may be made fast.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hold {
    /// A ground anchor of the kit, by its place there.
    Ground(usize),
    /// Another vehicle, braked.
    Vehicle(usize),
    /// The helper that carries the winch.
    Host,
}

/// What keeps a helper with the winch where it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stay {
    /// Nothing to keep: the winch is on the stuck vehicle.
    None,
    /// Its own brakes.
    Brakes,
    /// Tied back to something that carries all of it; a portable winch is made fast so.
    Tied(Hold),
}

/// How the line is joined to the stuck vehicle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Coupling {
    /// The end of it that faces the pull.
    pub end: End,
    /// A bridle, by its place in the gear.
    pub bridle: Option<usize>,
    /// An extension line, by its place in the gear.
    pub extension: Option<usize>,
}
