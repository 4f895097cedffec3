//! The table of documents: everything about each in its one row.

use crate::pack::audience::Audience::{Assessor, Club, Instructor};
use crate::pack::day::said_seen::SaidSeen;
use crate::pack::ground::briefing::Briefing;
use crate::pack::ground::cards::{FleetTable, Notes, SlopeCards, VehicleCards};
use crate::pack::ground::comparison::Comparison;
use crate::pack::ground::demonstration::Demonstration;
use crate::pack::ground::plan::CoursePlan;
use crate::pack::ground::risk::RiskAssessment;
use crate::pack::ground::table_top::TableTop;
use crate::pack::ground::trouble::WhenItGoesWrong;
use crate::pack::imposed::Layout::{Booklet, FourUp, TwoUp};
use crate::pack::kind::{Held, Kind, USUAL, When, fill};
use crate::pack::learn::{quiz, workbook::Workbook};
use crate::pack::recovery::kit::KitRecord;
use crate::pack::recovery::lesson::RecoveryLesson;
use crate::pack::recovery::plan::RecoveryPlan;
use crate::pack::weekend::after::AfterDay;
use crate::pack::weekend::cards::{DriverCards, MarshalCards};
use crate::pack::weekend::convoy::Convoy;
use crate::pack::weekend::forms::{Attendance, Certificates, IncidentForm, RadioPlan};
use crate::pack::weekend::joining::{JoiningNotes, VehicleQuestions};
use crate::pack::weekend::leader::LeaderSheet;
use crate::pack::weekend::run_sheets::RunSheets;
use crate::pack::weekend::{take_back::TakeBack, vehicle_check::VehicleCheck};

const GROUND: Kind = Kind { folder: "ground", ..USUAL };
const DAY: Kind = Kind { folder: "day", ..USUAL };
const LEARN: Kind = Kind { folder: "learn", ..USUAL };
const RECOVERY: Kind = Kind { folder: "recovery", ..USUAL };
const WEEKEND: Kind = Kind { folder: "weekend", ..USUAL };
const EACH_DAY: Kind = Kind { held: Held::EachDay, ..WEEKEND };

