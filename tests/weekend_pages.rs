//! The weekend's paper: what is private stands on one sheet, a change prints only what changed, no
//! text of a roster changes the shape of a page.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use slopepack::course::{Course, Need, Role, Text, advice};
use slopepack::pack::{KINDS, calendar};
use slopepack::print::Templates;
use slopepack::rota::{Missing, clock_text, missing_of};
use tempfile::TempDir;

use crate::print_shape::shape;
use crate::print_text::hostile_texts;
use crate::program::slopepack;
use crate::rota_plan::{SATURDAY, saturday_said};

/// The whole pack of the example, printed once by the program itself.
static PACK: LazyLock<TempDir> = LazyLock::new(|| {
    let folder = tempfile::tempdir().expect("a folder");
    pack(folder.path(), &[]);
    folder
});

fn pack(into: &Path, more: &[&str]) -> String {
    let course = Path::new(env!("CARGO_MANIFEST_DIR")).join("courses/six-slope-saturday.yaml");
    let run = slopepack()
        .args(["--quiet", "pack"])
        .arg(course)
        .arg("--into")
        .arg(into)
        .args(more)
        .output()
        .expect("it runs");
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    String::from_utf8(run.stdout).expect("paths")
}

fn pdfs(folder: &Path) -> Vec<PathBuf> {
    let mut found: Vec<PathBuf> =
        fs::read_dir(folder).expect("a folder").map(|entry| entry.expect("an entry").path()).collect();
    found.retain(|path| path.extension().is_some_and(|ending| ending == "pdf"));
    found.sort();
    found
}

/// All text of a document without its spaces, since lines break anywhere.
fn text_of(path: &Path) -> String {
    let document = lopdf::Document::load(path).expect("a PDF");
    let pages: Vec<u32> = document.get_pages().keys().copied().collect();
    squeezed(&document.extract_text(&pages).expect("its text"))
}

/// What a document says of itself.
fn metadata_of(path: &Path) -> String {
    let document = lopdf::Document::load(path).expect("a PDF");
    let strings = |dictionary: &lopdf::Dictionary| -> String {
        dictionary
            .iter()
            .filter_map(|(_, value)| lopdf::decode_text_string(value).ok())
            .collect::<Vec<_>>()
            .join(" ")
    };
    let info = document.trailer.get(b"Info").and_then(lopdf::Object::as_reference);
    let info = info.and_then(|id| document.get_dictionary(id)).map(strings).unwrap_or_default();
    let streams = document.objects.values().filter_map(|object| object.as_stream().ok());
    let xmp = streams
        .filter(|stream| stream.dict.get(b"Type").is_ok_and(|kind| kind.as_name().ok() == Some(b"Metadata")));
    let xmp: String = xmp.map(|stream| String::from_utf8_lossy(&stream.content).into_owned()).collect();
    squeezed(&(info + &xmp))
}

fn squeezed(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace() && *c != '\u{200b}' && *c != '\u{ad}').collect()
}

/// Every contact and note of the example's roster.
fn private() -> Vec<String> {
    let drivers = &SATURDAY.0.roster.drivers;
    let texts = drivers.iter().flat_map(|driver| [&driver.private.contact, &driver.private.medical]);
    texts.flatten().map(|text| squeezed(text)).collect()
}

#[test]
fn what_is_private_stands_on_the_leaders_sheet_and_nowhere_else() {
    let folder = PACK.path();
    let private = private();
    assert!(private.len() > 30);
    let leader = text_of(&folder.join("confidential/leader-sheet.pdf"));
    for text in &private {
        assert!(leader.contains(text), "{text} is missing on the leader's sheet");
    }
    let others = pdfs(folder).into_iter().filter(|path| !path.ends_with("leader-sheet.pdf"));
    let mut seen = 0;
    for path in others {
        let text = text_of(&path);
        assert!(text.len() > 300, "{} can be read", path.display());
        for secret in &private {
            assert!(!text.contains(secret), "{secret} stands in {}", path.display());
        }
        seen += 1;
    }
    assert!(seen >= 20, "only {seen} documents");
}

