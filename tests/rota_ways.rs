//! Ways between slopes: read, kept by the rota and by every change, told in a clash, caught when broken.

use slopepack::course::{Course, Timed, Ways, read_text};
use slopepack::quantity::Speed;
use slopepack::rota::{
    Fault, Missing, NoRota, Patience, Rota, Station, check, clock_text, missing_of, plan, replan,
};

use crate::rota_plan::SATURDAY;

/// The Saturday with these ways: the usual one, and some that were timed.
fn with_ways(usual: u16, timed: &[(&str, &str, u16)]) -> Course {
    let mut course = SATURDAY.0.clone();
    let end = |id: &str| (id != "lesson").then(|| id.to_owned());
    let timed =
        timed.iter().map(|(one, two, minutes)| Timed { ends: [end(one), end(two)], minutes: *minutes });
    let ways = Ways { usual: Some(usual), pace: None, timed: timed.collect() };
    course.rota.as_mut().expect("rules").ways = Some(ways);
    course
}

/// Every move of a group or of somebody who serves: from, to, minutes there are, where it goes.
fn moves(rota: &Rota) -> Vec<(Station, Station, u16, String)> {
    let mut days: Vec<Vec<(usize, Station)>> = Vec::new();
    for group in 0..rota.groups.len() {
        let visits = rota.visits.iter().filter(|visit| visit.group == group);
        days.push(visits.map(|visit| (visit.slot, visit.station)).collect());
    }
    let people = rota.duties.iter().map(|duty| duty.person).max().unwrap_or(0);
    for person in 0..=people {
        let duties = rota.duties.iter().filter(|duty| duty.person == person);
        days.push(duties.map(|duty| (duty.slot, duty.station)).collect());
    }
    let mut moves = Vec::new();
    for mut day in days {
        day.sort_unstable();
        for pair in day.windows(2).filter(|pair| pair[0].0 < pair[1].0) {
            let (end, start) = (rota.slots[pair[0].0].end, rota.slots[pair[1].0].start);
            moves.push((pair[0].1, pair[1].1, start - end, clock_text(start)));
        }
    }
    moves
}

fn slope(station: Station) -> Option<usize> {
    match station {
        Station::Slope(slope) | Station::Demonstration(slope) => Some(slope),
        Station::Theory => None,
    }
}

fn everybody_gets_there(course: &Course, rota: &Rota) {
    let all = moves(rota);
    assert!(all.len() > 50, "{} moves", all.len());
    for (from, to, time, at) in all {
        let way = course.way(slope(from), slope(to));
        assert!(way <= time, "{from:?} to {to:?} by {at}: {time} min for {way} min");
    }
}

#[test]
fn a_way_is_as_timed_else_over_the_ground_else_as_usual() {
    let text = include_str!("../courses/quarry-day.yaml").replace("turn-round:", "# turn-round:");
    let course = |ways: &str| {
        read_text(&format!(
            "{text}\nrota:\n  from: 10:00\n  until: 16:00\n  group-size: 6\n  drivers-per-instructor: 6\n  \
             marshals-per-slope: 2\n  ways: {ways}\n"
        ))
    };
    let of = |ways: &str| {
        let course = course(ways).unwrap_or_else(|problems| panic!("{problems:?}"));
        let at = |id: &str| Some(course.slopes.iter().position(|slope| slope.id == id).expect("a slope"));
        let places = [at("nursery"), at("ramp"), at("clay-slide"), None];
        let way = |one: usize, two: usize| course.way(places[one], places[two]);
        assert_eq!((way(0, 0), way(1, 0), way(3, 0)), (0, way(0, 1), way(0, 3)), "the same there and back");
        (way(0, 1), way(0, 2), way(0, 3))
    };
    assert_eq!(of("{usual: 4 min}"), (4, 4, 4));
    let timed = "{usual: 4 min, between: [{places: [ramp, nursery], takes: 11 min}, {places: [lesson, nursery], takes: 7 min}]}";
    assert_eq!(of(timed), (11, 4, 7));
    // Over the ground: the longer of foot to brow there and back, along two sides of a square, rounded up.
    let plan = course("{usual: 4 min}").expect("it reads").site_plan.expect("the quarry has one");
    let ends = |id: &str| {
        let line = &plan.slopes.iter().find(|slope| slope.slope == id).expect("on the plan").line;
        (line[0], line[line.len() - 1])
    };
    let ((brow, foot), (other_brow, other_foot)) = (ends("nursery"), ends("ramp"));
    let far = f64::max(foot.to(other_brow), other_foot.to(brow)) * 2.0_f64.sqrt();
    let minutes = (far / (Speed::new(3.0 / 3.6).si() * 60.0)).ceil();
    assert!(minutes > 1.0);
    assert!((f64::from(of("{usual: 4 min, pace: 3 km/h}").0) - minutes).abs() < 0.5);
    assert_eq!(of("{usual: 4 min, pace: 3 km/h}").2, 4, "the lesson is on no plan");
    for (ways, told) in [
        ("{usual: 5}", "unit"),
        ("{usual: 2 h}", "1 h"),
        ("{between: [{places: [ramp], takes: 5 min}]}", "two different ends"),
        ("{between: [{places: [ramp, ramp], takes: 5 min}]}", "two different ends"),
        ("{between: [{places: [ramp, rmap], takes: 5 min}]}", "did you mean `ramp`"),
        ("{between: [{places: [ramp, nursery]}]}", "takes"),
        (
            "{between: [{places: [ramp, lesson], takes: 5 min}, {places: [lesson, ramp], takes: 6 min}]}",
            "twice how long it is from lesson to ramp",
        ),
    ] {
        let problems = course(ways).expect_err("it is refused");
        assert!(problems.len() == 1 && format!("{problems:?}").contains(told), "{ways}: {problems:?}");
    }
    let saturday = include_str!("../courses/six-slope-saturday.yaml");
    let paced = saturday.replace("  changeover: 5 min", "  changeover: 5 min\n  ways: {pace: 5 km/h}");
    let problems = read_text(&paced).expect_err("it has no plan");
    assert!(format!("{problems:?}").contains("needs slopes on a `site-plan`"), "{problems:?}");
}

