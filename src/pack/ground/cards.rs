//! Contexts of the documents that show slopes and vehicles as they are.

use serde::Serialize;

use crate::course::{Name, NearRule, NotFetched, Slope, Tolerances, Vehicle, classes, sources};
use crate::engine::{Mark, Sensitivity, What, taught};
use crate::pack::book::Book;
use crate::pack::day::channels;
use crate::pack::day::page::posts_of_the_day;
use crate::pack::day::posts::{Posts, Sort};
use crate::pack::day::wet::Wet;
use crate::pack::ground::plan::not_fetched;
use crate::pack::ground::trouble::{self, a_step, on_a_card, to_stand};
use crate::pack::recovery::plan;
use crate::pack::sheet::descent::DescentRow;
use crate::pack::sheet::helped::with_brake;
use crate::pack::sheet::slope::SlopeSheet;
use crate::pack::sheet::vehicle::VehicleSheet;
use crate::pack::weekend::run_sheets;
use crate::page::chart::{self, HoldBand};
use crate::page::figure::{Fig, Show, digits};
use crate::page::meta::Meta;
use crate::quantity::Digits;

/// Slope cards.
#[derive(Serialize)]
pub(crate) struct SlopeCards<'a> {
    pack: Meta,
    slopes: &'a [SlopeSheet],
    /// Who stands where on each slope today; empty where a rota says it, or nothing is planned.
    posts: Vec<String>,
    /// What changes on each slope when it gets wet.
    wet: Vec<Option<String>>,
    /// The channel of each slope and control's, where they are not the same.
    radio: Vec<Option<(String, String)>>,
}

/// Vehicle cards.
#[derive(Serialize)]
pub(crate) struct VehicleCards<'a> {
    pack: Meta,
    /// What to do when it goes wrong: what happens, then what to do.
    troubles: Vec<(String, Vec<&'static str>)>,
    /// The abort for the back of every card: the one that says most.
    abort: &'a str,
    vehicles: &'a [VehicleSheet],
    /// What changes for each when it gets wet.
    wet: Vec<Option<String>>,
}

/// Instructor notes.
#[derive(Serialize)]
pub(crate) struct Notes<'a> {
    pack: Meta,
    hold: HoldBand,
    vehicles: &'a [VehicleSheet],
    slopes: &'a [SlopeSheet],
    sources: Vec<(&'static str, &'static str)>,
}

/// Fleet table.
#[derive(Serialize)]
pub(crate) struct FleetTable<'a> {
    pack: Meta,
    limits: Vec<Limit>,
    slopes: &'a [SlopeSheet],
    vehicles: &'a [VehicleSheet],
    what_matters: Vec<WhatMatters>,
    /// Whether some vehicle does not go, or only near a limit.
    told_why: bool,
    /// Why vehicles go with the foot brake where a foot over it would have been thought of: `B: S2 without the brake up to
    /// 21 km/h in L1`; of a large fleet none, whose rows say it by slope.
    with_brake: Vec<String>,
    /// Whether the kit does not fetch some vehicle that goes, in some way of being stuck.
    some_not_fetched: bool,
    /// What the course's rule makes of it.
    fetch_rule: &'static str,
    /// Who is not fetched, and where.
    stuck: Vec<String>,
    /// Who is kept off by nothing but a missing rated recovery point, a vehicle each: `D: S1, S3`.
    wants_point: Vec<String>,
    to_measure: Vec<ToMeasure>,
}

/// Something that wins a better mark back once it is measured.
#[derive(Serialize)]
struct ToMeasure {
    what: String,
    /// For whom, a vehicle each: `A on S2, S4`.
    pairs: Vec<String>,
}

/// One of the course's own limits.
#[derive(Serialize)]
struct Limit {
    name: &'static str,
    value: String,
}

/// Change of the descent speed for a tenth more of one thing.
#[derive(Serialize)]
struct WhatMatters {
    vehicle_id: String,
    vehicle_name: String,
    slope_name: String,
    gearing: Fig,
    radius: Fig,
    mass: Fig,
    engine: Fig,
}

