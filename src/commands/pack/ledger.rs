//! The ledger of a day's changes: what was printed when, and because of what. The next change starts from the
//! last one in it, never from the morning's papers.

use std::path::Path;

use chrono::Timelike;
use serde::{Deserialize, Serialize};

use crate::course::Course;
use crate::problem::{Failure, Problem};
use crate::rota::{Missing, clock_text, missing_of, stand_in};

/// The ledger's file in the folder of the change.
pub(super) const LEDGER: &str = "changes.json";
/// What it is.
pub(super) const LEDGER_TITLE: &str = "Changes of the day, in the order they were printed";

/// All changes of a day.
#[derive(Clone, Debug, Default, Serialize, Deserialize, PartialEq, Eq)]
pub(super) struct Ledger {
    /// Of the course file and roster the papers were made from.
    pub data: String,
    /// In the order they were printed.
    pub changes: Vec<Entry>,
}

/// One change.
#[derive(Clone, Debug, Serialize, Deserialize, PartialEq, Eq)]
pub(super) struct Entry {
    /// From 1.
    pub number: usize,
    /// Clock time of printing: `11:05`.
    pub printed: String,
    /// What holds from when on, minutes since midnight; 0 for the whole day.
    pub from: u16,
    /// Who and what went missing then, in the words given.
    pub without: Vec<String>,
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
    ///
    /// # Errors
    /// The time is earlier than that of the change before.
    pub(super) fn with(
        mut self,
        without: &[String],
        from: u16,
        printed: Option<&str>,
    ) -> Result<Self, Failure> {
        let again = |entry: &Entry| entry.without == without && entry.from == from;
        if self.changes.last().is_some_and(again) {
            return Ok(self);
        }
        let printed = printed.map_or_else(now, str::to_owned);
        if let Some(last) = self.changes.last().filter(|last| last.printed > printed) {
            return Err(Failure::Usage(format!(
                "change {} was printed at {}; a later one cannot be printed at {printed}: give `--printed HH:MM`",
                last.number, last.printed
            )));
        }
        let number = self.changes.len() + 1;
        self.changes.push(Entry { number, printed, from, without: without.to_vec() });
        Ok(self)
    }

    /// What is missing after each change, all that went before included.
    ///
    /// # Errors
    /// A word stands for nothing, or for several things.
    pub(super) fn missing(&self, course: &Course) -> Result<Vec<Missing>, Failure> {
        let mut so_far = Missing::default();
        let mut all = Vec::new();
        for entry in &self.changes {
            let now = missing_of(course, &entry.without)
                .map_err(|unclear| Failure::Usage(format!("--without {unclear}")))?;
            so_far = Missing { from: entry.from, ..so_far.and(&now) };
            stand_in(course, &mut so_far).map_err(|words| Failure::Course(vec![Problem::new(words)]))?;
            all.push(so_far.clone());
        }
        Ok(all)
    }

    /// As text.
    pub(super) fn text(&self) -> String {
        let text = serde_json::to_string_pretty(self).expect("a ledger is plain data");
        format!("{text}\n")
    }
}

fn now() -> String {
    let now = chrono::Local::now();
    clock_text(u16::try_from(now.hour() * 60 + now.minute()).unwrap_or(0))
}
