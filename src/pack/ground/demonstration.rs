//! The demonstration: locked against geared on the same slope, at a scale that hurts nobody.

use serde::Serialize;

use crate::course::{Aid, Role, Slope, Vehicle};
use crate::engine::{Mark, Outcome, Standing, Way, steer};
use crate::lesson::Example;
use crate::pack::book::Book;
use crate::pack::ground::pad::{self, Pad};
use crate::pack::sheet::descent::DescentRow;
use crate::pack::sheet::fetch::NEVER;
use crate::pack::sheet::locked::slides_on;
use crate::pack::sheet::slope::SlopeSheet;
use crate::pack::sheet::vehicle::VehicleSheet;
use crate::page::figure::Fig;
use crate::page::meta::Meta;
use crate::page::worked::WorkedSheet;
use crate::rota::{Station, doing};

/// The demonstration script.
#[derive(Serialize)]
pub(crate) struct Demonstration<'a> {
    pack: Meta,
    demo: Demo<'a>,
    #[serde(skip)]
    place: Place<'a>,
}

#[derive(Serialize)]
struct Demo<'a> {
    slope: &'a SlopeSheet,
    vehicle: &'a VehicleSheet,
    descent: &'a DescentRow,
    beside: Fig,
    /// Who drives: somebody who teaches, by name where one is named.
    at_the_wheel: Option<String>,
    /// Whose vehicle it is, who is asked before; none where it is the driver's own, or nobody's.
    owner: Option<String>,
    /// Minutes of its turn, where a rota gives it one.
    turn: Option<String>,
    /// Whether its brakes let go by themselves: they may show no locked wheel.
    anti_lock: bool,
    /// Where and how the wheels are locked; none where no ground of the site shows it.
    pad: Option<Pad>,
    /// Why not, for each piece of ground that was looked at.
    no_pad: Vec<String>,
    numbers: Vec<Number>,
    worked: Vec<WorkedSheet>,
}

#[derive(Serialize)]
struct Number {
    name: &'static str,
    geared: Option<Fig>,
    locked: Option<Fig>,
}

impl<'a> Demonstration<'a> {
    /// The script, on a slope that a vehicle drives in gear and that is measured and has a run-out; none when no slope
    /// is fit for it.
    pub(crate) fn of(book: &'a Book, pack: Meta) -> Option<Self> {
        let place = Place::choose(book)?;
        Some(Self { pack, demo: place.demo(book)?, place })
    }

    /// The slope and the vehicle that are shown.
    pub(crate) fn place(&self) -> (&Slope, &Vehicle) {
        (self.place.slope, self.place.vehicle)
    }

