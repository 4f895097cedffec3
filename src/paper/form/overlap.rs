//! Which questions forms share, and how often each was on a paper before.

use std::collections::BTreeMap;

use super::Form;

/// How often each task stood on papers of earlier runs.
pub type Exposure = BTreeMap<String, usize>;

/// What any two forms of a run share.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Overlap {
    /// Greatest share of the questions of a form that another has too, 0 to 1.
    pub most: f64,
    /// Mean of that share over all pairs.
    pub mean: f64,
}

impl Overlap {
    /// Of all pairs of forms; nothing is shared where there is but one.
    pub fn of(forms: &[Form]) -> Self {
        let mut shares = Vec::new();
        for (at, one) in forms.iter().enumerate() {
            for other in &forms[..at] {
                let tasks: Vec<&str> =
                    other.questions.iter().map(|question| question.variant.task()).collect();
                let shared = one.questions.iter().filter(|question| tasks.contains(&question.variant.task()));
                shares.push(share(shared.count(), one.questions.len()));
            }
        }
        let most = shares.iter().copied().fold(0.0, f64::max);
        let count = f64::from(u32::try_from(shares.len().max(1)).unwrap_or(u32::MAX));
        Self { most, mean: shares.iter().sum::<f64>() / count }
    }
}

/// A count as a share of another.
pub(super) fn share(part: usize, of: usize) -> f64 {
    let count = |n: usize| f64::from(u32::try_from(n).unwrap_or(u32::MAX));
    count(part) / count(of.max(1))
}

/// What has been on forms already: which forms have a task, and how often it was seen before.
#[derive(Default)]
pub(super) struct Used {
    forms: BTreeMap<String, Vec<usize>>,
    earlier: Exposure,
    count: usize,
}

impl Used {
    /// Nothing yet but what earlier runs printed.
    pub(super) fn after(earlier: &Exposure) -> Self {
        Self { earlier: earlier.clone(), ..Self::default() }
    }

    /// Takes a form in.
    pub(super) fn add<'a>(&mut self, tasks: impl Iterator<Item = &'a str>) {
        for task in tasks {
            self.forms.entry(task.to_owned()).or_default().push(self.count);
        }
        self.count += 1;
    }

    /// Forms that have a task.
    pub(super) fn owners(&self, task: &str) -> &[usize] {
        self.forms.get(task).map_or(&[], Vec::as_slice)
    }

    /// How often a task was on a paper, earlier runs included.
    pub(super) fn times(&self, task: &str) -> usize {
        self.owners(task).len() + self.earlier.get(task).copied().unwrap_or(0)
    }

    /// A tally of what a new form shares with each form so far.
    pub(super) fn tally(&self) -> Vec<usize> {
        vec![0; self.count]
    }
}
