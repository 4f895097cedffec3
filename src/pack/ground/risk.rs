//! The risk assessment: what can hurt somebody on this ground, and what is done about it.
//!
//! Scores are likelihood times severity, each 1 to 5. Severity falls only where a control takes the
//! hazard away or keeps it from people; rules and training lower the likelihood alone.

use serde::Serialize;

use crate::course::{Course, Name, Remark, RiskCuts, Slope};
use crate::engine::Standing;
use crate::pack::book::Book;
use crate::page::figure::Show;
use crate::page::meta::Meta;

/// The risk assessment.
#[derive(Serialize)]
pub struct RiskAssessment {
    pack: Meta,
    risk: Risk,
}

#[derive(Serialize)]
struct Risk {
    assessor: String,
    review: String,
    note: Option<String>,
    bands: Vec<Band>,
    rows: Vec<Row>,
    blank_rows: usize,
}

#[derive(Serialize)]
struct Band {
    range: String,
    name: &'static str,
    action: &'static str,
}

#[derive(Clone, Serialize)]
struct Row {
    no: String,
    step: String,
    hazard: String,
    who: &'static str,
    owner: String,
    further: Option<String>,
    controls: Vec<Control>,
    /// Scores; none where they are written in on the ground.
    before: Option<Score>,
    after: Option<Score>,
    weak: bool,
}

/// Likelihood times severity, each 1 to 5, and what the course asks for at that.
#[derive(Clone, Serialize)]
struct Score {
    likelihood: u8,
    severity: u8,
    product: u8,
    action: &'static str,
}

#[derive(Clone, Serialize)]
struct Control {
    level: &'static str,
    text: String,
}

/// What is asked for, least first, and what that means.
const ACTIONS: [(&str, &str); 4] = [
    ("go on", "with the controls that stand here"),
    ("ask first", "the person in charge of the day says yes"),
    ("in writing", "a named person signs for it below"),
    ("not today", "it is not done; find a stronger control"),
];

/// Highest score there is.
const HIGHEST: u8 = 25;

/// Which of the [`ACTIONS`] a score asks for.
fn action(cuts: RiskCuts, score: u8) -> usize {
    [cuts.ask_first, cuts.in_writing, cuts.not_today].iter().filter(|cut| score >= **cut).count()
}

/// The actions with the scores that ask for them.
fn bands(cuts: RiskCuts) -> Vec<Band> {
    let from = [1, cuts.ask_first, cuts.in_writing, cuts.not_today];
    let to = [cuts.ask_first - 1, cuts.in_writing - 1, cuts.not_today - 1, HIGHEST];
    let range = |(low, high)| if low == high { format!("{low}") } else { format!("{low}–{high}") };
    let ranges = from.into_iter().zip(to).map(range);
    ACTIONS.into_iter().zip(ranges).map(|((name, action), range)| Band { range, name, action }).collect()
}

impl RiskAssessment {
    /// From the book.
    pub fn of(book: &Book, pack: Meta) -> Self {
        let course = book.course;
        let mut rows: Vec<Row> = [
            Some(runs_away(book)),
            rolls_over(book),
            Some(struck(course)),
            Some(slides_on()),
            Some(brakes_fade(book)),
            Some(line_breaks()),
            Some(weather()),
        ]
        .into_iter()
        .flatten()
        .collect();
        rows.extend(course.slopes.iter().flat_map(of_slope));
        for (no, row) in (1..).zip(&mut rows) {
            row.no = format!("{no}");
            for score in [&mut row.before, &mut row.after].into_iter().flatten() {
                score.action = ACTIONS[action(course.limits.risk, score.product)].0;
            }
        }
        let risk = Risk {
            assessor: course.prepared_by.as_ref().map_or_else(|| "the instructor in charge".to_owned(), Name::short),
            review: "before each course, and whenever ground, weather or fleet change".to_owned(),
            note: Some("Scores and controls are proposals to be checked on the ground; rows without scores are filled in by hand. Local law and site rules come first.".to_owned()),
            bands: bands(course.limits.risk),
            rows,
            blank_rows: 3,
        };
        Self { pack, risk }
    }
}

