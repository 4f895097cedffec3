//! The wet day: which slopes close, in which order, which gears change on those that stay open, and a test on the
//! ground that says whether the grip the cards reckon with is there.

use serde::Serialize;

use crate::course::{Aid, Course, Slope, Soil, Surface, Vehicle};
use crate::engine::formulas::GRAVITY;
use crate::engine::formulas::slope::stop_distance;
use crate::engine::{FASTEST, Judgement, Mark, Pair, pairs_where};
use crate::pack::book::{Book, Soaked};
use crate::pack::day::careful::careful;
use crate::pack::ground::pad::gear_for;
use crate::quantity::Speed;

/// The plan for a wet day.
#[derive(Debug, Serialize)]
pub(crate) struct Wet {
    /// In the order in which they close.
    rows: Vec<WetRow>,
    test: Test,
}

/// How wheels are locked to measure a trace.
#[derive(Debug, Serialize)]
struct Test {
    /// The speed at the peg.
    speed: String,
    /// Between the pegs before it, and what that may take: who is slower leaves a shorter trace, who is faster breaks the
    /// site's limit.
    apart: String,
    time: String,
    /// Whose wheels lock: those without anti-lock, each with its gear for that speed; none where every vehicle has it.
    locks: Option<String>,
}

#[derive(Debug, Serialize)]
struct WetRow {
    mark: String,
    name: String,
    /// What the cards reckon with.
    ground: String,
    /// Longest trace of locked wheels with which the card holds.
    card: String,
    /// What holds when it is wet: gears by vehicle, or why it closes.
    wet: String,
    /// Longest trace with which those gears hold; none where it closes.
    trace: Option<String>,
    open: bool,
    /// What of it differs from the card; empty where nothing does.
    change: String,
    /// What becomes of each vehicle that drives it in the dry, by its mark.
    #[serde(skip)]
    each: Vec<(String, Then)>,
}

/// What becomes of a vehicle on a slope when it gets wet.
#[derive(Clone, Debug, PartialEq)]
enum Then {
    /// It drives as on the card.
    Same,
    /// It drives so.
    Drives(String),
    /// It stays up, others drive.
    Stays,
    /// Nobody drives.
    Closed,
}

impl Wet {
    /// From the book: the slopes that somebody drives; none where nobody drives any.
    pub(crate) fn of(book: &Book) -> Option<Self> {
        let course = book.course;
        let soaked = book.soaked();
        let mut slopes: Vec<&Slope> =
            course.slopes.iter().filter(|slope| drives(book, slope) && slope.survey.is_some()).collect();
        // The one that leaves least of its grip closes first.
        let left = |slope: &Slope| {
            course.surface_of(slope).sliding.low / libm::tan(slope.steepest().gradient.si()).max(1e-3)
        };
        slopes.sort_by(|a, b| left(a).total_cmp(&left(b)));
        let rows: Vec<WetRow> = slopes.into_iter().map(|slope| row(book, slope, soaked)).collect();
        (!rows.is_empty()).then(|| Self { rows, test: Test::of(book) })
    }
}

/// What the driver of the test is given between the fastest and the slowest time, s: a hand on a watch. Judgement.
const WATCHED: f64 = 0.2;

/// Least and most time from peg to peg, s, in tenths: at the most as fast as the site allows, since a long trace tells
/// grounds apart that a short one does not; never slower than the course's limit on a slope.
fn test_times(course: &Course, apart: f64) -> [f64; 2] {
    let site = course.day.site_speed.map_or(FASTEST, Speed::si);
    let fastest = FASTEST.min(site).max(course.limits.descent_speed.si());
    let least = libm::ceil(10.0 * apart / fastest - 1e-9) / 10.0;
    [least, least + WATCHED]
}

/// The slowest speed at the peg that counts, m/s: the trace is reckoned from it.
fn test_speed(book: &Book) -> f64 {
    let apart = book.show.pegs_apart();
    apart / test_times(book.course, apart)[1]
}

impl Test {
    fn of(book: &Book) -> Self {
        let apart = book.show.pegs_apart();
        let [least, most] = test_times(book.course, apart);
        Self {
            speed: book.show.speeds(apart / most, apart / least, false).text(),
            apart: book.show.length(apart, false).trimmed().text(),
            time: format!("{least:.1} to {most:.1} s"),
            locks: without_anti_lock(book, apart / least),
        }
    }
}

