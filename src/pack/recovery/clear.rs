//! A rig from above, to scale: the ground kept clear, who stands where, the way out.

pub(crate) mod close;
pub(crate) mod shut;

use serde::Serialize;

use crate::course::{Hand, Vehicle, WayOff};
use crate::page::figure::Show;
use crate::recovery::Recovery;
use crate::recovery::facts::CLEAR_LENGTHS;
use crate::recovery::ladder::tow::Tow;
use crate::recovery::layout::WinchAt;
use crate::recovery::pull::Direction;
use crate::recovery::rig::Rig;

/// What stands at an end of a loaded line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum AtEnd {
    /// A winch in a vehicle.
    WinchVehicle,
    /// A winch with somebody working it beside it.
    HandWinch,
    /// An anchor.
    Anchor,
    /// A block that turns the line; the winch stands aside.
    TurningBlock,
    /// A vehicle that tows.
    Tug,
}

/// The ground kept clear, m: the stuck vehicle at 0, ends of loaded lines beside it.
#[expect(clippy::struct_excessive_bools, reason = "each is one thing drawn or not")]
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Clear {
    /// The far end of the line.
    pub far: f64,
    pub at_far: AtEnd,
    /// The far end of a catch line on the other side.
    pub catch: Option<f64>,
    pub at_catch: Option<AtEnd>,
    /// Whether the far end is downhill of it.
    pub below: bool,
    pub radius: f64,
    pub length: f64,
    pub width: f64,
    /// Whether it lies across the line, on its side.
    pub across: bool,
    /// Whether somebody sits at its wheel.
    pub driver: bool,
    /// Whether it moves away from the far end.
    pub goes_away: bool,
    /// Whether it moves towards the far end.
    pub toward: bool,
    /// The driver's side on which leader and way out are: `left` or `right`; none where both will do.
    pub side: Option<&'static str>,
    pub radius_text: String,
    pub far_text: String,
    pub alt: String,
    pub caption: String,
}

/// Length of a vehicle over its wheelbase, and width over its track, m: the drawing's only.
pub(super) const OVER: [f64; 2] = [1.9, 0.3];

impl Clear {
    fn round_it(vehicle: &Vehicle, far: f64, at_far: AtEnd, longest: f64, show: Show) -> Self {
        let radius = CLEAR_LENGTHS * longest;
        let radius_text = show.length(libm::ceil(radius), false).text();
        Self {
            far,
            at_far,
            catch: None,
            at_catch: None,
            below: false,
            radius,
            length: vehicle.wheelbase.si() + OVER[0],
            width: vehicle.track.si() + OVER[1],
            across: false,
            driver: true,
            goes_away: false,
            toward: false,
            side: None,
            far_text: show.length(far, false).text(),
            caption: format!(
                "Nobody inside the dashed line: {radius_text} round every loaded point; nobody below it, to the end of the run-out."
            ),
            radius_text,
            alt: String::new(),
        }
    }

    /// With leader and way out on the side of the slope that is free.
    pub(crate) fn leaving(self, way: WayOff) -> Self {
        Self { side: way.side().map(Hand::words), ..self }.spoken()
    }

    /// Round a line that pulls or holds.
    pub(crate) fn of_line(
        vehicle: &Vehicle,
        recovery: &Recovery,
        rig: &Rig,
        goes_away: bool,
        show: Show,
    ) -> Self {
        let (far, at_far) = (recovery.at_start, end_of(rig));
        let mut told = Self::round_it(vehicle, far, at_far, rig.rigged_length, show);
        told.below = recovery.pull.direction == Direction::Down;
        told.goes_away = goes_away != told.below;
        told.toward = !told.goes_away;
        told.spoken()
    }

    /// Round a tow: both vehicles move.
    pub(crate) fn of_tow(vehicle: &Vehicle, tow: &Tow, show: Show) -> Self {
        Self::round_it(vehicle, tow.line, AtEnd::Tug, tow.line, show).spoken()
    }

    /// Round a righting: the line that pulls and the line that holds back.
    pub(crate) fn of_righting(vehicle: &Vehicle, reach: f64, pull: &Rig, catch: &Rig, show: Show) -> Self {
        let longest = pull.rigged_length.max(catch.rigged_length);
        let mut told = Self::round_it(vehicle, reach, end_of(pull), longest, show);
        (told.catch, told.at_catch) = (Some(reach), Some(end_of(catch)));
        (told.across, told.driver) = (true, false);
        told.caption = format!(
            "Nobody inside the dashed line: {} round every loaded point; nobody anywhere downhill of it.",
            told.radius_text
        );
        told.spoken()
    }

    fn spoken(mut self) -> Self {
        let who = match self.at_far {
            AtEnd::Tug => "; a driver at each wheel",
            AtEnd::TurningBlock => "; the winch stands aside, and the inside of the bend is closed as well",
            _ => "",
        };
        let leader =
            self.side.map_or_else(|| "to the side".to_owned(), |side| format!("on the driver’s {side}"));
        self.alt = format!(
            "From above to scale, with the ground kept clear hatched: {} round every loaded point{who}{}; the leader stands outside it, {leader}; people leave sideways, never along the line.",
            self.radius_text,
            if self.catch.is_some() { "; a catch line leads to the other side" } else { "" },
        );
        self
    }
}

fn end_of(rig: &Rig) -> AtEnd {
    match () {
        () if rig.layout.turns() => AtEnd::TurningBlock,
        () if rig.layout.winch == WinchAt::Casualty => AtEnd::Anchor,
        () if rig.host.is_none() => AtEnd::HandWinch,
        () => AtEnd::WinchVehicle,
    }
}
