//! Verdicts in the trade's words, with their figures.

use crate::course::{Course, EdgeBeside, SiteLine, Slope, Text, Vehicle};
use crate::engine::{Deciding, Judgement, Unforgiving, Way, What, leans, way_out};
use crate::formula::Worked;
use crate::page::figure::{Fig, Show};

/// The short mark of a vehicle on pages: `A` to `Z`, then `A2`, in the order of the course.
pub fn vehicle_mark(course: &Course, id: &str) -> String {
    let place = course.vehicles.iter().position(|vehicle| vehicle.id == id).unwrap_or(0);
    let letter = char::from(b'A' + u8::try_from(place % 26).expect("less than 26"));
    let round = place / 26 + 1;
    if round == 1 { letter.to_string() } else { format!("{letter}{round}") }
}

/// A vehicle in a sentence: `vehicle B, diesel pickup`.
pub fn named(course: &Course, vehicle: &Vehicle) -> String {
    format!("vehicle {}, {}", vehicle_mark(course, &vehicle.id), vehicle.name)
}

/// A line of a calculation as pages print it: powers raised, unit and number not parted.
pub fn line_on_page(plain: &str) -> String {
    let raised = plain.replace("^2", "²").replace("^3", "³");
    match raised.rsplit_once(' ') {
        Some((line, unit)) if !unit.starts_with(|c: char| c.is_ascii_digit() || c == '−') => {
            format!("{line}\u{202f}{unit}")
        }
        _ => raised,
    }
}

/// The steps of a worked example in a row, where a page has no room for more.
pub fn steps_in_a_row(worked: &Worked) -> String {
    worked.lines.iter().map(|line| line_on_page(&line.plain)).collect::<Vec<_>>().join("; ")
}

/// A limit that decides, or nearly, with its figures in the course's units.
///
/// Figures carry no more digits than are known: what prints like its limit is "just over" it.
pub fn deciding_words(one: &Deciding, show: Show) -> String {
    let gear = one.gear.map_or_else(String::new, |gear| format!(" in {gear}"));
    let plain = |kind: fn(Show, f64, bool) -> Fig| {
        (kind(show, one.value, false).text(), kind(show, one.limit, false).text())
    };
    let speeds = || (show.speed(one.value, false).text(), show.limit(one.limit).text());
    let heights = || (show.hand_length(one.value).text(), show.hand_length(one.limit).text());
    let words = match one.what {
        What::Gradient => over(plain(Show::fine_angle), "gradient", "driven here"),
        What::SideTilt => over(tilts(one, show), "side tilt with the bump", "allowed"),
        What::HalfTip => over(tilts(one, show), "side tilt", "half of what tips it"),
        What::RearLifts => over(plain(Show::angle), "nose down", "the rear lifts there"),
        What::NoseTouches => over(heights(), "the ground under the nose comes up", "of room"),
        What::BellyTouches => over(heights(), "the ground under the belly comes up", "of room"),
        What::TailTouches => over(heights(), "the ground under the tail comes up", "of room"),
        What::Speed => over(speeds(), &format!("speed{gear}"), "allowed"),
        What::EngineSpeed => {
            let pair = (show.spin(one.value, true).text(), show.spin(one.limit, false).text());
            over(pair, &format!("engine{gear}"), "allowed")
        }
        What::Balance => {
            let pair = (show.force(one.value, true).text(), show.force(one.limit, true).text());
            over(pair, &format!("pull of the slope{gear}"), "the engine holds")
        }
        What::FrontGrip | What::RearGrip => {
            let axle = one.axle.map_or_else(|| "wheels".to_owned(), |axle| axle.to_string());
            let swings = if one.what == What::RearGrip { ", the tail swings" } else { "" };
            let (wanted, there) = plain(Show::friction);
            // No wheel has ever had so much: how much more is no figure.
            let wanted = if one.value > MOST_GRIP { format!("over {MOST_GRIP}") } else { wanted };
            format!("{}{swings}", over((wanted, there), &format!("grip wanted by the {axle}{gear}"), "there"))
        }
        What::GripInHand => {
            under((percent(one.value), percent(one.limit)), &format!("of the grip in hand{gear}"), "wanted")
        }
        What::Converter => {
            let pair = plain(Show::speed);
            if alike(&pair.0, &pair.1) {
                format!("the converter pushes below {} and holds only above more", pair.0)
            } else {
                format!("the converter pushes below {} and holds only above {}", pair.0, pair.1)
            }
        }
        What::LockUp => {
            let (slowest, closed) = speeds();
            let just = if alike(&slowest, &closed) { "just under " } else { "" };
            let at = if just.is_empty() { &slowest } else { &closed };
            format!("the converter's lock-up may open at {just}{at}: not known to stay closed below {closed}")
        }
        What::BrakeHeat => over(plain(Show::temperature), "brakes after the planned runs", "allowed"),
        What::RunOut if one.value.is_finite() => {
            let pair = (show.length(one.value, true).text(), show.length(one.limit, false).text());
            over(pair, "stop beyond the foot", "of run-out")
        }
        What::RunOut => {
            format!("would not stop on the {} of run-out", show.length(one.limit, false).text())
        }
        What::RollsBack => {
            let pair = (percent(one.value), percent(one.limit));
            format!("rolls back off the run-out: {}", over(pair, "rise", "the grip holds"))
        }
        What::RunOutMissing => "run-out missing".to_owned(),
        What::WayOutMissing => "way out straight down missing".to_owned(),
        What::RatedPoint => "no rated recovery point: the course’s rule".to_owned(),
        What::NotFetched => "this kit does not fetch it when it is stuck: the course’s rule".to_owned(),
        What::BolderThanDry => "in the wet no gear as low, with as much brake, as in the dry".to_owned(),
    };
    let way = match one.way {
        _ if matches!(one.what, What::RatedPoint | What::NotFetched | What::BolderThanDry) => "",
        Way::Assisted => "with the foot brake: ",
        _ => "",
    };
    let on = if one.on_way_out { "on the way out: " } else { "" };
    let tolerance = one.tolerance.map_or_else(String::new, |tolerance| format!(" ({tolerance})"));
    format!("{on}{way}{words}{tolerance}")
}

