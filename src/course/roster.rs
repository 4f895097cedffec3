//! Who comes with which vehicle, and by which rules the day rotates.

use std::fmt;

use chrono::NaiveDate;

use super::{Comes, Name, Remark, Ways};
use crate::quantity::Time;

/// How much somebody has driven off the road.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Experience {
    /// Never, or once.
    #[default]
    Novice,
    /// A few days.
    Some,
    /// Often.
    Experienced,
}

impl fmt::Display for Experience {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Novice => "novice",
            Self::Some => "some experience",
            Self::Experienced => "experienced",
        })
    }
}

/// What somebody needs so that the day works for them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Need {
    /// Large print on their own sheets.
    LargePrint,
    /// Signals they can see; nothing is only called out.
    Hearing,
    /// Short ways on foot, help getting in.
    Mobility,
}

impl fmt::Display for Need {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::LargePrint => "large print",
            Self::Hearing => "hearing",
            Self::Mobility => "mobility",
        })
    }
}

/// What only the person in charge reads. It does not show itself by accident.
#[derive(Clone, Default, PartialEq, Eq)]
pub struct Private {
    /// Whom to call.
    pub contact: Option<String>,
    /// What first aiders must know.
    pub medical: Option<String>,
    /// What they need, in their own words, where it is more than what is acted on everywhere.
    pub wishes: Option<String>,
}

impl fmt::Debug for Private {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Private(…)")
    }
}

/// Somebody who comes to drive.
#[derive(Clone, Debug, PartialEq)]
pub struct Driver {
    /// Short name: the roster's number, or `1`, `2`, … in the order of the roster.
    pub id: String,
    /// Made-up initials or a name.
    pub name: Name,
    /// How much they have driven off the road.
    pub experience: Experience,
    /// What they need.
    pub needs: Vec<Need>,
    /// The vehicle they drive, one of the course's.
    pub vehicle: String,
    /// Whether the vehicle is their own rather than one of the fleet.
    pub own_vehicle: bool,
    /// When they come and go.
    pub comes: Comes,
    /// Who sits beside them while they drive, by place in the roster.
    pub beside: Option<usize>,
    /// For the person in charge alone.
    pub private: Private,
}

/// Somebody who rides with a driver and does not drive.
#[derive(Clone, Debug, PartialEq)]
pub struct Passenger {
    /// Short name, as of a driver.
    pub id: String,
    /// Made-up initials or a name.
    pub name: Name,
    /// In whose vehicle they come, by place in the roster.
    pub with: usize,
    /// What they need.
    pub needs: Vec<Need>,
    /// When they come and go.
    pub comes: Comes,
    /// For the person in charge alone.
    pub private: Private,
}

/// Everybody who comes to drive.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Roster {
    /// The spreadsheet's file, beside the course file.
    pub file: Option<String>,
    /// Columns whose head the course names: the roster's own name, then the head.
    pub columns: Vec<(String, String)>,
    /// In the order of the roster.
    pub drivers: Vec<Driver>,
    /// Who rides with them, in the order of the roster.
    pub passengers: Vec<Passenger>,
    /// What a person should know of the spreadsheet as it was read.
    pub notes: Vec<String>,
}

/// A number with where it comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Headcount {
    /// The number.
    pub number: u16,
    /// Where it comes from.
    pub source: Remark,
}

/// Where and when the sun rises.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Degrees, north positive.
    pub latitude: f64,
    /// Degrees, east positive.
    pub longitude: f64,
    /// Minutes the clock is ahead of universal time.
    pub ahead: i32,
}

/// How long people may go on without a pause.
#[derive(Clone, Debug, PartialEq)]
pub struct DutyRule {
    /// Longest stretch.
    pub most: Time,
    /// The pause after it.
    pub pause: Time,
    /// Where the rule comes from.
    pub source: Remark,
}

/// A station that is no slope.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Session {
    /// What it is called.
    pub title: Name,
    /// The slope it takes place on; none for a lesson in the hut.
    pub slope: Option<String>,
    /// The vehicle that shows it, of the course's own fleet; none where the program is to choose.
    pub vehicle: Option<String>,
    /// Groups that take part at the same time.
    pub groups: u16,
}

/// In which order the groups come to the slopes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Order {
    /// From what asks little of their vehicles and experience to what asks much.
    #[default]
    Gentle,
    /// As it comes.
    Any,
    /// These slopes, by identifier, in this order; the others as it comes.
    Own(Vec<String>),
}

/// By which rules the groups rotate. Times of day are minutes since midnight.
#[derive(Clone, Debug, PartialEq)]
pub struct RotaRules {
    /// The day, which is that of the course ([`super::Day::date`]).
    pub date: Option<NaiveDate>,
    /// Where the sun is reckoned for.
    pub place: Option<Place>,
    /// Start of the first slot.
    pub from: u16,
    /// End of the last slot.
    pub until: u16,
    /// Start and length of lunch, minutes.
    pub lunch: Option<(u16, u16)>,
    /// Length of a slot, minutes, when the course sets it.
    pub slot: Option<u16>,
    /// From slot to slot, minutes; more where a way is longer.
    pub changeover: u16,
    /// How long the ways between slopes are; none where the course says nothing.
    pub ways: Option<Ways>,
    /// From a vehicle's stop at the foot to the start of the next.
    pub reset: Time,
    /// Slots at the end kept free for weather.
    pub spare: u16,
    /// Most drivers in a group.
    pub group_size: Headcount,
    /// Most drivers an instructor has.
    pub per_instructor: Headcount,
    /// Fewest marshals on a slope in use.
    pub marshals: Headcount,
    /// Pauses.
    pub duty: DutyRule,
    /// Minutes of daylight before the first and after the last run.
    pub daylight: u16,
    /// A lesson every group has.
    pub theory: Option<Session>,
    /// A demonstration every group sees before it drives that slope.
    pub demonstration: Option<Session>,
    /// In which order the groups come to the slopes.
    pub order: Order,
    /// Slopes, by identifier, of which the first is driven before the second, whatever the order.
    pub before: Vec<(String, String)>,
}
