//! A change on the day: from what was printed last to what is printed now.

use std::path::Path;
use std::time::Duration;

use super::carried::{Came, later_words};
use super::channels;
use super::known::Known;
use super::ledger::{Entry, Follows, Ledger, State, drivers_of, people_of};
use crate::cli::PackArgs;
use crate::commands::rotated::refused;
use crate::course::{Course, Loaded};
use crate::pack::{Book, KINDS, Kind};
use crate::page::Gallery;
use crate::print::Templates;
use crate::problem::{Failure, Problem};
use crate::rota::{self, Missing, Patience, Rota};

/// The changes of a day, the one asked for as the last.
pub(super) struct Changing {
    ledger: Ledger,
    /// The day itself, then after each change.
    states: Vec<State>,
}

impl Changing {
    /// What is asked for, after what the folder of the changes holds; none when no change is asked for, or none of the
    /// day before concerns this one.
    ///
    /// # Errors
    /// A word is not understood; the record of changes cannot be read or is of other papers; nothing is left to
    /// drive.
    pub(super) fn of(
        args: &PackArgs,
        loaded: &Loaded,
        (into, mark): (&Path, &str),
        earlier: Option<&Came>,
    ) -> Result<Option<Self>, Failure> {
        let follows = !args.changes();
        if follows && earlier.is_none() {
            return alone(args).map(|()| None);
        }
        if !rota::rotates(&loaded.course) {
            return Err(Failure::Usage(
                "--without, --with, --channel and --surface change a rota, and the course has no `rota` or nobody in it; \
                 without one write the change into the course and print the pack again"
                    .to_owned(),
            ));
        }
        let ledger = Ledger::of(into, mark)?;
        let held = ledger.states(&loaded.course)?;
        let carried = earlier.and_then(|came| came.not_yet_in(&ledger, held.last()?));
        if follows && carried.is_none() {
            return Ok(None);
        }
        let mut ledger = ledger.with(args, carried);
        let mut states = ledger.states(&loaded.course)?;
        if let (Some(came), Some(entry), Some(state)) =
            (earlier, ledger.changes.last_mut(), states.last_mut())
            && entry.follows.is_none()
        {
            let before = came.brings(&state.course);
            state.course.comes_after(before.clone());
            entry.before = Some(before);
        }
        ledger.in_order(&loaded.course)?;
        if !follows && nothing_new(args, &states) {
            let why = "nothing changes by that: whoever or whatever is named is missing already; what hangs still holds";
            return Err(Failure::Usage(why.to_owned()));
        }
        let changing = Self { ledger, states };
        if changing.state().missing.slopes.len() == changing.course().slopes.len() {
            return Err(Failure::Course(vec![Problem::new(
                "every slope is closed, so nobody drives and there is no rota to print; call the day off, or leave \
                 a slope open",
            )]));
        }
        Ok(Some(changing))
    }

    fn state(&self) -> &State {
        self.states.last().expect("the day itself is always there")
    }

    /// The course as it is now, with whoever turned up.
    pub(super) fn course(&self) -> &Course {
        &self.state().course
    }

    /// Whether it only takes over what changed on the day before.
    pub(super) fn only_follows(&self) -> bool {
        let asks = |last: &Entry| {
            [&last.without, &last.came, &last.channels, &last.surfaces].iter().any(|words| !words.is_empty())
        };
        self.ledger.changes.last().is_some_and(|last| !asks(last))
    }

    /// Clock time of printing.
    pub(super) fn printed(&self) -> Option<String> {
        self.ledger.changes.last().map(|last| last.printed.clone())
    }

    /// The words for all who came and for channels, a line each.
    pub(super) fn came(&self) -> String {
        let carried = self.ledger.changes.iter().filter_map(|entry| entry.carried.as_ref());
        let carried = carried.flat_map(|carried| &carried.came);
        let came = self.ledger.changes.iter().flat_map(|entry| entry.came.iter().chain(&entry.channels));
        carried.chain(came).cloned().collect::<Vec<_>>().join("\n")
    }

