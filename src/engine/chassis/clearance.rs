//! Where a vehicle's underside comes nearest to the ground: over the brow, where stretches meet, over a step, at the
//! foot.
//!
//! As the angles of approach, departure and ramp are defined (49 CFR 523.2; 70/156/EEC, annex II): a rigid vehicle in
//! side view, on tyres that are circles as high as their hubs stand today. It is put down at every place along the line,
//! and what matters is how high the ground rises above the plane it stands on, square to that plane, under each of its
//! low points.

mod outline;

use serde::Serialize;

use super::body::Profile;
use crate::course::{LowPoint, Slope, Underside, Vehicle};
use crate::engine::root;
use outline::Outline;

/// Finest distance by which a vehicle is moved on before the worst place is closed in on, m.
const STRIDE: f64 = 0.04;

/// Parts of a stride to which the worst place is closed in on.
const CLOSING: usize = 24;

/// A part of the underside.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Under {
    /// Ahead of the front axle.
    Nose,
    /// Between the axles.
    Belly,
    /// Behind the rear axle.
    Tail,
}

/// Where the ground bends.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Bend {
    /// Where the slope begins.
    Brow,
    /// Between two stretches.
    Joint,
    /// A step down.
    Step,
    /// Where the slope ends.
    Foot,
}

/// How much room is left under a part of a vehicle where there is least.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Room {
    /// The part.
    pub under: Under,
    /// The bend it is nearest to.
    pub bend: Bend,
    /// That bend from the brow, along the line driven, m.
    pub from_brow: f64,
    /// How high the ground comes there above the plane the vehicle stands on, ruts included, m.
    pub wanted: f64,
    /// How high that part hangs above it, m.
    pub has: f64,
    /// Where the front hub is then, level, m, on ground whose stretches are steeper by these in turn, rad.
    #[serde(skip)]
    pub(super) stands: (f64, [f64; 2]),
}

impl Room {
    /// What is left, m; negative where it touches.
    pub fn spare(&self) -> f64 {
        self.has - self.wanted
    }

    /// Of the same part the one with less left.
    fn less(self, other: Self) -> Self {
        if other.spare() < self.spare() { other } else { self }
    }
}

/// Room under each measured part on the line down a slope: the least, with every joint sharper by `step` (rad) than it was
/// measured, and with a wheel in the deepest rut. Empty where nobody measured the vehicle's underside.
pub(crate) fn rooms(vehicle: &Vehicle, slope: &Slope, profile: &Profile, step: f64) -> Vec<Room> {
    let Some(underside) = &vehicle.underside else { return Vec::new() };
    let rut = slope.bump.map_or(0.0, crate::quantity::Length::si);
    let standing = Standing { radius: underside.hub.si(), wheelbase: vehicle.wheelbase.si() };
    // Neighbours steeper and flatter in turn: whichever way a joint bends, one of these has it sharper.
    let off = [[step, step], [step, -step], [-step, step]];
    let off = if step > 0.0 { &off[..] } else { &[[0.0; 2]] };
    let mut all: Vec<Room> = Vec::new();
    for shift in off {
        let outline = Outline::of(slope, profile, *shift);
        for mut room in standing.over(&outline, underside) {
            room.wanted += rut;
            room.stands.1 = *shift;
            match all.iter_mut().find(|known| known.under == room.under) {
                Some(known) => *known = known.less(room),
                None => all.push(room),
            }
        }
    }
    all
}

/// A vehicle as it stands where there is least room under it, seen from the side, m: distances level from its front hub,
/// heights from it.
#[derive(Clone, Debug, PartialEq)]
pub struct Stood {
    /// The ground, from behind it to ahead of it.
    pub ground: Vec<[f64; 2]>,
    /// Its hubs, the front one first.
    pub hubs: [[f64; 2]; 2],
    /// Its low points from the front to the rear.
    pub under: Vec<[f64; 2]>,
}

