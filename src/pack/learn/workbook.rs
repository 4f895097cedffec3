//! The student workbook.

use serde::Serialize;

use crate::course::{Slope, Vehicle};
use crate::engine::{Outcome, Pair, Standing, Way};
use crate::formula::{Part, Worked};
use crate::lesson::Example;
use crate::pack::book::Book;
use crate::pack::learn::choice::choice;
pub(crate) use crate::pack::learn::exercise::Datum;
use crate::pack::learn::exercise::{Answer, Exercise};
use crate::pack::sheet::slope::SlopeSheet;
use crate::pack::sheet::vehicle::VehicleSheet;
use crate::page::chart::{self, Chart, Forces, HeatBars, HoldBand, Side};
use crate::page::figure::Fig;
use crate::page::meta::Meta;
use crate::page::words::line_on_page;
use crate::page::worked::{FormulaSheet, WorkedSheet, answer, ask, formula_sheet};

/// The workbook.
#[derive(Serialize)]
pub(crate) struct Workbook<'a> {
    pack: Meta,
    lead: Lead<'a>,
    forces: Forces,
    hold: HoldBand,
    steering: Chart,
    run: Option<Chart>,
    locked_stops: bool,
    heat: Option<HeatBars>,
    disc: Option<Chart>,
    /// The vehicle and slope of the chart of the brakes: the hottest of the course.
    hottest: String,
    side: Option<Side>,
    ladder: Ladder<'a>,
    worked: Vec<WorkedSheet>,
    formulae: FormulaSheet,
    exercises: Vec<Exercise>,
    answers: Vec<Answer>,
}

#[derive(Serialize)]
struct Lead<'a> {
    vehicle: &'a VehicleSheet,
    slope: &'a SlopeSheet,
}

#[derive(Serialize)]
struct Ladder<'a> {
    unit: &'static str,
    vehicles: Vec<LadderRow<'a>>,
    alt: String,
    caption: &'static str,
}

#[derive(Serialize)]
struct LadderRow<'a> {
    name: String,
    gears: Vec<LadderGear<'a>>,
}

#[derive(Serialize)]
struct LadderGear<'a> {
    id: &'a str,
    low: bool,
    speed: f64,
    ratio: &'a str,
}

impl<'a> Workbook<'a> {
    /// From the book: theory and worked examples on the leading vehicle and slope, exercises on the others.
    pub(crate) fn of(book: &'a Book, pack: Meta) -> Self {
        let slope = leading_slope(book);
        let vehicle = book.lead(slope);
        let shown = shown_examples(book, slope, vehicle);
        let set = exercises(book, slope, vehicle);
        let (run_slope, run_vehicle, run_pair) = run_of(book, slope);
        let (hot_slope, hot_vehicle) = hottest(book);
        let hot = book.pair(hot_slope, hot_vehicle).way(Way::Braked);
        let hot_time = hot.map_or(0.0, |told| told.descent.likely.time);
        let choice = choice(book);
        let tilted = book.course.slopes.iter().find(|slope| slope.cross_slope.si() != 0.0);
        Self {
            pack,
            lead: Lead {
                vehicle: book.vehicle_sheet_of(&vehicle.id).expect("every vehicle has a sheet"),
                slope: book.slope_sheet_of(&slope.id).expect("every slope has a sheet"),
            },
            forces: chart::forces(book.course, slope, vehicle, book.show),
            hold: chart::hold_band(book.course, book.show),
            steering: chart::steering(),
            run: chart::run(book.course, run_slope, run_vehicle, run_pair, book.show),
            locked_stops: stops_locked(run_pair)
                && chart::slides_on(book.course, run_slope, run_pair).is_none(),
            // The same descent as the chart above it: where locked wheels stop at once they would look best.
            heat: chart::heat(book.course, run_slope, run_vehicle, run_pair, book.show),
            disc: hot
                .and_then(|told| told.heat.as_ref())
                .and_then(|heat| chart::disc(book.course, hot_slope, hot_vehicle, heat, hot_time, book.show)),
            hottest: format!("{} on {}", book.vehicle_mark(&hot_vehicle.id), hot_slope.name),
            side: tilted.and_then(|tilted| {
                chart::side(book.course, tilted, vehicle, book.pair(tilted, vehicle), book.show)
            }),
            ladder: ladder(book),
            formulae: formula_sheet(&used(book), book.course.units),
            worked: shown.into_iter().map(|worked| WorkedSheet::of(book.course, worked)).collect(),
            exercises: (1..)
                .zip(&set)
                .map(|(no, worked)| exercise(book, no, worked))
                .chain(choice.iter().map(|one| one.ask(set.len() + 1)))
                .collect(),
            answers: (1..)
                .zip(&set)
                .map(|(no, worked)| reply(no, worked))
                .chain(choice.iter().map(|one| one.reply(set.len() + 1)))
                .collect(),
        }
    }
}

