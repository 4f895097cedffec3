//! Said against seen: after the day, each run beside what the pack said of it, and what the figures have become.

mod doubts;
mod told;

use serde::Serialize;

use crate::course::{MeasuredRun, Seen};
use crate::earned::{Ask, Next, Standing, account, next, said};
use crate::engine::Spread;
use crate::pack::book::Book;
use crate::page::meta::Meta;
use doubts::{kept, odd, over_the_limit};
use told::{figures, shown};

/// Most runs that are listed: the latest.
const MOST: usize = 24;

/// The page.
#[derive(Serialize)]
pub(crate) struct SaidSeen {
    pack: Meta,
    /// How many runs fell inside what was said, how many fell outside, and how many are not used, in words.
    verdict: String,
    /// Why no verdict hangs on some of it: figures kept back, with the runs to blame.
    kept: Vec<String>,
    /// Runs that were faster than a learner may be: not to be repeated by anybody but the crew.
    over: Option<String>,
    rows: Vec<Row>,
    drawn: Vec<Drawn>,
    alt: String,
    odd: Vec<Odd>,
    figures: Vec<Figure>,
    next: Option<String>,
    more: Option<String>,
}

#[derive(Serialize)]
struct Row {
    number: String,
    date: String,
    who: String,
    what: String,
    said: String,
    seen: String,
    now: String,
    stands: &'static str,
}

/// A run as shares of the range that was said of it.
#[derive(Serialize)]
struct Drawn {
    label: String,
    low: f64,
    high: f64,
    seen: f64,
    half: f64,
    counts: bool,
}

/// A run that does not fit.
#[derive(Serialize)]
struct Odd {
    number: String,
    why: String,
    check: String,
}

/// A figure that runs have narrowed.
#[derive(Serialize)]
pub(super) struct Figure {
    what: String,
    was: String,
    now: String,
    from: String,
}

/// A run with what was said of it, and is said now.
struct Compared<'a> {
    run: &'a MeasuredRun,
    standing: &'a Standing,
    said: Spread,
    now: Spread,
    half: f64,
}

impl Compared<'_> {
    /// Whether what was seen lies in what was said, as sure as it is.
    fn inside(&self) -> bool {
        let seen = self.run.seen.value();
        seen + self.half >= self.said.low && seen - self.half <= self.said.high
    }
}

impl SaidSeen {
    /// From the book; none of a course without runs.
    pub(crate) fn of(book: &Book, pack: Meta) -> Option<Self> {
        let runs = &book.course.runs.list;
        if runs.is_empty() {
            return None;
        }
        let told = account(book.course);
        let before = book.course.before_runs();
        let all: Vec<Compared> = runs
            .iter()
            .zip(&told.standings)
            .map(|(run, standing)| Compared {
                run,
                standing,
                said: said(&before, run),
                now: said(&told.course, run),
                half: half(run),
            })
            .collect();
        let latest = &all[all.len().saturating_sub(MOST)..];
        Some(Self {
            pack,
            verdict: verdict(&all),
            kept: kept(book),
            over: over_the_limit(book, runs),
            rows: latest.iter().map(|one| row(book, one)).collect(),
            drawn: latest.iter().map(|one| drawn(book, one)).collect(),
            alt: alt(book, latest),
            odd: odd(book, &told),
            figures: figures(book, &before, &told),
            next: next(&told.course).map(|next| asked(book, &next)),
            more: (all.len() > MOST)
                .then(|| format!("Listed are the last {MOST} runs; all {} count.", all.len())),
        })
    }
}

/// How the runs lie to what was said of them.
fn verdict(all: &[Compared]) -> String {
    let used: Vec<&Compared> = all.iter().filter(|one| one.standing.counts()).collect();
    let inside = used.iter().filter(|one| one.inside()).count();
    let mut parts = vec![format!("{inside} of {} runs fell inside what was said", all.len())];
    if used.len() > inside {
        parts.push(format!("{} outside, and used", used.len() - inside));
    }
    if all.len() > used.len() {
        parts.push(format!("{} not used", all.len() - used.len()));
    }
    parts.join("; ")
}

/// How far off a reading is at most in 19 of 20 cases, SI of what was read.
fn half(run: &MeasuredRun) -> f64 {
    let reading = match &run.seen {
        Seen::Slid { speed, length, .. } | Seen::Coasted { speed, length, .. } => {
            let speed_off = run.sure.unwrap_or_else(|| 2.0 * run.meter.own_at(speed.si()));
            return 2.0 * speed_off / speed.si() * length.si();
        }
        seen => seen.value(),
    };
    run.sure.unwrap_or_else(|| 2.0 * run.meter.own_at(reading))
}

