//! A steep piece between two readings that the stretches found don't show: a step, or a reading that is wrong.

use super::ground::{Found, Ground};
use super::{Point, UNEVEN};

/// A vehicle stands on no less than this, m: what is steep over it counts. Judgement: a short wheelbase.
const OVER: f64 = 2.3;
/// Standard uncertainties by which two readings tell of a steeper piece.
const TELLS: f64 = 3.0;
/// A piece no steeper than the stretch by this is no news, rad: half of what a verdict allows for.
const NEWS: f64 = 0.5 * std::f64::consts::PI / 180.0;

/// Ground between two readings, steeper than the stretches found there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Steeper {
    /// Level distances of the readings from the first, m.
    pub from: f64,
    /// Of the lower one.
    pub to: f64,
    /// Below the horizontal, rad.
    pub gradient: f64,
    /// What the stretches found make of the same piece, rad.
    pub found: f64,
}

/// The piece that is steeper by most; none where the stretches show all that the readings tell.
pub(super) fn steeper(points: &[Point], ground: &Ground) -> Option<Steeper> {
    let pieces = points.iter().enumerate().filter_map(|(at, above)| {
        let below = points[at + 1..].iter().find(|below| below.at - above.at >= OVER - 1e-9)?;
        let level = below.at - above.at;
        let gradient = libm::atan2(above.height - below.height, level);
        let found = found(ground, above.at, below.at)?;
        let unsure = libm::hypot(libm::hypot(above.unsure, below.unsure), UNEVEN) / level;
        let by = gradient - found.gradient;
        (by > found.sure + NEWS + TELLS * unsure)
            .then_some((by, Steeper { from: above.at, to: below.at, gradient, found: found.gradient }))
    });
    pieces.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, steeper)| steeper)
}

/// The stretches found between two places, as one.
fn found(ground: &Ground, from: f64, to: f64) -> Option<Found> {
    let part = |one: &Found| (one.to.min(to) - one.from.max(from)).max(0.0);
    let level: f64 = ground.stretches.iter().map(part).sum();
    let fall: f64 = ground.stretches.iter().map(|one| part(one) * libm::tan(one.gradient)).sum();
    let sure = ground.stretches.iter().filter(|one| part(one) > 0.0).map(|one| one.sure).fold(0.0, f64::max);
    (level > 0.0).then(|| Found { from, to, gradient: libm::atan2(fall, level), sure })
}