/// The speed that a way down may come to where a tolerance breaks the limit, as its reason says it, without the
/// unit: `up to 15`; `over 8` where it prints like the limit.
pub fn near_speed(judged: &Judgement, limit: f64, show: Show) -> Option<String> {
    judged.near_speed.map(|speed| speed_come_to(speed, limit, show))
}

/// A speed over the limit, m/s, as it may come to be, without the unit.
pub fn speed_come_to(speed: f64, limit: f64, show: Show) -> String {
    let (value, limit) = (show.speed(speed, false).v, show.limit(limit).v);
    if alike(&value, &limit) { format!("over {limit}") } else { format!("up to {value}") }
}

/// Friction above which a page says only that it is more.
const MOST_GRIP: f64 = 2.0;

fn percent(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}

/// Side tilt and its limit, to a tenth of a degree where the limit is.
fn tilts(one: &Deciding, show: Show) -> (String, String) {
    let degrees = one.limit.to_degrees();
    let kind = if one.what == What::SideTilt && (degrees - degrees.round()).abs() > 0.05 {
        Show::fine_angle
    } else {
        Show::angle
    };
    (kind(show, one.value, false).text(), kind(show, one.limit, false).text())
}

/// Whether two figures print the same number.
fn alike(value: &str, limit: &str) -> bool {
    let number = |text: &str| -> Option<f64> {
        let end = text.find(|c: char| !(c.is_ascii_digit() || "−-.".contains(c))).unwrap_or(text.len());
        text[..end].replace('−', "-").parse().ok()
    };
    value == limit || number(value).is_some_and(|value| Some(value) == number(limit))
}

/// A figure above its limit; one that prints like the limit is said to be just over it.
fn over((value, limit): (String, String), what: &str, of: &str) -> String {
    if alike(&value, &limit) {
        return format!("{what} just over the {limit} {of}");
    }
    format!("{what} {value}, {limit} {of}")
}

