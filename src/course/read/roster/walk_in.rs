//! Somebody who turns up on the day, in the words typed at the gate.

use super::{Course, EXPERIENCE, Log, NEEDS, Row, class_known, driver, nearest, plain, start_of};
use crate::course::{Comes, Person, Role, Vehicle};
use crate::spreadsheet::Cell;

/// Who turned up, by their place in the course.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Arrival {
    /// A driver, by their place in the roster.
    Driver(usize),
    /// Somebody of the staff.
    Person(usize),
}

/// What somebody can do who did not come to drive.
pub(super) const ROLES: [(&str, Role); 7] = [
    ("instructor", Role::Instructor),
    ("marshal", Role::Marshal),
    ("spotter", Role::Spotter),
    ("assessor", Role::Assessor),
    ("first-aider", Role::FirstAider),
    ("first-aid", Role::FirstAider),
    ("lead", Role::Lead),
];

/// That somebody comes on all of several days.
const ALL_DAYS: [&str; 3] = ["all-days", "both-days", "every-day"];

/// That a vehicle has a low range, or has none; where nothing is said none is reckoned with.
const LOW_RANGE: [(&str, &str); 3] =
    [("low-range", "yes"), ("with-low-range", "yes"), ("no-low-range", "none")];

/// How to say who came.
const HOW: &str = "say the name, then with commas what they drive and how much they have driven: \
    `T. Late, diesel wagon, low range, novice`; or with whom: `T. Late, with A. B., some`; or what they do: \
    `T. Late, marshal`. Cars are wagon, pickup, van, truck, short-wheelbase or one of the course, and count as without \
    a low range until you say `low range`; drivers are novice, some or experienced; helpers are instructor, marshal, spotter, first-aider or lead; of several days they come on that one, \
    or on all with `all days`";

/// Puts somebody into a course who turns up on the day: `T. Late, diesel wagon, novice`, or
/// `T. Late, with A. B., some`, or `Helper 9, marshal`. What is not said of a vehicle is estimated from its
/// class, as in a roster; whoever says nothing of what they have driven is a novice.
///
/// # Errors
/// In words: what is not understood, what is missing, or that the name is there already.
pub fn walk_in(course: &mut Course, words: &str) -> Result<Arrival, String> {
    let mut parts = words.split([',', ';']).map(str::trim).filter(|part| !part.is_empty());
    let name = parts.next().ok_or_else(|| format!("``: {HOW}"))?;
    not_there_yet(course, name)?;
    let said = Said::of(course, parts)?;
    if let Some(role) = said.role {
        let name = log_text(course, name);
        let comes = said.comes(course);
        course.people.push(Person { name, role, vehicle: None, slopes: Vec::new(), deputy: None, comes });
        let at = course.people.len() - 1;
        course.named_today(at);
        return Ok(Arrival::Person(at));
    }
    if !["vehicle", "class", "shares"].iter().any(|column| said.has(column)) {
        return Err(format!("`{}`: what does {name} drive? {HOW}", start_of(words)));
    }
    let shares = said.shares(course);
    let id = free_number(course);
    let log = Log::default();
    let row = said.row(name);
    // What a member drives is no vehicle of the fleet, though somebody comes with one alike.
    let members =
        |id: &String| course.roster.drivers.iter().any(|driver| driver.own_vehicle && driver.vehicle == *id);
    let fleet: Vec<Vehicle> =
        course.vehicles.iter().filter(|vehicle| !members(&vehicle.id)).cloned().collect();
    let (mut one, own) = driver(&row, &id, &fleet, course.days_held(), &log).map_err(|_| in_words(&log))?;
    if let Some(theirs) = shares {
        one.vehicle = theirs;
    }
    one.comes = said.comes(course);
    course.vehicles.extend(own);
    course.long_texts.extend(log.long_texts());
    course.roster.drivers.push(one);
    Ok(Arrival::Driver(course.roster.drivers.len() - 1))
}

fn log_text(course: &mut Course, name: &str) -> crate::course::Name {
    let log = Log::default();
    let text = log.text(name, || "name of somebody who came".to_owned());
    course.long_texts.extend(log.long_texts());
    text
}

fn in_words(log: &Log) -> String {
    let told = log.taken().into_iter().map(|problem| match problem.help {
        Some(help) => format!("{}: {help}", problem.message),
        None => problem.message,
    });
    told.collect::<Vec<_>>().join("; ")
}

/// A name that is on the list, whatever its dots and blanks, is asked about.
fn not_there_yet(course: &Course, name: &str) -> Result<(), String> {
    let bare =
        |name: &str| -> String { name.to_lowercase().chars().filter(|c| c.is_alphanumeric()).collect() };
    let wanted = bare(name);
    let same = |known: &str| !wanted.is_empty() && bare(known) == wanted;
    let driver = course.roster.drivers.iter().find(|driver| same(driver.name.full()));
    let told = match driver {
        Some(driver) => Some(format!("driver {}, {}", driver.id, driver.name)),
        None => course
            .people
            .iter()
            .find(|person| same(person.name.full()))
            .map(|person| format!("{} of the staff", person.name)),
    };
    let Some(told) = told else { return Ok(()) };
    Err(format!(
        "`{name}`: that is {told}, who is there already. Is it somebody else? Then tell them apart: \
         `{name} (gate)`, and the rest as before. Is it the same person? Then nothing is to be done"
    ))
}