/// Every kind, in the order they are used on the day; the index is made when they are printed.
pub static KINDS: &[Kind] = &[
    Kind {
        name: "course-plan",
        held: Held::EachDay,
        title: "Course plan",
        reader: "instructor, club, landowner",
        audience: &[Instructor, Club],
        copies: "1 each",
        exists: When::AlwaysAndChanges,
        fill: fill!(CoursePlan),
        ..GROUND
    },
    Kind {
        name: "fleet-table",
        title: "Fleet table",
        reader: "instructor, marshals",
        audience: &[Instructor, Assessor, Club],
        copies: "1 each",
        exists: When::AlwaysAndChanges,
        fill: fill!(FleetTable),
        ..GROUND
    },
    Kind {
        name: "risk-assessment",
        title: "Risk assessment",
        reader: "instructor, club, landowner",
        audience: &[Instructor, Club],
        copies: "1 to sign",
        exists: When::AlwaysAndChanges,
        fill: fill!(RiskAssessment),
        ..GROUND
    },
    Kind {
        name: "safety-briefing",
        title: "Safety briefing",
        reader: "whoever briefs",
        audience: &[Instructor, Assessor, Club],
        copies: "1, sign-on sheet as needed",
        large_print: true,
        exists: When::AlwaysAndChanges,
        fill: fill!(Briefing),
        ..GROUND
    },
    Kind {
        name: "when-it-goes-wrong",
        folder: "ground",
        title: "When it goes wrong",
        reader: "instructors, drivers",
        audience: &[Instructor, Club],
        copies: "1 an instructor, 1 on the notice board",
        fill: fill!(WhenItGoesWrong),
        ..GROUND
    },
    Kind {
        name: "instructor-notes",
        title: "Instructor notes",
        reader: "instructors",
        audience: &[Instructor],
        sides: "both sides, so that each slope is a spread",
        copies: "1 an instructor",
        large_print: true,
        fill: fill!(Notes),
        ..GROUND
    },
    Kind {
        name: "table-top",
        title: "Table-top demonstration: locked, geared, steered",
        reader: "instructors",
        audience: &[Instructor, Club],
        copies: "1",
        fill: fill!(TableTop),
        ..GROUND
    },
    Kind {
        name: "demonstration",
        title: "Demonstration on the ground",
        reader: "instructors",
        audience: &[Instructor],
        copies: "1 an instructor",
        fill: fill!(Demonstration?),
        ..GROUND
    },
    Kind {
        name: "comparison",
        title: "Comparison: slowest down is best",
        reader: "instructors, drivers",
        audience: &[Instructor, Club],
        copies: "1 an instructor, the first page for each driver",
        fill: fill!(Comparison?),
        ..GROUND
    },
    Kind {
        name: "recovery-plan",
        title: "Recovery plan",
        reader: "instructors, trained riggers",
        audience: &[Instructor, Club],
        copies: "1 an instructor",
        exists: When::AlwaysAndChanges,
        fill: fill!(RecoveryPlan),
        ..RECOVERY
    },
    Kind {
        name: "kit-record",
        title: "Kit inspection record",
        reader: "whoever answers for the kit",
        audience: &[Instructor, Club],
        copies: "1 to sign",
        fill: fill!(KitRecord?),
        ..RECOVERY
    },
    Kind {
        name: "recovery-lesson",
        title: "Recovery lesson",
        reader: "instructors",
        audience: &[Instructor],
        copies: "1 an instructor",
        fill: fill!(RecoveryLesson),
        ..RECOVERY
    },
    Kind {
        name: "slope-cards",
        title: "Slope cards",
        reader: "drivers, spotters, marshals",
        audience: &[Instructor, Assessor, Club],
        card: true,
        sides: "one side, stiff paper",
        copies: "2 a slope",
        large_print: true,
        layouts: &[TwoUp, FourUp],
        exists: When::AlwaysAndChanges,
        fill: fill!(SlopeCards),
        ..GROUND
    },
    Kind {
        name: "vehicle-cards",
        title: "Vehicle cards",
        reader: "drivers",
        audience: &[Instructor, Club],
        card: true,
        sides: "one side, stiff paper",
        copies: "1 a vehicle; the pages “for the back” as often as there are cards, laminated behind them",
        large_print: true,
        layouts: &[TwoUp, FourUp],
        exists: When::AlwaysAndNewVehicles,
        fill: fill!(VehicleCards),
        ..GROUND
    },
    Kind {
        name: "workbook",
        title: "Workbook",
        reader: "learners",
        audience: &[Instructor, Club],
        copies: "1 a learner",
        large_print: true,
        layouts: &[Booklet],
        fill: fill!(Workbook),
        ..LEARN
    },
    Kind {
        name: "quiz",
        title: "Quiz",
        reader: "learners",
        audience: &[Instructor, Assessor],
        copies: "1 a learner",
        large_print: true,
        fill: |book, pack, templates, template| Some(templates.render(template, &quiz::sheet(book, pack))),
        ..LEARN
    },
    Kind {
        name: "quiz-answers",
        title: "Quiz: answers and working",
        reader: "assessor, instructor only",
        audience: &[Instructor, Assessor],
        copies: "1 a marker",
        fill: |book, pack, templates, template| Some(templates.render(template, &quiz::answers(book, pack))),
        ..LEARN
    },
    Kind {
        name: "joining-notes",
        title: "Joining notes",
        reader: "everybody who comes, before the day",
        audience: &[Club],
        copies: "1 each, sent out",
        exists: When::WithRota,
        fill: fill!(JoiningNotes?),
        ..WEEKEND
    },
    Kind {
        name: "vehicle-questions",
        title: "Questions about your vehicle",
        reader: "whoever sends the joining notes",
        audience: &[Club],
        sides: "one side",
        copies: "1, cut apart",
        exists: When::WithRota,
        fill: fill!(VehicleQuestions?),
        ..WEEKEND
    },
    Kind {
        name: "take-back",
        title: "Take-back list",
        reader: "whoever walks round with the new papers",
        audience: &[Club],
        sides: "one side",
        exists: When::OnlyChanges,
        fill: fill!(TakeBack?),
        ..EACH_DAY
    },
    Kind {
        name: "attendance",
        title: "Sign-on, consent and attendance",
        reader: "sign-on desk",
        audience: &[Club],
        sides: "one side",
        copies: "1",
        exists: When::ChangesWithRota,
        fill: fill!(Attendance?),
        ..EACH_DAY
    },
    Kind {
        name: "vehicle-check",
        title: "Vehicle check sheets",
        reader: "whoever checks vehicles",
        audience: &[Club],
        sides: "one side",
        copies: "1 a vehicle",
        exists: When::AlwaysAndNewVehicles,
        fill: fill!(VehicleCheck?),
        ..EACH_DAY
    },
    Kind {
        name: "run-sheets",
        title: "Run sheets",
        reader: "instructors, marshals, notice board",
        audience: &[Instructor, Club],
        sides: "one side",
        copies: "1 each, 1 for the board",
        exists: When::ChangesWithRota,
        fill: fill!(RunSheets?),
        ..EACH_DAY
    },
    Kind {
        name: "driver-cards",
        title: "Driver cards",
        reader: "drivers, one each",
        audience: &[Club],
        card: true,
        sides: "one side, stiff paper",
        copies: "1 a driver",
        layouts: &[TwoUp],
        exists: When::ChangesWithRota,
        fill: |book, pack, templates, template| {
            Some(templates.render(template, &DriverCards::of(book, pack, false)?))
        },
        ..EACH_DAY
    },
    Kind {
        name: "driver-cards-large",
        title: "Driver cards in large print",
        reader: "drivers who asked for it",
        audience: &[Club],
        sides: "one side",
        copies: "1 each",
        exists: When::ChangesWithRota,
        fill: |book, pack, templates, template| {
            Some(templates.render(template, &DriverCards::of(book, pack, true)?))
        },
        ..EACH_DAY
    },
    Kind {
        name: "marshal-cards",
        title: "Marshal and instructor cards",
        reader: "marshals, instructors, one each",
        audience: &[Club],
        card: true,
        sides: "one side, stiff paper",
        copies: "1 each",
        layouts: &[TwoUp],
        exists: When::ChangesWithRota,
        fill: fill!(MarshalCards?),
        ..EACH_DAY
    },
    Kind {
        name: "radio-plan",
        title: "Radio and emergency plan",
        reader: "everybody with a radio",
        audience: &[Instructor, Club],
        sides: "one side",
        copies: "1 a radio",
        exists: When::AlwaysAndChanges,
        fill: fill!(RadioPlan),
        ..EACH_DAY
    },
    Kind {
        name: "convoy",
        title: "Convoy order",
        reader: "convoy leaders, gate",
        audience: &[Club],
        sides: "one side",
        copies: "1 a group",
        exists: When::ChangesWithRota,
        fill: fill!(Convoy?),
        ..EACH_DAY
    },
    Kind {
        name: "certificate",
        title: "Certificate of attendance",
        reader: "drivers, at the end",
        audience: &[Club],
        sides: "one side",
        copies: "1 a driver",
        exists: When::ChangesWithRota,
        fill: fill!(Certificates?),
        ..WEEKEND
    },
    Kind {
        name: "incident-form",
        title: "Incident and near-miss form",
        reader: "whoever saw it, then the person in charge",
        audience: &[Instructor, Club],
        copies: "5, kept in the hut",
        exists: When::AlwaysAndChanges,
        fill: fill!(IncidentForm),
        ..WEEKEND
    },
    Kind {
        name: "after-day",
        title: "After-day review",
        reader: "person in charge, instructors",
        audience: &[Instructor, Club],
        copies: "1",
        exists: When::AlwaysAndChanges,
        fill: fill!(AfterDay),
        ..EACH_DAY
    },
    Kind {
        name: "said-against-seen",
        title: "Said against seen",
        reader: "person in charge, instructors",
        audience: &[Instructor, Club],
        fill: fill!(SaidSeen?),
        ..DAY
    },
    Kind {
        name: "leader-sheet",
        title: "Confidential sheet",
        reader: "the person in charge, nobody else",
        audience: &[Club],
        confidential: true,
        sides: "one side",
        copies: "1, destroyed after the day",
        exists: When::ChangesWithRota,
        fill: fill!(LeaderSheet?),
        ..EACH_DAY
    },
];

impl Kind {
    /// The kind with this name.
    pub fn named(name: &str) -> Option<&'static Self> {
        KINDS.iter().find(|kind| kind.name == name)
    }
}