#[test]
fn ways_within_the_changeover_change_nothing() {
    let (_, reckoning, rota) = &*SATURDAY;
    let course = with_ways(5, &[("lawn", "lesson", 2)]);
    let other = plan(&course, reckoning).expect("a rota");
    assert_eq!(other, *rota);
}

#[test]
fn a_few_long_ways_are_gone_when_there_is_time() {
    let (_, reckoning, rota) = &*SATURDAY;
    let course = with_ways(4, &[("haul", "step", 12), ("lawn", "chute", 9), ("lesson", "haul", 15)]);
    let far = plan(&course, reckoning).map_err(|why| why.to_string()).expect("a rota");
    assert_eq!(check(&course, reckoning, &far, &Missing::default()), []);
    everybody_gets_there(&course, &far);
    let ends = |rota: &Rota| rota.slots[rota.length() - 1].end;
    assert!(ends(&far) < ends(rota) + 5 * u16::try_from(rota.length() - 1).expect("few"), "{}", ends(&far));
    // Without the ways somebody would have come too late: the test can fail.
    assert!(moves(rota).iter().any(|(from, to, time, _)| course.way(slope(*from), slope(*to)) > *time));
}

#[test]
fn long_ways_everywhere_make_longer_pauses() {
    let (_, reckoning, rota) = &*SATURDAY;
    let mut course = with_ways(8, &[]);
    course.rota.as_mut().expect("rules").until += 30;
    let far = plan(&course, reckoning).map_err(|why| why.to_string()).expect("a rota");
    everybody_gets_there(&course, &far);
    assert_eq!((rota.pause(), far.pause()), (5, 8), "as long as the way, and no longer");
    assert_eq!(far.length(), rota.length());
}

#[test]
fn a_change_keeps_the_ways_for_groups_and_staff() {
    let (_, reckoning, _) = &*SATURDAY;
    let course = with_ways(4, &[("haul", "step", 12), ("lawn", "chute", 9), ("lesson", "haul", 15)]);
    let rota = plan(&course, reckoning).expect("a rota");
    for name in ["lawn", "haul", "Marshal 5", "Instructor K", "A. B."] {
        let mut missing = missing_of(&course, &[name.to_owned()]).expect("known");
        missing.from = rota.slots[2].start;
        let change = replan(&course, reckoning, &rota, &missing, Patience::default());
        let change = change.map_err(|why| why.to_string()).expect("a change");
        everybody_gets_there(&course, &change.rota);
    }
}

#[test]
fn ways_too_long_for_any_day_are_told() {
    let (_, reckoning, _) = &*SATURDAY;
    let course = with_ways(60, &[]);
    let NoRota::Clash(clash) = plan(&course, reckoning).expect_err("an hour between slopes") else {
        panic!("a clash");
    };
    let text = clash.to_string();
    assert!(text.contains("the ways between slopes"), "{text}");
}

#[test]
fn a_group_or_marshal_who_cannot_be_there_is_caught() {
    let (course, reckoning, rota) = &*SATURDAY;
    let faults = |course: &Course| check(course, reckoning, rota, &Missing::default());
    assert_eq!(faults(course), []);
    // The same rota on ground that is wider than it was made for.
    let found = faults(&with_ways(9, &[]));
    let far = |whose: &str| {
        let named = |fault: &&Fault| matches!(fault, Fault::TooFar(who, ..) if who.starts_with(whose));
        found.iter().filter(named).count()
    };
    assert!(far("group ") > 3 && far("Marshal ") > 3, "{found:?}");
    let words = found.iter().find(|fault| matches!(fault, Fault::TooFar(..))).expect("one").to_string();
    assert!(words.contains(" does not get to ") && words.contains(" from where they were"), "{words}");
}
