//! The ledger of a day's changes: what was printed when, because of what, and what came of it. The next change
//! starts from the last one in it, never from the morning's papers.

use std::collections::BTreeSet;
use std::path::Path;

use chrono::Timelike;
use serde::{Deserialize, Serialize};

use crate::course::{Arrival, Course, walk_in};
use crate::problem::{Failure, Problem};
use crate::rota::{Missing, Rota, absent, clock_text, missing_of, stand_in};

/// The ledger's file in the folder of the change.
pub(super) const LEDGER: &str = "changes.json";
/// What it is.
pub(super) const LEDGER_TITLE: &str = "Changes of the day, in the order they were printed";

/// All changes of a day.
#[derive(Clone, Debug, Default, Serialize, Deserialize, PartialEq)]
pub(super) struct Ledger {
    /// Of the course file and roster the papers were made from.
    pub data: String,
    /// In the order they were printed.
    pub changes: Vec<Entry>,
}

/// One change.
#[derive(Clone, Debug, Serialize, Deserialize, PartialEq)]
pub(super) struct Entry {
    /// From 1.
    pub number: usize,
    /// Clock time of printing: `11:05`.
    pub printed: String,
    /// What holds from when on, minutes since midnight; 0 for the whole day.
    pub from: u16,
    /// Who and what went missing then, in the words given.
    pub without: Vec<String>,
    /// Who came or is there again, in the words given.
    #[serde(rename = "with")]
    pub came: Vec<String>,
    /// What followed; none for a change that is being made.
    pub follows: Option<Follows>,
}

/// What came of a change.
#[derive(Clone, Debug, Serialize, Deserialize, PartialEq)]
pub(super) struct Follows {
    /// Numbers of the drivers who got a new card.
    pub driver_cards: Vec<String>,
    /// Names of the staff who got one.
    pub staff_cards: Vec<String>,
    /// Documents printed again, by their names.
    pub documents: Vec<String>,
    /// The rota from then on: the next change starts from it.
    pub rota: Rota,
}

/// A day after a change: who is on the lists, and who and what of it is missing.
#[derive(Clone)]
pub(super) struct State {
    pub course: Course,
    pub missing: Missing,
    /// Who and what came with the change itself, in words.
    pub came: Vec<String>,
}

impl Ledger {
    /// The ledger of a folder; an empty one where nothing was changed yet.
    ///
    /// # Errors
    /// It cannot be read, or was begun with another course file or roster: then nobody can say what is held.
    pub(super) fn of(folder: &Path, data: &str) -> Result<Self, Failure> {
        let path = folder.join(LEDGER);
        let text = match std::fs::read_to_string(&path) {
            Ok(text) => text,
            Err(why) if why.kind() == std::io::ErrorKind::NotFound => {
                return Ok(Self { data: data.to_owned(), changes: Vec::new() });
            }
            Err(why) => return Err(Failure::files("read the changes", &path, &why)),
        };
        let ledger: Self = serde_json::from_str(&text).map_err(|why| {
            Failure::Files(format!("{} is no record of changes: {why}; move it away", path.display()))
        })?;
        if ledger.changes.iter().any(|entry| entry.follows.is_none()) {
            let words = format!("{} does not say what came of a change; move it away", path.display());
            return Err(Failure::Files(words));
        }
        if ledger.data != data && !ledger.changes.is_empty() {
            let words = format!(
                "the changes in {} were made to papers with the data mark {}, and the course file or roster now gives \
                 {data}: nobody could say which card is right. Take the file as it was, or print the whole pack \
                 again, hand it out, and take the folder of the changes away",
                folder.display(),
                ledger.data
            );
            return Err(Failure::Course(vec![Problem::new(words)]));
        }
        Ok(Self { data: data.to_owned(), ..ledger })
    }

    /// With one change more. The last one asked for again is the same change: its number and time stay.
    /// Without a time from when it holds, it holds from the same time as the change before it, so that
    /// nothing of the past is written anew.
    pub(super) fn with(
        mut self,
        without: &[String],
        came: &[String],
        from: Option<u16>,
        printed: Option<&str>,
    ) -> Self {
        let last = self.changes.last();
        let again = |entry: &&Entry| {
            entry.without == without && entry.came == came && from.is_none_or(|from| from == entry.from)
        };
        if last.is_some_and(|last| again(&last)) {
            return self;
        }
        let printed = printed.map_or_else(now, str::to_owned);
        let from = from.unwrap_or_else(|| last.map_or(0, |last| last.from));
        let number = self.changes.len() + 1;
        let (without, came) = (without.to_vec(), came.to_vec());
        self.changes.push(Entry { number, printed, from, without, came, follows: None });
        self
    }

