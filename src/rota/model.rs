//! The day as groups, stations, staff and slots: what the bound and the solver look at.

use super::bound::Bound;
use super::change::Missing;
use super::clash::Limit;
use super::clock::{self, Longer};
use super::crews::{groups_of, may_drive, teaches};
use super::heat::{minutes_between, minutes_needed};
use super::shown::{drivers_of_shown, shown};
use super::solve::{Answer, Wish, solve};
use super::{Duty, Rota, Slot, Station, Visit};
use crate::course::{Course, Vehicle};
use crate::engine::Reckoning;

/// Slots are a multiple of this long when the course sets none, minutes.
const ROUND: u16 = 5;

/// A station with what it asks for.
#[derive(Clone, Debug)]
pub(super) struct Post {
    pub(super) station: Station,
    pub(super) name: String,
    /// Groups at a time.
    pub(super) at_once: usize,
    /// Marshals while it is in use.
    pub(super) marshals: usize,
}

impl Post {
    pub(super) fn is_slope(&self) -> bool {
        matches!(self.station, Station::Slope(_))
    }
}

/// Somebody who serves.
#[derive(Clone, Debug)]
pub(super) struct Staff {
    /// Their place among the course's people; none for one who does not exist, to see whether one more
    /// would do.
    pub(super) person: Option<usize>,
    pub(super) teaches: bool,
    /// The stations they may serve.
    pub(super) may: Vec<bool>,
}

/// Limits let go, and how far.
#[derive(Clone, Debug, Default)]
pub(super) struct Relax {
    pub(super) off: Vec<Limit>,
    pub(super) minutes: u16,
    pub(super) use_spare: bool,
    pub(super) more_marshals: usize,
    pub(super) more_instructors: usize,
    pub(super) fewer_marshals: usize,
    pub(super) without_slope: Option<usize>,
}

impl Relax {
    fn off(&self, limit: Limit) -> bool {
        self.off.contains(&limit)
    }
}

/// Everything the solver needs.
#[derive(Clone, Debug)]
pub(super) struct Model {
    pub(super) groups: Vec<Vec<usize>>,
    pub(super) slots: Vec<Slot>,
    pub(super) spare: usize,
    pub(super) stations: Vec<Post>,
    pub(super) staff: Vec<Staff>,
    /// Group by station: whether the group is to come.
    pub(super) wanted: Vec<Vec<bool>>,
    /// Instructors each group has on a slope.
    pub(super) teachers: Vec<usize>,
    /// Instructors at a lesson: 1, or 0 when that limit is let go.
    pub(super) ratio: u8,
    /// Group, first station, second station, minutes of pause its brakes need between them.
    pub(super) pauses: Vec<(usize, usize, usize, u16)>,
    /// Stations that come before others.
    pub(super) first: Vec<(usize, usize)>,
    /// Group by station: who drives there, by their place in the roster.
    pub(super) driving: Vec<Vec<Vec<usize>>>,
    /// Drivers of the vehicle that is shown: they cannot drive it while it is.
    pub(super) shown_by: Vec<usize>,
    /// Minutes the slowest group needs on a slope.
    needed: u16,
    pub(super) bound: Bound,
}

/// Why there is no rota.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum NoFit {
    /// The course has no rules or nobody to rotate.
    Nothing,
    /// The course's slots are shorter than the runs need, minutes.
    SlotTooShort { slot: u16, needed: u16 },
    /// Not within the slots there are.
    TooLong,
}

impl Model {
    pub(super) fn of(course: &Course, reckoning: &Reckoning, missing: &Missing, relax: &Relax) -> Self {
        let groups: Vec<Vec<usize>> = groups_of(course)
            .into_iter()
            .map(|group| group.into_iter().filter(|driver| !missing.drivers.contains(driver)).collect())
            .collect();
        let stations = stations(course, relax);
        let mut model = Self {
            slots: slots(course, reckoning, relax),
            spare: if relax.off(Limit::Spare) || relax.use_spare {
                0
            } else {
                course.rota.as_ref().map_or(0, |rules| usize::from(rules.spare))
            },
            staff: staff(course, &stations, missing, relax),
            wanted: Vec::new(),
            teachers: groups.iter().map(|group| teachers(course, group.len(), relax)).collect(),
            ratio: u8::from(!relax.off(Limit::Instructors)),
            pauses: Vec::new(),
            first: Vec::new(),
            driving: driving(course, reckoning, &groups, &stations),
            shown_by: shown(course, reckoning).map_or_else(Vec::new, |shown| drivers_of_shown(course, shown)),
            needed: needed(course, reckoning),
            bound: Bound::default(),
            groups,
            stations,
        };
        model.wanted = model.wanted(missing, relax);
        if !relax.off(Limit::BrakePause) {
            model.pauses = model.pauses(course, reckoning);
        }
        if !relax.off(Limit::DemonstrationFirst) {
            model.first = model.first();
        }
        model.bound = Bound::of(&model);
        model
    }

