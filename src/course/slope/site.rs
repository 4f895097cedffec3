//! The ground from above: where the slopes lie on the site, and what stands between them.

use super::Slope;
use crate::course::{Label, Remark};
use crate::quantity::Length;

/// A place on the ground, m east and m north of the plan's origin.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Spot {
    /// Metres east; negative to the west.
    pub east: f64,
    /// Metres north; negative to the south.
    pub north: f64,
}

impl Spot {
    /// As the crow flies over level ground, m.
    pub fn to(self, other: Self) -> f64 {
        libm::hypot(other.east - self.east, other.north - self.north)
    }

    /// The spot a part of the way to another: 0 here, 1 there.
    #[must_use]
    pub fn towards(self, other: Self, part: f64) -> Self {
        Self {
            east: self.east + part * (other.east - self.east),
            north: self.north + part * (other.north - self.north),
        }
    }
}

/// Which north the plan's north is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum North {
    /// Towards the pole: the one that goes with latitude and longitude.
    True,
    /// Of a map's grid.
    Grid,
    /// Of a compass.
    Magnetic,
}

/// Where the plan's coordinates begin.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Origin {
    /// What stands there: a gate post, a corner of a house.
    pub is: Option<Remark>,
    /// Latitude and longitude, degrees; south and west negative.
    pub degrees: Option<[f64; 2]>,
    /// Its grid reference, as the map writes it.
    pub grid: Option<Label>,
}

/// The ground from above.
#[derive(Clone, Debug, PartialEq)]
pub struct SitePlan {
    /// Where the coordinates begin.
    pub origin: Origin,
    /// Which north; none where the course does not say.
    pub north: Option<North>,
    /// How far off a spot may be, m.
    pub accurate_to: Length,
    /// The slopes that are on it, in the order they were written.
    pub slopes: Vec<SlopePlan>,
    /// Single places.
    pub points: Vec<SitePoint>,
    /// Edges, tracks, ways.
    pub lines: Vec<SiteLine>,
    /// Areas, by their corners.
    pub areas: Vec<SiteArea>,
}

/// A slope on the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct SlopePlan {
    /// The slope's identifier.
    pub slope: String,
    /// The line driven: brow, bends, foot.
    pub line: Vec<Spot>,
    /// On from the foot to the end of the run-out; straight on, as long as it was measured, where the course
    /// does not say.
    pub run_out: Vec<Spot>,
    /// Where the spotter stands.
    pub spotter: Option<Spot>,
    /// Where the assessor of a practical stands.
    pub assessor: Option<Spot>,
    /// Where somebody stands with the throw line, where there is water.
    pub bank: Option<Spot>,
    /// Where its marshals stand.
    pub marshals: Vec<Spot>,
    /// Where the others wait and watch.
    pub waiting: Option<Spot>,
    /// How a vehicle leaves the run-out.
    pub way_out: Vec<Spot>,
    /// The way out of a line that leans: from a spot on the line straight down to the end of what lies beyond.
    pub escape: Vec<Spot>,
}

/// A side of the driver, facing down the slope.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hand {
    /// The driver's left.
    Left,
    /// The driver's right.
    Right,
}

impl Hand {
    /// As pages say it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }
}

/// Where something lies, seen from the line driven.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Beside {
    /// On which side of the driver who comes down.
    pub hand: Hand,
    /// How far from the line, m.
    pub off: f64,
    /// How far along the line from the brow it is level with, m on the plan; below the foot more than the
    /// line's length.
    pub along: f64,
}

/// Something at one place.
#[derive(Clone, Debug, PartialEq)]
pub struct SitePoint {
    /// What it is.
    pub kind: PointOfSite,
    /// Where.
    pub at: Spot,
    /// What it is called.
    pub name: Option<Label>,
}

/// What stands at a place of the site.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum PointOfSite {
    /// Where everybody comes together.
    Assembly,
    /// Where the ambulance is met.
    MeetingPoint,
    /// Where the day is led from.
    Control,
    /// Where first aid is.
    FirstAid,
    /// Where vehicles stand.
    Parking,
    /// A gate.
    Gate,
    /// A tree.
    Tree,
    /// A rock, a stump, a pole.
    Obstacle,
}

impl PointOfSite {
    /// Whether people are sent there.
    pub fn gathers(self) -> bool {
        !matches!(self, Self::Gate | Self::Tree | Self::Obstacle)
    }
}

