//! A photograph of a slope, and where brow and foot are seen in it.

use crate::course::Remark;
use crate::quantity::Share;

/// A picture file beside the course file.
#[derive(Clone, Debug, PartialEq)]
pub struct Photograph {
    /// Its file.
    pub file: String,
    /// What it shows; none where its name says it.
    pub shows: Option<Remark>,
    /// Where brow and foot of the line are seen, where the course says so.
    pub line: Option<SeenLine>,
}

/// Two places in a picture, the right way up: parts of its width from the left and of its height from the top.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SeenLine {
    /// Where the brow is seen.
    pub brow: [Share; 2],
    /// Where the foot is seen.
    pub foot: [Share; 2],
}

impl SeenLine {
    /// The angle it has in a picture of this shape, width over height: below the horizontal, rad.
    pub fn angle(&self, shape: f64) -> f64 {
        let [across, down] = [0, 1].map(|at| self.foot[at].si() - self.brow[at].si());
        libm::atan2(down, (across * shape).abs())
    }
}
