//! What a course wants of its question papers, and items of judgement as data.

use std::ops::Range;

use serde::{Deserialize, Serialize};

use super::Name;

/// What a question is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Topic {
    /// Ratios, ranges, which gear.
    Gearing,
    /// Creep speed and engine speed.
    Creep,
    /// Grip, sliding and steering.
    Grip,
    /// Energy and brakes.
    Heat,
    /// Axle loads and tipping.
    Stability,
    /// Getting a vehicle back.
    Recovery,
    /// People and ground.
    SiteSafety,
    /// What is looked at before driving.
    VehicleChecks,
    /// Spotter and driver.
    Signals,
}

/// What a question asks of the learner.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Level {
    /// Knows it.
    Recall,
    /// Works it out.
    Apply,
    /// Decides on the ground.
    Decide,
}

impl Topic {
    /// Every topic, as a course names it and as a page says it.
    pub const ALL: [(&'static str, Self, &'static str); 9] = [
        ("gearing", Self::Gearing, "Gearing"),
        ("creep", Self::Creep, "Creep"),
        ("grip", Self::Grip, "Grip and steering"),
        ("heat", Self::Heat, "Heat"),
        ("stability", Self::Stability, "Stability"),
        ("recovery", Self::Recovery, "Recovery"),
        ("site-safety", Self::SiteSafety, "Site safety"),
        ("vehicle-checks", Self::VehicleChecks, "Vehicle checks"),
        ("signals", Self::Signals, "Signals"),
    ];

    /// As a course names it.
    pub fn key(self) -> &'static str {
        Self::ALL.iter().find(|(_, topic, _)| *topic == self).map_or("", |(key, ..)| *key)
    }

    /// As a page says it.
    pub fn title(self) -> &'static str {
        Self::ALL.iter().find(|(_, topic, _)| *topic == self).map_or("", |(.., title)| *title)
    }
}

impl Theme {
    /// Every theme of an item of judgement, as a file of items names it.
    pub const JUDGED: [(&'static str, Self); 8] = [
        ("gear-choice", Self::GearChoice),
        ("stop-word", Self::StopWord),
        ("signals", Self::Signals),
        ("clutch", Self::Clutch),
        ("automatic", Self::Automatic),
        ("locked-wheel", Self::LockedWheel),
        ("side-tilt", Self::SideTilt),
        ("clear-zone", Self::ClearZone),
    ];
}

impl Level {
    /// Every level, as a course names it.
    pub const ALL: [(&'static str, Self); 3] =
        [("recall", Self::Recall), ("apply", Self::Apply), ("decide", Self::Decide)];

    /// As a course names it.
    pub fn key(self) -> &'static str {
        Self::ALL.iter().find(|(_, level)| *level == self).map_or("", |(key, _)| *key)
    }
}

/// What the learners' quiz always asks about; what else a question is about, its topic says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Theme {
    /// Which gear, for this vehicle on this slope.
    GearChoice,
    /// Who says stop, and what stop means.
    StopWord,
    /// Signs between spotter and driver.
    Signals,
    /// What the clutch does on a slope.
    Clutch,
    /// How an automatic is driven down.
    Automatic,
    /// What a locked wheel does to steering and distance.
    LockedWheel,
    /// Driving across a slope.
    SideTilt,
    /// Where nobody stands while a line is loaded.
    ClearZone,
    /// How fast a gear lets the vehicle roll: a calculation.
    CreepSpeed,
    /// The steepest slope that the ground holds for certain, from its lowest friction: a calculation.
    GroundLimit,
}

/// So many marks for a topic at a level.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cell {
    /// What about.
    pub topic: Topic,
    /// How deep.
    pub level: Level,
    /// Marks; above 0.
    pub marks: u16,
}

/// What every paper of the course must meet.
#[derive(Clone, Debug, PartialEq)]
pub struct Blueprint {
    /// Title of the paper.
    pub title: Name,
    /// Time allowed, minutes.
    pub minutes: u16,
    /// Share of the marks that passes, 0 to 1.
    pub pass: f64,
    /// Number of questions; none leaves it to the cells.
    pub questions: Option<u16>,
    /// Options of every choice: 3 to 5. What has fewer is not asked.
    pub options: u8,
    /// Share of its questions that a form may have in common with another of the same run, 0 to 1.
    pub overlap: f64,
    /// How a candidate appeals, as the paper tells it.
    pub appeal: String,
    /// When a candidate who has not passed may sit again, as the paper tells it.
    pub resit: String,
    /// Marks by topic and level, each pair once.
    pub cells: Vec<Cell>,
    /// Whether a sheet of formulas stands at the end of each paper.
    pub formulas: bool,
    /// Files with further items, beside the course file.
    pub bank: Vec<String>,
    /// Colour of the page in the coloured edition: red, green, blue.
    pub tint: [u8; 3],
    /// Its key in the course file, bytes; none where the course sets none.
    pub place: Option<Range<usize>>,
}

