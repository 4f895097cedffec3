//! Filling a blueprint with kinds of question: the same places on every form.

use super::family::Family;
use super::lot::Lot;
use crate::course::{Blueprint, Cell};

/// A place on every form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Slot {
    /// The family its questions come from, by place in the list.
    pub family: usize,
    /// Marks.
    pub marks: u16,
}

/// The places of a blueprint, in the order of its cells.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plan {
    /// The places.
    pub slots: Vec<Slot>,
}

/// A cell that cannot be filled, or a length that cannot be met.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shortfall {
    /// What is short, by how much, and what would help.
    pub message: String,
}

/// A blueprint as far as a course can ask it, with what was left out; none when nothing can be asked.
pub fn fitted(blueprint: &Blueprint, families: &[Family]) -> Option<(Blueprint, Vec<String>)> {
    let mut lot = Lot::new(0, 0);
    let (mut cells, mut left_out) = (Vec::new(), Vec::new());
    for cell in &blueprint.cells {
        let fits = |marks: &u16| fill(Cell { marks: *marks, ..*cell }, families, &mut lot).is_ok();
        let marks = (1..=cell.marks).rev().find(fits).unwrap_or(0);
        if marks < cell.marks {
            let (topic, level) = (cell.topic.title(), cell.level.key());
            left_out.push(format!("{topic}, {level}: {marks} of {} marks", cell.marks));
        }
        if marks > 0 {
            cells.push(Cell { marks, ..*cell });
        }
    }
    (!cells.is_empty()).then(|| (Blueprint { cells, ..blueprint.clone() }, left_out))
}

/// Places of a plan whose family has too few tasks for forms that need not share them: topic and level, tasks, and how
/// many there should be.
pub(super) fn too_small(plan: &Plan, families: &[Family]) -> Vec<String> {
    let mut said: Vec<String> = Vec::new();
    for slot in &plan.slots {
        let family = &families[slot.family];
        let places = plan.slots.iter().filter(|other| other.family == slot.family).count();
        let wanted = places * TASKS_A_PLACE;
        if family.tasks() < wanted {
            let (topic, level) = (family.topic.title(), family.level.key());
            let line = format!("{topic}, {level} ({}): {} of {wanted}", family.id, family.tasks());
            if !said.contains(&line) {
                said.push(line);
            }
        }
    }
    said
}

/// Ways to fill a cell: for each number of questions the families used.
type Ways = Vec<(usize, Vec<usize>)>;

/// Fills every cell exactly, with the number of questions asked for.
///
/// # Errors
/// Every cell that is short, or the lengths that would be possible.
pub fn plan(blueprint: &Blueprint, families: &[Family], seed: u64) -> Result<Plan, Vec<Shortfall>> {
    let mut lot = Lot::new(seed, 0);
    let mut ways = Vec::new();
    let mut short = Vec::new();
    for cell in &blueprint.cells {
        match fill(*cell, families, &mut lot) {
            Ok(found) => ways.push(found),
            Err(shortfall) => short.push(shortfall),
        }
    }
    if !short.is_empty() {
        return Err(short);
    }
    let chosen = match blueprint.questions {
        Some(wanted) => with_length(&ways, usize::from(wanted)).map_err(|shortfall| vec![shortfall])?,
        None => ways.iter().map(|ways| ways[ways.len() / 2].1.clone()).collect(),
    };
    let slot = |family: usize| Slot { family, marks: families[family].marks };
    Ok(Plan { slots: chosen.into_iter().flatten().map(slot).collect() })
}

/// Tasks that a family has for each of its questions on a form, so that forms need not share them.
pub(super) const TASKS_A_PLACE: usize = 3;

/// Every number of questions with which a cell can be filled, fewest first: from families that have tasks enough for
/// several forms, from all where those do not reach.
fn fill(cell: Cell, families: &[Family], lot: &mut Lot) -> Result<Ways, Shortfall> {
    let mut fit: Vec<usize> = (0..families.len())
        .filter(|at| {
            let family = &families[*at];
            family.topic == cell.topic && family.level == cell.level && family.is_rich()
        })
        .collect();
    lot.shuffle(&mut fit);
    let apart = |at: &usize| families[*at].most.min(families[*at].tasks() / TASKS_A_PLACE);
    let all = |at: &usize| families[*at].most;
    match reached(cell, families, &units(&fit, apart)) {
        Ok(ways) => Ok(ways),
        Err(_) => reached(cell, families, &units(&fit, all)).map_err(|most| shortfall(cell, families, most)),
    }
}