    /// Changes the rota of a book from what was printed last, and gives the documents that read otherwise now,
    /// of those asked for, with what the record says of the change.
    ///
    /// # Errors
    /// No rota fits; a template does not take what it is given.
    pub(super) fn rotate(
        &self,
        book: &mut Book,
        (gallery, templates): (&Gallery, &Templates),
        (kinds, known): (&[&'static Kind], &Known),
        patience: Patience,
    ) -> Result<(Vec<&'static Kind>, Follows), Failure> {
        let [.., old, new] = self.states.as_slice() else { unreachable!("a change follows something") };
        let (now, earlier) = self.ledger.changes.split_last().expect("a change is asked for");
        let mut before = book.before(&old.course, gallery);
        before.others.clone_from(&book.others);
        let number = old.course.day_number();
        if let Some(follows) = earlier.last().and_then(|entry| entry.follows.as_ref()) {
            before.goes_by(follows.rota.clone(), old.missing.clone());
        } else if let Some((_, planned)) = book.others.iter().find(|(day, _)| day.day_number() == number) {
            before.goes_by(planned.clone(), old.missing.clone());
        } else {
            known.rotas().into_iter().for_each(|rotas| before.made_before(rotas));
            before.made().map_err(|why| refused(&why))?;
        }
        room_for_those_who_share(&new.course, before.rota.as_ref(), old.course.roster.drivers.len())?;
        let made = now.follows.as_ref().map(|follows| follows.rota.clone());
        let mut change =
            book.replanned(&before, &new.missing, made, patience).map_err(|why| refused(&why))?;
        change.came.clone_from(&new.came);
        channels::mark(&mut change, &old.course, &new.course, &new.missing);
        change.later = later_words(now, &change, new, &book.others);
        change.called = book.called_otherwise(&before);
        change.drivers.extend(book.geared_otherwise(&before));
        let mut anew = book.cards_anew(&before);
        for kind in KINDS.iter().filter(|kind| kind.changes()) {
            if kind.is_of_a_change() || kind.differs(&before, book, templates)? {
                anew.documents.push(kind.name);
            }
        }
        for entry in earlier {
            let Some(follows) = &entry.follows else { continue };
            let drivers = drivers_of(&new.course, &follows.driver_cards);
            book.holds(entry.number, &drivers, &people_of(&new.course, &follows.staff_cards));
        }
        let course = &new.course;
        let follows = Follows {
            driver_cards: anew.drivers.iter().map(|at| course.roster.drivers[*at].id.clone()).collect(),
            staff_cards: anew.people.iter().map(|at| course.people[*at].name.full().to_owned()).collect(),
            documents: anew.documents.iter().map(|name| (*name).to_owned()).collect(),
            rota: change.rota.clone(),
        };
        let printed = kinds.iter().copied().filter(|kind| anew.documents.contains(&kind.name)).collect();
        book.shows(change, anew, now.number);
        Ok((printed, follows))
    }

    /// The record with what came of the change.
    pub(super) fn record(&self, follows: Follows) -> String {
        let mut ledger = self.ledger.clone();
        if let Some(last) = ledger.changes.last_mut() {
            last.follows = Some(follows);
        }
        ledger.text()
    }
}

/// Whether a change names only what is missing already.
fn nothing_new(args: &PackArgs, states: &[State]) -> bool {
    let [.., old, new] = states else { return false };
    let from = old.missing.from;
    let same = Missing { from, ..new.missing.clone() } == old.missing;
    let more = [&args.came, &args.channel, &args.surface].iter().any(|words| !words.is_empty());
    same && !more && !args.without.is_empty()
}

/// What goes with a change alone.
fn alone(args: &PackArgs) -> Result<(), Failure> {
    let alone = [
        ("--from", args.from.is_some()),
        ("--seconds", args.seconds.is_some()),
        ("--day", args.day.is_some()),
        ("--one-day", args.one_day),
    ];
    match alone.iter().find(|(_, said)| *said) {
        Some((option, _)) => {
            Err(Failure::Usage(format!("{option} goes with --without, --with, --channel or --surface")))
        }
        None => Ok(()),
    }
}

/// Whoever drives somebody's car goes with that group, which must not be full.
fn room_for_those_who_share(course: &Course, rota: Option<&Rota>, known: usize) -> Result<(), Failure> {
    let (Some(rules), Some(rota)) = (&course.rota, rota) else { return Ok(()) };
    let (old, new) = course.roster.drivers.split_at(known);
    for one in new {
        let Some(other) = old.iter().position(|other| other.vehicle == one.vehicle) else { continue };
        let Some(group) = rota.group_of(other) else { continue };
        if rota.groups[group].len() >= usize::from(rules.group_size.number) {
            return Err(Failure::Usage(format!(
                "--with `{}`: group {} of {} has {} drivers, and no more may be in a group. Let {} drive with somebody \
                 of a smaller group, in a car of their own, or come as a passenger",
                one.name,
                group + 1,
                old[other].name,
                rota.groups[group].len(),
                one.name
            )));
        }
    }
    Ok(())
}

/// How long the new rota may be looked for, and who hears of it.
pub(super) fn patience<'a>(args: &PackArgs, tell: &'a dyn Fn(&str)) -> Patience<'a> {
    Patience { time: args.seconds.map(Duration::from_secs), tell }
}
