//! The confidential sheet: the one context that reads what the roster keeps private.

use serde::Serialize;

use crate::course::{Need, Private, Role};
use crate::pack::book::Book;
use crate::pack::ground::plan::role_word;
use crate::pack::weekend::day::Weekend;
use crate::pack::weekend::forms::leader;
use crate::pack::weekend::posts::whole;
use crate::page::meta::Meta;
use crate::rota::clock_text;

/// The sheet for the person in charge alone.
#[derive(Serialize)]
pub(crate) struct LeaderSheet {
    pack: Meta,
    leader: String,
    lunch: Option<String>,
    /// Each driver with their place in each slot.
    rows: Vec<Confidential>,
    slots: Vec<String>,
}

/// Rows left open at the foot: for whoever turns up.
const BLANK_ROWS: usize = 3;

#[derive(Default, Serialize)]
struct Confidential {
    no: String,
    name: String,
    group: String,
    experience: String,
    needs: String,
    contact: String,
    medical: String,
    places: Vec<String>,
}

impl Confidential {
    /// A row of which nothing is known yet.
    fn to_write_in(slots: usize) -> Self {
        Self { places: vec![String::new(); slots], ..Self::default() }
    }
}

impl LeaderSheet {
    /// From a book with a rota. The only context that reads what the roster keeps private.
    pub(crate) fn of(book: &Book, pack: Meta) -> Option<Self> {
        let weekend = Weekend::of(book)?;
        let drive = weekend.present().into_iter().map(|at| confidential(&weekend, at));
        let ride = weekend.riding().map(|at| rides(&weekend, at));
        let serve = book.there().filter(|(_, one)| one.role != Role::Driver);
        let serve = serve.map(|(at, _)| serves(&weekend, at));
        let open = (0..BLANK_ROWS).map(|_| Confidential::to_write_in(weekend.slots().len()));
        let rows = drive.chain(ride).chain(serve).chain(open).collect();
        Some(Self {
            pack,
            leader: leader(book),
            lunch: weekend.lunch(),
            rows,
            slots: weekend.slots().iter().map(|slot| clock_text(slot.start)).collect(),
        })
    }
}

/// A passenger, who is where their driver is.
fn rides(weekend: &Weekend, at: usize) -> Confidential {
    let rider = &weekend.book.course.roster.passengers[at];
    let driver = confidential(weekend, rider.with);
    Confidential {
        no: rider.id.clone(),
        name: whole(&rider.name),
        experience: format!("rides with {}", driver.no),
        needs: needs_of(&rider.needs, &rider.private),
        contact: given(rider.private.contact.as_ref()),
        medical: given(rider.private.medical.as_ref()),
        ..driver
    }
}

/// Somebody who serves: what is to be known of them is asked at the desk and written in.
fn serves(weekend: &Weekend, at: usize) -> Confidential {
    let one = &weekend.book.course.people[at];
    let places = weekend.service_of(at).into_iter().map(|part| part.mark).collect();
    Confidential {
        name: whole(&one.name),
        experience: role_word(one.role).to_owned(),
        places,
        ..Confidential::default()
    }
}

/// Nobody has said anything, which is not that there is nothing.
const NOT_GIVEN: &str = "nothing given";

fn given(text: Option<&String>) -> String {
    text.cloned().unwrap_or_else(|| NOT_GIVEN.to_owned())
}

fn needs_of(needs: &[Need], private: &Private) -> String {
    let words = needs.iter().map(Need::to_string).collect::<Vec<_>>();
    let said = private.wishes.clone().unwrap_or_else(|| words.join(", "));
    if said.is_empty() { NOT_GIVEN.to_owned() } else { said }
}

fn confidential(weekend: &Weekend, at: usize) -> Confidential {
    let driver = &weekend.drivers()[at];
    Confidential {
        no: driver.id.clone(),
        name: whole(&driver.name),
        group: weekend.rota.group_of(at).map_or_else(String::new, |group| (group + 1).to_string()),
        experience: driver.experience.to_string(),
        needs: needs_of(&driver.needs, &driver.private),
        contact: given(driver.private.contact.as_ref()),
        medical: given(driver.private.medical.as_ref()),
        places: weekend.day_of(at).into_iter().map(|part| part.mark).collect(),
    }
}
