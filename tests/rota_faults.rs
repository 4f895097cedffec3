//! Every limit broken on purpose is caught and named by the check, which knows nothing of the solver.

use slopepack::course::{Course, Role};
use slopepack::engine::{Reckoning, Standing};
use slopepack::rota::{
    Duty, Fault, Missing, NoRota, Rota, Station, Visit, check, held, missing_of, plan, shown, sun,
};

use crate::rota_plan::SATURDAY;

/// The kinds of faults a bent rota has; a rota that is not bent has none.
fn faults(bend: impl Fn(&mut Course, &mut Rota, &Reckoning)) -> Vec<String> {
    let (course, reckoning, rota) = &*SATURDAY;
    let (mut course, mut bent) = (course.clone(), rota.clone());
    bend(&mut course, &mut bent, reckoning);
    kinds(&check(&course, reckoning, &bent, &Missing::default()))
}

fn kinds(faults: &[Fault]) -> Vec<String> {
    let kind = |fault: &Fault| {
        let text = format!("{fault:?}");
        text.split('(').next().unwrap_or("").to_owned()
    };
    let mut kinds: Vec<String> = faults.iter().map(kind).collect();
    kinds.dedup();
    assert!(faults.iter().all(|fault| !fault.to_string().is_empty()), "each has words");
    kinds
}

/// Asserts that a bend is caught under its name.
fn caught(name: &str, bend: impl Fn(&mut Course, &mut Rota, &Reckoning)) {
    let found = faults(bend);
    assert!(found.iter().any(|kind| kind == name), "{name} is not among {found:?}");
}

/// A slope visit, by its place in the list.
fn slope_visit(rota: &Rota) -> usize {
    rota.visits.iter().position(|visit| matches!(visit.station, Station::Slope(_))).expect("a visit")
}

#[test]
fn a_rota_nobody_bent_has_no_fault() {
    assert!(faults(|_, _, _| {}).is_empty());
}

#[test]
fn people_and_vehicles_in_two_places_are_caught() {
    caught("DriverTwice", |_, rota, _| {
        let mut again = rota.visits[0].clone();
        again.station = Station::Theory;
        rota.visits.push(again);
    });
    caught("StaffTwice", |_, rota, _| {
        let duty = rota.duties[0];
        rota.duties.push(Duty { station: Station::Theory, ..duty });
    });
    caught("VehicleTwice", |course, rota, _| {
        let driving = rota.visits.iter().filter(|visit| !visit.driving.is_empty());
        let (one, two) = driving
            .clone()
            .find_map(|visit| {
                let beside = |other: &&Visit| other.slot == visit.slot && other.station != visit.station;
                driving.clone().find(beside).map(|other| (visit.driving[0], other.driving[0]))
            })
            .expect("two slopes in one slot");
        course.roster.drivers[one].vehicle = course.roster.drivers[two].vehicle.clone();
    });
    caught("StationFull", |_, rota, _| {
        let at = slope_visit(rota);
        let (slot, station) = (rota.visits[at].slot, rota.visits[at].station);
        let other = rota.visits.iter().position(|visit| visit.slot == slot && visit.station != station);
        rota.visits[other.expect("another group")].station = station;
    });
}

#[test]
fn a_vehicle_on_a_slope_it_may_not_drive_is_caught() {
    let (course, reckoning, rota) = &*SATURDAY;
    let visit = &rota.visits[slope_visit(rota)];
    let Station::Slope(slope) = visit.station else { return };
    let vehicle = &course.roster.drivers[visit.driving[0]].vehicle;
    // The verdict as it would be on a steeper slope: the rota sends the vehicle there all the same.
    let mut strict = reckoning.clone();
    for pair in &mut strict.pairs {
        if pair.slope == course.slopes[slope].id && pair.vehicle == *vehicle {
            pair.standing = Standing::NotHere;
        }
    }
    let found = kinds(&check(course, &strict, rota, &Missing::default()));
    assert!(found.iter().any(|kind| kind == "NotForVehicle"), "{found:?}");
    let kept_off = plan(course, &strict).expect("a rota without that vehicle there");
    assert_eq!(check(course, &strict, &kept_off, &Missing::default()), []);
}

