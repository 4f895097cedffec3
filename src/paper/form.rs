//! Parallel forms: for the same plan each draws its own numbers and items.

mod cues;
mod options;
mod overlap;

use std::collections::{BTreeMap, BTreeSet};

use super::code::draft_code;
use super::family::Family;
use super::item::{Body, Question, Stuff, Variant};
use super::lot::Lot;
use super::plan::{Plan, Shortfall, Slot};
use crate::course::Blueprint;
use cues::{Amount, Told};
use overlap::Used;
pub use overlap::{Exposure, Overlap};

/// Forms drawn for each one kept: the one whose predicted difficulty is nearest to the plan's.
const DRAWS: u64 = 8;
/// Draws while a form shares more with another than it should.
const MORE_DRAWS: u64 = 24;
/// Draws after which a form that will not come together is given up.
const MOST_DRAWS: u64 = 120;

/// One form of the paper.
#[derive(Clone, Debug)]
pub struct Form {
    /// Its code, on paper, answer sheet and mark scheme: a draft until the forms are sealed.
    pub code: String,
    /// Its questions in the order printed.
    pub questions: Vec<Question>,
}

impl Form {
    /// Marks of the whole form.
    pub fn total(&self) -> u16 {
        self.questions.iter().map(|question| question.marks).sum()
    }

    /// Share of the marks that learners are expected to get.
    pub fn predicted(&self) -> f64 {
        let sum: f64 =
            self.questions.iter().map(|question| question.variant.ease * f64::from(question.marks)).sum();
        sum / f64::from(self.total())
    }

    /// Whether a calculation on it needs π.
    pub fn needs_pi(&self) -> bool {
        self.questions.iter().any(|question| question.variant.steps().iter().any(|line| line.contains('π')))
    }

    /// Its numeric answers, as printed, with their units.
    pub fn numeric_keys(&self) -> BTreeSet<String> {
        self.questions.iter().filter_map(|question| question.variant.numeric_key()).collect()
    }
}

/// What a run of papers asks for.
#[derive(Clone, Debug)]
pub struct Run {
    /// Options of every choice.
    pub options: u8,
    /// Share of its questions that a form may have in common with another, 0 to 1; met where the items allow it.
    pub overlap: f64,
    /// How many forms.
    pub count: usize,
    /// The seed.
    pub seed: u64,
    /// What earlier runs printed: it is drawn last.
    pub seen: Exposure,
}

impl Run {
    /// As a blueprint asks for, with nothing printed before.
    pub fn of(blueprint: &Blueprint, count: usize, seed: u64) -> Self {
        Self { options: blueprint.options, overlap: blueprint.overlap, count, seed, seen: Exposure::new() }
    }
}

/// A question that could be drawn, with what it tells of others.
struct Ready<'a> {
    variant: &'a Variant,
    told: Told,
}

/// A form as drawn: its questions in the order of the plan, and how it falls short.
struct Draw {
    questions: Vec<Question>,
    /// Questions it shares with one other form beyond what is allowed.
    beyond: usize,
    /// How far its predicted difficulty is from the plan's.
    off: f64,
}

/// The forms of a run. Neighbours, the last and the first included, share no numeric answer; nothing on a form tells
/// the answer of another question on it.
///
/// # Errors
/// The questions that would be needed, when the families are too small for that.
pub fn forms(plan: &Plan, families: &[Family], run: &Run) -> Result<Vec<Form>, Shortfall> {
    let stock: Vec<Vec<Ready>> = families
        .iter()
        .enumerate()
        .map(|(at, family)| {
            let wanted = plan.slots.iter().any(|slot| slot.family == at);
            let ready = |variant| Ready { variant, told: Told::of(variant) };
            if wanted { family.variants.iter().map(ready).collect() } else { Vec::new() }
        })
        .collect();
    let eases: Vec<f64> = plan.slots.iter().map(|slot| expected_at(slot, families)).collect();
    let target = weighted(plan, eases.iter().copied());
    let table = DrawingTable { plan, families, stock, run, eases, target };
    let mut made: Vec<Form> = Vec::new();
    let mut used = Used::after(&run.seen);
    for number in 0..run.count {
        let mut taken = BTreeSet::new();
        let last = number + 1 == run.count && run.count > 2;
        for neighbour in made.last().into_iter().chain(made.first().filter(|_| last)) {
            taken.extend(neighbour.numeric_keys());
        }
        let questions = table.best(number, &taken, &used).ok_or_else(|| too_small(number))?;
        used.add(questions.iter().map(|question| question.variant.task()));
        let code = draft_code(run.seed, number, |code| made.iter().any(|form| form.code == code));
        made.push(Form { code, questions });
    }
    Ok(made)
}

