//! A day that adds up, for a course without a rota: which group is on which slope when, session by session.
//!
//! One vehicle is on a slope at a time. A slope in use has somebody who teaches and somebody who watches: an
//! instructor, and a spotter, a marshal or another instructor (common practice, no source), neither of them at a
//! wheel meanwhile. Where people allow it the class is parted and changes slopes; what does not fit is cut, and said.

use super::crew::{Crew, Seat, Wanted, crews, holds};
use super::turn::{OnSlope, Turn};
use super::{reset, way};
use crate::course::{Course, Role, Session};
use crate::engine::formulas::day::{round_time, rounds, rounds_with_gaps};
use crate::engine::{Mark, Reckoning};
use crate::rota::clock::minutes;

/// Minutes from one slope to the next. Common practice, no source.
pub const CHANGEOVER: u16 = 5;
/// How fast somebody who sat beside a driver walks back up to the brow, m/s. Common practice, no source.
pub const WALK: f64 = 1.0;
/// Most groups a class is parted into: more cannot be kept in one pair of eyes. Common practice, no source.
const MOST_GROUPS: usize = 3;

/// Why a slope of a session is left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LeftOut {
    /// No vehicle may go down it today.
    NobodyDrives,
    /// Nobody has measured it: no time is kept for it.
    Unmeasured,
    /// Nobody to teach or to watch there.
    NoCrew,
    /// No time.
    NoTime,
}

/// The sum of a session.
#[derive(Clone, Debug, PartialEq)]
pub struct SessionSum {
    /// Its place in the day.
    pub session: usize,
    /// When its driving begins, minutes since midnight.
    pub begins: u16,
    /// Minutes it has for driving.
    pub has: u16,
    /// Runs asked for.
    pub wanted: u16,
    /// Minutes they would need, all its slopes driven.
    pub needs: u16,
    /// Runs that fit.
    pub runs: u16,
    /// Groups the class is parted into.
    pub groups: usize,
    /// Who is where.
    pub turns: Vec<Turn>,
    /// Slopes left out, and why.
    pub left_out: Vec<(usize, LeftOut)>,
    /// Vehicles near a limit that do not run on a slope: nobody is free to sit beside the driver while somebody else
    /// stands at the brow.
    pub struck: Vec<(usize, Vec<usize>)>,
}

impl SessionSum {
    /// Minutes in use: to the end of the last turn.
    pub fn used(&self) -> u16 {
        self.turns.iter().map(|turn| turn.to).max().unwrap_or(0)
    }

    /// Whether what was wanted fits.
    pub fn fits(&self) -> bool {
        self.runs == self.wanted && !self.left_out.iter().any(|(_, why)| *why == LeftOut::NoTime)
    }
}

/// The sums of the sessions that name slopes and say how long they take; none for a course with a rota.
pub fn day_sum(course: &Course, reckoning: &Reckoning) -> Vec<SessionSum> {
    if course.rota.is_some() {
        return Vec::new();
    }
    let mut sums: Vec<SessionSum> = Vec::new();
    for (at, session) in course.day.sessions.iter().enumerate() {
        let first = course.day_number() == 1 && sums.iter().all(|sum| sum.turns.is_empty());
        sums.extend(of_session(&Plan { course, reckoning, first }, at, session));
    }
    sums
}

/// Runs planned down a slope over the day, all vehicles together.
pub fn runs_planned(sums: &[SessionSum], slope: usize) -> usize {
    let turns = |sum: &SessionSum| -> usize {
        let here = sum.turns.iter().filter(|turn| turn.slope == slope);
        here.map(|turn| turn.on.vehicles.len() * usize::from(sum.runs)).sum()
    };
    sums.iter().map(turns).sum()
}

/// What so many runs of some vehicles take on a slope; none where nobody of them drives it.
pub fn on_slope(
    course: &Course,
    reckoning: &Reckoning,
    slope: usize,
    among: &[usize],
    runs: u16,
) -> Option<OnSlope> {
    on_slope_after(course, reckoning, slope, among, runs, 0.0)
}

