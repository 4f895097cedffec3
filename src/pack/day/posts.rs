//! Who is where on every turn of the day's sum, by name. The course plan, the radio plan, the cards and the risk
//! assessment print it from here; a post nobody is left for has a frame to fill in.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::course::{Course, KitKind, Role, Slope};
use crate::pack::book::Book;
use crate::pack::ground::demonstration::{Demonstration, at_the_wheel};
use crate::recovery::rig::Rig;
use crate::rota::{Crew, Holds, Seat, SessionSum, Turn, clock_text, crew_beside, day_sum};

/// Radios beside those of a slope: control, first aid, gate, and a spare with control. Common practice, no source.
const OFF_SLOPE: usize = 4;

/// What a turn is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Sort {
    /// Learners drive.
    #[default]
    Turn,
    /// Learners come down for the first time: the one who teaches sits beside each on the first run.
    First,
    /// Learners come down where the course wants somebody beside each on every run.
    Beside,
    /// It is shown: who teaches is with the class, behind its rope.
    Demonstration,
}

/// A turn with the people of it.
#[derive(Clone, Debug, Default, Serialize)]
pub(crate) struct Posts {
    pub from: String,
    pub to: String,
    pub mark: String,
    pub name: String,
    /// Vehicle and driver, as `A Driver 1`; the driver none where the course names nobody.
    pub vehicles: Vec<(String, Option<String>)>,
    pub runs: String,
    pub minutes: String,
    pub teaches: String,
    /// Vehicles beside whose driver the one who teaches sits; empty where none is near a limit.
    pub beside: String,
    pub sort: Sort,
    pub brow: String,
    pub foot: String,
    pub control: Option<String>,
    pub first_aid: Option<String>,
    pub deputy: Option<String>,
    pub gate: Option<String>,
    pub phone: Option<String>,
    /// Whether a slope of it has water, and who is on the bank with the throw line.
    pub water: bool,
    pub bank: Option<String>,
    /// The tracks that cross it, and who bars them.
    pub crosses: Vec<String>,
    pub crossing: Option<String>,
    /// Who calls the seconds between the pegs.
    pub pegs: Option<String>,
    /// Vehicles whose winch is what fetches another of the turn: they stand ready at the brow and drive last.
    pub ready: Vec<String>,
    /// Vehicles that do not drive the turn and whose winch fetches some that do: they stand at the brow all the while.
    pub lent: Vec<String>,
    /// Whether control is in charge as well, since whoever is in charge is at a wheel or on the slope.
    pub stands_in: bool,
}

/// The posts of every turn, session by session; empty where a rota says it, or no session names slopes.
pub(crate) fn posts(book: &Book) -> Vec<Posts> {
    let sums = day_sum(book.course, &book.reckoning);
    sums.iter().flat_map(|sum| sum.turns.iter().map(|turn| of_turn(book, sum, turn))).collect()
}

/// The posts of the turns on one slope.
pub(crate) fn on_slope(book: &Book, slope: &str) -> Vec<Posts> {
    let mark = book.slope_mark(slope);
    posts(book).into_iter().filter(|posts| posts.mark == mark).collect()
}

/// The posts of a turn.
pub(crate) fn of_turn(book: &Book, sum: &SessionSum, turn: &Turn) -> Posts {
    let course = book.course;
    let slope = &course.slopes[turn.slope];
    let mark = |at: &usize| book.vehicle_mark(&course.vehicles[*at].id);
    let near =
        |at: &&usize| book.pair(slope, &course.vehicles[**at]).judged.mark == crate::engine::Mark::Near;
    let beside: Vec<String> = turn.on.vehicles.iter().filter(near).map(mark).collect();
    let ready = winches(book, turn);
    let (last, first): (Vec<usize>, Vec<usize>) = turn.on.vehicles.iter().partition(|at| ready.contains(at));
    let in_order = first.iter().chain(&last);
    Posts {
        from: clock_text(sum.begins + turn.from),
        to: clock_text(sum.begins + turn.to),
        mark: book.slope_mark(&slope.id),
        name: slope.name.short(),
        vehicles: in_order.map(|at| (mark(at), driver(book, *at))).collect(),
        ready: ready.iter().map(mark).collect(),
        lent: lent(book, turn).iter().map(|(host, _)| mark(host)).collect(),
        runs: sum.runs.to_string(),
        minutes: (turn.to - turn.from).to_string(),
        beside: beside.join(", "),
        sort: match turn.seat {
            Seat::None => Sort::Turn,
            Seat::FirstRun => Sort::First,
            Seat::EveryRun => Sort::Beside,
        },
        stands_in: lead_is_busy(book, turn),
        ..people(course, slope, &turn.crew, turn.holds)
    }
}

