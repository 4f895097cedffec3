//! What of the ground belongs to a drawing: the edges and the water beside a slope, a place along a line.

use crate::course::{SitePlan, SlopePlan, Spot};

/// How far off an edge or water is still drawn with a slope, m. Judgement.
const NEAR: f64 = 15.0;

/// The nearest spot of each edge and of water beside a slope, its run-out and its way out: a drawing that leaves one out
/// looks like safe ground.
pub(super) fn beside(plan: &SitePlan, placed: &SlopePlan) -> Vec<Spot> {
    let driven: Vec<Spot> = placed.driven().into_iter().chain(placed.escape.iter().copied()).collect();
    let own = spots_of(&driven);
    let nearest = plan.edges_and_water().filter_map(|line| {
        let off = |spot: &Spot| own.iter().map(|at| at.to(*spot)).fold(f64::INFINITY, f64::min);
        let all = spots_of(&line).into_iter().map(|spot| (off(&spot), spot));
        all.min_by(|(a, _), (b, _)| a.total_cmp(b)).filter(|(off, _)| *off <= NEAR)
    });
    nearest.map(|(_, spot)| spot).collect()
}

/// Spots along a line, a metre apart at most.
fn spots_of(line: &[Spot]) -> Vec<Spot> {
    let mut all: Vec<Spot> = line.first().copied().into_iter().collect();
    for pair in line.windows(2) {
        let steps = libm::ceil(pair[0].to(pair[1])).max(1.0);
        let mut step = 1.0;
        while step <= steps {
            all.push(pair[0].towards(pair[1], step / steps));
            step += 1.0;
        }
    }
    all
}

/// The spot so many metres along a line, and the way the line runs there.
pub(super) fn along(line: &[Spot], metres: f64) -> Option<(Spot, [f64; 2])> {
    let mut left = metres;
    for (a, b) in line.iter().zip(&line[1..]) {
        let long = a.to(*b);
        if left <= long && long > 0.0 {
            let way = [(b.east - a.east) / long, (b.north - a.north) / long];
            return Some((a.towards(*b, left / long), way));
        }
        left -= long;
    }
    None
}
