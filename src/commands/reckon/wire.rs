//! The machine's view: one JSON document, values in SI, printed texts as on the pages.

use std::io;

use serde::ser::SerializeSeq;
use serde::{Serialize, Serializer};

use crate::commands::rotated::{RotaRecord, record};
use crate::course::Course;
use crate::engine::{
    AxleDemand, Compared, DescentRecord, Judgement, Pair, Reckoning, Room, Spread, SurfaceFigures,
    VehicleFigures, Way, comparison,
};
use crate::formula::{Given, Line, Worked};
use crate::lesson::each_worked_example;
use crate::recovery::gear::Unfit;
use crate::recovery::ladder::{Fetch, Ladder};
use crate::recovery::{Recoveries, Recovery};
use crate::rota::Rota;

/// The format's number; it changes when a field changes its meaning or goes.
const FORMAT: u32 = 2;

#[derive(Serialize)]
struct Document<'a> {
    format: u32,
    course: &'a str,
    worked: WorkedRecords<'a>,
    surfaces: &'a [SurfaceFigures],
    vehicles: &'a [VehicleFigures],
    descents: Vec<DescentRecord<'a>>,
    verdicts: Vec<VerdictRecord<'a>>,
    axles: Vec<AxleRecord<'a>>,
    recoveries: &'a [Recovery],
    /// The ladder of means for each way of being stuck.
    ladders: &'a [Ladder],
    /// Whether the kit fetches each vehicle from each slope, and what the course makes of it.
    fetch: &'a [Fetch],
    /// What of kit and fleet is never used to pull, and why.
    recovery_unfit: &'a [Unfit],
    /// The comparison: who is slowest down one slope, and what each factor was worth; none where nobody is compared.
    comparison: Option<ComparisonRecord<'a>>,
    /// Who is where when; none without a roster, and when only a part of the course is asked for.
    rota: Option<RotaRecord<'a>>,
}

/// Every worked example, written as soon as it is worked.
struct WorkedRecords<'a> {
    course: &'a Course,
    reckoning: &'a Reckoning,
}

impl Serialize for WorkedRecords<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut records = serializer.serialize_seq(None)?;
        each_worked_example(self.course, self.reckoning, |worked| {
            records.serialize_element(&worked_record(&worked))
        })?;
        records.end()
    }
}

/// What a pair comes to.
#[derive(Serialize)]
struct VerdictRecord<'a> {
    slope: &'a str,
    vehicle: &'a str,
    #[serde(flatten)]
    judged: &'a Judgement,
    /// Room under the vehicle where there is least, m; empty where nobody measured its underside.
    rooms: &'a [Room],
}

/// The fleet down one slope in the lowest gear that goes feet off, slowest first.
#[derive(Serialize)]
struct ComparisonRecord<'a> {
    slope: &'a str,
    vehicles: Vec<ComparedRecord<'a>>,
}

#[derive(Serialize)]
struct ComparedRecord<'a> {
    vehicle: &'a str,
    gear: String,
    ratio: f64,
    /// Held at idle for each unit of weight.
    held: f64,
    /// Asked by the steepest stretch for each unit of weight.
    asked: f64,
    time: Spread,
    /// Settled speed on the steepest stretch, m/s; null without a balance.
    speed: Option<f64>,
    /// The same with one thing of the slowest put in.
    exchanged: ExchangedRecord,
}

#[derive(Serialize)]
struct ExchangedRecord {
    ratio: Option<f64>,
    drag: Option<f64>,
    tyre: Option<f64>,
    mass: Option<f64>,
}

/// Loads and demands of the axles where one of them is nearest to its limit, N.
#[derive(Serialize)]
struct AxleRecord<'a> {
    slope: &'a str,
    vehicle: &'a str,
    way: Way,
    gear: Option<String>,
    #[serde(flatten)]
    axles: AxleDemand,
}

#[derive(Serialize)]
struct WorkedRecord<'a> {
    id: &'a str,
    title: &'a str,
    slope: Option<&'a str>,
    vehicle: Option<&'a str>,
    gear: Option<&'a str>,
    given: Vec<GivenRecord<'a>>,
    lines: Vec<LineRecord<'a>>,
    answer: AnswerRecord<'a>,
}

#[derive(Serialize)]
struct GivenRecord<'a> {
    symbol: &'a str,
    name: &'a str,
    value: f64,
    printed: String,
    unit: &'a str,
    estimated: bool,
}

