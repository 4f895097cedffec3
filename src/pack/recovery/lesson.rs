//! The recovery lesson: what to say, examples to chalk up, the usual slips, items for a paper.

use serde::Serialize;

use crate::course::{Course, KitKind};
use crate::formula::Worked;
use crate::lesson::{Example, taught_snatch};
use crate::pack::book::Book;
use crate::pack::recovery::drawn::lettered::lettered;
use crate::pack::recovery::drawn::{Drawn, drawn};
use crate::pack::recovery::summary::may_drive;
use crate::pack::sheet::slope::SlopeSheet;
use crate::page::meta::Meta;
use crate::page::worked::{WorkedSheet, with_unit};
use crate::recovery::ladder::{Does, Means};
use crate::recovery::pull::sinks;

/// The recovery lesson.
#[derive(Serialize)]
pub(crate) struct RecoveryLesson<'a> {
    pack: Meta,
    lesson: Lesson<'a>,
}

#[derive(Serialize)]
struct Lesson<'a> {
    about: String,
    /// The same pull by two books, where both are worked here.
    two_books: Option<TwoBooks>,
    kit: InKit,
    rungs: Vec<RungShown>,
    /// The rungs that the plan draws, each once, to scale.
    drawn: Vec<RungDrawn<'a>>,
    worked: Vec<WorkedSheet>,
    items: Vec<Item>,
}

/// What the depth rule and the older fractions come to.
#[derive(Serialize)]
struct TwoBooks {
    depth: String,
    fractions: String,
    times: String,
}

/// Which of the things to be shown are in this kit.
#[expect(clippy::struct_excessive_bools, reason = "each is one thing to show")]
#[derive(Serialize)]
struct InKit {
    winch: bool,
    /// A winch on whose drum line lies in layers.
    drum: bool,
    block: bool,
    shackle: bool,
    line: bool,
}

/// A question with a right answer and the slips that lead to wrong ones.
#[derive(Serialize)]
struct Item {
    no: String,
    ask: String,
    given: String,
    right: String,
    wrong: Vec<Wrong>,
}

#[derive(Serialize)]
struct Wrong {
    value: String,
    why: String,
}

/// Examples in the order they are taught; each two that follow one another share a page where they can.
const ORDER: [Example; 15] = [
    Example::RecoveryDepthRule,
    Example::RecoverySideways,
    Example::RecoveryFractions,
    Example::RecoveryClear,
    Example::RecoveryLocked,
    Example::RecoveryWorkingLoad,
    Example::RecoveryLowering,
    Example::RecoveryRighting,
    Example::RecoveryBrake,
    Example::RecoveryBridle,
    Example::RecoveryTow,
    Example::RecoveryLayer,
    Example::RecoveryDoubleLine,
    Example::RecoveryAnchor,
    Example::RecoverySnatch,
];
/// Wrong answers shown with each item.
const WRONG: usize = 2;

impl<'a> RecoveryLesson<'a> {
    /// On the steepest slope that is driven, with the vehicle that drives it best.
    pub(crate) fn of(book: &'a Book, pack: Meta) -> Self {
        let steepest = |a: &&crate::course::Slope, b: &&crate::course::Slope| {
            a.steepest().gradient.si().total_cmp(&b.steepest().gradient.si())
        };
        let course = book.course;
        // Where somebody drives, and can sink at all, if there is such ground.
        let driven = |slope: &&crate::course::Slope| {
            slope.survey.is_some() && course.vehicles.iter().any(|vehicle| may_drive(book, slope, vehicle))
        };
        let soft = |slope: &&crate::course::Slope| sinks(course.surface_of(slope));
        let of_day = || course.slopes.iter().filter(driven);
        let sunk = of_day().filter(soft).max_by(steepest);
        let slope = sunk
            .or_else(|| of_day().max_by(steepest))
            .or_else(|| course.slopes.iter().max_by(steepest))
            .expect("a checked course has a slope");
        let vehicle = book.lead(slope);
        let find = |example: Example| {
            book.worked().iter().find(|worked| {
                example.is(worked)
                    && worked.slope.as_ref().is_none_or(|on| *on == slope.id)
                    && (worked.slope.is_none() || worked.vehicle.as_ref() == Some(&vehicle.id))
            })
        };
        let kit = in_kit(course);
        let snatch = snatch_allowed(book);
        let drawn = drawn_once(book);
        let planned = |means: Means| drawn.iter().any(|one| one.rung.means == means);
        // Only what the plan allows is worked.
        let taught = |example: &&Example| match **example {
            Example::RecoveryDoubleLine => kit.winch && kit.block,
            Example::RecoverySnatch => snatch,
            Example::RecoveryLowering | Example::RecoveryBrake => planned(Means::Lower),
            Example::RecoveryTow => planned(Means::Tow),
            Example::RecoveryRighting | Example::RecoverySideways => planned(Means::Right),
            _ => true,
        };
        let examples: Vec<&Worked> =
            ORDER.iter().filter(taught).filter_map(|example| find(*example)).collect();
        let items = (1..).zip(&examples).filter_map(|(no, worked)| item(no, worked)).collect();
        Self {
            pack,
            lesson: Lesson {
                about: format!(
                    "{} on {}{}",
                    vehicle.name,
                    slope.name,
                    if sunk.is_some() { "" } else { ", as an exercise: in this ground no vehicle sinks" }
                ),
                two_books: two_books(&examples),
                kit,
                rungs: rungs_shown(book, &drawn),
                drawn,
                worked: examples.iter().map(|worked| WorkedSheet::of(book.course, worked)).collect(),
                items,
            },
        }
    }
}

/// A rung of the ladder with its drawing.
#[derive(Serialize)]
struct RungShown {
    kind: Means,
    title: &'static str,
    say: &'static str,
}

