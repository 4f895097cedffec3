//! The course plan.

use serde::Serialize;

use crate::course::{
    AnchorSort, Condition, Course, KitItem, KitKind, Name, Passage, Person, Role, RopeMaterial,
};
use crate::pack::book::Book;
use crate::pack::day::limit::limit_with_own;
use crate::pack::day::page::DayPage;
use crate::pack::day::posts;
use crate::pack::day::practical::practical;
use crate::pack::day::wet::Wet;
use crate::pack::ground::day_sum::{DaySum, driven_in};
use crate::pack::ground::risk::missing_kit;
use crate::pack::ground::timetable::{Part, timetable};
use crate::pack::recovery::kit::{PULLING, stands_at};
use crate::pack::sheet::slope::SlopeSheet;
use crate::pack::sheet::vehicle::VehicleSheet;
use crate::page::chart::{self, HoldBand};
use crate::page::meta::Meta;
use crate::recovery::gear::{Reason, anchor_holds, unfit_reason};

/// The course plan.
#[derive(Serialize)]
pub(crate) struct CoursePlan<'a> {
    pack: Meta,
    plan: Plan,
    slopes: &'a [SlopeSheet],
    vehicles: &'a [VehicleSheet],
    hold: HoldBand,
    sum: Option<DaySum>,
    /// The day on one page, where no rota says it.
    day: Option<DayPage>,
    /// What holds when it gets wet.
    wet: Option<Wet>,
}

#[derive(Serialize)]
struct Plan {
    aim: String,
    pass_rule: String,
    /// Who watches which runs of the practical.
    practical: Option<String>,
    entry: Vec<String>,
    needs: Vec<String>,
    /// Who the kit does not fetch, a vehicle each.
    not_fetched: Vec<String>,
    /// Vehicles that drive no slope today.
    nowhere: Vec<String>,
    outcomes: Vec<Outcome>,
    /// Who signs for it, where the course names somebody.
    prepared_by: Option<String>,
    sessions: Vec<SessionRow>,
    staff: Vec<Staff>,
    kit: Vec<KitRow>,
    /// That there are too few chocks for the vehicles.
    chocks: Option<String>,
    /// That there are too few radios for the posts.
    radios: Option<String>,
    /// Kit that the risk assessment counts on and the list does not have.
    missing: Option<String>,
    stop_rules: Vec<String>,
}

#[derive(Serialize)]
struct Outcome {
    no: String,
    text: String,
}

#[derive(Serialize)]
struct SessionRow {
    start: String,
    end: String,
    title: String,
    /// The slopes driven in it.
    slopes: String,
    outcome: String,
}

#[derive(Serialize)]
struct Staff {
    role: &'static str,
    who: String,
    slopes: String,
}

/// Pieces that are looked at in the same way.
#[derive(Serialize)]
struct KitRow {
    /// What, how many, what one of them may carry.
    items: Vec<String>,
    check: String,
}

impl<'a> CoursePlan<'a> {
    /// From the book.
    pub(crate) fn of(book: &'a Book, pack: Meta) -> Self {
        let course = book.course;
        Self {
            pack,
            plan: plan(book),
            slopes: &book.slopes,
            vehicles: &book.vehicles,
            hold: chart::hold_band(course, book.show),
            sum: DaySum::of(book),
            day: DayPage::of(book),
            wet: Wet::of(book),
        }
    }
}

fn plan(book: &Book) -> Plan {
    let course = book.course;
    let (slopes, vehicles) = of_the_day(course);
    Plan {
        aim: format!(
            "{slopes} slopes, {vehicles} vehicles. Everyone chooses range and gear before the brow, comes down with turning wheels, and sees what a locked wheel does to distance and steering."
        ),
        pass_rule: "Practical: each outcome shown once without help; a dangerous fault ends the attempt. Written: the assessor states the pass mark before the paper is handed out.".to_owned(),
        practical: practical(book),
        entry: course.entry_requirements.iter().map(Passage::short).collect(),
        needs: needs(book),
        not_fetched: not_fetched(book),
        nowhere: nowhere(book),
        prepared_by: course.prepared_by.as_ref().map(Name::short),
        outcomes: (1..).zip(&course.outcomes).map(|(no, text)| Outcome { no: format!("{no}"), text: text.short() }).collect(),
        sessions: timetable(book).into_iter().map(|part| session(book, part)).collect(),
        staff: staff(book),
        kit: kit(book),
        chocks: crate::pack::look_at::chocks(course),
        radios: posts::radios(book),
        missing: missing_kit(book),
        stop_rules: stop_rules(book),
    }
}

/// How many drive: those of the roster and those among the people.
pub(crate) fn drivers_of(course: &Course) -> usize {
    course.roster.drivers.len() + course.people.iter().filter(|person| person.role == Role::Driver).count()
}

