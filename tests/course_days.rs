//! Courses of several days and people as they come: read, or a diagnostic at the line.

use slopepack::course::{Before, Course, Date, attach_roster, read_text};
use slopepack::problem::render_problems;

const COURSE: &str = include_str!("../courses/six-slope-saturday.yaml");

/// The example course with a part of several days.
fn with(days: &str) -> String {
    COURSE.replace("\nemergency:\n", &format!("\ndays:\n{days}\nemergency:\n"))
}

const TWO: &str = "  - {date: 2027-05-08}
  - {date: 2027-05-09, from: 10:00, until: 15:00, start: 08:30, end: 15:30, slopes: [lawn, step, chute], people: [Training officer, Instructor K, Marshal 5, Marshal 6, First-aider 1]}
";

fn read(text: &str) -> Course {
    read_text(text)
        .map_err(|problems| render_problems("course", text, &problems, false))
        .expect("no mistakes")
}

fn refused(text: &str) -> String {
    let problems = read_text(text).expect_err("it has a mistake");
    render_problems("course.yaml", text, &problems, false)
}

#[test]
fn a_day_takes_what_it_does_not_say_from_the_course() {
    let single = read(COURSE);
    assert!(single.days.is_empty() && single.days_held() == 1);
    assert_eq!(single.on_day(1, single.before().clone()), single, "a single day is itself");
    let course = read(&with(TWO));
    assert_eq!(course.days_held(), 2);
    assert_eq!(course.day.date.as_ref().map(ToString::to_string).as_deref(), Some("8 and 9 May 2027"));
    let (one, two) = (course.on_day(1, Before::default()), course.on_day(2, Before::default()));
    assert_eq!(one.day.date, single.day.date);
    assert_eq!(one.rota, single.rota);
    let rules = two.rota.as_ref().expect("its rules");
    assert_eq!((rules.from, rules.until), (10 * 60, 15 * 60));
    assert_eq!(rules.lunch, single.rota.as_ref().and_then(|rules| rules.lunch));
    assert_eq!(rules.date, two.day.date.as_ref().and_then(Date::day));
    assert_eq!(two.day.date.as_ref().map(ToString::to_string).as_deref(), Some("Sunday 9 May 2027"));
    assert!(two.drives_today(0) && !two.drives_today(1), "the lawn, not the ramp");
    let there: Vec<usize> = (0..two.people.len()).filter(|at| two.person_today(*at).is_some()).collect();
    assert_eq!(there, [0, 1, 10, 11, 14]);
}

#[test]
fn mistakes_in_days_are_told_at_their_line() {
    let bent = |from: &str, to: &str| refused(&with(&TWO.replace(from, to)));
    for (from, to, said, line) in [
        ("2027-05-09", "2027-05-07", "does not come after day 1", "2027-05-07"),
        ("until: 15:00", "until: 09:00", "the rota ends before it starts", "until: 09:00"),
        ("end: 15:30", "end: 07:30", "before it starts at 08:30", "end: 07:30"),
        ("start: 08:30", "start: 09:00", "starts later than its first session", "start: 09:00"),
        ("[lawn, step", "[lawn, stepp", "did you mean `step`?", "stepp"),
        ("Marshal 5", "Marshall 5", "did you mean `Marshal 5`?", "Marshall 5"),
        ("until: 15:00", "untill: 15:00", "did you mean `until`?", "untill"),
        ("date: 2027-05-08", "date: 2027-05-01", "two different days", "days:"),
    ] {
        let told = bent(from, to);
        assert!(told.contains(said) && told.contains(line), "{to}:\n{told}");
    }
    let one = refused(&with("  - {date: 2027-05-08}\n"));
    assert!(one.contains("`days` has 1 of them"), "{one}");
}

