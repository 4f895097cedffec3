//! Forms of the weekend: attendance, certificates, radio, incidents, the look back.

use serde::Serialize;

use crate::course::{Course, Driver, Label, Passage, PointOfSite, Remark, Role, Slope};
use crate::pack::book::Book;
use crate::pack::day::channels::{Listens, listening};
use crate::pack::day::page::posts_of_the_day;
use crate::pack::day::posts::{Posts, posts};
use crate::pack::ground::plan::role_word;
use crate::pack::sheet::site::SiteSheet;
use crate::pack::weekend::company::hours;
use crate::pack::weekend::day::{Help, Weekend, help};
use crate::pack::weekend::on_call::{OnCall, on_call};
use crate::page::meta::Meta;
use crate::page::site::Size;
use crate::rota::{Rota, doing, had_before};

/// Sign-on, consent and attendance.
#[derive(Serialize)]
pub(crate) struct Attendance {
    pack: Meta,
    sessions: Vec<String>,
    /// Who signs on: everybody, and after a change on the day those alone who were on no list.
    signing: Vec<Signed>,
    /// Whether those of the pack's list have signed there.
    added: bool,
    people: Vec<Signed>,
    leader: String,
}

/// Rows left open at the foot of the roll call.
const BLANK_ROWS: usize = 6;

#[derive(Clone, Default, Serialize)]
struct Signed {
    no: String,
    name: String,
    vehicle: String,
}

impl Attendance {
    /// From a book with a rota.
    pub(crate) fn of(book: &Book, pack: Meta) -> Option<Self> {
        let weekend = Weekend::of(book)?;
        let (known_drivers, known_staff) = book.printed.anew.as_ref().map_or((0, 0), |anew| anew.known);
        let drivers = weekend.present().into_iter().map(|at| {
            let driver = &weekend.drivers()[at];
            let vehicle = book.vehicle_mark(&driver.vehicle);
            (at >= known_drivers, Signed { no: driver.id.clone(), name: weekend.on_the_list(at), vehicle })
        });
        let riders = weekend.riding().map(|at| {
            let rider = &book.course.roster.passengers[at];
            let times = rider.comes.between(book.course.day_number(), book.course.days_held());
            let times = times.map_or_else(String::new, hours);
            let name = format!("{} (rides along){times}", rider.name);
            let vehicle = book.vehicle_mark(weekend.carrier(at));
            (false, Signed { no: rider.id.clone(), name, vehicle })
        });
        let people = book.course.people.iter().enumerate();
        let there =
            people.filter(|(at, person)| !book.missing().people.contains(at) && person.role != Role::Driver);
        let staff = there.map(|(at, person)| {
            let times = book.course.person_today(at).map_or_else(String::new, hours);
            let name = format!("{} ({}){times}", person.name, role_word(person.role));
            (at >= known_staff, Signed { no: "–".to_owned(), name, vehicle: "–".to_owned() })
        });
        let listed: Vec<(bool, Signed)> = drivers.chain(riders).chain(staff).collect();
        // Those nobody expected: guests, passengers, the landowner, late entries.
        let blank = || (0..BLANK_ROWS).map(|_| Signed::default());
        let new = listed.iter().filter(|(new, _)| *new).map(|(_, row)| row.clone());
        Some(Self {
            pack,
            sessions: ["Before lunch", "After lunch", "Left at"].map(str::to_owned).to_vec(),
            signing: new.chain(blank()).collect(),
            added: book.change.is_some(),
            people: listed.into_iter().map(|(_, row)| row).chain(blank()).collect(),
            leader: leader(book),
        })
    }
}

/// Who is in charge today, by name where one is named: the deputy where that one is missing.
pub(crate) fn leader(book: &Book) -> String {
    let lead = doing(book.course, Role::Lead, book.missing());
    lead.first().map_or_else(|| "the person in charge".to_owned(), |at| book.course.people[*at].name.short())
}

/// Who stands in for the person in charge, as far as anybody is named.
fn deputy(book: &Book) -> String {
    let people = book.course.people.iter().enumerate();
    let named = people.filter(|(at, one)| {
        one.deputy == Some(Role::Lead)
            && !book.missing().people.contains(at)
            && one.name.short() != leader(book)
    });
    let names: Vec<String> = named.map(|(_, one)| one.name.short()).collect();
    if names.is_empty() {
        "or the deputy, ".to_owned()
    } else {
        format!("or the deputy {}, ", names.join(", "))
    }
}

/// Certificates of attendance.
#[derive(Serialize)]
pub(crate) struct Certificates {
    pack: Meta,
    drivers: Vec<Certificate>,
    outcomes: Vec<String>,
    leader: String,
}

