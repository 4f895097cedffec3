//! Practical assessment: the observation record, and how far two assessors agree.

use serde::Serialize;

use super::sheets::Issue;
use super::statistics::{Kappa, Weights, kappa, kappa_in_words};
use crate::engine::{Reckoning, Standing, Way};
use crate::page::{Meta, Show};
use crate::problem::Problem;
use crate::spreadsheet::{Table, plain};

/// What is observed: short name, what can be seen, whether failing it fails the whole. Common
/// practice, no source.
pub const CRITERIA: [(&str, &str, bool); 8] = [
    (
        "Setup",
        "Belts on, loose things stowed; brake pedal pressed and held on the level, before the brow.",
        false,
    ),
    (
        "Gear before the edge",
        "Range and gear of the table engaged and said aloud before the nose goes over; not changed on the slope.",
        true,
    ),
    ("Brow", "Stands at the brow until the spotter gives the sign.", true),
    ("Line", "Stays within one wheel’s width of the line shown, on the fall line.", false),
    ("Speed", "Timed speed over the measured stretch lies within the figure below.", false),
    ("No locked wheel", "No wheel stops turning; the spotter watches all four.", false),
    (
        "Recovery of a slide",
        "Foot off, wheels turn, then steers: in this order. If nothing slid: shown on the level.",
        false,
    ),
    ("Communication", "Stops at once at the stop sign; answers signals; says when something is wrong.", true),
];

/// Observation records of every slope.
#[derive(Serialize)]
pub struct Observation {
    pack: Meta,
    criteria: Vec<Criterion>,
    slopes: Vec<SlopeRecord>,
    filled: Option<Moderation>,
}

#[derive(Serialize)]
struct Criterion {
    name: &'static str,
    seen: &'static str,
    critical: bool,
}

#[derive(Serialize)]
struct SlopeRecord {
    id: String,
    name: String,
    grade: String,
    vehicles: Vec<VehicleRow>,
}

#[derive(Serialize)]
struct VehicleRow {
    name: String,
    gear: String,
    speed: String,
    may: String,
}

impl Observation {
    /// The blank records of a course, with the figures of each vehicle on each slope.
    pub fn of(issue: &Issue, reckoning: &Reckoning) -> Self {
        let meta = Meta::of_record(
            issue.course,
            "Practical assessment",
            "assessors",
            "observation",
            issue.fingerprint,
        );
        Self { pack: meta, criteria: criteria(), slopes: slopes(issue, reckoning), filled: None }
    }

    /// The moderation sheet of what two assessors saw.
    pub fn moderated(issue: &Issue, moderation: Moderation) -> Self {
        let meta = Meta::of_record(issue.course, "Moderation", "assessors", "moderation", issue.fingerprint);
        Self { pack: meta, criteria: criteria(), slopes: Vec::new(), filled: Some(moderation) }
    }
}

fn criteria() -> Vec<Criterion> {
    CRITERIA.iter().map(|(name, seen, critical)| Criterion { name, seen, critical: *critical }).collect()
}

fn slopes(issue: &Issue, reckoning: &Reckoning) -> Vec<SlopeRecord> {
    let course = issue.course;
    let show = Show::new(course.units);
    (1..)
        .zip(&course.slopes)
        .map(|(no, slope)| SlopeRecord {
            id: format!("S{no}"),
            name: slope.name.short(),
            grade: show.grade(slope.steepest().gradient.si()),
            vehicles: course
                .vehicles
                .iter()
                .filter_map(|vehicle| {
                    let pair = reckoning.pair(&slope.id, &vehicle.id)?;
                    let way = if pair.standing == Standing::InGear { Way::Geared } else { Way::Assisted };
                    let not_here = pair.standing == Standing::NotHere;
                    let speed = pair.way(way).filter(|_| !not_here).map_or_else(
                        || "–".to_owned(),
                        |told| {
                            let speed = told.descent.foot_speed;
                            show.speeds(speed.low, speed.high, false).text()
                        },
                    );
                    Some(VehicleRow {
                        name: vehicle.name.short(),
                        gear: pair
                            .gear
                            .filter(|_| !not_here)
                            .map_or_else(|| "–".to_owned(), |gear| gear.to_string()),
                        speed,
                        may: match pair.standing {
                            Standing::InGear => "in gear",
                            Standing::NotHere => "does not drive here",
                            Standing::InGearWithFootBrake => "in gear with the foot brake",
                        }
                        .to_owned(),
                    })
                })
                .collect(),
        })
        .collect()
}

/// How far two assessors agree.
#[derive(Clone, Debug, Serialize)]
pub struct Moderation {
    /// All criteria together, then each by itself.
    pub rows: Vec<Agreement>,
    /// Counts: first assessor's grade down, second's across.
    pub counts: Vec<Vec<String>>,
    /// Where they differ: driver, slope, criterion, both grades.
    pub differences: Vec<[String; 5]>,
}

