//! Said against seen: after the day, each run beside what the pack said of it, and what the figures have become.

mod told;

use serde::Serialize;

use crate::course::{Course, MeasuredRun, Seen};
use crate::earned::{Account, Fits, Standing, account, next, said};
use crate::engine::Spread;
use crate::pack::book::Book;
use crate::page::meta::Meta;
use told::{figures, shown};

/// Most runs that are listed: the latest.
const MOST: usize = 24;

/// The page.
#[derive(Serialize)]
pub(crate) struct SaidSeen {
    pack: Meta,
    inside: String,
    count: String,
    runs: &'static str,
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
        let inside = all.iter().filter(|one| one.inside()).count();
        Some(Self {
            pack,
            inside: inside.to_string(),
            count: all.len().to_string(),
            runs: if all.len() == 1 { "run" } else { "runs" },
            rows: latest.iter().map(|one| row(book, one)).collect(),
            drawn: latest.iter().map(|one| drawn(book, one)).collect(),
            alt: alt(book, latest),
            odd: odd(book, &told),
            figures: figures(book, &before),
            next: next(&told.course).map(|next| asked(book, &next)),
            more: (all.len() > MOST)
                .then(|| format!("Listed are the last {MOST} runs; all {} count.", all.len())),
        })
    }
}

/// How far off a reading is at most in 19 of 20 cases, SI of what was read.
fn half(run: &MeasuredRun) -> f64 {
    let reading = match &run.seen {
        Seen::Slid { speed, length, .. } => {
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
        Seen::Pulled { .. } => "pull in neutral",
        Seen::Rolled { .. } => "wheel rolled",
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

/// The runs that do not count, each with what to check.
fn odd(book: &Book, told: &Account) -> Vec<Odd> {
    let runs = book.course.runs.list.iter().zip(&told.standings).zip(&told.fits);
    let odd = runs.filter(|((_, standing), _)| !standing.counts()).map(|((run, standing), fits)| Odd {
        number: run.number.to_string(),
        why: match standing {
            Standing::OneOfTwo(other) => format!("and run {} contradict one another", other + 1),
            Standing::AgainstTheRange => {
                "agrees with others of its kind, and all with nothing that is known".to_owned()
            }
            _ => "does not fit and is not used".to_owned(),
        },
        check: check(book, run, fits),
    });
    odd.collect()
}

fn check(book: &Book, run: &MeasuredRun, fits: &[Fits]) -> String {
    let usual = match run.seen {
        Seen::Timed { .. } => "Check gear, slope, pegs and watch; was a foot on the brake or the clutch?",
        Seen::Spun { .. } => "Check gear, slope and what the needle shows.",
        Seen::Slid { .. } => "Check the speed, whether all wheels were locked, and the ground that day.",
        Seen::Pulled { .. } => "Check the scale’s unit, neutral, the hand brake and the way it was pulled.",
        Seen::Rolled { .. } => "Count the turns again; look at pressure and load.",
    };
    let told: Vec<String> = fits.iter().take(3).map(|fit| supposed(book, run, fit)).collect();
    if told.is_empty() { usual.to_owned() } else { format!("It would fit {}. {usual}", told.join(", or ")) }
}

fn supposed(book: &Book, run: &MeasuredRun, fit: &Fits) -> String {
    let what = if matches!(run.seen, Seen::Slid { .. }) { "speed" } else { "reading" };
    match fit {
        Fits::Gear(gear) => format!("in {gear}"),
        Fits::Slope(slope) => format!("on {}", book.slope_mark(slope)),
        Fits::Factor(factor) if *factor > 1.0 => format!("with a {what} {factor:.2} times as high (a unit?)"),
        Fits::Factor(factor) => format!("with a {what} {:.2} times as low (a unit?)", 1.0 / factor),
    }
}

fn asked(book: &Book, next: &crate::earned::Next) -> String {
    let Course { slopes, .. } = book.course;
    let name = slopes
        .iter()
        .find(|slope| slope.id == next.slope)
        .map_or_else(String::new, |slope| slope.name.short());
    let verdicts = if next.decides == 1 {
        "one verdict hangs".to_owned()
    } else {
        format!("{} verdicts hang", next.decides)
    };
    format!(
        "time {} in {} on {} {name}, over its lower half: on what its engine takes {verdicts}.",
        book.vehicle_mark(&next.vehicle),
        next.gear,
        book.slope_mark(&next.slope),
    )
}
