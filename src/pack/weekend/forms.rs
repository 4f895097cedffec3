//! Forms of the weekend: attendance, certificates, radio, incidents.

mod attendance;
mod certificate;

use serde::Serialize;

use crate::course::{Course, PointOfSite, Remark, Role, Slope};
use crate::pack::book::Book;
use crate::pack::day::channels::{Listens, listening};
use crate::pack::day::control::{control_stands, first_at_hand, on_the_plan};
use crate::pack::day::page::posts_of_the_day;
use crate::pack::day::posts::{Posts, posts};
use crate::pack::sheet::site::SiteSheet;
use crate::pack::weekend::day::{Help, Weekend, help};
use crate::pack::weekend::on_call::{OnCall, on_call};
use crate::page::meta::Meta;
use crate::page::site::Size;
use crate::rota::doing;

pub(crate) use attendance::Attendance;
pub(crate) use certificate::{Certificates, certificates};

/// Who is in charge today, by name where one is named: the deputy where that one is missing.
pub(crate) fn leader(book: &Book) -> String {
    let lead = doing(book.course, Role::Lead, book.missing());
    lead.first().map_or_else(|| "the person in charge".to_owned(), |at| book.course.people[*at].name.short())
}

/// Who stands in for the person in charge, as far as anybody is named; on a day with a rota the table says it, slot by
/// slot.
fn deputy(book: &Book) -> String {
    if book.rota.is_some() {
        return "or the deputy by the table, ".to_owned();
    }
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
        let kit = first_at_hand(course, false);
        let help = help(book);
        // They are sent to the place that is read out.
        let met = met(course).or_else(|| help.place.clone()).or_else(|| help.meeting.clone());
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
            kit,
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

/// The slopes that somebody drives today.
fn driven<'a>(book: &'a Book) -> impl Iterator<Item = &'a Slope> {
    let open = book.course.slopes.iter().enumerate().filter(|(at, _)| !book.missing().slopes.contains(at));
    let goes = |slope: &&Slope| book.slope_sheet_of(&slope.id).is_some_and(|sheet| sheet.closed.is_empty());
    open.map(|(_, slope)| slope).filter(goes)
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
