//! The day: people, times, limits, emergency.

pub(super) mod clock;
pub(super) mod comes;
pub(super) mod date;
mod radio;
pub(super) mod runs;
pub(super) mod several;
pub(super) mod ways;

use super::{Clock, Comes, Date, Name, Remark};
use crate::quantity::{Angle, Length, Ratio, Share, Speed, Temperature, Time, UnitSystem};

/// The course's own working limits. A verdict compares with these.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Steepest descent driven.
    pub gradient: Angle,
    /// Greatest side tilt driven, bumps included.
    pub side_tilt: Angle,
    /// Fastest descent accepted.
    pub descent_speed: Speed,
    /// Hottest disc or drum accepted at the end of a run.
    pub brake_temperature: Temperature,
    /// Part of the low-end grip that engine braking and foot brake alike must leave in hand.
    pub grip_in_hand: Share,
    /// From the signal to stop until the brakes bite.
    pub reaction_time: Time,
    /// By how much what was written may be off before a verdict counts as near a limit.
    pub tolerances: Tolerances,
    /// On which ground a verdict near a limit may be driven with the foot over the brake.
    pub near: NearRule,
    /// What a score of the risk assessment asks for.
    pub risk: RiskCuts,
}

/// By how much what was written may be off: a verdict that one of these breaks is near a limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tolerances {
    /// More mass than written.
    pub mass: Share,
    /// A steeper slope, where the survey does not say how fine its instrument reads.
    pub gradient: Angle,
    /// More speed, and more engine speed.
    pub speed: Share,
    /// Engine drag beyond the published band, where no overrun curve was measured.
    pub drag: Share,
    /// Factor on the tolerance of a mass that was guessed and of a gradient nobody measured.
    pub unmeasured: Ratio,
}

impl Default for Tolerances {
    /// Mass, speed and drag: judgement; 30 % of drag is the least by which published fits and curves are
    /// said to be off at creeping speed. Gradient: a sighting clinometer is read to 1° (maker's agent).
    fn default() -> Self {
        Self {
            mass: Share::new(0.10),
            gradient: Angle::new(1.0_f64.to_radians()),
            speed: Share::new(0.15),
            drag: Share::new(0.30),
            unmeasured: Ratio::new(2.0),
        }
    }
}

/// On which ground a verdict near a limit may be driven with the foot over the brake: where what fails is seen in
/// time and ends harmlessly. Anywhere else the foot brake is on from brow to foot, or it is not driven.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NearRule {
    /// Driven only on slopes less steep than this.
    pub gradient: Angle,
    /// Driven only where the run-out has at least this length.
    pub run_out: Length,
    /// Driven only where no tolerance brings it to more than the limit of speed and this part of it.
    pub speed: Share,
    /// An edge of the site plan counts as one of the slope where it lies this near to the ground wheels come to.
    pub edge: Length,
}

impl Default for NearRule {
    /// Judgement, no source: on 15° a braked wheel locks with little pedal and the driver hangs in the belt; a
    /// run that got to 20 km/h rolls 8 m in 1.5 s of reaction and 8 m more to a stop at a friction of 0.2; a quarter
    /// over the limit of speed is caught by a foot that waits for it; a vehicle whose front wheels slide at 10 km/h
    /// leaves its line by a vehicle's length before it stands.
    fn default() -> Self {
        Self {
            gradient: Angle::new(15.0_f64.to_radians()),
            run_out: Length::new(20.0),
            speed: Share::new(0.25),
            edge: Length::new(5.0),
        }
    }
}

impl Limits {
    /// Grip in hand when the course names none: a foot and a governor are no fine instruments, and one
    /// touch too many slides a wheel. Judgement, no source.
    pub const GRIP_IN_HAND: f64 = 0.20;
    /// Reaction time when the course names none, s: brake after a surprise (Green 2000, Transportation
    /// Human Factors 2(3), 195–216: surprise 1.5 s).
    pub const REACTION: f64 = 1.5;
}

/// The lowest score (likelihood × severity, each 1 to 5) at which more is asked than to go on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RiskCuts {
    /// The instructor in charge is asked first.
    pub ask_first: u8,
    /// A named person signs for it.
    pub in_writing: u8,
    /// It is not done today.
    pub not_today: u8,
}

impl Default for RiskCuts {
    /// The project's own proposal, no source. What can kill is never below 5; from 10 a death is more than
    /// hardly possible, from 15 as likely as not.
    fn default() -> Self {
        Self { ask_first: 5, in_writing: 10, not_today: 15 }
    }
}

