//! Question papers that meet a blueprint, their mark schemes, and marking.
//!
//! Questions come from the formulas of the trade with the numbers of the course put in, and from
//! items of judgement in data files. A blueprint says how many marks each topic gets at each level;
//! a [`Plan`] fills it with kinds of question; each [`Form`] draws its own numbers and items for the
//! same plan, so that all forms are parallel. Everything drawn by lot comes from one seed, which is secret
//! unless somebody chose it. What is printed is sealed in a [`Record`], and marked from that alone.
//!
//! ```
//! use slopepack::paper::Lot;
//! let (mut one, mut same) = (Lot::new(7, 1), Lot::new(7, 1));
//! assert_eq!(one.below(1000), same.below(1000));
//! ```

mod band;
mod bank;
mod code;
mod family;
mod form;
mod item;
mod lot;
mod making;
mod marking;
mod plan;
mod practical;
mod quiz;
mod record;
pub mod results;
mod sheets;

pub use band::Interval;
pub use bank::{BankCheck, built_in, embedded};
pub use code::holds as code_holds;
pub use family::Family;
pub use form::{Exposure, Form, Overlap, Run, forms};
pub use item::{
    Body, Drawing, Number, Opt, Question, ScoredSlip, Stuff, Variant, Wrong, letter, numbers_in, right_orders,
};
pub use lot::Lot;
pub use making::families;
pub use marking::answer::{Judged, Outcome, judge};
pub use marking::judging::{Ruling, possible, read_rulings, rule};
pub use marking::{Marked, Sitting, mark, read_answers};
pub use plan::{Plan, Shortfall, Slot, fitted, plan};
pub use practical::{Agreement, Moderation, Observation, Observed, Oral, Pair, oral, read_pairs};
pub use quiz::{Quiz, QuizAnswers, QuizSheet};
pub use record::{Origin, Record, Source, Terms, Unsound, exposure_csv, exposure_of};
pub use results::judges::{Standard, judges_form, read_judgements};
pub use results::overall::{Overall, Practical, cut, read_practicals};
pub use results::{Drawn, ItemReport, Results};
pub use sheets::{
    AnswerSheet, Candidate, Coverage, Edition, FeedbackSheets, InvigilationSheet, Issue, JudgesSheet,
    PaperSheet, ResultSheet, SchemeSheet, StandardSheet, answer_form, key_json, paper_json, read_candidates,
};
