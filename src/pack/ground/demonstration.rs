//! The demonstration: locked against geared on the same slope, at a scale that hurts nobody.

use serde::Serialize;

use crate::course::{Band, Course, Ground, Slope, Surface, Vehicle};
use crate::engine::formulas::GRAVITY;
use crate::engine::formulas::slope::{locked_deceleration, stop_distance};
use crate::engine::{Outcome, Standing, Way, steer};
use crate::pack::book::Book;
use crate::pack::sheet::descent::DescentRow;
use crate::pack::sheet::slope::SlopeSheet;
use crate::pack::sheet::vehicle::VehicleSheet;
use crate::page::chart::{self, Chart, HeatBars};
use crate::page::figure::Fig;
use crate::page::meta::Meta;
use crate::page::outline::Outline;
use crate::page::worked::WorkedSheet;

/// The demonstration script.
#[derive(Serialize)]
pub struct Demonstration<'a> {
    pack: Meta,
    demo: Demo<'a>,
}

#[derive(Serialize)]
struct Demo<'a> {
    slope: &'a SlopeSheet,
    vehicle: &'a VehicleSheet,
    descent: &'a DescentRow,
    locked_stretch: Fig,
    entry_speed: Fig,
    mark_gap: Fig,
    beside: Fig,
    ground: String,
    loose: bool,
    numbers: Vec<Number>,
    observers: String,
    scale: String,
    run: Chart,
    steering: Chart,
    heat: HeatBars,
    worked: Vec<WorkedSheet>,
}

#[derive(Serialize)]
struct Number {
    name: &'static str,
    geared: Option<Fig>,
    locked: Option<Fig>,
}

/// Fastest a demonstration with locked wheels is driven, m/s: 6 km/h. Common practice, no source.
const SLOWLY: f64 = 6.0 / 3.6;

impl<'a> Demonstration<'a> {
    /// The script, on a slope that a vehicle drives in gear and that has a run-out on which locked
    /// wheels stop; none when no slope is fit for it.
    pub fn of(book: &'a Book, pack: Meta) -> Option<Self> {
        let place = Place::choose(book)?;
        Some(Self { pack, demo: place.demo(book)? })
    }
}

impl Demonstration<'_> {
    /// Whether the script is for the slope and vehicle that the rota shows; true without a rota.
    pub(crate) fn follows_rota(book: &Book) -> bool {
        let Some(shown) = book.shown() else { return true };
        let (slope, vehicle) = (&book.course.slopes[shown.slope], &book.course.vehicles[shown.vehicle]);
        Place::with(book, slope, vehicle).is_some()
    }
}

struct Place<'a> {
    slope: &'a Slope,
    vehicle: &'a Vehicle,
    entry: f64,
    /// Shortest and longest locked slide on the run-out, m.
    slide: (f64, f64),
    run_out: f64,
    loose: bool,
}

impl<'a> Place<'a> {
    /// The slope and vehicle that the rota shows, where that slope is fit for it; else the best one.
    fn choose(book: &'a Book) -> Option<Self> {
        let course = book.course;
        let of_rota = book.shown();
        let of_rota = of_rota.map(|shown| (&course.slopes[shown.slope], &course.vehicles[shown.vehicle]));
        if let Some(place) = of_rota.and_then(|(slope, vehicle)| Self::with(book, slope, vehicle)) {
            return Some(place);
        }
        course
            .slopes
            .iter()
            .filter_map(|slope| Self::on(book, slope))
            .min_by(|a, b| a.order(book).partial_cmp(&b.order(book)).expect("gradients are numbers"))
    }

    /// First slopes that locked wheels slide all the way down, for the contrast; then the gentlest.
    fn order(&self, book: &Book) -> (bool, f64) {
        let locked = book.pair(self.slope, self.vehicle).way(Way::Locked);
        let stops = locked.is_none_or(|told| told.descent.likely_outcome == Outcome::StopsOnSlope);
        (stops, self.slope.steepest().gradient.si())
    }

    fn on(book: &'a Book, slope: &'a Slope) -> Option<Self> {
        Self::with(book, slope, book.lead(slope))
    }