#[test]
fn no_personal_data_in_metadata_manifest_and_calendar() {
    let folder = PACK.path();
    let read = |name: &str| squeezed(&fs::read_to_string(folder.join(name)).expect("a file of the pack"));
    let mut hidden: Vec<(String, String)> =
        ["manifest.json", "day.ics"].map(|name| (name.to_owned(), read(name))).to_vec();
    hidden.extend(pdfs(folder).iter().map(|path| (path.display().to_string(), metadata_of(path))));
    let names = SATURDAY.0.roster.drivers.iter().map(|driver| squeezed(driver.name.full()));
    let personal: Vec<String> = private().into_iter().chain(names).collect();
    for (place, text) in &hidden {
        assert!(text.contains("Six") && text.contains("Saturday"), "{place} says nothing: {text}");
        for secret in &personal {
            assert!(!text.contains(secret), "{secret} stands in {place}");
        }
    }
}

#[test]
fn every_driver_has_a_card_with_their_own_gears_and_the_certificate_promises_nothing() {
    let folder = PACK.path();
    let cards = lopdf::Document::load(folder.join("driver-cards.pdf")).expect("a PDF");
    assert_eq!(cards.get_pages().len(), 24, "one card each, on one page");
    let course = &SATURDAY.0;
    for (page, driver) in (1..).zip(&course.roster.drivers) {
        let text = squeezed(&cards.extract_text(&[page]).expect("its text"));
        assert!(text.contains(&squeezed(driver.name.full())), "{}: {text}", driver.name);
        for slope in &course.slopes {
            assert!(
                text.contains(&squeezed(slope.name.full())),
                "{} on the card of {}",
                slope.name,
                driver.name
            );
        }
        assert!(text.contains("ABORT"));
    }
    let certificate = text_of(&folder.join("certificate.pdf"));
    assert!(
        certificate.contains("Certificateofattendance") && certificate.contains("Itdoesnotsaythattheycan")
    );
    assert!(!certificate.to_lowercase().contains("competent"));
}

/// The text of one page without its spaces.
fn page_of(document: &lopdf::Document, page: u32) -> String {
    squeezed(&document.extract_text(&[page]).expect("its text"))
}

#[test]
fn whoever_signals_to_a_driver_who_does_not_hear_reads_how_and_the_driver_has_no_radio_line() {
    let folder = PACK.path();
    let course = &SATURDAY.0;
    let by_hand: Vec<usize> = (0..course.roster.drivers.len())
        .filter(|at| course.roster.drivers[*at].needs.contains(&Need::Hearing))
        .collect();
    assert_eq!(by_hand.len(), 1);
    let cards = lopdf::Document::load(folder.join("driver-cards.pdf")).expect("a PDF");
    for (page, at) in (1..).zip(0..course.roster.drivers.len()) {
        let radio = page_of(&cards, page).contains("Channel11");
        assert_eq!(radio, !by_hand.contains(&at), "{}", course.roster.drivers[at].name);
    }
    let rota = &SATURDAY.2;
    let group = rota.group_of(by_hand[0]).expect("a group");
    let name = squeezed(course.roster.drivers[by_hand[0]].name.full());
    let staff = lopdf::Document::load(folder.join("marshal-cards.pdf")).expect("a PDF");
    let pages: Vec<String> = staff.get_pages().into_keys().map(|page| page_of(&staff, page)).collect();
    for (person, one) in course.people.iter().enumerate() {
        let with = |slot: usize, station| {
            rota.visits.iter().any(|visit| (visit.group, visit.slot, visit.station) == (group, slot, station))
        };
        let meets = rota.duties.iter().any(|duty| duty.person == person && with(duty.slot, duty.station));
        let Some(card) = pages.iter().find(|page| page.contains(&squeezed(one.name.full()))) else {
            continue;
        };
        let told = card.contains(&name) && card.contains("handsignalsonly");
        assert_eq!(told, meets, "{}", one.name);
    }
    // What hangs where everybody reads it does not say what somebody needs.
    for open in ["run-sheets", "convoy"] {
        assert!(!text_of(&folder.join(format!("{open}.pdf"))).contains("handsignals"), "{open}");
    }
}

