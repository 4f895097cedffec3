//! The ledger of a day's changes: what was printed when, because of what, and what came of it. The next change
//! starts from the last one in it, never from the morning's papers.

use std::collections::BTreeSet;
use std::path::Path;

use chrono::Timelike;
use serde::{Deserialize, Serialize};

use super::channels::talks;
use super::surfaces::lies;
use crate::cli::PackArgs;
use crate::course::{Arrival, Before, Clock, Course, walk_in};
use crate::pack::Kind;
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
    /// Which slopes talk on another channel then, in the words given.
    #[serde(default, rename = "channel", skip_serializing_if = "Vec::is_empty")]
    pub channels: Vec<String>,
    /// Which slopes lie otherwise then, in the words given.
    #[serde(default, rename = "surface", skip_serializing_if = "Vec::is_empty")]
    pub surfaces: Vec<String>,
    /// Whether who went missing is missing on this of several days alone.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub one_day: bool,
    /// What it takes over from the changes of the day before.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub carried: Option<Carried>,
    /// What drivers had on the days before, as it was known then.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub before: Option<Before>,
    /// What followed; none for a change that is being made.
    pub follows: Option<Follows>,
}

/// What a change takes over from the changes of the day before.
#[derive(Clone, Debug, Serialize, Deserialize, PartialEq)]
pub(super) struct Carried {
    /// That day, from 1.
    pub day: usize,
    /// The last change of it that is taken over.
    pub change: usize,
    /// Who and what stays missing, in words that stand for one thing alone.
    pub without: Vec<String>,
    /// Who comes, or is there again, in the words given.
    #[serde(rename = "with")]
    pub came: Vec<String>,
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

impl Follows {
    /// Whether anything that somebody holds reads otherwise.
    pub(super) fn changes_anything(&self) -> bool {
        let held = |name: &String| Kind::named(name).is_none_or(|kind| !kind.is_of_a_change());
        self.documents.iter().any(held)
    }
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
    /// Without a time from when it holds, after a change that had one, it holds from when it is printed, so that
    /// nothing of the past is written anew. What is taken over from the day before holds for the whole day: the clock it
    /// was printed by was that day's.
    pub(super) fn with(mut self, args: &PackArgs, carried: Option<Carried>) -> Self {
        let last = self.changes.last();
        let again = |entry: &&Entry| {
            entry.without == args.without
                && entry.came == args.came
                && entry.channels == args.channel
                && entry.surfaces == args.surface
                && args.from.is_none_or(|from| from == entry.from)
        };
        if carried.is_none() && last.is_some_and(|last| again(&last)) {
            return self;
        }
        let printed = args.printed.clone().unwrap_or_else(now);
        let whole_day = carried.is_some();
        let under_way = last.map(|last| last.from).filter(|from| *from > 0 && !whole_day);
        let from = args.from.or_else(|| {
            let at: Option<u16> = printed.parse::<Clock>().ok().map(Clock::minutes);
            under_way.map(|earlier| earlier.max(at.unwrap_or(0)))
        });
        self.changes.push(Entry {
            number: self.changes.len() + 1,
            printed,
            from: from.unwrap_or(0),
            without: args.without.clone(),
            came: args.came.clone(),
            channels: args.channel.clone(),
            surfaces: args.surface.clone(),
            one_day: args.one_day,
            carried,
            before: None,
            follows: None,
        });
        self
    }

    /// Changes are printed one after the other; of several days some are printed on the evening before.
    ///
    /// # Errors
    /// The time of the last is earlier than that of the change before.
    pub(super) fn in_order(&self, course: &Course) -> Result<(), Failure> {
        let [.., before, last] = self.changes.as_slice() else { return Ok(()) };
        if last.printed >= before.printed || course.days_held() > 1 {
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
            if let Some(carried) = &entry.carried {
                state.changes(&carried.came, &carried.without, entry.from)?;
                state.came.push(format!(
                    "Day {}, change {}: taken over for all of today, of which nothing counts as over; as near to the \
                     sheets before as can be",
                    carried.day, carried.change
                ));
            }
            state.changes(&entry.came, &entry.without, entry.from)?;
            for words in &entry.channels {
                let said = talks(&mut state.course, words)?;
                state.came.push(said);
            }
            for words in &entry.surfaces {
                let said = lies(&mut state.course, words)?;
                state.came.push(said);
            }
            if let Some(before) = &entry.before {
                state.course.comes_after(before.clone());
            }
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
    /// Who comes, then who goes.
    fn changes(&mut self, came: &[String], without: &[String], from: u16) -> Result<(), Failure> {
        for words in came {
            self.comes(words, from)?;
        }
        self.goes(without)
    }

    /// What a word stands for on this day; none for nothing.
    pub(super) fn stands_for(&self, word: &str) -> Option<Missing> {
        missing_of(&self.course, &[word.to_owned()]).ok()
    }

    /// Words for those who turned up since an earlier state and come on all days.
    pub(super) fn new_for_all_days(&self, earlier: &Self, entry: &Entry) -> Vec<String> {
        let known = (earlier.course.roster.drivers.len(), earlier.course.people.len());
        let drivers = self.course.roster.drivers[known.0..].iter().map(|one| (&one.name, &one.comes));
        let people = self.course.people[known.1..].iter().map(|one| (&one.name, &one.comes));
        let on_all = drivers.chain(people).filter(|(_, comes)| comes.days.is_empty());
        let names: Vec<&str> = on_all.map(|(name, _)| name.full()).collect();
        let carried = entry.carried.iter().flat_map(|carried| &carried.came);
        let all = carried.chain(&entry.came);
        all.filter(|words| names.contains(&name_in(words))).cloned().collect()
    }

    /// Somebody comes: a name that is missing is there again, any other is new.
    fn comes(&mut self, words: &str, from: u16) -> Result<(), Failure> {
        let name = name_in(words).to_owned();
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
                let bare = name.split_once(':').map_or(name.as_str(), |(_, bare)| bare.trim());
                self.came.push(format!("{bare} is there again"));
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

/// The name in words for somebody who turns up.
pub(super) fn name_in(words: &str) -> &str {
    words.split([',', ';']).next().unwrap_or(words).trim()
}

fn now() -> String {
    let now = chrono::Local::now();
    clock_text(u16::try_from(now.hour() * 60 + now.minute()).unwrap_or(0))
}
