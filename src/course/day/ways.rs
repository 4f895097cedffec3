//! How long people and vehicles are on their way from one place of the rota to another.

use std::collections::BTreeSet;

use crate::course::{Course, PointOfSite, Spot};
use crate::quantity::Speed;

/// A way over the ground is as much longer than the line from foot to brow: along two sides of a square instead of
/// its diagonal. Judgement, no source.
const DETOUR: f64 = std::f64::consts::SQRT_2;

/// How fast somebody walks over a site where the course says no pace, m/s: 4 km/h. Judgement, no source.
const ON_FOOT: f64 = 4.0 / 3.6;

/// What the course says of the ways between the places of its rota.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ways {
    /// Minutes between places of which nothing else is said.
    pub usual: Option<u16>,
    /// How fast one gets on between slopes that are on the site plan.
    pub pace: Option<Speed>,
    /// Ways that were timed.
    pub timed: Vec<Timed>,
}

/// A way that was timed, the same there and back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Timed {
    /// Its ends: a slope's identifier, or none for where the lesson is.
    pub ends: [Option<String>; 2],
    /// Minutes.
    pub minutes: u16,
}

impl Course {
    /// Minutes from one place of the rota to another, slopes by their place in the course and none for the lesson: as
    /// timed; else over the ground of the site plan at the pace; else the usual. 0 where the course says nothing.
    pub fn way(&self, one: Option<usize>, two: Option<usize>) -> u16 {
        let Some(ways) = self.rota.as_ref().and_then(|rules| rules.ways.as_ref()) else { return 0 };
        if one == two {
            return 0;
        }
        let id = |place: Option<usize>| place.map(|at| self.slopes[at].id.as_str());
        let (one, two) = (id(one), id(two));
        let same = |timed: &&Timed| {
            let [first, second] = &timed.ends;
            let ends = (first.as_deref(), second.as_deref());
            ends == (one, two) || ends == (two, one)
        };
        let timed = ways.timed.iter().find(same).map(|timed| timed.minutes);
        let over_ground = || {
            let metres = self.apart(one?, two?)? * DETOUR;
            Some(whole_minutes(metres / ways.pace?.si()))
        };
        timed.or_else(over_ground).or(ways.usual).unwrap_or(0)
    }

    /// Minutes from the foot of a slope to a place of the site plan, at the pace of the ways; none where one of them is
    /// not on it.
    pub(crate) fn minutes_to(&self, slope: usize, place: PointOfSite) -> Option<u16> {
        let plan = self.site_plan.as_ref()?;
        let (to, id) = (plan.point(place)?.at, &self.slopes[slope].id);
        let foot = plan.slopes.iter().find(|one| one.slope == *id)?.foot();
        let pace = self.rota.as_ref().and_then(|rules| rules.ways.as_ref()?.pace);
        Some(whole_minutes(foot.to(to) * DETOUR / pace.map_or(ON_FOOT, Speed::si)))
    }

    /// How long the ways between the places of the rota are that are open today, minutes; each length once.
    pub fn lengths_of_ways(&self) -> BTreeSet<u16> {
        let slopes = || (0..self.slopes.len()).filter(|slope| self.drives_today(*slope));
        let lesson = self.rota.as_ref().is_some_and(|rules| rules.theory.is_some());
        let places = || slopes().map(Some).chain(lesson.then_some(None));
        let lengths = places().flat_map(|one| places().map(move |two| self.way(one, two)));
        lengths.filter(|minutes| *minutes > 0).collect()
    }

    /// From the foot of one slope to the brow of another as the crow flies, m: the longer of there and back. None where
    /// one is not on the site plan.
    fn apart(&self, one: &str, two: &str) -> Option<f64> {
        let plan = self.site_plan.as_ref()?;
        let ends = |id: &str| -> Option<[Spot; 2]> {
            let slope = plan.slopes.iter().find(|slope| slope.slope == id)?;
            Some([*slope.line.first()?, *slope.line.last()?])
        };
        let ([brow_one, foot_one], [brow_two, foot_two]) = (ends(one)?, ends(two)?);
        Some(f64::max(foot_one.to(brow_two), foot_two.to(brow_one)))
    }
}

/// Whole minutes of seconds, rounded up.
pub(in crate::course) fn whole_minutes(seconds: f64) -> u16 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "bounded by a day")]
    let minutes = libm::ceil(seconds / 60.0 - 1e-9).clamp(0.0, 1440.0) as u16;
    minutes
}
