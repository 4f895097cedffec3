//! A slope as the templates see it.

use serde::Serialize;

use crate::course::{Band, Course, Ground, Name, Remark, Slope, Surface};
use crate::lesson::Example;
use crate::pack::facts::Facts;
use crate::pack::sheet::asked::{Question, questions};
use crate::pack::sheet::descent::{DescentRow, by_ear, locks, near_most, not_fetched_of};
use crate::pack::sheet::locked::locked_note;
use crate::pack::sheet::own_limit::own_limits;
use crate::pack::sheet::rules::{own_rules, rules};
use crate::pack::sheet::site::SlopePlans;
use crate::pack::sheet::under::{self, Clearance};
use crate::page::chart::{self, Chart, Side};
use crate::page::figure::{Fig, Show};
use crate::page::gallery::Shot;
use crate::page::outline::Outline;
use crate::page::pace::Pegs;
use crate::page::section::{Section, run_out_length};
use crate::page::site::Who;
use crate::page::words::{STEP, abort_rule, abort_way, crossing_words, edges_words, way_out_words};
use crate::rota::{assessed, day_sum};

/// A slope with its figures.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct SlopeSheet {
    pub id: String,
    pub name: String,
    pub lesson: Lesson,
    pub purpose: String,
    pub surface: String,
    pub state: String,
    pub grade: String,
    pub ratio: String,
    pub mean_deg: Fig,
    pub mean_pct: Fig,
    pub worst_deg: Fig,
    pub worst_pct: Fig,
    pub length: Fig,
    pub height: Fig,
    pub run_out: Fig,
    pub run_out_end: String,
    pub width: Option<Fig>,
    pub cross: Option<Fig>,
    /// Greatest side tilt of the fleet there, bumps included, and the tilt the course allows.
    pub tilt: Option<(Fig, Fig)>,
    /// The way out of a line that leans, and the highest speed there of the vehicles that go; its end where a name stands.
    pub way_out: Option<(String, Option<Fig>)>,
    pub peak: Fig,
    pub slide: Fig,
    pub hold_peak: Fig,
    pub hold_slide: Fig,
    #[serde(serialize_with = "crate::course::sources::as_cited")]
    pub peak_source: String,
    pub hazards: Vec<String>,
    pub spotter: Option<String>,
    pub rules: Vec<String>,
    pub survey: String,
    pub unsurveyed: bool,
    /// How its step is driven; none where it has none.
    pub step: Option<&'static str>,
    /// Vehicles that drive it with little between the slope and what their turning wheels hold, on an estimated grip.
    pub thin: Option<String>,
    /// Vehicles that go with little room under them, where that is measured.
    pub tight: Option<String>,
    /// Vehicles that go over a sharp bend here and that nobody measured from below.
    pub looked_under: Option<String>,
    pub clearance: Option<Clearance>,
    pub locked_note: String,
    pub entry: Fig,
    pub helped: String,
    /// What is locked or engaged before the brow, by vehicle.
    pub locks: Vec<String>,
    /// Who is not fetched by the kit when stuck, and when; none where all that go are.
    pub not_fetched: Option<String>,
    /// Whether some vehicle goes only near a limit.
    pub some_near: bool,
    /// The highest speed that one of them may come to, over the limit, without the unit.
    pub near_most: Option<String>,
    pub abort: String,
    /// Its last sentence: where a run that is given up ends.
    pub abort_way: &'static str,
    pub photos: Vec<Shot>,
    pub line: Section,
    /// Its own part of the site from above, where it is on the plan.
    pub plan: Option<SlopePlans>,
    pub profile: Profile,
    pub angle: f64,
    pub worst: f64,
    pub cross_deg: f64,
    pub limit: Fig,
    pub pegs: Pegs,
    /// Vehicles that a watch cannot tell from one over the limit.
    pub by_ear: Option<String>,
    /// Why no vehicle drives it, where none does.
    pub closed: Vec<String>,
    /// Whether turning wheels need not stop on it, at the low end of its grip.
    pub no_stop: bool,
    /// What has to be measured before it opens.
    pub opens: Vec<String>,
    /// What the course itself asks on it.
    pub own_rules: Vec<String>,
    pub questions: Vec<Question>,
    pub run: Option<Chart>,
    pub side: Option<Side>,
    pub descents: Vec<DescentRow>,
}