#[derive(Serialize)]
struct Certificate {
    serial: String,
    name: String,
    vehicle: String,
    minutes: String,
    driven: String,
    seen: String,
}

impl Certificates {
    /// From a book with a rota.
    pub(crate) fn of(book: &Book, pack: Meta) -> Option<Self> {
        let weekend = Weekend::of(book)?;
        let drivers: Vec<Certificate> =
            certified(&weekend).into_iter().map(|at| certificate(&weekend, at)).collect();
        if drivers.is_empty() {
            return None;
        }
        let outcomes = book.course.outcomes.iter().map(Passage::short).collect();
        Some(Self { pack, drivers, outcomes, leader: leader(book) })
    }
}

/// Who gets a certificate: everybody of all days, or those whose day changed.
fn certified(weekend: &Weekend) -> Vec<usize> {
    let days = &weekend.book.days;
    if days.is_empty() {
        return weekend.to_print();
    }
    let comes = |at: &usize| days.iter().any(|(_, rota)| rota.group_of(*at).is_some());
    (0..weekend.drivers().len()).filter(comes).collect()
}

/// The rotas a certificate tells of: those of all days, each with the course as it is then; of one that changed the
/// new one.
fn told<'a>(weekend: &Weekend<'a>) -> Vec<(&'a Course, &'a Rota)> {
    let book = weekend.book;
    let today = || (book.course, weekend.rota);
    let changed = |course: &Course| course.day_number() == book.course.day_number();
    let days = if book.days.is_empty() { &book.others } else { &book.days };
    let as_it_is = |(course, rota): &'a (Course, Rota)| {
        if book.days.is_empty() && changed(course) { today() } else { (course, rota) }
    };
    if days.is_empty() { vec![today()] } else { days.iter().map(as_it_is).collect() }
}

fn certificate(weekend: &Weekend, at: usize) -> Certificate {
    let driver = &weekend.drivers()[at];
    let (mut driven, mut seen, mut minutes) = (Vec::new(), Vec::new(), 0_u32);
    for (course, rota) in told(weekend) {
        // Who turned up has another place in the list of each day.
        let named = |one: &Driver| one.name.full() == driver.name.full();
        let Some(at) = course.roster.drivers.iter().position(named) else { continue };
        let group = rota.group_of(at);
        let visits = rota.visits.iter().filter(|visit| group.is_some_and(|group| visit.group == group));
        for visit in visits.filter(|visit| !had_before(course, at, visit.station)) {
            let slot = rota.slots[visit.slot];
            minutes += u32::from(slot.end - slot.start);
            let place = weekend.place(visit.station);
            let list = if visit.driving.contains(&at) { &mut driven } else { &mut seen };
            if !list.contains(&place) {
                list.push(place);
            }
        }
    }
    let vehicle = weekend.book.vehicle_sheet_of(&driver.vehicle);
    Certificate {
        serial: format!("{}-{}", weekend.book.fingerprint, driver.id),
        name: driver.name.short(),
        vehicle: vehicle.map_or_else(String::new, |vehicle| vehicle.name.clone()),
        minutes: format!("{} h {:02} min", minutes / 60, minutes % 60),
        driven: driven.join(", "),
        seen: if seen.is_empty() { "–".to_owned() } else { seen.join(", ") },
    }
}

/// Radio and emergency plan.
#[derive(Serialize)]
pub(crate) struct RadioPlan {
    pack: Meta,
    help: Help,
    /// Where the ambulance is met, and where everybody else gathers if that is another place.
    met: Option<String>,
    gathers: Option<String>,
    access: Option<String>,
    hospital: Option<String>,
    coverage: Option<String>,
    /// Whether somebody is kept free to drive to where a telephone works.
    phone_goes: bool,
    aiders: Option<String>,
    kit: Option<String>,
    contacts: Vec<Call>,
    calls: Vec<Call>,
    leader: String,
    /// Who listens where, where slopes have channels of their own.
    listening: Vec<Listens>,
    /// A slope for the example of a call.
    example: String,
    /// That people or radios do not reach for the posts.
    short: Option<String>,
    /// Who is where on every turn, where no rota says it.
    posts: Vec<Posts>,
    /// Who is called on, slot by slot, where a rota says who stands where.
    on_call: Vec<OnCall>,
    /// The site from above, for whoever leads the ambulance in.
    site: Option<SiteSheet>,
}

/// The room of the site’s plan on the emergency plan, mm, and its type of 11 pt.
const SITE: Size = Size { width: 172.0, height: 118.0, letters: 3.88 };

#[derive(Serialize)]
struct Call {
    name: String,
    call: String,
}