/// Something along a line.
#[derive(Clone, Debug, PartialEq)]
pub struct SiteLine {
    /// What it is.
    pub kind: LineOfSite,
    /// Its bends, two at least.
    pub line: Vec<Spot>,
    /// What it is called.
    pub name: Option<Label>,
}

/// What runs along a line of the site.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LineOfSite {
    /// An edge beyond which the ground falls away.
    Edge {
        /// Whether the low side is on the right of the line as it is written, first spot to last.
        low_right: bool,
        /// How far it falls.
        drop: Option<Length>,
    },
    /// A track.
    Track,
    /// The way in for the ambulance.
    AmbulanceWay,
    /// Running water.
    Stream,
    /// A fence, a wall, a rope.
    Fence,
}

/// Something with an extent.
#[derive(Clone, Debug, PartialEq)]
pub struct SiteArea {
    /// What it is.
    pub kind: AreaOfSite,
    /// Its corners, three at least.
    pub corners: Vec<Spot>,
    /// What it is called, or why nobody goes there.
    pub name: Option<Label>,
}

/// What an area of the site is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AreaOfSite {
    /// Nobody goes there.
    KeepOut,
    /// Standing water.
    Water,
    /// Trees.
    Trees,
    /// A building.
    Building,
    /// Flat ground kept free for a locked stop.
    SkidPad,
}

impl SiteArea {
    /// Whether a spot lies inside.
    pub fn holds(&self, spot: Spot) -> bool {
        let ends = self.corners.iter().zip(self.corners.iter().cycle().skip(1));
        let crossed = ends.filter(|(a, b)| {
            (a.north > spot.north) != (b.north > spot.north)
                && spot.east < a.east + (spot.north - a.north) / (b.north - a.north) * (b.east - a.east)
        });
        crossed.count() % 2 == 1
    }
}

impl SitePlan {
    /// What nobody gets away over: edges, streams, and round each piece of standing water, as lines.
    pub fn edges_and_water(&self) -> impl Iterator<Item = Vec<Spot>> + '_ {
        let lines = self
            .lines
            .iter()
            .filter(|line| matches!(line.kind, LineOfSite::Edge { .. } | LineOfSite::Stream));
        let water = self.areas.iter().filter(|area| area.kind == AreaOfSite::Water);
        lines
            .map(|line| line.line.clone())
            .chain(water.map(|area| area.corners.iter().chain(area.corners.first()).copied().collect()))
    }

    /// A slope's part of the plan.
    pub fn of_slope(&self, id: &str) -> Option<&SlopePlan> {
        self.slopes.iter().find(|plan| plan.slope == id)
    }

    /// Latitude and longitude of a spot, degrees; none where the origin's are not known or north is not true.
    ///
    /// On the ellipsoid of WGS 84, by its radii of curvature at the origin: over the few hundred metres of a site as
    /// good as the origin itself.
    pub fn degrees_of(&self, spot: Spot) -> Option<[f64; 2]> {
        const EQUATOR: f64 = 6_378_137.0;
        const FLATTENING: f64 = 1.0 / 298.257_223_563;
        let [latitude, longitude] = self.origin.degrees.filter(|_| self.north == Some(North::True))?;
        let flat = FLATTENING * (2.0 - FLATTENING);
        let sine = libm::sin(latitude.to_radians());
        let bent = 1.0 - flat * sine * sine;
        let across = EQUATOR / libm::sqrt(bent);
        let along = across * (1.0 - flat) / bent;
        let north = (spot.north / along).to_degrees();
        let east = (spot.east / (across * libm::cos(latitude.to_radians()))).to_degrees();
        Some([latitude + north, longitude + east])
    }

    /// What that place is called.
    pub fn named(&self, kind: PointOfSite) -> Option<String> {
        self.point(kind)?.name.as_ref().map(Label::short)
    }

    /// The one place of a kind, or the first of several.
    pub fn point(&self, kind: PointOfSite) -> Option<&SitePoint> {
        self.points.iter().find(|point| point.kind == kind)
    }
}

/// A line that turns more than this is a road with bends, rad: down the fall line a vehicle would leave it. Judgement.
const WINDS: f64 = 20.0 * std::f64::consts::PI / 180.0;

impl SlopePlan {
    /// Top of the line driven.
    ///
    /// # Panics
    /// Never for a checked plan: a line has two ends.
    pub fn brow(&self) -> Spot {
        *self.line.first().expect("a checked line has a brow")
    }