/// The section with a vehicle standing on it.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Profile {
    pub vehicle: Outline,
    pub alt: String,
    pub caption: String,
}

/// Below this grade a slope is for first descents.
const GENTLE: f64 = 12.0;
/// Peak friction below which ground is slippery.
const SLIPPERY: f64 = 0.40;
/// Length from which heat and patience are what the slope teaches, m. Judgement.
const LONG: f64 = 150.0;
/// Cross slope from which it is what the slope teaches, degrees.
const CROSS: f64 = 5.0;

/// What a slope teaches most; the notes have lines for each.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Lesson {
    /// To drive across a slope.
    Cross,
    /// To come down on loose ground.
    Loose,
    /// To come down on slippery ground.
    Slippery,
    /// Heat and patience on a long slope.
    Long,
    /// A first descent.
    Gentle,
    /// To say no.
    Limit,
    /// To come down a steep slope in gear.
    Steep,
}

/// What a slope teaches most, by its ground and whether most of the fleet stays.
fn lesson(course: &Course, slope: &Slope, most_stay: bool) -> Lesson {
    let surface = course.surface_of(slope);
    let worst = slope.steepest().gradient.si().to_degrees();
    let side = slope.cross_slope.si().to_degrees().abs().max(slope.heading.si().to_degrees().abs());
    match () {
        () if side >= CROSS => Lesson::Cross,
        () if surface.ground == Ground::Loose => Lesson::Loose,
        () if surface.peak.likely < SLIPPERY => Lesson::Slippery,
        () if slope.length().si() >= LONG => Lesson::Long,
        () if worst < GENTLE => Lesson::Gentle,
        () if most_stay => Lesson::Limit,
        () => Lesson::Steep,
    }
}

impl SlopeSheet {
    /// A slope's sheet, with a row for each vehicle.
    pub(crate) fn of(facts: &Facts, slope: &Slope, descents: Vec<DescentRow>) -> Self {
        let (course, show, lead) = (facts.course, facts.show, facts.lead(slope));
        let pair = facts.pair(slope, lead);
        let tilt = tilt(facts, slope);
        let surface = course.surface_of(slope);
        let mean = slope.mean_gradient();
        let worst = slope.steepest().gradient.si();
        let unsurveyed = slope.survey.is_none();
        let most_stay = 2 * descents.iter().filter(|row| !row.within).count() > descents.len();
        let section = Section::of(slope, show);
        let thin = surface.estimated.then(|| thin(&descents)).flatten();
        let goes_on = facts.example(Example::TurningGoesOn, Some(&slope.id), Some(&lead.id));
        let no_stop = goes_on.is_some();
        let people = match (closed(&descents).is_empty(), is_assessed(facts, slope)) {
            (false, _) => Who::Nobody,
            (true, false) => Who::AllButTheAssessor,
            (true, true) => Who::Everybody,
        };
        Self {
            id: facts.slope_mark(&slope.id),
            name: slope.name.short(),
            lesson: lesson(course, slope, most_stay),
            purpose: slope.purpose.short(),
            surface: surface.name.short(),
            state: ground_word(surface).to_owned(),
            grade: format!("steepest {}", show.grade(worst)),
            ratio: format!("1:{:.1}", 1.0 / libm::tan(mean)),
            mean_deg: show.fine_angle(mean, unsurveyed).trimmed(),
            mean_pct: show.percent(mean, unsurveyed),
            worst_deg: show.fine_angle(worst, unsurveyed).trimmed(),
            worst_pct: show.percent(worst, unsurveyed),
            length: show.length(slope.length().si(), unsurveyed),
            height: show.length(slope.height().si(), unsurveyed),
            run_out: run_out_length(slope, show),
            run_out_end: run_out_end(slope),
            width: slope.width.map(|width| show.length(width.si(), false)),
            cross: (slope.cross_slope.si() != 0.0).then(|| show.angle(slope.cross_slope.si(), false)),
            tilt: (tilt != 0.0)
                .then(|| (show.angle(tilt, false), show.angle(course.limits.side_tilt.si(), false))),
            way_out: way_out_words(slope, show).map(|words| (words, fastest_out(facts, slope))),
            peak: band(show, surface.peak, surface.estimated),
            slide: band(show, surface.sliding, surface.estimated),
            hold_peak: limit_band(show, surface.peak, surface.estimated),
            hold_slide: limit_band(show, surface.sliding, surface.estimated),
            peak_source: surface.source.short(),
            hazards: hazards(course, slope, show),
            spotter: slope.spotter.as_ref().map(Remark::short),
            rules: rules(course, slope, no_stop || thin.is_some()),
            survey: survey(slope),
            unsurveyed,
            step: slope.has_step().then_some(STEP),
            thin,
            tight: under::tight(facts, slope),
            looked_under: under::unmeasured(facts, slope),
            clearance: under::drawn(facts, slope),
            locked_note: locked_note(course, slope, show),
            entry: show.speed(slope.entry_speed.si(), false),
            helped: helped(&descents),
            locks: on_the_slope(&descents),
            not_fetched: not_fetched_of(&descents, |row| &row.vehicle_id, "all that go"),
            some_near: descents.iter().any(|row| row.near),
            near_most: near_most(&descents, course, show),
            abort: abort_rule(course, slope, &own_limits(&descents), show),
            abort_way: abort_way(course, slope),
            photos: Vec::new(),
            profile: profile(slope, show, Outline::of(lead)),
            line: section,
            plan: SlopePlans::of(facts, slope, people),
            angle: mean.to_degrees(),
            worst: worst.to_degrees(),
            cross_deg: slope.cross_slope.si().to_degrees(),
            limit: show.limit(course.limits.descent_speed.si()),
            pegs: Pegs::of(Some(slope), course.limits.descent_speed.si(), show),
            by_ear: by_ear(&descents, |row| &row.vehicle_id),
            closed: closed(&descents),
            no_stop,
            opens: opens(&descents),
            own_rules: own_rules(slope).collect(),
            questions: questions(facts, slope, lead),
            run: chart::run(course, slope, lead, pair, show),
            side: chart::side(course, slope, lead, pair, show),
            descents,
        }
    }
}