/// A rung drawn on the slope where it is planned.
#[derive(Serialize)]
struct RungDrawn<'a> {
    slope: &'a SlopeSheet,
    /// What is said of it.
    say: &'static str,
    rung: Drawn,
}

/// Each rung that the plan draws, once.
fn drawn_once<'a>(book: &'a Book) -> Vec<RungDrawn<'a>> {
    let mut all: Vec<RungDrawn<'a>> = Vec::new();
    for one in lettered(book) {
        let (ladder, rung) = one.hardest();
        let sheet = book.slopes.iter().zip(&book.course.slopes).find(|(_, slope)| slope.id == ladder.slope);
        if all.iter().any(|known| known.rung.means == rung.means) {
            continue;
        }
        let say = says().into_iter().find(|told| told.kind == rung.means).map_or("", |told| told.say);
        let drawn = sheet.and_then(|(slope, _)| Some(RungDrawn { slope, say, rung: drawn(book, &one)? }));
        all.extend(drawn);
    }
    all.sort_by_key(|one| one.rung.means);
    all
}

/// The rungs that are tried or done somewhere on this course and not drawn to scale.
fn rungs_shown(book: &Book, drawn: &[RungDrawn]) -> Vec<RungShown> {
    let used = |means: Means| {
        let rungs = book.recoveries().ladders.iter().flat_map(|ladder| &ladder.rungs);
        rungs.into_iter().any(|rung| rung.means == means && !matches!(rung.does, Does::No { .. }))
    };
    let to_scale = |means: Means| drawn.iter().any(|one| one.rung.means == means);
    says().into_iter().filter(|rung| used(rung.kind) && !to_scale(rung.kind)).collect()
}

/// What is said of every rung.
fn says() -> [RungShown; 10] {
    let shown = |kind, title, say| RungShown { kind, title, say };
    [
        shown(
            Means::Think,
            "Stop and think",
            "Held, chocked below the wheels, everyone up the slope or to the side. Who leads? What is the least that will do?",
        ),
        shown(
            Means::Dig,
            "Dig, lower pressures, boards",
            "A spade takes off more force than a winch puts on. Dig towards the way out, never under a vehicle that is not chocked.",
        ),
        shown(
            Means::DriveOut,
            "Drive out downhill",
            "The slope is on your side. The gear on your card, straight down, foot off the throttle.",
        ),
        shown(
            Means::Lower,
            "Let down on the line",
            "Winch above, line tight before the brake comes off, brake let off slowly. Let off at once it doubles the force.",
        ),
        shown(
            Means::Tow,
            "Tow along the track",
            "Tug in front, the towed driver steers. On a rigid bar the tug brakes both; on a rope the towed driver keeps it tight. Not over 25 % of slope.",
        ),
        shown(Means::SingleLine, "Single line", "Straight, short, watched. The winch feels the whole pull."),
        shown(
            Means::DoubleLine,
            "Double line",
            "Half in the line, twice in the block, and half the line is gone.",
        ),
        shown(
            Means::TwoStages,
            "Two stages",
            "Held and chocked in between. The anchor is set anew, every part looked at anew.",
        ),
        shown(
            Means::Right,
            "Right it, with a catch line",
            "One line pulls it up. The other holds it back past its balance and lets it down on its wheels.",
        ),
        shown(
            Means::Professional,
            "Call a professional",
            "Knowing when is part of the trade. Leave it held, keep everyone away.",
        ),
    ]
}

/// Whether the rope that a snatch is taught with may be used anywhere on this course.
fn snatch_allowed(book: &Book) -> bool {
    let Some((rope, _)) = taught_snatch(book.course) else { return false };
    let mut all = book.recoveries().all.iter().flat_map(|told| &told.snatch);
    all.any(|snatch| snatch.rope == rope.id && snatch.not_allowed.is_empty())
}

fn in_kit(course: &Course) -> InKit {
    let has = |kind| course.kit.iter().any(|item| item.kind == kind);
    InKit {
        winch: has(KitKind::Winch),
        drum: course.kit.iter().any(|item| item.kind == KitKind::Winch && !item.rig.rope_through),
        block: has(KitKind::SnatchBlock),
        shackle: has(KitKind::Shackle),
        line: has(KitKind::Line) || has(KitKind::KineticRope),
    }
}

fn two_books(examples: &[&Worked]) -> Option<TwoBooks> {
    let of = |kind: Example| examples.iter().find(|worked| kind.is(worked)).map(|worked| worked.answer());
    let (depth, fractions) = (of(Example::RecoveryDepthRule)?, of(Example::RecoveryFractions)?);
    Some(TwoBooks {
        depth: with_unit(&depth.shown.text, depth.unit),
        fractions: with_unit(&fractions.shown.text, fractions.unit),
        times: format!("{:.1}", depth.si / fractions.si),
    })
}

fn item(no: usize, worked: &Worked) -> Option<Item> {
    let line = worked.answer();
    let wrong: Vec<Wrong> = worked
        .wrong_options()
        .into_iter()
        .take(WRONG)
        .map(|slip| Wrong { value: with_unit(&slip.answer.text, line.unit), why: slip.why.to_owned() })
        .collect();
    let given: Vec<String> = worked
        .given
        .iter()
        .map(|given| format!("{} {}", given.symbol.name, with_unit(&given.shown.text, given.unit)))
        .collect();
    (!wrong.is_empty()).then(|| Item {
        no: no.to_string(),
        ask: format!("{}. Find the {}.", worked.title, line.formula.gives.name),
        given: given.join("; "),
        right: with_unit(&line.shown.text, line.unit),
        wrong,
    })
}
