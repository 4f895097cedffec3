//! Who does not come, what is closed, and what words stand for it.

pub(super) mod late;

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use crate::course::{Course, Role};

/// Who does not come and what is closed, by place in the course.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Missing {
    /// Drivers, by their place in the roster.
    pub drivers: BTreeSet<usize>,
    /// Staff, by their place among the people.
    pub people: BTreeSet<usize>,
    /// Slopes.
    pub slopes: BTreeSet<usize>,
    /// Vehicles that do not run. Their drivers are still there.
    pub vehicles: BTreeSet<usize>,
    /// Staff who stand in for whoever is in charge or for first aid, and so serve nowhere.
    pub standing_in: BTreeSet<usize>,
    /// Drivers who turned up late, with the minutes since midnight from which they are there.
    pub late: BTreeMap<usize, u16>,
    /// Minutes since midnight from which this holds: what was before it stays as it was.
    pub from: u16,
}

impl Missing {
    /// Whether nobody and nothing is missing.
    pub fn is_empty(&self) -> bool {
        self.drivers.is_empty()
            && self.people.is_empty()
            && self.slopes.is_empty()
            && self.vehicles.is_empty()
    }

    /// With what another misses as well.
    #[must_use]
    pub fn and(mut self, other: &Self) -> Self {
        self.drivers.extend(&other.drivers);
        self.people.extend(&other.people);
        self.slopes.extend(&other.slopes);
        self.vehicles.extend(&other.vehicles);
        self.standing_in.extend(&other.standing_in);
        self.late.extend(&other.late);
        self.from = self.from.max(other.from);
        self
    }

    /// What of it another does not miss.
    #[must_use]
    pub fn beyond(&self, other: &Self) -> Self {
        let left =
            |mine: &BTreeSet<usize>, theirs: &BTreeSet<usize>| mine.difference(theirs).copied().collect();
        Self {
            drivers: left(&self.drivers, &other.drivers),
            people: left(&self.people, &other.people),
            slopes: left(&self.slopes, &other.slopes),
            vehicles: left(&self.vehicles, &other.vehicles),
            standing_in: left(&self.standing_in, &other.standing_in),
            late: BTreeMap::new(),
            from: self.from,
        }
    }

    /// Whether a driver has a vehicle that runs.
    pub fn has_vehicle(&self, course: &Course, driver: usize) -> bool {
        let id = course.roster.drivers.get(driver).map(|driver| &driver.vehicle);
        !self.vehicles.iter().any(|at| course.vehicles.get(*at).map(|vehicle| &vehicle.id) == id)
    }

    /// Without what another misses: it is there again.
    #[must_use]
    pub fn but_for(mut self, back: &Self) -> Self {
        let from = self.from;
        self = Self { late: self.late.clone(), ..self.beyond(back) };
        self.from = from;
        self
    }

    /// How many are missing, of people and things.
    pub fn counted(&self) -> usize {
        self.drivers.len() + self.people.len() + self.slopes.len() + self.vehicles.len()
    }

    /// Whether a driver was there at a time of the day.
    pub fn was_there(&self, driver: usize, minutes: u16) -> bool {
        self.late.get(&driver).is_none_or(|from| *from <= minutes)
    }

    /// Whether a vehicle is not there: it does not run, or nobody brought it.
    pub fn lacks_vehicle(&self, course: &Course, vehicle: usize) -> bool {
        let id = &course.vehicles[vehicle].id;
        let drivers =
            || (0..course.roster.drivers.len()).filter(|at| course.roster.drivers[*at].vehicle == *id);
        let brought = drivers().all(|at| !course.roster.drivers[at].own_vehicle)
            || drivers().any(|at| !self.drivers.contains(&at));
        self.vehicles.contains(&vehicle) || !brought
    }
}

/// Who does what somebody missing would do: for the person in charge and for first aid.
///
/// # Errors
/// Nobody is left for it; the sentence says who is missing and what to do.
pub fn stand_in(course: &Course, missing: &mut Missing) -> Result<(), String> {
    for (role, what, ways) in
        [(Role::Lead, "the person in charge", "lead"), (Role::FirstAider, "first aid", "first-aider")]
    {
        let named = |at: &usize| course.people[*at].role == role;
        let there = |at: &usize| !missing.people.contains(at);
        let all = || 0..course.people.len();
        if !all().any(|at| named(&at)) || all().any(|at| named(&at) && there(&at)) {
            continue;
        }
        let deputy = all().find(|at| course.people[*at].deputy == Some(role) && there(at));
        let Some(deputy) = deputy else {
            let gone: Vec<&str> = all().filter(named).map(|at| course.people[at].name.full()).collect();
            return Err(format!(
                "{} is missing and nobody stands in for {what}: nobody drives. Find somebody, write them into the \
                 course with `deputy: {ways}`, print the pack again and hand it out",
                gone.join(", ")
            ));
        };
        missing.standing_in.insert(deputy);
    }
    Ok(())
}

/// The people who do a role today: those named for it who are there, else those who stand in.
pub fn doing(course: &Course, role: Role, missing: &Missing) -> Vec<usize> {
    let all = || (0..course.people.len()).filter(|at| !missing.people.contains(at));
    let named: Vec<usize> = all().filter(|at| course.people[*at].role == role).collect();
    if !named.is_empty() {
        return named;
    }
    all().filter(|at| course.people[*at].deputy == Some(role) && missing.standing_in.contains(at)).collect()
}

