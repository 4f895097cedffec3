//! The table of documents: name, title, reader, paper, and what each is given.

use crate::pack::audience::Audience::{self, Assessor, Club, Instructor};
use crate::pack::book::Book;
use crate::pack::ground::briefing::Briefing;
use crate::pack::ground::cards::{FleetTable, Notes, SlopeCards, VehicleCards};
use crate::pack::ground::demonstration::Demonstration;
use crate::pack::ground::plan::CoursePlan;
use crate::pack::ground::risk::RiskAssessment;
use crate::pack::index::{Index, Listed, half_word, sheet_word};
use crate::pack::learn::quiz::{Quiz, QuizAnswers};
use crate::pack::learn::workbook::Workbook;
use crate::pack::recovery::kit::KitRecord;
use crate::pack::recovery::lesson::RecoveryLesson;
use crate::pack::recovery::plan::RecoveryPlan;
use crate::pack::weekend::after::AfterDay;
use crate::pack::weekend::cards::{DriverCards, MarshalCards};
use crate::pack::weekend::forms::{Attendance, Certificates, IncidentForm, RadioPlan, VehicleCheck};
use crate::pack::weekend::leader::LeaderSheet;
use crate::pack::weekend::run_sheets::{Convoy, JoiningNotes, RunSheets};
use crate::page::meta::Meta;
use crate::print::{Rendered, Templates};
use crate::problem::Failure;

/// Fills a template from a book; none when the course has nothing for it.
type Fill = fn(&Book, Meta, &Templates, &str) -> Option<Result<Rendered, Failure>>;

/// A kind of document.
#[derive(Debug)]
pub struct Kind {
    /// File name without ending; also the template's.
    pub name: &'static str,
    /// Folder of its template below `templates`, and of what fills it below `src/pack`.
    folder: &'static str,
    /// Title on its sheets.
    pub title: &'static str,
    /// Who holds it, in words.
    pub reader: &'static str,
    /// Who gets it when asked for by reader.
    pub audience: &'static [Audience],
    /// Whether it is printed on half the course's paper.
    card: bool,
    sides: &'static str,
    copies: &'static str,
    fill: Fill,
}

/// How a template is filled from a context: `Name`, or `Name?` where a course may have nothing for it.
macro_rules! fill {
    ($context:ident) => {
        |book, pack, templates, template| Some(templates.render(template, &$context::of(book, pack)))
    };
    ($context:ident?) => {
        |book, pack, templates, template| {
            $context::of(book, pack).map(|context| templates.render(template, &context))
        }
    };
}