/// Whether whoever assesses is free to watch there.
fn is_assessed(facts: &Facts, slope: &Slope) -> bool {
    let sums = day_sum(facts.course, &facts.reckoning);
    let at = facts.course.slopes.iter().position(|one| one.id == slope.id);
    at.is_none_or(|at| assessed(facts.course, &sums, at))
}

/// What can hurt somebody there: the slope's own dangers, and the edges of the site plan beside it and the tracks across.
pub(crate) fn hazards(course: &Course, slope: &Slope, show: Show) -> Vec<String> {
    let own = slope.hazards.iter().map(|danger| danger.what.short().trim_end_matches('.').to_owned());
    own.chain(edges_words(course, slope, show)).chain(crossing_words(course, slope)).collect()
}

/// Greatest side tilt of the fleet on a slope, bumps included, rad.
fn tilt(facts: &Facts, slope: &Slope) -> f64 {
    let tilts = facts.course.vehicles.iter().map(|one| facts.pair(slope, one).stability.side_tilt.abs());
    tilts.fold(0.0, f64::max)
}

/// The highest speed on the way out of the vehicles that go.
fn fastest_out(facts: &Facts, slope: &Slope) -> Option<Fig> {
    let judged = facts.course.vehicles.iter().map(|one| &facts.pair(slope, one).judged);
    let fastest = judged.filter(|judged| judged.mark.goes()).filter_map(|judged| judged.way_out);
    let most = fastest.map(|out| out.top_speed.high).reduce(f64::max)?;
    Some(facts.show.speed(most, false))
}

/// Those that go with a margin under this many degrees, as printed, on an estimated grip. Judgement.
const THIN: f64 = 3.0;

/// The vehicles whose margin is thin, with the smallest: `A, D: 2°`.
fn thin(descents: &[DescentRow]) -> Option<String> {
    let rows: Vec<&DescentRow> =
        descents.iter().filter(|row| row.within && row.margin_degrees < THIN).collect();
    let least = rows.iter().map(|row| row.margin_degrees).reduce(f64::min)?;
    let marks: Vec<&str> = rows.iter().map(|row| row.vehicle_id.as_str()).collect();
    let going = descents.iter().filter(|row| row.within).count();
    let who = if marks.len() == going { "all".to_owned() } else { marks.join(", ") };
    Some(format!("{who}: {least:.0}°"))
}

