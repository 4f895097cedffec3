//! What of the site lies so near to a slope's line that it must be empty while a line is tight there.

use super::Slope;
use super::edges::apart;
use super::site::{LineOfSite, PointOfSite, SiteLine, SitePlan, SitePoint, Spot};

/// What stands too near to a loaded line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TooNear<'a> {
    /// A track or way: shut.
    Way(&'a SiteLine),
    /// A place that people are sent to, or where vehicles stand: empty.
    Place(&'a SitePoint),
    /// Where the others of a slope, by its identifier, wait and watch: empty.
    Waiting(&'a str),
}

impl SitePlan {
    /// What lies within a distance, m, of where a line on a slope may be loaded: from an anchor so far behind its brow,
    /// m, down the line driven and over the run-out, on which a vehicle that is let down ends.
    pub fn too_near(&self, slope: &Slope, behind_brow: f64, radius: f64) -> Vec<TooNear<'_>> {
        let Some(placed) = self.of_slope(&slope.id) else { return Vec::new() };
        let mut loaded = placed.driven();
        if let [brow, next, ..] = loaded[..] {
            let long = brow.to(next);
            if long > 0.0 {
                loaded.insert(0, next.towards(brow, 1.0 + behind_brow / long));
            }
        }
        let near = |spots: &[Spot]| match spots {
            [one] => apart(&[*one, *one], &loaded) <= radius,
            _ => apart(spots, &loaded) <= radius,
        };
        let ways = self.lines.iter().filter(|line| {
            matches!(line.kind, LineOfSite::Track | LineOfSite::AmbulanceWay) && near(&line.line)
        });
        let places = self
            .points
            .iter()
            .filter(|point| (point.kind.gathers() || point.kind == PointOfSite::Gate) && near(&[point.at]));
        let waiting = self.slopes.iter().filter(|other| other.waiting.is_some_and(|spot| near(&[spot])));
        (ways.map(TooNear::Way))
            .chain(places.map(TooNear::Place))
            .chain(waiting.map(|other| TooNear::Waiting(&other.slope)))
            .collect()
    }
}