    /// Changes are printed one after the other.
    ///
    /// # Errors
    /// The time of the last is earlier than that of the change before.
    pub(super) fn in_order(&self) -> Result<(), Failure> {
        let [.., before, last] = self.changes.as_slice() else { return Ok(()) };
        if last.printed >= before.printed {
            return Ok(());
        }
        Err(Failure::Usage(format!(
            "change {} was printed at {}; a later one cannot be printed at {}: give `--printed HH:MM`",
            before.number, before.printed, last.printed
        )))
    }

    /// The day after each change, all that went before included; the day itself first.
    ///
    /// # Errors
    /// A word stands for nothing, or for several things; somebody who comes is there already; nobody is left
    /// for first aid or in charge.
    pub(super) fn states(&self, course: &Course) -> Result<Vec<State>, Failure> {
        let mut states = vec![State { course: course.clone(), missing: absent(course), came: Vec::new() }];
        for entry in &self.changes {
            let mut state = states[states.len() - 1].clone();
            state.came = Vec::new();
            state.missing.from = entry.from;
            for words in &entry.came {
                state.comes(words, entry.from)?;
            }
            state.goes(&entry.without)?;
            state.missing.standing_in.clear();
            stand_in(&state.course, &mut state.missing)
                .map_err(|words| Failure::Course(vec![Problem::new(words)]))?;
            states.push(state);
        }
        Ok(states)
    }

    /// As text.
    pub(super) fn text(&self) -> String {
        let text = serde_json::to_string_pretty(self).expect("a ledger is plain data");
        format!("{text}\n")
    }
}

impl State {
    /// Somebody comes: a name that is missing is there again, any other is new.
    fn comes(&mut self, words: &str, from: u16) -> Result<(), Failure> {
        let name = words.split([',', ';']).next().unwrap_or(words).trim().to_owned();
        if let Ok(known) = missing_of(&self.course, std::slice::from_ref(&name)) {
            let left = self.missing.clone().but_for(&known);
            if left.counted() < self.missing.counted() {
                if known.slopes.iter().any(|at| !self.course.drives_today(*at)) {
                    return Err(Failure::Usage(format!(
                        "--with `{name}`: that slope is not driven on this day; write it into the day's `slopes` and \
                         print the pack again"
                    )));
                }
                // They were to come on another day.
                self.course.come_today(&known.drivers, &known.people);
                self.missing = left;
                if from > 0 {
                    self.missing.late.extend(known.drivers.iter().map(|at| (*at, from)));
                }
                self.came.push(format!("{name} is there again"));
                return Ok(());
            }
        }
        let arrival =
            walk_in(&mut self.course, words).map_err(|why| Failure::Usage(format!("--with {why}")))?;
        self.came.push(match arrival {
            Arrival::Driver(at) => {
                if from > 0 {
                    self.missing.late.insert(at, from);
                }
                format!("{} comes to drive", self.course.roster.drivers[at].name)
            }
            Arrival::Person(at) => format!("{} comes to serve", self.course.people[at].name),
        });
        Ok(())
    }

    fn goes(&mut self, words: &[String]) -> Result<(), Failure> {
        let gone = missing_of(&self.course, words)
            .map_err(|unclear| Failure::Usage(format!("--without {unclear}")))?;
        let from = self.missing.from;
        self.missing = Missing { from, ..self.missing.clone().and(&gone) };
        Ok(())
    }
}

/// Drivers with these numbers, by their place in the roster.
pub(super) fn drivers_of(course: &Course, numbers: &[String]) -> BTreeSet<usize> {
    let drivers = course.roster.drivers.iter().enumerate();
    drivers.filter(|(_, driver)| numbers.contains(&driver.id)).map(|(at, _)| at).collect()
}

/// Staff with these names, by their place among the people.
pub(super) fn people_of(course: &Course, names: &[String]) -> BTreeSet<usize> {
    let people = course.people.iter().enumerate();
    people.filter(|(_, one)| names.iter().any(|name| name == one.name.full())).map(|(at, _)| at).collect()
}

fn now() -> String {
    let now = chrono::Local::now();
    clock_text(u16::try_from(now.hour() * 60 + now.minute()).unwrap_or(0))
}
