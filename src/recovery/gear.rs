//! What of the kit and the fleet may be used to pull, and what stays in the box, with the reason.

mod unfit;
mod winch;

pub use unfit::{Reason, Unfit, unfit_reason};
pub use winch::{Pieces, Winch};

use super::facts::{
    ANCHOR_MARGIN, DEADMAN_TRENCH, DEADMAN_WET, LOG_SLIMMEST, Pickets, WRAPS_STEEL, WRAPS_SYNTHETIC, deadman,
};
use crate::course::{
    AnchorPlace, AnchorSort, Buried, Condition, Course, End, KitItem, KitKind, RopeMaterial, Surface, Vehicle,
};
use crate::engine::formulas::{GRAVITY, recovery as r};
use crate::quantity::{Length, Speed};

/// A rated recovery point.
#[derive(Clone, Debug, PartialEq)]
pub struct Point {
    /// Where.
    pub place: String,
    /// Which end.
    pub end: End,
    /// What it may carry, N.
    pub limit: f64,
}

/// A vehicle as helper or casualty.
#[derive(Clone, Debug, PartialEq)]
pub struct Helper {
    /// Its identifier.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Its rated points, strongest first.
    pub points: Vec<Point>,
    /// What it holds as a braked anchor on the level of this ground, N: lowest sliding friction over
    /// the margin of an anchor.
    pub holds: f64,
}

/// Everything that may be used on one ground.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Gear {
    /// The fleet in course order.
    pub helpers: Vec<Helper>,
    /// Winches with a rated line.
    pub winches: Vec<Winch>,
    /// Blocks.
    pub blocks: Vec<Pieces>,
    /// Shackles.
    pub shackles: Vec<Pieces>,
    /// Straps for anchors.
    pub straps: Vec<Pieces>,
    /// Two-leg bridles; the limit is that of one leg.
    pub bridles: Vec<Pieces>,
    /// Lines not on a winch: they lengthen a rig.
    pub lines: Vec<Pieces>,
    /// Ground anchors.
    pub anchors: Vec<Pieces>,
    /// What stays in the box.
    pub unfit: Vec<Unfit>,
}

/// The ground that helpers and anchors stand on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ground {
    /// Friction of wheels that slide, at its lowest.
    pub friction: f64,
    /// Its fall the way the line pulls, rad.
    pub angle: f64,
    /// How much the line rises from it, rad; what presses down is not counted on.
    pub lift: f64,
}

/// A line that rises more than so much from the ground draws pickets and buried logs out, degrees. Common
/// practice, no source.
pub const DRAWS_OUT: f64 = 10.0;

impl Gear {
    /// The kit and fleet of a course, helpers braked on the level of a surface.
    pub fn of(course: &Course, surface: &Surface) -> Self {
        Self::on(course, Ground { friction: surface.sliding.low, angle: 0.0, lift: 0.0 })
    }

    /// The kit and fleet of a course, helpers braked on this ground.
    pub fn on(course: &Course, ground: Ground) -> Self {
        let mut gear = Self::default();
        for vehicle in &course.vehicles {
            let helper = gear.helper(vehicle, ground);
            gear.helpers.push(helper);
        }
        let on_drums: Vec<&str> =
            winches(course).filter_map(|winch| line_of(course, winch)).map(|line| line.id.as_str()).collect();
        for item in &course.kit {
            match item.kind {
                KitKind::Winch => gear.winch(course, item),
                KitKind::Line if on_drums.contains(&item.id.as_str()) => gear.note(item),
                KitKind::Line => gear.take(item, |gear| &mut gear.lines),
                KitKind::SnatchBlock => gear.take(item, |gear| &mut gear.blocks),
                KitKind::Shackle => gear.take(item, |gear| &mut gear.shackles),
                KitKind::Strap if item.rig.legs.is_some() => gear.take(item, |gear| &mut gear.bridles),
                KitKind::Strap => gear.take(item, |gear| &mut gear.straps),
                KitKind::GroundAnchor => gear.anchor(item, ground.lift),
                _ => {}
            }
        }
        let lists = [&mut gear.blocks, &mut gear.shackles, &mut gear.straps];
        for list in lists {
            list.sort_by(|a, b| b.limit.total_cmp(&a.limit));
        }
        gear
    }

    fn helper(&mut self, vehicle: &Vehicle, ground: Ground) -> Helper {
        let mut points = Vec::new();
        for point in &vehicle.recovery_points {
            match point.carries() {
                Ok(load) => {
                    points.push(Point { place: point.place.short(), end: point.end, limit: load.si() });
                }
                Err(fault) => self.unfit.push(Unfit {
                    id: vehicle.id.clone(),
                    name: point.place.short(),
                    reason: Reason::Point(fault),
                }),
            }
        }
        points.sort_by(|a, b| b.limit.total_cmp(&a.limit));
        let Ground { friction, angle, lift } = ground;
        let level = r::braked_anchor(vehicle.mass.si(), GRAVITY, friction, angle).max(0.0);
        let braked = level / r::lifted(friction, lift.max(0.0));
        Helper {
            id: vehicle.id.clone(),
            name: vehicle.name.short(),
            points,
            holds: r::anchor_rating(braked, ANCHOR_MARGIN),
        }
    }