/// Who is where on a slope, by name.
fn people(course: &Course, slope: &Slope, crew: &Crew, holds: Holds) -> Posts {
    let name = |person: usize| course.people[person].name.short();
    let Holds { control, first_aid, deputy, gate, phone, bank, crossing, pegs } = holds;
    let crosses: Vec<String> =
        course.tracks_across(slope).into_iter().map(|(line, _)| line.called()).collect();
    Posts {
        teaches: name(crew.teaches),
        brow: name(crew.at_the_brow()),
        foot: name(crew.watches),
        control: control.map(name),
        first_aid: first_aid.map(name),
        deputy: deputy.map(name),
        gate: gate.map(name),
        phone: phone.map(name),
        water: slope.has_water(),
        bank: bank.filter(|_| slope.has_water()).map(name),
        crossing: crossing.filter(|_| !crosses.is_empty()).map(name),
        crosses,
        pegs: pegs.map(name),
        ..Posts::default()
    }
}

/// The posts of the demonstration, from and to by the clock; who teaches holds the class behind its rope. None where the people do not reach.
pub(crate) fn of_demonstration(book: &Book, shown: &Demonstration, (from, to): (u16, u16)) -> Option<Posts> {
    let course = book.course;
    let (slope, vehicle) = shown.place();
    let at = course.slopes.iter().position(|one| one.id == slope.id)?;
    let wheel = at_the_wheel(book);
    let (crew, holds) = crew_beside(course, at, wheel.as_slice())?;
    let name = |person: usize| course.people[person].name.short();
    Some(Posts {
        from: clock_text(from),
        to: clock_text(to),
        mark: book.slope_mark(&slope.id),
        name: slope.name.short(),
        vehicles: vec![(book.vehicle_mark(&vehicle.id), wheel.map(name))],
        runs: "1".to_owned(),
        minutes: (to - from).to_string(),
        sort: Sort::Demonstration,
        stands_in: lead(course).is_some_and(|lead| holds.control != Some(lead)),
        ..people(course, slope, &crew, holds)
    })
}

/// The vehicles of a turn whose winch fetches another one of it.
pub(super) fn winches(book: &Book, turn: &Turn) -> Vec<usize> {
    let all = &turn.on.vehicles;
    all.iter().copied().filter(|host| !fetched_by(book, turn, *host).is_empty()).collect()
}

/// The vehicles of a turn that the winch of one fetches, itself apart, by the first means of the ladder that the kit does;
/// none where the ground forgives.
fn fetched_by(book: &Book, turn: &Turn, host: usize) -> Vec<usize> {
    let (course, slope) = (book.course, &book.course.slopes[turn.slope]);
    if slope.steepest().gradient < course.limits.near.gradient {
        return Vec::new();
    }
    let is_host = |rig: &&Rig| rig.host.as_ref() == Some(&course.vehicles[host].id);
    let fetched = |stuck: &usize| *stuck != host && rigs_of(book, turn, *stuck).iter().any(is_host);
    turn.on.vehicles.iter().copied().filter(fetched).collect()
}