    /// Bottom of the line driven.
    ///
    /// # Panics
    /// Never for a checked plan: a line has two ends.
    pub fn foot(&self) -> Spot {
        *self.line.last().expect("a checked line has a foot")
    }

    /// Brow to foot on the plan, m: the level distance, bends followed.
    pub fn length(&self) -> f64 {
        length_of(&self.line)
    }

    /// How far the line driven turns from brow to foot, rad: all its bends together, whichever way they go.
    pub fn turns(&self) -> f64 {
        let heading = |a: Spot, b: Spot| libm::atan2(b.north - a.north, b.east - a.east);
        let bend = |three: &[Spot]| {
            let turn = heading(three[1], three[2]) - heading(three[0], three[1]);
            libm::remainder(turn, std::f64::consts::TAU).abs()
        };
        self.line.windows(3).map(bend).sum()
    }

    /// Brow, bends, foot and run-out in one line.
    pub fn driven(&self) -> Vec<Spot> {
        self.line.iter().chain(&self.run_out).copied().collect()
    }

    /// Where a spot lies, seen from the line driven and its run-out.
    pub fn beside(&self, spot: Spot) -> Beside {
        let nothing = Beside { hand: Hand::Left, off: spot.to(self.brow()), along: 0.0 };
        along_a_line(&self.driven(), spot).unwrap_or(nothing)
    }

    /// Whether a spot lies in the lane of the way out, drawn on as far as a vehicle that does not stop may come: half the
    /// way's length, and at least 15 m.
    pub fn in_line_with_the_way_out(&self, spot: Spot, slope: &Slope) -> bool {
        let [.., before, last] = self.escape[..] else { return false };
        let long = before.to(last);
        if long == 0.0 {
            return false;
        }
        let on = ROLLS_ON.max(0.5 * length_of(&self.escape));
        let line = [&self.escape[..], &[before.towards(last, 1.0 + on / long)]].concat();
        along_a_line(&line, spot).is_some_and(|beside| beside.off < Self::half_lane(slope))
    }

    /// How far from the middle of the line a wheel may come, m: half of the slope's usable width.
    pub fn half_lane(slope: &Slope) -> f64 {
        slope.width.map_or(NARROWEST, |width| 0.5 * width.si())
    }
}

/// How far beyond the end of a way out nobody stands in line with it, m. Judgement.
const ROLLS_ON: f64 = 15.0;

/// Half a lane where the slope's width is not written, m: half of a wide vehicle and a step. Judgement.
const NARROWEST: f64 = 1.5;

/// Where a spot lies, seen from a line that is followed from its first spot; none for a line without length.
pub(super) fn along_a_line(line: &[Spot], spot: Spot) -> Option<Beside> {
    let mut walked = 0.0;
    let mut best: Option<Beside> = None;
    for (a, b) in line.iter().zip(line.get(1..)?) {
        let long = a.to(*b);
        if long == 0.0 {
            continue;
        }
        let part = ((spot.east - a.east) * (b.east - a.east) + (spot.north - a.north) * (b.north - a.north))
            / (long * long);
        let off = spot.to(a.towards(*b, part.clamp(0.0, 1.0)));
        // Facing from a to b, the right hand points to (north, −east) of the way.
        let right = (spot.east - a.east) * (b.north - a.north) - (spot.north - a.north) * (b.east - a.east);
        if best.is_none_or(|best| off < best.off) {
            // Above the brow a spot is level with what is before it.
            let part = if walked == 0.0 { part.min(1.0) } else { part.clamp(0.0, 1.0) };
            let hand = if right > 0.0 { Hand::Right } else { Hand::Left };
            best = Some(Beside { hand, off, along: walked + part * long });
        }
        walked += long;
    }
    best
}

/// Length of a line along its bends, m.
pub fn length_of(line: &[Spot]) -> f64 {
    line.windows(2).map(|pair| pair[0].to(pair[1])).sum()
}

impl crate::course::Course {
    /// Whether a slope is a road with bends, by the plan of the site: who gives up stays on the road, for the fall line
    /// leaves it.
    pub fn winds(&self, slope: &Slope) -> bool {
        let placed = self.site_plan.as_ref().and_then(|plan| plan.of_slope(&slope.id));
        placed.is_some_and(|placed| placed.turns() > WINDS)
    }
}

impl Slope {
    /// Level distance from brow to foot as it was measured along the ground.
    pub fn level_length(&self) -> Length {
        Length::new(self.stretches.iter().map(|s| s.length.si() * libm::cos(s.gradient.si())).sum())
    }
}