/// The steepest slope that some vehicle drives in gear, else the first.
fn leading_slope<'a>(book: &Book<'a>) -> &'a Slope {
    let slopes = &book.course.slopes;
    slopes
        .iter()
        .filter(|slope| book.pair(slope, book.lead(slope)).standing == Standing::InGear)
        .max_by(|a, b| a.steepest().gradient.si().total_cmp(&b.steepest().gradient.si()))
        .or_else(|| slopes.first())
        .expect("a checked course has a slope")
}

fn shown_examples<'b>(book: &'b Book, slope: &Slope, vehicle: &Vehicle) -> Vec<&'b Worked> {
    let (on, with) = (Some(slope.id.as_str()), Some(vehicle.id.as_str()));
    // Heat is shown where it is: on the hottest brakes of the course.
    let (hot_slope, hot_vehicle) = hottest(book);
    let (hot_on, hot_with) = (Some(hot_slope.id.as_str()), Some(hot_vehicle.id.as_str()));
    [
        book.example(Example::CrawlRatio, None, with),
        book.example(Example::CreepSpeed, None, with),
        book.example(Example::Grade, on, None),
        book.example(Example::ForceDown, on, with),
        book.example(Example::LimitSlopeTurning, on, None),
        book.example(Example::Energy, hot_on, hot_with),
        book.example(Example::BrakeTemperatureRise, hot_on, hot_with),
        book.example(Example::LeftToHold, on, with),
        book.example(Example::EngineHolds, on, with),
    ]
    .into_iter()
    .flatten()
    .chain(placed(book, Part::Worked, |_| on, |_| with))
    .chain(slides(book).into_iter().take(1).flatten())
    .collect()
}

/// The locked slides of the course, each with the same metres on turning wheels: the fastest end first, then
/// the longest stops. Where a locked vehicle stops soonest it would look best.
fn slides<'b>(book: &'b Book) -> Vec<Vec<&'b Worked>> {
    let of = |slope: &Slope| {
        let (on, with) = (Some(slope.id.as_str()), Some(book.lead(slope).id.as_str()));
        let example = |id| book.example(id, on, with);
        let runaway = example(Example::LockedRunaway);
        let turning = example(Example::TurningStop).or_else(|| example(Example::TurningGoesOn));
        let locked = runaway.or_else(|| example(Example::LockedStop))?;
        Some((runaway.is_some(), locked.answer().si, vec![Some(locked), turning]))
    };
    let mut all: Vec<_> = book.course.slopes.iter().filter_map(of).collect();
    all.sort_by(|a, b| b.0.cmp(&a.0).then(b.1.total_cmp(&a.1)));
    all.into_iter().map(|(.., slide)| slide.into_iter().flatten().collect()).collect()
}