fn too_small(number: usize) -> Shortfall {
    Shortfall {
        message: format!(
            "form {} cannot be drawn: every draw repeats an answer of its neighbour or gives one away; \
             ask for fewer marks of calculation, or add slopes, vehicles or items",
            number + 1
        ),
    }
}

/// Share of the marks expected at a place, over everything that could stand there.
fn expected_at(slot: &Slot, families: &[Family]) -> f64 {
    let variants = &families[slot.family].variants;
    let count = u32::try_from(variants.len()).unwrap_or(u32::MAX);
    variants.iter().map(|variant| variant.ease).sum::<f64>() / f64::from(count)
}

fn weighted(plan: &Plan, eases: impl Iterator<Item = f64>) -> f64 {
    let total: f64 = plan.slots.iter().map(|slot| f64::from(slot.marks)).sum();
    plan.slots.iter().zip(eases).map(|(slot, ease)| f64::from(slot.marks) * ease).sum::<f64>() / total
}

/// What all forms of a run are drawn from.
struct DrawingTable<'a> {
    plan: &'a Plan,
    families: &'a [Family],
    stock: Vec<Vec<Ready<'a>>>,
    run: &'a Run,
    /// Share of the marks expected at each place, over everything that could stand there.
    eases: Vec<f64>,
    /// The same of the whole form.
    target: f64,
}

/// What is on a form so far.
#[derive(Default)]
struct Sheet<'a> {
    told: Vec<&'a Told>,
    shown: Vec<Amount>,
    secret: Vec<Amount>,
    tasks: BTreeSet<&'a str>,
    one_of: BTreeSet<&'a str>,
    keys: BTreeSet<String>,
    digits: BTreeSet<&'a str>,
    written: BTreeSet<&'a str>,
    facts: BTreeMap<&'a str, &'a str>,
    /// How many right options stand at each letter, from 0.
    letters: BTreeMap<usize, usize>,
}