/// A figure below what is wanted; one that prints like it is said to be just under it.
fn under((value, limit): (String, String), what: &str, of: &str) -> String {
    if alike(&value, &limit) {
        return format!("just under the {limit} {what} {of}");
    }
    format!("{value} {what}, {limit} {of}")
}

/// Why what a tolerance breaks is not left to a foot over the brake on this slope, a list; none where it is, or where no
/// mark hangs on it.
pub fn unforgiving_words(judged: &Judgement, course: &Course, slope: &Slope, show: Show) -> Option<String> {
    let rule = &course.limits.near;
    let why = judged.unforgiving.iter().map(|why| match why {
        Unforgiving::Steep => {
            let (is, from) = (slope.steepest().gradient.si(), rule.gradient.si());
            format!("{}, from {} on", show.angle(is, false).text(), show.angle(from, false).text())
        }
        Unforgiving::ShortRunOut => {
            let is = slope.run_out.as_ref().map_or(0.0, |run_out| run_out.length.si());
            let pair = (show.length(is, false).text(), show.length(rule.run_out.si(), false).text());
            format!("{} of run-out, under {}", pair.0, pair.1)
        }
        Unforgiving::Edge => "an edge".to_owned(),
        Unforgiving::Water => "water".to_owned(),
        Unforgiving::LockedSlides => "a locked wheel slides on".to_owned(),
        Unforgiving::TooFast => format!("over {} above the limit of speed", percent(rule.speed.si())),
    });
    let why: Vec<String> = why.collect();
    (!why.is_empty()).then(|| why.join(", "))
}

/// What decides in two or three words, for a table.
pub fn deciding_short(what: What) -> &'static str {
    match what {
        What::Gradient => "too steep",
        What::SideTilt | What::HalfTip => "tilts too far",
        What::RearLifts => "rear lifts",
        What::NoseTouches => "nose touches",
        What::BellyTouches => "belly touches",
        What::TailTouches => "tail touches",
        What::Speed => "too fast",
        What::EngineSpeed => "engine too fast",
        What::Balance => "engine cannot hold it",
        What::FrontGrip => "front slides",
        What::RearGrip => "tail swings",
        What::GripInHand => "grip too low",
        What::Converter | What::LockUp => "converter slips",
        What::BrakeHeat => "brakes too hot",
        What::RunOut => "run-out short",
        What::RollsBack => "rolls back",
        What::RunOutMissing => "run-out missing",
        What::WayOutMissing => "way out missing",
        What::RatedPoint => "no rated point",
        What::NotFetched => "cannot be fetched",
        What::BolderThanDry => "stays up in the wet",
    }
}

/// The edges of the site plan beside a slope that its own dangers don't tell of: `Quarry face, a drop of 9 m: 4.0 m from the
/// lane, on the driver’s left`.
pub fn edges_words(course: &Course, slope: &Slope, show: Show) -> Vec<String> {
    let length = |length: f64| show.length(length, false).text();
    let words = |edge: &EdgeBeside| {
        let drop = edge.drop.map_or_else(String::new, |drop| {
            format!(", a drop of {}", show.length(drop.si(), false).trimmed().text())
        });
        let name = edge.name.map_or_else(|| "an edge".to_owned(), Text::short);
        let hand = edge.hand.words();
        format!("{name}{drop}: {} from the lane, on the driver’s {hand}", length(edge.off))
    };
    course.edges_beside(slope).iter().map(words).collect()
}

/// The tracks that cross a slope, by the plan of the site, and what is done about each.
pub fn crossing_words(course: &Course, slope: &Slope) -> Vec<String> {
    let words = |(line, on_it): (&SiteLine, bool)| {
        let name = line.called();
        let what = if on_it { "the line" } else { "the run-out" };
        format!(
            "{name} crosses {what}: shut on both sides while anybody drives, a person at one, a barrier at the other"
        )
    };
    course.tracks_across(slope).into_iter().map(words).collect()
}

