//! A first course with people: nobody's card tells of driving that cannot be, everybody signs, and no danger is called
//! controlled that nothing was done about.

use std::sync::LazyLock;

use crate::program::{Bench, text_at};

/// A day with two groups, one of which has no vehicle that drives: the van may not tilt as the bump makes it.
const DAY: &str = "\
course: {title: First day, club: Club, site: Pit, version: 1, units: metric, paper: A4, prepared-by: Training officer}
limits: {gradient: 25°, side-tilt: 12°, descent-speed: 10 km/h, brake-temperature: 250 °C}
slopes:
  - {id: bank, name: Larch bank, purpose: p, surface: gravel-firm, length: 30 m, gradient: 7°, width: 8 m, bump: 15 cm, entry-speed: 3 km/h,
     run-out: {length: 40 m, gradient: 0°}, survey: {by: T, date: 5 June, instrument: clinometer, reads-to: 0.5°},
     hazards: [Walkers on the footpath at the top.]}
vehicles:
  - {id: wagon-1, name: blue wagon, class: wagon, mass: 2.1 t, transfer: {low: yes}, drive: all wheels}
  - {id: van-1, name: white van, class: van, transfer: 1.0, side-limit: 2°}
kit: [{id: first-aid, name: First-aid kit, kind: first-aid}, {id: radio, name: Radio, kind: radio, count: 6}]
people:
  - {name: Leader L, role: lead}
  - {name: Aider F, role: first-aider}
  - {name: Teacher T, role: instructor}
  - {name: Teacher U, role: instructor}
  - {name: Helper M, role: marshal}
  - {name: Helper N, role: marshal}
  - {name: Judge J, role: assessor}
roster:
  drivers:
    - {driver: Ada B., vehicle: wagon-1, experience: novice}
    - {driver: Col D., vehicle: van-1, experience: some}
    - {driver: Rae S., rides: Ada B.}
rota:
  from: 10:00
  until: 13:00
  slot: 30 min
  group-size: {most: 1, source: club rule}
  drivers-per-instructor: {most: 4, source: club rule}
  marshals-per-slope: {least: 2, source: club rule}
day:
  runs: 1
  run-gap: 12 min
  sessions: [{start: 09:00, title: Sign-on, length: 30 min}, {start: 09:30, title: Briefing, length: 30 min}]
";