impl DrawingTable<'_> {
    /// The best of several draws, its questions in the order printed.
    fn best(&self, number: usize, taken: &BTreeSet<String>, used: &Used) -> Option<Vec<Question>> {
        let mut best: Option<(Draw, Lot)> = None;
        let mut stuck = Vec::new();
        for draw in 0..MOST_DRAWS {
            let enough = best
                .as_ref()
                .is_some_and(|(best, _)| draw >= if best.beyond == 0 { DRAWS } else { MORE_DRAWS });
            if enough {
                break;
            }
            let stream = 1 + u64::try_from(number).unwrap_or(0) * MOST_DRAWS + draw;
            let mut lot = Lot::new(self.run.seed, stream);
            let drawn = match self.draw(taken, used, &stuck, &mut lot) {
                Ok(drawn) => drawn,
                Err(place) => {
                    stuck.retain(|one| *one != place);
                    stuck.push(place);
                    continue;
                }
            };
            let better = |(best, _): &(Draw, Lot)| (drawn.beyond, drawn.off) < (best.beyond, best.off);
            if best.as_ref().is_none_or(better) {
                best = Some((drawn, lot));
            }
        }
        best.map(|(mut drawn, mut lot)| {
            lot.shuffle(&mut drawn.questions);
            drawn.questions
        })
    }

    /// One question for each place: no answer of a neighbour, none that is told elsewhere on the form, and the least
    /// used first of those that keep the form apart from the others.
    ///
    /// # Errors
    /// The place for which there is none left.
    fn draw(
        &self,
        taken: &BTreeSet<String>,
        used: &Used,
        stuck: &[usize],
        lot: &mut Lot,
    ) -> Result<Draw, usize> {
        let allowed = allowed(self.run.overlap, self.plan.slots.len());
        let mut sheet = Sheet::default();
        let mut shared = used.tally();
        let mut drawn: Vec<Option<Question>> = vec![None; self.plan.slots.len()];
        // Marks by which what stands so far is easier than expected, harder where negative.
        let mut easier = 0.0;
        for place in self.most_bound_first(stuck) {
            let (ready, body) =
                self.place(place, taken, used, (&shared, allowed), (&sheet, easier), lot).ok_or(place)?;
            easier += f64::from(self.plan.slots[place].marks) * (ready.variant.ease - self.eases[place]);
            sheet.add(ready, &body);
            used.owners(ready.variant.task()).iter().for_each(|form| shared[*form] += 1);
            let family = &self.families[self.plan.slots[place].family];
            let (topic, level, marks) = (family.topic, family.level, family.marks);
            drawn[place] =
                Some(Question { slot: place, topic, level, marks, variant: ready.variant.clone(), body });
        }
        let questions: Vec<Question> = drawn.into_iter().flatten().collect();
        let predicted = weighted(self.plan, questions.iter().map(|question| question.variant.ease));
        let beyond = shared.iter().copied().max().unwrap_or(0).saturating_sub(allowed);
        Ok(Draw { questions, beyond, off: (predicted - self.target).abs() })
    }

    /// The places in the order they are filled: those that earlier draws could not fill, then those whose answer is a
    /// number, since for them most may be told elsewhere.
    fn most_bound_first(&self, stuck: &[usize]) -> Vec<usize> {
        let mut places: Vec<usize> = (0..self.plan.slots.len()).collect();
        let binds = |place: &usize| {
            let stock = &self.stock[self.plan.slots[*place].family];
            let secrets = stock.first().map_or(0, |ready| ready.told.secret.len());
            (stuck.iter().rev().position(|one| one == place).unwrap_or(usize::MAX), usize::MAX - secrets)
        };
        places.sort_by_key(binds);
        places
    }

    fn place(
        &self,
        place: usize,
        taken: &BTreeSet<String>,
        used: &Used,
        (shared, allowed): (&[usize], usize),
        (sheet, easier): (&Sheet, f64),
        lot: &mut Lot,
    ) -> Option<(&Ready<'_>, Body)> {
        let stock = &self.stock[self.plan.slots[place].family];
        let mut order: Vec<usize> = (0..stock.len()).collect();
        lot.shuffle(&mut order);
        let holds = lot.below(2) == 1;
        order.sort_by_cached_key(|at| {
            let variant = stock[*at].variant;
            let owners = used.owners(variant.task());
            let full = owners.iter().any(|form| shared[*form] >= allowed);
            let other_side = matches!(&variant.stuff, Stuff::Truth { holds: one, .. } if *one != holds);
            // What makes up for the places before it, so that forms come out equally hard.
            let off = easier * (variant.ease - self.eases[place]) > 0.0;
            (full, used.times(variant.task()), off, other_side)
        });
        let options = usize::from(self.run.options);
        let mut ranks: Vec<usize> = (0..options).collect();
        lot.shuffle(&mut ranks);
        // A letter that is right more often than its share and one is taken last: else one letter throughout could pass.
        let share = self.plan.slots.len().div_ceil(options.max(1)) + 1;
        ranks.sort_by_key(|rank| sheet.letters.get(rank).is_some_and(|right| *right >= share));
        // The rank is drawn before the question: a kind whose slips all lie above the answer would else have it at A.
        for rank in ranks {
            for at in &order {
                let ready = &stock[*at];
                let fresh = ready.variant.numeric_key().is_none_or(|key| !taken.contains(&key));
                if !fresh || !sheet.takes(ready) {
                    continue;
                }
                let Some(body) = options::body(ready.variant, options, rank, lot) else { continue };
                if sheet.keeps_secrets(ready, &body) {
                    return Some((ready, body));
                }
            }
        }
        None
    }
}

