//! The course's own rules for recoveries, brought to the verdicts: what may not be fetched or hung on a line
//! may not drive where a rule says so.

use super::Fetch;
use crate::course::{Course, NotFetched};
use crate::engine::{Reckoning, What};

/// Whether a rule of the course can keep a vehicle from driving, so that recoveries decide verdicts.
pub fn binds(course: &Course) -> bool {
    course.recovery.rated_point || course.recovery.not_fetched == NotFetched::NoGo
}

/// Refuses every pair that a rule keeps off; the reason stands with the others.
pub fn apply(course: &Course, reckoning: &mut Reckoning, fetch: &[Fetch]) {
    for told in fetch.iter().filter(|told| !told.may_drive) {
        let here = |slope: &str, vehicle: &str| slope == told.slope && vehicle == told.vehicle;
        let Some(pair) = reckoning.pairs.iter_mut().find(|pair| here(&pair.slope, &pair.vehicle)) else {
            continue;
        };
        if course.recovery.rated_point && !told.rated_point {
            pair.judged.refuse(What::RatedPoint, 0.0, 1.0);
        } else {
            #[expect(clippy::cast_precision_loss, reason = "a few ways of being stuck")]
            pair.judged.refuse(What::NotFetched, told.not_when.len() as f64, 0.0);
        }
        pair.standing = pair.judged.mark.into();
    }
}