impl Stood {
    /// Where a vehicle whose underside is measured has this room; `profile` is the line it was found on.
    pub(crate) fn of(vehicle: &Vehicle, slope: &Slope, profile: &Profile, room: &Room) -> Option<Self> {
        let underside = vehicle.underside.as_ref()?;
        let standing = Standing { radius: underside.hub.si(), wheelbase: vehicle.wheelbase.si() };
        let (x, shift) = room.stands;
        let outline = Outline::of(slope, profile, shift);
        let placed = standing.at(&outline, x)?;
        let longest = standing.points(underside).map(|(_, reach, _)| reach[0].abs()).fold(0.0, f64::max);
        let [along, up] = placed.ahead;
        let body = |ahead: f64, height: f64| {
            let lift = height - standing.radius;
            [ahead * along - lift * up, ahead * up + lift * along]
        };
        let mut low: Vec<[f64; 2]> = standing
            .points(underside)
            .flat_map(|(_, [from, to], height)| [[to, height], [from, height]])
            .collect();
        low.sort_by(|a, b| b[0].total_cmp(&a[0]));
        low.dedup();
        Some(Self {
            ground: outline.seen_from(placed.hub, [-longest - 1.2, longest.min(standing.wheelbase) + 1.2]),
            hubs: [body(0.0, standing.radius), body(-standing.wheelbase, standing.radius)],
            under: low.into_iter().map(|[ahead, height]| body(ahead, height)).collect(),
        })
    }
}

/// A vehicle on two circles.
#[derive(Clone, Copy)]
struct Standing {
    /// Of the tyres, m.
    radius: f64,
    wheelbase: f64,
}

/// A vehicle put down: its front hub, and the way it looks, a unit vector.
#[derive(Clone, Copy)]
struct Placed {
    hub: [f64; 2],
    ahead: [f64; 2],
    radius: f64,
}

impl Placed {
    /// A place of the ground as the vehicle has it: ahead of the front axle, and above the plane it stands on, m.
    fn seen(&self, [x, z]: [f64; 2]) -> [f64; 2] {
        let (x, z) = (x - self.hub[0], z - self.hub[1]);
        let [along, up] = self.ahead;
        [x * along + z * up, z * along - x * up + self.radius]
    }
}

impl Standing {
    /// Put down with its front hub so far along; none where the ground ends before its rear wheels.
    fn at(self, outline: &Outline, x: f64) -> Option<Placed> {
        let front = outline.hub(x, self.radius)?;
        let apart = |back: f64| {
            let rear = outline.hub(x - back, self.radius).unwrap_or(front);
            back * back + (front - rear) * (front - rear) - self.wheelbase * self.wheelbase
        };
        let back = root::rising(0.05 * self.wheelbase, self.wheelbase, apart);
        let rear = outline.hub(x - back, self.radius)?;
        let ahead = [back / self.wheelbase, (front - rear) / self.wheelbase];
        Some(Placed { hub: [x, front], ahead, radius: self.radius })
    }

    /// How high the ground comes under a part of the vehicle that is put down here: between two distances ahead of the
    /// front axle, m; the place there, m along, as well.
    fn rise(outline: &Outline, placed: &Placed, [from, to]: [f64; 2]) -> (f64, f64) {
        let mut highest = (f64::NEG_INFINITY, placed.hub[0]);
        let mut take = |height: f64, x: f64| {
            if height > highest.0 {
                highest = (height, x);
            }
        };
        for [a, b] in outline.pieces() {
            let ([at_a, height_a], [at_b, height_b]) = (placed.seen(a), placed.seen(b));
            let (low, high) = (at_a.min(at_b).max(from), at_a.max(at_b).min(to));
            if low > high {
                continue;
            }
            for at in [low, high] {
                let part = if (at_b - at_a).abs() < 1e-12 { 0.0 } else { (at - at_a) / (at_b - at_a) };
                take(height_a + part * (height_b - height_a), a[0] + part * (b[0] - a[0]));
            }
        }
        highest
    }