#[derive(Serialize)]
struct LineRecord<'a> {
    formula: &'a str,
    letters: String,
    plain: &'a str,
    spoken: &'a str,
    value: f64,
    printed: String,
    unit: &'a str,
}

#[derive(Serialize)]
struct AnswerRecord<'a> {
    symbol: &'a str,
    name: &'a str,
    value: f64,
    printed: String,
    unit: &'a str,
}

/// Writes the document, ended by a newline.
pub(super) fn write(
    mut to: &mut dyn io::Write,
    course: &Course,
    reckoning: &Reckoning,
    recoveries: &Recoveries,
    rota: &[(Course, Rota)],
) -> io::Result<()> {
    let document = Document {
        format: FORMAT,
        course: course.title.full(),
        worked: WorkedRecords { course, reckoning },
        surfaces: &reckoning.surfaces,
        vehicles: &reckoning.vehicles,
        descents: reckoning.descents().collect(),
        verdicts: reckoning.pairs.iter().map(verdict_record).collect(),
        axles: reckoning.descents().filter_map(|record| axle_record(&record)).collect(),
        recoveries: &recoveries.all,
        ladders: &recoveries.ladders,
        fetch: &recoveries.fetch,
        recovery_unfit: &recoveries.unfit,
        comparison: comparison(course, reckoning).map(|(slope, rows)| compared(course, slope, &rows)),
        rota: (!rota.is_empty()).then(|| record(rota)),
    };
    serde_json::to_writer_pretty(&mut to, &document)?;
    to.write_all(b"\n")
}

fn compared<'a>(course: &'a Course, slope: usize, rows: &[Compared]) -> ComparisonRecord<'a> {
    let of_row = |row: &Compared| {
        let [ratio, drag, tyre, mass] = row.exchanged;
        ComparedRecord {
            vehicle: &course.vehicles[row.vehicle].id,
            gear: row.gear.to_string(),
            ratio: row.ratio,
            held: row.held,
            asked: row.asked,
            time: row.time,
            speed: row.speed,
            exchanged: ExchangedRecord { ratio, drag, tyre, mass },
        }
    };
    ComparisonRecord { slope: &course.slopes[slope].id, vehicles: rows.iter().map(of_row).collect() }
}

fn verdict_record(pair: &Pair) -> VerdictRecord<'_> {
    VerdictRecord { slope: &pair.slope, vehicle: &pair.vehicle, judged: &pair.judged, rooms: &pair.rooms }
}

/// The tightest corner's axles; none of wheels that are locked or want nothing.
fn axle_record<'a>(record: &DescentRecord<'a>) -> Option<AxleRecord<'a>> {
    let descent = &record.told.descent;
    let axles = descent.axles().filter(|_| descent.way != Way::Locked)?;
    let gear = descent.gear.map(|gear| gear.to_string());
    Some(AxleRecord { slope: record.slope, vehicle: record.vehicle, way: descent.way, gear, axles })
}

fn worked_record(worked: &Worked) -> WorkedRecord<'_> {
    let answer = worked.answer();
    WorkedRecord {
        id: &worked.id,
        title: &worked.title,
        slope: worked.slope.as_deref(),
        vehicle: worked.vehicle.as_deref(),
        gear: worked.gear.as_deref(),
        given: worked.given.iter().map(given_record).collect(),
        lines: worked.lines.iter().map(line_record).collect(),
        answer: AnswerRecord {
            symbol: answer.formula.gives.id,
            name: answer.formula.gives.name,
            value: answer.si,
            printed: printed(&answer.shown.text),
            unit: answer.unit.symbol,
        },
    }
}

fn given_record(given: &Given) -> GivenRecord<'_> {
    GivenRecord {
        symbol: given.symbol.id,
        name: given.symbol.name,
        value: given.si,
        printed: printed(&given.shown.text),
        unit: given.unit.symbol,
        estimated: given.estimated,
    }
}

fn line_record(line: &Line) -> LineRecord<'_> {
    LineRecord {
        formula: line.formula.id,
        letters: format!("{} = {}", line.formula.gives.plain, line.plain_letters),
        plain: &line.plain,
        spoken: &line.spoken,
        value: line.si,
        printed: printed(&line.shown.text),
        unit: line.unit_text(),
    }
}

fn printed(text: &str) -> String {
    text.to_owned()
}
