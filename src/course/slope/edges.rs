//! Edges of the site plan beside the ground a slope's wheels come to.

use super::site::{Beside, Hand, LineOfSite, SiteLine, SlopePlan, Spot};
use super::{DangerKind, Slope};
use crate::course::{Course, Label};
use crate::quantity::Length;

/// An edge of the plan that the ground falls away beyond, close to a slope.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EdgeBeside<'a> {
    /// What it is called on the plan.
    pub name: Option<&'a Label>,
    /// How far it falls.
    pub drop: Option<Length>,
    /// How far from the ground wheels come to, m: half of the slope's width beside the line and its run-out. 0 where
    /// it reaches into it.
    pub off: f64,
    /// On which side of the driver who comes down.
    pub hand: Hand,
}

impl Course {
    /// The edges of the plan that lie so near to a slope as the rule on near limits asks, the nearest first, without
    /// the one that the slope's own dangers tell of.
    pub fn edges_beside(&self, slope: &Slope) -> Vec<EdgeBeside<'_>> {
        let Some(plan) = &self.site_plan else { return Vec::new() };
        let Some(placed) = plan.of_slope(&slope.id) else { return Vec::new() };
        let half = SlopePlan::half_lane(slope);
        let edges = plan.lines.iter().filter_map(|line| match line.kind {
            LineOfSite::Edge { drop, .. } => Some((line, drop)),
            _ => None,
        });
        let mut near: Vec<EdgeBeside> = edges
            .map(|(line, drop)| {
                let off = (apart(&placed.driven(), &line.line) - half).max(0.0);
                EdgeBeside { name: line.name.as_ref(), drop, off, hand: hand(placed, &line.line) }
            })
            .filter(|edge| edge.off <= self.limits.near.edge.si())
            .collect();
        near.sort_by(|a, b| a.off.total_cmp(&b.off));
        let told = slope.hazards.iter().filter(|danger| danger.kind == Some(DangerKind::Edge)).count();
        near.drain(..told.min(near.len()));
        near
    }
}

impl Course {
    /// The tracks and ways of the plan that cross the line driven on a slope, or its run-out: whether the line or only the
    /// run-out.
    pub fn tracks_across(&self, slope: &Slope) -> Vec<(&SiteLine, bool)> {
        let Some(plan) = &self.site_plan else { return Vec::new() };
        let Some(placed) = plan.of_slope(&slope.id) else { return Vec::new() };
        let run_out = [&[placed.foot()][..], &placed.run_out].concat();
        let over = |line: &SiteLine, driven: &[Spot]| {
            let parts = line.line.windows(2).flat_map(|a| driven.windows(2).map(move |b| (a, b)));
            parts.into_iter().any(|(a, b)| crosses([a[0], a[1]], [b[0], b[1]]))
        };
        let tracks = plan
            .lines
            .iter()
            .filter(|line| matches!(line.kind, LineOfSite::Track | LineOfSite::AmbulanceWay));
        let across = tracks.filter_map(|line| {
            let on_the_line = over(line, &placed.line);
            (on_the_line || over(line, &run_out)).then_some((line, on_the_line))
        });
        across.collect()
    }
}

impl SiteLine {
    /// What people call it, or a track that has no name.
    pub fn called(&self) -> String {
        self.name.as_ref().map_or_else(|| "a track".to_owned(), Label::short)
    }

    /// How far the ground falls at it, m; 0 where nobody says, and at what is no edge.
    pub fn fall(&self) -> f64 {
        if let LineOfSite::Edge { drop: Some(drop), .. } = self.kind { drop.si() } else { 0.0 }
    }
}

/// The side of the driver on which a line lies where it is nearest.
pub(super) fn hand(placed: &SlopePlan, line: &[Spot]) -> Hand {
    let middles = line.windows(2).map(|pair| pair[0].towards(pair[1], 0.5));
    let besides = line.iter().copied().chain(middles).map(|spot| placed.beside(spot));
    let nearest = besides.min_by(|a: &Beside, b| a.off.total_cmp(&b.off));
    nearest.map_or(Hand::Left, |beside| beside.hand)
}

/// How near two lines come to each other, m; 0 where they cross.
pub(super) fn apart(a: &[Spot], b: &[Spot]) -> f64 {
    let parts = |line: &'_ [Spot]| line.windows(2).map(|pair| [pair[0], pair[1]]).collect::<Vec<_>>();
    let (a, b) = (parts(a), parts(b));
    let pairs = a.iter().flat_map(|a| b.iter().map(move |b| (*a, *b)));
    let gap = |(a, b): ([Spot; 2], [Spot; 2])| {
        if crosses(a, b) {
            return 0.0;
        }
        let ends = [to(a[0], b), to(a[1], b), to(b[0], a), to(b[1], a)];
        ends.into_iter().fold(f64::INFINITY, f64::min)
    };
    pairs.map(gap).fold(f64::INFINITY, f64::min)
}

/// From a spot to a straight piece, m.
fn to(spot: Spot, [a, b]: [Spot; 2]) -> f64 {
    let long = a.to(b);
    if long == 0.0 {
        return spot.to(a);
    }
    let along = (spot.east - a.east) * (b.east - a.east) + (spot.north - a.north) * (b.north - a.north);
    spot.to(a.towards(b, (along / (long * long)).clamp(0.0, 1.0)))
}

pub(super) fn crosses([a, b]: [Spot; 2], [c, d]: [Spot; 2]) -> bool {
    let side = |p: Spot, q: Spot, r: Spot| {
        (q.east - p.east) * (r.north - p.north) - (q.north - p.north) * (r.east - p.east)
    };
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}
