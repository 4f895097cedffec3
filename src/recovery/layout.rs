//! The ways to run the line with up to three blocks.

use serde::{Serialize, Serializer};

use crate::engine::formulas::recovery as r;

/// Where the winch is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum WinchAt {
    /// On the stuck vehicle: it pulls itself.
    Casualty,
    /// On a helper, or made fast to an anchor.
    Helper,
}

/// What is made fast somewhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Joint {
    /// The end of the line: the dead line.
    End,
    /// A block with both its lines side by side.
    Block,
    /// A block that turns the line by a right angle.
    Turn,
}

/// Half the angle between the lines at a block that turns them, rad: a right angle.
pub const TURN_HALF: f64 = std::f64::consts::FRAC_PI_4;

impl Joint {
    /// Load on it, N, for a fall line force (N).
    pub fn load(self, fall_line: f64) -> f64 {
        match self {
            Self::End => fall_line,
            Self::Block => r::block_load(fall_line, 0.0),
            Self::Turn => r::block_load(fall_line, TURN_HALF),
        }
    }

    /// Whether it needs a block.
    pub const fn has_block(self) -> bool {
        !matches!(self, Self::End)
    }
}

/// A way to run the line.
#[derive(Debug, PartialEq)]
pub struct Layout {
    /// Short name.
    pub id: &'static str,
    /// In words.
    pub words: &'static str,
    /// Where the winch is.
    pub winch: WinchAt,
    /// Parts of line at the load: the mechanical advantage.
    pub parts: u8,
    /// What is made fast to the stuck vehicle, the winch left out.
    pub casualty: &'static [Joint],
    /// What is made fast to anchors, the winch left out.
    pub fixed: &'static [Joint],
}

impl Layout {
    /// Blocks, and so sheaves that turn.
    pub fn blocks(&self) -> usize {
        self.joints().filter(|joint| joint.has_block()).count()
    }

    /// Every joint, those at the stuck vehicle first.
    pub fn joints(&self) -> impl Iterator<Item = Joint> {
        self.casualty.iter().chain(self.fixed).copied()
    }

    /// Force in the line to the winch, N, for a pull (N).
    pub fn fall_line(&self, pull: f64) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "three blocks at most")]
        let sheaves = self.blocks() as f64;
        r::fall_line(r::tackle_load(pull, r::SHEAVE_SHARE, sheaves), f64::from(self.parts))
    }

    /// The joints on the side away from the winch.
    pub fn far_side(&self) -> &'static [Joint] {
        match self.winch {
            WinchAt::Casualty => self.fixed,
            WinchAt::Helper => self.casualty,
        }
    }

    /// In three or four words, for a table.
    pub fn short(&self) -> &'static str {
        match (self.parts, self.turns()) {
            (1, false) => "single line",
            (2, false) => "double line",
            (3, false) => "three parts",
            (_, false) => "four parts",
            (1, true) => "single line, turned",
            (2, true) => "double line, turned",
            (_, true) => "three parts, turned",
        }
    }

    /// Whether the line is turned towards a winch that stands aside.
    pub fn turns(&self) -> bool {
        self.fixed.contains(&Joint::Turn)
    }
}

impl Serialize for &'static Layout {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.id)
    }
}

use Joint::{Block, End, Turn};

/// Every layout. Each block has one sheave in use and lines side by side, or turns the line by 90°.
pub static LAYOUTS: &[Layout] = &[
    Layout {
        id: "self-1",
        words: "own winch, single line to an anchor",
        winch: WinchAt::Casualty,
        parts: 1,
        casualty: &[],
        fixed: &[End],
    },
    Layout {
        id: "self-2",
        words: "own winch, double line: block at the anchor, end back on the vehicle",
        winch: WinchAt::Casualty,
        parts: 2,
        casualty: &[End],
        fixed: &[Block],
    },
    Layout {
        id: "self-3",
        words: "own winch, three parts: block at the anchor, block on the vehicle, end at a second anchor",
        winch: WinchAt::Casualty,
        parts: 3,
        casualty: &[Block],
        fixed: &[Block, End],
    },
    Layout {
        id: "self-4",
        words: "own winch, four parts: two blocks at anchors, block and end on the vehicle",
        winch: WinchAt::Casualty,
        parts: 4,
        casualty: &[Block, End],
        fixed: &[Block, Block],
    },
    Layout {
        id: "far-1",
        words: "winch at the far end, single line",
        winch: WinchAt::Helper,
        parts: 1,
        casualty: &[End],
        fixed: &[],
    },
    Layout {
        id: "far-2",
        words: "winch at the far end, double line: block on the stuck vehicle, end made fast",
        winch: WinchAt::Helper,
        parts: 2,
        casualty: &[Block],
        fixed: &[End],
    },
    Layout {
        id: "far-3",
        words: "winch at the far end, three parts: block on the stuck vehicle, block at an anchor, end on the stuck vehicle",
        winch: WinchAt::Helper,
        parts: 3,
        casualty: &[Block, End],
        fixed: &[Block],
    },
    Layout {
        id: "far-4",
        words: "winch at the far end, four parts: two blocks on the stuck vehicle, block and end at anchors",
        winch: WinchAt::Helper,
        parts: 4,
        casualty: &[Block, Block],
        fixed: &[Block, End],
    },
    Layout {
        id: "turn-1",
        words: "winch standing aside, single line turned by a block",
        winch: WinchAt::Helper,
        parts: 1,
        casualty: &[End],
        fixed: &[Turn],
    },
    Layout {
        id: "turn-2",
        words: "winch standing aside, line turned, then double: block on the stuck vehicle, end made fast",
        winch: WinchAt::Helper,
        parts: 2,
        casualty: &[Block],
        fixed: &[End, Turn],
    },
    Layout {
        id: "turn-3",
        words: "winch standing aside, line turned, then three parts",
        winch: WinchAt::Helper,
        parts: 3,
        casualty: &[Block, End],
        fixed: &[Block, Turn],
    },
];