    /// Whether wheels are locked in it.
    pub(crate) fn locks(&self) -> bool {
        self.demo.pad.is_some()
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

/// Why no slope is fit for the demonstration, each with what it lacks, and what would be fit.
pub(crate) fn why_none(book: &Book) -> String {
    let of = |slope: &Slope| {
        let in_gear = |vehicle: &Vehicle| book.pair(slope, vehicle).standing == Standing::InGear;
        let lacks = [
            (slope.survey.is_none(), "not measured"),
            (slope.run_out.is_none(), "no run-out told"),
            (slope.cross_slope.si() != 0.0, "tilts to the side"),
            (!book.course.vehicles.iter().any(in_gear), "no vehicle holds it in gear with its feet off"),
        ];
        let lacks: Vec<&str> = lacks.into_iter().filter(|(lacks, _)| *lacks).map(|(_, what)| what).collect();
        format!("{}: {}", slope.name, lacks.join(", "))
    };
    let slopes: Vec<String> = book.course.slopes.iter().map(of).collect();
    format!(
        "it wants a slope that is measured, has a run-out, does not tilt, and that a vehicle holds in gear with its feet off. {}",
        slopes.join("; ")
    )
}

struct Place<'a> {
    slope: &'a Slope,
    vehicle: &'a Vehicle,
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

    /// With the vehicle that shows the slope best; rather with one whose wheels lock, and that needs no foot over
    /// the brake.
    fn on(book: &'a Book, slope: &'a Slope) -> Option<Self> {
        let all = std::iter::once(book.lead(slope)).chain(&book.course.vehicles);
        let fit = all.filter_map(|vehicle| Self::with(book, slope, vehicle));
        fit.min_by_key(|place| (place.anti_lock(), place.near(book), place.not_fetched(book)))
    }

    /// Whether a stated tolerance breaks its gear.
    fn near(&self, book: &Book) -> bool {
        book.pair(self.slope, self.vehicle).judged.mark == Mark::Near
    }

    /// Whether the brakes let go by themselves.
    fn anti_lock(&self) -> bool {
        self.vehicle.aids.contains(&Aid::AntiLock)
    }

    /// How far the kit gets it off this slope when it is stuck: in every case, in some, in none. The day does not begin with
    /// a vehicle that nobody fetches.
    fn not_fetched(&self, book: &Book) -> u8 {
        let sheet = book.slope_sheet_of(&self.slope.id);
        let mark = book.vehicle_mark(&self.vehicle.id);
        let row = sheet.and_then(|sheet| sheet.descents.iter().find(|row| row.vehicle_id == mark));
        match row.and_then(|row| row.not_fetched.as_deref()) {
            None => 0,
            Some(NEVER) => 2,
            Some(_) => 1,
        }
    }

    /// First vehicles whose wheels lock, then those that are near no limit and that the kit fetches. Where the slide is shown
    /// on a skid pad, slopes on which locked wheels stop; without one those they slide down all the way, for the contrast.
    /// Then the gentlest.
    fn order(&self, book: &Book) -> (bool, bool, u8, bool, f64) {
        let locked = book.pair(self.slope, self.vehicle).way(Way::Locked);
        let stops = locked.is_none_or(|told| told.descent.likely_outcome == Outcome::StopsOnSlope)
            && !slides_on(book.course, self.slope);
        let contrast = pad::choose(book, self.vehicle).is_ok() != stops;
        let gradient = self.slope.steepest().gradient.si();
        (self.anti_lock(), self.near(book), self.not_fetched(book), contrast, gradient)
    }

    fn with(book: &'a Book, slope: &'a Slope, vehicle: &'a Vehicle) -> Option<Self> {
        let fit = book.pair(slope, vehicle).standing == Standing::InGear
            && slope.cross_slope.si() == 0.0
            && slope.run_out.is_some()
            && slope.survey.is_some();
        fit.then_some(Self { slope, vehicle })
    }

    fn demo(&self, book: &'a Book) -> Option<Demo<'a>> {
        let show = book.show;
        let sheet = book.slope_sheet_of(&self.slope.id)?;
        let (pad, no_pad) = match pad::choose(book, self.vehicle) {
            Ok(pad) => (Some(pad), Vec::new()),
            Err(why) => (None, why),
        };
        Some(Demo {
            slope: sheet,
            vehicle: book.vehicle_sheet_of(&self.vehicle.id)?,
            descent: sheet
                .descents
                .iter()
                .find(|row| row.vehicle_id == book.vehicle_mark(&self.vehicle.id))?,
            beside: show.beside_the_line(),
            owner: self.owner(book),
            turn: turn(book),
            at_the_wheel: at_the_wheel(book).map(|at| book.course.people[at].name.short()),
            anti_lock: self.anti_lock(),
            numbers: self.numbers(book, pad.as_ref()),
            pad,
            no_pad,
            worked: book
                .example(Example::SlideSpeed, None, None)
                .into_iter()
                .map(|worked| WorkedSheet::of(book.course, worked))
                .collect(),
        })
    }

    /// Who comes with this vehicle and does not drive it here.
    fn owner(&self, book: &Book) -> Option<String> {
        let wheel = at_the_wheel(book);
        let mut people = book.course.people.iter().enumerate();
        let owner = people.find(|(_, person)| person.vehicle.as_deref() == Some(self.vehicle.id.as_str()));
        let named = owner.filter(|(at, _)| Some(*at) != wheel).map(|(_, person)| person.name.short());
        let driver = book.course.roster.drivers.iter().find(|driver| driver.vehicle == self.vehicle.id);
        named.or_else(|| driver.map(|driver| driver.name.short()))
    }

    fn numbers(&self, book: &Book, pad: Option<&Pad>) -> Vec<Number> {
        let show = book.show;
        let pair = book.pair(self.slope, self.vehicle);
        let geared = pair.way(Way::Geared).map(|told| &told.descent);
        let locked = pair.way(Way::Locked).map(|told| &told.descent);
        let share = |share: f64| Fig::new(format!("{:.0}", 100.0 * share), "%", true);
        let height = geared.map(|descent| show.energy(descent.likely.ledger.height, true));
        let slide = pad.map(|pad| Number {
            name: "Slide with locked wheels, from peg 2",
            geared: None,
            locked: Some(pad.slide.clone()),
        });
        let all = [
            Number {
                name: "Highest speed on the whole slope (locked: reckoned, not shown)",
                geared: geared.map(|d| show.speeds(d.top_speed.low, d.top_speed.high, true)),
                locked: locked.map(|d| match d.outcome {
                    Outcome::StopsOnSlope if slides_on(book.course, self.slope) => {
                        Fig::new("may not stop, may gain speed", "", false)
                    }
                    Outcome::StopsOnSlope => Fig::new("stops on it", "", false),
                    _ => show.speeds(d.top_speed.low, d.top_speed.high, true),
                }),
            },
            Number {
                name: "Share of the grip that can steer, wheels turned 15°",
                geared: geared.and_then(|d| d.likely.steering).map(share),
                locked: pad
                    .is_some_and(|pad| !pad.loose)
                    .then(|| share(steer::sliding_share(0.0, steer::REFERENCE_STEER))),
            },
            Number { name: "Energy of the height to get rid of", geared: height.clone(), locked: height },
        ];
        slide.into_iter().chain(all).collect()
    }
}

/// Minutes of a turn at the demonstration.
fn turn(book: &Book) -> Option<String> {
    let rota = book.rota.as_ref()?;
    let shown = rota.visits.iter().find(|visit| matches!(visit.station, Station::Demonstration(_)))?;
    let slot = rota.slots[shown.slot];
    Some((slot.end - slot.start).to_string())
}

/// Who drives it: the first who teaches, as a place in the list of people.
pub(crate) fn at_the_wheel(book: &Book) -> Option<usize> {
    doing(book.course, Role::Instructor, book.missing()).first().copied()
}
