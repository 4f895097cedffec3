//! Hazards of each slope: the course's own words, scored from what is known of the ground and the fleet.

use crate::course::{Danger, DangerKind, KitKind, Remark, Slope};
use crate::pack::book::Book;
use crate::pack::day::limit::limit_with_own;
use crate::pack::day::posts::on_slope;
use crate::pack::ground::scored::Level::{Administrate, Eliminate, Engineer};
use crate::pack::ground::scored::{Control, Hazard, Row, control, row};
use crate::pack::sheet::locked::slides_on;
use crate::page::words::{STEP, crossing_words, edges_words};

/// From here on a slope is steep, rad: 15°. Judgement, said on the sheet.
const STEEP: f64 = 15.0 * std::f64::consts::PI / 180.0;

/// Stands first among the controls of a danger that the course tells in words alone.
const OPEN: &str = "FILL IN: what is done about this one (or give its `kind`); until then its score stays";

/// Whether a slope names a danger in these words.
fn named(slope: &Slope, what: &str) -> bool {
    slope.hazards.iter().any(|danger| tidy(&danger.what) == what)
}

/// Whether a slope leans to the side, by its ground, its line or a bump.
pub(super) fn tilts(slope: &Slope) -> bool {
    slope.cross_slope.si() != 0.0 || slope.heading.si() != 0.0 || slope.bump.is_some()
}

/// The rows of a slope: one for each hazard the course names, one where it names none.
pub(super) fn of_slope(book: &Book, slope: &Slope) -> Vec<Row> {
    let unnamed = || (None, "to be named on the ground before the first run".to_owned());
    let mut hazards: Vec<(Option<DangerKind>, String)> = slope.hazards.iter().map(told).collect();
    by_the_plan(&mut hazards, DangerKind::Edge, edges_words(book.course, slope, book.show));
    by_the_plan(&mut hazards, DangerKind::Traffic, crossing_words(book.course, slope));
    if hazards.is_empty() {
        hazards.push(unnamed());
    }
    let unmeasured = slope.survey.is_none().then(|| row(unsurveyed(book, slope)));
    unmeasured
        .into_iter()
        .chain(hazards.iter().map(|(kind, what)| row(scored(book, slope, *kind, what))))
        .collect()
}

/// What the plan of the site tells of a kind of hazard: with the one of that kind that the course names, else in rows of
/// its own.
fn by_the_plan(hazards: &mut Vec<(Option<DangerKind>, String)>, kind: DangerKind, told: Vec<String>) {
    match hazards.iter_mut().find(|(known, _)| *known == Some(kind)) {
        Some((_, what)) => told.iter().for_each(|words| {
            what.push_str("; ");
            what.push_str(words);
        }),
        None => hazards.extend(told.into_iter().map(|words| (Some(kind), words))),
    }
}

/// Nobody has measured it: the gears on the cards are for what somebody wrote down.
fn unsurveyed<'a>(book: &'a Book, slope: &'a Slope) -> Hazard<'a> {
    let sheet = book.slope_sheet_of(&slope.id).expect("every slope has a sheet");
    Hazard {
        step: &sheet.name,
        what: "not surveyed: it may be steeper or longer than the cards reckon with",
        harm: "driver, passengers, people below: runaway, collision",
        before: (4, 5),
        after: (1, 5),
        controls: vec![control(Eliminate, "survey first: nobody drives it before it is measured")],
        check: format!("{}: measures it, has the cards printed anew, then opens it", checker(book, slope)),
    }
}

fn told(danger: &Danger) -> (Option<DangerKind>, String) {
    (danger.kind, tidy(&danger.what))
}

fn tidy(text: &Remark) -> String {
    text.short().trim().trim_end_matches('.').to_owned()
}

/// What is known of a slope that its scores hang on.
#[derive(Clone, Copy)]
struct Known {
    /// Whether it is steep, tilts, has an edge or water, or locked wheels need not stop on it.
    grave: bool,
    /// Vehicles that stay out, and all of them.
    out: (usize, usize),
}

