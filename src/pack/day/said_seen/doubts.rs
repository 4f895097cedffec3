//! What is doubtful about runs: those that do not fit, figures that are kept back, and runs nobody should repeat.

use super::Odd;
use crate::course::{EarnedFrom, Kept, MeasuredRun, Seen};
use crate::earned::{Account, Fits, Standing};
use crate::engine::{circumference_of, overall_ratio_of};
use crate::pack::book::Book;

/// Figures whose unfavourable end is kept, each with why and what frees it.
pub(super) fn kept(book: &Book) -> Vec<String> {
    let earned = &book.course.earned;
    let drags =
        earned.drags.iter().map(|(id, from)| (format!("{}: engine drag", book.vehicle_mark(id)), from.kept));
    let grounds = earned.surfaces.iter().flat_map(|(was, from)| {
        let of = |what: &str, from: Option<EarnedFrom>| {
            (format!("{}: {what}", was.name.short()), from.and_then(|from| from.kept))
        };
        [of("grip", from.grip), of("rolling resistance", from.rolling)]
    });
    let brakes =
        earned.brakes.iter().map(|(id, _, from)| (format!("{}: brakes", book.vehicle_mark(id)), from.kept));
    let words = |(what, kept): (String, Option<Kept>)| match kept? {
        Kept::OneDay => Some(format!(
            "{what} was measured on one day only. A foot on the brake all day looks the same, so its low end stays at what was \
             likely before. Another day, another driver, somebody watching the foot: then it counts in full."
        )),
        Kept::Dangerous(number) => Some(format!(
            "{what} is not reckoned with more than before: run {number} is on the dangerous side, and nobody knows yet why."
        )),
        Kept::Cooler => Some(format!(
            "{what} were read cooler than was reckoned. Bright iron and a look too late read low, so they are reckoned as hot as \
             before."
        )),
    };
    drags.chain(grounds).chain(brakes).filter_map(words).collect()
}

/// Runs in gear whose speed lies over the limit of the course.
pub(super) fn over_the_limit(book: &Book, runs: &[MeasuredRun]) -> Option<String> {
    let limit = book.course.limits.descent_speed.si();
    let over = |run: &&MeasuredRun| match &run.seen {
        Seen::Timed { between, time, .. } => between.si() / time.si() > limit,
        Seen::Spun { gear, spin, .. } => {
            let vehicle = book.course.vehicles.iter().find(|one| one.id == run.vehicle);
            vehicle
                .is_some_and(|one| spin.si() / overall_ratio_of(one, *gear) * circumference_of(one) > limit)
        }
        _ => false,
    };
    let numbers: Vec<String> = runs.iter().filter(over).map(|run| run.number.to_string()).collect();
    let one = numbers.len() == 1;
    (!numbers.is_empty()).then(|| {
        format!(
            "Run{} {} {} faster than {}: the crew's, measured for the figures. No learner drives like that.",
            if one { "" } else { "s" },
            numbers.join(", "),
            if one { "was" } else { "were" },
            book.show.speed(limit, false).trimmed().text(),
        )
    })
}

/// The runs that do not count, each with what to check.
pub(super) fn odd(book: &Book, told: &Account) -> Vec<Odd> {
    let runs = book.course.runs.list.iter().zip(&told.standings).zip(&told.fits).zip(&told.dangerous);
    let odd = runs.filter(|(((_, standing), _), _)| !standing.counts());
    let odd = odd.map(|(((run, standing), fits), dangerous)| Odd {
        number: run.number.to_string(),
        why: match (standing, dangerous) {
            (Standing::OneOfTwo(other), true) => {
                format!(
                    "and run {} contradict one another; this one is on the dangerous side: {}",
                    other + 1,
                    worse(run)
                )
            }
            (Standing::OneOfTwo(other), false) => format!("and run {} contradict one another", other + 1),
            (Standing::AgainstTheRange, _) => {
                "agrees with others of its kind, and all with nothing that is known".to_owned()
            }
            (_, true) => format!("is on the dangerous side: {}. It is not used", worse(run)),
            (_, false) => "does not fit and is not used".to_owned(),
        },
        check: [
            few_against(told, run),
            Some(check(book, run, fits, *dangerous)),
            dangerous.then(|| UNEXPLAINED.to_owned()),
        ]
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
        .join(" "),
    });
    odd.collect()
}

