//! What a gear that the foot brake helps would come to without it.

use crate::engine::{Mark, Pair, Way};
use crate::page::figure::Show;

/// These reasons; where there are none why the foot brake helps, what its gear would come to without it.
pub(super) fn or_alone(reasons: Vec<String>, pair: &Pair, show: Show) -> Vec<String> {
    if pair.judged.mark != Mark::WithBrake || !reasons.is_empty() {
        return reasons;
    }
    let told = pair.way(Way::Geared).map(|told| &told.descent);
    let words = told.and_then(|descent| {
        let speed = show.speed(descent.top_speed.high, false).trimmed().text();
        Some(format!("{speed} in {}", descent.gear?))
    });
    words.into_iter().collect()
}
