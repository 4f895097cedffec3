//! From what was measured on the ground to the stretches of a slope, and how sure they are.
//!
//! A table of heights read close together becomes a bent line of least weighted squares; heights at pegs, and pieces
//! measured one by one with tape and inclinometer, are joined where they do not differ. The number of stretches is the
//! one the Bayesian information criterion asks for, and every gradient has a 95 % interval from the instrument's stated
//! accuracy, or from the scatter of the readings where that is greater.
//!
//! ```
//! use slopepack::survey::{Instrument, read, survey};
//! let table = "level (m),height (m)\n0,0.00\n10,-0.02\n20,-3.66\n30,-7.29\n40,-10.94\n";
//! let measured = read(table.as_bytes()).expect("a table of heights").measured;
//! let found = survey(&measured, Instrument::named("level").expect("it is known"));
//! let slope = found.ground.slope();
//! assert_eq!(slope.len(), 1);
//! assert!((slope[0].gradient.to_degrees() - 20.0).abs() < slope[0].sure.to_degrees());
//! ```

mod ground;
mod hidden;
mod instrument;
mod least;
mod paste;
mod profile;
mod readings;
mod steps;
mod sure;
mod track;

pub use ground::{Bend, FLAT, Found, Ground};
pub use hidden::Steeper;
pub use instrument::{INSTRUMENTS, Instrument};
pub use least::Solved;
pub use paste::{Paste, WANTED, either_side};
pub use profile::Profile;
pub use readings::{Readings, read};
pub use steps::{Parted, parted};
pub use sure::{SURE, criterion, criterion_of, factor};
pub use track::{Track, is_track, read_track};

/// Shortest stretch that is looked for between points, m of level distance.
pub const LEAST_STRETCH: f64 = 5.0;
/// Most bends: more than five stretches no slope of a course has use for.
pub const MOST_BENDS: usize = 4;
/// Points nearer to one another than this, m on average, are heights along the way; others stand at pegs, where
/// the ground changes.
pub const ALONG_THE_WAY: f64 = 2.5;
/// Limit by which a peg or a staff stands above or below the ground about it, m: judgement.
const UNEVEN: f64 = 0.02;
/// Points kept of a longer table: neighbours are put together.
const MOST_POINTS: usize = 160;

/// A height at a level distance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Level distance from the first point, m.
    pub at: f64,
    /// Height above any level, m.
    pub height: f64,
    /// Standard uncertainty of the height, m.
    pub unsure: f64,
}

/// A piece of ground measured by itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// Along the ground, m.
    pub length: f64,
    /// Below the horizontal, rad.
    pub gradient: f64,
    /// Standard uncertainty of the gradient that is this piece's own, rad.
    pub unsure: f64,
    /// Standard uncertainties of the heights at both ends, m, where heights were read from one stand.
    pub ends: Option<[f64; 2]>,
}

impl Piece {
    /// Level distance, m.
    pub fn level(&self) -> f64 {
        self.length * libm::cos(self.gradient)
    }

    /// Height lost, m.
    pub fn fall(&self) -> f64 {
        self.length * libm::sin(self.gradient)
    }
}

/// What somebody measured, from the first row to the last.
#[derive(Clone, Debug, PartialEq)]
pub enum Measured {
    /// Level distance from the first point and height, both m.
    Heights(Vec<(f64, f64)>),
    /// Length along the ground, m, and fall below the horizontal, rad, of each piece.
    Pieces(Vec<(f64, f64)>),
}

/// What a survey came to.
#[derive(Clone, Debug, PartialEq)]
pub struct Survey {
    /// The ground from its upper end.
    pub ground: Ground,
    /// Whether it was measured from the foot up, and has been turned round.
    pub turned: bool,
    /// Whether the ends of stretches were looked for between points; else they are pegs.
    pub between: bool,
    /// Readings that were put together with their neighbours: so many in one; 1 where none were.
    pub joined: usize,
    /// What was read, from the upper end: heights, or the ends of pieces laid one after another.
    pub points: Vec<Point>,
    /// Ground steeper than the stretches found there.
    pub steeper: Option<Steeper>,
}

/// Finds the stretches.
pub fn survey(measured: &Measured, instrument: Instrument) -> Survey {
    match measured {
        Measured::Heights(heights) => of_heights(heights, instrument),
        Measured::Pieces(pieces) => {
            let all = pieces.iter().map(|(length, gradient)| Piece {
                length: *length,
                gradient: *gradient,
                unsure: libm::hypot(instrument.of_piece(*length), uneven(*length)),
                ends: None,
            });
            of_pieces(all.collect(), instrument)
        }
    }
}

