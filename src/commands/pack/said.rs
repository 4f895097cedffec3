//! What a run says of its rota, and of a change.

use crate::commands::say::Say;
use crate::pack::{Book, Kind};
use crate::rota;

/// Says what reads otherwise now and is not asked for: whoever holds it holds what is wrong.
pub(super) fn unprinted(asked: &[&Kind], anew: &[String], say: &Say) {
    let left: Vec<&str> =
        anew.iter().map(String::as_str).filter(|name| asked.iter().all(|kind| kind.name != *name)).collect();
    if !left.is_empty() {
        say.note(&format!("changed as well, and not printed now: {}", left.join(", ")));
    }
}

/// How long the rota is, how near to the shortest, and what changed.
pub(super) fn say_rota(book: &Book, say: &Say) {
    let Some(rota) = &book.rota else { return };
    if rota.visits.is_empty() {
        say.note("rota: no group can drive any slope; the fleet table says why, `check --advise` what would change it");
        return;
    }
    let standing = if !rota.given_up.is_empty() {
        "not everything can be done".to_owned()
    } else if rota.proven {
        "proven shortest".to_owned()
    } else {
        format!("at most {:.0} % above the shortest", 100.0 * rota.gap())
    };
    say.note(&format!(
        "rota: {} of {} slots used, at least {} needed, {standing}; solver's seed {}",
        rota.length(),
        rota.slots.len(),
        rota.bound.slots,
        rota.seed
    ));
    if let Some(change) = &book.change {
        say.note(&change.words(book.course));
        for (group, station) in &rota.given_up {
            let place = match station {
                rota::Station::Slope(slope) => book.course.slopes[*slope].name.full(),
                rota::Station::Demonstration(_) => "the demonstration",
                rota::Station::Theory => "the lesson",
            };
            say.note(&format!("given up: group {} does not come to {place}", group + 1));
        }
        say.note(&format!(
            "changed: {} slots of drivers, {} of staff{}",
            change.drivers.len(),
            change.people.len(),
            if change.spare_used { "; the slots kept free for weather are used" } else { "" }
        ));
    }
}