    /// The least room under each part, anywhere along the ground.
    fn over(self, outline: &Outline, underside: &Underside) -> Vec<Room> {
        let points: Vec<_> = self.points(underside).collect();
        let mut worst = vec![(0.0, 0.0, None); points.len()];
        for x in self.strides(outline, &points) {
            let Some(placed) = self.at(outline, x) else { continue };
            for ((_, reach, _), worst) in points.iter().zip(&mut worst) {
                let (rise, at) = Self::rise(outline, &placed, *reach);
                if rise > worst.0 {
                    *worst = (rise, x, outline.nearest(at));
                }
            }
        }
        let mut least: Vec<Room> = Vec::new();
        for ((under, reach, has), (rise, x, bend)) in points.into_iter().zip(worst) {
            // Where the ground bends nowhere there is nothing to touch.
            let Some((bend, from_brow)) = bend.or_else(|| outline.nearest(0.0)) else { continue };
            let (wanted, x) = self.closed_in(outline, reach, (rise, x));
            let room = Room { under, bend, from_brow, wanted, has, stands: (x, [0.0; 2]) };
            match least.iter_mut().find(|known| known.under == under) {
                Some(known) => *known = known.less(room),
                None => least.push(room),
            }
        }
        least
    }

    /// Places of the front hub at which some point of the vehicle may be over a bend.
    fn strides(self, outline: &Outline, points: &[(Under, [f64; 2], f64)]) -> Vec<f64> {
        let ahead = points.iter().map(|(_, reach, _)| reach[1]).fold(0.0, f64::max) + self.radius;
        let behind =
            points.iter().map(|(_, reach, _)| -reach[0]).fold(self.wheelbase, f64::max) + self.radius;
        let mut places: Vec<f64> = Vec::new();
        for (at, width) in outline.bends() {
            let (mut x, end) = (at - ahead - width, at + behind + width);
            x = x.max(places.last().map_or(x, |last| last + STRIDE));
            while x <= end {
                places.push(x);
                x += STRIDE;
            }
        }
        places
    }

    /// How high the ground comes under a part, closed in on around the worst stride; and where the front hub is then.
    fn closed_in(self, outline: &Outline, reach: [f64; 2], (mut best, mut x): (f64, f64)) -> (f64, f64) {
        let rise = |x: f64| {
            self.at(outline, x).map_or(f64::NEG_INFINITY, |placed| Self::rise(outline, &placed, reach).0)
        };
        let (mut low, mut high) = (x - STRIDE, x + STRIDE);
        for _ in 0..CLOSING {
            let third = (high - low) / 3.0;
            let [a, b] = [low + third, high - third].map(|at| (rise(at), at));
            for (height, at) in [a, b] {
                if height > best {
                    (best, x) = (height, at);
                }
            }
            (low, high) = if a.0 < b.0 { (a.1, high) } else { (low, b.1) };
        }
        (best, x)
    }

    /// The low points: what each is part of, from where to where it lies ahead of the front axle, and how high, m.
    fn points(self, underside: &Underside) -> impl Iterator<Item = (Under, [f64; 2], f64)> {
        let parts = [
            (Under::Nose, &underside.nose),
            (Under::Belly, &underside.belly),
            (Under::Tail, &underside.tail),
        ];
        parts.into_iter().flat_map(move |(under, low)| {
            low.iter().map(move |point| (under, self.reach(under, point), point.height.si()))
        })
    }

    /// From where to where a point lies ahead of the front axle, m; behind it negative.
    fn reach(self, under: Under, point: &LowPoint) -> [f64; 2] {
        let from = point.from_axle.map(crate::quantity::Length::si);
        match (under, from) {
            (Under::Nose, from) => [from.unwrap_or(0.0); 2],
            (Under::Belly, Some(from)) => [-from; 2],
            (Under::Belly, None) => [-self.wheelbase, 0.0],
            (Under::Tail, from) => [-self.wheelbase - from.unwrap_or(0.0); 2],
        }
    }
}