/// What was said of somebody, by column.
#[derive(Default)]
struct Said {
    cells: Vec<(&'static str, String)>,
    role: Option<Role>,
    /// Whether they come on all of several days.
    all_days: bool,
}

impl Said {
    fn of<'w>(course: &Course, parts: impl Iterator<Item = &'w str>) -> Result<Self, String> {
        let mut said = Self::default();
        for part in parts {
            let word = plain(part);
            let experience = word.strip_suffix("-experience").unwrap_or(&word);
            let role = ROLES.iter().find(|(known, _)| *known == word.trim_end_matches('s'));
            let (column, text) = if let Some((_, role)) = role {
                said.role = Some(*role);
                continue;
            } else if ALL_DAYS.contains(&word.as_str()) {
                said.all_days = true;
                continue;
            } else if let Some((_, has)) = LOW_RANGE.iter().find(|(known, _)| *known == word) {
                ("transfer-low", (*has).to_owned())
            } else if word.starts_with("with-") {
                ("shares", known_driver(course, part[4..].trim())?)
            } else if EXPERIENCE.iter().any(|(known, _)| *known == experience) {
                ("experience", experience.to_owned())
            } else if NEEDS.iter().any(|(known, _)| part.to_lowercase().contains(known)) {
                ("needs", part.to_owned())
            } else if let Some(id) = vehicle_named(course, part) {
                ("vehicle", id)
            } else if let Some(class) = class_in(part) {
                said.put("class", class, part)?;
                ("vehicle", part.to_owned())
            } else {
                return Err(not_understood(course, part));
            };
            said.put(column, text, part)?;
        }
        Ok(said)
    }

    /// On which days they come: this one, or all.
    fn comes(&self, course: &Course) -> Comes {
        let this_alone = course.days_held() > 1 && !self.all_days;
        Comes { days: this_alone.then(|| course.day_number()).into_iter().collect(), ..Comes::default() }
    }

    fn has(&self, column: &str) -> bool {
        self.cells.iter().any(|(name, _)| *name == column)
    }

    fn put(&mut self, column: &'static str, text: String, part: &str) -> Result<(), String> {
        if self.has(column) {
            return Err(format!("`{}`: the {column} is said twice", start_of(part)));
        }
        self.cells.push((column, text));
        Ok(())
    }

    /// The vehicle of whoever they drive with.
    fn shares(&self, course: &Course) -> Option<String> {
        let (_, number) = self.cells.iter().find(|(name, _)| *name == "shares")?;
        course.roster.drivers.iter().find(|driver| driver.id == *number).map(|driver| driver.vehicle.clone())
    }

    fn row(&self, name: &str) -> Row {
        let cells = self.cells.iter().map(|(column, text)| (*column, text.as_str()));
        let cells = std::iter::once(("driver", name)).chain(cells);
        let cell = |text: &str| Cell { text: text.to_owned(), span: 0..0 };
        Row { place: 0..0, cells: cells.map(|(column, text)| (column, cell(text))).collect() }
    }
}

/// The number of a driver, by name or number.
fn known_driver(course: &Course, name: &str) -> Result<String, String> {
    let drivers = &course.roster.drivers;
    let same =
        drivers.iter().find(|one| one.id == name || one.name.full().to_lowercase() == name.to_lowercase());
    same.map(|one| one.id.clone()).ok_or_else(|| {
        let known: Vec<&str> = drivers.iter().map(|one| one.name.full()).collect();
        let near = nearest(name, &known).map_or_else(String::new, |near| format!("; did you mean `{near}`?"));
        format!("`with {}`: nobody of that name has a vehicle here{near}", start_of(name))
    })
}

fn vehicle_named(course: &Course, part: &str) -> Option<String> {
    let same = |known: &str| known.to_lowercase() == part.to_lowercase();
    let mut named = course.vehicles.iter().filter(|vehicle| same(&vehicle.id) || same(vehicle.name.full()));
    // What several members drive alike names none of them.
    let one = named.next()?;
    (named.next().is_none()
        && !course.roster.drivers.iter().any(|driver| driver.own_vehicle && driver.vehicle == one.id))
    .then(|| one.id.clone())
}

/// The class a description speaks of.
fn class_in(part: &str) -> Option<String> {
    let whole = std::iter::once(part);
    whole.chain(part.split_whitespace().rev()).find(|word| class_known(word)).map(str::to_owned)
}

fn not_understood(course: &Course, part: &str) -> String {
    let own = course.vehicles.iter().map(|vehicle| vehicle.id.as_str());
    let words = EXPERIENCE.iter().map(|(word, _)| *word).chain(ROLES.iter().map(|(word, _)| *word));
    let classes = ["wagon", "pickup", "van", "truck", "short-wheelbase"];
    let known: Vec<&str> = words.chain(classes).chain(own).collect();
    let near = nearest(&part.to_lowercase(), &known)
        .map_or_else(String::new, |near| format!(" Did you mean `{near}`?"));
    format!("`{}` is not understood.{near} {HOW}", start_of(part))
}

/// The first number behind the roster's that nobody has.
fn free_number(course: &Course) -> String {
    let taken = |id: &str| course.roster.drivers.iter().any(|driver| driver.id == id);
    let count = course.roster.drivers.len();
    (count + 1..=2 * count + 1)
        .map(|number| number.to_string())
        .find(|id| !taken(id))
        .expect("fewer drivers than numbers")
}
