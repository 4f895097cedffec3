//! What a rota can break, each with its name.

use std::fmt;

/// A limit that a rota breaks, with who, where and when.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fault {
    /// A driver is in two places: driver, time.
    DriverTwice(String, String),
    /// Somebody of the staff is in two places: name, time.
    StaffTwice(String, String),
    /// A vehicle is driven in two places: vehicle, time.
    VehicleTwice(String, String),
    /// More groups at a station than it holds: station, time.
    StationFull(String, String),
    /// A vehicle on a slope that the verdict keeps it off: driver, slope.
    NotForVehicle(String, String),
    /// Too few marshals: slope, time.
    TooFewMarshals(String, String),
    /// Too many drivers for the instructors: station, time.
    TooFewInstructors(String, String),
    /// Somebody serves a station they may not: name, station.
    NotAllowed(String, String),
    /// A group is too large: its number.
    GroupTooLarge(String),
    /// A driver is in no group, or in two: driver.
    Group(String),
    /// A driver does not come to a station they should: driver, station.
    Missed(String, String),
    /// A driver comes to a station twice: driver, station.
    Again(String, String),
    /// The slot is shorter than the runs need: slope, time.
    SlotTooShort(String, String),
    /// Brakes have not cooled between two slopes: driver, time of the second.
    BrakesWarm(String, String),
    /// In the dark: time.
    Dark(String),
    /// In the lunch break, or no lunch at all: time.
    Lunch(String),
    /// Too long without a pause: name, time.
    NoPause(String, String),
    /// A slot kept free for weather is used: time.
    SpareUsed(String),
    /// Before or after the day: time.
    OutsideDay(String),
    /// Slots overlap, or leave no changeover: time.
    Changeover(String),
    /// A slope is driven before it was shown: driver, slope.
    NotShown(String, String),
    /// A steep slope is driven before a gentler one, or against the course's own order: driver, the slope
    /// driven too soon, the slope that comes first.
    TooSoon(String, String, String),
    /// A steep slope is driven before the lesson or the demonstration: driver, slope.
    NotTaught(String, String),
    /// Nobody stands at the brow or the foot, or two at one of them: slope, time.
    Posts(String, String),
    /// Driven while it is shown: slope, time.
    ShownAndDriven(String, String),
    /// A closed slope is used: slope, time.
    Closed(String, String),
    /// Somebody who is not there is in the rota: name.
    Absent(String),
    /// Somebody drives, watches or serves before they arrive or after they leave: name, time.
    NotThere(String, String),
    /// Nobody answers for the day or for first aid: what, time.
    NobodyFor(String, String),
    /// A station is made again that everybody of the group had on an earlier day: station, time.
    HadBefore(String, String),
    /// Two who sit beside each other are in two groups: names.
    Apart(String, String),
    /// Somebody does not get there in time from where they were: a group or a name, station, time.
    TooFar(String, String, String),
    /// A slot that does not exist.
    NoSuchSlot,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::DriverTwice(who, at) => write!(f, "{who} is in two places at {at}"),
            Self::StaffTwice(who, at) => write!(f, "{who} serves two stations at {at}"),
            Self::VehicleTwice(what, at) => write!(f, "{what} is driven in two places at {at}"),
            Self::StationFull(place, at) => write!(f, "too many groups on {place} at {at}"),
            Self::NotForVehicle(who, place) => write!(f, "the vehicle of {who} may not go on {place}"),
            Self::TooFewMarshals(place, at) => write!(f, "too few marshals on {place} at {at}"),
            Self::TooFewInstructors(place, at) => write!(f, "too few instructors on {place} at {at}"),
            Self::NotAllowed(who, place) => write!(f, "{who} may not run {place}"),
            Self::GroupTooLarge(group) => write!(f, "group {group} is too large"),
            Self::Group(who) => write!(f, "{who} is not in exactly one group"),
            Self::Missed(who, place) => write!(f, "{who} does not come to {place}"),
            Self::Again(who, place) => write!(f, "{who} comes to {place} twice"),
            Self::SlotTooShort(place, at) => {
                write!(f, "the slot at {at} is too short for the runs on {place}")
            }
            Self::BrakesWarm(who, at) => write!(f, "the brakes of {who} have not cooled by {at}"),
            Self::Dark(at) => write!(f, "the slot at {at} is not in daylight"),
            Self::Lunch(at) => write!(f, "no lunch: the slot at {at} lies in it"),
            Self::NoPause(who, at) => write!(f, "{who} has no pause before {at}"),
            Self::SpareUsed(at) => write!(f, "the slot at {at} was kept free for weather"),
            Self::OutsideDay(at) => write!(f, "the slot at {at} lies outside the day"),
            Self::Changeover(at) => write!(f, "no time to change over before {at}"),
            Self::NotShown(who, place) => write!(f, "{who} drives {place} before it was shown"),
            Self::TooSoon(who, place, first) => write!(f, "{who} drives {place} before {first}"),
            Self::NotTaught(who, place) => {
                write!(f, "{who} drives {place}, which is steep, before lesson and demonstration")
            }
            Self::Posts(place, at) => write!(f, "not one at the brow and one at the foot of {place} at {at}"),
            Self::ShownAndDriven(place, at) => write!(f, "{place} is shown and driven at {at}"),
            Self::Closed(place, at) => write!(f, "{place} is closed, and used at {at}"),
            Self::Absent(who) => write!(f, "{who} is not there"),
            Self::NotThere(who, at) => write!(f, "{who} is not there at {at}"),
            Self::NobodyFor(what, at) => write!(f, "nobody is there for {what} at {at}"),
            Self::HadBefore(place, at) => write!(f, "everybody at {place} at {at} had it on an earlier day"),
            Self::Apart(one, two) => write!(f, "{one} and {two} sit beside each other and are in two groups"),
            Self::TooFar(who, place, at) => {
                write!(f, "{who} does not get to {place} by {at} from where they were")
            }
            Self::NoSuchSlot => f.write_str("a slot that does not exist"),
        }
    }
}
