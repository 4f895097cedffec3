//! Pieces of the kit, and winches: how much line there is, on which layer, and what is pulled with it.

use crate::course::{Drum, End};
use crate::engine::formulas::recovery as r;
use crate::recovery::facts::LAST_LAYER_LOSS;

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
    /// Place in [`helpers`](super::Gear::helpers) of the vehicle that carries it; none for a portable one.
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
