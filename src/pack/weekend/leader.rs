//! The confidential sheet: the one context that reads what the roster keeps private.

use serde::Serialize;

use crate::course::Need;
use crate::pack::book::Book;
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

#[derive(Serialize)]
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

impl LeaderSheet {
    /// From a book with a rota. The only context that reads what the roster keeps private.
    pub(crate) fn of(book: &Book, pack: Meta) -> Option<Self> {
        let weekend = Weekend::of(book)?;
        let rows = weekend.present().into_iter().map(|at| confidential(&weekend, at)).collect();
        Some(Self {
            pack,
            leader: leader(book),
            lunch: weekend.lunch(),
            rows,
            slots: weekend.slots().iter().map(|slot| clock_text(slot.start)).collect(),
        })
    }
}

fn confidential(weekend: &Weekend, at: usize) -> Confidential {
    let driver = &weekend.drivers()[at];
    let words = driver.needs.iter().map(Need::to_string).collect::<Vec<_>>();
    let needs = driver.private.wishes.clone().unwrap_or_else(|| words.join(", "));
    let or = |text: &Option<String>| text.clone().unwrap_or_else(|| "–".to_owned());
    Confidential {
        no: driver.id.clone(),
        name: whole(&driver.name),
        group: weekend.rota.group_of(at).map_or_else(String::new, |group| (group + 1).to_string()),
        experience: driver.experience.to_string(),
        needs: if needs.is_empty() { "–".to_owned() } else { needs },
        contact: or(&driver.private.contact),
        medical: or(&driver.private.medical),
        places: weekend.day_of(at).into_iter().map(|part| part.mark).collect(),
    }
}