    fn wanted(&self, missing: &Missing, relax: &Relax) -> Vec<Vec<bool>> {
        let open = |post: &Post| match post.station {
            Station::Slope(slope) | Station::Demonstration(slope) => {
                !missing.slopes.contains(&slope) && relax.without_slope != Some(slope)
            }
            Station::Theory => true,
        };
        let row = |group: usize| {
            self.stations
                .iter()
                .enumerate()
                .map(|(at, post)| {
                    open(post)
                        && !self.groups[group].is_empty()
                        && (!post.is_slope() || !self.driving[group][at].is_empty())
                })
                .collect()
        };
        (0..self.groups.len()).map(row).collect()
    }

    /// Pairs of slopes that a group may not drive one right after the other.
    fn pauses(&self, course: &Course, reckoning: &Reckoning) -> Vec<(usize, usize, usize, u16)> {
        let changeover = course.rota.as_ref().map_or(0, |rules| rules.changeover);
        let slopes: Vec<(usize, usize)> = (0..self.stations.len())
            .filter_map(|at| match self.stations[at].station {
                Station::Slope(slope) => Some((at, slope)),
                _ => None,
            })
            .collect();
        let mut pauses = Vec::new();
        for group in 0..self.groups.len() {
            for &(one, before) in &slopes {
                for &(two, after) in slopes.iter().filter(|(two, _)| *two != one) {
                    let both =
                        self.driving[group][one].iter().filter(|at| self.driving[group][two].contains(at));
                    let need = both
                        .filter_map(|driver| vehicle_of(course, *driver))
                        .map(|vehicle| {
                            minutes_between(course, reckoning, vehicle, before, after).unwrap_or(1440)
                        })
                        .max()
                        .unwrap_or(0);
                    if need > changeover {
                        pauses.push((group, one, two, need));
                    }
                }
            }
        }
        pauses
    }

    fn first(&self) -> Vec<(usize, usize)> {
        let at = |wanted: Station| self.stations.iter().position(|post| post.station == wanted);
        self.stations
            .iter()
            .enumerate()
            .filter_map(|(one, post)| match post.station {
                Station::Demonstration(slope) => Some((one, at(Station::Slope(slope))?)),
                _ => None,
            })
            .collect()
    }

    /// Slots a rota may use.
    pub(super) fn usable(&self) -> usize {
        self.slots.len().saturating_sub(self.spare)
    }

    /// The shortest rota.
    pub(super) fn shortest(&self) -> Result<Rota, NoFit> {
        self.short_enough(&Wish::default())
    }

    /// Whether any rota fits: as [`Self::shortest`], without looking for a short one.
    pub(super) fn fits(&self) -> bool {
        self.bound.slots <= self.usable()
            && !self.wanted.is_empty()
            && matches!(solve(self, self.usable(), &Wish::default()), Answer::Found(..))
    }

    pub(super) fn short_enough(&self, wish: &Wish) -> Result<Rota, NoFit> {
        if self.groups.is_empty() {
            return Err(NoFit::Nothing);
        }
        if let Some(slot) = self.slots.first().map(|slot| slot.end - slot.start)
            && slot < self.needed
        {
            return Err(NoFit::SlotTooShort { slot, needed: self.needed });
        }
        let mut proven = true;
        for length in self.bound.slots..=self.usable() {
            match solve(self, length, wish) {
                Answer::Found(visits, duties) => {
                    return Ok(self.rota(visits, duties, proven));
                }
                Answer::None => {}
                Answer::Unknown => proven = false,
            }
        }
        Err(NoFit::TooLong)
    }

    /// The solver's answer as a rota.
    pub(super) fn rota(&self, visits: Vec<[usize; 3]>, duties: Vec<[usize; 3]>, proven: bool) -> Rota {
        let visit = |[group, at, slot]: [usize; 3]| Visit {
            group,
            station: self.stations[at].station,
            slot,
            driving: self.driving[group][at].clone(),
        };
        let duty = |[who, at, slot]: [usize; 3]| {
            Some(Duty { person: self.staff[who].person?, station: self.stations[at].station, slot })
        };
        let mut rota = Rota {
            groups: self.groups.clone(),
            slots: self.slots.clone(),
            spare: self.spare,
            visits: visits.into_iter().map(visit).collect(),
            duties: duties.into_iter().filter_map(duty).collect(),
            bound: self.bound.clone(),
            proven,
            seed: super::solve::SEED,
        };
        rota.sort();
        rota
    }
}