/// The same, with at least so long (s) from one vehicle's stop to the next one's start.
fn on_slope_after(
    course: &Course,
    reckoning: &Reckoning,
    slope: usize,
    among: &[usize],
    runs: u16,
    least: f64,
) -> Option<OnSlope> {
    let reset = reset(course, slope, least);
    let id = &course.slopes[slope].id;
    let time = |vehicle: &usize| {
        let pair = reckoning.pair(id, &course.vehicles[*vehicle].id)?;
        Some((*vehicle, way(pair)?.descent.time.high))
    };
    let times: Vec<(usize, f64)> = among.iter().filter_map(time).collect();
    let longest = times.iter().map(|(_, time)| *time).reduce(f64::max)?;
    let runs_together: f64 = times.iter().map(|(_, time)| time).sum();
    let count = f64::from(u16::try_from(times.len()).ok()?);
    let round = round_time(runs_together, count, reset);
    let gap = course.day.run_gap.si();
    let waits = runs > 1 && longest + gap > round;
    let number = f64::from(runs);
    let time = if waits { rounds_with_gaps(round, number, longest, gap) } else { rounds(round, number) };
    let vehicles = times.into_iter().map(|(vehicle, _)| vehicle).collect();
    Some(OnSlope { vehicles, runs_together, longest, round, time, waits, reset })
}

/// Beside whom somebody sits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Beside {
    /// Every learner, and who is near a limit.
    Learners,
    /// Who is near a limit.
    Near,
    /// Nobody: who is near a limit does not run.
    Nobody,
}

/// What runs at one time: on each slope, with which crews, and every vehicle that is driven.
type Wave = (Vec<Option<OnSlope>>, Vec<Crew>, Vec<usize>);

/// A session's slopes under way of being planned.
struct Plan<'a> {
    course: &'a Course,
    reckoning: &'a Reckoning,
    /// Whether nobody has driven in the course before it.
    first: bool,
}

fn of_session(plan: &Plan, at: usize, session: &Session) -> Option<SessionSum> {
    let course = plan.course;
    let place = |id: &String| course.slopes.iter().position(|slope| slope.id == *id);
    let named: Vec<usize> = session.slopes.iter().filter_map(place).collect();
    let length = session.length.filter(|_| !named.is_empty())?;
    let talk = session.talk.map_or(0, |talk| minutes(talk.si()));
    let (wanted, has) =
        (session.runs.unwrap_or(course.day.runs).max(1), minutes(length.si()).saturating_sub(talk));
    let mut left_out: Vec<(usize, LeftOut)> =
        named.iter().filter_map(|slope| Some((*slope, plan.shut(*slope)?))).collect();
    let mut slopes: Vec<usize> =
        named.into_iter().filter(|slope| !left_out.iter().any(|(out, _)| out == slope)).collect();
    let needs = plan.shortest(&slopes, wanted).map_or(0, |turns| end(&turns));
    // Fewer runs before fewer slopes; of the slopes the one that takes longest goes first.
    let (runs, turns) = loop {
        let fitting = (1..=wanted).rev().find_map(|runs| {
            let turns = plan.shortest(&slopes, runs)?;
            (end(&turns) <= has).then_some((runs, turns))
        });
        match fitting {
            Some(found) => break found,
            None if slopes.is_empty() => break (0, Vec::new()),
            None => {
                let longest = plan.longest(&slopes);
                slopes.retain(|slope| *slope != longest);
                left_out.push((longest, LeftOut::NoTime));
            }
        }
    };
    let groups = turns.iter().map(|turn| turn.group + 1).max().unwrap_or(0);
    let begins = session.start.minutes() + talk;
    let struck = plan.struck(&turns);
    Some(SessionSum { session: at, begins, has, wanted, needs, runs, groups, turns, left_out, struck })
}

fn end(turns: &[Turn]) -> u16 {
    turns.iter().map(|turn| turn.to).max().unwrap_or(0)
}