/// Every number of questions that come to the marks of a cell, or the most marks below it.
fn reached(cell: Cell, families: &[Family], units: &[usize]) -> Result<Ways, usize> {
    let target = usize::from(cell.marks);
    // best[marks][count]: the families used to reach these marks with so many questions.
    let mut best: Vec<Vec<Option<Vec<usize>>>> = vec![vec![None; target + 1]; target + 1];
    best[0][0] = Some(Vec::new());
    for family in units.iter().copied() {
        let marks = usize::from(families[family].marks);
        for sum in (marks..=target).rev() {
            for count in (1..=target).rev() {
                let Some(before) = best[sum - marks][count - 1].clone() else { continue };
                if best[sum][count].is_none() {
                    best[sum][count] = Some(before.into_iter().chain([family]).collect());
                }
            }
        }
    }
    let ways: Ways =
        best[target].iter().enumerate().filter_map(|(count, way)| Some((count, way.clone()?))).collect();
    if !ways.is_empty() {
        return Ok(ways);
    }
    Err((0..target).rev().find(|sum| best[*sum].iter().any(Option::is_some)).unwrap_or(0))
}

/// Each family once, then each that allows it a second time, and so on: variety before repetition.
fn units(fit: &[usize], most: impl Fn(&usize) -> usize) -> Vec<usize> {
    let rounds = fit.iter().map(&most).max().unwrap_or(0);
    (0..rounds)
        .flat_map(|round| fit.iter().copied().filter(|at| most(at) > round).collect::<Vec<_>>())
        .collect()
}

fn shortfall(cell: Cell, families: &[Family], most: usize) -> Shortfall {
    let poor: Vec<&str> = families
        .iter()
        .filter(|family| family.topic == cell.topic && family.level == cell.level && !family.is_rich())
        .map(|family| family.id.as_str())
        .collect();
    let left_out = if poor.is_empty() {
        String::new()
    } else {
        format!(
            " Left out, because this ground and fleet give fewer than six different answers: {}.",
            poor.join(", ")
        )
    };
    let (topic, level) = (cell.topic.title().to_lowercase(), cell.level.key());
    let wanted = usize::from(cell.marks);
    Shortfall {
        message: format!(
            "the blueprint wants {wanted} marks of {topic} at the level {level}, but the course and its items \
             give {most}: {} short.{left_out} Add items of this topic and level to a file named under `bank`, \
             or ask for fewer marks.",
            wanted - most
        ),
    }
}

/// A way for each cell so that the questions come to the number wanted.
fn with_length(ways: &[Ways], wanted: usize) -> Result<Vec<Vec<usize>>, Shortfall> {
    let mut reached: Vec<(usize, Vec<usize>)> = vec![(0, Vec::new())];
    for ways in ways {
        let mut next: Vec<(usize, Vec<usize>)> = Vec::new();
        for (sum, chosen) in &reached {
            for (place, (count, _)) in ways.iter().enumerate() {
                if next.iter().all(|(known, _)| *known != sum + count) {
                    next.push((sum + count, chosen.iter().copied().chain([place]).collect()));
                }
            }
        }
        reached = next;
    }
    if let Some((_, chosen)) = reached.iter().find(|(sum, _)| *sum == wanted) {
        return Ok(chosen.iter().zip(ways).map(|(place, ways)| ways[*place].1.clone()).collect());
    }
    reached.sort_by_key(|(sum, _)| *sum);
    let counts: Vec<String> = reached.iter().map(|(sum, _)| sum.to_string()).collect();
    Err(Shortfall {
        message: format!(
            "`questions: {wanted}` cannot be met with these cells; possible are {}",
            counts.join(", ")
        ),
    })
}