impl Wet {
    /// What the card of a slope says of rain; none where it reckons with wet ground, or nothing changes.
    pub(crate) fn on_card(&self, mark: &str) -> Option<String> {
        let row = self.rows.iter().find(|row| row.mark == mark)?;
        match (row.open, row.change.as_str()) {
            (false, _) => Some("Wet: closed".to_owned()),
            (true, "") => None,
            (true, change) => Some(format!("Wet, test passed: {change}")),
        }
    }
}

impl Wet {
    /// What the card of a vehicle says of rain, by its mark; none where nothing changes for it.
    pub(crate) fn on_card_of(&self, book: &Book, vehicle: &str) -> Option<String> {
        let mut rows: Vec<&WetRow> = self.rows.iter().collect();
        rows.sort_by_key(|row| book.slopes.iter().position(|sheet| sheet.id == row.mark));
        let then =
            |row: &WetRow| row.each.iter().find(|(mark, _)| mark == vehicle).map(|(_, then)| then.clone());
        let so = |wanted: &Then| {
            let marks = rows.iter().filter(|row| then(row).as_ref() == Some(wanted));
            marks.map(|row| row.mark.as_str()).collect::<Vec<_>>().join(", ")
        };
        let listed = |word: &str, then: &Then| {
            Some(so(then)).filter(|all| !all.is_empty()).map(|all| format!("{word} {all}"))
        };
        let driven = rows.iter().filter_map(|row| match then(row) {
            Some(Then::Drives(gear)) => Some(format!("{} if opened {gear}", row.mark)),
            _ => None,
        });
        let said: Vec<String> = [listed("closed", &Then::Closed), listed("stays up on", &Then::Stays)]
            .into_iter()
            .flatten()
            .chain(driven)
            .collect();
        (!said.is_empty()).then(|| said.join("; "))
    }
}

/// Most vehicles the test names one by one.
const NAMED: usize = 6;

/// Those whose brakes do not let go by themselves, each with the gear in which it does that speed, m/s.
fn without_anti_lock(book: &Book, speed: f64) -> Option<String> {
    let fleet = book.course.vehicles.iter().filter(|vehicle| !vehicle.aids.contains(&Aid::AntiLock));
    let in_gear = |vehicle: &Vehicle| {
        let mark = book.vehicle_mark(&vehicle.id);
        gear_for(vehicle, speed).map(|gear| format!("{mark} in {gear}"))
    };
    let marks: Vec<String> = fleet.filter_map(in_gear).collect();
    match marks.len() {
        0 => None,
        few if few <= NAMED => Some(marks.join(", ")),
        _ => Some("its vehicle check says which".to_owned()),
    }
}

impl Book<'_> {
    /// The slopes whose ground has a wet one in the library, wetted, and what whoever drives them in the dry does on them
    /// then; none where there is none. Reckoned when it is first asked for.
    pub(crate) fn soaked(&self) -> Option<&Soaked> {
        let goes = |slope: &Slope, vehicle: &Vehicle| {
            self.reckoning.pair(&slope.id, &vehicle.id).is_some_and(|pair| pair.judged.mark.goes())
        };
        let soaked = self.soaked.get_or_init(|| {
            let wet = soaked(self.course)?;
            let pairs = pairs_where(&wet, goes);
            Some((wet, pairs))
        });
        soaked.as_ref()
    }
}

fn drives(book: &Book, slope: &Slope) -> bool {
    book.course.vehicles.iter().any(|vehicle| book.pair(slope, vehicle).judged.mark.goes())
}

/// The course with the slopes alone that have a surface for the wet, the course's own or the library's, wetted; none where
/// there is none. Others have no wet figure, so they close.
fn soaked(course: &Course) -> Option<Course> {
    let mut wet = course.clone();
    wet.slopes.retain(|slope| slope.when_wet().is_some());
    for at in 0..wet.slopes.len() {
        if let Some(to) = wet.slopes[at].when_wet() {
            wet.wets(at, &to);
        }
    }
    (!wet.slopes.is_empty()).then_some(wet)
}

