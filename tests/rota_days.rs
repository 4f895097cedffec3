//! Rotas of several days, and people as they come: planned, and looked at by the check that knows no plan.

use std::collections::BTreeSet;

use slopepack::course::{Before, Course, Role};
use slopepack::engine::Reckoning;
use slopepack::rota::{Fault, Missing, NoRota, Rota, Station, check, groups_of, plan_days};

use crate::rota_plan::SATURDAY as PLANNED;

const SATURDAY: &str = include_str!("../courses/six-slope-saturday.yaml");

/// The example course on two days, its roster attached.
fn two_days(days: &str, bend: impl Fn(&mut Course)) -> Course {
    let text = SATURDAY.replace("\nemergency:\n", &format!("\ndays:\n{days}\nemergency:\n"));
    let mut course = slopepack::course::read_text(&text).expect("no mistakes");
    let roster = include_bytes!("../courses/six-slope-saturday.csv");
    slopepack::course::attach_roster(&mut course, roster).expect("the roster reads");
    bend(&mut course);
    course
}

/// Gentle ground on Saturday, steep ground on Sunday.
const SPLIT: &str = "  - {date: 2027-05-08, slopes: [lawn, haul, ramp, tilt, chute]}
  - {date: 2027-05-09, from: 10:00, until: 15:30, slopes: [lawn, step, chute]}
";

fn reckoned() -> &'static Reckoning {
    &PLANNED.1
}

fn planned(course: &Course) -> Result<Vec<(Course, Rota)>, NoRota> {
    let days = plan_days(course, reckoned())?;
    for (day, rota) in &days {
        assert_eq!(check(day, reckoned(), rota, &Missing::default()), []);
    }
    Ok(days)
}

fn at(rota: &Rota, station: impl Fn(Station) -> bool) -> BTreeSet<usize> {
    rota.visits.iter().filter(|visit| station(visit.station)).map(|visit| visit.group).collect()
}

fn kinds(faults: &[Fault]) -> BTreeSet<String> {
    faults.iter().map(|fault| format!("{fault:?}").split('(').next().unwrap_or("").to_owned()).collect()
}

#[test]
fn a_course_of_one_day_is_planned_as_ever() {
    let (course, _, alone) = &*PLANNED;
    assert_eq!(plan_days(course, reckoned()).expect("a rota"), [(course.clone(), alone.clone())]);
}

#[test]
fn who_had_lesson_and_demonstration_has_them_once_and_who_is_new_has_them_first() {
    let days = planned(&two_days(SPLIT, |_| {})).expect("both days have a rota");
    let talks = |station: Station| !matches!(station, Station::Slope(_));
    assert_eq!(at(&days[0].1, talks).len(), 4, "on the first day every group has them");
    assert!(at(&days[1].1, talks).is_empty(), "on the second none");
    assert_eq!(days[0].1.groups, days[1].1.groups);
    // Two come for the second day only, one of them leaves a group a place.
    let course = two_days(SPLIT, |course| {
        course.roster.drivers[0].comes.days = vec![1];
        course.roster.drivers[7].comes.days = vec![2];
        course.roster.drivers[20].comes.days = vec![2];
    });
    let days = planned(&course).expect("both days have a rota");
    let (sunday, rota) = &days[1];
    let new: Vec<usize> = (0..24).filter(|at| sunday.is_new_today(*at)).collect();
    assert_eq!(new, [7, 20]);
    let groups: BTreeSet<usize> = new.iter().filter_map(|driver| rota.group_of(*driver)).collect();
    assert_eq!(at(rota, talks), groups, "the groups of those who are new, and no other");
    for group in groups {
        let first =
            rota.visits.iter().find(|visit| visit.group == group && visit.station == Station::Slope(2));
        let first = first.expect("the steep step is driven").slot;
        assert!(
            rota.visits
                .iter()
                .all(|visit| visit.group != group || !talks(visit.station) || visit.slot < first)
        );
    }
    assert!(rota.group_of(0).is_none() && days[0].1.group_of(7).is_none());
}

#[test]
fn who_comes_on_the_second_day_alone_is_in_the_group_of_the_car_they_share() {
    for other in 0..24 {
        // One car is in one place, however full the group of whoever has it; one comes late, which moves the groups.
        let course = two_days(SPLIT, |course| {
            course.roster.drivers[4].comes.days = vec![2];
            if other != 4 {
                course.roster.drivers[other].comes.arrives = Some(11 * 60);
            }
        });
        let before = Before { groups: groups_of(&course.on_day(1, Before::default())), ..Before::default() };
        let groups = groups_of(&course.on_day(2, before));
        let group = |driver: usize| groups.iter().position(|group| group.contains(&driver)).expect("a group");
        assert_eq!(group(4), group(5), "{other} comes late: {groups:?}");
        assert!(groups.iter().all(|group| group.len() <= 6), "{groups:?}");
        assert_eq!(groups.concat().iter().collect::<BTreeSet<_>>().len(), 24);
    }
}

