//! The model of a day from a course: who comes, what is open, who serves, what comes before what.

use std::collections::BTreeSet;

use super::{Model, Place, Staff};
use crate::course::{Course, Vehicle};
use crate::engine::Reckoning;
use crate::rota::ask::{comes_first, is_steep};
use crate::rota::clock::{self, Longer};
use crate::rota::crews::{groups_of, groups_today, may_drive, teaches};
use crate::rota::heat::{minutes_between, minutes_needed};
use crate::rota::missing::Missing;
use crate::rota::missing::late::missed_first;
use crate::rota::request::{Limit, Relax};
use crate::rota::shown::{drivers_of_shown, shown};
use crate::rota::today::{absent, deputies, group_there, had_before, person_there};
use crate::rota::{Bound, Rota, Slot, Station, staffing};

/// Slots are a multiple of this long when the course sets none, minutes.
const ROUND: u16 = 5;

impl Model {
    /// Of a whole day, before it begins.
    pub(in crate::rota) fn of(
        course: &Course,
        reckoning: &Reckoning,
        missing: &Missing,
        relax: &Relax,
    ) -> Self {
        Self::from(course, reckoning, missing, relax, None)
    }

    /// Of what is left of a day that was planned `before`.
    pub(in crate::rota) fn from(
        course: &Course,
        reckoning: &Reckoning,
        missing: &Missing,
        relax: &Relax,
        before: Option<&Rota>,
    ) -> Self {
        let missing = &absent(course).and(missing);
        let groups = groups_today(course, reckoning, missing, before);
        let stations = stations(course, relax);
        let kept = before.filter(|_| relax.minutes == 0 && !relax.off(Limit::DayLength));
        let slots = kept.map_or_else(|| slots(course, reckoning, relax), |rota| rota.slots.clone());
        let taken = shown(course, reckoning, missing);
        let mut model = Self {
            past: before.map_or(0, |_| slots.iter().take_while(|slot| slot.start < missing.from).count()),
            slots,
            spare: if relax.off(Limit::Spare) || relax.use_spare {
                0
            } else {
                course.rota.as_ref().map_or(0, |rules| usize::from(rules.spare))
            },
            staff: Vec::new(),
            there: Vec::new(),
            wanted: Vec::new(),
            teachers: groups.iter().map(|group| teachers(course, group.len(), relax)).collect(),
            ratio: u8::from(!relax.off(Limit::Instructors)),
            pauses: Vec::new(),
            ways: Vec::new(),
            first: Vec::new(),
            pools: Vec::new(),
            all: !relax.give_up,
            done: Vec::new(),
            sides: Vec::new(),
            driving: driving(course, reckoning, missing, &groups, &stations, before),
            shown_by: taken.map_or_else(Vec::new, |shown| drivers_of_shown(course, shown)),
            needed: before.map_or_else(
                || needed(course, reckoning, &groups_of(course)),
                |_| needed(course, reckoning, &groups),
            ),
            bound: Bound::default(),
            until: None,
            groups,
            stations,
        };
        model.times(course, missing, relax);
        if let Some(before) = before {
            model.done = model.done(before);
            model.sides = model.sides(before, missing);
        }
        model.wanted = model.wanted(course, missing, relax);
        if !relax.off(Limit::BrakePause) {
            model.pauses = model.pauses(course, reckoning);
        }
        model.ways = model.ways(course, relax);
        model.first = model.first(course, reckoning, relax);
        model.pools = staffing::pools(&model);
        model.bound = Bound::of(&model);
        model
    }

    /// What was visited in the slots that are over.
    fn done(&self, before: &Rota) -> Vec<[usize; 3]> {
        let over = before.visits.iter().filter(|visit| visit.slot < self.past);
        over.filter_map(|visit| Some([visit.group, self.place(visit.station)?, visit.slot])).collect()
    }

