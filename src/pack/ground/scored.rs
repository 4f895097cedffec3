//! A row of the risk assessment: a hazard, its controls in the order of the hierarchy, its scores.

use serde::Serialize;

use crate::course::Course;
use crate::pack::ground::wanted::{self, Needs};

/// A hazard with who it hurts, what is done about it, and who sees to that.
#[derive(Clone, Serialize)]
pub(super) struct Row {
    pub(super) no: String,
    step: String,
    hazard: String,
    /// Who is hurt and how.
    harm: String,
    controls: Vec<Control>,
    pub(super) before: Score,
    pub(super) after: Score,
    /// What it will be once the kit is here that a control stands on and the course does not have: until then it is as
    /// before.
    pub(super) with_kit: Option<Score>,
    /// Who checks the controls, how and when.
    check: String,
    weak: bool,
}

/// What a row is made of.
pub(super) struct Hazard<'a> {
    /// Where or in doing what.
    pub step: &'a str,
    /// What can happen.
    pub what: &'a str,
    /// Who is hurt and how.
    pub harm: &'a str,
    /// Likelihood and severity with nothing done.
    pub before: (u8, u8),
    /// The same with the controls.
    pub after: (u8, u8),
    /// What is done about it, strongest first.
    pub controls: Vec<Control>,
    /// Who checks it, how and when.
    pub check: String,
}

/// Likelihood times severity, each 1 to 5, and what the course asks for at that.
#[derive(Clone, Serialize)]
pub(super) struct Score {
    likelihood: u8,
    severity: u8,
    pub(super) product: u8,
    pub(super) action: &'static str,
}

#[derive(Clone, Serialize)]
pub(super) struct Control {
    level: Level,
    text: String,
    /// The kit it stands on.
    #[serde(skip)]
    needs: Vec<Needs>,
    /// What of it the course's kit does not have.
    missing: Vec<String>,
}

impl Control {
    /// A control that stands on kit.
    pub(super) fn with(mut self, needs: impl IntoIterator<Item = Needs>) -> Self {
        self.needs.extend(needs);
        self
    }

    /// Looks what of its kit a course does not have.
    fn look_for(&mut self, course: &Course) {
        self.missing = self.needs.iter().filter_map(|needs| wanted::missing(course, *needs)).collect();
    }
}

impl Row {
    /// Looks what of its controls' kit a course does not have, and says it. A control that is not here lowers no score.
    pub(super) fn look_for(&mut self, course: &Course) -> impl Iterator<Item = &String> {
        self.controls.iter_mut().for_each(|control| control.look_for(course));
        if self.with_kit.is_none() && self.controls.iter().any(|control| !control.missing.is_empty()) {
            self.with_kit = Some(std::mem::replace(&mut self.after, self.before.clone()));
        }
        self.controls.iter().flat_map(|control| &control.missing)
    }
}

/// The order of the hierarchy of controls, strongest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub(super) enum Level {
    Eliminate,
    Substitute,
    Engineer,
    Administrate,
    Protect,
}

/// A control of a level.
pub(super) fn control(level: Level, text: impl Into<String>) -> Control {
    Control { level, text: text.into(), needs: Vec::new(), missing: Vec::new() }
}

/// The row of a hazard.
///
/// # Panics
/// When a score falls without a control: a fault of the program.
pub(super) fn row(hazard: Hazard) -> Row {
    assert!(hazard.after == hazard.before || !hazard.controls.is_empty(), "{}", hazard.what);
    let weak = hazard.controls.iter().all(|control| control.level >= Level::Administrate);
    Row {
        no: String::new(),
        step: hazard.step.to_owned(),
        hazard: hazard.what.to_owned(),
        harm: hazard.harm.to_owned(),
        controls: hazard.controls,
        before: score(hazard.before),
        after: score(hazard.after),
        with_kit: None,
        check: hazard.check,
        weak,
    }
}

/// What it asks for is set once the course is known.
fn score((likelihood, severity): (u8, u8)) -> Score {
    Score { likelihood, severity, product: likelihood * severity, action: "" }
}