/// Agreement on one criterion.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Agreement {
    /// The criterion.
    pub criterion: String,
    /// Performances both saw.
    pub count: String,
    /// Share on which they agree.
    pub agreed: String,
    /// Cohen's kappa, or why there is none.
    pub kappa: String,
    /// Kappa with squared weights.
    pub weighted: String,
    /// In words.
    pub words: String,
}

/// One performance, seen by two assessors: grades 0 not met, 1 met with a prompt, 2 met.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pair {
    /// Who drove.
    pub driver: String,
    /// Where.
    pub slope: String,
    /// What was observed.
    pub criterion: String,
    /// The first assessor's grade.
    pub first: usize,
    /// The second's.
    pub second: usize,
}

/// Reads what two assessors saw: columns driver, slope, criterion, first, second. Bad rows are
/// told, the others kept. Returns the text that places refer to as well.
pub fn read_pairs(bytes: &[u8]) -> (Vec<Pair>, Vec<Problem>, String) {
    let names = ["driver", "slope", "criterion", "first", "second"];
    let table = Table::read(bytes, |head| names.contains(&head));
    let mut problems = table.problems.clone();
    let column = |name: &str| table.head.iter().position(|cell| plain(&cell.text) == name);
    let columns: Vec<Option<usize>> = names.iter().map(|name| column(name)).collect();
    if let Some(at) = columns.iter().position(Option::is_none) {
        if table.head.is_empty() && !problems.is_empty() {
            return (Vec::new(), problems, table.source);
        }
        problems.push(
            Problem::new(format!("the observations have no column `{}`", names[at]))
                .help("the first line names the columns: driver, slope, criterion, first, second"),
        );
        return (Vec::new(), problems, table.source);
    }
    let columns: Vec<usize> = columns.into_iter().flatten().collect();
    let mut pairs = Vec::new();
    for row in &table.rows {
        if let Some(problem) = table.too_long(row) {
            problems.push(problem);
            continue;
        }
        let text = |at: usize| row.cells.get(columns[at]).map_or("", |cell| cell.text.as_str());
        let grade = |at: usize| text(at).parse::<usize>().ok().filter(|grade| *grade <= 2);
        match (grade(3), grade(4)) {
            (Some(first), Some(second)) => pairs.push(Pair {
                driver: text(0).to_owned(),
                slope: text(1).to_owned(),
                criterion: text(2).to_owned(),
                first,
                second,
            }),
            (first, _) => {
                let at = if first.is_none() { 3 } else { 4 };
                let place = row.cells.get(columns[at]).map_or(row.span.clone(), |cell| cell.span.clone());
                problems.push(
                    Problem::new(format!("`{}` is not a grade", text(at)))
                        .help("grades are 2 met, 1 met with a prompt, 0 not met; both assessors must have seen it")
                        .at(place),
                );
            }
        }
    }
    (pairs, table.with_cells(problems), table.source)
}

impl Moderation {
    /// Works the agreement out.
    pub fn of(pairs: &[Pair]) -> Self {
        let mut names: Vec<&str> = pairs.iter().map(|pair| pair.criterion.as_str()).collect();
        names.sort_unstable();
        names.dedup();
        let all: Vec<&Pair> = pairs.iter().collect();
        let each = names.into_iter().map(|name| {
            agreement(name, &pairs.iter().filter(|pair| pair.criterion == name).collect::<Vec<_>>())
        });
        Self {
            rows: std::iter::once(agreement("all criteria", &all)).chain(each).collect(),
            counts: table(&all)
                .iter()
                .map(|row| row.iter().map(|count| format!("{count:.0}")).collect())
                .collect(),
            differences: pairs
                .iter()
                .filter(|pair| pair.first != pair.second)
                .map(|pair| {
                    let texts = (pair.driver.clone(), pair.slope.clone(), pair.criterion.clone());
                    [texts.0, texts.1, texts.2, pair.first.to_string(), pair.second.to_string()]
                })
                .collect(),
        }
    }
}

fn table(pairs: &[&Pair]) -> Vec<Vec<f64>> {
    let mut table = vec![vec![0.0; 3]; 3];
    for pair in pairs {
        table[pair.first][pair.second] += 1.0;
    }
    table
}

fn agreement(name: &str, pairs: &[&Pair]) -> Agreement {
    let table = table(pairs);
    let told = |kappa: Option<Kappa>| {
        kappa
            .and_then(|kappa| kappa.kappa)
            .map_or_else(|| "n/a".to_owned(), |kappa| format!("{kappa:.2}").replace('-', "−"))
    };
    let plain = kappa(&table, Weights::None);
    Agreement {
        criterion: name.to_owned(),
        count: pairs.len().to_string(),
        agreed: plain.map_or_else(|| "n/a".to_owned(), |kappa| format!("{:.0} %", 100.0 * kappa.agreed)),
        kappa: told(plain),
        weighted: told(kappa(&table, Weights::Squared)),
        words: match plain.and_then(|kappa| kappa.kappa) {
            Some(kappa) => kappa_in_words(kappa).to_owned(),
            None => "no kappa: both gave one grade only".to_owned(),
        },
    }
}