/// Said of every run on the dangerous side.
const UNEXPLAINED: &str = "Until it is explained, drive nothing there that hangs on this figure alone.";

/// What a run tells that is worse than the others let expect.
fn worse(run: &MeasuredRun) -> &'static str {
    match run.seen {
        Seen::Coasted { .. } => "it rolled farther than the others let expect",
        Seen::Slid { .. } => "it slid farther than the others let expect",
        Seen::Pulled { .. } => "the ground holds less than the others let expect",
        Seen::Heated { .. } => "its brakes were hotter than anything lets expect",
        _ => "it ran faster than the others let expect",
    }
}

/// Most runs against one that are too few to outvote it.
const FEW: usize = 2;

/// Said where only a few runs of its kind stand against one.
fn few_against(told: &Account, run: &MeasuredRun) -> Option<String> {
    let runs = told.course.runs.list.iter().zip(&told.standings);
    let alike = |other: &MeasuredRun| {
        // What ground does, it does under every vehicle.
        let of_ground = matches!(run.seen, Seen::Slid { .. } | Seen::Coasted { .. } | Seen::Pulled { .. });
        let surface = |run: &MeasuredRun| run.seen.ground().map(|ground| ground.surface.clone());
        let same = if of_ground { surface(other) == surface(run) } else { other.vehicle == run.vehicle };
        same && std::mem::discriminant(&other.seen) == std::mem::discriminant(&run.seen)
    };
    let against = runs.filter(|(other, standing)| alike(other) && standing.counts()).count();
    (1..=FEW).contains(&against).then(|| {
        let who = if against == 1 { "One against one" } else { "Two against one" };
        format!("{who} settles nothing: run it again before you believe either.")
    })
}

fn check(book: &Book, run: &MeasuredRun, fits: &[Fits], dangerous: bool) -> String {
    let usual = match run.seen {
        Seen::Timed { .. } => "Check gear, slope, pegs and watch; was a foot on the brake or the clutch?",
        Seen::Spun { .. } => "Check gear, slope and what the needle shows.",
        Seen::Slid { .. } => "Check the speed, whether all wheels were locked, and the ground that day.",
        Seen::Pulled { .. } => {
            "Check the scale’s unit, neutral, the hand brake, the way it was pulled, and the mass in the course file: weigh it."
        }
        Seen::Coasted { .. } => "Check the speed, neutral, hand brake, wind, and that the ground is level.",
        Seen::Heated { .. } => {
            "Check for a brake that drags, which axle was read, how many descents, their speed and the pause between."
        }
        Seen::Rolled { .. } => "Count the turns again; look at pressure and load.",
    };
    // A slip of the pen is likelier than a wrong unit, a watch has none, and what is dangerous is not explained away.
    let slips = fits.iter().any(|fit| !matches!(fit, Fits::Factor(_)));
    let timed = matches!(run.seen, Seen::Timed { .. });
    let unlikely = slips || timed || dangerous;
    let likely = fits.iter().filter(|fit| !matches!(fit, Fits::Factor(_)) || !unlikely);
    let told: Vec<String> = likely.take(3).map(|fit| supposed(book, run, fit)).collect();
    let fits = if told.is_empty() { String::new() } else { format!("It would fit {}. ", told.join(", or ")) };
    format!("{fits}{usual}")
}

fn supposed(book: &Book, run: &MeasuredRun, fit: &Fits) -> String {
    let what = if matches!(run.seen, Seen::Slid { .. } | Seen::Coasted { .. }) { "speed" } else { "reading" };
    match fit {
        Fits::Gear(gear) => format!("in {gear}"),
        Fits::Slope(slope) => format!("on {}", book.slope_mark(slope)),
        Fits::Factor(factor) if *factor > 1.0 => format!("with a {what} {factor:.2} times as high (a unit?)"),
        Fits::Factor(factor) => format!("with a {what} {:.2} times as low (a unit?)", 1.0 / factor),
    }
}
