//! What a plan hands to the templates: points of the paper in millimetres, names in their places, words.

use serde::Serialize;

use super::clip::Point;
use super::label::Placed;

/// How large a drawing may be, and its type, mm.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Size {
    pub width: f64,
    pub height: f64,
    /// Size of the type.
    pub letters: f64,
}

/// A plan, drawn.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct SitePicture {
    pub width: f64,
    pub height: f64,
    pub letters: f64,
    pub areas: Vec<Area>,
    pub lines: Vec<Line>,
    /// Where one stretch of a slope ends and the next begins, as two points of a mark across the line.
    pub bounds: Vec<[Point; 2]>,
    pub symbols: Vec<Symbol>,
    pub labels: Vec<Placed>,
    /// Names that found no place; the words beside the drawing have them.
    pub left_out: Vec<String>,
    /// Length of the scale bar, mm, and what it says.
    pub bar: f64,
    pub bar_text: String,
    /// Where north lies: a way of length 1 on the paper, downwards positive; and which north it is.
    pub north: Point,
    pub north_text: &'static str,
    /// What the signs of this drawing mean, each once.
    pub key: Vec<(&'static str, &'static str)>,
    pub alt: String,
    pub caption: String,
    /// How high the strips are above and below the frame that say that the driver's left is the upper side and the
    /// right the lower one, with north and the scale, mm; 0 where these stand inside.
    pub band: f64,
}

/// An area, filled as its kind is.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Area {
    pub kind: &'static str,
    pub points: Vec<Point>,
}

/// A line, drawn as its kind is.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Line {
    pub kind: &'static str,
    pub points: Vec<Point>,
    /// Whether it ends where it was cut, not where it is written to end.
    pub cut: bool,
    /// Of an edge: whether the ground is low on its right.
    pub low_right: bool,
}

/// A sign at a point.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Symbol {
    pub kind: &'static str,
    pub at: Point,
}

/// Who is drawn on a slope's own part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Who {
    /// A closed slope: nobody.
    Nobody,
    /// Whoever assesses has a post elsewhere meanwhile.
    AllButTheAssessor,
    /// Everybody with a spot.
    Everybody,
}