/// Every kind, in the order they are used on the day; the index is made when they are printed.
pub static KINDS: &[Kind] = &[
    Kind {
        name: "course-plan",
        folder: "ground",
        title: "Course plan",
        reader: "instructor, club, landowner",
        audience: &[Instructor, Club],
        card: false,
        sides: "both sides",
        copies: "1 each",
        fill: fill!(CoursePlan),
    },
    Kind {
        name: "fleet-table",
        folder: "ground",
        title: "Fleet table",
        reader: "instructor, marshals",
        audience: &[Instructor, Assessor, Club],
        card: false,
        sides: "both sides",
        copies: "1 each",
        fill: fill!(FleetTable),
    },
    Kind {
        name: "risk-assessment",
        folder: "ground",
        title: "Risk assessment",
        reader: "instructor, club, landowner",
        audience: &[Instructor, Club],
        card: false,
        sides: "both sides",
        copies: "1 to sign",
        fill: fill!(RiskAssessment),
    },
    Kind {
        name: "safety-briefing",
        folder: "ground",
        title: "Safety briefing",
        reader: "whoever briefs",
        audience: &[Instructor, Assessor, Club],
        card: false,
        sides: "both sides",
        copies: "1, sign-on sheet as needed",
        fill: fill!(Briefing),
    },
    Kind {
        name: "instructor-notes",
        folder: "ground",
        title: "Instructor notes",
        reader: "instructors",
        audience: &[Instructor],
        card: false,
        sides: "both sides, so that each slope is a spread",
        copies: "1 an instructor",
        fill: fill!(Notes),
    },
    Kind {
        name: "demonstration",
        folder: "ground",
        title: "Demonstration: locked against geared",
        reader: "instructors",
        audience: &[Instructor],
        card: false,
        sides: "both sides",
        copies: "1 an instructor",
        fill: fill!(Demonstration?),
    },
    Kind {
        name: "recovery-plan",
        folder: "recovery",
        title: "Recovery plan",
        reader: "instructors, trained riggers",
        audience: &[Instructor, Club],
        card: false,
        sides: "both sides",
        copies: "1 an instructor",
        fill: fill!(RecoveryPlan),
    },
    Kind {
        name: "kit-record",
        folder: "recovery",
        title: "Kit inspection record",
        reader: "whoever answers for the kit",
        audience: &[Instructor, Club],
        card: false,
        sides: "both sides",
        copies: "1 to sign",
        fill: fill!(KitRecord?),
    },
    Kind {
        name: "recovery-lesson",
        folder: "recovery",
        title: "Recovery lesson",
        reader: "instructors",
        audience: &[Instructor],
        card: false,
        sides: "both sides",
        copies: "1 an instructor",
        fill: fill!(RecoveryLesson),
    },
    Kind {
        name: "slope-cards",
        folder: "ground",
        title: "Slope cards",
        reader: "drivers, spotters, marshals",
        audience: &[Instructor, Assessor, Club],
        card: true,
        sides: "one side, stiff paper",
        copies: "2 a slope",
        fill: fill!(SlopeCards),
    },
    Kind {
        name: "vehicle-cards",
        folder: "ground",
        title: "Vehicle cards",
        reader: "drivers",
        audience: &[Instructor, Club],
        card: true,
        sides: "one side, stiff paper",
        copies: "1 a vehicle",
        fill: fill!(VehicleCards),
    },
    Kind {
        name: "workbook",
        folder: "learn",
        title: "Workbook",
        reader: "learners",
        audience: &[Instructor, Club],
        card: false,
        sides: "both sides",
        copies: "1 a learner",
        fill: fill!(Workbook),
    },
    Kind {
        name: "quiz",
        folder: "learn",
        title: "Quiz",
        reader: "learners",
        audience: &[Instructor, Assessor],
        card: false,
        sides: "both sides",
        copies: "1 a learner",
        fill: fill!(Quiz),
    },
    Kind {
        name: "quiz-answers",
        folder: "learn",
        title: "Quiz: answers and working",
        reader: "assessor, instructor only",
        audience: &[Instructor, Assessor],
        card: false,
        sides: "both sides",
        copies: "1 a marker",
        fill: fill!(QuizAnswers),
    },
    Kind {
        name: "joining-notes",
        folder: "weekend",
        title: "Joining notes",
        reader: "everybody who comes, before the day",
        audience: &[Club],
        card: false,
        sides: "both sides",
        copies: "1 each, sent out",
        fill: fill!(JoiningNotes?),
    },
    Kind {
        name: "attendance",
        folder: "weekend",
        title: "Sign-on, consent and attendance",
        reader: "sign-on desk",
        audience: &[Club],
        card: false,
        sides: "one side",
        copies: "1",
        fill: fill!(Attendance?),
    },
    Kind {
        name: "vehicle-check",
        folder: "weekend",
        title: "Vehicle check sheets",
        reader: "whoever checks vehicles",
        audience: &[Club],
        card: false,
        sides: "one side",
        copies: "1 a vehicle",
        fill: fill!(VehicleCheck),
    },
    Kind {
        name: "run-sheets",
        folder: "weekend",
        title: "Run sheets",
        reader: "instructors, marshals, notice board",
        audience: &[Instructor, Club],
        card: false,
        sides: "one side",
        copies: "1 each, 1 for the board",
        fill: fill!(RunSheets?),
    },
    Kind {
        name: "driver-cards",
        folder: "weekend",
        title: "Driver cards",
        reader: "drivers, one each",
        audience: &[Club],
        card: true,
        sides: "one side, stiff paper",
        copies: "1 a driver",
        fill: |book, pack, templates, template| {
            Some(templates.render(template, &DriverCards::of(book, pack, false)?))
        },
    },
    Kind {
        name: "driver-cards-large",
        folder: "weekend",
        title: "Driver cards in large print",
        reader: "drivers who asked for it",
        audience: &[Club],
        card: false,
        sides: "one side",
        copies: "1 each",
        fill: |book, pack, templates, template| {
            Some(templates.render(template, &DriverCards::of(book, pack, true)?))
        },
    },
    Kind {
        name: "marshal-cards",
        folder: "weekend",
        title: "Marshal and instructor cards",
        reader: "marshals, instructors, one each",
        audience: &[Club],
        card: true,
        sides: "one side, stiff paper",
        copies: "1 each",
        fill: fill!(MarshalCards?),
    },
    Kind {
        name: "radio-plan",
        folder: "weekend",
        title: "Radio and emergency plan",
        reader: "everybody with a radio",
        audience: &[Instructor, Club],
        card: false,
        sides: "one side",
        copies: "1 a radio",
        fill: fill!(RadioPlan),
    },
    Kind {
        name: "convoy",
        folder: "weekend",
        title: "Convoy order",
        reader: "convoy leaders, gate",
        audience: &[Club],
        card: false,
        sides: "one side",
        copies: "1 a group",
        fill: fill!(Convoy?),
    },
    Kind {
        name: "certificate",
        folder: "weekend",
        title: "Certificate of attendance",
        reader: "drivers, at the end",
        audience: &[Club],
        card: false,
        sides: "one side",
        copies: "1 a driver",
        fill: fill!(Certificates?),
    },
    Kind {
        name: "incident-form",
        folder: "weekend",
        title: "Incident and near-miss form",
        reader: "whoever saw it, then the person in charge",
        audience: &[Instructor, Club],
        card: false,
        sides: "both sides",
        copies: "5, kept in the hut",
        fill: fill!(IncidentForm),
    },
    Kind {
        name: "after-day",
        folder: "weekend",
        title: "After-day review",
        reader: "person in charge, instructors",
        audience: &[Instructor, Club],
        card: false,
        sides: "both sides",
        copies: "1",
        fill: fill!(AfterDay),
    },
    Kind {
        name: "leader-sheet",
        folder: "weekend",
        title: "Confidential sheet",
        reader: "the person in charge, nobody else",
        audience: &[Club],
        card: false,
        sides: "one side",
        copies: "1, destroyed after the day",
        fill: fill!(LeaderSheet?),
    },
];