#[test]
fn every_slope_in_use_has_somebody_at_the_brow_and_somebody_at_the_foot() {
    let folder = PACK.path();
    let (course, _, rota) = &*SATURDAY;
    let staff = lopdf::Document::load(folder.join("marshal-cards.pdf")).expect("a PDF");
    let pages: Vec<String> = staff.get_pages().into_keys().map(|page| page_of(&staff, page)).collect();
    let marshals = course.people.iter().enumerate().filter(|(_, one)| one.role == Role::Marshal);
    let mut posts = 0;
    for (person, one) in marshals {
        let card = pages.iter().find(|page| page.contains(&squeezed(one.name.full()))).expect("a card");
        let here = card.matches("brow,group").count() + card.matches("foot,group").count();
        assert_eq!(
            here,
            rota.duties.iter().filter(|duty| duty.person == person).count(),
            "{}: {card}",
            one.name
        );
        posts += here;
    }
    let brows: usize = pages.iter().map(|card| card.matches("brow,group").count()).sum();
    assert_eq!(2 * brows, posts, "as many at the brow as at the foot");
    assert!(!text_of(&folder.join("run-sheets.pdf")).contains("tobenamed"));
}

#[test]
fn the_letter_to_everybody_names_nobody_and_each_slip_asks_its_driver() {
    let letter = text_of(&PACK.path().join("joining-notes.pdf"));
    let slips = text_of(&PACK.path().join("vehicle-questions.pdf"));
    let mut asked = 0;
    for driver in &SATURDAY.0.roster.drivers {
        let name = squeezed(&driver.name.short());
        assert!(!letter.contains(&name), "{name} stands in the letter to everybody");
        let vehicle =
            SATURDAY.0.vehicles.iter().find(|vehicle| vehicle.id == driver.vehicle).expect("a vehicle");
        let known = vehicle.guessed.is_empty();
        assert_eq!(slips.matches(&name).count(), usize::from(!known), "{name}");
        asked += usize::from(!known);
    }
    assert!(asked > 15, "the example has vehicles with open values");
}

#[test]
fn every_sheet_ends_the_day_at_the_same_time() {
    let folder = PACK.path();
    let rota = &SATURDAY.2;
    let reserve = rota.slots[rota.length()];
    let (from, to) = (clock_text(reserve.start), clock_text(reserve.end));
    for name in ["course-plan.pdf", "joining-notes.pdf", "run-sheets.pdf"] {
        let text = text_of(&folder.join(name));
        assert!(text.contains(&from) && text.contains(&to), "{name} lacks the reserve");
    }
    let debrief = SATURDAY.0.day.sessions.last().expect("a session").start.to_string();
    for name in ["course-plan.pdf", "joining-notes.pdf"] {
        assert!(text_of(&folder.join(name)).contains(&debrief), "{name} lacks the debriefing");
    }
    for name in ["driver-cards.pdf", "marshal-cards.pdf"] {
        let cards = lopdf::Document::load(folder.join(name)).expect("a PDF");
        for page in cards.get_pages().into_keys() {
            let text = page_of(&cards, page);
            assert!(text.contains(&from) && text.contains(&debrief), "{name} page {page}: {text}");
        }
    }
}