/// The slope and vehicle whose brakes get hottest on the foot brake alone, of all that may be driven.
fn hottest<'b>(book: &'b Book) -> (&'b Slope, &'b Vehicle) {
    let course = book.course;
    let all = course.slopes.iter().flat_map(|slope| course.vehicles.iter().map(move |one| (slope, one)));
    let heat = |(slope, vehicle): &(&Slope, &Vehicle)| {
        let pair = book.pair(slope, vehicle);
        let heat = pair.way(Way::Braked).and_then(|told| told.heat.as_ref()).map_or(0.0, |heat| heat.hottest);
        (pair.standing != Standing::NotHere, heat)
    };
    let hotter = |a: &(&Slope, &Vehicle), b: &(&Slope, &Vehicle)| {
        let ((goes, heat), (also, other)) = (heat(a), heat(b));
        goes.cmp(&also).then(heat.total_cmp(&other))
    };
    all.max_by(hotter).expect("a checked course has a slope and a vehicle")
}

/// Exercises on other vehicles and slopes than the worked ones, as far as there are others.
fn exercises<'b>(book: &'b Book, slope: &Slope, vehicle: &Vehicle) -> Vec<&'b Worked> {
    let vehicles = others(&book.course.vehicles, |other| other.id != vehicle.id);
    let slopes = others(&book.course.slopes, |other| other.id != slope.id);
    let vehicle_at = |n: usize| vehicles.get(n % vehicles.len().max(1)).map(|vehicle| vehicle.id.as_str());
    let slope_at = |n: usize| slopes.get(n % slopes.len().max(1)).map(|slope| slope.id.as_str());
    [
        book.example(Example::CrawlRatio, None, vehicle_at(0)),
        book.example(Example::CreepSpeed, None, vehicle_at(1)),
        book.example(Example::Grade, slope_at(0), None),
        book.example(Example::Height, slope_at(1), None),
        book.example(Example::ForceDown, slope_at(1), vehicle_at(2)),
        book.example(Example::LimitSlopeLocked, slope_at(2), None),
        slides(book).get(1).and_then(|slide| slide.first().copied()),
        slopes.iter().find_map(|slope| warm(book, slope, &vehicles)),
    ]
    .into_iter()
    .flatten()
    .chain(placed(book, Part::Exercise, |n| slope_at(n + 3), |n| vehicle_at(n + 3)))
    .collect()
}

/// How warm the brakes get, on a slope and with a vehicle that drives it.
fn warm<'b>(book: &'b Book, slope: &Slope, vehicles: &[&Vehicle]) -> Option<&'b Worked> {
    let mut drives = vehicles.iter().filter(|vehicle| book.pair(slope, vehicle).judged.mark.goes());
    drives.find_map(|vehicle| book.example(Example::BrakeTemperatureRise, Some(&slope.id), Some(&vehicle.id)))
}

/// The examples that say themselves that they are of this part, each kind once: the first on this slope, the
/// second on that, and so with the vehicles.
fn placed<'b, 'i>(
    book: &'b Book,
    part: Part,
    slope: impl Fn(usize) -> Option<&'i str>,
    vehicle: impl Fn(usize) -> Option<&'i str>,
) -> Vec<&'b Worked> {
    let all = || book.worked().iter().filter(|worked| worked.part == Some(part));
    let mut kinds: Vec<&str> = Vec::new();
    for worked in all() {
        if !kinds.contains(&worked.id.as_str()) {
            kinds.push(&worked.id);
        }
    }
    let here = |told: Option<&str>, wanted: Option<&str>| told.is_none() || told == wanted;
    let of = |(n, kind): (usize, &str)| {
        let fits =
            |one: &&Worked| here(one.slope.as_deref(), slope(n)) && here(one.vehicle.as_deref(), vehicle(n));
        all().filter(|one| one.id == kind).find(fits)
    };
    kinds.into_iter().enumerate().filter_map(of).collect()
}

/// Those that are not the one, or all when there is no other.
fn others<T>(all: &[T], is_other: impl Fn(&T) -> bool) -> Vec<&T> {
    let rest: Vec<&T> = all.iter().filter(|one| is_other(one)).collect();
    if rest.is_empty() { all.iter().collect() } else { rest }
}