static PACK: LazyLock<(Bench, String)> = LazyLock::new(|| {
    let bench = Bench::with_course(DAY);
    let ran = bench.run(&["pack", "day.yaml", "--into", "pack"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    (bench, ran.err)
});

fn page(name: &str) -> String {
    text_at(&PACK.0.path(&format!("pack/{name}.pdf")))
}

#[test]
fn a_driver_whose_vehicle_goes_nowhere_is_told_that_first_and_nothing_of_driving() {
    let cards = page("driver-cards");
    assert_eq!(cards.matches("YOURVEHICLEDRIVESNOSLOPETODAY").count(), 1, "{cards}");
    assert_eq!(cards.matches("ABORT").count(), 1, "the one who drives: {cards}");
    let own = &cards[cards.find("ColD.").unwrap()..];
    for words in ["free:rest", "taketurns", "Signals", "Stuck"] {
        assert!(!own.contains(words), "{words}: {own}");
    }
}

#[test]
fn a_group_that_goes_nowhere_is_in_no_convoy() {
    let convoy = page("convoy");
    assert!(convoy.contains("Parkedallday") && !convoy.contains("Group2to"), "{convoy}");
    let check = PACK.0.run(&["check", "day.yaml"]);
    assert!(check.out.contains("group 2, 1 driver: nothing: none of its vehicles"), "{}", check.out);
    assert!(check.out.contains("1 slope, 2 vehicles, 2 pieces of kit, 7 people"), "{}", check.out);
}

#[test]
fn where_no_group_can_drive_no_rota_is_called_shortest() {
    let bench = Bench::with_course(&DAY.replace("drive: all wheels}", "side-limit: 2°}"));
    let said = bench.run(&["check", "day.yaml"]);
    assert!(
        said.out.contains("none of them can drive any slope") && !said.out.contains("to , "),
        "{}",
        said.out
    );
}

#[test]
fn whoever_rides_along_signs_on_as_well() {
    let attendance = page("attendance");
    assert_eq!(attendance.matches("RaeS.").count(), 2, "signs on, and is called: {attendance}");
}

#[test]
fn a_danger_told_in_words_alone_keeps_its_score_until_something_is_done_about_it() {
    let sheet = page("risk-assessment");
    assert!(sheet.contains("FILLIN:whatisdoneaboutthisone"), "{sheet}");
    assert!(PACK.1.contains("“Walkers on the footpath at the top.”: is it `kind: walkers`?"), "{}", PACK.1);
    let told =
        DAY.replace("[Walkers on the footpath at the top.]", "[{kind: walkers, what: Walkers at the top.}]");
    let bench = Bench::with_course(&told);
    let ran = bench.run(&["pack", "day.yaml", "--into", "pack", "--only", "risk-assessment"]);
    assert!(ran.code == 0 && !ran.err.contains("in words alone"), "{}", ran.err);
    assert!(!text_at(&bench.path("pack/risk-assessment.pdf")).contains("FILLIN:whatis"));
}

#[test]
fn whoever_assesses_has_a_card_and_nobody_a_certificate_of_nothing() {
    assert!(page("marshal-cards").contains("JudgeJ"));
    let certificates = page("certificate");
    assert!(certificates.contains("AdaB.") && !certificates.contains("ColD."), "{certificates}");
    let plan = page("course-plan");
    assert!(
        plan.contains("Preparedby:Trainingofficer") && !plan.contains("Whattheycandoafterwards"),
        "{plan}"
    );
}

#[test]
fn what_is_asked_for_in_the_wrong_order_or_form_is_told_in_the_right_one() {
    let bench = Bench::with_course("");
    let turned = bench.run(&["begin", "first", "--nothing-asked", "--slope", "Long tip, 1 in 4, 60 m"]);
    assert!(turned.code == 2 && turned.err.contains("length first, then gradient"), "{}", turned.err);
    assert!(turned.err.contains("Long tip, 60 m, 1 in 4"), "{}", turned.err);
    let us = bench.run(&["begin", "us", "--nothing-asked", "--units", "us"]);
    assert_eq!(us.code, 0, "{}", us.err);
    assert!(std::fs::read_to_string(bench.path("us/course.yaml")).unwrap().contains("units: imperial"));
    let lunch = Bench::with_course(&DAY.replace("  slot: 30 min", "  slot: 30 min\n  lunch: 12:30"));
    let said = lunch.run(&["check", "day.yaml"]);
    assert!(said.code == 1 && said.err.contains("lunch: {from: 12:30, length: 45 min}"), "{}", said.err);
}

#[test]
fn a_paper_of_three_marks_is_not_passed_over_in_silence() {
    let papers =
        "papers:\n  blueprint: {gearing: {recall: 1}, grip: {recall: 1}, site-safety: {decide: 1}}\n";
    let bench = Bench::with_course(&format!("{DAY}{papers}"));
    let said = bench.run(&["check", "day.yaml"]);
    assert!(
        said.err.contains("The theory paper has 3 marks") && said.err.contains("is 3: 100 %"),
        "{}",
        said.err
    );
    assert!(!Bench::with_course(DAY).run(&["check", "day.yaml"]).err.contains("The theory paper has"));
}

#[test]
fn a_first_roster_shows_a_row_of_each_sort_and_reads() {
    let bench = Bench::with_course("");
    assert_eq!(bench.run(&["begin", "first", "--nothing-asked"]).code, 0);
    let course = std::fs::read_to_string(bench.path("first/course.yaml")).unwrap();
    std::fs::write(bench.path("first/course.yaml"), course.replace("#: roster:", "roster:")).unwrap();
    let said = bench.run(&["check", "first/course.yaml"]);
    assert_eq!(said.code, 0, "{}", said.err);
    let heads = std::fs::read_to_string(bench.path("first/people.csv")).unwrap();
    for head in ["Shares", "Rides", "Beside", "Seats", "Days", "Arrives", "Leaves", "Low range"] {
        assert!(heads.lines().next().unwrap().split(',').any(|known| known == head), "{head}");
        assert!(
            course.contains(&format!("#     {head}")) || course.contains(&format!(", {head}")),
            "{head} is not told of"
        );
    }
}