impl Plan<'_> {
    fn fleet(&self) -> Vec<usize> {
        (0..self.course.vehicles.len()).collect()
    }

    /// Why nobody can drive a slope at all.
    fn shut(&self, slope: usize) -> Option<LeftOut> {
        let Some(on) = on_slope(self.course, self.reckoning, slope, &self.fleet(), 1) else {
            return Some(LeftOut::NobodyDrives);
        };
        if self.course.slopes[slope].survey.is_none() {
            return Some(LeftOut::Unmeasured);
        }
        let beside = self.every(slope) && on.vehicles.iter().any(|one| self.learns(*one));
        let wanted = Wanted { slope, beside, ends: false };
        crews(self.course, &[wanted], &on.vehicles).is_none().then_some(LeftOut::NoCrew)
    }

    /// Whether a vehicle is near a limit on a slope: somebody sits beside its driver.
    fn near(&self, slope: usize, vehicle: usize) -> bool {
        let (slope, vehicle) = (&self.course.slopes[slope].id, &self.course.vehicles[vehicle].id);
        self.reckoning.pair(slope, vehicle).is_some_and(|pair| pair.judged.mark == Mark::Near)
    }

    /// Whether somebody sits beside every learner on a slope, by the course's own word.
    fn every(&self, slope: usize) -> bool {
        self.course.slopes[slope].instructor_beside
    }

    /// Whether a vehicle is driven by somebody who comes to learn, or by whom nobody said.
    fn learns(&self, vehicle: usize) -> bool {
        let id = &self.course.vehicles[vehicle].id;
        let driver = self.course.people.iter().find(|person| person.vehicle.as_ref() == Some(id));
        driver.is_none_or(|person| person.role == Role::Driver)
    }

    /// Whether somebody sits beside a driver of these on a slope.
    fn sits_beside(&self, slope: usize, vehicles: &[usize], beside: Beside) -> bool {
        vehicles.iter().any(|one| match beside {
            Beside::Learners => self.learns(*one) || self.near(slope, *one),
            Beside::Near => self.near(slope, *one),
            Beside::Nobody => false,
        })
    }

    /// How long whoever sat beside a driver walks from the stop to the brow, s.
    fn back_up(&self, slope: usize) -> f64 {
        let slope = &self.course.slopes[slope];
        let run_out = slope.run_out.as_ref().map_or(0.0, |run_out| run_out.length.si());
        (slope.length().si() + run_out) / WALK
    }

    /// What runs on no turn of a slope because nobody is free to sit beside the driver.
    fn struck(&self, turns: &[Turn]) -> Vec<(usize, Vec<usize>)> {
        let mut slopes: Vec<usize> = turns.iter().map(|turn| turn.slope).collect();
        slopes.sort_unstable();
        slopes.dedup();
        let runs = |slope: usize, one: &usize| {
            turns.iter().any(|turn| turn.slope == slope && turn.on.vehicles.contains(one))
        };
        let out = |slope: usize| -> Vec<usize> {
            let near = self.fleet().into_iter().filter(|one| self.near(slope, *one));
            near.filter(|one| !runs(slope, one)).collect()
        };
        slopes.into_iter().map(|slope| (slope, out(slope))).filter(|(_, out)| !out.is_empty()).collect()
    }

    /// The slope that takes longest for one run of all.
    fn longest(&self, slopes: &[usize]) -> usize {
        let time = |slope: &usize| {
            on_slope(self.course, self.reckoning, *slope, &self.fleet(), 1).map_or(0.0, |on| on.time)
        };
        let longest = slopes.iter().copied().max_by(|a, b| time(a).total_cmp(&time(b)));
        longest.expect("asked only while slopes are left")
    }

    /// The turns that are over first, over all numbers of groups; none where people do not allow any.
    fn shortest(&self, slopes: &[usize], runs: u16) -> Option<Vec<Turn>> {
        let most = MOST_GROUPS.min(slopes.len()).min(self.course.vehicles.len());
        let all = (1..=most.max(1)).filter_map(|groups| self.turns(slopes, groups, runs));
        all.min_by_key(|turns| end(turns))
    }

    /// Groups change slopes in a ring: each comes to every slope, and no two to one at a time.
    fn turns(&self, slopes: &[usize], groups: usize, runs: u16) -> Option<Vec<Turn>> {
        let mut turns: Vec<Turn> = Vec::new();
        let mut at = 0;
        for wave in 0..slopes.len() {
            let here: Vec<usize> = (0..groups).map(|group| slopes[(wave + group) % slopes.len()]).collect();
            let members = |group: usize| -> Vec<usize> {
                self.fleet().into_iter().filter(|one| one % groups == group).collect()
            };
            let first = self.first && wave == 0;
            // On a slope where the course asks for a seat beside every learner, nobody else is asked for more.
            let asked = here.iter().any(|slope| self.every(*slope));
            let seat = |slope: usize, sits: Beside| match sits {
                Beside::Learners if !first && !self.every(slope) => Beside::Near,
                sits => sits,
            };
            let on = |slope: usize, group: usize, sits: Beside| {
                let beside = seat(slope, sits);
                let mut fit = members(group);
                fit.retain(|one| beside != Beside::Nobody || !self.near(slope, *one));
                let on = on_slope(self.course, self.reckoning, slope, &fit, runs)?;
                if !self.sits_beside(slope, &on.vehicles, beside) {
                    return Some(on);
                }
                let back = self.back_up(slope);
                on_slope_after(self.course, self.reckoning, slope, &fit, runs, back)
            };
            let wave_of = |sits: Beside, ends: bool| -> Option<Wave> {
                let on: Vec<Option<OnSlope>> =
                    here.iter().enumerate().map(|(group, slope)| on(*slope, group, sits)).collect();
                let driven: Vec<usize> = on.iter().flatten().flat_map(|on| on.vehicles.clone()).collect();
                let beside = |slope: usize, on: Option<&OnSlope>| {
                    on.is_some_and(|on| self.sits_beside(slope, &on.vehicles, seat(slope, sits)))
                };
                let wanted: Vec<Wanted> = here
                    .iter()
                    .zip(&on)
                    .map(|(slope, on)| Wanted {
                        slope: *slope,
                        beside: beside(*slope, on.as_ref()),
                        ends: ends && on.is_some() && self.course.slopes[*slope].has_traffic(),
                    })
                    .collect();
                let crews = crews(self.course, &wanted, &driven)?;
                Some((on, crews, driven))
            };
            // Where the course asks for a seat beside every learner, nothing less will do. Else, of people too few, first
            // the one at the other end of a road is left to be named, then the seat beside who comes down for the first
            // time; without enough for a brow and a seat beside the driver, what is near a limit does not run.
            let seats = [Beside::Learners, Beside::Near, Beside::Nobody];
            let ways = seats.into_iter().filter(|sits| match sits {
                Beside::Learners => first || asked,
                Beside::Near | Beside::Nobody => !asked,
            });
            let (sits, (on, crews, driven)) = ways
                .flat_map(|sits| [(sits, true), (sits, false)])
                .filter(|(sits, ends)| !(*ends && *sits == Beside::Nobody))
                .find_map(|(sits, ends)| Some((sits, wave_of(sits, ends)?)))?;
            let holds = holds(self.course, &here, &crews, &driven);
            let from = if wave == 0 { 0 } else { at + CHANGEOVER };
            at = from;
            for (group, ((slope, crew), on)) in here.into_iter().zip(crews).zip(on).enumerate() {
                let Some(on) = on else { continue };
                let to = from + minutes(on.time);
                at = at.max(to);
                let learners = sits == Beside::Learners && on.vehicles.iter().any(|one| self.learns(*one));
                let seat = match (learners, self.every(slope)) {
                    (true, true) => Seat::EveryRun,
                    (true, false) if first => Seat::FirstRun,
                    _ => Seat::None,
                };
                turns.push(Turn { slope, group, on, from, to, crew, holds, seat });
            }
        }
        Some(turns)
    }
}