    /// Who of the staff and of the groups can be there in which slot; nobody where nobody answers for the day.
    fn times(&mut self, course: &Course, missing: &Missing, relax: &Relax) {
        let any = relax.off(Limit::Times);
        let held = |slot: &Slot| if any { Some(BTreeSet::new()) } else { deputies(course, missing, *slot) };
        let busy: Vec<Option<BTreeSet<usize>>> = self.slots.iter().map(held).collect();
        let slots = || self.slots.iter().zip(&busy);
        self.there = self
            .groups
            .iter()
            .map(|group| {
                slots()
                    .map(|(slot, busy)| any || busy.is_some() && group_there(course, group, *slot))
                    .collect()
            })
            .collect();
        self.staff = staff(course, &self.stations, missing, relax);
        for one in &mut self.staff {
            let free = |(slot, busy): (&Slot, &Option<BTreeSet<usize>>)| match (one.person, busy) {
                (None, _) => true,
                (Some(_), None) => false,
                (Some(at), Some(busy)) => any || !busy.contains(&at) && person_there(course, at, *slot),
            };
            one.there = slots().map(free).collect();
        }
    }

    fn wanted(&self, course: &Course, missing: &Missing, relax: &Relax) -> Vec<Vec<bool>> {
        let open = |place: &Place| match place.station {
            Station::Slope(slope) | Station::Demonstration(slope) => {
                !missing.slopes.contains(&slope) && relax.without_slope != Some(slope)
            }
            Station::Theory => true,
        };
        let row = |group: usize| {
            self.stations
                .iter()
                .enumerate()
                .map(|(at, place)| {
                    let done = self.done.iter().any(|visit| (visit[0], visit[1]) == (group, at));
                    let to_do = open(place)
                        && self.groups[group].iter().any(|at| !had_before(course, *at, place.station))
                        && (!place.is_slope() || !self.driving[group][at].is_empty());
                    done || to_do
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

    /// What comes before what: the demonstration before its slope; gentle slopes before steep ones or as the
    /// course sets; lesson and demonstration before anything steep.
    fn first(&self, course: &Course, reckoning: &Reckoning, relax: &Relax) -> Vec<[usize; 3]> {
        let places = || self.stations.iter().enumerate();
        let slopes = || {
            places().filter_map(|(at, place)| match place.station {
                Station::Slope(slope) => Some((at, slope)),
                _ => None,
            })
        };
        let mut first = Vec::new();
        for (group, members) in self.groups.iter().enumerate() {
            let mut put = |one: usize, two: usize| {
                if self.wanted[group][one] && self.wanted[group][two] {
                    first.push([group, one, two]);
                }
            };
            for (then, slope) in slopes() {
                let steep = !relax.off(Limit::Order) && is_steep(course, reckoning, members, slope);
                for (at, place) in places() {
                    let own = place.station == Station::Demonstration(slope);
                    let comes = match place.station {
                        Station::Demonstration(_) => steep || own && !relax.off(Limit::DemonstrationFirst),
                        Station::Theory => steep,
                        Station::Slope(other) => {
                            other != slope
                                && !relax.off(Limit::Order)
                                && comes_first(course, reckoning, members, other, slope)
                        }
                    };
                    if comes {
                        put(at, then);
                    }
                }
            }
        }
        first
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

fn stations(course: &Course, relax: &Relax) -> Vec<Place> {
    let Some(rules) = &course.rota else { return Vec::new() };
    let marshals = if relax.off(Limit::Marshals) {
        0
    } else {
        usize::from(rules.marshals.number) - relax.fewer_marshals
    };
    let mut posts: Vec<Place> = course
        .slopes
        .iter()
        .enumerate()
        .map(|(at, slope)| Place {
            station: Station::Slope(at),
            name: slope.name.short(),
            at_once: 1,
            marshals,
        })
        .collect();
    if let Some(demonstration) = &rules.demonstration {
        let slope = demonstration.slope.as_ref();
        let at = course.slopes.iter().position(|known| Some(&known.id) == slope).unwrap_or(0);
        posts.push(Place {
            station: Station::Demonstration(at),
            name: demonstration.title.short(),
            at_once: usize::from(demonstration.groups),
            marshals,
        });
    }
    if let Some(theory) = &rules.theory {
        posts.push(Place {
            station: Station::Theory,
            name: theory.title.short(),
            at_once: usize::from(theory.groups),
            marshals: 0,
        });
    }
    posts
}

fn staff(course: &Course, stations: &[Place], missing: &Missing, relax: &Relax) -> Vec<Staff> {
    let may_all = |limit: Limit| relax.off(limit);
    let mut staff: Vec<Staff> = course
        .people
        .iter()
        .enumerate()
        .filter(|(at, _)| !missing.people.contains(at) && !missing.standing_in.contains(at))
        .filter_map(|(at, person)| {
            let teaches = teaches(person.role)?;
            let limit = if teaches { Limit::InstructorSlopes } else { Limit::MarshalSlopes };
            let may = |post: &Place| match post.station {
                Station::Theory => teaches,
                Station::Slope(slope) | Station::Demonstration(slope) => {
                    may_all(limit)
                        || person.slopes.is_empty()
                        || person.slopes.contains(&course.slopes[slope].id)
                }
            };
            let may = stations.iter().map(may).collect();
            Some(Staff { person: Some(at), teaches, may, there: Vec::new() })
        })
        .collect();
    let more = [(false, relax.more_marshals), (true, relax.more_instructors)];
    for (teaches, count) in more {
        let may = stations.iter().map(|post| teaches || post.station != Station::Theory).collect();
        staff.extend(std::iter::repeat_n(Staff { person: None, teaches, may, there: Vec::new() }, count));
    }
    staff
}

/// Who of a group drives at each station.
fn driving(
    course: &Course,
    reckoning: &Reckoning,
    missing: &Missing,
    groups: &[Vec<usize>],
    stations: &[Place],
    before: Option<&Rota>,
) -> Vec<Vec<Vec<usize>>> {
    let ready = |group: usize, driver: usize, slope: usize| {
        let missed = |rota| missed_first(course, reckoning, rota, missing, group, driver, slope);
        before.is_none_or(|rota| missed(rota).is_none())
    };
    let at = |number: usize, group: &Vec<usize>, post: &Place| match post.station {
        Station::Slope(slope) => {
            let there = group.iter().copied().filter(|driver| missing.has_vehicle(course, *driver));
            there
                .filter(|driver| {
                    may_drive(course, reckoning, *driver, slope) && ready(number, *driver, slope)
                })
                .collect()
        }
        _ => Vec::new(),
    };
    let row = |(number, group)| stations.iter().map(|post| at(number, group, post)).collect();
    groups.iter().enumerate().map(row).collect()
}

/// Minutes the longest visit of these groups needs.
fn needed(course: &Course, reckoning: &Reckoning, groups: &[Vec<usize>]) -> u16 {
    let need = |group: &Vec<usize>, slope: usize| {
        let driving = group.iter().filter(|driver| may_drive(course, reckoning, **driver, slope));
        let vehicles: Vec<&Vehicle> = driving.filter_map(|driver| vehicle_of(course, *driver)).collect();
        minutes_needed(course, reckoning, slope, &vehicles)
    };
    let slopes = 0..course.slopes.len();
    groups.iter().flat_map(|group| slopes.clone().map(move |slope| need(group, slope))).max().unwrap_or(0)
}

fn slots(course: &Course, reckoning: &Reckoning, relax: &Relax) -> Vec<Slot> {
    let Some(rules) = &course.rota else { return Vec::new() };
    let shortest = || needed(course, reckoning, &groups_of(course)).next_multiple_of(ROUND).max(ROUND);
    let length = rules.slot.unwrap_or_else(shortest);
    let endless = if relax.off(Limit::DayLength) { 24 * 60 - rules.until.min(24 * 60) } else { 0 };
    let longer = Longer {
        minutes: relax.minutes + endless,
        dark: relax.off(Limit::Daylight),
        hungry: relax.off(Limit::Lunch),
        pause: relax.pause,
    };
    clock::slots(rules, length, longer)
}
