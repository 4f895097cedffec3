//! A day of a course that may have several: who is there from when to when, who answers for it, and what is
//! brought from one day to the next.

use std::collections::BTreeSet;

use super::ask::comes_first;
use super::crews::may_drive;
use super::missing::{Missing, stand_in};
use super::{Clash, NoRota, Rota, Slot, Station, plan};
use crate::course::{Before, Course, Role};
use crate::engine::Reckoning;

/// From when somebody late arrives until they drive, minutes: sign-on, a look at the vehicle, the safety briefing.
/// Judgement, no source.
pub const AFTER_ARRIVING: u16 = 20;

/// Who and what is not there today, as the course plans it.
pub fn absent(course: &Course) -> Missing {
    let drivers = (0..course.roster.drivers.len()).filter(|at| course.driver_today(*at).is_none());
    let people = (0..course.people.len()).filter(|at| course.person_today(*at).is_none());
    let slopes = (0..course.slopes.len()).filter(|at| !course.drives_today(*at));
    Missing {
        drivers: drivers.collect(),
        people: people.collect(),
        slopes: slopes.collect(),
        ..Missing::default()
    }
}

/// Whether a driver has seen or heard on an earlier day what a station shows.
pub fn had_before(course: &Course, driver: usize, station: Station) -> bool {
    match station {
        Station::Slope(_) => false,
        Station::Demonstration(_) => course.before().shown.contains(&driver),
        Station::Theory => course.before().taught.contains(&driver),
    }
}

/// Whether everybody of a group can be there for the whole of a slot.
pub(super) fn group_there(course: &Course, group: &[usize], slot: Slot) -> bool {
    let there = |driver: &usize| {
        course.driver_today(*driver).is_some_and(|(from, until)| {
            let first = course.before().come.contains(driver);
            let ready = if from == 0 || first { from } else { from + AFTER_ARRIVING };
            ready <= slot.start && slot.end <= until
        })
    };
    group.iter().all(there)
}

/// Whether somebody of the people can be there for the whole of a slot, with the way to it.
pub fn person_there(course: &Course, person: usize, slot: Slot) -> bool {
    let changeover = course.rota.as_ref().map_or(0, |rules| rules.changeover);
    course.person_today(person).is_some_and(|(from, until)| {
        let ready = if from == 0 { 0 } else { from + changeover };
        ready <= slot.start && slot.end <= until
    })
}

/// Who answers for the day and for first aid in a slot: the deputies who have to, and so serve nowhere; none when
/// nobody does, and so nobody may drive.
pub fn deputies(course: &Course, missing: &Missing, slot: Slot) -> Option<BTreeSet<usize>> {
    let mut busy = BTreeSet::new();
    let there = |at: &usize| !missing.people.contains(at) && person_there(course, *at, slot);
    for role in [Role::Lead, Role::FirstAider] {
        let all = || 0..course.people.len();
        let named = |at: &usize| course.people[*at].role == role;
        if !all().any(|at| named(&at)) || all().any(|at| named(&at) && there(&at)) {
            continue;
        }
        let standing_in = all().find(|at| course.people[*at].deputy == Some(role) && there(at));
        busy.insert(standing_in?);
    }
    Some(busy)
}

/// The rotas of all days of a course, each with the course as it is on that day. Who had the demonstration and the
/// lesson does not have them again.
///
/// # Errors
/// No rota fits one of the days; or the days themselves send somebody to a steep slope before a gentle one.
pub fn plan_days(course: &Course, reckoning: &Reckoning) -> Result<Vec<(Course, Rota)>, NoRota> {
    let mut days: Vec<(Course, Rota)> = Vec::new();
    for number in 1..=course.days_held() {
        let before = days.last().map(|(day, rota)| brought(day, rota, &absent(day))).unwrap_or_default();
        let today = course.on_day(number, before);
        let told = |why: NoRota| match why {
            NoRota::Clash(clash) if !course.days.is_empty() => NoRota::Clash(clash.on_day(number)),
            why => why,
        };
        let said = |why: String| told(NoRota::Clash(Clash::said(why)));
        answered_for(&today).map_err(said)?;
        gentle_first(&today, reckoning).map_err(said)?;
        let rota = plan(&today, reckoning).map_err(told)?;
        days.push((today, rota));
    }
    Ok(days)
}

/// The days of a course with the rotas that [`plan_days`] made of it before, in their order.
pub fn days_by(course: &Course, rotas: Vec<Rota>) -> Vec<(Course, Rota)> {
    let mut days: Vec<(Course, Rota)> = Vec::new();
    for (number, rota) in (1..=course.days_held()).zip(rotas) {
        let before = days.last().map(|(day, rota)| brought(day, rota, &absent(day))).unwrap_or_default();
        days.push((course.on_day(number, before), rota));
    }
    days
}

/// Somebody is in charge and somebody gives first aid, where the course names anybody for it.
fn answered_for(today: &Course) -> Result<(), String> {
    stand_in(today, &mut absent(today))
}

/// What drivers bring from this day and those before it to the next. Who came late brings nothing of what their group
/// had without them.
pub fn brought(day: &Course, rota: &Rota, missing: &Missing) -> Before {
    let mut before = day.before().clone();
    before.groups.clone_from(&rota.groups);
    for visit in &rota.visits {
        let start = rota.slots.get(visit.slot).map_or(0, |slot| slot.start);
        let group = || rota.groups[visit.group].iter().copied().filter(|at| missing.was_there(*at, start));
        match visit.station {
            Station::Slope(slope) => {
                let drove = group().filter(|at| visit.driving.contains(at));
                before.driven.extend(drove.map(|at| (at, slope)));
            }
            Station::Demonstration(_) => before.shown.extend(group()),
            Station::Theory => before.taught.extend(group()),
        }
    }
    before.come.extend(rota.groups.iter().flatten());
    before
}

/// Over all days nobody drives a slope for the first time after one that asks more of them by a step: the day on
/// which a slope is driven is the course's to say, so a rota cannot mend it.
fn gentle_first(today: &Course, reckoning: &Reckoning) -> Result<(), String> {
    let before = today.before();
    for (driver, steep) in &before.driven {
        if today.driver_today(*driver).is_none() {
            continue;
        }
        let new = |slope: &usize| {
            today.drives_today(*slope)
                && !before.driven.contains(&(*driver, *slope))
                && may_drive(today, reckoning, *driver, *slope)
        };
        let late = (0..today.slopes.len())
            .filter(new)
            .find(|gentle| comes_first(today, reckoning, &[*driver], *gentle, *steep));
        if let Some(gentle) = late {
            let (gentle, steep) = (&today.slopes[gentle].name, &today.slopes[*steep].name);
            return Err(format!(
                "{} would drive {steep} on an earlier day and {gentle}, which comes first, only today: drive {gentle} \
                 on the earlier day as well, or keep {steep} for today (`slopes` of the days); or set the rota's \
                 own `order`",
                today.roster.drivers[*driver].name
            ));
        }
    }
    Ok(())
}