/// Documents of the day's rota: what a change on the day prints again, as far as it changed.
const OF_THE_ROTA: &[&str] =
    &["run-sheets", "driver-cards", "driver-cards-large", "marshal-cards", "leader-sheet", "convoy"];

impl Kind {
    /// Whether a change on the day may change it.
    pub fn changes(&self) -> bool {
        OF_THE_ROTA.contains(&self.name)
    }

    /// Whether only a course with a rota has it.
    pub fn needs_rota(&self) -> bool {
        self.changes() || ["joining-notes", "attendance", "certificate"].contains(&self.name)
    }

    /// The kind with this name.
    pub fn named(name: &str) -> Option<&'static Self> {
        KINDS.iter().find(|kind| kind.name == name)
    }

    /// Its file in the pack.
    pub fn file(&self) -> String {
        format!("{}.pdf", self.name)
    }

    /// Its template filled from a book; none when the course has nothing for it.
    pub fn fill(&self, book: &Book, templates: &Templates) -> Option<Result<Rendered, Failure>> {
        let meta = book.meta(self.title, self.reader, self.name);
        (self.fill)(book, meta, templates, &format!("{}/{}.typ.j2", self.folder, self.name))
    }

    /// As the index lists it.
    pub fn listed(&self, book: &Book, pages: usize) -> Listed {
        Listed {
            file: self.file(),
            title: self.title.to_owned(),
            audience: self.reader.to_owned(),
            pages: pages.to_string(),
            sheet: if self.card { half_word } else { sheet_word }(book.course.paper).to_owned(),
            sides: self.sides.to_owned(),
            copies: self.copies.to_owned(),
        }
    }
}

/// File of the index.
pub const INDEX: &str = "index.pdf";
/// Title of the index.
pub const INDEX_TITLE: &str = "Index of the pack";

/// The index of what was printed.
pub fn index(
    book: &Book,
    templates: &Templates,
    listed: &[Listed],
    typesetter: &str,
) -> Result<Rendered, Failure> {
    let meta = book.meta(INDEX_TITLE, "whoever prints and hands out", "index");
    templates.render("index.typ.j2", &Index::of(book, meta, listed, typesetter))
}
