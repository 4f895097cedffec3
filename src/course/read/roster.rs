//! Reading the roster: from a spreadsheet's file or from the course, both into the same rows.

mod comes;
mod fleet;
mod heads;
mod own_vehicle;
mod rows;
mod seen;
mod walk_in;

use std::ops::Range;

use comes::{beside, comes, passengers, seats, share};
use fleet::{note_same_vehicle, of_the_fleet, staff_among};
pub(super) use heads::hide;
use heads::{COLUMNS, Heads, is_head, masked};

use crate::course::cursor::{Field, Fields, Log, Noted, Read, id_fault, nearest, start_of};
use crate::course::{Comes, Course, Driver, Experience, Need, Passenger, Person, Private, Roster, Vehicle};
use crate::problem::Problem;
use crate::spreadsheet::{Cell, Table, plain};
use own_vehicle::{class_known, own_vehicle};
use rows::named_rows;
pub(super) use seen::{Written, to_show, written};
pub use walk_in::{Arrival, walk_in};

/// Most drivers of a roster.
const MOST_ROWS: usize = 500;

const EXPERIENCE: &[(&str, Experience)] = &[
    ("novice", Experience::Novice),
    ("none", Experience::Novice),
    ("first", Experience::Novice),
    ("beginner", Experience::Novice),
    ("some", Experience::Some),
    ("intermediate", Experience::Some),
    ("experienced", Experience::Experienced),
    ("advanced", Experience::Experienced),
];

/// Words that a club acts on, wherever they stand in what somebody needs. Everything else that is written
/// there is for the person in charge to read.
const NEEDS: &[(&str, Need)] = &[
    ("large print", Need::LargePrint),
    ("big print", Need::LargePrint),
    ("poor sight", Need::LargePrint),
    ("visually impaired", Need::LargePrint),
    ("hearing", Need::Hearing),
    ("deaf", Need::Hearing),
    ("mobility", Need::Mobility),
    ("wheelchair", Need::Mobility),
    ("crutches", Need::Mobility),
    ("walking stick", Need::Mobility),
];

/// What people write where they need nothing.
const NOTHING: [&str; 9] = ["none", "no", "-", "–", "n/a", "na", "nil", "nothing", "n.a."];

/// The `roster:` part: a file with its columns, or drivers one by one.
/// `staff`: the people of the course; mistakes in them are told of there.
pub(super) fn roster(
    field: &Field,
    vehicles: &mut Vec<Vehicle>,
    staff: &Read<Option<Vec<Person>>>,
    days: usize,
) -> Read<Roster> {
    let staff = staff.as_ref().ok().and_then(Option::as_deref).unwrap_or_default();
    let mut fields = Fields::of(field, "`roster`")?;
    let file = fields.optional("file", Field::picture);
    let columns = fields.optional_list("columns", |field| columns(&field));
    let rows = fields.optional_list("drivers", |field| rows_of(&field));
    if matches!((&file, &rows), (Ok(Some(_)), Ok(rows)) if !rows.is_empty()) {
        let message = "`drivers` and `file` both say who comes".to_owned();
        fields.conflict("drivers", "file", "the file", message, "keep one of the two");
    }
    fields.finish();
    let (drivers, passengers) = people(rows?, (vehicles, staff), days, field.log)?;
    Ok(Roster { file: file?, columns: columns?, drivers, passengers, notes: Vec::new() })
}

fn columns(field: &Field) -> Read<Vec<(String, String)>> {
    let known: Vec<&'static str> = COLUMNS.iter().map(|(name, _)| *name).collect();
    let read: Vec<Read<_>> = field
        .named_among("the columns", &known)?
        .into_iter()
        .map(|entry| {
            let name = entry.name;
            if !known.contains(&name) {
                let help = match nearest(name, &known) {
                    Some(near) => format!("did you mean `{near}`?"),
                    None => format!("a roster may have {}", known.join(", ")),
                };
                let message = format!("`{}` is not a column of a roster", start_of(name));
                return Err(entry.log.note(Problem::new(message).help(help).at(entry.place.clone())));
            }
            Ok((name.to_owned(), entry.whole_text()?))
        })
        .collect();
    read.into_iter().collect()
}

