//! A question in its written form: what the record, and so the digest, is made of.

use serde::{Deserialize, Serialize};

use crate::course::{Level, Topic};
use crate::page::Fig;
use crate::paper::band::Interval;
use crate::paper::item::{Body, Number, Opt, Question, ScoredSlip, Stuff, TURNED, Variant, Wrong};
use crate::print::fingerprint;
use crate::quantity::{Shown, unit_named};

/// A question with its key and everything that marking and feedback say of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct Written {
    /// Name of the item.
    item: String,
    /// First digits of the checksum over the item: another wording or key is another version.
    version: String,
    place: usize,
    topic: Topic,
    level: Level,
    marks: u16,
    ease: f64,
    outcome: String,
    ask: String,
    given: Vec<Datum>,
    answer: Answer,
    working: Vec<String>,
    feedback: String,
    source: String,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
struct Datum {
    name: String,
    value: String,
    unit: String,
    estimated: bool,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
enum Answer {
    Number {
        key: String,
        unit: String,
        unit_mark: bool,
        /// Least and greatest value that a right way of working reaches.
        accept: [f64; 2],
        /// Least and greatest value for which a marker looks at the working.
        look: [f64; 2],
        methods: Vec<String>,
        slips: Vec<WrittenSlip>,
    },
    Choice {
        options: Vec<WrittenOption>,
    },
    Order {
        steps: Vec<String>,
        /// Printed places of the steps in a right order, from 0.
        key: Vec<usize>,
        /// Pairs of printed places: the first must come before the second.
        forced: Vec<(usize, usize)>,
    },
    Truth {
        holds: bool,
        reasons: Vec<WrittenOption>,
    },
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
struct WrittenSlip {
    id: String,
    gives: String,
    why: String,
    step: usize,
    careless: bool,
    value: f64,
    accept: [f64; 2],
    marks: u16,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
struct WrittenOption {
    text: String,
    /// Name of the slip and what is told to the learner; none of the right option.
    slip: Option<(String, String)>,
}

impl Written {
    /// The written form of a question.
    pub(super) fn of(question: &Question) -> Self {
        let variant = &question.variant;
        let value = |(name, fig): &(String, Fig)| Datum {
            name: name.clone(),
            value: fig.v.clone(),
            unit: fig.u.clone(),
            estimated: fig.e,
        };
        let mut written = Self {
            item: variant.name.clone(),
            version: String::new(),
            place: question.slot,
            topic: question.topic,
            level: question.level,
            marks: question.marks,
            ease: variant.ease,
            outcome: variant.outcome.clone(),
            ask: variant.ask.clone(),
            given: variant.data.iter().map(value).collect(),
            answer: Answer::of(&question.body),
            working: variant.steps(),
            feedback: variant.feedback.clone(),
            source: variant.source.clone(),
        };
        written.version = written.item_version();
        written
    }

    /// What it asks, as forms are compared by it.
    pub(super) fn task(&self) -> &str {
        self.item.strip_suffix(TURNED).unwrap_or(&self.item)
    }

    /// Checksum of what the item is, however its options were drawn.
    fn item_version(&self) -> String {
        let key = match &self.answer {
            Answer::Number { key, unit, .. } => format!("{key} {unit}"),
            Answer::Choice { options } | Answer::Truth { reasons: options, .. } => {
                options.iter().filter(|one| one.slip.is_none()).map(|one| one.text.as_str()).collect()
            }
            Answer::Order { steps, key, .. } => {
                key.iter().map(|at| steps[*at].as_str()).collect::<Vec<_>>().join(", ")
            }
        };
        let text = serde_json::to_vec(&(&self.item, &self.ask, &self.given, key)).expect("text is JSON");
        fingerprint(&text)[..8].to_owned()
    }

    /// The question, ready to mark.
    ///
    /// # Errors
    /// A unit that this program does not know.
    pub(super) fn question(&self) -> Result<Question, String> {
        let body = self.answer.body()?;
        let data = self
            .given
            .iter()
            .map(|one| (one.name.clone(), Fig::new(one.value.clone(), one.unit.clone(), one.estimated)));
        let variant = Variant {
            name: self.item.clone(),
            theme: None,
            ease: self.ease,
            outcome: self.outcome.clone(),
            ask: self.ask.clone(),
            data: data.collect(),
            drawing: None,
            works_out: Vec::new(),
            one_of: None,
            worked: None,
            told_steps: self.working.clone(),
            feedback: self.feedback.clone(),
            source: self.source.clone(),
            stuff: stuff(&body),
        };
        let (slot, topic, level, marks) = (self.place, self.topic, self.level, self.marks);
        Ok(Question { slot, topic, level, marks, variant, body })
    }
}

impl Answer {
    fn of(body: &Body) -> Self {
        match body {
            Body::Number(number) => Self::Number {
                key: number.key.text.clone(),
                unit: number.unit.symbol.to_owned(),
                unit_mark: number.unit_mark,
                accept: ends(number.accept),
                look: ends(number.look),
                methods: number.methods.clone(),
                slips: number.slips.iter().map(WrittenSlip::of).collect(),
            },
            Body::Choice(options) => {
                Self::Choice { options: options.iter().map(WrittenOption::of).collect() }
            }
            Body::Order { steps, key, forced } => {
                Self::Order { steps: steps.clone(), key: key.clone(), forced: forced.clone() }
            }
            Body::Truth { holds, reasons } => {
                Self::Truth { holds: *holds, reasons: reasons.iter().map(WrittenOption::of).collect() }
            }
        }
    }

