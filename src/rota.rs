//! Who is where when: groups rotate over slopes, a demonstration and a lesson.
//!
//! [`plan`] makes the rota of a course, with a lower bound on its length; [`check`] looks at any rota
//! and names every limit it breaks, from the course alone; [`replan`] changes a rota as little as
//! possible when somebody is missing or a slope closes.
//!
//! ```
//! use slopepack::course::read;
//! use slopepack::engine::reckon;
//! use slopepack::rota::{Missing, check, clock_text, plan};
//! let course = read("courses/six-slope-saturday.yaml".as_ref()).expect("no mistakes").course;
//! let reckoning = reckon(&course);
//! let rota = plan(&course, &reckoning).expect("a rota fits");
//! assert!(rota.length() >= rota.bound.slots && clock_text(rota.slots[0].start) == "10:00");
//! assert_eq!(check(&course, &reckoning, &rota, &Missing::default()), []);
//! ```

mod ask;
mod bound;
mod change;
mod check;
mod clash;
mod clock;
mod crews;
mod heat;
mod missing;
mod model;
mod nearest;
mod request;
mod shown;
mod solve;
mod staffing;
mod today;

pub use ask::{STEEP, ask, ask_of_group, comes_first, is_steep, step};
pub use change::{Change, Patience, difference, replan};
pub use check::{Fault, NoRota, check, held};
pub use clash::{Clash, Looked};
pub use clock::clock_text;
pub use clock::sun::{Sun, sun};
pub use crews::groups_of;
pub use heat::{
    CHANGEOVER, Crew, Holds, LeftOut, OnSlope, Seat, SessionSum, Turn, WALK, assessed, crew_beside, day_sum,
    minutes_between, minutes_needed, on_slope, runs_planned,
};
pub use missing::late::missed_first;
pub use missing::{Missing, Unclear, doing, missing_of, stand_in};
pub use request::Limit;
pub use shown::{Shown, best_to_show, shown};
pub use today::{AFTER_ARRIVING, absent, brought, days_by, deputies, had_before, person_there, plan_days};

use serde::{Deserialize, Serialize};

use crate::course::Course;
use crate::engine::Reckoning;
use model::{Model, pauses_to_try};
use request::{NoFit, Relax};
use solve::{Looking, shortest};

/// A stretch of the day, minutes since midnight.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Slot {
    /// Start.
    pub start: u16,
    /// End.
    pub end: u16,
}

/// Where a group can be. Slopes by their place in the course.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Station {
    /// Driving a slope.
    Slope(usize),
    /// Watching the demonstration on this slope.
    Demonstration(usize),
    /// The lesson.
    Theory,
}

/// A group at a station in a slot.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Visit {
    /// Which group.
    pub group: usize,
    /// Where.
    pub station: Station,
    /// Which slot.
    pub slot: usize,
    /// Drivers of the group who drive here, by their place in the roster; the others watch.
    pub driving: Vec<usize>,
}

/// Where somebody stands on duty.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Post {
    /// Where vehicles start.
    Brow,
    /// Where they stop.
    Foot,
    /// Half-way.
    Beside,
    /// With the group, teaching.
    Group,
}

/// Somebody of the staff at a station in a slot.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Duty {
    /// Their place among the course's people.
    pub person: usize,
    /// Where.
    pub station: Station,
    /// Which slot.
    pub slot: usize,
    /// Where there.
    pub post: Post,
}

/// A lower bound with its grounds.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Bound {
    /// Fewest slots.
    pub slots: usize,
    /// What gives it, the strongest first.
    pub grounds: Vec<Ground>,
}

/// One reason why a rota cannot be shorter.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Ground {
    /// Fewest slots by this reason alone.
    pub slots: usize,
    /// The reason, with its numbers.
    pub why: String,
}

/// The rota of a day.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Rota {
    /// Drivers of each group, by their place in the roster.
    pub groups: Vec<Vec<usize>>,
    /// Every slot of the day, the spare ones last.
    pub slots: Vec<Slot>,
    /// Slots at the end that were to stay free.
    pub spare: usize,
    /// Groups that do not come to a station they were to come to.
    pub given_up: Vec<(usize, Station)>,
    /// Who is where.
    pub visits: Vec<Visit>,
    /// Who serves where.
    pub duties: Vec<Duty>,
    /// The fewest slots any rota needs, and why.
    pub bound: Bound,
    /// Whether no shorter rota exists: the bound is reached, or the solver refuted every shorter one; with ways between
    /// slopes none that ends earlier with the same pause after each slot.
    pub proven: bool,
    /// Seed of the solver.
    pub seed: u64,
}