impl RadioPlan {
    /// From the book.
    pub(crate) fn of(book: &Book, pack: Meta) -> Self {
        let course = book.course;
        let emergency = &course.emergency;
        let aiders = doing(course, Role::FirstAider, book.missing());
        let aiders: Vec<String> = aiders.into_iter().map(|at| course.people[at].name.short()).collect();
        let kit: Vec<String> = course
            .kit
            .iter()
            .filter(|item| {
                matches!(item.kind, crate::course::KitKind::FirstAid | crate::course::KitKind::Extinguisher)
            })
            .map(|item| item.name.short())
            .collect();
        let help = help(book);
        let met = met(course).or_else(|| help.meeting.clone());
        Self {
            pack,
            gathers: help.meeting.clone().filter(|gathers| met.as_ref() != Some(gathers)),
            met,
            help,
            access: emergency.access.as_ref().map(Remark::short),
            hospital: emergency.hospital.as_ref().map(Remark::short),
            coverage: emergency.coverage.as_ref().map(Remark::short),
            phone_goes: emergency.somebody_drives_to_a_telephone(),
            aiders: (!aiders.is_empty()).then(|| aiders.join(", ")),
            kit: (!kit.is_empty()).then(|| kit.join("; ")),
            contacts: emergency
                .contacts
                .iter()
                .map(|contact| Call { name: contact.name.short(), call: contact.call.short() })
                .collect(),
            calls: calls(book),
            leader: leader(book),
            listening: listening(book),
            example: driven(book).next().map_or_else(String::new, |slope| slope.name.short()),
            short: crate::pack::look_at::posts(book),
            posts: posts_of_the_day(book),
            on_call: Weekend::of(book).map_or_else(Vec::new, |weekend| on_call(&weekend)),
            site: SiteSheet::of(book, SITE),
        }
    }
}

/// Where the ambulance is met, by the plan of the site.
fn met(course: &Course) -> Option<String> {
    on_the_plan(course, PointOfSite::MeetingPoint)
}

/// The name of a spot on the plan of the site.
fn on_the_plan(course: &Course, kind: PointOfSite) -> Option<String> {
    let point = course.site_plan.as_ref()?.point(kind)?;
    point.name.as_ref().map(Label::short)
}

/// The slopes that somebody drives today.
fn driven<'a>(book: &'a Book) -> impl Iterator<Item = &'a Slope> {
    let open = book.course.slopes.iter().enumerate().filter(|(at, _)| !book.missing().slopes.contains(at));
    let goes = |slope: &&Slope| book.slope_sheet_of(&slope.id).is_some_and(|sheet| sheet.closed.is_empty());
    open.map(|(_, slope)| slope).filter(goes)
}

/// Where control stands: its spot on the plan of the site, else where everybody gathers.
fn control_stands(book: &Book) -> String {
    let gathers = || book.course.emergency.assembly.as_ref().map(Remark::short);
    let place = on_the_plan(book.course, PointOfSite::Control).or_else(gathers);
    place.unwrap_or_else(|| "the assembly point".to_owned())
}

/// Call signs say the place, not the person: whoever stands there answers.
fn calls(book: &Book) -> Vec<Call> {
    let mut calls = vec![
        Call {
            name: "Control".to_owned(),
            call: if posts(book).is_empty() {
                format!("{}, {}at {}", leader(book), deputy(book), control_stands(book))
            } else {
                format!("whoever holds control by the table, at {}", control_stands(book))
            },
        },
        Call { name: "First aid".to_owned(), call: "first aider, with the kit".to_owned() },
        Call { name: "Gate".to_owned(), call: "whoever meets the ambulance".to_owned() },
    ];
    let names: Vec<String> = driven(book).map(|slope| slope.name.short()).collect();
    // Without a rota the course plan says who teaches and who watches; no marshal stands there.
    let who = match &book.rota {
        Some(_) => "the marshals there",
        None => "who stands there by the table and the course plan",
    };
    calls.push(Call {
        name: "A slope’s name and “brow”, or “foot”".to_owned(),
        call: format!("{}: {who}; the brow starts, the foot clears", names.join(", ")),
    });
    let groups = book.rota.as_ref().map_or(0, |rota| rota.groups.len());
    if groups > 0 {
        let name = if groups == 1 { "Group 1".to_owned() } else { format!("Group 1 to Group {groups}") };
        calls.push(Call { name, call: "the group’s instructor".to_owned() });
    }
    calls
}

/// Incident and near-miss form.
#[derive(Serialize)]
pub(crate) struct IncidentForm {
    pack: Meta,
    help: Help,
    leader: String,
    serial: String,
}

impl IncidentForm {
    /// From the book.
    pub(crate) fn of(book: &Book, pack: Meta) -> Self {
        let serial = format!("{}-", book.fingerprint);
        Self { pack, help: help(book), leader: leader(book), serial }
    }
}