    fn body(&self) -> Result<Body, String> {
        Ok(match self {
            Self::Number { key, unit, unit_mark, accept, look, methods, slips } => {
                let unit = unit_named(unit).ok_or_else(|| format!("`{unit}` is no unit known here"))?;
                let value: f64 = key.parse().map_err(|_| format!("`{key}` is no number"))?;
                Body::Number(Number {
                    unit,
                    key: Shown { text: key.clone(), value, exact: false },
                    accept: interval(*accept),
                    look: interval(*look),
                    methods: methods.clone(),
                    unit_mark: *unit_mark,
                    slips: slips.iter().map(WrittenSlip::slip).collect(),
                })
            }
            Self::Choice { options } => Body::Choice(options.iter().map(WrittenOption::option).collect()),
            Self::Order { steps, key, forced } => {
                Body::Order { steps: steps.clone(), key: key.clone(), forced: forced.clone() }
            }
            Self::Truth { holds, reasons } => {
                Body::Truth { holds: *holds, reasons: reasons.iter().map(WrittenOption::option).collect() }
            }
        })
    }
}

impl WrittenSlip {
    fn of(slip: &ScoredSlip) -> Self {
        let wrong = &slip.wrong;
        Self {
            id: wrong.id.clone(),
            gives: wrong.text.clone(),
            why: wrong.why.clone(),
            step: wrong.step,
            careless: wrong.careless,
            value: wrong.value,
            accept: ends(slip.accept),
            marks: slip.marks,
        }
    }

    fn slip(&self) -> ScoredSlip {
        let wrong = Wrong {
            id: self.id.clone(),
            text: self.gives.clone(),
            value: self.value,
            why: self.why.clone(),
            step: self.step,
            careless: self.careless,
        };
        ScoredSlip { wrong, accept: interval(self.accept), marks: self.marks }
    }
}

impl WrittenOption {
    fn of(option: &Opt) -> Self {
        Self { text: option.text.clone(), slip: option.slip.clone() }
    }

    fn option(&self) -> Opt {
        Opt { text: self.text.clone(), slip: self.slip.clone() }
    }
}

fn ends(interval: Interval) -> [f64; 2] {
    [interval.low, interval.high]
}

fn interval([low, high]: [f64; 2]) -> Interval {
    Interval { low, high }
}

/// What the body was drawn from, as far as marking needs it.
fn stuff(body: &Body) -> Stuff {
    let wrong = |option: &Opt| Wrong {
        id: option.slip.as_ref().map_or_else(String::new, |(id, _)| id.clone()),
        text: option.text.clone(),
        value: 0.0,
        why: option.slip.as_ref().map_or_else(String::new, |(_, why)| why.clone()),
        step: 0,
        careless: false,
    };
    let parted = |options: &[Opt]| {
        let (right, others): (Vec<Wrong>, Vec<Wrong>) =
            options.iter().map(wrong).partition(|option| option.id.is_empty());
        (right.into_iter().next().unwrap_or_else(|| wrong(&Opt { text: String::new(), slip: None })), others)
    };
    match body {
        Body::Number(number) => Stuff::Number(number.clone()),
        Body::Choice(options) => {
            let (right, wrong) = parted(options);
            Stuff::Choice { right, wrong, sized: false }
        }
        Body::Order { steps, key, forced } => {
            let place = |printed: usize| key.iter().position(|at| *at == printed).unwrap_or(printed);
            Stuff::Order {
                steps: key.iter().map(|at| steps[*at].clone()).collect(),
                forced: forced.iter().map(|(a, b)| (place(*a), place(*b))).collect(),
            }
        }
        Body::Truth { holds, reasons } => {
            let (right, wrong) = parted(reasons);
            Stuff::Truth { holds: *holds, right, wrong }
        }
    }
}
