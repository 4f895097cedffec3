//! How a question is answered on one form: where its right option stands is drawn by lot.

use crate::paper::item::{Body, Opt, Stuff, Variant, Wrong};
use crate::paper::lot::Lot;
use crate::paper::making::recipe::AGAIN;

/// The answer of a question with exactly so many options, the right one at this rank if it can be; none when it has
/// too few wrong ones, or none of the size that the rank needs.
pub(super) fn body(variant: &Variant, options: usize, rank: usize, lot: &mut Lot) -> Option<Body> {
    Some(match &variant.stuff {
        Stuff::Number(number) => Body::Number(number.clone()),
        Stuff::Choice { right, wrong, sized } => {
            Body::Choice(arranged(right, wrong, *sized, options, rank, lot)?)
        }
        Stuff::Truth { holds, right, wrong } => {
            Body::Truth { holds: *holds, reasons: arranged(right, wrong, false, options, rank, lot)? }
        }
        Stuff::Order { steps, forced } => order(steps, forced, lot),
    })
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

/// Options with the right one at a rank. Values stand in the order of size, so which wrong ones are printed decides
/// the rank.
fn arranged(
    right: &Wrong,
    wrong: &[Wrong],
    sized: bool,
    options: usize,
    rank: usize,
    lot: &mut Lot,
) -> Option<Vec<Opt>> {
    let take = options - 1;
    let mut below: Vec<&Wrong> = wrong.iter().filter(|one| !sized || one.value < right.value).collect();
    let mut above: Vec<&Wrong> = wrong.iter().filter(|one| !sized || one.value >= right.value).collect();
    for side in [&mut below, &mut above] {
        lot.shuffle(side);
        // A usual slip says more of who chose it than a miscount.
        side.sort_by_key(|one| one.id.ends_with(AGAIN));
    }
    let mut chosen: Vec<&Wrong> = if sized {
        if below.len() < rank || above.len() < take - rank {
            return None;
        }
        below.into_iter().take(rank).chain(above.into_iter().take(take - rank)).collect()
    } else {
        below.into_iter().take(take).collect()
    };
    if chosen.len() < take {
        return None;
    }
    if sized {
        chosen.sort_by(|a, b| a.value.total_cmp(&b.value));
    }
    let mut printed: Vec<Opt> = chosen
        .into_iter()
        .map(|one| Opt { text: one.text.clone(), slip: Some((one.id.clone(), one.why.clone())) })
        .collect();
    printed.insert(rank, Opt { text: right.text.clone(), slip: None });
    Some(printed)
}

impl Variant {
    /// Whether it can be printed with so many options; numbers and orders have none.
    pub fn has_options(&self, options: usize) -> bool {
        match &self.stuff {
            Stuff::Choice { wrong, .. } | Stuff::Truth { wrong, .. } => wrong.len() + 1 >= options,
            Stuff::Number(_) | Stuff::Order { .. } => true,
        }
    }
}