#[test]
fn what_the_course_leaves_open_is_a_frame_and_what_it_says_is_not() {
    let mut course = SATURDAY.0.clone();
    let documents = ["driver-cards", "driver-cards-large", "marshal-cards", "radio-plan", "safety-briefing"];
    let filled_as = |course: &Course| {
        let templates = Templates::embedded().expect("all templates parse");
        let mut book = saturday_said(course);
        book.rotate(&Missing::default()).expect("a rota");
        documents.map(|name| {
            let kind = KINDS.iter().find(|kind| kind.name == name).expect("a document");
            kind.fill(&book, &templates).expect("it has one").expect("it fills").text
        })
    };
    course.emergency.number = None;
    assert!(advice(&course).iter().any(|line| line.contains("FILL IN") && line.contains("emergency number")));
    let open = filled_as(&course);
    course.emergency.number = Some("01 000 9999".into());
    let said = filled_as(&course);
    assert!(!advice(&course).iter().any(|line| line.contains("emergency number")));
    for ((name, open), text) in documents.iter().zip(&open).zip(&said) {
        let [open, said] = [open, text].map(|text| text.matches("fill-in(").count());
        // The emergency card of plan and briefing makes its frames in the style, from `none`.
        let on_card = ["radio-plan", "safety-briefing"].contains(name);
        assert!(on_card || open > said, "{name}: {open} frames without a number, {said} with it");
        assert!(text.contains("01 000 9999"), "{name} does not say the number");
    }
}

#[test]
fn a_change_prints_only_what_changed_beside_the_pack() {
    let folder = tempfile::tempdir().expect("a folder");
    let into = folder.path().join("pack");
    pack(&into, &["--only", "run-sheets"]);
    let paths = pack(&into, &["--without", "Instructor K"]);
    assert!(paths.lines().all(|path| path.contains("change")), "{paths}");
    assert!(into.join("run-sheets.pdf").exists(), "the pack itself stays");
    let change = into.join("change");
    assert!(!change.join("certificate.pdf").exists() && !change.join("driver-cards.pdf").exists());
    let cards = lopdf::Document::load(change.join("marshal-cards.pdf")).expect("a PDF");
    assert!((1..=10).contains(&cards.get_pages().len()), "{} cards", cards.get_pages().len());
    let sheets = text_of(&change.join("run-sheets.pdf"));
    assert!(sheets.contains("InstructorKmissing"), "the sheet says why");
}

#[test]
fn the_calendar_follows_its_standard_and_no_clock() {
    let (course, reckoning, _) = &*SATURDAY;
    assert!(!reckoning.pairs.is_empty());
    let mut book = saturday_said(course);
    assert_eq!(calendar(&book), None, "nothing without a rota");
    book.rotate(&Missing::default()).expect("a rota");
    let text = calendar(&book).expect("a calendar");
    assert_eq!(calendar(&book), Some(text.clone()));
    assert!(text.starts_with("BEGIN:VCALENDAR\r\nVERSION:2.0\r\n") && text.ends_with("END:VCALENDAR\r\n"));
    assert!(text.lines().all(|line| line.len() <= 75), "RFC 5545, section 3.1: lines of at most 75 octets");
    assert_eq!(text.matches("BEGIN:VEVENT").count(), 9 + course.day.sessions.len());
    // 10:00 on a clock two hours behind universal time.
    assert_eq!(course.rota.as_ref().and_then(|rules| rules.place).map(|place| place.ahead), Some(-120));
    assert!(text.contains("DTSTART:20270508T120000Z"), "{text}");
    assert_eq!(text.matches("DTSTAMP:20270508T020000Z").count(), text.matches("BEGIN:VEVENT").count());
}

