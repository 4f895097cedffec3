//! Questions made from the formulas of the trade and the numbers of the course, and from items of judgement.

pub(super) mod choose;
pub(super) mod fleet;
pub(super) mod gear_choice;
pub(super) mod ground;
pub(super) mod judged;
pub(super) mod load;
pub(super) mod measured;
pub(super) mod recipe;

use super::family::Family;
use super::item::Variant;
use crate::course::{BankItem, Course, Gear, Gearbox, Level, Slope, Topic, Vehicle};
use crate::engine::{Reckoning, Standing, circumference_of, overall_ratio_of};
use recipe::{About, Recipe};

/// Most variants worked out for one kind of question.
const MOST: usize = 60;
/// Fastest creep speed of a gear asked about, m/s: 20 km/h is more than anybody descends with.
const FASTEST: f64 = 20.0 / 3.6;

/// What questions are made from.
pub(super) struct Scene<'a> {
    /// The course.
    pub course: &'a Course,
    /// What the engine knows.
    pub reckoning: &'a Reckoning,
    /// Whether only what has a place in the learners' quiz is wanted: the rest need not be worked.
    pub for_the_quiz: bool,
}

impl Scene<'_> {
    /// Slopes with the vehicles that may drive there today: nothing is asked of others.
    pub(super) fn pairs(&self) -> Vec<(&Slope, &Vehicle)> {
        let course = self.course;
        let all = course.slopes.iter().flat_map(|slope| course.vehicles.iter().map(move |one| (slope, one)));
        all.filter(|(slope, vehicle)| {
            self.reckoning.pair(&slope.id, &vehicle.id).is_some_and(|pair| pair.standing != Standing::NotHere)
        })
        .collect()
    }

    /// Gears whose creep speed is one of a descent, of vehicles whose engine is tied to the wheels: a
    /// converter that slips on overrun is not.
    pub(super) fn gears(&self) -> Vec<(&Vehicle, Gear)> {
        let tied = |vehicle: &&Vehicle| vehicle.transmission.gearbox != Gearbox::AutomaticUnlocked;
        let slow = |(vehicle, gear): &(&Vehicle, Gear)| {
            let turn = circumference_of(vehicle) * vehicle.engine.idle.si();
            turn / overall_ratio_of(vehicle, *gear) <= FASTEST
        };
        let vehicles = self.course.vehicles.iter().filter(tied);
        vehicles.flat_map(|one| one.gears().into_iter().map(move |gear| (one, gear))).filter(slow).collect()
    }
}

/// A kind of calculation: its recipes are asked as numbers and as choices.
pub(super) struct Kind {
    pub id: &'static str,
    pub topic: Topic,
    pub recipes: Vec<Recipe>,
    pub about: About,
}

/// Every family a course can fill: from its ground and fleet, and from items of judgement. What cannot be printed
/// with as many options as the course's papers have is left out.
pub fn families(course: &Course, reckoning: &Reckoning, bank: &[BankItem]) -> Vec<Family> {
    let scene = Scene { course, reckoning, for_the_quiz: false };
    families_of(&scene, bank, course.papers.options)
}

/// The same for so many options.
pub(super) fn families_of(scene: &Scene, bank: &[BankItem], options: u8) -> Vec<Family> {
    let mut all = calculated(scene);
    for item in bank {
        let id = format!("{}-{}-{}", item.topic.key(), item.level.key(), judged::answer_kind(item));
        let mut variants = judged::from_bank(item);
        if let Some(family) = all.iter_mut().find(|family| family.id == id) {
            family.variants.append(&mut variants);
            family.most += 1;
        } else {
            let (topic, level, marks) = (item.topic, item.level, item.marks());
            all.push(Family { id, topic, level, marks, most: 1, variants });
        }
    }
    for family in &mut all {
        family.variants.retain(|variant| variant.has_options(usize::from(options)));
        family.most = family.most.min(family.variants.len());
    }
    all.retain(|family| !family.variants.is_empty());
    all
}

/// Every family made from formulas.
fn calculated(scene: &Scene) -> Vec<Family> {
    let kinds = fleet::kinds(scene).into_iter().chain(ground::kinds(scene)).chain(load::kinds(scene));
    let mut all: Vec<Family> =
        kinds.flat_map(|kind| [numbers(scene, &kind), choices(scene, &kind)]).collect();
    all.extend(choose::families(scene));
    let chosen = gear_choice::variants(scene);
    all.push(Family::of("gear-choice".into(), Topic::Gearing, Level::Decide, true, chosen));
    all
}

fn numbers(scene: &Scene, kind: &Kind) -> Family {
    let variants: Vec<Variant> = wanted(scene, kind)
        .filter_map(|(at, recipe)| {
            recipe.number(format!("{}/number/{at}", kind.id), scene.course.units, &kind.about)
        })
        .collect();
    Family::of(format!("{}/number", kind.id), kind.topic, Level::Apply, false, variants)
}

fn choices(scene: &Scene, kind: &Kind) -> Family {
    // Recognising the right value among slips is easier than finding it.
    let about = About { ease: kind.about.ease + 0.08, ..kind.about };
    let variants: Vec<Variant> = wanted(scene, kind)
        .filter_map(|(at, recipe)| {
            recipe.choice(format!("{}/choice/{at}", kind.id), scene.course.units, &about)
        })
        .collect();
    Family::of(format!("{}/choice", kind.id), kind.topic, Level::Apply, false, variants)
}

/// The recipes of a kind that are worked out.
fn wanted<'k>(scene: &Scene, kind: &'k Kind) -> impl Iterator<Item = (usize, &'k Recipe)> {
    let all = !scene.for_the_quiz;
    spread(&kind.recipes).filter(move |(_, recipe)| all || recipe.has_theme())
}

/// Up to [`MOST`] of a list, evenly spread over it.
fn spread<T>(list: &[T]) -> impl Iterator<Item = (usize, &T)> {
    let step = list.len().div_ceil(MOST).max(1);
    list.iter().enumerate().step_by(step)
}