#[test]
fn over_all_days_gentle_comes_before_steep() {
    let turned =
        "  - {date: 2027-05-08, slopes: [step, chute]}\n  - {date: 2027-05-09, slopes: [lawn, ramp]}\n";
    let clash = planned(&two_days(turned, |_| {})).expect_err("steep on the first day").to_string();
    assert!(
        clash.starts_with("day 2: ") && clash.contains("Hill step on an earlier day and The lawn"),
        "{clash}"
    );
    // The check sees it without the plan.
    let days = planned(&two_days(SPLIT, |_| {})).expect("both days");
    let (mut sunday, rota) = days[1].clone();
    if let Some(today) = &mut sunday.today {
        today.before.driven = (0..24).map(|driver| (driver, 2)).collect();
    }
    let seen = |sunday: &slopepack::course::Course| {
        kinds(&check(sunday, reckoned(), &rota, &Missing::default())).contains("TooSoon")
    };
    // A lawn that was planned for Saturday and closed then harms nobody on Sunday.
    assert!(!seen(&sunday));
    sunday.days[0].slopes = ["step", "chute"].map(str::to_owned).to_vec();
    assert!(seen(&sunday));
}

#[test]
fn nobody_is_in_the_rota_before_they_arrive_or_after_they_leave() {
    let longer = SPLIT.replacen("2027-05-08,", "2027-05-08, until: 18:15,", 1);
    let course = two_days(&longer, |course| {
        course.roster.drivers[3].comes.arrives = Some(11 * 60);
        course.roster.drivers[12].comes.arrives = Some(10 * 60 + 40);
        course.roster.drivers[5].comes.leaves = Some(14 * 60 + 30);
        for (person, arrives, leaves) in [(10, Some(690), None), (11, None, Some(14 * 60))] {
            course.people[person].comes.arrives = arrives;
            course.people[person].comes.leaves = leaves;
        }
    });
    let days = planned(&course).expect("it fits");
    let rota = &days[0].1;
    assert_eq!(rota.group_of(3), rota.group_of(12), "who comes late is in one group");
    let first = |driver: usize| {
        let mine = rota.visits.iter().filter(|visit| Some(visit.group) == rota.group_of(driver));
        mine.map(|visit| rota.slots[visit.slot].start).min()
    };
    assert!(first(3) >= Some(11 * 60 + 20), "signed on, briefed, then driving");
    // Looked at with other times, the same rota is wrong.
    let mut later = days[0].0.clone();
    later.roster.drivers[3].comes.arrives = Some(13 * 60);
    later.people[10].comes.arrives = Some(16 * 60);
    let faults = check(&later, reckoned(), rota, &Missing::default());
    assert!(kinds(&faults).contains("NotThere"), "{faults:?}");
}

#[test]
fn a_deputy_stands_in_while_nobody_is_there_for_first_aid_and_serves_nowhere() {
    let aider = |course: &Course| course.people.iter().position(|one| one.role == Role::FirstAider);
    let late = |course: &mut Course| {
        let aider = aider(course).expect("there is one");
        course.people[aider].comes.arrives = Some(12 * 60);
    };
    let clash = planned(&two_days(SPLIT, late)).expect_err("nobody before noon").to_string();
    assert!(clash.contains("the times at which people come and leave"), "{clash}");
    assert!(clash.contains("First-aider 1"), "{clash}");
    let course = two_days(SPLIT, |course| {
        late(course);
        course.people[10].deputy = Some(Role::FirstAider);
    });
    let (day, rota) = &planned(&course).expect("the deputy is there")[0];
    let busy = rota.duties.iter().filter(|duty| duty.person == 10).map(|duty| rota.slots[duty.slot].start);
    assert!(busy.min() >= Some(12 * 60 + 5), "marshal 5 answers for first aid until noon");
    let mut gone = day.clone();
    gone.people[10].deputy = None;
    assert!(kinds(&check(&gone, reckoned(), rota, &Missing::default())).contains("NobodyFor"));
    // Not there on the second day at all: in words.
    let away = two_days(SPLIT, |course| {
        let aider = aider(course).expect("there is one");
        course.people[aider].comes.days = vec![1];
    });
    let said = planned(&away).expect_err("no first aid on Sunday").to_string();
    assert!(said.starts_with("day 2: First-aider 1 is missing") && said.contains("nobody drives"), "{said}");
}

#[test]
fn who_sits_beside_somebody_is_in_their_group() {
    let course = two_days(SPLIT, |course| course.roster.drivers[0].beside = Some(23));
    let rota = &planned(&course).expect("it fits")[0].1;
    assert_eq!(rota.group_of(0), rota.group_of(23));
    let mut other = course.on_day(1, Before::default());
    other.roster.drivers[1].beside = (0..24).find(|at| rota.group_of(*at) != rota.group_of(1));
    assert!(kinds(&check(&other, reckoned(), rota, &Missing::default())).contains("Apart"));
}
