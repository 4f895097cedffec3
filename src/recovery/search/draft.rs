//! A rig while it is tried out: places instead of names, so that thousands can be compared.

use crate::recovery::gear::{Gear, Winch};
use crate::recovery::rig::{Joins, Part, Rank, Role, keeps, rank};
use crate::recovery::task::{Hold, Stay};

/// Which piece carries a load.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Of {
    Winch,
    Line,
    Block(usize),
    Shackle(usize),
    Strap(usize),
    Bridle(usize),
    Extension(usize),
    Point(usize, usize),
    Anchor(usize),
    Braked(usize),
}

/// A load on a piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Carry {
    pub role: Role,
    pub of: Of,
    pub load: f64,
    /// What counts of its limit, N.
    pub rating: f64,
    /// The share of its limit that counts: pulled off its line it carries less.
    pub share: f64,
    /// What it joins, of a shackle.
    pub joins: Option<Joins>,
}

/// How the line reaches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Reach {
    pub out: f64,
    pub extension: f64,
    pub pulls: u32,
}

/// A rig with places.
pub(super) struct Draft {
    pub parts: Vec<Carry>,
    pub holds: Vec<Hold>,
    pub stay: Stay,
    pub reach: Reach,
    pub half_angle: Option<f64>,
    /// Force in the line to the winch, N.
    pub fall_line: f64,
    /// How far the pull on the stuck vehicle lies off its own line at most, rad.
    pub off: f64,
    pub time: Option<f64>,
    pub by_hand: bool,
}

impl Carry {
    /// A piece pulled in line.
    pub(super) const fn straight(role: Role, of: Of, load: f64, rating: f64) -> Self {
        Self { role, of, load, rating, share: 1.0, joins: None }
    }

    pub(super) fn margin(&self) -> f64 {
        crate::engine::formulas::recovery::margin_left(self.rating, self.load)
    }

    /// Whether so much of the rating stays free.
    pub(super) fn keeps(&self, margin: f64) -> bool {
        keeps(self.load, self.rating, margin)
    }

    /// The part with its name.
    pub(super) fn part(&self, gear: &Gear, winch: &Winch) -> Part {
        let (id, name) = match self.of {
            Of::Winch => (&winch.id, &winch.name),
            Of::Line => (&winch.line.id, &winch.line.name),
            Of::Block(place) => named(&gear.blocks[place]),
            Of::Shackle(place) => named(&gear.shackles[place]),
            Of::Strap(place) => named(&gear.straps[place]),
            Of::Bridle(place) => named(&gear.bridles[place]),
            Of::Extension(place) => named(&gear.lines[place]),
            Of::Anchor(place) => named(&gear.anchors[place]),
            Of::Point(vehicle, place) => {
                let helper = &gear.helpers[vehicle];
                (&helper.id, &helper.points[place].place)
            }
            Of::Braked(vehicle) => (&gear.helpers[vehicle].id, &gear.helpers[vehicle].name),
        };
        Part {
            counts: self.share,
            joins: self.joins,
            ..Part::new(self.role, id, name, self.load, self.rating)
        }
    }
}

fn named(pieces: &crate::recovery::gear::Pieces) -> (&String, &String) {
    (&pieces.id, &pieces.name)
}

impl Draft {
    pub(super) fn weakest(&self) -> usize {
        let margin = |place: &usize| self.parts[*place].margin();
        (0..self.parts.len()).min_by(|a, b| margin(a).total_cmp(&margin(b))).expect("a rig has parts")
    }

    pub(super) fn margin(&self) -> f64 {
        self.parts[self.weakest()].margin()
    }

    pub(super) fn keeps(&self, margin: f64) -> bool {
        self.parts.iter().all(|carry| carry.keeps(margin))
    }

    /// What the things that hold it may hold together, N.
    pub(super) fn held_by(&self) -> f64 {
        let holds = |carry: &&Carry| matches!(carry.role, Role::Anchor | Role::Braked);
        self.parts.iter().filter(holds).map(|carry| carry.rating).sum()
    }

    pub(super) fn rank(&self) -> Rank {
        rank(self.by_hand, self.margin(), self.reach.out + self.reach.extension, self.parts.len(), self.time)
    }
}