/// Every worked example and exercise of the workbook.
pub(crate) fn used<'b>(book: &'b Book) -> Vec<&'b Worked> {
    let slope = leading_slope(book);
    let vehicle = book.lead(slope);
    shown_examples(book, slope, vehicle).into_iter().chain(exercises(book, slope, vehicle)).collect()
}

/// Whether a vehicle with its wheels locked stops on the slope, at likely values.
fn stops_locked(pair: &Pair) -> bool {
    pair.way(Way::Locked).is_some_and(|told| told.descent.likely_outcome == Outcome::StopsOnSlope)
}

/// Whose three runs are drawn: where locked wheels do not stop, if the course has that; else where they may not, at the
/// low end of the grip; else the leading slope.
fn run_of<'b>(book: &'b Book, leading: &'b Slope) -> (&'b Slope, &'b Vehicle, &'b Pair) {
    let of = |slope: &'b Slope| {
        let vehicle = book.lead(slope);
        (slope, vehicle, book.pair(slope, vehicle))
    };
    let all = || std::iter::once(leading).chain(&book.course.slopes).map(of);
    let in_gear = |(.., pair): &(_, _, &Pair)| pair.standing == Standing::InGear;
    let never = all().filter(in_gear).find(|(.., pair)| !stops_locked(pair));
    let worst = || {
        let mut slopes = all().filter(in_gear);
        slopes.find(|(slope, _, pair)| chart::slides_on(book.course, slope, pair).is_some())
    };
    never.or_else(worst).unwrap_or_else(|| of(leading))
}

fn exercise(book: &Book, no: usize, worked: &Worked) -> Exercise {
    let worked = &worked.direct();
    Exercise {
        no: no.to_string(),
        text: ask(book.course, worked),
        data: data(worked),
        // For each step its formula and its numbers.
        lines: (2 * worked.lines.len()).min(5),
        unit: worked.answer().unit.symbol.to_owned(),
    }
}

/// What is given, by name.
pub(crate) fn data(worked: &Worked) -> Vec<Datum> {
    worked
        .given
        .iter()
        .filter(|given| worked.puts_in(given))
        .map(|given| Datum {
            name: given.symbol.name.to_owned(),
            value: Fig::new(given.shown.text.clone(), given.unit.symbol, given.estimated),
        })
        .collect()
}

fn reply(no: usize, worked: &Worked) -> Answer {
    let worked = &worked.direct();
    let how: Vec<String> = worked.lines.iter().map(|line| line_on_page(&line.plain)).collect();
    Answer { no: no.to_string(), value: answer(worked), how: how.join("; ") }
}

fn ladder<'a>(book: &'a Book) -> Ladder<'a> {
    let said: Vec<String> = book
        .vehicles
        .iter()
        .filter_map(|vehicle| {
            let lowest = vehicle.gears.first()?;
            Some(format!(
                "{}: {} {} at {} to 1",
                vehicle.name,
                lowest.id,
                lowest.creep.text(),
                lowest.ratio.v
            ))
        })
        .collect();
    Ladder {
        unit: book.show.speed_unit(),
        vehicles: book
            .vehicles
            .iter()
            .map(|vehicle| LadderRow {
                name: format!("{} · {}", vehicle.id, vehicle.name),
                gears: vehicle
                    .gears
                    .iter()
                    .map(|gear| LadderGear {
                        id: &gear.id,
                        low: gear.low,
                        speed: gear.speed,
                        ratio: &gear.ratio.v,
                    })
                    .collect(),
            })
            .collect(),
        alt: format!("Creep speed at idle in every gear. Lowest gears: {}.", said.join("; ")),
        caption: "One scale for the whole fleet. Further left is slower for the same engine speed: a low first gear, low range and small tyres.",
    }
}
