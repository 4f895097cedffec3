//! What of the kit and the fleet may be used to pull, and what stays in the box, with the reason.

mod unfit;
mod winch;

pub use unfit::{Reason, Unfit, pickets_not_in, unfit_reason};
pub use winch::{Pieces, Winch};

use super::facts::{
    ANCHOR_MARGIN, DEADMAN_TRENCH, DEADMAN_WET, LOG_SLIMMEST, Pickets, WRAPS_STEEL, WRAPS_SYNTHETIC, deadman,
};
use crate::course::{
    AnchorPlace, AnchorSort, Buried, Condition, Course, End, KitItem, KitKind, RopeMaterial, Side, Soil,
    Surface, UncheckedKit, Vehicle,
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
    /// Which side, where it is known.
    pub side: Option<Side>,
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
    /// Rigid tow bars.
    pub bars: Vec<Pieces>,
    /// Ground anchors.
    pub anchors: Vec<Pieces>,
    /// What stays in the box.
    pub unfit: Vec<Unfit>,
    /// Anchors that are not counted on this ground, unless they were tested in it.
    pub not_here: Vec<Unfit>,
    /// Whether kit without a date of its last check stays in the box.
    pub checked_only: bool,
}

/// The ground that helpers and anchors stand on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ground {
    /// Friction of wheels that slide, at its lowest.
    pub friction: f64,
    /// Its fall the way the line pulls, rad.
    pub angle: f64,
    /// What anchors are driven into.
    pub soil: Soil,
    /// How much the line rises from it, rad; what presses down is not counted on.
    pub lift: f64,
}

/// A line that rises more than so much from the ground draws pickets and buried logs out, degrees. Common
/// practice, no source.
pub const DRAWS_OUT: f64 = 10.0;

impl Gear {
    /// The kit and fleet of a course, helpers braked on the level of a surface.
    pub fn of(course: &Course, surface: &Surface) -> Self {
        let soil = surface.soil;
        Self::on(course, Ground { friction: surface.sliding.low, angle: 0.0, soil, lift: 0.0 })
    }

    /// The kit and fleet of a course, helpers braked on this ground.
    pub fn on(course: &Course, ground: Ground) -> Self {
        let checked_only = course.recovery.unchecked_kit == UncheckedKit::Refuse;
        let mut gear = Self { checked_only, ..Self::default() };
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
                KitKind::TowBar => gear.take(item, |gear| &mut gear.bars),
                KitKind::SnatchBlock => gear.take(item, |gear| &mut gear.blocks),
                KitKind::Shackle => gear.take(item, |gear| &mut gear.shackles),
                KitKind::Strap if item.rig.legs.is_some() => gear.take(item, |gear| &mut gear.bridles),
                KitKind::Strap => gear.take(item, |gear| &mut gear.straps),
                KitKind::GroundAnchor => gear.anchor(item, ground),
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
                    let (place, limit) = (point.place.short(), load.si());
                    points.push(Point { place, end: point.end, side: point.side, limit });
                }
                Err(fault) => self.unfit.push(Unfit {
                    id: vehicle.id.clone(),
                    name: point.place.short(),
                    reason: Reason::Point(fault),
                }),
            }
        }
        points.sort_by(|a, b| b.limit.total_cmp(&a.limit));
        let Ground { friction, angle, lift, .. } = ground;
        let level = r::braked_anchor(vehicle.mass.si(), GRAVITY, friction, angle).max(0.0);
        let braked = level / r::lifted(friction, lift.max(0.0));
        Helper {
            id: vehicle.id.clone(),
            name: vehicle.name.short(),
            points,
            holds: r::anchor_rating(braked, ANCHOR_MARGIN),
        }
    }

    /// Without the anchors that do not stand at every one of these places of a slope; those that are set where
    /// they are wanted stay. The names of those left out.
    pub fn here(mut self, course: &Course, slope: &str, places: &[AnchorPlace]) -> (Self, Vec<String>) {
        let serves = |id: &str| {
            let item = course.kit.iter().find(|item| item.id == id);
            item.is_none_or(|item| {
                let stands = &item.rig.stands;
                let at =
                    |place: &AnchorPlace| stands.iter().any(|at| at.slope == slope && at.place == *place);
                stands.is_empty() || places.iter().all(at)
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
        let unchecked = (self.checked_only && item.rig.inspected.is_none()).then_some(Reason::Unchecked);
        let reason = unfit_reason(item).or(unchecked);
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

    fn anchor(&mut self, item: &KitItem, ground: Ground) {
        if item.rig.condition == Condition::Retired {
            return self.set_aside(item, Reason::Retired);
        }
        if self.checked_only && item.rig.inspected.is_none() {
            return self.set_aside(item, Reason::Unchecked);
        }
        if anchor_holds(item).is_none() {
            return self.set_aside(item, Reason::Untested);
        }
        let holds = match anchor_holds_in(item, ground.soil) {
            Ok(holds) => holds,
            Err(reason) => {
                self.not_here.push(Unfit { id: item.id.clone(), name: item.name.short(), reason });
                return;
            }
        };
        let sunk_in = !matches!(item.rig.anchor, Some(AnchorSort::Rock | AnchorSort::Tree));
        if sunk_in && ground.lift.to_degrees() > DRAWS_OUT {
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

/// What an anchor is counted for in a ground, N: what it was tested to, else the low end of what is published
/// for that ground.
///
/// # Errors
/// Why nothing is counted there.
pub fn anchor_holds_in(item: &KitItem, soil: Soil) -> Result<f64, Reason> {
    let driven =
        matches!(item.rig.anchor, Some(AnchorSort::Picket | AnchorSort::Pickets111 | AnchorSort::Pickets321));
    if let Some(reason) = pickets_not_in(soil).filter(|_| driven && item.rig.holds.is_none()) {
        return Err(reason);
    }
    let soft = matches!(soil, Soil::Wet | Soil::Loose);
    match item.rig.buried.filter(|log| soft && !log.wet && item.rig.holds.is_none()) {
        Some(log) => buried_holds(&Buried { wet: true, ..log }).ok_or(Reason::Untested),
        None => anchor_holds(item).ok_or(Reason::Untested),
    }
}

/// What a buried log holds, N: its face without the trench of the line, at most five times its thickness long.
fn buried_holds(log: &Buried) -> Option<f64> {
    let power = deadman(log.depth.si(), log.one_in)? * if log.wet { DEADMAN_WET } else { 1.0 };
    let face = log.face.si();
    let counted = log.length.si().min(LOG_SLIMMEST * face) - DEADMAN_TRENCH;
    (counted > 0.0).then(|| r::buried_hold(power, face, counted))
}