#[test]
fn too_few_or_the_wrong_staff_are_caught() {
    caught("TooFewMarshals", |course, rota, _| {
        let at = rota.duties.iter().position(|duty| course.people[duty.person].role == Role::Marshal);
        rota.duties.remove(at.expect("a marshal on duty"));
    });
    caught("TooFewInstructors", |course, rota, _| {
        let at = rota.duties.iter().position(|duty| course.people[duty.person].role == Role::Instructor);
        rota.duties.remove(at.expect("an instructor on duty"));
    });
    caught("TooFewInstructors", |course, _, _| {
        course.rota.as_mut().expect("rules").per_instructor.number = 5;
    });
    caught("NotAllowed", |course, rota, _| {
        let duty = rota.duties.iter().find(|duty| {
            course.people[duty.person].role == Role::Marshal && matches!(duty.station, Station::Slope(_))
        });
        let duty = *duty.expect("a marshal on duty");
        let Station::Slope(slope) = duty.station else { return };
        let other = (slope + 1) % course.slopes.len();
        course.people[duty.person].slopes = vec![course.slopes[other].id.clone()];
    });
    caught("NotAllowed", |course, rota, _| {
        let cook =
            course.people.iter().position(|person| person.role == Role::FirstAider).expect("first aid");
        rota.duties[0].person = cook;
    });
}

#[test]
fn groups_and_stations_left_out_are_caught() {
    caught("GroupTooLarge", |course, _, _| course.rota.as_mut().expect("rules").group_size.number = 5);
    caught("Group", |_, rota, _| {
        rota.groups[0].pop();
    });
    caught("Group", |_, rota, _| {
        let twice = rota.groups[0][0];
        rota.groups[1].push(twice);
    });
    caught("Missed", |_, rota, _| {
        rota.visits.remove(0);
    });
    caught("Again", |_, rota, _| {
        let mut again = rota.visits[0].clone();
        again.slot = rota.slots.len() - 1;
        rota.visits.push(again);
    });
}

#[test]
fn slots_too_short_or_at_the_wrong_time_are_caught() {
    caught("SlotTooShort", |course, _, _| course.day.runs = 3);
    caught("Changeover", |_, rota, _| rota.slots[1].start = rota.slots[0].end);
    caught("OutsideDay", |course, _, _| course.rota.as_mut().expect("rules").from += 10);
    caught("OutsideDay", |course, rota, _| {
        course.rota.as_mut().expect("rules").until = rota.slots[rota.length() - 1].end - 1;
    });
    caught("Lunch", |course, _, _| {
        course.rota.as_mut().expect("rules").lunch.as_mut().expect("lunch").1 = 90;
    });
    caught("NoPause", |course, _, _| {
        course.rota.as_mut().expect("rules").duty.most = slopepack::quantity::Time::new(3600.0);
    });
    caught("SpareUsed", |course, rota, _| {
        course.rota.as_mut().expect("rules").spare =
            u16::try_from(rota.slots.len() - rota.length() + 1).expect("few");
    });
    caught("Dark", |course, _, _| {
        let rules = course.rota.as_mut().expect("rules");
        rules.date = chrono::NaiveDate::from_ymd_opt(2027, 12, 18);
        rules.daylight = 120;
    });
    caught("NoSuchSlot", |_, rota, _| rota.visits[0].slot = 99);
}

#[test]
fn warm_brakes_are_caught() {
    // The same rota on brakes of a few hundred grams: what was a pause long enough no longer is.
    caught("BrakesWarm", |course, _, _| {
        course.limits.brake_temperature = slopepack::quantity::Temperature::new(course.day.air.si() + 1.0);
    });
}

#[test]
fn the_demonstration_comes_first_and_alone() {
    let shown = |rota: &Rota| {
        rota.visits
            .iter()
            .position(|visit| matches!(visit.station, Station::Demonstration(_)))
            .expect("it is shown")
    };
    caught("NotShown", |_, rota, _| {
        let at = shown(rota);
        let (group, Station::Demonstration(slope)) = (rota.visits[at].group, rota.visits[at].station) else {
            return;
        };
        let driven = rota
            .visits
            .iter()
            .position(|visit| visit.group == group && visit.station == Station::Slope(slope))
            .expect("it is driven");
        let (early, late) = (rota.visits[at].slot, rota.visits[driven].slot);
        rota.visits[at].slot = late;
        rota.visits[driven].slot = early;
    });
    caught("ShownAndDriven", |_, rota, _| {
        let at = shown(rota);
        let (slot, Station::Demonstration(slope)) = (rota.visits[at].slot, rota.visits[at].station) else {
            return;
        };
        let driven =
            rota.visits.iter().position(|visit| visit.station == Station::Slope(slope)).expect("driven");
        rota.visits[driven].slot = slot;
    });
}