#[test]
fn staff_come_late_leave_early_and_on_some_days() {
    let person = "  - {name: Marshal 5, role: marshal";
    let course =
        read(&with(TWO).replace(person, &format!("{person}, arrives: 11:30, leaves: 14:00, days: [1, 2]")));
    let at = |number| course.on_day(number, Before::default()).person_today(10);
    assert_eq!((at(1), at(2)), (Some((690, 1440)), Some((0, 840))));
    for (more, said) in [
        ("arrives: half past", "is not a time of day"),
        ("days: [3]", "is not a whole number from 1 to 2"),
        ("arrives: 12:00, leaves: 11:00, days: [2]", "they leave before they arrive"),
    ] {
        let told = refused(&with(TWO).replace(person, &format!("{person}, {more}")));
        assert!(told.contains(said) && told.contains("Marshal 5"), "{told}");
    }
}

/// A roster of a course of two days.
fn roster(rows: &str) -> Result<Course, String> {
    let from = COURSE.find("  columns:\n").expect("it names columns");
    let to = COURSE[from..].find("\n\n").expect("the part ends") + from;
    let text = with(TWO).replace(&COURSE[from..to], "");
    let mut course = read(&text);
    attach_roster(&mut course, rows.as_bytes())
        .map(|()| course)
        .map_err(|(source, problems)| render_problems("roster.csv", &source, &problems, false))
}

const HEADS: &str = "driver,vehicle,experience,rides,beside,seats,arrives,leaves,days,medical\n";

#[test]
fn drivers_and_passengers_come_as_they_do() {
    let rows = "A. B.,diesel wagon,novice,,C. D.,2,11:00,,both,\n\
                C. D.,short petrol,experienced,,,,,15:30,1,\n\
                E. F.,,,a. b.,,,,,1,bees\n\
                G. H.,old pickup,some,,,,,,day 2,\n";
    let course = roster(&format!("{HEADS}{rows}")).expect("it reads");
    let [first, second, last] = &course.roster.drivers[..] else { panic!("three drive") };
    assert_eq!((first.comes.between(1, 2), first.comes.between(2, 2)), (Some((660, 1440)), Some((0, 1440))));
    assert_eq!((second.comes.between(1, 2), second.comes.between(2, 2)), (Some((0, 930)), None));
    assert_eq!(last.comes.days, [2]);
    assert_eq!((first.beside, second.beside), (Some(1), None));
    let [rider] = &course.roster.passengers[..] else { panic!("one rides") };
    assert_eq!((rider.name.full(), rider.with), ("E. F.", 0));
    assert_eq!(rider.private.medical.as_deref(), Some("bees"));
    assert_eq!(course.vehicles.len(), 4, "the passenger brings none");
}

#[test]
fn mistakes_of_people_as_they_come_are_told_at_their_cell() {
    for (row, said) in [
        ("A. B.,wagon,,,,,noon,,,", "`arrives`: `noon` is not a time of day"),
        ("A. B.,wagon,,,,,12:00,11:00,1,", "they leave before they arrive"),
        ("A. B.,wagon,,,,,,,3,", "`days`: `3` is no day of this course"),
        ("A. B.,wagon,,Z. Z.,,,,,,", "who rides with somebody does not drive"),
        ("A. B.,,,Z. Z.,,,,,,", "nobody called `Z. Z.` drives"),
        ("A. B.,wagon,novice,,Y. Y.,,,,,", "`Y. Y.` is not experienced"),
        ("A. B.,wagon,novice,,A. B.,,,,,", "nobody called `A. B.` drives, to sit beside"),
        ("A. B.,wagon,novice,,,0,,,,", "is not a number of seats"),
    ] {
        let told = roster(&format!("{HEADS}Y. Y.,car,some,,,,,,,secret\n{row}\n")).expect_err("a mistake");
        assert!(told.contains(said) && told.contains("roster.csv:3"), "{row}:\n{told}");
        assert!(!told.contains("secret"), "{told}");
    }
    let crowd = "A. B.,car,some,,,2,,,,\nC. D.,,,A. B.,,,,,1,\nE. F.,,,A. B.,,,,,1,\n";
    let told = roster(&format!("{HEADS}{crowd}")).expect_err("no room");
    assert!(told.contains("3 people come in a vehicle with 2 seats"), "{told}");
    let in_turn = crowd.replacen(",,,,,1,", ",,,,,2,", 1);
    assert!(roster(&format!("{HEADS}{in_turn}")).is_ok(), "never both on one day");
}
