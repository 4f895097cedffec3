//! What a secretary reads on the printed camp of two days: every sheet gives one answer, whoever is called on holds it on
//! their own card, and nobody signs, pays or waits twice.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::LazyLock;

use slopepack::course::{Course, Fuel, Role, advice, read_text};
use slopepack::rota::{Post, Rota, clock_text};

use crate::program::{Bench, squeezed, text_at};

const CAMP: &str = include_str!("../courses/two-day-camp.yaml");

/// The whole camp, printed once by the program itself.
pub(crate) static PACK: LazyLock<Bench> = LazyLock::new(|| {
    let bench = Bench::with_example("two-day-camp.yaml");
    let ran = bench.run(&["pack", "day.yaml", "--into", "out", "--quiet"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    bench
});

pub(crate) fn sheet(name: &str) -> String {
    text_at(&PACK.path("out").join(format!("{name}.pdf")))
}

/// The pages of a document, squeezed.
pub(crate) fn pages(path: &Path) -> Vec<String> {
    let document = lopdf::Document::load(path).expect("a PDF");
    document.get_pages().into_keys().map(|page| squeezed(&document.extract_text(&[page]).unwrap())).collect()
}

fn days() -> Vec<(Course, Rota)> {
    let course = read_text(CAMP).expect("the camp reads");
    slopepack::rota::plan_days(&course, &slopepack::engine::reckon(&course)).expect("two days")
}

pub(crate) fn after<'t>(text: &'t str, words: &str) -> &'t str {
    let place = text.find(words).unwrap_or_else(|| panic!("no {words} in {text}"));
    &text[place + words.len()..]
}

/// E. O. had the lesson on Saturday, F. P. comes on Sunday for the first time.
#[test]
fn who_had_the_lesson_on_saturday_has_one_answer_on_sunday() {
    let runs = sheet("run-sheets-day-2");
    assert!(runs.contains("InstructorS;withoutE.O.:free,haditbefore"), "{runs}");
    let talk = after(&runs, "TalkReadingtheground,atThetoolshedFromToGroupComeInstructor");
    assert!(talk.starts_with("10:0010:302F.P.InstructorS"), "{talk}");
    let cards = pages(&PACK.path("out/driver-cards-day-2.pdf"));
    let card = cards.iter().find(|card| card.contains("5E.O.")).expect("a card");
    assert!(after(card, "10:00").starts_with("–free:youhadthisonanearlierday"), "{card}");
    let convoy = sheet("convoy-day-2");
    let group = after(&convoy, "Group2toTalk");
    assert!(group.contains("1EdieselvanF.P."), "{group}");
    assert!(
        group.contains("laterDpetrolwagonE.O.:hadthisonanearlierday;S2Loadingramp,thereat10:36"),
        "{group}"
    );
}

#[test]
fn nobody_fetches_a_group_from_the_gate_while_they_serve() {
    let mut seen = 0;
    for (number, (course, rota)) in (1..).zip(days()) {
        let convoy = sheet(&format!("convoy-day-{number}"));
        for part in convoy.split("Infront,onfootorintheleadvehicle:").skip(1) {
            let name = part.split("PlaceVehicle").next().expect("a name");
            let person = course.people.iter().position(|one| squeezed(one.name.full()) == name);
            let person = person.unwrap_or_else(|| panic!("{name} is nobody"));
            let before = convoy[..convoy.find(part).expect("it stands there")].rsplit("thereat").next();
            let there = &before.expect("a time")[..5];
            let slot = rota.slots.iter().position(|slot| clock_text(slot.start) == there).expect("a slot");
            let busy = slot > 0 && rota.duty(person, slot - 1).is_some();
            assert!(!busy, "{name} is at a station until the slot at {there} and cannot be at the gate");
            seen += 1;
        }
    }
    assert_eq!(seen, 4);
}

#[test]
fn the_deputy_is_the_one_of_the_table_and_no_name_beside_it() {
    for day in 1..=2 {
        let plan = sheet(&format!("radio-plan-day-{day}"));
        assert!(plan.contains("ControlSecretary,orthedeputybythetable,atThetoolshed"), "{plan}");
        assert!(!plan.contains("deputyInstructor"), "{plan}");
    }
}

