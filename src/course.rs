//! What the instructor wrote, read, checked and typed.
//!
//! A [`Course`] holds slopes, a fleet, people, kit and the day. Everything in it is checked: names
//! that refer to something refer to it, quantities are finite and of the right kind, and what was
//! left out is filled in from class values and marked as an estimate. All mistakes come out at once.
//!
//! ```
//! use slopepack::course::read_text;
//! let quarry = include_str!("../courses/quarry-day.yaml");
//! let course = read_text(quarry).expect("a course without mistakes");
//! assert!(course.slopes.iter().all(|slope| !slope.stretches.is_empty()));
//! let wrong = quarry.replacen("gradient:", "gradiant:", 1);
//! let problems = read_text(&wrong).expect_err("a key nobody knows");
//! assert!(problems.iter().any(|problem| problem.message.contains("gradiant") && problem.span.is_some()));
//! ```

mod advice;
mod band;
mod cursor;
mod day;
mod kit;
pub mod own;
pub mod papers;
mod read;
mod roster;
pub mod schema;
mod slope;
pub mod sources;
mod surface;
mod text;
mod tree;
mod vehicle;

pub use advice::{advice, beyond_a_parking_brake};

pub use band::Band;
pub use day::clock::{Clock, NoClock};
pub use day::comes::Comes;
pub use day::date::Date;
pub use day::runs::meter::{METERS, Meter, Reads};
pub use day::runs::{Earned, Heated, MeasuredRun, RunGround, Runs, Seen, Towed};
pub use day::several::{Before, OneDay, Today};
pub use day::ways::{Timed, Ways};
pub use day::{
    Contact, Day, Emergency, Limits, NearRule, Person, RiskCuts, Role, Session, Tolerances, pegs_apart,
};
pub use kit::recovery::{MissingKit, NotFetched, RecoveryRules, USUAL_MARGIN, UncheckedKit};
pub use kit::{
    AnchorPlace, AnchorSort, Buried, Condition, Drum, KitItem, KitKind, Rating, RigData, RopeMaterial,
    RopeStretch, Stand, StretchAt,
};
pub use papers::{BankAnswer, BankItem, Blueprint, Cell, Level, Theme, Topic, WrongChoice};
pub use read::{
    Arrival, Loaded, Unread, Written, attach_roster, attach_runs, read, read_bank, read_text, to_show,
    walk_in, written,
};
pub use roster::{
    Driver, DutyRule, Experience, Headcount, Need, Order, Passenger, Place, Private, Roster, RotaRules,
    Session as Station,
};
pub use slope::edges::EdgeBeside;
pub use slope::near::TooNear;
pub use slope::photograph::{Photograph, SeenLine};
pub use slope::site::{
    AreaOfSite, Beside, Hand, LineOfSite, North, Origin, PointOfSite, SiteArea, SiteLine, SitePlan,
    SitePoint, SlopePlan, Spot, length_of,
};
pub use slope::way_off::WayOff;
pub use slope::ways::SiteWay;
pub use slope::{
    Brow, Danger, DangerKind, Escape, Lookout, RunOut, Sight, SkidPad, Slope, Step, Stretch, Survey,
};
pub use surface::{Ground, Soil, Surface, library_ids, library_surface};
pub use text::{Issue, Label, LongText, Name, Passage, Remark, Text, capital};
pub use vehicle::classes;
pub use vehicle::earned::{DragEarned, EarnedFrom, Kept, SurfaceEarned};
pub use vehicle::fuel::fuel_said;
pub use vehicle::known::Known;
pub use vehicle::point::{End, PointFault, PointKind, RecoveryPoint, Side};
pub use vehicle::tyre::{NUMERIC_SIZES, NumericSize};
pub use vehicle::{
    Aid, Aspiration, AxleBrakes, BrakeKind, Brakes, Differentials, DragPoint, Driven, Engine, Fuel, Gear,
    Gearbox, LOW_UNTOLD, Lock, LowPoint, Range, RoofLoad, Transmission, Tyre, TyreBuild, Underside, Vehicle,
    VehicleClass,
};

use crate::quantity::UnitSystem;