/// Slopes and vehicles of the day; of several days those of this one.
fn of_the_day(course: &Course) -> (usize, usize) {
    if course.today.is_none() {
        return (course.slopes.len(), course.vehicles.len());
    }
    let roster = &course.roster.drivers;
    // A vehicle of nobody on the roster is the club's own, and always there.
    let stands = |id: &String| {
        let mut theirs = roster.iter().enumerate().filter(|(_, driver)| driver.vehicle == *id).peekable();
        theirs.peek().is_none() || theirs.any(|(at, _)| course.driver_today(at).is_some())
    };
    let slopes = (0..course.slopes.len()).filter(|at| course.drives_today(*at)).count();
    (slopes, course.vehicles.iter().filter(|vehicle| stands(&vehicle.id)).count())
}

/// The slopes whose pegs stand nearer than usual.
fn nearer(book: &Book, usual: &str) -> String {
    let others = book.slopes.iter().map(|sheet| (&sheet.id, sheet.pegs.apart.text()));
    let said: Vec<String> =
        others.filter(|(_, apart)| apart != usual).map(|(id, apart)| format!("{id}: {apart}")).collect();
    if said.is_empty() { String::new() } else { format!(" ({})", said.join(", ")) }
}

fn needs(book: &Book) -> Vec<String> {
    let apart = book.show.length(book.show.pegs_apart(), false).trimmed().text();
    let first = book.course.slopes.iter().filter(|slope| slope.survey.is_none()).map(|slope| {
        let mark = book.slope_mark(&slope.id);
        format!(
            "Survey first: {mark} {} is not measured. Measure it two days before the course and print anew, or it is off",
            slope.name
        )
    });
    let rules = book.course.slopes.iter().flat_map(|slope| {
        let mark = book.slope_mark(&slope.id);
        slope.rules.iter().map(move |rule| format!("{mark}: {}", rule.short().trim_end_matches('.')))
    });
    let of_the_day = [
        "Permission of the landowner for the date, and insurance that covers the day".to_owned(),
        "Every slope walked since the last rain and measured since the last frost; the wet-day test done after rain".to_owned(),
        "Run-outs clear for their whole length, spectators’ line roped off".to_owned(),
        "A way in for an ambulance, known to whoever calls it".to_owned(),
        format!("For each slope in use a watch and two pegs, {apart} apart beside its steepest stretch{}", nearer(book, &apart)),
    ];
    let telephone = book.course.emergency.somebody_drives_to_a_telephone().then(|| {
        "A vehicle that drives no slope beside control, facing out, key in it, for whoever drives to where the telephone works"
            .to_owned()
    });
    first.chain(of_the_day).chain(telephone).chain(rules).collect()
}

/// Who this kit does not fetch, and when, a vehicle each: `B however it is stuck`; empty where it fetches all that go.
pub(crate) fn not_fetched(book: &Book) -> Vec<String> {
    let said = |sheet: &VehicleSheet| sheet.not_fetched.as_ref().map(|when| format!("{}: {when}", sheet.id));
    // Of a long fleet each one's own card says it.
    let all: Vec<String> = book.vehicles.iter().filter_map(said).collect();
    if all.len() > MOST_TOLD {
        return vec![format!("{} of {} vehicles, as their cards say", all.len(), book.vehicles.len())];
    }
    all
}

/// The vehicles that drive no slope today; their drivers should know before they come.
fn nowhere(book: &Book) -> Vec<String> {
    let stays = |sheet: &VehicleSheet| !sheet.descents.iter().any(|row| row.within);
    let with = |at: usize| {
        let id = &book.course.vehicles[at].id;
        let driver = book.course.people.iter().find(|person| person.vehicle.as_ref() == Some(id));
        driver.map_or_else(String::new, |person| format!(" ({})", person.name))
    };
    let all = book.vehicles.iter().enumerate().filter(|(_, sheet)| stays(sheet));
    all.map(|(at, sheet)| format!("{} {}{}", sheet.id, sheet.name, with(at))).collect()
}

/// Most vehicles whose fetching a page tells one by one.
const MOST_TOLD: usize = 8;

/// Rules that end an exercise, from the course's own limits. Common practice, no source, otherwise.
pub(crate) fn stop_rules(book: &Book) -> Vec<String> {
    let (limits, show) = (&book.course.limits, book.show);
    vec![
        format!(
            "A descent over {} ends the exercise on that slope until the reason is known.",
            limit_with_own(book)
        ),
        format!(
            "No slope over {}, no side tilt over {}, bumps included.",
            show.angle(limits.gradient.si(), false).text(),
            show.angle(limits.side_tilt.si(), false).text()
        ),
        "A soft brake pedal, a smell or smoke from a wheel: stand, wheels chocked, until it is cold."
            .to_owned(),
        "Wind that moves whole trees: no runs under trees (Beaufort 7).".to_owned(),
    ]
}

fn session(book: &Book, part: Part) -> SessionRow {
    let slopes = part.session.map_or_else(String::new, |session| driven_in(book, session));
    SessionRow { end: part.end(), start: part.start, title: part.title, slopes, outcome: part.outcome }
}