/// The rows of the plan's table of who is called on: start, deputy, gate, phone.
fn rows(day: usize) -> Vec<(String, Vec<String>)> {
    let text = pages(&PACK.path(&format!("out/radio-plan-day-{day}.pdf"))).concat();
    let table = after(&text, "From,toDeputyGate");
    let table = table.split("Eachholdsnopost").next().expect("its note");
    let people = read_text(CAMP).expect("it reads").people;
    let mut rows: Vec<(String, Vec<String>)> = Vec::new();
    for (at, _) in
        table.match_indices("to").filter(|(at, _)| table[..*at].ends_with(|c: char| c.is_ascii_digit()))
    {
        let from = table[at - 5..at].to_owned();
        let rest = &table[at + 7..];
        let next =
            rest.match_indices("to").find(|(at, _)| rest[..*at].ends_with(|c: char| c.is_ascii_digit()));
        let row = &rest[..next.map_or(rest.len(), |(at, _)| at - 5)];
        let names = people.iter().map(|one| squeezed(one.name.full())).filter(|name| row.contains(name));
        assert!(!row.contains("FILLIN"), "an empty frame at {from} on day {day}: {row}");
        rows.push((from, names.collect()));
    }
    assert!(rows.len() >= 3, "{table}");
    rows
}

#[test]
fn whoever_is_called_on_has_it_on_their_own_card_and_no_frame_is_left_empty() {
    for day in 1..=2 {
        let cards = pages(&PACK.path(&format!("out/marshal-cards-day-{day}.pdf")));
        let mut told = 0;
        for (from, names) in rows(day) {
            assert!(names.len() >= 2, "{from}: {names:?}");
            for name in names {
                let card = cards.iter().find(|card| card.contains(&name)).expect("a card");
                // A free slot says it in its row, one at a post below the rows.
                let row = after(after(card, "whocomes"), &from);
                let calls = after(card, "Oncall");
                let covers = |span: &&str| {
                    let Some((start, end)) = span.split_once('–') else { return false };
                    start <= from.as_str() && end.get(..5).is_some_and(|end| from.as_str() < end)
                };
                let told_below = calls.split(['(', ')', ',', ';']).any(|span| covers(&span));
                assert!(row.starts_with("–free,oncall:") || told_below, "{name} at {from}: {card}");
                told += 1;
            }
        }
        assert!(told >= 6, "{told}");
    }
    // On Sunday's second slot both slopes are in use and nobody is free: the slope without the accident stands.
    let plan = sheet("radio-plan-day-2");
    assert!(plan.contains("MarshalSfromS2,7min;ifitisthere,MarshalUfromS3,12min"), "{plan}");
    let card = pages(&PACK.path("out/marshal-cards-day-2.pdf"));
    let card = card.iter().find(|card| card.contains("MarshalU")).expect("a card");
    assert!(after(card, "Oncall").contains("ifitisonS2"), "{card}");
}

#[test]
fn who_is_in_charge_and_who_gives_first_aid_have_cards() {
    let cards = pages(&PACK.path("out/marshal-cards-day-1.pdf"));
    let of = |name: &str| {
        cards.iter().find(|card| card.contains(name)).unwrap_or_else(|| panic!("no card of {name}"))
    };
    let aider = of("First-aiderR");
    assert!(aider.contains("firstaid:withthekit") && aider.contains("gowhencalled"), "{aider}");
    let lead = of("Secretaryincharge");
    assert!(lead.contains("control,atThetoolshed") && lead.contains("METHANE"), "{lead}");
    for card in [aider, lead] {
        assert!(!card.contains("mayrun") && !card.contains("Startbrow"), "a post on {card}");
    }
}