/// The rigs of the first means that the kit has for each way in which a vehicle of a turn may be stuck, catch lines too.
pub(super) fn rigs_of<'b>(book: &'b Book, turn: &Turn, stuck: usize) -> Vec<&'b Rig> {
    let slope = &book.course.slopes[turn.slope].id;
    let ladders = book.recoveries().ladders_of(slope, &book.course.vehicles[stuck].id);
    ladders.filter_map(|ladder| ladder.chosen()).flat_map(|rung| rung.rig.iter().chain(&rung.catch)).collect()
}

/// Vehicles that do not drive on a turn and whose winch fetches some that do, each with the marks of those it fetches.
pub(super) fn lent(book: &Book, turn: &Turn) -> Vec<(usize, String)> {
    let mark = |at: usize| book.vehicle_mark(&book.course.vehicles[at].id);
    let hosts = (0..book.course.vehicles.len()).filter(|at| !turn.on.vehicles.contains(at));
    let pairs = hosts.map(|host| {
        let all: Vec<String> = fetched_by(book, turn, host).into_iter().map(mark).collect();
        (host, all.join(", "))
    });
    pairs.filter(|(_, all)| !all.is_empty()).collect()
}

/// Whoever drives a vehicle, by the course's people.
fn driver(book: &Book, vehicle: usize) -> Option<String> {
    let course = book.course;
    let id = &course.vehicles[vehicle].id;
    course.people.iter().find(|person| person.vehicle.as_ref() == Some(id)).map(|person| person.name.short())
}

/// Whether whoever is in charge is at a wheel or on the slope, so that control is in charge meanwhile.
fn lead_is_busy(book: &Book, turn: &Turn) -> bool {
    lead(book.course).is_some_and(|lead| turn.holds.control != Some(lead))
}

fn lead(course: &Course) -> Option<usize> {
    course.people.iter().position(|person| person.role == Role::Lead)
}

/// Radios the day needs at once, against those in the kit; none where there are enough. Everybody with a post of the
/// turn has one, and the vehicle on the slope.
pub(crate) fn radios(book: &Book) -> Option<String> {
    let sums = day_sum(book.course, &book.reckoning);
    let most = sums
        .iter()
        .filter(|sum| !sum.turns.is_empty())
        .max_by_key(|sum| sum.groups * most_at_once(book, sum))?;
    let (at_each, slopes) = (most_at_once(book, most), most.groups);
    let (need, have) = (slopes * at_each + OFF_SLOPE, count(book));
    let slopes = if slopes == 1 { "the slope".to_owned() } else { format!("each of {slopes} slopes") };
    (have < need).then(|| {
        format!(
            "Radios: {need} needed (control, first aid, gate, a spare; at {slopes} in use up to {at_each}: everybody \
             with a post but the pegs, and the vehicle on it, its radio handed over at the brow); the kit has {have}. {} more must be found before the first run.",
            need - have
        )
    })
}

/// Most radios in use on one slope of a session.
fn most_at_once(book: &Book, sum: &SessionSum) -> usize {
    let of = |turn: &Turn| {
        let slope = &book.course.slopes[turn.slope];
        let water = slope.has_water();
        let crossed = !book.course.tracks_across(slope).is_empty();
        // The brow of a slope with a channel of its own hears control as well.
        let both = usize::from(book.course.own_channel(slope).is_some());
        // Whoever teaches from the seat beside a driver has the vehicle's.
        let teaches = Some(turn.crew.teaches).filter(|_| !turn.crew.beside);
        let posts = [teaches, Some(turn.crew.at_the_brow()), Some(turn.crew.watches)];
        let people: BTreeSet<usize> = posts
            .into_iter()
            .flatten()
            .chain(turn.holds.bank.filter(|_| water))
            .chain(turn.holds.crossing.filter(|_| crossed))
            .collect();
        people.len() + 1 + both
    };
    sum.turns.iter().map(of).max().unwrap_or(0)
}

fn count(book: &Book) -> usize {
    let kit = book.course.kit.iter().filter(|item| item.kind == KitKind::Radio);
    kit.map(|item| usize::from(item.count)).sum()
}