/// Paper the pack is printed on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Paper {
    /// 210 × 297 mm.
    #[default]
    A4,
    /// 8.5 × 11 in.
    Letter,
}

/// One day's course, as typed values.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    /// What the day is called.
    pub title: Name,
    /// The club or school that runs it.
    pub club: Name,
    /// Where it is held, in words a stranger finds.
    pub site: Remark,
    /// The issue of the papers: "1", "2026-A".
    pub version: Issue,
    /// Who answers for the figures.
    pub prepared_by: Option<Name>,
    /// What learners can do afterwards, one sentence each.
    pub outcomes: Vec<Passage>,
    /// Who the course is for and what they need to bring.
    pub entry_requirements: Vec<Passage>,
    /// Units the pages show.
    pub units: UnitSystem,
    /// Paper the pages are for.
    pub paper: Paper,
    /// The club's colour as red, green, blue.
    pub accent: Option<[u8; 3]>,
    /// Picture file of the club's mark, beside the course file.
    pub logo: Option<String>,
    /// Fixes every random choice; printed on the pages it shapes.
    pub seed: u64,
    /// The course's own working limits.
    pub limits: Limits,
    /// Ground the slopes are made of.
    pub surfaces: Vec<Surface>,
    /// Slopes in the order they were written.
    pub slopes: Vec<Slope>,
    /// Flat ground for a locked stop that a class can see.
    pub skid_pad: Option<SkidPad>,
    /// The ground from above.
    pub site_plan: Option<SitePlan>,
    /// Vehicles in the order they were written.
    pub vehicles: Vec<Vehicle>,
    /// Recovery and safety kit.
    pub kit: Vec<KitItem>,
    /// Its own rules for recoveries.
    pub recovery: RecoveryRules,
    /// Who does what on the day.
    pub people: Vec<Person>,
    /// Times, weather and runs; of several days what they have in common, and the first one's times.
    pub day: Day,
    /// The days, where there are several; empty for a single one.
    pub days: Vec<OneDay>,
    /// Which of them this course stands for; none for the whole, and for a course of a single day.
    pub today: Option<Today>,
    /// Whom to call and where to send them.
    pub emergency: Emergency,
    /// Who comes to drive.
    pub roster: Roster,
    /// How groups rotate over the slopes.
    pub rota: Option<RotaRules>,
    /// What the question papers must meet.
    pub papers: Blueprint,
    /// What was measured, run by run.
    pub runs: Runs,
    /// What those runs have narrowed; nothing as a course is read.
    pub earned: Earned,
    /// Texts too long for their places, in full, in the order they were read.
    pub long_texts: Vec<LongText>,
}

impl Course {
    /// From a vehicle's stop at the foot until the next may start: the rota's, else the day's.
    pub fn turn_round(&self) -> crate::quantity::Time {
        let of_day = || self.day.turn_round.unwrap_or(crate::quantity::Time::new(day::TURN_ROUND));
        self.rota.as_ref().map_or_else(of_day, |rota| rota.reset)
    }

    /// Where a slope's brow and foot lie, m; none without a plan of it.
    pub fn brow_and_foot(&self, slope: &str) -> Option<(Spot, Spot)> {
        let plan = self.site_plan.as_ref()?.of_slope(slope)?;
        Some((plan.brow(), plan.foot()))
    }

    /// Whether there is water that a vehicle can get into, by the hazards of the slopes or the plan of the site.
    pub fn has_water(&self) -> bool {
        let on_the_plan = |plan: &SitePlan| {
            plan.areas.iter().any(|area| area.kind == AreaOfSite::Water)
                || plan.lines.iter().any(|line| matches!(line.kind, LineOfSite::Stream))
        };
        self.slopes.iter().any(Slope::has_water) || self.site_plan.as_ref().is_some_and(on_the_plan)
    }

    /// The surface a slope lies on.
    ///
    /// # Panics
    /// Never for a slope of this course: reading checks every reference.
    pub fn surface_of(&self, slope: &Slope) -> &Surface {
        self.surface(&slope.surface).expect("a checked course has every surface it names")
    }

    /// The surface with this identifier.
    pub fn surface(&self, id: &str) -> Option<&Surface> {
        self.surfaces.iter().find(|surface| surface.id == id)
    }
}