/// Likelihood and severity before and after, from what is known. Judgement, said on the sheet.
const fn scores(known: Known) -> [(u8, u8); 2] {
    let (out, all) = known.out;
    let severity = if known.grave { 5 } else { 4 };
    let before = if out > 0 { 4 } else { 3 };
    let after = if known.grave && out < all { 2 } else { 1 };
    [(before, severity), (after, severity)]
}

impl Known {
    /// Whether no vehicle drives there.
    fn closed(&self) -> bool {
        self.out.0 == self.out.1
    }
}

fn known(book: &Book, slope: &Slope, kind: Option<DangerKind>) -> Known {
    let rows = book.course.vehicles.iter().map(|vehicle| book.pair(slope, vehicle).judged.mark.goes());
    let (all, out) = rows.fold((0, 0), |(all, out), goes| (all + 1, out + usize::from(!goes)));
    let steep = slope.steepest().gradient.si() >= STEEP;
    let kills = matches!(kind, Some(DangerKind::Edge | DangerKind::Water))
        || slope.has_water()
        || slope.hazards.iter().any(|danger| danger.kind == Some(DangerKind::Edge))
        || !book.course.edges_beside(slope).is_empty();
    Known { grave: kills || tilts(slope) || steep || slides_on(book.course, slope), out: (out, all) }
}

/// The worst scores, before and after, of a kind of danger on the slopes that have it, none below these: the day's own
/// row of it says no less than theirs.
pub(super) fn worst(book: &Book, kind: DangerKind, own: [(u8, u8); 2]) -> [(u8, u8); 2] {
    let has = |slope: &&Slope| {
        let typed = slope.hazards.iter().any(|danger| danger.kind == Some(kind));
        typed || kind == DangerKind::Edge && !book.course.edges_beside(slope).is_empty()
    };
    let slopes = book.course.slopes.iter().filter(has);
    let worse = |a: (u8, u8), b: (u8, u8)| if b.0 * b.1 > a.0 * a.1 { b } else { a };
    slopes
        .map(|slope| scores(known(book, slope, Some(kind))))
        .fold(own, |[before, after], [its, then]| [worse(before, its), worse(after, then)])
}

fn scored<'a>(book: &'a Book, slope: &'a Slope, kind: Option<DangerKind>, hazard: &'a str) -> Hazard<'a> {
    let known = known(book, slope, kind);
    let [before, controlled] = scores(known);
    // What holds for every run answers no danger of its own: until somebody says what does, it stays as it is.
    let open = kind.is_none() && !known.closed() && book.course.slopes.iter().any(|one| named(one, hazard));
    let after = if open { before } else { controlled };
    let sheet = book.slope_sheet_of(&slope.id).expect("every slope has a sheet");
    Hazard {
        step: &sheet.name,
        what: hazard,
        harm: "driver, passengers, spotter, people below: collision, roll-over",
        before,
        after,
        controls: if open {
            std::iter::once(control(Administrate, OPEN)).chain(controls(book, slope, kind, known)).collect()
        } else {
            controls(book, slope, kind, known)
        },
        check: if known.closed() {
            format!(
                "{}: the rope across the brow, seen before the first run; looked at from there alone",
                checker(book, slope)
            )
        } else {
            format!(
                "{}: walks the line and the run-out before the first run and after rain{}",
                checker(book, slope),
                at_the_brow(book, slope)
            )
        },
    }
}

/// What holds on the slope, strongest first. Where a spotter stands takes no hazard away.
fn controls(book: &Book, slope: &Slope, kind: Option<DangerKind>, known: Known) -> Vec<Control> {
    let (out, all) = known.out;
    let rope =
        known.closed().then(|| control(Engineer, "a rope across the brow").with([(KitKind::Barrier, 1)]));
    let stays = match out {
        0 => None,
        _ if known.closed() => Some("closed: no vehicle drives here".to_owned()),
        _ => {
            Some(format!("{out} of {all} vehicles stay{} out (fleet table)", if out == 1 { "s" } else { "" }))
        }
    };
    let run_out = slope.run_out.as_ref().map(|run_out| {
        let length = book.show.length(run_out.length.si(), false).text();
        let end = run_out.ends_at.as_ref().map_or_else(String::new, |end| format!(", ends at: {end}"));
        control(Engineer, format!("run-out of {length} kept clear{end}"))
    });
    let limit = limit_with_own(book);
    stays
        .map(|text| control(Eliminate, text))
        .into_iter()
        .chain(rope)
        .chain(kind.map(|kind| particular(book, kind)).unwrap_or_default())
        .chain(run_out)
        .chain(slope.rules.iter().map(|rule| control(Administrate, tidy(rule))))
        .chain((out < all).then(|| control(Administrate, format!("gear from the card; over {limit}: abort"))))
        .collect()
}