impl Blueprint {
    /// Marks of the whole paper.
    pub fn total(&self) -> u16 {
        self.cells.iter().map(|cell| cell.marks).sum()
    }

    /// The fewest marks that pass.
    pub fn pass_marks(&self) -> u16 {
        self.pass_marks_of(self.total())
    }

    /// The fewest of so many marks that pass: the share, rounded up.
    pub fn pass_marks_of(&self, total: u16) -> u16 {
        let exact = self.pass * f64::from(total);
        (1..=total).find(|marks| f64::from(*marks) >= exact - 1e-9).unwrap_or(total)
    }
}

/// The rule on appeals of a course that sets none: common practice, no source.
const APPEAL: &str = "You may appeal within 14 days of the result, in writing, naming the question and the reason. \
    Somebody who did not mark your paper judges it by the mark scheme and answers in writing, with reasons.";
/// The rule on sitting again of a course that sets none: common practice, no source.
const RESIT: &str =
    "If you have not passed, you may sit again from the next day on, with a form that you have not seen.";

impl Default for Blueprint {
    /// The blueprint of a course that sets none: common practice, no source.
    fn default() -> Self {
        use Level::{Apply, Decide, Recall};
        use Topic as T;
        let cells = [
            (T::Gearing, Recall, 1),
            (T::Gearing, Apply, 4),
            (T::Creep, Apply, 4),
            (T::Creep, Decide, 1),
            (T::Grip, Recall, 1),
            (T::Grip, Apply, 4),
            (T::Grip, Decide, 2),
            (T::Heat, Recall, 1),
            (T::Heat, Apply, 3),
            (T::Stability, Recall, 1),
            (T::Stability, Apply, 3),
            (T::Recovery, Recall, 1),
            (T::Recovery, Decide, 2),
            (T::SiteSafety, Decide, 3),
            (T::VehicleChecks, Recall, 2),
            (T::Signals, Recall, 1),
        ];
        Self {
            title: "Theory paper".into(),
            minutes: 60,
            pass: 0.7,
            questions: None,
            options: 4,
            overlap: 0.2,
            appeal: APPEAL.to_owned(),
            resit: RESIT.to_owned(),
            cells: cells.map(|(topic, level, marks)| Cell { topic, level, marks }).to_vec(),
            formulas: false,
            bank: Vec::new(),
            tint: [0xfd, 0xf3, 0xd8],
            place: None,
        }
    }
}

/// An item of judgement, reviewed for one right answer.
#[derive(Clone, Debug, PartialEq)]
pub struct BankItem {
    /// Its name, unique among all items.
    pub id: String,
    /// What about.
    pub topic: Topic,
    /// How deep.
    pub level: Level,
    /// For which place of the learners' quiz it may be drawn, if for one.
    pub theme: Option<Theme>,
    /// What somebody who answers it can do.
    pub outcome: String,
    /// Share of learners expected to get it right, 0 to 1.
    pub ease: f64,
    /// The question.
    pub ask: String,
    /// How it is answered.
    pub answer: BankAnswer,
    /// Of the items with this mark a paper holds one at most.
    pub one_of: Option<String>,
    /// What the learner is told afterwards.
    pub feedback: String,
    /// Where it comes from.
    pub source: String,
}

/// How an item of judgement is answered.
#[derive(Clone, Debug, PartialEq)]
pub enum BankAnswer {
    /// One of several.
    Choice {
        /// The right one.
        right: String,
        /// The others, at least two.
        wrong: Vec<WrongChoice>,
    },
    /// Steps to put in order.
    Order {
        /// The steps in a right order; at least three.
        steps: Vec<String>,
        /// Pairs of places, from 0: the first must come before the second. All that follows from
        /// other pairs is in it.
        forced: Vec<(usize, usize)>,
    },
    /// True or false, with the reason.
    Truth {
        /// Whether the claim holds.
        holds: bool,
        /// The claim put the other way round, so that the opposite holds for the same reason.
        turned: Option<String>,
        /// The right reason.
        because: String,
        /// Wrong reasons, at least two.
        wrong: Vec<WrongChoice>,
    },
}

/// A wrong option and what choosing it says.
#[derive(Clone, Debug, PartialEq)]
pub struct WrongChoice {
    /// The option.
    pub text: String,
    /// What is wrong with it, as told to the learner.
    pub why: String,
}

impl BankItem {
    /// Marks it carries: a choice 1; an order, or a truth with its reason, 2.
    pub fn marks(&self) -> u16 {
        match self.answer {
            BankAnswer::Choice { .. } => 1,
            BankAnswer::Order { .. } | BankAnswer::Truth { .. } => 2,
        }
    }
}
