//! Which questions forms share, and how often each was on a paper before.

use std::collections::{BTreeMap, BTreeSet};

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
        let (mut most, mut sum, mut count) = (0.0_f64, 0.0, 0_u32);
        // Who has a task is looked up, not searched for: there may be thousands of forms.
        let mut owners: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
        for (at, one) in forms.iter().enumerate() {
            let mut tally = vec![0; at];
            let tasks = || one.questions.iter().map(|question| question.variant.task());
            for other in tasks().filter_map(|task| owners.get(task)).flatten() {
                tally[*other] += 1;
            }
            for shared in tally {
                let share = share(shared, one.questions.len());
                (most, sum, count) = (most.max(share), sum + share, count + 1);
            }
            for task in tasks().collect::<BTreeSet<_>>() {
                owners.entry(task).or_default().push(at);
            }
        }
        Self { most, mean: sum / f64::from(count.max(1)) }
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