    /// Without the anchors that stand somewhere else than here; `None` keeps only those that are set
    /// where they are wanted. The names of those left out.
    pub fn here(mut self, course: &Course, slope: &str, place: Option<AnchorPlace>) -> (Self, Vec<String>) {
        let serves = |id: &str| {
            let item = course.kit.iter().find(|item| item.id == id);
            item.is_none_or(|item| {
                let stands = &item.rig.stands;
                stands.is_empty() || stands.iter().any(|at| at.slope == slope && Some(at.place) == place)
            })
        };
        let (stay, out) =
            std::mem::take(&mut self.anchors).into_iter().partition(|anchor| serves(&anchor.id));
        self.anchors = stay;
        (self, out.into_iter().map(|anchor: Pieces| anchor.name).collect())
    }

    fn set_aside(&mut self, item: &KitItem, reason: Reason) {
        self.unfit.push(Unfit { id: item.id.clone(), name: item.name.short(), reason });
    }

    /// Notes why a piece is unfit, if it is; true when it may be used.
    fn fit(&mut self, item: &KitItem) -> bool {
        let reason = unfit_reason(item);
        if let Some(reason) = reason {
            self.set_aside(item, reason);
        }
        reason.is_none()
    }

    /// Notes an unfit line of a winch.
    fn note(&mut self, item: &KitItem) {
        self.fit(item);
    }

    fn take(&mut self, item: &KitItem, list: impl Fn(&mut Self) -> &mut Vec<Pieces>) {
        if self.fit(item) {
            list(self).extend(pieces(item));
        }
    }

    fn anchor(&mut self, item: &KitItem, lift: f64) {
        if item.rig.condition == Condition::Retired {
            return self.set_aside(item, Reason::Retired);
        }
        let Some(holds) = anchor_holds(item) else { return self.set_aside(item, Reason::Untested) };
        let sunk_in = !matches!(item.rig.anchor, Some(AnchorSort::Rock | AnchorSort::Tree));
        if sunk_in && lift.to_degrees() > DRAWS_OUT {
            return;
        }
        let limit = r::anchor_rating(holds, ANCHOR_MARGIN);
        self.anchors.push(Pieces {
            id: item.id.clone(),
            name: item.name.short(),
            limit,
            count: usize::from(item.count),
            length: 0.0,
        });
    }

    fn winch(&mut self, course: &Course, item: &KitItem) {
        if !self.fit(item) {
            return;
        }
        let Some(first) = item.rating.limit() else { return };
        let Some(line) = line_of(course, item) else {
            return self.set_aside(item, Reason::NoLine);
        };
        let (None, Some(rated)) = (unfit_reason(line), pieces(line)) else {
            return self.set_aside(item, Reason::LineUnfit);
        };
        let place = |on: &String| self.helpers.iter().position(|known| known.id == *on);
        let host = item.rig.on.as_ref().map(place);
        if host == Some(None) {
            return self.set_aside(item, Reason::HostAway);
        }
        self.winches.push(Winch {
            id: item.id.clone(),
            name: item.name.short(),
            host: host.flatten(),
            first,
            layers: item.rig.layers.clone(),
            drum: item.rig.drum,
            wraps: match line.rig.material {
                RopeMaterial::Steel => WRAPS_STEEL,
                RopeMaterial::Synthetic => WRAPS_SYNTHETIC,
            },
            line: rated,
            speed: item.rig.line_speed.map(Speed::si),
            mounted: item.rig.mounted.unwrap_or(End::Front),
            by_hand: item.rig.by_hand,
            rope_through: item.rig.rope_through,
        });
    }
}

fn winches(course: &Course) -> impl Iterator<Item = &KitItem> {
    course.kit.iter().filter(|item| item.kind == KitKind::Winch)
}

/// The line on a winch's drum: the one it names, else the first line of the kit.
fn line_of<'a>(course: &'a Course, winch: &KitItem) -> Option<&'a KitItem> {
    let mut lines = course.kit.iter().filter(|item| item.kind == KitKind::Line);
    match &winch.rig.line {
        Some(id) => lines.find(|line| line.id == *id),
        None => lines.next(),
    }
}

fn pieces(item: &KitItem) -> Option<Pieces> {
    Some(Pieces {
        id: item.id.clone(),
        name: item.name.short(),
        limit: item.rating.limit()?,
        count: usize::from(item.count),
        length: item.length.map_or(0.0, Length::si),
    })
}

/// What an anchor holds, N: what it was tested to, or what is published for pickets and for a buried log. For
/// a tree, a stump or a rock no rule is published that would fit a single one.
pub fn anchor_holds(item: &KitItem) -> Option<f64> {
    let published = match item.rig.anchor? {
        AnchorSort::Picket => Some(Pickets::One.holds()),
        AnchorSort::Pickets111 => Some(Pickets::OneOneOne.holds()),
        AnchorSort::Pickets321 => Some(Pickets::ThreeTwoOne.holds()),
        AnchorSort::Buried => item.rig.buried.and_then(|log| buried_holds(&log)),
        AnchorSort::Tree | AnchorSort::Rock => None,
    };
    item.rig.holds.or(published)
}

/// What a buried log holds, N: its face without the trench of the line, at most five times its thickness long.
fn buried_holds(log: &Buried) -> Option<f64> {
    let power = deadman(log.depth.si(), log.one_in)? * if log.wet { DEADMAN_WET } else { 1.0 };
    let face = log.face.si();
    let counted = log.length.si().min(LOG_SLIMMEST * face) - DEADMAN_TRENCH;
    (counted > 0.0).then(|| r::buried_hold(power, face, counted))
}
