//! The learners' quiz: questions of the same stock as the papers', drawn with the same lot.
//!
//! Its lot is the pack's own seed, which is printed; papers have a secret one, and other streams of it.

use std::collections::BTreeSet;

use serde::Serialize;

use super::bank::built_in;
use super::family::Family;
use super::form::{Form, Run, forms};
use super::item::{Question, Variant};
use super::lot::Lot;
use super::making::{Scene, families_of};
use super::plan::{Plan, Slot};
use super::sheets::{QuizItem, SchemeItem, quiz_item, scheme_item};
use crate::course::{Course, Theme};
use crate::engine::Reckoning;
use crate::formula::Worked;
use crate::page::Meta;
use crate::page::worked::FormulaSheet;

/// What a quiz asks about, a question each: eight are decided or known, two are worked out, and those
/// stand last, since a small course may have nothing left to work out.
const PLACES: [Theme; 10] = [
    Theme::GearChoice,
    Theme::StopWord,
    Theme::Signals,
    Theme::Clutch,
    Theme::Automatic,
    Theme::LockedWheel,
    Theme::SideTilt,
    Theme::ClearZone,
    Theme::CreepSpeed,
    Theme::GroundLimit,
];
/// Options of a choice.
const OPTIONS: u8 = 4;
/// Sheets tried before one question fewer is asked.
const TRIES: usize = 8;
/// Minutes allowed for each mark.
const MINUTES_A_MARK: u16 = 2;
/// The stream of the pack's seed from which the quiz has a seed of its own: papers drawn from the same
/// number have other questions.
const STREAM: u64 = u64::from_le_bytes(*b"the quiz");

/// A quiz as drawn.
pub struct Quiz {
    form: Form,
    code: String,
    pass: u16,
}

/// The question sheet. Nothing of the key is in it.
#[derive(Serialize)]
pub struct QuizSheet {
    pack: Meta,
    paper: Front,
    items: Vec<QuizItem>,
    sheet: FormulaSheet,
}

/// The answers, with working and what usual slips give and earn.
#[derive(Serialize)]
pub struct QuizAnswers {
    pack: Meta,
    paper: Front,
    items: Vec<SchemeItem>,
}

#[derive(Serialize)]
struct Front {
    code: String,
    minutes: String,
    total: String,
    pass: String,
    allowed: Vec<&'static str>,
}

impl Quiz {
    /// Draws the quiz of a course by its printed seed. `told` are answers that learners have in print
    /// already, as [`Variant::numeric_key`] writes them: they are not asked where there are others.
    pub fn draw(course: &Course, reckoning: &Reckoning, told: &BTreeSet<String>, fingerprint: &str) -> Self {
        let scene = Scene { course, reckoning, for_the_quiz: true };
        let families = families_of(&scene, &built_in(), OPTIONS);
        let mut lot = Lot::new(course.seed, STREAM);
        let form = (0..PLACES.len() * TRIES)
            .find_map(|turn| {
                // An answer would be told elsewhere on the sheet: ask other things, then fewer.
                let count = PLACES.len() - turn / TRIES;
                let stock: Vec<Family> = PLACES[..count]
                    .iter()
                    .filter_map(|theme| about(*theme, &families, told, &mut lot))
                    .collect();
                let slot = |(family, one): (usize, &Family)| Slot { family, marks: one.marks };
                let plan = Plan { slots: stock.iter().enumerate().map(slot).collect() };
                let run = Run { options: OPTIONS, ..Run::of(&course.papers, 1, lot.seed()) };
                forms(&plan, &stock, &run).ok()?.pop()
            })
            .unwrap_or_else(|| Form { code: String::new(), questions: Vec::new() });
        let pass = course.papers.pass_marks_of(form.total());
        let code = format!("{}-{}", &fingerprint[..4.min(fingerprint.len())], course.seed);
        Self { form, code, pass }
    }

    /// Minutes allowed for it.
    pub fn minutes(&self) -> u16 {
        MINUTES_A_MARK * self.form.total()
    }

    /// Its questions, in the order printed.
    pub fn questions(&self) -> &[Question] {
        &self.form.questions
    }

    /// The workings of its calculations.
    pub fn worked(&self) -> impl Iterator<Item = &Worked> {
        self.form.questions.iter().filter_map(|question| question.variant.worked.as_ref())
    }

    /// The question sheet, with the formulas that may be looked up.
    pub fn sheet(&self, pack: Meta, sheet: FormulaSheet) -> QuizSheet {
        QuizSheet { pack, paper: self.front(), items: self.numbered(quiz_item), sheet }
    }

    /// The answers to the same sheet.
    pub fn answers(&self, pack: Meta) -> QuizAnswers {
        QuizAnswers { pack, paper: self.front(), items: self.numbered(scheme_item) }
    }

    fn numbered<T>(&self, item: impl Fn(usize, &Question) -> T) -> Vec<T> {
        (1..).zip(&self.form.questions).map(|(no, question)| item(no, question)).collect()
    }

    fn front(&self) -> Front {
        let total = self.form.total();
        Front {
            code: self.code.clone(),
            minutes: format!("{} min", self.minutes()),
            total: total.to_string(),
            pass: self.pass.to_string(),
            allowed: vec![
                "pocket calculator set to degrees",
                "the formula sheet at the end",
                "pencil, ruler; cards and workbook are put away",
            ],
        }
    }
}

/// The questions about a theme, of one family drawn by lot: all carry the same marks.
fn about(theme: Theme, families: &[Family], told: &BTreeSet<String>, lot: &mut Lot) -> Option<Family> {
    let themed = |variant: &&Variant| variant.theme == Some(theme);
    let fit: Vec<&Family> =
        families.iter().filter(|family| family.variants.iter().any(|one| themed(&one))).collect();
    let family = (!fit.is_empty()).then(|| fit[lot.below(fit.len())])?;
    let all: Vec<&Variant> = family.variants.iter().filter(themed).collect();
    let is_new = |variant: &&&Variant| variant.numeric_key().is_none_or(|key| !told.contains(&key));
    let new: Vec<&Variant> = all.iter().filter(is_new).copied().collect();
    let variants = if new.is_empty() { all } else { new };
    Some(Family { variants: variants.into_iter().cloned().collect(), ..family.clone() })
}
