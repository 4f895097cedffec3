//! When no rota fits: which limits clash, and the smallest relaxations that would do.

use std::cell::RefCell;
use std::fmt;

use super::Rota;
use super::clock::clock_text;
use super::missing::Missing;
use super::model::{Model, pauses_to_try};
use super::request::{Limit, NoFit, Relax};
use super::solve::{Shared, fits};
use crate::course::Course;
use crate::engine::Reckoning;

/// Later by this much at a time, minutes.
const LATER: u16 = 15;
/// More people than this are not proposed.
const MOST_MORE: usize = 6;

/// Why no rota fits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clash {
    /// Limits that cannot all hold; without any one of them a rota fits, as far as that could be told. Empty where it is
    /// not proven that they clash.
    pub limits: Vec<Limit>,
    /// Smallest relaxations that would do, each alone.
    pub relaxations: Vec<String>,
    /// The lower bound and the slots there are, in words.
    pub counts: String,
    /// How far it was looked into.
    pub looked: Looked,
    /// Why, where it is nothing that a rota could mend.
    pub why: Option<String>,
    /// Which of several days has none.
    pub day: Option<usize>,
}

/// How far it was looked into why no rota fits.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Looked {
    /// To the end.
    #[default]
    Whole,
    /// That there is none is proven; not every change could be tried.
    InPart,
    /// None was found; that there is none is not proven, and not every change could be tried.
    Undecided,
}

impl Clash {
    /// One that is told in words alone.
    pub(super) fn said(why: String) -> Self {
        Self { why: Some(why), ..Self::of(Vec::new(), Vec::new(), String::new()) }
    }

    fn of(limits: Vec<Limit>, relaxations: Vec<String>, counts: String) -> Self {
        Self { limits, relaxations, counts, looked: Looked::Whole, why: None, day: None }
    }

    /// The same, of one of several days.
    pub(super) fn on_day(self, number: usize) -> Self {
        Self { day: Some(number), ..self }
    }
}

impl fmt::Display for Clash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(day) = self.day {
            write!(f, "day {day}: ")?;
        }
        if let Some(why) = &self.why {
            return f.write_str(why);
        }
        let limits: Vec<String> = self.limits.iter().map(ToString::to_string).collect();
        match (self.looked, limits.as_slice()) {
            (Looked::Undecided, _) => {
                f.write_str("no rota was found; the day is too full to prove that there is none")?;
            }
            (_, []) => f.write_str("no rota fits")?,
            (_, limits) => write!(f, "no rota fits: {} cannot all hold", limits.join(", "))?,
        }
        if !self.counts.is_empty() {
            write!(f, " ({})", self.counts)?;
        }
        let whole = self.looked == Looked::Whole;
        match self.relaxations.as_slice() {
            [] if whole => {
                write!(f, "; no single change of those tried is enough: take slopes or drivers out")
            }
            [] => {
                write!(f, "; none of the changes that could be tried is enough: take slopes or drivers out")
            }
            ways if whole => write!(f, "; any one of these would do: {}", ways.join("; ")),
            ways => write!(f, "; any one of these would do, others could not be tried: {}", ways.join("; ")),
        }
    }
}

/// Finds out why.
pub(super) fn explain(
    course: &Course,
    reckoning: &Reckoning,
    missing: &Missing,
    before: Option<&Rota>,
    why: &NoFit,
) -> Clash {
    if let NoFit::SlotTooShort { slot, needed } = why {
        return too_short(*slot, *needed);
    }
    let model = Model::from(course, reckoning, missing, &Relax::default(), before);
    if *why == NoFit::Nothing || model.groups.is_empty() {
        let relaxations = vec!["a `roster` with drivers and a `rota` with rules".to_owned()];
        let counts = "nobody to rotate".to_owned();
        return Clash::of(Vec::new(), relaxations, counts);
    }
    let counts = format!(
        "at least {} slots are needed, because {}; the day has {}",
        model.bound.slots,
        model.bound.grounds.first().map_or("", |ground| ground.why.as_str()),
        model.usable()
    );
    // With the longest pause everybody gets everywhere; those between are not tried to say why.
    let mut pauses = if before.is_some() { [0].into() } else { pauses_to_try(course) };
    let (shortest, longest) = (pauses.pop_first().unwrap_or(0), pauses.pop_last());
    let pauses: Vec<u16> = std::iter::once(shortest).chain(longest).collect();
    let asked = RefCell::new((Shared::to_explain(), true));
    let fits = |relax: &Relax| {
        let mut asked = asked.borrow_mut();
        let (steps, told) = &mut *asked;
        let mut answer = Some(false);
        for pause in &pauses {
            let relax = Relax { pause: *pause, ..relax.clone() };
            match fits(&Model::from(course, reckoning, missing, &relax, before), steps) {
                Some(true) => return Some(true),
                Some(false) => {}
                None => answer = None,
            }
        }
        *told &= answer.is_some();
        answer
    };
    // What would do comes first: it is what somebody can act on.
    let relaxations = relaxations(course, &|relax: &Relax| fits(relax) == Some(true));
    asked.borrow_mut().0 = Shared::to_explain();
    let counted = model.bound.slots > model.usable() || *why == NoFit::TooLong { refuted: true };
    let limits = clashing(&fits, counted).unwrap_or_default();
    let looked = match (asked.borrow().1, counted || !limits.is_empty()) {
        (true, _) => Looked::Whole,
        (false, true) => Looked::InPart,
        (false, false) => Looked::Undecided,
    };
    Clash { looked, ..Clash::of(limits, relaxations, counts) }
}