/// What is done about a sort of danger, beside what holds for every one. Common practice, no source.
fn particular(book: &Book, kind: DangerKind) -> Vec<Control> {
    let clear = book.show.from_an_edge().text();
    match kind {
        DangerKind::Edge => vec![control(
            Engineer,
            format!(
                "bund, or pegs that keep the wheels {clear} off the edge; who does not fit between stays out; tape stops nobody"
            ),
        )
        .with([(KitKind::Pegs, 1)])],
        DangerKind::Water => vec![
            control(Engineer, "bund before the water, and the way out pegged away from it")
                .with([(KitKind::Pegs, 1)]),
            control(Administrate, "one named person on the bank with the throw line, beside the way out, never in line with it; nobody goes in after a vehicle")
                .with([(KitKind::ThrowLine, 1)]),
        ],
        DangerKind::Walkers => vec![
            control(Engineer, "tape and a sign across the way at the top and at the foot")
                .with([(KitKind::Barrier, 1)]),
            control(
                Administrate,
                "one person at each end, who does nothing else and calls HOLD; no person, no run",
            ),
        ],
        DangerKind::Animals => vec![control(
            Eliminate,
            "animals moved out and the gate shut before the first run; one comes back: HOLD",
        )],
        DangerKind::Stones => vec![
            control(Eliminate, "loose stones raked off and the line walked after each turn of vehicles")
                .with([(KitKind::Rake, 1)]),
            control(Administrate, "nobody stands below; the next waits above the brow"),
        ],
        DangerKind::Traffic => vec![
            control(Engineer, "closed at both ends: a barrier or a shut gate at one, a person at the other")
                .with([(KitKind::Barrier, 2)]),
            control(
                Administrate,
                "control asks whoever runs the road before each turn; who stands at an end stands to one side, never in line with the slope",
            ),
        ],
        DangerKind::Slippery => vec![control(
            Administrate,
            "after rain or dew the plan’s wet-day test before the first run, and again after each shower, from its speed, all wheels locked; a longer trace: the wet gears or closed, as the course plan says",
        )],
        DangerKind::Step => vec![control(Administrate, format!("at the step: {STEP}"))],
    }
}

/// Who looks at the gear there, by the day's sum.
fn at_the_brow(book: &Book, slope: &Slope) -> String {
    let mut brows: Vec<String> = on_slope(book, &slope.id).into_iter().map(|posts| posts.brow).collect();
    brows.dedup();
    if brows.is_empty() {
        String::new()
    } else {
        format!("; {} at the brow: gear against the card", brows.join(", "))
    }
}

/// Who runs the slope, else whoever is in charge.
fn checker(book: &Book, slope: &Slope) -> String {
    use crate::course::Role::{Instructor, Lead};
    let here =
        book.there().map(|(_, one)| one).find(|one| one.role == Instructor && one.slopes.contains(&slope.id));
    let lead = || book.who_does(Lead).unwrap_or_else(|| "whoever is in charge".to_owned());
    here.map_or_else(lead, |one| one.name.short())
}

#[cfg(test)]
mod tests {
    use super::{Known, scores};

    #[test]
    fn a_slope_scores_lower_after_and_never_less_grave() {
        for grave in [false, true] {
            for out in 0..=5 {
                let [before, after] = scores(Known { grave, out: (out, 5) });
                assert!(after.0 < before.0 && after.1 == before.1, "{before:?} {after:?}");
            }
        }
        assert_eq!(scores(Known { grave: true, out: (2, 5) }), [(4, 5), (2, 5)]);
        assert_eq!(scores(Known { grave: true, out: (5, 5) }), [(4, 5), (1, 5)]);
    }
}