/// Questions that two forms of this length may share.
fn allowed(overlap: f64, questions: usize) -> usize {
    (0..=questions).rev().find(|count| overlap::share(*count, questions) <= overlap + 1e-9).unwrap_or(0)
}

impl<'a> Sheet<'a> {
    /// Whether a question may stand here beside the others, whatever its options.
    fn takes(&self, ready: &Ready) -> bool {
        let (variant, told) = (ready.variant, &ready.told);
        !self.tasks.contains(variant.task())
            && variant.one_of.as_deref().is_none_or(|group| !self.one_of.contains(group))
            && variant.numeric_key().is_none_or(|key| !self.keys.contains(&key))
            && self.hides_digits(told)
            && told
                .facts
                .iter()
                .all(|(what, value)| self.facts.get(what.as_str()).is_none_or(|known| known == value))
            && self.told.iter().all(|other| !other.says(told) && !told.says(other))
            && !told_by(&self.shown, &told.secret)
            && !told_by(&told.shown, &self.secret)
    }

    /// Whether the digits of no written answer stand on the form; a whole number of two figures could be met anywhere.
    fn hides_digits(&self, told: &Told) -> bool {
        let hidden = |key: &str| {
            (key.contains('.') || key.len() > 2) && !self.digits.contains(key) && !told.digits.contains(key)
        };
        told.written.as_deref().is_none_or(hidden)
            && told.digits.iter().all(|digits| !self.written.contains(digits.as_str()))
    }

    /// Whether its options tell no answer of another question.
    fn keeps_secrets(&self, ready: &Ready, body: &Body) -> bool {
        let amounts = printed(ready.variant, body);
        !told_by(&amounts, &self.secret)
    }

    fn add(&mut self, ready: &'a Ready, body: &Body) {
        self.shown.extend(&ready.told.shown);
        self.shown.extend(printed(ready.variant, body));
        self.secret.extend(&ready.told.secret);
        self.tasks.insert(ready.variant.task());
        self.one_of.extend(ready.variant.one_of.as_deref());
        self.keys.extend(ready.variant.numeric_key());
        self.digits.extend(ready.told.digits.iter().map(String::as_str));
        self.written.extend(ready.told.written.as_deref());
        self.facts.extend(ready.told.facts.iter().map(|(what, value)| (what.as_str(), value.as_str())));
        self.told.push(&ready.told);
        if let Some(rank) = body.right_letter() {
            *self.letters.entry(rank).or_default() += 1;
        }
    }
}

fn told_by(shown: &[Amount], secret: &[Amount]) -> bool {
    secret.iter().any(|answer| shown.iter().any(|one| one.tells(answer)))
}

/// The numbers of the options printed.
fn printed(variant: &Variant, body: &Body) -> Vec<Amount> {
    let texts: Vec<&String> = match body {
        Body::Choice(options) | Body::Truth { reasons: options, .. } => {
            options.iter().map(|one| &one.text).collect()
        }
        Body::Order { steps, .. } => steps.iter().collect(),
        Body::Number(_) => Vec::new(),
    };
    let valued = variant.numeric_key().is_some();
    let read = |text: &String| {
        if valued {
            Amount::in_value(&crate::page::Fig::new(text.clone(), "", false))
        } else {
            Amount::in_text(text)
        }
    };
    // A gear is called by a number that measures nothing: L2.
    let named = |text: &&String| text.chars().count() > 3 || !text.starts_with(char::is_alphabetic);
    texts.into_iter().filter(named).flat_map(read).collect()
}