fn row(book: &Book, one: &Compared) -> Row {
    let (low, high) = (one.said.low, one.said.high);
    Row {
        number: one.run.number.to_string(),
        date: one.run.date.to_string(),
        who: who(book, one.run),
        what: what(one.run).to_owned(),
        said: shown(book, one.run, low, high),
        seen: shown(book, one.run, one.run.seen.value(), one.run.seen.value()),
        now: shown(book, one.run, one.now.low, one.now.high),
        stands: match one.standing {
            Standing::Used | Standing::Bound if one.inside() => "inside",
            Standing::Used | Standing::Bound => "outside",
            _ => "not used",
        },
    }
}

/// Vehicle, gear and slope by their marks.
fn who(book: &Book, run: &MeasuredRun) -> String {
    let mut all = vec![book.vehicle_mark(&run.vehicle)];
    all.extend(run.seen.gear().map(|gear| gear.to_string()));
    if let Some(ground) = run.seen.ground() {
        all.push(match &ground.slope {
            Some(slope) => format!("on {}", book.slope_mark(slope)),
            None => "on the level".to_owned(),
        });
    }
    all.join(" ")
}

fn what(run: &MeasuredRun) -> &'static str {
    match run.seen {
        Seen::Timed { .. } => "peg to peg",
        Seen::Spun { .. } => "engine at the foot",
        Seen::Slid { .. } => "locked slide",
        Seen::Coasted { .. } => "rolled out",
        Seen::Pulled { .. } => "pull in neutral",
        Seen::Rolled { .. } => "wheel rolled",
        Seen::Heated { .. } => "brake, read hot",
    }
}

fn drawn(book: &Book, one: &Compared) -> Drawn {
    // A range without width is drawn with a little.
    let wide = (one.said.high - one.said.low).max(0.02 * one.said.likely.abs()).max(1e-9);
    let share = |value: f64| (1000.0 * (value - one.said.low) / wide).round() / 1000.0;
    Drawn {
        label: format!("{}  {}", one.run.number, who(book, one.run)),
        low: share(one.now.low).clamp(-0.9, 1.9),
        high: share(one.now.high).clamp(-0.9, 1.9),
        seen: share(one.run.seen.value()).clamp(-9.0, 9.0),
        half: (1000.0 * one.half / wide).round().min(2000.0) / 1000.0,
        counts: one.standing.counts(),
    }
}

fn alt(book: &Book, all: &[Compared]) -> String {
    let one = |one: &Compared| {
        format!(
            "run {}: said {}, seen {}",
            one.run.number,
            shown(book, one.run, one.said.low, one.said.high),
            shown(book, one.run, one.run.seen.value(), one.run.seen.value()),
        )
    };
    let all: Vec<String> = all.iter().map(one).collect();
    format!("What was said of each run and what was seen. {}.", all.join("; "))
}

fn asked(book: &Book, next: &Next) -> String {
    let mark = book.vehicle_mark(&next.vehicle);
    let ground = |id: &str| book.course.surface(id).map_or_else(String::new, |one| one.name.short());
    let (what, hangs) = match &next.measure {
        Ask::Time { slope, gear } => {
            let name = book.course.slopes.iter().find(|one| one.id == *slope);
            let name = name.map_or_else(String::new, |slope| slope.name.short());
            (
                format!("time {mark} in {gear} on {} {name}, over its lower half", book.slope_mark(slope)),
                "the drag of its engine".to_owned(),
            )
        }
        Ask::Slide(surface) => (
            format!(
                "how far {mark} slides from {} with all wheels locked on level ground of {}; the crew alone, nobody ahead, \
                 three times",
                book.show.speed(20.0 / 3.6, false).trimmed().text(),
                ground(surface),
            ),
            "how a locked wheel holds there".to_owned(),
        ),
        Ask::Coast(surface) => (
            format!(
                "how far {mark} rolls out in neutral from {} on level ground of {}, three times each way",
                book.show.speed(15.0 / 3.6, false).trimmed().text(),
                ground(surface),
            ),
            "how hard that ground is to roll on".to_owned(),
        ),
    };
    format!(
        "{what}. On {hangs} hangs in which gear it goes, or whether: {}. This run leaves about {:.0} % of the doubt in it.",
        on_slopes(book, &next.decides),
        100.0 * next.leaves,
    )
}

/// Which vehicles on which slopes: `A and B on S3, C on S4`.
fn on_slopes(book: &Book, pairs: &[(String, String)]) -> String {
    let mut slopes: Vec<(String, Vec<String>)> = Vec::new();
    for (slope, vehicle) in pairs {
        let (slope, vehicle) = (book.slope_mark(slope), book.vehicle_mark(vehicle));
        match slopes.iter_mut().find(|(mark, _)| *mark == slope) {
            Some((_, vehicles)) => vehicles.push(vehicle),
            None => slopes.push((slope, vec![vehicle])),
        }
    }
    let of = |(slope, vehicles): &(String, Vec<String>)| format!("{} on {slope}", vehicles.join(" and "));
    slopes.iter().map(of).collect::<Vec<_>>().join(", ")
}
