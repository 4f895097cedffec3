//! What goes round after a change: who hands in which card and gets which, what is taken down and hung up.

use serde::Serialize;

use crate::pack::book::Book;
use crate::pack::weekend::day::Weekend;
use crate::page::meta::Meta;

/// The list for whoever walks round with the new papers.
#[derive(Serialize)]
pub(crate) struct TakeBack {
    pack: Meta,
    what: String,
    rows: Vec<Swap>,
    sheets: Vec<Swap>,
    given_up: Vec<String>,
    later: Vec<String>,
}

#[derive(Serialize)]
struct Swap {
    who: String,
    takes: String,
    gets: String,
}

/// Sheets that hang or are held besides the cards: the document, who has it, what they hand in.
const SHEETS: [(&str, &str, &str); 14] = [
    ("run-sheets", "Notice board, instructors, marshals", "run sheets"),
    ("leader-sheet", "Person in charge", "confidential sheet"),
    ("attendance", "Sign-on desk", "nothing: keep what is signed"),
    ("radio-plan", "Everybody with a radio", "radio and emergency plan"),
    ("convoy", "Convoy leaders, gate", "convoy order"),
    ("safety-briefing", "Whoever briefs", "safety briefing"),
    ("course-plan", "Instructors, club, landowner", "course plan"),
    ("risk-assessment", "Instructors, club, landowner", "risk assessment"),
    ("recovery-plan", "Instructors, riggers", "recovery plan"),
    ("fleet-table", "Instructors, marshals", "fleet table"),
    ("slope-cards", "Marshals at the slopes", "slope cards"),
    ("incident-form", "The hut", "incident forms"),
    ("certificate", "Whoever hands out certificates", "certificates of these drivers"),
    ("after-day", "Person in charge", "after-day review"),
];

impl TakeBack {
    /// From a book with a change; none without one.
    pub(crate) fn of(book: &Book, pack: Meta) -> Option<Self> {
        let weekend = Weekend::of(book)?;
        let change = book.change.as_ref()?;
        let gets = book.printed.words().unwrap_or_default();
        let held = |before: usize| match before {
            0 => "card of the pack".to_owned(),
            before => format!("card of change {before}"),
        };
        let (known_drivers, known_staff) =
            book.printed.anew.as_ref().map_or((usize::MAX, usize::MAX), |anew| anew.known);
        let came = || "nothing: new today".to_owned();
        let mut rows: Vec<Swap> = Vec::new();
        for at in weekend.to_print() {
            let driver = &weekend.drivers()[at];
            let takes = if at < known_drivers { held(book.printed.driver_holds(at)) } else { came() };
            rows.push(Swap { who: format!("{} {}", driver.id, driver.name), takes, gets: gets.clone() });
        }
        for at in weekend.staff_to_print() {
            let takes = if at < known_staff { held(book.printed.person_holds(at)) } else { came() };
            rows.push(Swap { who: book.course.people[at].name.short(), takes, gets: gets.clone() });
        }
        let none = || "nothing: not in the rota any more".to_owned();
        for at in &change.newly.drivers {
            let driver = &weekend.drivers()[*at];
            let takes = held(book.printed.driver_holds(*at));
            rows.push(Swap { who: format!("{} {}", driver.id, driver.name), takes, gets: none() });
        }
        for at in &change.newly.people {
            let takes = held(book.printed.person_holds(*at));
            rows.push(Swap { who: book.course.people[*at].name.short(), takes, gets: none() });
        }
        let mut sheets = Vec::new();
        for (name, who, takes) in SHEETS.into_iter().filter(|(name, ..)| book.printed.prints(name)) {
            let gets = if name == "attendance" { format!("{gets}, on top of it") } else { gets.clone() };
            sheets.push(Swap { who: who.to_owned(), takes: takes.to_owned(), gets });
        }
        // On a day of several somebody who is missing may have been there before.
        for at in change.newly.drivers.iter().filter(|_| book.course.days_held() == 1) {
            sheets.push(Swap {
                who: "Whoever hands out certificates".to_owned(),
                takes: format!("certificate of {}", weekend.drivers()[*at].name),
                gets: "nothing".to_owned(),
            });
        }
        for at in &change.newly.slopes {
            let slope = &book.course.slopes[*at];
            sheets.push(Swap {
                who: format!("At {} {}", book.slope_mark(&slope.id), slope.name),
                takes: "slope cards; close the slope with tape".to_owned(),
                gets: "nothing".to_owned(),
            });
        }
        if book.printed.anew.as_ref().is_some_and(|anew| anew.ground) && book.printed.prints("vehicle-cards")
        {
            sheets.push(Swap {
                who: "In every vehicle".to_owned(),
                takes: "vehicle card".to_owned(),
                gets: gets.clone(),
            });
        }
        let first_cards = if book.printed.anew.is_some() { book.new_vehicles() } else { 0..0 };
        for vehicle in &book.course.vehicles[first_cards] {
            sheets.push(Swap {
                who: format!("{} {}", book.vehicle_mark(&vehicle.id), vehicle.name),
                takes: "nothing: not driven before its check sheet is signed".to_owned(),
                gets: "check sheet, then its vehicle card".to_owned(),
            });
        }
        let given_up = weekend.rota.given_up.iter().map(|(group, station)| {
            format!(
                "Group {} does not come to {} {}.",
                group + 1,
                weekend.mark(*station),
                weekend.place(*station)
            )
        });
        let (what, later) = (change.words(book.course), change.later.clone());
        Some(Self { pack, what, rows, sheets, given_up: given_up.collect(), later })
    }
}
