//! What the crew does without the class: the work before anybody comes, and the winch that stands ready at a brow.

use std::collections::BTreeSet;

use crate::course::Role;
use crate::pack::book::Book;
use crate::pack::day::posts::{lent, rigs_of};
use crate::rota::{CHANGEOVER, SessionSum, Turn};

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
    let work = kit + SLOPE * slopes + RADIOS;
    let long = |work: usize| u16::try_from(work.div_ceil(pairs).next_multiple_of(ROUND)).ok();
    let from = begins.checked_sub(long(work)?)?;
    let how = format!(
        "Kit record {kit} min, parted between pairs, signed before any line is used; {} walked and pegged {SLOPE} min each, radios and telephone tried {RADIOS} min. \
         After rain or dew, once a vehicle for it is checked: the wet-day test on {}, {GROUND} min each; the first runs begin that much later.",
        counted(slopes, "slope"),
        counted(grounds, "ground")
    );
    (slopes > 0).then(|| Job {
        from,
        to: begins,
        what: format!("The crew alone, in {}", counted(pairs, "pair")),
        how,
    })
}

fn counted(count: usize, what: &str) -> String {
    if count == 1 { format!("one {what}") } else { format!("{count} {what}s") }
}

/// When the winch of a vehicle that stands ready on a turn is rigged: the last minutes before it in which neither the
/// vehicle nor its driver is on a slope, from the beginning of the session, and after any turn at whose brow the same winch
/// stands. An error names what has no such minutes.
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
    let elsewhere = |other: &&Turn| lent(book, other).iter().any(|(host, _)| *host == vehicle);
    let freed =
        sum.turns.iter().filter(|other| other.to <= turn.from).filter(elsewhere).map(|other| other.to).max();
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
    let free = freed.map_or(session_from, |freed| sum.begins + freed + CHANGEOVER);
    match to.checked_sub(RIGGING).filter(|from| *from >= free) {
        Some(from) => Ok(Job { from, to, what, how: format!("Its driver and one of the crew.{by_hand}") }),
        None => Err(format!("{what}, {RIGGING} min before that slope")),
    }
}

/// The winches that no vehicle carries, with which the first means of the kit fetches some vehicle of a turn.
fn by_hand(book: &Book, turn: &Turn) -> Vec<String> {
    let rigs = turn.on.vehicles.iter().flat_map(|stuck| rigs_of(book, turn, *stuck));
    let mut all: Vec<String> = Vec::new();
    for rig in rigs.filter(|rig| rig.host.is_none()) {
        let winch = &rig.parts[0].name;
        if !all.contains(winch) {
            all.push(winch.clone());
        }
    }
    all
}