#[test]
fn the_vehicle_that_is_shown_is_taken() {
    let (course, reckoning, _) = &*SATURDAY;
    let what = shown(course, reckoning, &Missing::default()).expect("something is shown");
    assert_eq!(
        (&*course.slopes[what.slope].id, &*course.vehicles[what.vehicle].id),
        ("chute", "club-pickup")
    );
    caught("VehicleTwice", |course, rota, _| {
        let slot = rota.visits.iter().find(|visit| visit.station == Station::Demonstration(what.slope));
        let slot = slot.expect("it is shown").slot;
        let drives = |at: &usize| course.roster.drivers[*at].vehicle == course.vehicles[what.vehicle].id;
        let other = |station: Station| station != Station::Slope(what.slope);
        let visit =
            rota.visits.iter_mut().find(|visit| other(visit.station) && visit.driving.iter().any(drives));
        visit.expect("it is driven elsewhere").slot = slot;
    });
}

#[test]
fn without_a_name_the_vehicle_that_shows_a_slope_best_is_shown() {
    let (course, reckoning, _) = &*SATURDAY;
    let mut course = course.clone();
    course.rota.as_mut().expect("rules").demonstration.as_mut().expect("one").vehicle = None;
    let what = shown(&course, reckoning, &Missing::default()).expect("something is shown");
    let pair = reckoning.pair("chute", &course.vehicles[what.vehicle].id).expect("reckoned");
    assert_eq!(pair.standing, Standing::InGear);
}

#[test]
fn absent_people_and_closed_slopes_are_caught() {
    let (course, reckoning, rota) = &*SATURDAY;
    for (name, kind) in [("A. B.", "Absent"), ("Marshal 5", "Absent"), ("lawn", "Closed")] {
        let missing = missing_of(course, &[name.to_owned()]).expect("a known name");
        let found = kinds(&check(course, reckoning, rota, &missing));
        assert!(found.iter().any(|found| found == kind), "{name}: {found:?}");
    }
}

#[test]
fn the_sun_is_where_the_almanac_says() {
    // London, 21 June 2024, British summer time: sunrise 04:43, sunset 21:21 (published tables of HM
    // Nautical Almanac Office, from memory), to two minutes.
    let (course, ..) = &*SATURDAY;
    let mut rules = course.rota.clone().expect("rules");
    rules.date = chrono::NaiveDate::from_ymd_opt(2024, 6, 21);
    rules.place = Some(slopepack::course::Place { latitude: 51.507, longitude: -0.128, ahead: 60 });
    let found = sun(&rules).expect("it rises");
    assert!(found.rise.abs_diff(4 * 60 + 43) <= 2, "{found:?}");
    assert!(found.set.abs_diff(21 * 60 + 21) <= 2, "{found:?}");
    rules.place = Some(slopepack::course::Place { latitude: 78.2, longitude: 15.6, ahead: 120 });
    assert_eq!(sun(&rules), None, "no sunset in the far north in June");
}

#[test]
fn a_rota_the_check_finds_fault_with_goes_no_further_and_is_said_to_be_the_programs_fault() {
    let (course, reckoning, rota) = &*SATURDAY;
    let nobody = Missing::default();
    assert_eq!(held(course, reckoning, rota.clone(), &nobody, false).as_ref(), Ok(rota));
    let mut bent = rota.clone();
    bent.duties.clear();
    let why = held(course, reckoning, bent.clone(), &nobody, false).expect_err("nobody serves");
    assert_eq!(why, NoRota::Faulty(check(course, reckoning, &bent, &nobody)));
    let text = why.to_string();
    assert!(text.contains("too few marshals on") && text.contains("a fault of the program"), "{text}");
    // Slots kept free for weather are used only by a change that had to.
    let mut late = rota.clone();
    late.slots.truncate(rota.length());
    let spare = held(course, reckoning, late.clone(), &nobody, false).expect_err("none is left free");
    assert!(spare.to_string().contains("was kept free for weather"), "{spare}");
    assert_eq!(held(course, reckoning, late.clone(), &nobody, true), Ok(late));
}

/// What is over is a fact: whoever joins a group later makes no fault of what it drove before.
#[test]
fn what_was_driven_before_a_change_is_not_judged_by_who_came_with_it() {
    let (course, reckoning, rota) = &*SATURDAY;
    let mut changed = course.clone();
    for driver in &mut changed.roster.drivers {
        driver.experience = slopepack::course::Experience::Novice;
    }
    let from = |minutes: u16| {
        let missing = Missing { from: minutes, ..Missing::default() };
        kinds(&check(&changed, reckoning, rota, &missing))
    };
    assert!(from(0).contains(&"TooSoon".to_owned()), "as a plan it would be a fault: {:?}", from(0));
    let over = rota.slots.last().expect("a slot").start + 1;
    assert!(!from(over).contains(&"TooSoon".to_owned()), "{:?}", from(over));
}