#[test]
fn no_text_of_a_course_begins_a_line_of_the_calendar() {
    let mut course = SATURDAY.0.clone();
    let hostile = "W\rATTACH:file:///etc/hostname\r\nBEGIN:VALARM\nX\u{85}DURATION:PT1H\u{2028}TRIGGER:-PT1M\u{b}A;B,C\\D";
    put(&mut course.title, hostile);
    put(&mut course.club, hostile);
    put(&mut course.site, hostile);
    course.day.sessions.iter_mut().for_each(|session| put(&mut session.title, hostile));
    let mut book = saturday_said(&course);
    book.rotate(&Missing::default()).expect("a rota");
    let text = calendar(&book).expect("a calendar");
    // Long lines are folded with CR LF and a space; what is left are the file's own lines.
    let unfolded = text.replace("\r\n ", "");
    let ends = ['\r', '\n', '\u{85}', '\u{2028}', '\u{2029}', '\u{b}', '\u{c}'];
    let known = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//slopepack//",
        "CALSCALE:GREGORIAN",
        "BEGIN:VEVENT",
        "UID:",
        "DTSTAMP:",
        "SUMMARY:",
        "DESCRIPTION:",
        "LOCATION:",
        "DTSTART:",
        "DTEND:",
        "END:VEVENT",
        "END:VCALENDAR",
    ];
    for line in unfolded.split(ends).filter(|line| !line.is_empty()) {
        assert!(known.iter().any(|start| line.starts_with(start)), "{line:?}");
    }
    assert!(
        unfolded.contains(
            "LOCATION:W ATTACH:file:///etc/hostname BEGIN:VALARM X DURATION:PT1H TRIGGER:-PT1M A\\;B\\,C\\\\D"
        ),
        "{unfolded}"
    );
    assert!(!unfolded.contains("X-"), "nothing of a vendor's own");
    assert!(text.lines().all(|line| line.len() <= 75));
}

fn put<const MOST: usize>(place: &mut Text<MOST>, text: &str) {
    *place = text.into();
}

/// The example with every text of roster, rota and staff replaced.
fn with_texts(text: &str) -> Course {
    let mut course = SATURDAY.0.clone();
    let tell = |place: &mut String| text.clone_into(place);
    for driver in &mut course.roster.drivers {
        put(&mut driver.name, text);
        driver.private.contact.iter_mut().chain(&mut driver.private.medical).for_each(tell);
    }
    course.people.iter_mut().for_each(|person| put(&mut person.name, text));
    course.vehicles.iter_mut().for_each(|vehicle| put(&mut vehicle.name, text));
    course.slopes.iter_mut().for_each(|slope| put(&mut slope.name, text));
    let rules = course.rota.as_mut().expect("rules");
    for ratio in [&mut rules.group_size, &mut rules.per_instructor, &mut rules.marshals] {
        put(&mut ratio.source, text);
    }
    rules.theory.iter_mut().chain(&mut rules.demonstration).for_each(|session| put(&mut session.title, text));
    course
}

/// The filled templates of the weekend's documents, on the day itself with a slope closed; those that
/// stay as they were are taken from the morning.
fn filled(course: &Course) -> Vec<(&'static str, String)> {
    let templates = Templates::embedded().expect("all templates parse");
    let weekend = || KINDS.iter().filter(|kind| kind.needs_rota());
    let mut book = saturday_said(course);
    book.rotate(&Missing::default()).expect("a rota");
    let morning: Vec<_> = weekend().map(|kind| kind.fill(&book, &templates)).collect();
    book.rotate(&missing_of(course, &["lawn".to_owned()]).expect("a slope")).expect("a changed rota");
    weekend()
        .zip(morning)
        .map(|(kind, morning)| {
            let filled = kind.fill(&book, &templates).or(morning);
            let filled = filled.unwrap_or_else(|| panic!("no {}", kind.name));
            (kind.name, filled.expect("it fills").text)
        })
        .collect()
}

#[test]
fn no_text_of_a_roster_changes_the_shape_of_a_document() {
    let plain = filled(&with_texts("Bob"));
    assert!(plain.len() >= 8);
    for text in hostile_texts(3).into_iter().filter(|text| !text.trim().is_empty()) {
        for ((name, expected), (_, found)) in plain.iter().zip(filled(&with_texts(&text))) {
            assert!(shape(expected) == shape(&found), "{name} changes its shape with {text:?}");
        }
    }
}