fn of_heights(heights: &[(f64, f64)], instrument: Instrument) -> Survey {
    let point = |(number, (at, height)): (usize, &(f64, f64))| {
        let place = instrument.of_place(fall_about(heights, number));
        Point { at: *at, height: *height, unsure: libm::hypot(instrument.of_height(*at), place) }
    };
    let mut points: Vec<Point> = heights.iter().enumerate().map(point).collect();
    let rises = points.first().zip(points.last()).is_some_and(|(first, last)| last.height > first.height);
    if rises {
        let whole = points.last().map_or(0.0, |last| last.at);
        for point in &mut points {
            point.at = whole - point.at;
        }
        points.reverse();
    }
    let reach = points.last().map_or(0.0, |last| last.at);
    let spacing = reach / sure::number(points.len().saturating_sub(1).max(1));
    let ends = |pair: &[Point]| between(&pair[0], &pair[1], instrument);
    let pieces = || of_pieces(points.windows(2).filter_map(ends).collect(), instrument);
    if !instrument.one_stand || spacing > ALONG_THE_WAY {
        return Survey { turned: rises, ..pieces() };
    }
    let joined = points.len().div_ceil(MOST_POINTS);
    let points: Vec<Point> = points.chunks(joined).map(together).collect();
    let common = |gradient: f64| instrument.in_common(reach, gradient);
    let ground = Profile::of(&points, MOST_BENDS, LEAST_STRETCH).and_then(|line| line.ground(common));
    match ground {
        Some(ground) => {
            let steeper = hidden::steeper(&points, &ground);
            Survey { ground, turned: rises, between: true, joined, points, steeper }
        }
        None => Survey { turned: rises, ..pieces() },
    }
}

/// How much the ground falls, a metre of level way, between the neighbours of a point on either side.
fn fall_about(heights: &[(f64, f64)], number: usize) -> f64 {
    let last = heights.len().saturating_sub(1);
    let (above, below) = (heights[number.saturating_sub(2)], heights[(number + 2).min(last)]);
    let level = (below.0 - above.0).abs();
    if level > 0.0 { (below.1 - above.1) / level } else { 0.0 }
}

/// What uneven ground at both ends makes of the gradient of a piece, rad.
fn uneven(length: f64) -> f64 {
    libm::sqrt(2.0 / 3.0) * UNEVEN / length
}

/// The piece between two points; none between two readings of one.
fn between(above: &Point, below: &Point, instrument: Instrument) -> Option<Piece> {
    let (level, fall) = (below.at - above.at, above.height - below.height);
    let length = libm::hypot(level, fall);
    if level <= 0.0 {
        return None;
    }
    let by_piece = !instrument.one_stand;
    let of_ends = libm::hypot(above.unsure, below.unsure) * level / (length * length);
    let own = if by_piece { instrument.of_piece(length) } else { of_ends };
    Some(Piece {
        length,
        gradient: libm::atan2(fall, level),
        unsure: libm::hypot(own, uneven(length)),
        ends: (!by_piece).then_some([above.unsure, below.unsure]),
    })
}

/// Neighbours as one point.
fn together(points: &[Point]) -> Point {
    let count = sure::number(points.len());
    let mean = |of: fn(&Point) -> f64| points.iter().map(of).sum::<f64>() / count;
    Point {
        at: mean(|point| point.at),
        height: mean(|point| point.height),
        unsure: mean(|point| point.unsure) / libm::sqrt(count),
    }
}

fn of_pieces(mut pieces: Vec<Piece>, instrument: Instrument) -> Survey {
    let turned = pieces.iter().map(Piece::fall).sum::<f64>() < 0.0;
    if turned {
        pieces.reverse();
        for piece in &mut pieces {
            piece.gradient = -piece.gradient;
        }
    }
    let common = |sight: f64, gradient: f64| instrument.in_common(sight, gradient);
    let ground = steps::ground(&pieces, common);
    let points = ends_of(&pieces);
    let steeper = hidden::steeper(&points, &ground);
    Survey { ground, turned, between: false, joined: 1, points, steeper }
}

/// The ends of pieces one after another, each as sure as the gradient of its own piece.
fn ends_of(pieces: &[Piece]) -> Vec<Point> {
    let mut ends = vec![Point { at: 0.0, height: 0.0, unsure: 0.0 }];
    for piece in pieces {
        let above = ends[ends.len() - 1];
        ends.push(Point {
            at: above.at + piece.level(),
            height: above.height - piece.fall(),
            unsure: piece.unsure * piece.length,
        });
    }
    ends
}
