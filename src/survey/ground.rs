//! What a survey found: stretches, where they meet, and what lies above the brow and below the foot.

/// A stretch of ground with one gradient.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Found {
    /// Level distance of its upper end from the first point, m.
    pub from: f64,
    /// The same of its lower end, m.
    pub to: f64,
    /// Below the horizontal, rad; a rise is negative.
    pub gradient: f64,
    /// Half of the 95 % interval, rad: all stretches' hold together.
    pub sure: f64,
}

impl Found {
    /// Along the ground, m.
    pub fn length(&self) -> f64 {
        (self.to - self.from) / libm::cos(self.gradient)
    }
}

/// Where two stretches meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bend {
    /// Level distance from the first point, m.
    pub at: f64,
    /// Least and greatest place it may lie at, with 95 %, m; both are `at` where a peg stands there.
    pub low: f64,
    /// Greatest.
    pub high: f64,
}

/// Ground from the first point to the last.
#[derive(Clone, Debug, PartialEq)]
pub struct Ground {
    /// From the first point down.
    pub stretches: Vec<Found>,
    /// Where they meet.
    pub bends: Vec<Bend>,
    /// How many times more the readings scatter than the instrument should; 1 where they don't.
    pub scatter: f64,
    /// Heights far off the ground found: level distance from the first point, and by how much above it, both m.
    pub far: Vec<(f64, f64)>,
}

/// Flatter than this, a vehicle does not roll off: before the brow or after the foot it is no part of the slope.
/// As for the flat ground of a locked stop.
pub const FLAT: f64 = 3.0 * std::f64::consts::PI / 180.0;

impl Ground {
    /// The stretches from brow to foot: flat ends and rises before and after are left out. All of them where none is
    /// steeper than flat ground.
    pub fn slope(&self) -> &[Found] {
        let steep = |found: &Found| found.gradient >= FLAT;
        let from = self.stretches.iter().position(steep).unwrap_or(0);
        let to = self.stretches.iter().rposition(steep).map_or(self.stretches.len(), |at| at + 1);
        self.stretches.get(from..to).unwrap_or_default()
    }

    /// What follows the foot, in one: its length along the ground, m, and its gradient, rad.
    pub fn run_out(&self) -> Option<(f64, f64)> {
        let foot = self.slope().last()?.to;
        let after: Vec<&Found> = self.stretches.iter().filter(|found| found.from >= foot - 1e-9).collect();
        let level = after.last()?.to - foot;
        let fall: f64 = after.iter().map(|found| (found.to - found.from) * libm::tan(found.gradient)).sum();
        Some((after.iter().map(|found| found.length()).sum(), libm::atan2(fall, level)))
    }

    /// A rise between brow and foot: a hump that no slope of a course can have.
    pub fn hump(&self) -> Option<&Found> {
        self.slope().iter().find(|found| found.gradient < 0.0)
    }

    /// Greatest gradient over a length along the ground, with half of its 95 % interval, rad, and where its upper end
    /// is, m; none where the slope is shorter.
    pub fn steepest_over(&self, length: f64) -> Option<(f64, f64, f64)> {
        let slope = self.slope();
        let whole: f64 = slope.iter().map(Found::length).sum();
        let mut starts = vec![0.0];
        for found in slope {
            let last = starts[starts.len() - 1];
            starts.push(last + found.length());
        }
        let mut windows: Vec<f64> = starts.iter().flat_map(|end| [*end, end - length]).collect();
        windows.sort_by(f64::total_cmp);
        let inside = windows.into_iter().filter(|start| *start >= -1e-9 && start + length <= whole + 1e-9);
        let of = |start: f64| {
            let (mut level, mut fall, mut doubt) = (0.0, 0.0, 0.0);
            for (found, from) in slope.iter().zip(&starts) {
                let part = ((start + length).min(from + found.length()) - start.max(*from)).max(0.0);
                level += part * libm::cos(found.gradient);
                fall += part * libm::sin(found.gradient);
                doubt += part * found.sure / length;
            }
            (libm::atan2(fall, level), doubt, start)
        };
        // The uppermost of equals.
        let steeper = |a: (f64, f64, f64), b: (f64, f64, f64)| if b.0 > a.0 + 1e-9 { b } else { a };
        inside.map(of).reduce(steeper)
    }

    /// Where the ground falls away most, and where it flattens most: place along the level, m, and both gradients, rad.
    pub fn crest_and_toe(&self) -> [Option<(f64, f64, f64)>; 2] {
        let turns = self.stretches.windows(2).map(|pair| (pair[0].to, pair[0].gradient, pair[1].gradient));
        let turns: Vec<(f64, f64, f64)> = turns.collect();
        let most = |sign: f64| {
            let by = |turn: &(f64, f64, f64)| sign * (turn.2 - turn.1);
            turns.iter().copied().filter(|turn| by(turn) > 0.0).max_by(|a, b| by(a).total_cmp(&by(b)))
        };
        [most(1.0), most(-1.0)]
    }
}
