//! What of a line or an area lies inside the frame of a drawing.

/// A point of the paper, mm from the upper left corner.
pub(super) type Point = [f64; 2];

/// The width and height of the frame, mm.
pub(super) type Frame = [f64; 2];

/// Pieces of a line that lie inside the frame.
pub(super) fn line(points: &[Point], frame: Frame) -> Vec<Vec<Point>> {
    let mut pieces: Vec<Vec<Point>> = Vec::new();
    for pair in points.windows(2) {
        let Some([a, b]) = segment(pair[0], pair[1], frame) else { continue };
        match pieces.last_mut() {
            Some(piece) if piece.last().is_some_and(|last| same(*last, a)) => piece.push(b),
            _ => pieces.push(vec![a, b]),
        }
    }
    pieces
}

fn same(a: Point, b: Point) -> bool {
    libm::hypot(a[0] - b[0], a[1] - b[1]) < 1e-9
}

/// The part of a straight line inside the frame, cut at one border after the other.
pub(super) fn segment(a: Point, b: Point, frame: Frame) -> Option<[Point; 2]> {
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for axis in 0..2 {
        let (start, way) = (a[axis], b[axis] - a[axis]);
        for (border, inwards) in [(0.0, 1.0), (frame[axis], -1.0)] {
            let (outside, speed) = (inwards * (border - start), inwards * way);
            if speed == 0.0 {
                if outside > 0.0 {
                    return None;
                }
            } else if speed > 0.0 {
                from = from.max(outside / speed);
            } else {
                to = to.min(outside / speed);
            }
        }
    }
    let at = |part: f64| [a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1])];
    (from < to).then(|| [at(from), at(to)])
}

/// The part of an area inside the frame: its corners, none where nothing is.
pub(super) fn area(corners: &[Point], frame: Frame) -> Vec<Point> {
    let mut left = corners.to_vec();
    for (axis, border, inwards) in [(0, 0.0, 1.0), (0, frame[0], -1.0), (1, 0.0, 1.0), (1, frame[1], -1.0)] {
        let depth = |point: Point| inwards * (point[axis] - border);
        let ends = left.iter().zip(left.iter().cycle().skip(1));
        left = ends
            .flat_map(|(a, b)| {
                let (here, next) = (depth(*a), depth(*b));
                let crossed = ((here < 0.0) != (next < 0.0)).then(|| {
                    let part = here / (here - next);
                    [a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1])]
                });
                [(here >= 0.0).then_some(*a), crossed]
            })
            .flatten()
            .collect();
    }
    left
}

#[cfg(test)]
mod tests {
    use super::*;

    const FRAME: Frame = [10.0, 5.0];

    #[test]
    fn a_line_is_cut_where_it_leaves_and_goes_on_where_it_comes_back() {
        assert_eq!(line(&[[1.0, 1.0], [4.0, 1.0], [9.0, 4.0]], FRAME).len(), 1);
        let pieces = line(&[[-5.0, 2.0], [5.0, 2.0], [5.0, 8.0], [8.0, 8.0], [8.0, 2.0]], FRAME);
        assert_eq!(pieces, [vec![[0.0, 2.0], [5.0, 2.0], [5.0, 5.0]], vec![[8.0, 5.0], [8.0, 2.0]]]);
        assert!(line(&[[-5.0, -2.0], [20.0, -2.0]], FRAME).is_empty());
    }

    #[test]
    fn an_area_keeps_what_is_inside() {
        let whole = [[2.0, 1.0], [6.0, 1.0], [6.0, 4.0]];
        assert_eq!(area(&whole, FRAME), whole);
        let size = |corners: &[Point]| {
            let ends = corners.iter().zip(corners.iter().cycle().skip(1));
            0.5 * ends.map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum::<f64>()
        };
        let cut = area(&[[-10.0, -10.0], [5.0, -10.0], [5.0, 20.0], [-10.0, 20.0]], FRAME);
        assert!((size(&cut) - 25.0).abs() < 1e-9, "{cut:?}");
        assert!(area(&[[20.0, 20.0], [30.0, 20.0], [25.0, 30.0]], FRAME).is_empty());
    }
}
