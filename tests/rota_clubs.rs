//! Clubs made by lot have days that their cards prove: whoever reads what the cards say of each finds nobody and nothing
//! twice, posts filled, gentle first, lunch, first aid there. Of some the cards are printed and read back as text.
//!
//! `SLOPEPACK_CLUBS=200` makes and prints so many.

use std::collections::BTreeSet;
use std::ops::RangeInclusive;
use std::time::Instant;

use slopepack::course::Course;
use slopepack::pack::{Book, KINDS};
use slopepack::print::{Templates, Typesetter, Workshop};
use slopepack::rota::{Rota, clock_text, plan_days};

use crate::clubs_made::{LARGE, asked_for, club, tell};
use crate::clubs_read::{Line, cards, wrong};
use crate::program::squeezed;

/// Seeds of the clubs that are made, and of how many of them the cards are printed: all of them where they are asked for.
fn counts() -> (RangeInclusive<u64>, u64) {
    asked_for().map_or((1..=14, 2), |seeds| (seeds, u64::MAX))
}

/// The days of a club as the reader takes them: the course, the length of a slot, the lines.
type Days = Vec<(Course, u16, Vec<Line>)>;

/// The same from the rotas alone.
fn read(days: &[(Course, Rota)]) -> Days {
    let long = |rota: &Rota| rota.slots.first().map_or(0, |slot| slot.end - slot.start);
    days.iter().map(|(day, rota)| (day.clone(), long(rota), cards(day, rota))).collect()
}

#[test]
fn clubs_by_lot_have_days_that_their_cards_prove() {
    let reckoning = &LARGE.1;
    let ((seeds, printed), press) = (counts(), Press::new());
    let (mut planned, mut refused) = (0, 0);
    let (mut two_days, mut late, mut shared, mut apart) = (0, 0, 0, 0);
    let mut found = Vec::new();
    for seed in seeds {
        let (course, begun) = (club(seed), Instant::now());
        let size = format!("{} drivers, {} slopes", course.roster.drivers.len(), course.slopes.len());
        match plan_days(&course, reckoning) {
            Ok(days) => {
                tell(seed, &format!("{size}, {} days planned", days.len()), begun);
                let begun = Instant::now();
                let lines = if planned < printed { press.read(&days) } else { read(&days) };
                let faults = wrong(&lines, reckoning);
                tell(seed, &format!("read, {} faults", faults.len()), begun);
                found.extend(faults.into_iter().map(|what| format!("club {seed}: {what}")));
                planned += 1;
                apart += u64::from(!course.lengths_of_ways().is_empty());
                two_days += u64::from(days.len() == 2);
                let drivers = &course.roster.drivers;
                late += u64::from(drivers.iter().any(|one| one.comes.arrives.is_some()));
                let cars: BTreeSet<&String> = drivers.iter().map(|one| &one.vehicle).collect();
                shared += u64::from(cars.len() < drivers.len());
            }
            // A day that cannot be held is refused in words; most can.
            Err(clash) => {
                tell(seed, &format!("{size}, refused: {clash}"), begun);
                assert!(clash.to_string().len() > 40, "club {seed}: {clash}");
                refused += 1;
            }
        }
        assert!(refused <= 10 + planned / 4, "club {seed}: {refused} refused, {planned} planned");
    }
    println!(
        "{planned} clubs, {refused} refused: {two_days} of two days, {late} with late people, {shared} share cars, {apart} with ways"
    );
    assert!(found.is_empty(), "{found:#?}");
    assert!([two_days, late, shared, apart].iter().all(|some| *some >= planned / 5));
}

/// Of a card in two parts each bears its name at its head: one stood at the foot of the card before.
#[test]
fn a_card_in_two_parts_bears_its_name_on_both() {
    let days = plan_days(&club(140), &LARGE.1).expect("its day can be held");
    assert!(days.iter().any(|(day, _)| day.roster.drivers.iter().any(|one| one.comes.arrives.is_some())));
    assert_eq!(Press::new().read(&days).len(), days.len());
}

#[test]
fn the_reader_sees_what_is_bent() {
    let reckoning = &LARGE.1;
    let steep = |course: &Course| course.days.len() == 2 && course.slopes.iter().any(|one| one.id == "step");
    let days = (1..).map(club).filter(steep).find_map(|course| plan_days(&course, reckoning).ok());
    let days = read(&days.expect("one of two days with a steep slope"));
    assert!(wrong(&days, reckoning).is_empty());
    let bent = |bend: &dyn Fn(&mut Vec<Line>)| {
        let mut days = days.clone();
        for (_, _, lines) in &mut days {
            bend(lines);
            lines.sort();
        }
        wrong(&days, reckoning).join("\n")
    };
    let first = |what: &'static str| move |lines: &Vec<Line>| lines.iter().position(|line| line.does == what);
    let foot = bent(&|lines| {
        let at = first("foot")(lines).expect("one");
        lines[at].does = "brow";
    });
    assert!(foot.contains("not one at brow and foot"), "{foot}");
    let twice = bent(&|lines| {
        let mut other = lines[first("drives")(lines).expect("one")].clone();
        other.place = "S9".to_owned();
        other.does = "watches";
        lines.push(other);
    });
    assert!(twice.contains("is in two places"), "{twice}");
    let turned = bent(&|lines| {
        let last = lines.iter().map(|line| line.from).max().unwrap_or(0);
        let first = lines.iter().map(|line| line.from).min().unwrap_or(0);
        for line in lines.iter_mut() {
            line.from = last - line.from + first;
        }
    });
    assert!(turned.contains("after something steeper") || turned.contains("before Talk"), "{turned}");
    let far = |days: &Days| {
        let mut days = days.clone();
        for (day, ..) in &mut days {
            let ways = slopepack::course::Ways { usual: Some(25), ..Default::default() };
            day.rota.as_mut().expect("its rules").ways = Some(ways);
        }
        wrong(&days, reckoning).join("\n")
    };
    assert!(far(&days).contains("min from S"), "{}", far(&days));
    let lost = bent(&|lines| lines.retain(|line| line.place != "S1"));
    assert!(lost.contains("drives S1 0 times"), "{lost}");
}