impl<'a> SlopeCards<'a> {
    /// From the book.
    pub(crate) fn of(book: &'a Book, pack: Meta) -> Self {
        let all = posts_of_the_day(book);
        let posts = book.course.slopes.iter().map(|slope| today(&all, &book.slope_mark(&slope.id))).collect();
        let wet = Wet::of(book);
        let rain = |sheet: &SlopeSheet| wet.as_ref().and_then(|wet| wet.on_card(&sheet.id));
        let control = book.course.day.channel.as_ref().map(Name::short);
        let radio = |at| Some((channels::own(book, at)?, control.clone()?));
        Self {
            pack,
            slopes: &book.slopes,
            posts,
            wet: book.slopes.iter().map(rain).collect(),
            radio: (0..book.course.slopes.len()).map(radio).collect(),
        }
    }
}

/// Who stands where on a slope, turn by turn where it changes.
fn today(all: &[Posts], mark: &str) -> String {
    let mut said: Vec<String> = Vec::new();
    for posts in all.iter().filter(|posts| posts.mark == mark) {
        let beside = match (posts.beside.as_str(), posts.sort) {
            (_, Sort::Beside) => format!("; beside every learner: {}", posts.teaches),
            ("", Sort::First) => format!("; first run beside all: {}", posts.teaches),
            ("", _) => String::new(),
            (some, Sort::First) => format!("; beside {some}, first run all: {}", posts.teaches),
            (some, _) => format!("; beside {some}: {}", posts.teaches),
        };
        let ready = if posts.ready.is_empty() {
            String::new()
        } else {
            format!("; {} last, winch ready", posts.ready.join(", "))
        };
        let lent = if posts.lent.is_empty() {
            String::new()
        } else {
            format!("; winch of {} at the brow", posts.lent.join(", "))
        };
        // A demonstration is timed by nobody.
        let pegs = if posts.sort == Sort::Demonstration { &None } else { &posts.pegs };
        let more = [("bank", &posts.bank), ("crossing", &posts.crossing), ("pegs", pegs)];
        let more = more.into_iter().filter_map(|(post, who)| Some(format!(", {post} {}", who.as_ref()?)));
        let more: String = more.collect();
        let shown = if posts.sort == Sort::Demonstration {
            format!("{} demonstration: ", posts.from)
        } else {
            String::new()
        };
        let shown = if shown.is_empty() && all.iter().filter(|other| other.mark == posts.mark).count() > 1 {
            format!("{}: ", posts.from)
        } else {
            shown
        };
        let line = format!("{shown}brow {}, spotter {}{more}{beside}{ready}{lent}", posts.brow, posts.foot);
        if !said.contains(&line) {
            said.push(line);
        }
    }
    said.join("; ")
}

impl<'a> VehicleCards<'a> {
    /// From the book.
    pub(crate) fn of(book: &'a Book, pack: Meta) -> Self {
        let cases = on_a_card().map(|(what, steps)| (what.to_owned(), steps.to_vec()));
        let troubles = cases.chain(to_stand(book)).chain(a_step(book)).collect();
        let aborts = book.vehicles.iter().map(|sheet| sheet.card.behind.as_str());
        let abort = aborts.max_by_key(|abort| abort.len()).unwrap_or_default();
        // On the day only cars that were on no list have no card yet.
        let new = book.new_vehicles();
        // Where the ground lies otherwise every card may read otherwise.
        let ground = book.printed.anew.as_ref().is_some_and(|anew| anew.ground);
        let vehicles = if new.is_empty() || ground { &book.vehicles[..] } else { &book.vehicles[new] };
        let rain = Wet::of(book);
        let wet = vehicles.iter().map(|sheet| rain.as_ref()?.on_card_of(book, &sheet.id)).collect();
        Self { pack, troubles, abort, vehicles, wet }
    }
}

impl<'a> Notes<'a> {
    /// From the book.
    pub(crate) fn of(book: &'a Book, pack: Meta) -> Self {
        let hold = chart::hold_band(book.course, book.show);
        let sources = what_was_used(book);
        Self { pack, hold, vehicles: &book.vehicles, slopes: &book.slopes, sources }
    }
}

/// What the fixed words of pages name: voice procedure, hand signals, a driver's pause, a convoy's length, straps and
/// what a snatch measured, lightning, signal words, the order of a report.
const BY_FIXED_WORDS: &str = "N6, R1, R4, E12, R3, E6, E10, E16, N8, B25";

