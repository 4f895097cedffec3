//! One number, one value: the speed a pair may come to near a limit is the one its reasons give.

use slopepack::engine::{What, reckon};
use slopepack::page::Show;
use slopepack::page::words::near_speed;

use crate::pages::examples;

/// A speed that a reason gives for a tolerance is the one that cards, notes and table print as `up to`.
#[test]
fn no_card_is_surer_than_the_reasons() {
    let mut counted = 0;
    for pack in examples() {
        let course = &pack.course;
        let show = Show::new(course.units);
        let reckoning = reckon(course);
        for pair in &reckoning.pairs {
            let judged = &pair.judged;
            let over: Vec<f64> = judged
                .reasons
                .iter()
                .filter(|one| one.what == What::Speed && !one.decides && judged.mark.goes())
                .map(|one| one.value)
                .collect();
            assert_eq!(judged.near_speed, over.first().copied(), "{} {}", pair.slope, pair.vehicle);
            if let Some(most) = judged.near_speed {
                counted += 1;
                assert!(most > course.limits.descent_speed.si() && most >= judged.top_speed.high - 1e-9);
                let said = near_speed(judged, course.limits.descent_speed.si(), show);
                assert!(said.is_some_and(|said| said.starts_with("up to ") || said.starts_with("over ")));
            }
        }
    }
    assert!(counted > 8, "{counted}");
}
