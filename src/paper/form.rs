//! Parallel forms: for the same plan each draws its own numbers and items.

use std::collections::BTreeSet;

use super::code::draft_code;
use super::family::Family;
use super::item::{Body, Opt, Question, Stuff, Variant, Wrong};
use super::lot::Lot;
use super::plan::{Plan, Shortfall, Slot};

/// Forms drawn for each one kept: the one whose predicted difficulty is nearest to the plan's.
const DRAWS: u64 = 8;
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

    /// Its numeric answers, as printed, with their units.
    pub fn numeric_keys(&self) -> BTreeSet<String> {
        self.questions.iter().filter_map(|question| question.variant.numeric_key()).collect()
    }
}

/// A question for each place of the plan.
type Draw = Vec<(usize, Variant)>;

/// How often each rank was the right one, over all forms: by number of options, then rank.
#[derive(Default)]
struct Ranks([[u32; 6]; 6]);

/// So many forms of a plan. Neighbours, the last and the first included, share no numeric answer.
///
/// # Errors
/// The questions that would be needed, when the families are too small for that.
pub fn forms(
    plan: &Plan,
    families: &[Family],
    options: u8,
    count: usize,
    seed: u64,
) -> Result<Vec<Form>, Shortfall> {
    let target = expected(plan, families);
    let mut made: Vec<Form> = Vec::new();
    let mut ranks = Ranks::default();
    for number in 0..count {
        let mut taken = BTreeSet::new();
        let last = number + 1 == count && count > 2;
        for neighbour in made.last().into_iter().chain(made.first().filter(|_| last)) {
            taken.extend(neighbour.numeric_keys());
        }
        let recent: BTreeSet<&str> = made
            .last()
            .into_iter()
            .flat_map(|form| form.questions.iter().map(|question| question.variant.name.as_str()))
            .collect();
        let mut best: Option<(f64, Draw, Lot)> = None;
        for draw in 0..MOST_DRAWS {
            if draw >= DRAWS && best.is_some() {
                break;
            }
            let stream = 1 + u64::try_from(number).unwrap_or(0) * MOST_DRAWS + draw;
            let mut lot = Lot::new(seed, stream);
            let Some(drawn) = draw_variants(plan, families, &taken, &recent, &mut lot) else { continue };
            let off = (predicted(plan, &drawn) - target).abs();
            if best.as_ref().is_none_or(|(least, ..)| off < *least) {
                best = Some((off, drawn, lot));
            }
        }
        let Some((_, drawn, mut lot)) = best else { return Err(too_small(number)) };
        let mut questions: Vec<Question> = drawn
            .into_iter()
            .map(|(slot, variant)| {
                let family = &families[plan.slots[slot].family];
                let body = body(&variant, usize::from(options), &mut ranks, &mut lot);
                let (topic, level, marks) = (family.topic, family.level, family.marks);
                Question { slot, topic, level, marks, variant, body }
            })
            .collect();
        lot.shuffle(&mut questions);
        let code = draft_code(seed, number, |code| made.iter().any(|form| form.code == code));
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

/// Share of the marks expected over everything a plan could draw.
fn expected(plan: &Plan, families: &[Family]) -> f64 {
    let mean = |slot: &Slot| {
        let variants = &families[slot.family].variants;
        let count = u32::try_from(variants.len()).unwrap_or(u32::MAX);
        variants.iter().map(|variant| variant.ease).sum::<f64>() / f64::from(count)
    };
    weighted(plan, plan.slots.iter().map(mean))
}

fn predicted(plan: &Plan, drawn: &[(usize, Variant)]) -> f64 {
    weighted(plan, drawn.iter().map(|(_, variant)| variant.ease))
}

fn weighted(plan: &Plan, eases: impl Iterator<Item = f64>) -> f64 {
    let total: f64 = plan.slots.iter().map(|slot| f64::from(slot.marks)).sum();
    plan.slots.iter().zip(eases).map(|(slot, ease)| f64::from(slot.marks) * ease).sum::<f64>() / total
}

/// One question for each place: no answer of a neighbour, no answer printed anywhere on the form,
/// and where there is a choice no question that the form before has.
fn draw_variants(
    plan: &Plan,
    families: &[Family],
    taken: &BTreeSet<String>,
    recent: &BTreeSet<&str>,
    lot: &mut Lot,
) -> Option<Draw> {
    let mut drawn: Draw = Vec::new();
    let mut printed = BTreeSet::new();
    let mut keys = BTreeSet::new();
    for (place, slot) in plan.slots.iter().enumerate() {
        let variants = &families[slot.family].variants;
        let mut order: Vec<usize> = (0..variants.len()).collect();
        lot.shuffle(&mut order);
        order.sort_by_key(|at| recent.contains(variants[*at].name.as_str()));
        let found = order.into_iter().map(|at| &variants[at]).find(|variant| {
            let fresh = variant.numeric_key().is_none_or(|key| !taken.contains(&key));
            let unused = drawn.iter().all(|(_, other)| other.name != variant.name);
            fresh && unused && keeps_secret(variant, &printed, &keys) && differs(variant, &drawn)
        })?;
        printed.extend(found.printed_numbers());
        keys.extend(secret(found));
        drawn.push((place, found.clone()));
    }
    Some(drawn)
}

/// Whether it asks for something else than the questions before it: no two with the same answer.
fn differs(variant: &Variant, drawn: &[(usize, Variant)]) -> bool {
    let key = variant.numeric_key();
    drawn.iter().all(|(_, other)| key.is_none() || other.numeric_key() != key)
}

/// The digits that must stand nowhere on the form.
fn secret(variant: &Variant) -> Option<String> {
    match &variant.stuff {
        Stuff::Number(number) => Some(number.key.text.clone()),
        _ => None,
    }
}

fn keeps_secret(variant: &Variant, printed: &BTreeSet<String>, keys: &BTreeSet<String>) -> bool {
    let own = variant.printed_numbers();
    // A whole number of two figures could be met anywhere on a paper.
    let hidden = secret(variant).is_none_or(|key| {
        (key.contains('.') || key.len() > 2) && !printed.contains(&key) && !own.contains(&key)
    });
    hidden && own.iter().all(|number| !keys.contains(number))
}

fn body(variant: &Variant, options: usize, ranks: &mut Ranks, lot: &mut Lot) -> Body {
    match &variant.stuff {
        Stuff::Number(number) => Body::Number(number.clone()),
        Stuff::Choice { right, wrong, sized } => {
            Body::Choice(arranged(right, wrong, *sized, options, ranks, lot))
        }
        Stuff::Truth { holds, right, wrong } => {
            Body::Truth { holds: *holds, reasons: arranged(right, wrong, false, options, ranks, lot) }
        }
        Stuff::Order { steps, forced } => order(steps, forced, lot),
    }
}

/// Steps in an order that is not a right one.
fn order(steps: &[String], forced: &[(usize, usize)], lot: &mut Lot) -> Body {
    let mut places: Vec<usize> = (0..steps.len()).collect();
    let place = |places: &[usize], step: usize| places.iter().position(|at| *at == step).expect("placed");
    while forced.iter().all(|(a, b)| place(&places, *a) < place(&places, *b)) {
        lot.shuffle(&mut places);
    }
    let printed = places.iter().map(|at| steps[*at].clone()).collect();
    let key = (0..steps.len()).map(|step| place(&places, step)).collect();
    let forced = forced.iter().map(|(a, b)| (place(&places, *a), place(&places, *b))).collect();
    Body::Order { steps: printed, key, forced }
}

/// Options with the right one at the rank used least so far among those that can be had: for values
/// in the order of size, which wrong ones are printed decides its rank.
fn arranged(
    right: &Wrong,
    wrong: &[Wrong],
    sized: bool,
    options: usize,
    ranks: &mut Ranks,
    lot: &mut Lot,
) -> Vec<Opt> {
    let take = wrong.len().min(options - 1);
    let mut below: Vec<&Wrong> = wrong.iter().filter(|one| !sized || one.value < right.value).collect();
    let mut above: Vec<&Wrong> = wrong.iter().filter(|one| !sized || one.value >= right.value).collect();
    lot.shuffle(&mut below);
    lot.shuffle(&mut above);
    let possible: Vec<usize> =
        (0..=take).filter(|rank| !sized || (*rank <= below.len() && take - rank <= above.len())).collect();
    let used = &mut ranks.0[take.min(5)];
    let least = possible.iter().map(|rank| used[*rank]).min().unwrap_or(0);
    let rarest: Vec<usize> = possible.into_iter().filter(|rank| used[*rank] == least).collect();
    let rank = rarest[lot.below(rarest.len())];
    used[rank] += 1;
    let mut chosen: Vec<&Wrong> = if sized {
        below.into_iter().take(rank).chain(above.into_iter().take(take - rank)).collect()
    } else {
        below.into_iter().take(take).collect()
    };
    if sized {
        chosen.sort_by(|a, b| a.value.total_cmp(&b.value));
    }
    let mut printed: Vec<Opt> = chosen
        .into_iter()
        .map(|one| Opt { text: one.text.clone(), slip: Some((one.id.clone(), one.why.clone())) })
        .collect();
    printed.insert(rank, Opt { text: right.text.clone(), slip: None });
    printed
}