/// Lines of printed cards: after each time of a slot the place, and what is done there.
fn printed(day: &Course, rota: &Rota, pages: &[String], staff: bool) -> Vec<Line> {
    let names: Vec<String> = if staff {
        day.people.iter().map(|one| one.name.full().to_owned()).collect()
    } else {
        day.roster.drivers.iter().map(|one| one.name.full().to_owned()).collect()
    };
    let mut lines = Vec::new();
    for page in pages {
        // Whose card it is stands at its head; who shares their vehicle further down.
        let head = &page[..page.find("Yourday").expect("their day")];
        let theirs: Vec<&String> = names.iter().filter(|name| head.contains(&squeezed(name))).collect();
        let [who] = theirs[..] else { panic!("whose card is it, {theirs:?}: {page}") };
        assert!(staff || page.contains("day2of2") == (day.day_number() == 2), "it says which day: {page}");
        let table = page.find("Yourday").expect("their day");
        // Below it stands what else is to be known.
        let below = ["Near", "Signals", "Byhand", "Oncall", "Before", "Start", "Opens", "Kit"].iter();
        let below = below.filter_map(|head| page[table..].find(head)).min().expect("a list below");
        let page = &page[..table + below];
        for slot in &rota.slots {
            let from = clock_text(slot.start);
            let marks =
                (1..=day.slopes.len()).map(|at| format!("S{at}")).chain(["Show".into(), "Talk".into()]);
            for place in marks {
                let Some(at) = page[table..].find(&format!("{from}{place}")) else { continue };
                let rest = &page[table + at + 5..];
                let later = rota.slots.iter().filter(|next| next.start > slot.start);
                let end = later.filter_map(|next| rest.find(&clock_text(next.start))).min();
                let row = &rest[..end.unwrap_or(rest.len())];
                let slope = place != "Show" && place != "Talk";
                let does = match (staff, row) {
                    (true, row) if row.contains("brow,") => "brow",
                    (true, row) if row.contains("foot,") => "foot",
                    (true, _) => "teaches",
                    (false, row) if slope && !row.contains("DONOTDRIVE") => "drives",
                    (false, _) => "watches",
                };
                lines.push(Line { from: slot.start, who: who.clone(), place, does });
            }
        }
    }
    lines
}

/// Prints cards and reads them back.
struct Press {
    templates: Templates,
    workshop: Workshop,
    typesetter: Typesetter,
    _folder: tempfile::TempDir,
}

impl Press {
    fn new() -> Self {
        let templates = Templates::embedded().expect("all templates parse");
        let folder = tempfile::tempdir().expect("a folder");
        let workshop = Workshop::inside(folder.path(), "work-", &templates).expect("a workshop");
        let named = std::env::var_os("SLOPEPACK_TYPST").map(std::path::PathBuf::from);
        let typesetter = Typesetter::find(named.as_deref()).expect("the typesetter is installed");
        Self { templates, workshop, typesetter, _folder: folder }
    }

    fn read(&self, days: &[(Course, Rota)]) -> Days {
        days.iter().map(|(day, rota)| self.day(day, rota)).collect()
    }

    /// A day as its printed cards tell of it, which is as it was planned.
    fn day(&self, day: &Course, rota: &Rota) -> (Course, u16, Vec<Line>) {
        let mut here = day.clone();
        // Only what is driven is worked: the others' vehicles print nothing here.
        here.vehicles.retain(|one| {
            day.roster.drivers.iter().any(|driver| driver.vehicle == one.id) || one.id == "club-pickup"
        });
        let mut book = Book::of(&here, "0000-0000");
        book.rota = Some(rota.clone());
        let mut lines = Vec::new();
        for (name, staff) in [("driver-cards", false), ("marshal-cards", true)] {
            let kind = KINDS.iter().find(|kind| kind.name == name).expect("it is printed");
            let Some(filled) = kind.fill(&book, &self.templates) else { continue };
            let pdf =
                self.typesetter.pdf(&self.workshop, &filled.expect("it fills"), 0).expect("it typesets");
            let document = lopdf::Document::load_mem(&pdf).expect("a PDF");
            let numbers = document.get_pages().into_keys();
            let text = |page| squeezed(&document.extract_text(&[page]).expect("its text"));
            let pages: Vec<String> = numbers.map(text).collect();
            lines.extend(printed(&here, rota, &pages, staff));
            if !staff {
                riders(&here, rota, &pages.concat());
            }
        }
        lines.sort();
        let planned = cards(&here, rota);
        let only = |some: &[Line], others: &[Line]| -> Vec<Line> {
            some.iter().filter(|line| !others.contains(line)).cloned().collect()
        };
        let differ = (only(&lines, &planned), only(&planned, &lines));
        assert!(lines == planned, "day {}: {differ:?}", here.day_number());
        let long = rota.slots.first().map_or(0, |slot| slot.end - slot.start);
        (day.clone(), long, lines)
    }
}

/// Whoever rides with somebody who drives stands on their card.
fn riders(day: &Course, rota: &Rota, cards: &str) {
    for rider in &day.roster.passengers {
        let drives = rota.group_of(rider.with).is_some();
        let name = squeezed(rider.name.full());
        assert!(!drives || cards.contains(&name), "{name} rides with somebody and is on no card");
    }
}
