//! To which side of a slope people stand and get away: never towards an edge or water.

use super::Slope;
use super::edges::{apart, hand};
use super::site::Hand;
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
    /// The side that people leave to; none where both will do.
    pub fn side(self) -> Option<Hand> {
        match self {
            Self::Either => None,
            Self::Only(side) | Self::Neither(side) => Some(side),
        }
    }
}

impl Course {
    /// The sides of a slope that are free, by the plan of the site; where there is no plan, neither is shut.
    pub fn way_off(&self, slope: &Slope) -> WayOff {
        let Some(plan) = &self.site_plan else { return WayOff::Either };
        let Some(placed) = plan.of_slope(&slope.id) else { return WayOff::Either };
        let driven = placed.driven();
        // Nearest on the left, nearest on the right.
        let mut nearest = [IN_A_HURRY; 2];
        for line in plan.edges_and_water() {
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