    fn with(book: &'a Book, slope: &'a Slope, vehicle: &'a Vehicle) -> Option<Self> {
        if book.pair(slope, vehicle).standing != Standing::InGear || slope.cross_slope.si() != 0.0 {
            return None;
        }
        let run_out = slope.run_out.as_ref()?;
        let (sliding, loose) = footing(book.course, slope);
        let entry = SLOWLY.min(book.course.limits.descent_speed.si());
        let stop = |friction: f64| {
            let slowing = locked_deceleration(GRAVITY, friction, run_out.gradient.si());
            (slowing > 0.0).then(|| stop_distance(entry, slowing))
        };
        let slide = (stop(sliding.high)?, stop(sliding.low)?);
        // Room for three times the longest slide, or it is not shown here.
        (3.0 * slide.1 <= run_out.length.si()).then(|| Self {
            slope,
            vehicle,
            entry,
            slide,
            run_out: run_out.length.si(),
            loose,
        })
    }

    fn demo(&self, book: &'a Book) -> Option<Demo<'a>> {
        let show = book.show;
        let sheet = book.slope_sheet_of(&self.slope.id)?;
        let pair = book.pair(self.slope, self.vehicle);
        let slide = show.lengths(self.slide.0, self.slide.1, true);
        // From the peg where the wheels lock: twice the longest slide, and the vehicle itself.
        let room = show.length((2.0 * self.slide.1 + Outline::of(self.vehicle).length()).ceil(), false);
        let beside = show.beside_the_line();
        let entry = show.speed(self.entry, false);
        Some(Demo {
            slope: sheet,
            vehicle: book.vehicle_sheet_of(&self.vehicle.id)?,
            descent: sheet
                .descents
                .iter()
                .find(|row| row.vehicle_id == book.vehicle_mark(&self.vehicle.id))?,
            scale: format!(
                "The wheels are locked on the run-out only: from {} the slide is {} there, and {} of run-out are clear. It is a short slide, so it is the marks that show it: a curve while the wheels turn, a straight smear from where they stop.",
                entry.text(),
                slide.text(),
                show.length(self.run_out, false).text()
            ),
            observers: format!(
                "to the side of the run-out, behind a rope, {} from the line, never below it",
                beside.text()
            ),
            locked_stretch: room,
            entry_speed: entry,
            mark_gap: slide.clone(),
            beside,
            ground: ground_of(book.course, self.slope).name.clone(),
            loose: self.loose,
            numbers: self.numbers(book, slide),
            run: chart::run(book.course, self.slope, self.vehicle, pair, show)?,
            steering: chart::steering(),
            heat: chart::heat(book.course, self.slope, self.vehicle, pair, show)?,
            worked: ["locked-stop", "locked-runaway", "creep-speed"]
                .iter()
                .filter_map(|id| {
                    let slope = (*id != "creep-speed").then_some(self.slope.id.as_str());
                    book.example(id, slope, Some(&self.vehicle.id))
                })
                .map(|worked| WorkedSheet::of(book.course, worked))
                .collect(),
        })
    }

    fn numbers(&self, book: &Book, slide: Fig) -> Vec<Number> {
        let show = book.show;
        let pair = book.pair(self.slope, self.vehicle);
        let geared = pair.way(Way::Geared).map(|told| &told.descent);
        let locked = pair.way(Way::Locked).map(|told| &told.descent);
        let share = |share: f64| Fig::new(format!("{:.0}", 100.0 * share), "%", true);
        let height = geared.map(|descent| show.energy(descent.likely.ledger.height, true));
        vec![
            Number { name: "Slide on the run-out from the entry speed", geared: None, locked: Some(slide) },
            Number {
                name: "Speed at the foot of the whole slope (locked: reckoned, not shown)",
                geared: geared.map(|d| show.speeds(d.foot_speed.low, d.foot_speed.high, true)),
                locked: locked.map(|d| match d.outcome {
                    Outcome::StopsOnSlope => Fig::new("does not reach it", "", false),
                    _ => show.speeds(d.foot_speed.low, d.foot_speed.high, true),
                }),
            },
            Number {
                name: "Share of the grip that can steer, wheels turned 15°",
                geared: geared.and_then(|d| d.likely.steering).map(share),
                locked: (!self.loose).then(|| share(steer::sliding_share(0.0, steer::REFERENCE_STEER))),
            },
            Number { name: "Energy of the height to get rid of", geared: height.clone(), locked: height },
        ]
    }
}

/// The ground of the run-out: its own, or the slope's.
fn ground_of<'a>(course: &'a Course, slope: &'a Slope) -> &'a Surface {
    let own = slope.run_out.as_ref().and_then(|run_out| run_out.surface.as_deref());
    own.and_then(|id| course.surface(id)).unwrap_or_else(|| course.surface_of(slope))
}

/// Friction of locked wheels on the run-out, and whether its ground is loose.
fn footing(course: &Course, slope: &Slope) -> (Band, bool) {
    let surface = ground_of(course, slope);
    (surface.sliding, surface.ground == Ground::Loose)
}
