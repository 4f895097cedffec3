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
}

#[derive(Serialize)]
struct Swap {
    who: String,
    takes: String,
    gets: String,
}

impl TakeBack {
    /// From a book with a change; none without one.
    pub(crate) fn of(book: &Book, pack: Meta) -> Option<Self> {
        let weekend = Weekend::of(book)?;
        let change = book.change.as_ref()?;
        let gets = book.printed.words().unwrap_or_default();
        let held = |before: usize| {
            if before == 0 { "card of the pack".to_owned() } else { format!("card of change {before}") }
        };
        let mut rows: Vec<Swap> = Vec::new();
        for at in weekend.to_print() {
            let driver = &weekend.drivers()[at];
            let takes = held(book.printed.driver_holds(at));
            rows.push(Swap { who: format!("{} {}", driver.id, driver.name), takes, gets: gets.clone() });
        }
        for at in weekend.staff_to_print() {
            let takes = held(book.printed.person_holds(at));
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
        let mut sheet = |who: &str, takes: &str| {
            sheets.push(Swap { who: who.to_owned(), takes: takes.to_owned(), gets: gets.clone() });
        };
        sheet("Notice board, instructors, marshals", "run sheets");
        sheet("Person in charge", "confidential sheet, after-day review");
        sheet("Sign-on desk", "attendance list: copy what is signed");
        sheet("Everybody with a radio", "radio and emergency plan");
        for at in &change.newly.slopes {
            let slope = &book.course.slopes[*at];
            sheets.push(Swap {
                who: format!("At {} {}", book.slope_mark(&slope.id), slope.name),
                takes: "slope cards; close the slope with tape".to_owned(),
                gets: "nothing".to_owned(),
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
        Some(Self { pack, what: change.words(book.course), rows, sheets, given_up: given_up.collect() })
    }
}
