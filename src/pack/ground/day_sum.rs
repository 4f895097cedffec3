//! The day's sum on paper: who is on which slope when, what that takes, what does not fit and what to cut.

use serde::Serialize;

use crate::course::Slope;
use crate::lesson::Example;
use crate::pack::book::Book;
use crate::page::words::steps_in_a_row;
use crate::rota::{CHANGEOVER, LeftOut, SessionSum, Station, WALK, day_sum, minutes_needed};

/// The day's sum.
#[derive(Debug, Serialize)]
pub(crate) struct DaySum {
    /// The slopes of a rota.
    pub slopes: Vec<SumSlope>,
    /// What does not fit, and what to cut.
    pub cuts: Vec<String>,
    /// How it is reckoned.
    pub rule: String,
    /// The first turn worked with its numbers: the slope, the steps.
    pub worked: Option<(String, String)>,
}

/// A slope of a rota.
#[derive(Debug, Serialize)]
pub(crate) struct SumSlope {
    mark: String,
    name: String,
    groups: String,
    runs: String,
    minutes: String,
    slot: String,
}

impl DaySum {
    /// From the book; none where no session and no rota says which slopes are driven.
    pub(crate) fn of(book: &Book) -> Option<Self> {
        let sums = day_sum(book.course, &book.reckoning);
        let slopes = of_rota(book);
        if sums.is_empty() && slopes.is_empty() {
            return None;
        }
        let first = sums.iter().find_map(|sum| sum.turns.first());
        let worked = first
            .and_then(|turn| book.example(Example::DaySum, Some(&book.course.slopes[turn.slope].id), None));
        Some(Self {
            rule: rule(book, &sums),
            worked: first
                .zip(worked)
                .map(|(turn, worked)| (book.course.slopes[turn.slope].name.short(), steps_in_a_row(worked))),
            cuts: cuts(book, &sums),
            slopes,
        })
    }
}

/// Marks of the slopes driven in a session, in turn.
pub(crate) fn driven_in(book: &Book, session: usize) -> String {
    let sums = day_sum(book.course, &book.reckoning);
    let turns = sums.iter().filter(|sum| sum.session == session).flat_map(|sum| &sum.turns);
    let mut marks: Vec<String> = Vec::new();
    for mark in turns.map(|turn| book.slope_mark(&book.course.slopes[turn.slope].id)) {
        if !marks.contains(&mark) {
            marks.push(mark);
        }
    }
    marks.join(", ")
}

/// What does not fit, from the book alone.
pub(crate) fn does_not_fit(book: &Book) -> Vec<String> {
    cuts(book, &day_sum(book.course, &book.reckoning))
}

/// The slopes of a rota: what the slowest group needs, beside the slot it has.
fn of_rota(book: &Book) -> Vec<SumSlope> {
    let Some(rota) = &book.rota else { return Vec::new() };
    let course = book.course;
    let slot = rota.slots.first().map_or(0, |slot| slot.end - slot.start);
    let here = |at: usize| rota.visits.iter().filter(move |visit| visit.station == Station::Slope(at));
    let vehicle =
        |driver: &usize| course.vehicles.iter().find(|one| one.id == course.roster.drivers[*driver].vehicle);
    let needs = |at: usize| {
        let of_visit = |driving: &[usize]| {
            let vehicles: Vec<_> = driving.iter().filter_map(vehicle).collect();
            minutes_needed(course, &book.reckoning, at, &vehicles)
        };
        here(at).map(|visit| of_visit(&visit.driving)).max().unwrap_or(0)
    };
    (0..course.slopes.len())
        .filter(|at| here(*at).next().is_some())
        .map(|at| SumSlope {
            mark: book.slope_mark(&course.slopes[at].id),
            name: course.slopes[at].name.short(),
            groups: here(at).count().to_string(),
            runs: (here(at).map(|visit| visit.driving.len()).sum::<usize>() * usize::from(course.day.runs))
                .to_string(),
            minutes: needs(at).to_string(),
            slot: slot.to_string(),
        })
        .collect()
}

fn rule(book: &Book, sums: &[SessionSum]) -> String {
    let turn = format!("{:.0} s", book.course.turn_round().si());
    let step = if book.course.slopes.iter().any(Slope::has_step) { ", a minute more at a step" } else { "" };
    if sums.is_empty() {
        return format!(
            "One vehicle on a slope at a time, the slow end of its time and {turn} until the next may start{step}: the slowest group of the rota must be through in a slot."
        );
    }
    format!(
        "One vehicle on a slope at a time: the slow end of its time in the gear on its card, {turn} until the next may start{step}, and {:.0} min from a vehicle’s run to its own next; {CHANGEOVER} min from slope to slope. Nobody has two posts at a time. Who teaches stands at the brow; beside a learner on the first run of the course or where the course asks for it, or a driver near a limit, somebody else does, and the next waits until they have walked back up, at {}. One at a time, the changeover, the posts: common practice, no source.",
        book.course.day.run_gap.si() / 60.0,
        book.show.speed(WALK, false).text()
    )
}

/// A sentence for each session that cannot have what it asks for.
fn cuts(book: &Book, sums: &[SessionSum]) -> Vec<String> {
    let name = |slope: usize| {
        let slope = &book.course.slopes[slope];
        format!("{} {}", book.slope_mark(&slope.id), slope.name)
    };
    let mut said = Vec::new();
    for sum in sums {
        let title = &book.course.day.sessions[sum.session].title;
        if !sum.fits() {
            let planned = match sum.runs {
                0 => "Nothing is driven in it as it stands".to_owned(),
                1 => "Planned: 1 run each".to_owned(),
                runs => format!("Planned: {runs} runs each"),
            };
            said.push(format!(
                "“{title}” has {} min for driving; {} of every vehicle on its slopes need {}. {planned}. To have all: {} min more, fewer slopes or fewer vehicles.",
                sum.has,
                if sum.wanted == 1 { "1 run".to_owned() } else { format!("{} runs", sum.wanted) },
                sum.needs,
                sum.needs.saturating_sub(sum.has)
            ));
        }
        for (slope, why) in &sum.left_out {
            let why = match why {
                LeftOut::NobodyDrives => "no vehicle may go down it today",
                LeftOut::NoCrew => {
                    "nobody who may teach and nobody who may watch there are free of a wheel at the same time: find one more watcher, or one more instructor"
                }
                LeftOut::Unmeasured => {
                    "it is not measured. Measure it two days before the course and print anew, or it is off; the minutes go to what stands in the day"
                }
                LeftOut::NoTime => "there is no time for it: cut it, or drive it in another session",
            };
            said.push(format!("{} is left out of “{title}”: {why}.", name(*slope)));
        }
        for (slope, vehicles) in &sum.struck {
            let marks: Vec<String> =
                vehicles.iter().map(|at| book.vehicle_mark(&book.course.vehicles[*at].id)).collect();
            said.push(format!(
                "{} does not run on {} in “{title}”: near a limit it needs one beside the driver, one at the brow, one at the foot; find one more of the staff.",
                marks.join(", "),
                name(*slope)
            ));
        }
    }
    said
}