/// Something a course calls by a name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Thing {
    Driver(usize),
    Person(usize),
    Slope(usize),
    Vehicle(usize),
}

/// Why a word stands for nothing that can be missing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unclear {
    /// Nothing has this name; a near one that something has.
    Unknown(String, Option<String>),
    /// Several things have this name: how to say each.
    Several(String, Vec<String>),
}

impl fmt::Display for Unclear {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unknown(word, near) => {
                write!(f, "`{word}`: no driver, person, vehicle or slope has that name")?;
                near.as_ref().map_or(Ok(()), |near| write!(f, "; did you mean `{near}`?"))
            }
            Self::Several(word, ways) => {
                write!(f, "`{word}` stands for more than one thing; write {}", ways.join(" or "))
            }
        }
    }
}

/// Kinds that a word may begin with, so that it stands for one thing only.
const KINDS: [&str; 4] = ["driver", "person", "slope", "vehicle"];

impl Thing {
    const fn kind(self) -> &'static str {
        KINDS[match self {
            Self::Driver(_) => 0,
            Self::Person(_) => 1,
            Self::Slope(_) => 2,
            Self::Vehicle(_) => 3,
        }]
    }
}

/// Everything of a course that has a name, with each name it has.
fn named(course: &Course) -> Vec<(String, Thing)> {
    let mut names = Vec::new();
    for (at, driver) in course.roster.drivers.iter().enumerate() {
        names.push((driver.name.full().to_owned(), Thing::Driver(at)));
        names.push((driver.id.clone(), Thing::Driver(at)));
    }
    names.extend(
        course.people.iter().enumerate().map(|(at, one)| (one.name.full().to_owned(), Thing::Person(at))),
    );
    for (at, slope) in course.slopes.iter().enumerate() {
        names.push((slope.id.clone(), Thing::Slope(at)));
        names.push((slope.name.full().to_owned(), Thing::Slope(at)));
    }
    for (at, vehicle) in course.vehicles.iter().enumerate() {
        names.push((vehicle.id.clone(), Thing::Vehicle(at)));
        names.push((vehicle.name.full().to_owned(), Thing::Vehicle(at)));
    }
    names
}

/// What these words stand for: an identifier, number or name of a slope, vehicle, driver or somebody of the
/// staff, in any case of letters; `slope:1` or `driver:1` where a word alone could be both.
///
/// # Errors
/// The first word that stands for nothing, with the nearest name; or for several things, with how to say each.
pub fn missing_of(course: &Course, words: &[String]) -> Result<Missing, Unclear> {
    let names = named(course);
    let mut missing = Missing::default();
    for word in words {
        match thing(word, &names)? {
            Thing::Driver(at) => missing.drivers.insert(at),
            Thing::Person(at) => missing.people.insert(at),
            Thing::Slope(at) => missing.slopes.insert(at),
            Thing::Vehicle(at) => missing.vehicles.insert(at),
        };
    }
    Ok(missing)
}

fn thing(word: &str, names: &[(String, Thing)]) -> Result<Thing, Unclear> {
    let (kind, name) = match word.split_once(':') {
        Some((kind, name)) if KINDS.contains(&kind.trim()) => (Some(kind.trim()), name.trim()),
        _ => (None, word.trim()),
    };
    let of_kind = |thing: &Thing| kind.is_none_or(|kind| thing.kind() == kind);
    let same = |exact: bool| -> BTreeSet<Thing> {
        let fits =
            |known: &str| if exact { known == name } else { known.to_lowercase() == name.to_lowercase() };
        names.iter().filter(|(known, thing)| fits(known) && of_kind(thing)).map(|(_, thing)| *thing).collect()
    };
    let mut found = same(true);
    if found.is_empty() {
        found = same(false);
    }
    let mut found = found.into_iter();
    match (found.next(), found.next()) {
        (Some(one), None) => Ok(one),
        (Some(one), Some(two)) => {
            let all = [one, two].into_iter().chain(found);
            Err(Unclear::Several(word.to_owned(), all.map(|thing| told(thing, name, names)).collect()))
        }
        _ => {
            let known: Vec<&str> =
                names.iter().filter(|(_, thing)| of_kind(thing)).map(|(name, _)| name.as_str()).collect();
            Err(Unclear::Unknown(word.to_owned(), nearest(name, &known)))
        }
    }
}

/// The name most like the one typed, if it is like any.
fn nearest(typed: &str, known: &[&str]) -> Option<String> {
    let typed = typed.to_lowercase();
    let most = typed.chars().count().div_ceil(4).clamp(1, 4);
    let far = |name: &&&str| strsim::damerau_levenshtein(&typed, &name.to_lowercase());
    known.iter().min_by_key(far).filter(|name| far(name) <= most).map(|name| (*name).to_owned())
}

/// How to say a thing so that nothing else is meant: the kind is enough, or its identifier is needed.
fn told(thing: Thing, name: &str, names: &[(String, Thing)]) -> String {
    let alone =
        names.iter().filter(|(known, other)| known == name && other.kind() == thing.kind()).count() == 1;
    let other =
        names.iter().filter(|(known, other)| *other == thing && known != name).map(|(known, _)| known);
    let said = if alone { name.to_owned() } else { other.min().cloned().unwrap_or_else(|| name.to_owned()) };
    format!("`{}:{said}`", thing.kind())
}
