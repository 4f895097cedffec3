//! Snatches in the recovery plan: a table where one may be done, else one line with the reason.

use serde::Serialize;

use crate::pack::book::Book;
use crate::pack::recovery::words;
use crate::page::figure::Fig;
use crate::recovery::Recovery;
use crate::recovery::kinetic::Snatch;
use crate::recovery::pull::Direction;

/// One rope, on the slope and vehicle where it is nearest to being allowed.
#[derive(Serialize)]
pub(crate) struct SnatchRow {
    rope: String,
    slope: String,
    vehicle: String,
    peaks: Vec<PeakRow>,
    weakest: Option<String>,
    why: Vec<String>,
}

#[derive(Serialize)]
struct PeakRow {
    speed: Fig,
    headline: Fig,
    upper: Fig,
    likely: Fig,
    within: bool,
}

impl SnatchRow {
    /// Whether it may be done somewhere, as the last resort.
    pub(crate) fn allowed(&self) -> bool {
        self.why.is_empty()
    }
}

/// One row a rope.
pub(crate) fn snatch_rows(book: &Book) -> Vec<SnatchRow> {
    let all = || {
        let told = &book.recoveries().all;
        told.iter().flat_map(|recovery| recovery.snatch.iter().map(move |snatch| (recovery, snatch)))
    };
    let mut ropes: Vec<&str> = Vec::new();
    for (_, snatch) in all() {
        if !ropes.contains(&snatch.rope.as_str()) {
            ropes.push(&snatch.rope);
        }
    }
    ropes
        .into_iter()
        .filter_map(|rope| {
            all().filter(|(_, snatch)| snatch.rope == rope).min_by_key(|(_, snatch)| snatch.not_allowed.len())
        })
        .map(|(recovery, snatch)| row(book, recovery, snatch))
        .collect()
}

fn row(book: &Book, recovery: &Recovery, snatch: &Snatch) -> SnatchRow {
    let show = book.show;
    let level =
        if recovery.pull.direction == Direction::Level { ", on the level of its run-out" } else { "" };
    let marks = [&recovery.vehicle, &snatch.tug].map(|id| book.vehicle_mark(id));
    let peaks = snatch.peaks.iter().map(|peak| PeakRow {
        speed: show.limit(peak.speed),
        headline: words::about(peak.headline, show),
        upper: words::about(peak.upper, show),
        likely: words::about(peak.likely, show),
        within: peak.within,
    });
    SnatchRow {
        rope: snatch.rope_name.clone(),
        slope: format!("{}{level}", book.slope_mark(&recovery.slope)),
        vehicle: format!("{} pulled by {}", marks[0], marks[1]),
        peaks: peaks.collect(),
        weakest: snatch
            .weakest
            .as_ref()
            .map(|part| format!("{}, {}", part.name, show.force(part.rating, false).text())),
        why: snatch.not_allowed.iter().map(|why| words::not_allowed(why, show)).collect(),
    }
}