/// The sources of this day's ground, of the formulas, of what was taken from a class of vehicle, of what to do when it
/// goes wrong, of recovery and of the rota's rules.
fn what_was_used(book: &Book) -> Vec<(&'static str, &'static str)> {
    let ground = book.course.surfaces.iter().map(|surface| surface.source.full());
    let formulas = taught::all().map(|formula| formula.source);
    let guessed =
        book.course.vehicles.iter().any(|vehicle| vehicle.track.estimated || vehicle.centre_height.estimated);
    let classes = guessed.then_some(classes::FROM);
    let rota: Vec<String> = run_sheets::rules(book).into_iter().map(|rule| rule.source).collect();
    let drills = trouble::sources(book.course);
    let pulls = plan::sources();
    let pages = drills
        .chain(pulls)
        .map(|source| -> &str { source })
        .chain(rota.iter().map(String::as_str))
        .chain([BY_FIXED_WORDS]);
    let said: Vec<&str> = ground.chain(formulas).chain(classes).chain(pages).collect();
    sources::named(said)
}

impl<'a> FleetTable<'a> {
    /// From the book.
    pub(crate) fn of(book: &'a Book, pack: Meta) -> Self {
        let limits = &book.course.limits;
        let show = book.show;
        let limits = vec![
            Limit { name: "Steepest descent", value: show.angle(limits.gradient.si(), false).text() },
            Limit {
                name: "Side tilt, bumps included",
                value: show.angle(limits.side_tilt.si(), false).text(),
            },
            Limit { name: "Speed", value: show.speed(limits.descent_speed.si(), false).text() },
            Limit { name: "Brakes", value: show.temperature(limits.brake_temperature.si(), false).text() },
            Limit {
                name: "Grip left in hand, by engine and foot brake alike",
                value: percent(limits.grip_in_hand.si()),
            },
            Limit { name: "Reaction", value: format!("{:.1} s", limits.reaction_time.si()) },
            Limit { name: "Near a limit", value: tolerances(&limits.tolerances, show) },
            Limit { name: "Driven near a limit", value: near_rule(&limits.near, show) },
        ];
        let told_why = book
            .vehicles
            .iter()
            .flat_map(|sheet| &sheet.descents)
            .any(|row| !row.within || row.near || row.unforgiving.is_some());
        let what_matters =
            book.course.vehicles.iter().filter_map(|vehicle| what_matters(book, &vehicle.id)).collect();
        let some_not_fetched = book.vehicles.iter().any(|sheet| sheet.not_fetched.is_some());
        Self {
            pack,
            limits,
            slopes: &book.slopes,
            vehicles: &book.vehicles,
            what_matters,
            told_why,
            with_brake: with_brake(&book.vehicles),
            some_not_fetched,
            fetch_rule: match book.course.recovery.not_fetched {
                NotFetched::Say => {
                    "It drives only behind the signed box of the course plan, else it stays up."
                }
                NotFetched::NoGo => "By the course’s rule it does not drive.",
            },
            stuck: not_fetched(book),
            wants_point: wants_point(book),
            to_measure: to_measure(&book.vehicles),
        }
    }
}

/// The vehicles that a rated recovery point opens slopes to, with those slopes.
fn wants_point(book: &Book) -> Vec<String> {
    let only_that = |slope: &Slope, vehicle: &Vehicle| {
        let mut broken = book.pair(slope, vehicle).judged.broken().peekable();
        broken.peek().is_some() && broken.all(|reason| reason.what == What::RatedPoint)
    };
    let opened = |vehicle: &Vehicle| {
        let slopes = book.course.slopes.iter().filter(|slope| only_that(slope, vehicle));
        let slopes: Vec<String> = slopes.map(|slope| book.slope_mark(&slope.id)).collect();
        (!slopes.is_empty()).then(|| format!("{}: {}", book.vehicle_mark(&vehicle.id), slopes.join(", ")))
    };
    book.course.vehicles.iter().filter_map(opened).collect()
}

