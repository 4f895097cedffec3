//! From metres of the ground to millimetres of the paper: turned, at a round scale, never mirrored.

use super::clip::{Frame, Point};
use super::picture::Size;
use crate::course::Spot;

/// Scales a plan is drawn to: one to so many.
const SCALES: [f64; 19] = [
    100.0, 150.0, 200.0, 250.0, 300.0, 400.0, 500.0, 600.0, 750.0, 1000.0, 1250.0, 1500.0, 2000.0, 2500.0,
    3000.0, 4000.0, 5000.0, 10000.0, 20000.0,
];
/// Ground round the outermost things of a drawing, mm on the paper.
const MARGIN: f64 = 5.0;
/// Least height of a drawing, in sizes of its type: names need room above and below a level line.
const LEAST: f64 = 7.0;
/// From metres of the site to millimetres of the paper.
pub(super) struct Paper {
    /// The spot at the upper left corner of what is drawn, in turned metres.
    corner: [f64; 2],
    /// The way on the ground that lies to the right on the paper: (east, north), of length 1.
    pub(super) right: [f64; 2],
    /// Millimetres for a metre.
    pub(super) scale: f64,
    pub(super) frame: Frame,
}

impl Paper {
    /// As large as its room allows at one of the [`SCALES`]; `right` is the way that lies to the right.
    pub(super) fn of(spots: &[Spot], right: [f64; 2], size: Size) -> (Self, f64) {
        let turned = |spot: &Spot| turn(*spot, right);
        let (mut low, mut high) = ([f64::MAX; 2], [f64::MIN; 2]);
        for point in spots.iter().map(turned) {
            for axis in 0..2 {
                low[axis] = low[axis].min(point[axis]);
                high[axis] = high[axis].max(point[axis]);
            }
        }
        let room = [size.width - 2.0 * MARGIN, size.height - 2.0 * MARGIN];
        let fits = |of: f64| (0..2).all(|axis| (high[axis] - low[axis]) * 1000.0 / of <= room[axis]);
        let of = SCALES.into_iter().find(|of| fits(*of)).unwrap_or_else(|| {
            let need = (0..2).map(|axis| (high[axis] - low[axis]) * 1000.0 / room[axis]).fold(0.0, f64::max);
            libm::ceil(need / 1000.0) * 1000.0
        });
        let scale = 1000.0 / of;
        let height = ((high[1] - low[1]) * scale + 2.0 * MARGIN).max(size.letters * LEAST).min(size.height);
        let frame = [size.width, height];
        // What is drawn stands in the middle of its frame.
        let corner = [0, 1].map(|axis| 0.5 * (low[axis] + high[axis]) - 0.5 * frame[axis] / scale);
        (Self { corner, right, scale, frame }, of)
    }

    pub(super) fn at(&self, spot: Spot) -> Point {
        let point = turn(spot, self.right);
        [0, 1].map(|axis| rounded((point[axis] - self.corner[axis]) * self.scale))
    }

    pub(super) fn all(&self, spots: &[Spot]) -> Vec<Point> {
        spots.iter().map(|spot| self.at(*spot)).collect()
    }

    /// Whether a sign of this half width has room at a point.
    pub(super) fn holds(&self, [x, y]: Point, half: f64) -> bool {
        x >= half && y >= half && x <= self.frame[0] - half && y <= self.frame[1] - half
    }
}

/// A spot with the way `right` along the first axis and what lies on that way's right hand along the second: on
/// paper, whose second axis runs down, nothing is mirrored.
fn turn(spot: Spot, right: [f64; 2]) -> [f64; 2] {
    [spot.east * right[0] + spot.north * right[1], spot.east * right[1] - spot.north * right[0]]
}

/// To the hundredth of a millimetre.
pub(super) fn rounded(mm: f64) -> f64 {
    (100.0 * mm).round() / 100.0
}