fn band(show: Show, band: Band, estimated: bool) -> Fig {
    show.frictions(band.low, band.high, estimated)
}

fn limit_band(show: Show, band: Band, estimated: bool) -> Fig {
    show.angles(libm::atan(band.low), libm::atan(band.high), estimated)
}

fn ground_word(surface: &Surface) -> &'static str {
    match surface.ground {
        Ground::Firm => "firm",
        Ground::Loose => "loose",
    }
}

fn run_out_end(slope: &Slope) -> String {
    match &slope.run_out {
        Some(run_out) => run_out
            .ends_at
            .as_ref()
            .map_or_else(|| "end of the run-out not described: look before driving".to_owned(), Name::short),
        None => "no run-out surveyed: the vehicle must be held to the foot".to_owned(),
    }
}

/// What has to be measured before any of the vehicles that are not judged can be.
fn opens(rows: &[DescentRow]) -> Vec<String> {
    let waiting: Vec<&DescentRow> = rows.iter().filter(|row| row.mark == "not-judged").collect();
    let of_all = |what: &&String| waiting.iter().all(|row| row.measure.contains(what));
    waiting.first().map_or_else(Vec::new, |row| row.measure.iter().filter(of_all).cloned().collect())
}

/// Most vehicles whose locks a slope's card names one by one.
const NAMED_LOCKS: usize = 8;

/// What keeps every vehicle off, each once with the marks it is for; empty where one goes.
fn closed(rows: &[DescentRow]) -> Vec<String> {
    if rows.iter().any(|row| row.within) {
        return Vec::new();
    }
    let mut why: Vec<(&str, Vec<&str>)> = Vec::new();
    for row in rows {
        match why.iter_mut().find(|(known, _)| *known == row.short) {
            Some((_, marks)) => marks.push(&row.vehicle_id),
            None => why.push((&row.short, vec![&row.vehicle_id])),
        }
    }
    let all = why.len() == 1;
    why.iter()
        .map(|(why, marks)| if all { (*why).to_owned() } else { format!("{}: {why}", marks.join(", ")) })
        .collect()
}

/// What is locked before the brow; of a long fleet each vehicle's own card says it.
fn on_the_slope(descents: &[DescentRow]) -> Vec<String> {
    let named = locks(descents, |row| &row.vehicle_id);
    if descents.len() > NAMED_LOCKS && !named.is_empty() {
        return vec!["as each vehicle's own card says".to_owned()];
    }
    named
}

/// The vehicles that are not driven with the foot off the brake.
fn helped(descents: &[DescentRow]) -> String {
    let not_off = |row: &&DescentRow| row.helped || row.near;
    descents.iter().filter(not_off).map(|row| row.vehicle_id.as_str()).collect::<Vec<_>>().join(", ")
}

fn survey(slope: &Slope) -> String {
    let Some(survey) = &slope.survey else { return "Not surveyed: measure before use".to_owned() };
    let parts = [
        survey.by.as_ref().map(|by| format!("Measured by {by}")),
        survey.date.as_ref().map(Name::short),
        survey.instrument.as_ref().map(|with| format!("with {with}")),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

fn profile(slope: &Slope, show: Show, vehicle: Outline) -> Profile {
    let gradients: Vec<String> =
        slope.stretches.iter().map(|s| show.sharp_angle(s.gradient.si()).text()).collect();
    let run_out = run_out_length(slope, show).text();
    Profile {
        vehicle,
        alt: format!(
            "{} in section: {} along the ground, fall {}, stretches {}, run-out {run_out}; a vehicle drawn to the same scale.",
            slope.name,
            show.length(slope.length().si(), false).text(),
            show.length(slope.height().si(), false).text(),
            gradients.join(", "),
        ),
        caption: format!(
            "{} in section, one scale both ways, with a vehicle standing on it at the true angle.",
            slope.name
        ),
    }
}
