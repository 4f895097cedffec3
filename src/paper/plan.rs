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

/// Every number of questions with which a cell can be filled, fewest first.
fn fill(cell: Cell, families: &[Family], lot: &mut Lot) -> Result<Ways, Shortfall> {
    let mut fit: Vec<usize> = (0..families.len())
        .filter(|at| {
            let family = &families[*at];
            family.topic == cell.topic && family.level == cell.level && family.is_rich()
        })
        .collect();
    lot.shuffle(&mut fit);
    let units = units(&fit, families);
    let target = usize::from(cell.marks);
    // best[marks][count]: the families used to reach these marks with so many questions.
    let mut best: Vec<Vec<Option<Vec<usize>>>> = vec![vec![None; target + 1]; target + 1];
    best[0][0] = Some(Vec::new());
    for family in units {
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
    let most = (0..target).rev().find(|sum| best[*sum].iter().any(Option::is_some)).unwrap_or(0);
    Err(shortfall(cell, families, most))
}

/// Each family once, then each that allows it a second time, and so on: variety before repetition.
fn units(fit: &[usize], families: &[Family]) -> Vec<usize> {
    let rounds = fit.iter().map(|at| families[*at].most).max().unwrap_or(0);
    (0..rounds).flat_map(|round| fit.iter().copied().filter(move |at| families[*at].most > round)).collect()
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
