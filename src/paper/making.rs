//! Questions made from the formulas of the trade and the numbers of the course.

pub mod choose;
pub mod fleet;
pub mod ground;
pub mod load;

use super::family::Family;
use super::item::Variant;
use super::recipe::{About, Recipe};
use crate::course::{Course, Level, Topic};
use crate::engine::Reckoning;

/// Most variants worked out for one kind of question.
const MOST: usize = 60;

/// What questions are made from.
pub struct Scene<'a> {
    /// The course.
    pub course: &'a Course,
    /// What the engine knows.
    pub reckoning: &'a Reckoning,
}

/// A kind of calculation: its recipes are asked as numbers and as choices.
pub struct Kind {
    pub id: &'static str,
    pub topic: Topic,
    pub recipes: Vec<Recipe>,
    pub about: About,
}

/// Every family made from formulas.
pub fn families(scene: &Scene) -> Vec<Family> {
    let kinds = fleet::kinds(scene).into_iter().chain(ground::kinds(scene)).chain(load::kinds(scene));
    let mut all: Vec<Family> =
        kinds.flat_map(|kind| [numbers(scene, &kind), choices(scene, &kind)]).collect();
    all.extend(choose::families(scene));
    all
}

fn numbers(scene: &Scene, kind: &Kind) -> Family {
    let variants: Vec<Variant> = spread(&kind.recipes)
        .filter_map(|(at, recipe)| {
            recipe.number(format!("{}/number/{at}", kind.id), scene.course.units, &kind.about)
        })
        .collect();
    Family::of(format!("{}/number", kind.id), kind.topic, Level::Apply, false, variants)
}

fn choices(scene: &Scene, kind: &Kind) -> Family {
    // Recognising the right value among slips is easier than finding it.
    let about = About { ease: kind.about.ease + 0.08, ..kind.about };
    let variants: Vec<Variant> = spread(&kind.recipes)
        .filter_map(|(at, recipe)| {
            recipe.choice(format!("{}/choice/{at}", kind.id), scene.course.units, &about)
        })
        .collect();
    Family::of(format!("{}/choice", kind.id), kind.topic, Level::Apply, false, variants)
}

/// Up to [`MOST`] of a list, evenly spread over it.
fn spread<T>(list: &[T]) -> impl Iterator<Item = (usize, &T)> {
    let step = list.len().div_ceil(MOST).max(1);
    list.iter().enumerate().step_by(step)
}