fn vehicle_of(course: &Course, driver: usize) -> Option<&Vehicle> {
    let driver = course.roster.drivers.get(driver)?;
    course.vehicles.iter().find(|vehicle| vehicle.id == driver.vehicle)
}

fn teachers(course: &Course, drivers: usize, relax: &Relax) -> usize {
    let most = course.rota.as_ref().map_or(1, |rules| usize::from(rules.per_instructor.number.max(1)));
    if relax.off(Limit::Instructors) { 0 } else { drivers.div_ceil(most) }
}

fn stations(course: &Course, relax: &Relax) -> Vec<Post> {
    let Some(rules) = &course.rota else { return Vec::new() };
    let marshals = if relax.off(Limit::Marshals) {
        0
    } else {
        usize::from(rules.marshals.number) - relax.fewer_marshals
    };
    let mut posts: Vec<Post> = course
        .slopes
        .iter()
        .enumerate()
        .map(|(at, slope)| Post {
            station: Station::Slope(at),
            name: slope.name.clone(),
            at_once: 1,
            marshals,
        })
        .collect();
    if let Some(demonstration) = &rules.demonstration {
        let slope = demonstration.slope.as_ref();
        let at = course.slopes.iter().position(|known| Some(&known.id) == slope).unwrap_or(0);
        posts.push(Post {
            station: Station::Demonstration(at),
            name: demonstration.title.clone(),
            at_once: usize::from(demonstration.groups),
            marshals,
        });
    }
    if let Some(theory) = &rules.theory {
        posts.push(Post {
            station: Station::Theory,
            name: theory.title.clone(),
            at_once: usize::from(theory.groups),
            marshals: 0,
        });
    }
    posts
}

fn staff(course: &Course, stations: &[Post], missing: &Missing, relax: &Relax) -> Vec<Staff> {
    let may_all = |limit: Limit| relax.off(limit);
    let mut staff: Vec<Staff> = course
        .people
        .iter()
        .enumerate()
        .filter(|(at, _)| !missing.people.contains(at))
        .filter_map(|(at, person)| {
            let teaches = teaches(person.role)?;
            let limit = if teaches { Limit::InstructorSlopes } else { Limit::MarshalSlopes };
            let may = |post: &Post| match post.station {
                Station::Theory => teaches,
                Station::Slope(slope) | Station::Demonstration(slope) => {
                    may_all(limit)
                        || person.slopes.is_empty()
                        || person.slopes.contains(&course.slopes[slope].id)
                }
            };
            Some(Staff { person: Some(at), teaches, may: stations.iter().map(may).collect() })
        })
        .collect();
    let more = [(false, relax.more_marshals), (true, relax.more_instructors)];
    for (teaches, count) in more {
        let may = stations.iter().map(|post| teaches || post.station != Station::Theory).collect();
        staff.extend(std::iter::repeat_n(Staff { person: None, teaches, may }, count));
    }
    staff
}

/// Who of a group drives at each station.
fn driving(
    course: &Course,
    reckoning: &Reckoning,
    groups: &[Vec<usize>],
    stations: &[Post],
) -> Vec<Vec<Vec<usize>>> {
    let at = |group: &Vec<usize>, post: &Post| match post.station {
        Station::Slope(slope) => {
            group.iter().copied().filter(|driver| may_drive(course, reckoning, *driver, slope)).collect()
        }
        _ => Vec::new(),
    };
    groups.iter().map(|group| stations.iter().map(|post| at(group, post)).collect()).collect()
}

/// Minutes the longest visit needs, in the whole roster's groups, so that the slots stay as they are
/// when somebody is missing.
pub(super) fn needed(course: &Course, reckoning: &Reckoning) -> u16 {
    let need = |group: &Vec<usize>, slope: usize| {
        let driving = group.iter().filter(|driver| may_drive(course, reckoning, **driver, slope));
        let vehicles: Vec<&Vehicle> = driving.filter_map(|driver| vehicle_of(course, *driver)).collect();
        minutes_needed(course, reckoning, slope, &vehicles)
    };
    let groups = groups_of(course);
    let slopes = 0..course.slopes.len();
    groups.iter().flat_map(|group| slopes.clone().map(move |slope| need(group, slope))).max().unwrap_or(0)
}

fn slots(course: &Course, reckoning: &Reckoning, relax: &Relax) -> Vec<Slot> {
    let Some(rules) = &course.rota else { return Vec::new() };
    let length = rules.slot.unwrap_or_else(|| needed(course, reckoning).next_multiple_of(ROUND).max(ROUND));
    let endless = if relax.off(Limit::DayLength) { 24 * 60 - rules.until.min(24 * 60) } else { 0 };
    let longer = Longer {
        minutes: relax.minutes + endless,
        dark: relax.off(Limit::Daylight),
        hungry: relax.off(Limit::Lunch),
    };
    clock::slots(rules, length, longer)
}