/// What is to be measured, each once, for those that do not go or go near a limit.
fn to_measure(vehicles: &[VehicleSheet]) -> Vec<ToMeasure> {
    let mut all: Vec<ToMeasure> = Vec::new();
    let waits = |row: &DescentRow, what: &str| {
        (!row.within || row.near) && row.measure.iter().any(|wanted| wanted == what)
    };
    // What every vehicle waits for on a slope is said once.
    let of_all = |slope: &str, what: &str| {
        let row =
            |sheet: &VehicleSheet| sheet.descents.iter().any(|row| row.slope_id == slope && waits(row, what));
        vehicles.len() > 1 && vehicles.iter().all(row)
    };
    let first = vehicles.first().map_or(&[][..], |sheet| &sheet.descents);
    for row in first {
        for what in row.measure.iter().filter(|what| of_all(&row.slope_id, what)) {
            let pair = format!("all on {}", row.slope_id);
            match all.iter_mut().find(|known| known.what == *what) {
                Some(known) => known.pairs.push(pair),
                None => all.push(ToMeasure { what: what.clone(), pairs: vec![pair] }),
            }
        }
    }
    for sheet in vehicles {
        let told = || sheet.descents.iter().filter(|row| !row.within || row.near);
        let mut said: Vec<&String> = Vec::new();
        for what in told().flat_map(|row| &row.measure) {
            if said.contains(&what) {
                continue;
            }
            said.push(what);
            let alone = |row: &&DescentRow| row.measure.contains(what) && !of_all(&row.slope_id, what);
            let slopes: Vec<&str> = told().filter(alone).map(|row| row.slope_id.as_str()).collect();
            if slopes.is_empty() {
                continue;
            }
            let pair = format!("{} on {}", sheet.id, slopes.join(", "));
            match all.iter_mut().find(|known| known.what == *what) {
                Some(known) => known.pairs.push(pair),
                None => all.push(ToMeasure { what: what.clone(), pairs: vec![pair] }),
            }
        }
    }
    all
}

fn percent(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}

/// Where a run near a limit is left to a foot over the brake.
fn near_rule(rule: &NearRule, show: Show) -> String {
    format!(
        "under {}, {} of run-out or more, no edge nearer than {}, no water, locked wheels stop on the slope, at most {} over the speed; elsewhere with the foot brake or not",
        show.angle(rule.gradient.si(), false).text(),
        show.length(rule.run_out.si(), false).text(),
        show.length(rule.edge.si(), false).text(),
        percent(rule.speed.si())
    )
}

/// What may be off before a verdict is near a limit.
fn tolerances(off: &Tolerances, show: Show) -> String {
    format!(
        "{} more or less mass, {} steeper or a step of the instrument, {} more speed, {} less or more engine drag; mass and gradient {:.0} times that where nobody measured them",
        percent(off.mass.si()),
        show.fine_angle(off.gradient.si(), false).text(),
        percent(off.speed.si()),
        percent(off.drag.si()),
        off.unmeasured.si()
    )
}

/// On the steepest slope that the vehicle drives in gear alone, where that gear runs up and balances: where the foot
/// brake holds it, it settles at nothing. Where it drives none so, on the steepest of all.
fn what_matters(book: &Book, vehicle: &str) -> Option<WhatMatters> {
    let (slope, sensitivity) = book
        .course
        .slopes
        .iter()
        .filter_map(|slope| {
            let pair = book.reckoning.pair(&slope.id, vehicle)?;
            Some((slope, pair.sensitivity?, matches!(pair.judged.mark, Mark::Within | Mark::Near)))
        })
        .max_by(|(a, _, drives), (b, _, also)| {
            let steepness = |slope: &Slope| slope.steepest().gradient.si();
            drives.cmp(also).then(steepness(a).total_cmp(&steepness(b)))
        })
        .map(|(slope, sensitivity, _)| (slope, sensitivity))?;
    let name = &book.course.vehicles.iter().find(|known| known.id == vehicle)?.name;
    let Sensitivity { gearing, tyre_radius, mass, displacement, .. } = sensitivity;
    Some(WhatMatters {
        vehicle_id: book.vehicle_mark(vehicle),
        vehicle_name: name.short(),
        slope_name: slope.name.short(),
        gearing: change(gearing),
        radius: change(tyre_radius),
        mass: change(mass),
        engine: change(displacement),
    })
}

fn change(part: Option<f64>) -> Fig {
    let Some(part) = part else { return Fig::new("no balance", "", true) };
    let text = digits(100.0 * part, Digits::Decimals(0));
    let signed = if text == "0" || text.starts_with('−') { text } else { format!("+{text}") };
    Fig::new(signed, "", true)
}