/// What somebody does on the day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// In charge of the day.
    Lead,
    /// Teaches.
    Instructor,
    /// Assesses.
    Assessor,
    /// Runs a slope.
    Marshal,
    /// Guides vehicles by signals.
    Spotter,
    /// First aid.
    FirstAider,
    /// Learns.
    Driver,
}

/// Somebody with a role.
#[derive(Clone, Debug, PartialEq)]
pub struct Person {
    /// Made-up initials or a role: "Instructor 1".
    pub name: Name,
    /// What they do.
    pub role: Role,
    /// The vehicle they bring or drive.
    pub vehicle: Option<String>,
    /// The slopes they may run.
    pub slopes: Vec<String>,
    /// For whom they stand in when that person is missing: whoever is in charge, or first aid.
    pub deputy: Option<Role>,
    /// When they come and go.
    pub comes: Comes,
}

/// Times, weather and runs.
#[derive(Clone, Debug, PartialEq)]
pub struct Day {
    /// When; the day of the rota where the course names it there.
    pub date: Option<Date>,
    /// Start of the day.
    pub start: Option<Clock>,
    /// End of the day.
    pub end: Option<Clock>,
    /// Sessions in order: time, what, minutes.
    pub sessions: Vec<Session>,
    /// Air temperature expected.
    pub air: Temperature,
    /// Whether the air temperature was assumed.
    pub air_estimated: bool,
    /// Runs each vehicle makes down a slope in one session.
    pub runs: u16,
    /// From the end of one run to the start of the next.
    pub run_gap: Time,
    /// From a vehicle's stop at the foot until the next may start, where there is no rota to say it.
    pub turn_round: Option<Time>,
    /// Whether the vehicle rolls (drives round) rather than stands between runs.
    pub rolling_between_runs: bool,
    /// Radio channel.
    pub channel: Option<Name>,
    /// Speed limit on the site.
    pub site_speed: Option<Speed>,
}

/// From a stop at the foot until the next may start, s, where the course says nothing: the foot is cleared, the
/// spotter is back. Common practice, no source.
pub(super) const TURN_ROUND: f64 = 60.0;

/// How far apart two pegs for the pace stand, m: 10 m or 30 ft. Common practice, no source.
pub fn pegs_apart(units: UnitSystem) -> f64 {
    match units {
        UnitSystem::Metric => 10.0,
        UnitSystem::Imperial => 30.0 * 0.3048,
    }
}

/// A part of the day.
#[derive(Clone, Debug, PartialEq)]
pub struct Session {
    /// When it begins.
    pub start: Clock,
    /// What happens.
    pub title: Name,
    /// How long it takes.
    pub length: Option<Time>,
    /// What learners get out of it.
    pub outcome: Option<Remark>,
    /// The slopes driven in it.
    pub slopes: Vec<String>,
    /// Talk and demonstration before anybody drives.
    pub talk: Option<Time>,
    /// Runs each vehicle is to make down a slope in it, where not as many as on the day.
    pub runs: Option<u16>,
    /// Whether one time is enough: who had it on an earlier day need not come again.
    pub once: bool,
}

/// Somebody to call.
#[derive(Clone, Debug, PartialEq)]
pub struct Contact {
    /// Who.
    pub name: Name,
    /// Number or channel.
    pub call: Name,
}

/// Whom to call and where to send them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Emergency {
    /// Number of the emergency services here.
    pub number: Option<Remark>,
    /// Where we are, as read out to them.
    pub location: Option<Remark>,
    /// Where an ambulance gets in.
    pub access: Option<Remark>,
    /// Where everybody gathers.
    pub assembly: Option<Remark>,
    /// Nearest emergency department.
    pub hospital: Option<Remark>,
    /// Where the telephone works.
    pub coverage: Option<Remark>,
    /// Whether a telephone was tried where control stands, and works there.
    pub telephone_at_control: bool,
    /// Others to call.
    pub contacts: Vec<Contact>,
}

impl Emergency {
    /// Whether somebody is kept free to drive to where a telephone works: it does not work everywhere, and nobody has
    /// tried it where control stands.
    pub fn somebody_drives_to_a_telephone(&self) -> bool {
        self.coverage.is_some() && !self.telephone_at_control
    }
}

impl super::Course {
    /// Where everybody gathers: as it is written, else its spot on the plan of the site.
    pub fn assembly(&self) -> Option<String> {
        let written = self.emergency.assembly.as_ref().map(Remark::short);
        written.or_else(|| self.site_plan.as_ref()?.named(super::PointOfSite::Assembly))
    }
}
