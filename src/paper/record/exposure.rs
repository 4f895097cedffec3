//! How often each task was printed, over all runs whose sealed records lie in a staff's folder.

use std::collections::BTreeMap;

use super::Record;
use crate::paper::form::Exposure;

/// What earlier runs printed: forms for each task.
pub fn exposure_of(records: &[Record]) -> Exposure {
    let mut seen = Exposure::new();
    for task in records.iter().flat_map(Record::tasks).flat_map(|(_, tasks)| tasks) {
        *seen.entry(task.to_owned()).or_default() += 1;
    }
    seen
}

/// A row for each task that was ever printed: on how many forms of this run and of earlier ones, and their codes.
pub fn exposure_csv(earlier: &[Record], now: &Record) -> String {
    let others: Vec<&Record> =
        earlier.iter().filter(|record| record.digest_on_sheets() != now.digest_on_sheets()).collect();
    let mut rows: BTreeMap<&str, (Vec<&str>, Vec<&str>)> = BTreeMap::new();
    for (code, tasks) in now.tasks() {
        for task in tasks {
            rows.entry(task).or_default().0.push(code);
        }
    }
    for (code, tasks) in others.iter().flat_map(|record| record.tasks()) {
        for task in tasks {
            rows.entry(task).or_default().1.push(code);
        }
    }
    let head = ["item,forms of this run,forms before,paper codes".to_owned()];
    let row = |(task, (now, before)): (&str, (Vec<&str>, Vec<&str>))| {
        let codes: Vec<&str> = now.iter().chain(&before).copied().collect();
        format!("{task},{},{},{}", now.len(), before.len(), codes.join(" "))
    };
    head.into_iter().chain(rows.into_iter().map(row)).map(|line| line + "\r\n").collect()
}