fn control(level: &'static str, text: impl Into<String>) -> Control {
    Control { level, text: text.into() }
}

fn row(
    step: &str,
    hazard: &str,
    who: &'static str,
    before: (u8, u8),
    after: (u8, u8),
    controls: Vec<Control>,
) -> Row {
    let weak = controls.iter().all(|control| matches!(control.level, "administrate" | "protect"));
    Row {
        no: String::new(),
        step: step.to_owned(),
        hazard: hazard.to_owned(),
        who,
        owner: String::new(),
        further: None,
        controls,
        before: Some(score(before)),
        after: Some(score(after)),
        weak,
    }
}

/// What it asks for is set once the course is known.
fn score((likelihood, severity): (u8, u8)) -> Score {
    Score { likelihood, severity, product: likelihood * severity, action: "" }
}

fn runs_away(book: &Book) -> Row {
    let stay = book.reckoning.pairs.iter().filter(|pair| pair.standing == Standing::NotHere).count();
    let all = book.reckoning.pairs.len();
    let left_out = (stay > 0).then(|| {
        let text = format!("{stay} of {all} pairs of slope and vehicle do not drive (fleet table)");
        control("eliminate", text)
    });
    row(
        "Every descent",
        "The vehicle runs away",
        "driver, passengers, people below",
        (4, 5),
        (2, 5),
        left_out
            .into_iter()
            .chain([
                control("engineer", run_outs(book)),
                control("administrate", "gear chosen before the brow, called out; spotter clears the slope"),
            ])
            .collect(),
    )
}

/// The run-outs and what stands at their ends, in the course's words.
fn run_outs(book: &Book) -> String {
    let end = |slope: &Slope| {
        let end = slope.run_out.as_ref()?.ends_at.as_ref()?;
        Some(format!("{} {end}", book.slope_mark(&slope.id)))
    };
    let ends: Vec<String> = book.course.slopes.iter().filter_map(end).collect();
    if ends.is_empty() {
        "run-out measured and clear".to_owned()
    } else {
        format!("run-out measured and clear; at its end: {}", ends.join(", "))
    }
}

fn rolls_over(book: &Book) -> Option<Row> {
    let tilted: Vec<String> = book
        .course
        .slopes
        .iter()
        .filter(|slope| slope.cross_slope.si() != 0.0 || slope.heading.si() != 0.0 || slope.bump.is_some())
        .map(|slope| slope.name.short())
        .collect();
    let limit = book.show.angle(book.course.limits.side_tilt.si(), false).text();
    (!tilted.is_empty()).then(|| {
        row(
            &tilted.join(", "),
            "Roll-over on a side slope",
            "driver, passengers",
            (3, 5),
            (1, 5),
            vec![
                control("eliminate", "vehicles over the limit stay out"),
                control("engineer", format!("line pegged away from ruts; {}", roofs(book))),
                control(
                    "administrate",
                    format!("side tilt at most {limit}, bumps included; way out is down"),
                ),
                control("protect", "belts, arms inside"),
            ],
        )
    })
}

/// What is on the roofs of the fleet.
fn roofs(book: &Book) -> String {
    let loads: Vec<String> = book
        .course
        .vehicles
        .iter()
        .filter_map(|vehicle| {
            let mass = book.show.mass(vehicle.roof_load?.mass.si(), false).text();
            Some(format!("{} {mass}", book.vehicle_mark(&vehicle.id)))
        })
        .collect();
    if loads.is_empty() {
        "roof empty, load low".to_owned()
    } else {
        format!("nothing on the roof but what is reckoned with ({}), load low", loads.join(", "))
    }
}

fn struck(course: &Course) -> Row {
    let speed = course.day.site_speed.is_some();
    let rule = if speed {
        "site speed limit kept; nobody below a vehicle"
    } else {
        "walking pace off the slopes; nobody below a vehicle"
    };
    row(
        "Watching and walking on site",
        "Struck by a vehicle or a stone",
        "class, marshals, visitors",
        (3, 5),
        (1, 5),
        vec![
            control(
                "engineer",
                format!("rope {} to the side of each line", Show::new(course.units).beside_the_line().text()),
            ),
            control("administrate", rule),
            control("protect", "high-visibility clothing for marshals"),
        ],
    )
}