#[test]
fn the_map_has_what_an_ambulance_looks_for_and_check_asks_for_it() {
    let plan = sheet("radio-plan-day-1");
    assert!(plan.contains("MeettheambulanceGateoftheclaypit"), "{plan}");
    assert!(plan.contains("EverybodyelseThetoolshed"), "{plan}");
    assert!(plan.contains("Assemblypoint:Thetoolshed") && plan.contains("Gate:Gateoftheclaypit"), "{plan}");
    let asked = |text: &str| {
        let told = advice(&read_text(text).expect("it reads"));
        told.into_iter().find(|line| line.contains("map of the emergency plan"))
    };
    let with = asked(CAMP).expect("its origin has no coordinates");
    assert!(with.contains("latitude") && !with.contains("gate") && !with.contains("gathers"), "{with}");
    let bare = CAMP.find("  # What whoever leads the ambulance in").expect("the points");
    let rest = CAMP.find("\nvehicles:").expect("the vehicles");
    let without = asked(&[&CAMP[..bare], &CAMP[rest..]].concat()).expect("it lacks all");
    for what in ["the gate", "ambulance is met", "gathers", "way in"] {
        assert!(without.contains(what), "{what}: {without}");
    }
    assert_eq!(asked(include_str!("../courses/six-slope-saturday.yaml")), None, "no plan, no question");
}

