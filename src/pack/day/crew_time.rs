//! What the crew does without the class: the work before anybody comes, and the winch that stands ready at a brow.

use std::collections::BTreeSet;

use crate::course::Role;
use crate::pack::book::Book;
use crate::rota::{CHANGEOVER, SessionSum, Turn, clock_text};

/// Minutes of a pair: to look at and note a row of the kit, to walk a slope and set its pegs, to try radios
/// and telephone, and to lock the wheels on a ground and measure the trace. Common practice, no source.
const KIT_ROW: usize = 1;
const SLOPE: usize = 10;
const RADIOS: usize = 5;
const GROUND: usize = 5;
/// To rig a winch at a brow and try it, minutes. Common practice, no source.
const RIGGING: u16 = 15;
/// Times the crew is told are rounded up to this, minutes.
const ROUND: usize = 5;

/// Something to do, minutes since midnight.
pub(super) struct Job {
    pub from: u16,
    pub to: u16,
    pub what: String,
    pub how: String,
}

/// The work of the crew before the first part of the day, in pairs; none where nobody drives a slope.
pub(super) fn before(book: &Book, sums: &[SessionSum], begins: u16) -> Option<Job> {
    let course = book.course;
    let driven: BTreeSet<usize> = sums.iter().flat_map(|sum| &sum.turns).map(|turn| turn.slope).collect();
    let slopes = driven.len();
    let grounds = driven.iter().map(|at| &course.slopes[*at].surface).collect::<BTreeSet<_>>().len();
    let crew = course.people.iter().filter(|person| person.role != Role::Driver).count();
    let pairs = (crew / 2).max(1);
    let kit = KIT_ROW * course.kit.len();
    let (dry, wet) = (kit + SLOPE * slopes + RADIOS, GROUND * grounds);
    let long = |work: usize| u16::try_from(work.div_ceil(pairs).next_multiple_of(ROUND)).ok();
    let (dry_from, wet_from) = (begins.checked_sub(long(dry)?)?, begins.checked_sub(long(dry + wet)?)?);
    let how = format!(
        "Kit record {kit} min, parted between pairs, signed before any line is used; {} walked and pegged {SLOPE} min each, radios and telephone tried {RADIOS} min. \
         After rain from {}: the wet-day test on {}, {GROUND} min each.",
        counted(slopes, "slope"),
        clock_text(wet_from),
        counted(grounds, "ground")
    );
    (slopes > 0).then(|| Job {
        from: dry_from,
        to: begins,
        what: format!("The crew alone, in {}", counted(pairs, "pair")),
        how,
    })
}

fn counted(count: usize, what: &str) -> String {
    if count == 1 { format!("one {what}") } else { format!("{count} {what}s") }
}

/// When the winch of a vehicle that stands ready on a turn is rigged: the last minutes before it in which neither the
/// vehicle nor its driver is on a slope, from the beginning of the session. An error names what has no such minutes.
pub(super) fn rigged(
    book: &Book,
    (sum, session_from): (&SessionSum, u16),
    turn: &Turn,
    vehicle: usize,
) -> Result<Job, String> {
    let course = book.course;
    let id = &course.vehicles[vehicle].id;
    let driver = course.people.iter().position(|person| person.vehicle.as_ref() == Some(id));
    let busy = |other: &Turn| {
        other.on.vehicles.contains(&vehicle)
            || driver
                .is_some_and(|driver| other.crew.all().chain(other.holds.control).any(|one| one == driver))
    };
    let mut to = sum.begins + turn.from;
    for other in sum.turns.iter().rev().filter(|other| other.to <= turn.from && busy(other)) {
        if sum.begins + other.to + RIGGING > to {
            // Back at the post takes as long as from slope to slope.
            to = to.min((sum.begins + other.from).saturating_sub(CHANGEOVER));
        }
    }
    let mark = book.slope_mark(&course.slopes[turn.slope].id);
    let letter = book.vehicle_mark(id);
    let carried = by_hand(book, turn);
    let by_hand = if carried.is_empty() {
        String::new()
    } else {
        format!(
            " Beside it at the brow, for {letter} itself and what it does not fetch: {}.",
            carried.join(", ")
        )
    };
    let what = format!("{mark}: the winch of {letter} rigged and tried at the brow");
    match to.checked_sub(RIGGING).filter(|from| *from >= session_from) {
        Some(from) => Ok(Job { from, to, what, how: format!("Its driver and one of the crew.{by_hand}") }),
        None => Err(format!("{what}, {RIGGING} min before that slope")),
    }
}

/// The winches that no vehicle carries, with which the first means of the kit fetches some vehicle of a turn.
fn by_hand(book: &Book, turn: &Turn) -> Vec<String> {
    let slope = &book.course.slopes[turn.slope];
    let stuck = turn.on.vehicles.iter().map(|at| &book.course.vehicles[*at].id);
    let ladders = stuck.flat_map(|vehicle| book.recoveries().ladders_of(&slope.id, vehicle));
    let mut all: Vec<String> = Vec::new();
    for rung in ladders.filter_map(|ladder| ladder.chosen()) {
        for rig in rung.rig.iter().chain(&rung.catch).filter(|rig| rig.host.is_none()) {
            let winch = &rig.parts[0].name;
            if !all.contains(winch) {
                all.push(winch.clone());
            }
        }
    }
    all
}