/// The way out of a line that leans as it was measured: `straight down, 12 m at 12°, then 12 m to the bund`; none where the
/// line does not lean, or nobody measured it.
pub fn way_out_words(slope: &Slope, show: Show) -> Option<String> {
    let out = way_out(slope)?;
    let (stretch, run_out) = (out.stretches.first()?, out.run_out.as_ref()?);
    let length = |length: f64| show.length(length, false).text();
    let ends = run_out.ends_at.as_ref().map_or_else(String::new, |ends| format!(" to {ends}"));
    Some(format!(
        "straight down, {} at {}, then {}{ends}",
        length(stretch.length.si()),
        show.sharp_angle(stretch.gradient.si()).text(),
        length(run_out.length.si()),
    ))
}

/// How a step on a slope is driven, the same words on every page: a line after "step:". Common practice, no source.
pub const STEP: &str =
    "stop before it, square to it; each axle let down on gear and foot brake together; never feet off";

/// When and how a run is given up, condition before action: the same words on every card. The order
/// is common practice, no source: a locked wheel is freed before anything else can work.
///
/// `own`: the marks of vehicles with a limit of their own below the course's, each with its speed.
pub fn abort_rule(course: &Course, slope: &Slope, own: &[String], show: Show) -> String {
    let limit = limit_of(course, show);
    let own = if own.is_empty() { String::new() } else { format!(" ({})", own.join(", ")) };
    format!("{} {}", abort_start(&format!("{limit}{own}")), abort_way(course, slope))
}

/// Where a run that is given up ends on a slope: the last sentence of its rule.
pub fn abort_way(course: &Course, slope: &Slope) -> &'static str {
    if leans(slope) {
        ACROSS
    } else if course.winds(slope) {
        ROAD
    } else if slope.has_step() {
        STEPPED
    } else {
        FALL_LINE
    }
}

/// The same on the card of a vehicle: where the fall line is the way out, and on which of its slopes, by their
/// marks, it is not.
/// `own`: the vehicle's own limit, where it is below the course's in every gear it drives in.
pub fn abort_rules(course: &Course, across: &[String], own: Option<&str>, show: Show) -> String {
    let start = abort_start(own.map_or_else(|| limit_of(course, show), str::to_owned).as_str());
    abort_where(course, &start, across)
}

/// The same on the back of every vehicle's card: the limit stands on its front, for some have one of their own.
pub fn abort_rules_behind(course: &Course, across: &[String]) -> String {
    let straight = abort_where(course, &abort_start("the limit on the front of this card"), &[]);
    // Where a line leans its marks stand on the front.
    if across.is_empty() { straight } else { format!("{straight} Way out: as on the front.") }
}

fn abort_where(course: &Course, start: &str, across: &[String]) -> String {
    let straight =
        if course.slopes.iter().any(|slope| course.winds(slope)) { OR_THE_ROAD } else { FALL_LINE };
    if across.is_empty() {
        return format!("{start} {straight}");
    }
    format!("{start} {straight} {} sideways: down the way out; past its peg, foot.", across.join(", "))
}

const FALL_LINE: &str = "Keep to the fall line, stop at the foot.";
/// On a road with bends, and for a card of slopes of which one is such a road.
const ROAD: &str = "Keep to the road, stop on it.";
const OR_THE_ROAD: &str = "Fall line, stop at the foot; a road: stop on it.";
/// On a line that leans: down the way out that was measured, and past where it leaves the line as planned.
const ACROSS: &str = "Stay on the line; sideways: nose down the marked way out; past its peg, to the foot.";
/// Nobody rolls over a step without stopping.
const STEPPED: &str = "Keep to the fall line, stop before the step, or past it at the foot.";

fn limit_of(course: &Course, show: Show) -> String {
    show.limit(course.limits.descent_speed.si()).text()
}

fn abort_start(limit: &str) -> String {
    format!(
        "Over {limit}, wheels turning: brake gently. A wheel locked: brake off until it turns, then gently."
    )
}