/// Two slopes in use at once ask for four extinguishers, at brow and foot of each; the camp's kit has three.
#[test]
fn extinguishers_and_first_aid_kits_are_counted() {
    let plan = sheet("radio-plan-day-1");
    assert!(plan.contains("1×First-aidkit;3×Extinguisher"), "{plan}");
    let risk = sheet("risk-assessment");
    assert!(risk.contains("1more:extinguishers"), "{risk}");
    let four = CAMP.replace("kind: extinguisher, count: 3", "kind: extinguisher, count: 4");
    let bench = Bench::with_course(&four);
    let ran = bench.run(&["pack", "day.yaml", "--into", "out", "--only", "risk-assessment", "--quiet"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let risk = text_at(&bench.path("out/risk-assessment.pdf"));
    assert!(!risk.contains("more:extinguishers"), "{risk}");
}

#[test]
fn the_fuel_that_a_name_says_is_the_fuel_and_others_are_asked_about() {
    let read = |name: &str| read_text(&CAMP.replace("club's diesel wagon", name)).expect("it reads");
    for (name, fuel) in [
        ("club's diesel wagon", Fuel::Diesel),
        ("club's wagon", Fuel::Petrol),
        ("Turbodiesel wagon", Fuel::Diesel),
        ("gasoline wagon", Fuel::Petrol),
    ] {
        let course = read(name);
        let vehicle = &course.vehicles[0];
        assert_eq!(vehicle.engine.fuel, fuel, "{name}");
        assert!(vehicle.is_guessed("fuel"), "its own key did not say so: {name}");
    }
    let asked = advice(&read("club's hybrid wagon"));
    assert!(asked.iter().any(|line| line.contains("`hybrid`")), "{asked:?}");
    let told = CAMP.replace("class: wagon, mass: 2180 kg", "class: wagon, engine: {fuel: petrol}");
    let asked = advice(&read_text(&told).expect("it reads"));
    assert!(asked.iter().any(|line| line.contains("says diesel, and it is reckoned as petrol")), "{asked:?}");
    let rows =
        CAMP.replace("vehicle: diesel pickup, class: pickup", "vehicle: electric pickup, class: pickup");
    let asked = advice(&read_text(&rows).expect("it reads"));
    assert!(asked.iter().any(|line| line.contains("`electric`")), "{asked:?}");
    let plan = sheet("course-plan-day-1");
    assert!(after(&plan, "Aclub'sdieselwagon").contains("Ldiesel,"), "{plan}");
}

#[test]
fn everybody_of_all_days_gets_a_slip() {
    let slips = sheet("vehicle-questions");
    for name in ["A.K.", "C.M.", "D.N.", "E.O.", "F.P."] {
        assert!(slips.contains(name), "{name}: {slips}");
    }
    assert!(after(&slips, "F.P.,dieselvan").starts_with("No.6,group2"), "{slips}");
}

#[test]
fn who_was_checked_and_briefed_on_saturday_does_not_sign_for_it_on_sunday() {
    let first = sheet("attendance-day-1");
    assert!(!first.replace("Saturday12June2027,day1of2", "").contains("day1"), "{first}");
    let list = sheet("attendance-day-2").replace("Sunday13June", "");
    let signing = after(&list, "2:briefingheard");
    let signing = signing.split("BeforelunchAfterlunch").next().expect("the roll call follows");
    let course = read_text(CAMP).expect("it reads");
    let staff = course.people.len();
    // Licence, pictures and briefing of four drivers and all staff.
    assert_eq!(signing.matches("day1").count(), 3 * (4 + staff), "{signing}");
    assert!(
        after(signing, "F.P.·newtoday").starts_with("E–") || after(signing, "F.P.·newtoday").starts_with('E')
    );
    assert!(!after(signing, "F.P.·newtodayE").starts_with("day1"), "{signing}");
}

#[test]
fn a_certificate_names_the_days_on_which_somebody_came() {
    let certificates = pages(&PACK.path("out/certificate.pdf"));
    let of: BTreeMap<&str, &String> = ["A.K.", "D.N.", "F.P."]
        .into_iter()
        .map(|name| {
            let head = format!("Certificateofattendance{name}");
            (name, certificates.iter().find(|page| page.contains(&head)).expect("a certificate"))
        })
        .collect();
    assert!(of["A.K."].contains("12and13June2027"));
    assert!(
        of["D.N."].contains(",Saturday12June2027,at") && !of["D.N."].contains("13June"),
        "{}",
        of["D.N."]
    );
    assert!(of["F.P."].contains(",Sunday13June2027,at") && !of["F.P."].contains("12and"), "{}", of["F.P."]);
}

#[test]
fn nothing_is_asked_for_that_the_camp_does_not_need() {
    for day in 1..=2 {
        let plan = sheet(&format!("course-plan-day-{day}"));
        assert!(!plan.contains("Whatdriversbring"), "a head with nothing below it: {plan}");
        assert!(!plan.contains("Avehiclethatdrivesnoslopebesidecontrol"), "{plan}");
        let radio = sheet(&format!("radio-plan-day-{day}"));
        let asks = radio.contains("Phone(table)") || radio.contains("GatePhone");
        assert!(!asks, "it works where control stands: {radio}");
        let cards = sheet(&format!("marshal-cards-day-{day}"));
        assert!(!cards.contains("phone:"), "nobody is kept for it: {cards}");
    }
    let far = CAMP.replace("  telephone-at-control: yes\n", "");
    let bench = Bench::with_course(&far);
    let only = ["--only", "course-plan", "--only", "radio-plan", "--quiet"];
    let ran = bench.run(&[&["pack", "day.yaml", "--into", "out"][..], &only].concat());
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(
        text_at(&bench.path("out/course-plan-day-1.pdf")).contains("Avehiclethatdrivesnoslopebesidecontrol")
    );
    assert!(text_at(&bench.path("out/radio-plan-day-1.pdf")).contains("takesthevehiclekeptforit"));
}

/// On Sunday the slope with a channel of its own asks for a ninth radio: the index says it, with the day.
#[test]
fn the_first_page_looks_at_every_day() {
    let index = sheet("index");
    assert!(index.contains("Day2:Radios:upto9areneededatonce"), "{index}");
    assert!(!index.contains("Day1:Radios"), "{index}");
    let late = CAMP.replace("start: 13:30, title: Certificates", "start: 16:30, title: Certificates");
    let bench = Bench::with_course(&late);
    let ran = bench.run(&["pack", "day.yaml", "--into", "out", "--only", "convoy", "--quiet"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let index = text_at(&bench.path("out/index.pdf"));
    assert!(
        index.contains(
            "Day2:Therotaandtheslotskeptfreeforweatherareoverat13:15;Certificatesbeginsonlyat16:30"
        ),
        "{index}"
    );
}

/// A card of somebody who serves says each of their posts, as the rota has it.
#[test]
fn posts_on_the_cards_are_those_of_the_rota() {
    for (number, (course, rota)) in (1..).zip(days()) {
        let cards = pages(&PACK.path(&format!("out/marshal-cards-day-{number}.pdf")));
        assert_eq!(cards.len(), course.people.iter().filter(|one| one.role != Role::Driver).count());
        for duty in rota.duties.iter().filter(|duty| duty.post == Post::Foot) {
            let name = squeezed(course.people[duty.person].name.full());
            let card = cards.iter().find(|card| card.contains(&name)).expect("a card");
            assert!(card.contains("foot,group"), "{card}");
        }
    }
}