fn slides_on() -> Row {
    row(
        "Demonstration with locked wheels",
        "The vehicle slides further than meant",
        "driver, class",
        (3, 4),
        (1, 3),
        vec![
            control("substitute", "shown on the run-out only, never on the slope"),
            control("engineer", "room for three times the longest slide"),
            control(
                "administrate",
                "walking pace, class on the side away from the turn, stop word rehearsed",
            ),
        ],
    )
}

fn brakes_fade(book: &Book) -> Row {
    let limit = book.show.temperature(book.course.limits.brake_temperature.si(), false).text();
    row(
        "Foot-brake runs, one after another",
        "Brakes fade",
        "driver, people below",
        (3, 4),
        (2, 4),
        vec![
            control("administrate", format!("runs and waits as printed; estimate kept under {limit}")),
            control("administrate", "pedal felt on the flat before each run; smell or smoke ends it"),
        ],
    )
}

fn line_breaks() -> Row {
    row(
        "Recovery",
        "A line, strap or shackle breaks and flies",
        "helpers, bystanders",
        (3, 5),
        (1, 5),
        vec![
            control("engineer", "rated kit and rated points only, damper on the line"),
            control("administrate", "one trained person commands; everybody outside the marked zone"),
            control("protect", "gloves, bonnet up or screen between line and people"),
        ],
    )
}

fn weather() -> Row {
    row(
        "The whole day",
        "Lightning, heat, cold, rain on the slopes",
        "everybody",
        (2, 5),
        (1, 5),
        vec![
            control("administrate", "30-30 rule; slopes measured again after rain"),
            control("protect", "clothing list, water, shelter"),
        ],
    )
}

/// The slope's own hazards, to be scored on the ground, with the rules the course has for it.
fn of_slope(slope: &Slope) -> Vec<Row> {
    let tidy = |text: &Remark| text.short().trim().trim_end_matches('.').to_owned();
    let rules: Vec<String> = slope.rules.iter().map(tidy).collect();
    if slope.hazards.is_empty() && !rules.is_empty() {
        return vec![to_score(slope, "(to be named on the ground)", &rules)];
    }
    slope.hazards.iter().map(|hazard| to_score(slope, &tidy(hazard), &rules)).collect()
}

/// A row without scores. Where a spotter stands takes no hazard away, so it is no control here.
fn to_score(slope: &Slope, hazard: &str, rules: &[String]) -> Row {
    let controls = rules.iter().map(|rule| control("administrate", rule)).collect();
    let mut row = row(&slope.name.short(), hazard, "driver, spotter", (0, 0), (0, 0), controls);
    (row.before, row.after) = (None, None);
    row
}

#[cfg(test)]
mod tests {
    use super::{ACTIONS, action, bands};
    use crate::course::RiskCuts;

    #[test]
    fn a_score_asks_for_what_the_course_cuts_it_to() {
        let own = RiskCuts { ask_first: 3, in_writing: 6, not_today: 12 };
        let asked: Vec<&str> = [1, 2, 3, 5, 6, 10, 12, 25].map(|score| ACTIONS[action(own, score)].0).into();
        let expected = [
            "go on",
            "go on",
            "ask first",
            "ask first",
            "in writing",
            "in writing",
            "not today",
            "not today",
        ];
        assert_eq!(asked, expected);
        let ranges: Vec<String> = bands(own).into_iter().map(|band| band.range).collect();
        assert_eq!(ranges, ["1–2", "3–5", "6–11", "12–25"]);
        let tight = RiskCuts { ask_first: 2, in_writing: 3, not_today: 25 };
        assert_eq!(
            bands(tight).into_iter().map(|band| band.range).collect::<Vec<_>>(),
            ["1", "2", "3–24", "25"]
        );
    }

    #[test]
    fn what_can_kill_is_never_just_gone_on_with() {
        assert_eq!(ACTIONS[action(RiskCuts::default(), 5)].0, "ask first");
    }
}