/// The course's slots are shorter than its runs need.
fn too_short(slot: u16, needed: u16) -> Clash {
    let ways =
        [format!("slots of {needed} min instead of {slot} min"), "fewer runs, or smaller groups".to_owned()];
    let counts = format!("the slowest group needs {needed} min on a slope, a slot has {slot} min");
    Clash::of(vec![Limit::SlotLength, Limit::RunTime], ways.into(), counts)
}

/// Limits taken away one by one: what can go without a rota appearing has no part in the clash; one of which that could
/// not be told stays. None where it is not proven that those left clash.
fn clashing(fits: &impl Fn(&Relax) -> Option<bool>, mut proven: bool) -> Option<Vec<Limit>> {
    let mut off = Vec::new();
    let mut part = Vec::new();
    for limit in Limit::ALL {
        let mut trial: Vec<Limit> = off.clone();
        trial.push(limit);
        if fits(&Relax { off: trial.clone(), ..Relax::default() }) == Some(false) {
            (off, proven) = (trial, true);
        } else {
            part.push(limit);
        }
    }
    part.reverse();
    proven.then_some(part)
}

fn relaxations(course: &Course, fits: &impl Fn(&Relax) -> bool) -> Vec<String> {
    let none = Relax::default;
    let Some(rules) = &course.rota else { return Vec::new() };
    let mut ways = Vec::new();
    let minutes = (1..=16).map(|quarters| quarters * LATER);
    let later = minutes.filter(|minutes| rules.until + minutes < 24 * 60);
    if let Some(minutes) = later.into_iter().find(|minutes| fits(&Relax { minutes: *minutes, ..none() })) {
        ways.push(format!(
            "end at {} instead of {}",
            clock_text(rules.until + minutes),
            clock_text(rules.until)
        ));
    }
    if rules.spare > 0 && fits(&Relax { use_spare: true, ..none() }) {
        ways.push(format!("use the {} kept free for weather", counted(usize::from(rules.spare), "slot")));
    }
    if let Some(names) = late(course)
        && fits(&Relax { off: vec![Limit::Times], ..none() })
    {
        ways.push(format!("from the start to the end of the day: {names}"));
    }
    let more = (1..=MOST_MORE).find(|more| fits(&Relax { more_marshals: *more, ..none() }));
    ways.extend(more.map(|more| format!("{} who may run every slope", counted_more(more, "marshal"))));
    let more = (1..=MOST_MORE).find(|more| fits(&Relax { more_instructors: *more, ..none() }));
    ways.extend(more.map(|more| format!("{} who may run every slope", counted_more(more, "instructor"))));
    let fewer = (1..usize::from(rules.marshals.number))
        .find(|fewer| fits(&Relax { fewer_marshals: *fewer, ..none() }));
    ways.extend(fewer.map(|fewer| {
        let left = counted(usize::from(rules.marshals.number) - fewer, "marshal");
        format!("{left} on a slope, if the club's rules allow it")
    }));
    let slopes = (0..course.slopes.len()).filter(|at| fits(&Relax { without_slope: Some(*at), ..none() }));
    let names: Vec<String> = slopes.map(|at| course.slopes[at].name.short()).collect();
    if !names.is_empty() {
        ways.push(format!("one slope less: {}", names.join(" or ")));
    }
    ways
}

/// Who comes late or leaves early today, as far as they serve or drive.
fn late(course: &Course) -> Option<String> {
    let part = |times: Option<(u16, u16)>| times.is_some_and(|(from, until)| from > 0 || until < 24 * 60);
    let drivers = (0..course.roster.drivers.len()).filter(|at| part(course.driver_today(*at)));
    let people = (0..course.people.len()).filter(|at| part(course.person_today(*at)));
    let names: Vec<&str> = drivers
        .map(|at| course.roster.drivers[at].name.full())
        .chain(people.map(|at| course.people[at].name.full()))
        .collect();
    (!names.is_empty()).then(|| names.join(", "))
}

fn counted(count: usize, what: &str) -> String {
    if count == 1 { format!("1 {what}") } else { format!("{count} {what}s") }
}

fn counted_more(count: usize, what: &str) -> String {
    if count == 1 { format!("1 more {what}") } else { format!("{count} more {what}s") }
}
