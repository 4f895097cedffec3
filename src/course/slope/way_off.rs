//! To which side of a slope people stand and get away: never towards an edge or water.

use super::Slope;
use super::edges::{apart, hand};
use super::site::{AreaOfSite, Hand, LineOfSite, Spot};
use crate::course::Course;

/// How far from the line an edge or water is still thought of, m: as far as somebody goes in a hurry without looking.
/// Common practice, no source.
const IN_A_HURRY: f64 = 30.0;
/// Room to stand and to get away on a side, m. Common practice, no source.
const ROOM: f64 = 15.0;

/// The sides of a slope that are free of edges and water, seen by the driver who comes down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WayOff {
    /// Nothing on the plan lies near on either.
    Either,
    /// One alone.
    Only(Hand),
    /// None has room enough; this one has more.
    Neither(Hand),
}

impl WayOff {
    /// Whether people stand on the driver's right: on the left, where both sides will do.
    pub fn is_right(self) -> bool {
        matches!(self, Self::Only(Hand::Right) | Self::Neither(Hand::Right))
    }
}

impl Course {
    /// The sides of a slope that are free, by the plan of the site; where there is no plan, neither is shut.
    pub fn way_off(&self, slope: &Slope) -> WayOff {
        let Some(plan) = &self.site_plan else { return WayOff::Either };
        let Some(placed) = plan.of_slope(&slope.id) else { return WayOff::Either };
        let lines = plan
            .lines
            .iter()
            .filter(|line| matches!(line.kind, LineOfSite::Edge { .. } | LineOfSite::Stream))
            .map(|line| line.line.clone());
        let water = plan.areas.iter().filter(|area| area.kind == AreaOfSite::Water).map(|area| {
            let first = area.corners.first().copied();
            area.corners.iter().copied().chain(first).collect::<Vec<Spot>>()
        });
        let driven = placed.driven();
        // Nearest on the left, nearest on the right.
        let mut nearest = [IN_A_HURRY; 2];
        for line in lines.chain(water) {
            let side = usize::from(hand(placed, &line) == Hand::Right);
            nearest[side] = nearest[side].min(apart(&driven, &line));
        }
        let [left, right] = nearest;
        let free = if right > left { Hand::Right } else { Hand::Left };
        match left.max(right) {
            _ if left.min(right) >= IN_A_HURRY => WayOff::Either,
            room if room >= ROOM => WayOff::Only(free),
            _ => WayOff::Neither(free),
        }
    }
}