impl Rota {
    /// Slots in use: up to the last one with a visit.
    pub fn length(&self) -> usize {
        self.visits.iter().map(|visit| visit.slot + 1).max().unwrap_or(0)
    }

    /// When the last visit ends, minutes since midnight.
    pub(crate) fn ends(&self) -> u16 {
        self.length().checked_sub(1).and_then(|last| self.slots.get(last)).map_or(0, |slot| slot.end)
    }

    /// Least minutes from one slot to the next: what everybody has to get from slope to slope.
    pub fn pause(&self) -> u16 {
        let pauses = self.slots.windows(2).map(|two| two[1].start.saturating_sub(two[0].end));
        pauses.min().unwrap_or(0)
    }

    /// How far the rota is above its lower bound, as a part of the bound; 0 when proven shortest.
    pub fn gap(&self) -> f64 {
        if self.proven || self.bound.slots == 0 {
            return 0.0;
        }
        let over = u32::try_from(self.length().saturating_sub(self.bound.slots)).unwrap_or(u32::MAX);
        let bound = u32::try_from(self.bound.slots).unwrap_or(u32::MAX);
        f64::from(over) / f64::from(bound)
    }

    /// The visit of a group in a slot.
    pub fn visit(&self, group: usize, slot: usize) -> Option<&Visit> {
        self.visits.iter().find(|visit| visit.group == group && visit.slot == slot)
    }

    /// The duty of somebody in a slot.
    pub fn duty(&self, person: usize, slot: usize) -> Option<&Duty> {
        self.duties.iter().find(|duty| duty.person == person && duty.slot == slot)
    }

    /// The group a driver is in.
    pub fn group_of(&self, driver: usize) -> Option<usize> {
        self.groups.iter().position(|group| group.contains(&driver))
    }

    /// Puts visits and duties into the order of the day.
    pub(crate) fn sort(&mut self) {
        self.visits.sort_by_key(|visit| (visit.slot, visit.station, visit.group));
        self.duties.sort_by_key(|duty| (duty.slot, duty.station, duty.person));
    }
}

/// Whether a course has what a rota is made of: rules, and somebody who drives.
pub fn rotates(course: &Course) -> bool {
    course.rota.is_some() && !course.roster.drivers.is_empty()
}

/// The shortest rota of a course with a roster and rules.
///
/// # Errors
/// No rota fits: the limits that clash and the smallest relaxations found. Or the check finds fault with it.
pub fn plan(course: &Course, reckoning: &Reckoning) -> Result<Rota, NoRota> {
    let nobody = Missing::default();
    let rota = ends_first(course, reckoning, &nobody)
        .map_err(|why| clash::explain(course, reckoning, &nobody, None, &why))?;
    held(course, reckoning, rota, &nobody, false)
}

/// The rota that ends first, of those with the course's changeover between two slots and those with a longer pause in
/// which one gets further.
fn ends_first(course: &Course, reckoning: &Reckoning, nobody: &Missing) -> Result<Rota, NoFit> {
    let (mut best, mut refuted): (Result<Rota, NoFit>, bool) = (Err(NoFit::Nothing), true);
    let mut looking = Looking::default();
    for (tried, pause) in pauses_to_try(course).into_iter().enumerate() {
        let model = Model::of(course, reckoning, nobody, &Relax { pause, ..Relax::default() });
        // A longer pause only makes the same slots later.
        if best.as_ref().is_ok_and(|best| model.earliest_end() >= best.ends()) {
            break;
        }
        let found = shortest(&model, &mut looking);
        refuted &= match &found {
            Ok(rota) => rota.proven,
            Err(why) => matches!(why, NoFit::TooLong { refuted: true }),
        };
        match (&found, &best) {
            (Ok(new), Ok(old)) if new.ends() >= old.ends() => {}
            (Err(_), _) if tried > 0 => {}
            _ => best = found,
        }
    }
    best.map(|rota| Rota { proven: refuted, ..rota })
}