/// A role in words.
pub(crate) fn role_word(role: Role) -> &'static str {
    match role {
        Role::Lead => "in charge",
        Role::Instructor => "instructor",
        Role::Assessor => "assessor",
        Role::Marshal => "marshal",
        Role::Spotter => "spotter",
        Role::FirstAider => "first aid",
        Role::Driver => "driver",
    }
}

fn staff(book: &Book) -> Vec<Staff> {
    let course = book.course;
    book.there()
        .map(|(_, person)| person)
        .filter(|person| person.role != Role::Driver)
        .map(|person| Staff {
            role: role_word(person.role),
            who: person.name.short(),
            slopes: slopes_of(course, person),
        })
        .collect()
}

fn slopes_of(course: &Course, person: &Person) -> String {
    let names: Vec<String> = course
        .slopes
        .iter()
        .filter(|slope| person.slopes.contains(&slope.id))
        .map(|slope| slope.name.short())
        .collect();
    if names.is_empty() { "the whole site".to_owned() } else { names.join(", ") }
}

/// The kit in the order of the course, pieces with the same check in one row.
fn kit(book: &Book) -> Vec<KitRow> {
    let mut rows: Vec<KitRow> = Vec::new();
    for item in &book.course.kit {
        let out_of_use = PULLING.contains(&item.kind).then(|| out_of_use(item)).flatten();
        let (rating, check) = match out_of_use {
            Some(why) => (None, why),
            None => (rating(item, book), check(item).to_owned()),
        };
        let said = [Some(format!("{} {}", item.count, item.name.short())), rating, stands_at(item, book)];
        let said = said.into_iter().flatten().collect::<Vec<_>>().join(", ");
        match rows.iter_mut().find(|row| row.check == check) {
            Some(row) => row.items.push(said),
            None => rows.push(KitRow { items: vec![said], check }),
        }
    }
    rows
}

/// What a piece may carry, in the words of the plan.
fn rating(item: &KitItem, book: &Book) -> Option<String> {
    match (item.rating.limit(), item.rating.breaking) {
        (Some(load), _) => Some(format!("may carry {}", book.show.force(load, false).text())),
        (None, Some(breaking)) => Some(format!(
            "breaking strength {} only: not a working load",
            book.show.force(breaking, false).text()
        )),
        (None, None) => None,
    }
}

/// Why a piece that pulls stays in the box, if it does.
fn out_of_use(item: &KitItem) -> Option<String> {
    let unrated = item.rating.limit().is_none() && item.rating.breaking.is_none();
    let reason = match item.kind {
        KitKind::GroundAnchor => anchor_holds(item).is_none().then_some(Reason::Untested),
        KitKind::KineticRope => unfit_reason(item).filter(|_| unrated),
        _ => unfit_reason(item),
    };
    let retired = (item.rig.condition == Condition::Retired).then_some(Reason::Retired);
    retired.or(reason).map(|reason| format!("out of use: {}", reason.words()))
}

/// What to look at before use. Common practice, no source.
fn check(item: &KitItem) -> &'static str {
    match item.kind {
        KitKind::Winch if item.rig.rope_through => {
            "jaws grip and let go, lever straight, the maker’s shear pins"
        }
        KitKind::Winch => {
            "brake holds, fairlead smooth, remote sound; five turns of steel rope stay on the drum, ten of synthetic"
        }
        KitKind::Line if item.rig.material == RopeMaterial::Steel => "broken wires, kinks, rust, eyes",
        KitKind::Line => "cut or fused strands, eyes, stitching",
        KitKind::KineticRope | KitKind::Strap => "cuts, burns, stitching, label readable, dry",
        KitKind::TowBar => "straight, pins and clips its own, label readable",
        KitKind::SnatchBlock => "sheave turns, side plates close, pin secured",
        KitKind::Shackle => "pin runs free, stamped rating, not bent or worn",
        KitKind::GroundAnchor => match item.rig.anchor {
            Some(AnchorSort::Tree) => "alive, sound, roots firm; nothing new at its foot",
            Some(AnchorSort::Rock) => "no new crack, nothing loose round it",
            Some(AnchorSort::Buried) => "as deep as it was, nothing moved",
            _ => "pickets straight, enough for the ground",
        },
        KitKind::Damper => "heavy enough to bring a line down, straps sound",
        KitKind::EdgeGuard => "rounded, longer than the line is wide",
        KitKind::Gloves => "leather palms, a pair for everybody who touches a line",
        KitKind::Chock => "sound; one pair for each vehicle, its own or from the kit",
        KitKind::FirstAid => "sealed, in date, everyone knows where",
        KitKind::Extinguisher => "gauge in the green, in date",
        KitKind::Radio => "charged, channel set, spare battery",
        KitKind::ThrowLine => "runs out of its bag, floats; thrown once before the first run",
        KitKind::Vest => "bright, whole, one for everybody with a post",
        KitKind::Barrier | KitKind::Pegs => "enough for the longest line, seen from a driver’s seat",
        KitKind::Watch | KitKind::Tape | KitKind::Gauge | KitKind::Rake => {
            "whole, tried once, at the slope in use"
        }
        KitKind::Shovel | KitKind::Boards | KitKind::Other => "complete and dry",
    }
}