/// A driver's cells by column; the place is that of the row.
struct Row {
    place: Range<usize>,
    cells: Vec<(&'static str, Cell)>,
}

impl Row {
    fn cell(&self, column: &str) -> Option<&Cell> {
        self.cells.iter().find(|(name, cell)| *name == column && !cell.text.is_empty()).map(|(_, cell)| cell)
    }

    fn text(&self, column: &str) -> Option<String> {
        self.cell(column).map(|cell| cell.text.clone())
    }

    fn place_of(&self, column: &str) -> Range<usize> {
        self.cell(column).map_or_else(|| self.place.clone(), |cell| cell.span.clone())
    }
}

fn rows_of(field: &Field) -> Read<Vec<Row>> {
    field.list("a driver", |item| {
        let mut fields = Fields::of(&item, "a driver")?;
        let mut cells = Vec::new();
        for (name, _) in COLUMNS {
            if let Some(field) = fields.field(name) {
                let span = field.span();
                cells.push((*name, Cell { text: field.word("text")?.to_owned(), span }));
            }
        }
        fields.finish();
        Ok(Row { place: item.span(), cells })
    })
}

/// Puts the drivers of a spreadsheet's file into a course whose roster names one.
///
/// # Errors
/// Every mistake of the file; places refer to the text returned with them.
pub fn attach_roster(course: &mut Course, bytes: &[u8]) -> Result<(), (String, Vec<Problem>)> {
    let own = &course.roster.columns;
    let table = table_of(course, bytes);
    let mut vehicles = course.vehicles.clone();
    let log = Log::default();
    match read_people(&table, own, (&mut vehicles, &course.people), course.days_held(), &log) {
        Ok(((drivers, passengers), notes)) => {
            course.long_texts.extend(log.long_texts());
            course.roster.drivers = drivers;
            course.roster.passengers = passengers;
            course.roster.notes = notes;
            course.vehicles = vehicles;
            Ok(())
        }
        Err(problems) => Err((masked(&table, own), table.with_cells(problems))),
    }
}

fn table_of(course: &Course, bytes: &[u8]) -> Table {
    let own = &course.roster.columns;
    Table::read(bytes, |head| COLUMNS.iter().any(|column| is_head(column, own, head)))
}

/// Drivers, and who rides with them.
type People = (Vec<Driver>, Vec<Passenger>);

fn read_people(
    table: &Table,
    own: &[(String, String)],
    known: (&mut Vec<Vehicle>, &[Person]),
    days: usize,
    log: &Log,
) -> Result<(People, Vec<String>), Vec<Problem>> {
    if table.head.is_empty() && table.problems.is_empty() {
        let help = "the first row names the columns, each further row is one driver";
        return Err(vec![Problem::new("the roster is empty").help(help).at(0..0)]);
    }
    if let Some(row) = table.rows.get(MOST_ROWS) {
        let problem = Problem::new(format!("more than {MOST_ROWS} rows"));
        return Err(vec![problem.help("split the day").at(row.span.clone())]);
    }
    let too_long = table.rows.iter().filter_map(|row| table.too_long(row));
    let mut problems: Vec<Problem> = table.problems.iter().cloned().chain(too_long).collect();
    if table.head.is_empty() {
        return Err(problems);
    }
    let heads = match Heads::of(&table.head, own) {
        Ok(heads) => heads,
        Err(of_heads) => return Err([problems, of_heads].concat()),
    };
    let mut notes = heads.notes.clone();
    problems.extend(staff_among(&heads, &table.rows));
    let rows = named_rows(&heads, &table.rows, &mut notes);
    note_same_vehicle(&rows, known.0, &mut notes);
    let people = people(rows, known, days, log).ok();
    problems.extend(log.taken());
    people.filter(|_| problems.is_empty()).map(|people| (people, notes)).ok_or_else(|| in_order(problems))
}

/// Problems as a reader meets them, from the first row to the last.
fn in_order(mut problems: Vec<Problem>) -> Vec<Problem> {
    problems.sort_by_key(|problem| problem.span.as_ref().map(|span| (span.start, span.end)));
    problems
}

/// Drivers and passengers of these rows; the drivers' own vehicles join the course's.
fn people(
    rows: Vec<Row>,
    (vehicles, staff): (&mut Vec<Vehicle>, &[Person]),
    days: usize,
    log: &Log,
) -> Read<People> {
    let fleet = vehicles.clone();
    let ids = ids(&rows, log);
    note_twins(&rows, log);
    note_helpers(&rows, staff, log);
    let all = rows.into_iter().zip(ids);
    let (rode, drove): (Vec<_>, Vec<_>) = all.partition(|(row, _)| row.cell("rides").is_some());
    let read: Vec<Read<(Driver, Option<Vehicle>)>> =
        drove.iter().map(|(row, id)| driver(row, id, &fleet, days, log)).collect();
    let all_read = read.iter().all(Read::is_ok);
    let mut drivers = Vec::new();
    for (one, (row, id)) in read.into_iter().zip(&drove) {
        // Who could not be read has a place all the same, so that every mistake about the others is told at once.
        let (driver, own) = one.unwrap_or_else(|_| (unread(row, id), None));
        drivers.push(driver);
        vehicles.extend(own);
    }
    let rows: Vec<Row> = drove.into_iter().map(|(row, _)| row).collect();
    let shared = share(&rows, &mut drivers, log);
    let accompanied = beside(&rows, &mut drivers, log);
    let passengers = passengers(&rode, &drivers, days, log);
    // Seats are counted where it is known who sits with whom.
    if !all_read {
        return Err(Noted);
    }
    shared?;
    let passengers = passengers?;
    seats(&rows, &drivers, &passengers, days, log)?;
    accompanied?;
    Ok((drivers, passengers))
}

/// Stands for a driver whose row has a mistake, which is noted.
fn unread(row: &Row, id: &str) -> Driver {
    let known = row.text("experience").and_then(|said| {
        EXPERIENCE.iter().find(|(word, _)| *word == said.to_lowercase()).map(|(_, experience)| *experience)
    });
    Driver {
        id: id.to_owned(),
        name: row.text("driver").unwrap_or_default().as_str().into(),
        experience: known.unwrap_or(Experience::Experienced),
        needs: Vec::new(),
        own_vehicle: false,
        vehicle: String::new(),
        comes: Comes::default(),
        beside: None,
        private: Private { contact: None, medical: None, wishes: None },
    }
}

/// The number of each row, or its place; numbers that are no short names or stand twice are noted.
fn ids(rows: &[Row], log: &Log) -> Vec<String> {
    let mut ids: Vec<String> = Vec::new();
    for (at, row) in rows.iter().enumerate() {
        let id = row.text("number").unwrap_or_else(|| (at + 1).to_string());
        let place = row.place_of("number");
        if let Some(fault) = id_fault(&id) {
            let help = "use letters, digits and hyphens";
            log.note(Problem::new(format!("`{}` {fault}", start_of(&id))).help(help).at(place.clone()));
        }
        if let Some(first) = ids.iter().position(|known| *known == id) {
            let problem = Problem::new(format!("two drivers have the number `{id}`"));
            let problem = problem.help("give each their own").at(place);
            log.note(problem.related(rows[first].place_of("number"), "the first"));
        }
        ids.push(id);
    }
    ids
}

/// Two people of one name would hold each other's cards.
fn note_twins(rows: &[Row], log: &Log) {
    let name = |row: &Row| row.text("driver").map(|name| name.to_lowercase());
    for (at, row) in rows.iter().enumerate() {
        let twin = rows[..at].iter().find(|other| name(row).is_some() && name(other) == name(row));
        if let Some(first) = twin {
            let shown = row.text("driver").unwrap_or_default();
            let problem = Problem::new(format!("two drivers are called `{}`", start_of(&shown)));
            let help = "take one row out, or tell them apart: a second initial, a place";
            let problem = problem.help(help).at(row.place_of("driver"));
            log.note(problem.related(first.place_of("driver"), "the first"));
        }
    }
}

/// Whoever helps has a post: at the same minute they would be asked to drive.
fn note_helpers(rows: &[Row], staff: &[Person], log: &Log) {
    let helps =
        |name: &String| staff.iter().any(|person| person.name.full().to_lowercase() == name.to_lowercase());
    for row in rows {
        let Some(name) = row.text("driver").filter(helps) else { continue };
        let help = "they would be at a post and at the wheel at once: take the row out, or the person out of `people`; if it is \
                    somebody else, tell them apart by a second initial";
        let message = format!("`{}` drives here and is one of the people of the course", start_of(&name));
        log.note(Problem::new(message).help(help).at(row.place_of("driver")));
    }
}

/// Says that a row tells of nothing to drive.
fn has_a_vehicle(row: &Row, log: &Log) -> Read<()> {
    let told = ["vehicle", "class", "shares", "mass", "tyres", "wheelbase"];
    if told.iter().any(|column| row.cell(column).is_some()) {
        return Ok(());
    }
    let who = row.text("driver").unwrap_or_default();
    let help = "write what they drive under `Vehicle` or `Class`, with whom they take turns under `Shares`, or with whom they \
                ride under `Rides`";
    let message = format!("`{}` has no vehicle, shares none, and rides with nobody", start_of(&who));
    log.note(Problem::new(message).help(help).at(row.place_of("driver")));
    Err(Noted)
}

fn driver(row: &Row, id: &str, fleet: &[Vehicle], days: usize, log: &Log) -> Read<(Driver, Option<Vehicle>)> {
    let name = row.text("driver").map(|name| log.text(&name, || "name of a driver".to_owned()));
    let name = name.ok_or_else(|| {
        let help = "every row names its driver; leave empty rows out";
        log.note(Problem::new("a driver without a name").help(help).at(row.place.clone()))
    });
    let vehicle = has_a_vehicle(row, log);
    let experience = match row.cell("experience") {
        None => Ok(Experience::default()),
        Some(cell) => word(cell, EXPERIENCE, log),
    };
    let (needs, wishes) = needs(row);
    let comes = comes(row, days, log);
    let shared = of_the_fleet(row, fleet, log);
    let rides = row.cell("shares").is_some();
    let own = match &shared {
        Ok(None) if !rides && vehicle.is_ok() => own_vehicle(row, id, log).map(Some),
        _ => Ok(None),
    };
    vehicle?;
    let (shared, own) = (shared?, own?);
    let driver = Driver {
        id: id.to_owned(),
        name: name?,
        experience: experience?,
        needs,
        own_vehicle: own.is_some(),
        vehicle: shared.or_else(|| own.as_ref().map(|own| own.id.clone())).unwrap_or_default(),
        comes: comes?,
        beside: None,
        private: private(row, wishes),
    };
    Ok((driver, own))
}

fn private(row: &Row, wishes: Option<String>) -> Private {
    Private { contact: row.text("emergency-contact"), medical: row.text("medical"), wishes }
}

fn word<T: Copy>(cell: &Cell, words: &[(&str, T)], log: &Log) -> Read<T> {
    let typed = cell.text.to_lowercase();
    words.iter().find(|(word, _)| *word == typed).map(|(_, value)| *value).ok_or_else(|| {
        let known: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
        let help = format!("possible are {}", known.join(", "));
        let problem = Problem::new(format!("`{}` is not known here", start_of(&cell.text)));
        log.note(problem.help(help).at(cell.span.clone()))
    })
}

/// What somebody needs, as far as it is a word that is acted on; and what they wrote, where it is more than
/// such words.
fn needs(row: &Row) -> (Vec<Need>, Option<String>) {
    let Some(written) = row.text("needs") else { return (Vec::new(), None) };
    let small = written.to_lowercase();
    if NOTHING.contains(&small.trim()) {
        return (Vec::new(), None);
    }
    let mut needs: Vec<(usize, Need)> =
        NEEDS.iter().filter_map(|(word, need)| Some((small.find(word)?, *need))).collect();
    needs.sort_by_key(|(place, _)| *place);
    let mut found: Vec<Need> = Vec::new();
    for (_, need) in needs {
        if !found.contains(&need) {
            found.push(need);
        }
    }
    let parts = small.split([',', ';', '/', '+', '\n']).map(str::trim).filter(|part| !part.is_empty());
    let more = parts
        .into_iter()
        .any(|part| !NEEDS.iter().any(|(word, _)| part == *word) && !NOTHING.contains(&part));
    (found, more.then_some(written))
}
