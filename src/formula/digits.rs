//! How many digits a worked example needs: as few as keep every printed line true.

use crate::quantity::{Digits, Shown};

/// Digits that may be added before a worked example is given up.
const MOST_EXTRA: u8 = 6;

/// Digits beyond the usual ones, of each number given and of each result.
#[derive(Clone, Debug)]
pub(super) struct Extra {
    /// Of each number given.
    pub given: Vec<u8>,
    /// Of each result, the answer last.
    pub results: Vec<u8>,
}

impl Extra {
    /// Every way to add digits alike: few before many, on the way before in what is given, the answer last.
    pub(super) fn ways(given: usize, results: usize) -> impl Iterator<Item = Self> {
        let most = MOST_EXTRA;
        (0..=3 * most).flat_map(move |all| {
            (0..=all.min(most)).flat_map(move |answer| {
                (0..=(all - answer).min(most)).filter_map(move |start| {
                    let inner = all - answer - start;
                    let mut results = vec![inner; results];
                    *results.last_mut()? = answer;
                    (inner <= most).then(|| Self { given: vec![start; given], results })
                })
            })
        })
    }

    /// Without the digits that are not needed, those of what is given first.
    pub(super) fn pruned(mut self, is_enough: impl Fn(&Self) -> bool) -> Self {
        for place in 0..self.given.len() + self.results.len() {
            let least = (0..self.at(place)).find(|fewer| {
                let mut tried = self.clone();
                *tried.at_mut(place) = *fewer;
                is_enough(&tried)
            });
            if let Some(least) = least {
                *self.at_mut(place) = least;
            }
        }
        self
    }

    fn at(&self, place: usize) -> u8 {
        self.given.iter().chain(&self.results).copied().nth(place).unwrap_or(0)
    }

    fn at_mut(&mut self, place: usize) -> &mut u8 {
        self.given.iter_mut().chain(&mut self.results).nth(place).expect("a place of a number")
    }
}

/// A given number: exactly as known if two digits more say it, else rounded.
pub(crate) fn given_digits(value: f64, at_least: Digits, extra: u8) -> Shown {
    (0..=extra.max(2))
        .map(|more| Shown::of(value, at_least.finer(more)))
        .find(|shown| shown.exact)
        .unwrap_or_else(|| Shown::of(value, at_least.finer(extra)))
}

/// A result, with one digit more where rounding hangs on the last bit.
pub(super) fn result_digits(value: f64, digits: Digits) -> Option<Shown> {
    if !value.is_finite() {
        return None;
    }
    (0..3).map(|more| Shown::of(value, digits.finer(more))).find(|shown| !is_tie(value, shown))
}

fn is_tie(value: f64, shown: &Shown) -> bool {
    let decimals = shown.text.split_once('.').map_or(0, |(_, after)| after.len());
    let step = libm::pow(10.0, -f64::from(u32::try_from(decimals).unwrap_or(u32::MAX)));
    ((value - shown.value).abs() - step / 2.0).abs() < 1e-9 * value.abs().max(step)
}
