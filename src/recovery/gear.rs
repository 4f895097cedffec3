//! What of the kit and the fleet may be used to pull, and what stays in the box, with the reason.

use serde::Serialize;

use super::facts::{ANCHOR_MARGIN, LAST_LAYER_LOSS, Pickets, WRAPS_STEEL, WRAPS_SYNTHETIC};
use crate::course::{
    AnchorPlace, AnchorSort, Condition, Course, Drum, End, KitItem, KitKind, PointFault, RopeMaterial,
    Surface, Vehicle,
};
use crate::engine::formulas::{GRAVITY, recovery as r};
use crate::quantity::{Length, Speed};

/// Something that is never used, and why.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Unfit {
    /// Kit or vehicle identifier.
    pub id: String,
    /// Its name, or the place on the vehicle.
    pub name: String,
    /// Why.
    pub reason: Reason,
}

/// Why something is never used to pull.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Reason {
    /// No figure at all.
    Unrated,
    /// A strength alone.
    NoFactor,
    /// Found unfit.
    Retired,
    /// An anchor without a figure.
    Untested,
    /// A winch for which no line is named.
    NoLine,
    /// A winch whose line may not be used.
    LineUnfit,
    /// A winch whose vehicle is not here.
    HostAway,
    /// A place on a vehicle that carries nothing.
    #[serde(untagged)]
    Point(PointFault),
}

impl Reason {
    /// As part of a sentence.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Unrated => {
                "no working load limit on it: what it carries is unknown, so nothing is hung on it"
            }
            Self::NoFactor => {
                "breaking strength without its design factor: not converted into a working load limit"
            }
            Self::Retired => "retired at the last inspection",
            Self::Untested => {
                "no holding power given or published for it: not used until it is tested in this ground"
            }
            Self::NoLine => "no line is named for it",
            Self::LineUnfit => "its line may not be used",
            Self::HostAway => "the vehicle that carries it is not here",
            Self::Point(fault) => fault.words(),
        }
    }
}

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

/// Pieces of one kind and rating.
#[derive(Clone, Debug, PartialEq)]
pub struct Pieces {
    /// Kit identifier.
    pub id: String,
    /// Name.
    pub name: String,
    /// What each may carry, N. For anchors what it holds over the margin.
    pub limit: f64,
    /// How many.
    pub count: usize,
    /// Length of each, m; 0 when not given.
    pub length: f64,
}

/// A winch with its line.
#[derive(Clone, Debug, PartialEq)]
pub struct Winch {
    /// Kit identifier.
    pub id: String,
    /// Name.
    pub name: String,
    /// Place in [`Gear::helpers`] of the vehicle that carries it; none for a portable one.
    pub host: Option<usize>,
    /// Pull on the first layer, N.
    pub first: f64,
    /// Pull on each layer as the maker gives it.
    pub layers: Vec<f64>,
    /// Its drum.
    pub drum: Option<Drum>,
    /// The line on it.
    pub line: Pieces,
    /// Turns that stay on the drum.
    pub wraps: f64,
    /// Line speed, m/s.
    pub speed: Option<f64>,
    /// The end of its vehicle it is mounted at; the front for a portable one.
    pub mounted: End,
    /// Whether it is worked by hand.
    pub by_hand: bool,
    /// Whether the rope passes through it: no drum, no layers.
    pub rope_through: bool,
}

/// A turn of rope on a drum nothing is known of, m. Common practice, no source.
const UNKNOWN_TURN: f64 = 0.25;

impl Winch {
    /// Line that can be drawn off, m.
    pub fn usable(&self) -> f64 {
        if self.rope_through {
            return self.line.length;
        }
        let turn = self
            .drum
            .map_or(UNKNOWN_TURN, |drum| r::layer_length(1.0, drum.barrel.si(), drum.rope.si(), 1.0));
        (self.line.length - self.wraps * turn).max(0.0)
    }

    /// The layer in use, counted from 1, with so much line out, m; none where the drum is not known.
    pub fn layer(&self, out: f64) -> Option<usize> {
        let drum = self.drum?;
        let turns = libm::floor(drum.width.si() / drum.rope.si()).max(1.0);
        let wound = (self.line.length - out).max(0.0);
        let mut below = 0.0;
        (1..=40).find(|layer| {
            #[expect(clippy::cast_precision_loss, reason = "a few layers")]
            let layer = *layer as f64;
            below += r::layer_length(turns, drum.barrel.si(), drum.rope.si(), layer);
            below >= wound
        })
    }

    /// Pull with so much line out, N. Where nothing is known of the drum: the maker's last layer, or
    /// half the rating.
    pub fn pull(&self, out: f64) -> f64 {
        if self.rope_through {
            return self.first;
        }
        let layer = self.layer(out);
        if let Some(last) = self.layers.last() {
            // Never more than the label, whatever the table says.
            return layer.and_then(|layer| self.layers.get(layer - 1)).unwrap_or(last).min(self.first);
        }
        match (self.drum, layer) {
            (Some(drum), Some(layer)) => {
                #[expect(clippy::cast_precision_loss, reason = "a few layers")]
                let layer = layer as f64;
                r::layer_pull(self.first, drum.barrel.si(), drum.rope.si(), layer)
            }
            _ => self.first * (1.0 - LAST_LAYER_LOSS),
        }
    }
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

impl Gear {
    /// The kit and fleet of a course, helpers braked on the level of a surface.
    pub fn of(course: &Course, surface: &Surface) -> Self {
        Self::on(course, surface.sliding.low, 0.0)
    }

    /// The kit and fleet of a course, helpers braked on ground with this friction, pulled down its
    /// slope (rad).
    pub fn on(course: &Course, friction: f64, angle: f64) -> Self {
        let mut gear = Self::default();
        for vehicle in &course.vehicles {
            let helper = gear.helper(vehicle, friction, angle);
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
                KitKind::GroundAnchor => gear.anchor(item),
                _ => {}
            }
        }
        let lists = [&mut gear.blocks, &mut gear.shackles, &mut gear.straps];
        for list in lists {
            list.sort_by(|a, b| b.limit.total_cmp(&a.limit));
        }
        gear
    }

    fn helper(&mut self, vehicle: &Vehicle, friction: f64, angle: f64) -> Helper {
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
        let braked = r::braked_anchor(vehicle.mass.si(), GRAVITY, friction, angle).max(0.0);
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

    fn anchor(&mut self, item: &KitItem) {
        if item.rig.condition == Condition::Retired {
            return self.set_aside(item, Reason::Retired);
        }
        let Some(holds) = anchor_holds(item) else { return self.set_aside(item, Reason::Untested) };
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

/// Why a piece of kit may not pull, if it may not.
pub fn unfit_reason(item: &KitItem) -> Option<Reason> {
    if item.rig.condition == Condition::Retired {
        return Some(Reason::Retired);
    }
    match (item.rating.limit(), item.rating.breaking) {
        (Some(_), _) => None,
        (None, Some(_)) => Some(Reason::NoFactor),
        (None, None) => Some(Reason::Unrated),
    }
}

/// What an anchor holds, N: what it was tested to, or the published power of its pickets.
pub fn anchor_holds(item: &KitItem) -> Option<f64> {
    let published = |sort| match sort {
        AnchorSort::Picket => Some(Pickets::One.holds()),
        AnchorSort::Pickets111 => Some(Pickets::OneOneOne.holds()),
        AnchorSort::Pickets321 => Some(Pickets::ThreeTwoOne.holds()),
        AnchorSort::Buried | AnchorSort::Tree | AnchorSort::Rock => None,
    };
    item.rig.holds.or_else(|| published(item.rig.anchor?))
}