fn row(book: &Book, slope: &Slope, soaked: Option<&Soaked>) -> WetRow {
    let surface = book.course.surface_of(slope);
    let wetted = soaked.and_then(|(course, pairs)| {
        let same = course.slopes.iter().find(|one| one.id == slope.id)?;
        Some((course.surface_of(same), gears(book, slope, pairs)))
    });
    let mut change = String::new();
    let mut each = each_driver(book, slope, &Then::Closed);
    let (wet, longest, open) = match wetted {
        Some((ground, Some(gears))) => {
            (change, each) = (gears.change, gears.each);
            (gears.all, Some(trace(book, ground)), true)
        }
        Some((_, None)) => ("closed when wet: no gear holds within the limits".to_owned(), None, false),
        None if surface.soil == Soil::Wet => {
            each = each_driver(book, slope, &Then::Same);
            let as_it_is = "as on the card, which reckons with wet ground; closed when water stands on it";
            (as_it_is.to_owned(), Some(trace(book, surface)), true)
        }
        None => ("closed when wet: no figure for this ground wet".to_owned(), None, false),
    };
    WetRow {
        mark: book.slope_mark(&slope.id),
        name: slope.name.short(),
        ground: surface.name.short(),
        card: trace(book, surface),
        wet,
        trace: longest,
        open,
        change,
        each,
    }
}

/// The same for everybody who drives a slope in the dry.
fn each_driver(book: &Book, slope: &Slope, then: &Then) -> Vec<(String, Then)> {
    let drivers = book.course.vehicles.iter().filter(|vehicle| book.pair(slope, vehicle).judged.mark.goes());
    drivers.map(|vehicle| (book.vehicle_mark(&vehicle.id), then.clone())).collect()
}

/// How far locked wheels slide on the level from the speed of the test, at the low end of the ground's grip.
fn trace(book: &Book, surface: &Surface) -> String {
    let far = stop_distance(test_speed(book), GRAVITY * surface.sliding.low);
    // A limit to go by is rounded down, to a tenth of a metre.
    book.show.length(libm::floor(10.0 * far) / 10.0, true).text()
}

/// The gears of a wet slope.
struct WetGears {
    /// Vehicle by vehicle, with those that stay up.
    all: String,
    /// Those alone that are not as in the dry.
    change: String,
    each: Vec<(String, Then)>,
}

/// The gears that hold within the limits on the wet slope; none where no vehicle goes.
fn gears(book: &Book, slope: &Slope, wet: &[Pair]) -> Option<WetGears> {
    let (mut go, mut other, mut stay, mut each) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for vehicle in &book.course.vehicles {
        let mark = book.vehicle_mark(&vehicle.id);
        // What stays up in the dry stays up; what is near a limit in the wet stays up as well.
        let dry = &book.pair(slope, vehicle).judged;
        if !dry.mark.goes() {
            continue;
        }
        let here = |pair: &&Pair| pair.slope == slope.id && pair.vehicle == vehicle.id;
        let judged = wet.iter().find(here).map(|pair| &pair.judged);
        let judged = judged.filter(|wet| careful(vehicle, dry, wet));
        let Some(judged) = judged else {
            each.push((mark.clone(), Then::Stays));
            stay.push(mark);
            continue;
        };
        let one = format!("{mark} {}", driven(judged));
        let same = driven(judged) == driven(dry);
        each.push((mark, if same { Then::Same } else { Then::Drives(driven(judged)) }));
        if !same {
            other.push(one.clone());
        }
        go.push(one);
    }
    let up = (!stay.is_empty()).then(|| format!("stay up: {}", stay.join(", ")));
    let all =
        |list: &[String]| [(!list.is_empty()).then(|| list.join(", ")), up.clone()].into_iter().flatten();
    let joined = |list: &[String]| all(list).collect::<Vec<_>>().join("; ");
    (!go.is_empty()).then(|| WetGears { all: joined(&go), change: joined(&other), each })
}

/// The gear, and the foot brake where it helps.
fn driven(judged: &Judgement) -> String {
    let gear = judged.gear.map_or_else(|| "–".to_owned(), |gear| gear.to_string());
    let brake = if judged.mark == Mark::WithBrake { " + brake" } else { "" };
    format!("{gear}{brake}")
}
