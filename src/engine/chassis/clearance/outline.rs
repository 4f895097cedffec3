//! A slope seen from the side, from the ground before its brow to the end of its run-out.

use super::Bend;
use crate::course::Slope;
use crate::engine::chassis::body::Profile;
use crate::quantity::Length;

/// Ground kept before the brow, and beyond the foot where the run-out is not known, m: more than any vehicle is long.
const BEYOND: f64 = 15.0;

/// Finest piece into which a rounded bend is parted, rad: 1°.
const PIECE: f64 = std::f64::consts::PI / 180.0;

/// Least bend that is one, rad.
const BENDS: f64 = 1e-4;

/// Ground as a line of straight pieces, distance and height, m; distances never fall.
pub(super) struct Outline {
    line: Vec<[f64; 2]>,
    bends: Vec<At>,
}

/// A bend: where it is, level and along the line driven from the brow, and over what length it is rounded, m.
struct At {
    bend: Bend,
    level: f64,
    from_brow: f64,
    width: f64,
}

/// Straight ground before a bend is made of it.
struct Part {
    length: f64,
    pitch: f64,
    /// What the ground does at its end.
    bend: Bend,
    rounded: f64,
    drop: f64,
}

impl Outline {
    /// The line down a slope, its stretches steeper by these in turn, rad.
    pub(super) fn of(slope: &Slope, profile: &Profile, shift: [f64; 2]) -> Self {
        let parts = parts(slope, profile, shift);
        let mut outline = Self { line: vec![[0.0, 0.0]], bends: Vec::new() };
        let mut from_brow = -BEYOND;
        let mut corner = [0.0, 0.0];
        for (at, part) in parts.iter().enumerate() {
            corner = [
                corner[0] + part.length * libm::cos(part.pitch),
                corner[1] - part.length * libm::sin(part.pitch),
            ];
            from_brow += part.length;
            let Some(next) = parts.get(at + 1) else {
                outline.line.push(corner);
                break;
            };
            let rounded = rounded(part, next);
            outline.bend(corner, [part.pitch, next.pitch], rounded);
            if part.drop > 0.0 || (next.pitch - part.pitch).abs() > BENDS {
                let bend = part.bend;
                outline.bends.push(At { bend, level: corner[0], from_brow, width: rounded.0 });
            }
            corner[1] -= part.drop;
            if part.drop > 0.0 {
                outline.line.push(corner);
            }
        }
        outline
    }

    /// From one pitch to another around a corner: an arc so long, whose tangents are `reach` long, or the corner itself.
    fn bend(&mut self, [x, z]: [f64; 2], [before, after]: [f64; 2], (length, reach): (f64, f64)) {
        if length <= 0.0 {
            self.line.push([x, z]);
            return;
        }
        let start = [x - reach * libm::cos(before), z + reach * libm::sin(before)];
        let radius = length / (after - before);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "at most a half turn")]
        let pieces = ((after - before).abs() / PIECE).ceil().max(1.0) as u32;
        for piece in 0..=pieces {
            let pitch = before + (after - before) * f64::from(piece) / f64::from(pieces);
            self.line.push([
                start[0] + radius * (libm::sin(pitch) - libm::sin(before)),
                start[1] + radius * (libm::cos(pitch) - libm::cos(before)),
            ]);
        }
    }

    /// Its straight pieces.
    pub(super) fn pieces(&self) -> impl Iterator<Item = [[f64; 2]; 2]> {
        self.line.windows(2).map(|pair| [pair[0], pair[1]])
    }

    /// Its bends: how far along, and over what length each is rounded, m.
    pub(super) fn bends(&self) -> impl Iterator<Item = (f64, f64)> {
        self.bends.iter().map(|at| (at.level, at.width))
    }

    /// Between two distances from a hub, with distances and heights from it.
    pub(super) fn seen_from(&self, [x, z]: [f64; 2], [from, to]: [f64; 2]) -> Vec<[f64; 2]> {
        let mut seen: Vec<[f64; 2]> = Vec::new();
        for [a, b] in self.pieces() {
            let (low, high) = (a[0].max(x + from), b[0].min(x + to));
            if low > high {
                continue;
            }
            let steep = b[0] - a[0] < 1e-12;
            let height = |at: f64| a[1] + (b[1] - a[1]) * (at - a[0]) / (b[0] - a[0]);
            let ends = if steep { [a, b] } else { [[low, height(low)], [high, height(high)]] };
            seen.extend(ends.map(|[at, height]| [at - x, height - z]));
        }
        seen.dedup();
        seen
    }

    /// The bend nearest to a place, and how far from the brow it is along the line driven, m; none where it bends nowhere.
    pub(super) fn nearest(&self, place: f64) -> Option<(Bend, f64)> {
        let off = |at: &&At| (at.level - place).abs();
        let nearest = self.bends.iter().min_by(|a, b| off(a).total_cmp(&off(b)))?;
        Some((nearest.bend, nearest.from_brow))
    }

    /// Height of the hub of a wheel of this radius that stands with it over a place; none beyond the ground.
    pub(super) fn hub(&self, place: f64, radius: f64) -> Option<f64> {
        let (first, last) = (self.line.first()?, self.line.last()?);
        if place < first[0] || place > last[0] {
            return None;
        }
        let over = |[a, b]: [[f64; 2]; 2]| {
            let (low, high) = (a[0].max(place - radius), b[0].min(place + radius));
            if low > high || b[0] - a[0] < 1e-12 {
                return None;
            }
            let rises = (b[1] - a[1]) / (b[0] - a[0]);
            // Where a circle touches ground that rises so, seen from its middle.
            let touch = (place + radius * rises / libm::sqrt(1.0 + rises * rises)).clamp(low, high);
            let reach = (radius * radius - (touch - place) * (touch - place)).max(0.0);
            Some(a[1] + rises * (touch - a[0]) + libm::sqrt(reach))
        };
        self.pieces().filter_map(over).reduce(f64::max)
    }
}

/// Length of the arc between two parts, and of its tangents, m: these take no more than half of either part. A step is no
/// arc.
fn rounded(part: &Part, next: &Part) -> (f64, f64) {
    let turns = (next.pitch - part.pitch).abs();
    if part.rounded <= 0.0 || part.drop > 0.0 || turns <= BENDS {
        return (0.0, 0.0);
    }
    let of_arc = libm::tan(turns / 2.0) / turns;
    let reach = (part.rounded * of_arc).min(part.length / 2.0).min(next.length / 2.0);
    (reach / of_arc, reach)
}

/// Ground before the brow, stretches and run-out, steps told.
fn parts(slope: &Slope, profile: &Profile, shift: [f64; 2]) -> Vec<Part> {
    let si = |length: Option<Length>| length.map_or(0.0, Length::si);
    let straight = |length, pitch, bend| Part { length, pitch, bend, rounded: 0.0, drop: 0.0 };
    let before = slope.brow.before.si();
    let mut parts = vec![Part { rounded: si(slope.brow.rounded), ..straight(BEYOND, before, Bend::Brow) }];
    for (leg, shift) in profile.legs.iter().zip(shift.into_iter().cycle()) {
        parts.push(straight(leg.length, leg.pitch + shift, Bend::Joint));
    }
    if let Some(last) = parts.last_mut() {
        (last.bend, last.rounded) = (Bend::Foot, si(slope.foot_rounded));
    }
    let driven = profile.length() / slope.length().si();
    for step in slope.hazards.iter().filter_map(|danger| danger.step) {
        put_step(&mut parts, step.at.si() * driven, step.height.si());
    }
    match &profile.run_out {
        Some(run_out) => parts.push(straight(run_out.length.max(BEYOND), run_out.pitch, Bend::Foot)),
        // What lies there is not known, so nothing is said of it.
        None => parts.push(straight(BEYOND, parts.last().map_or(0.0, |last| last.pitch), Bend::Foot)),
    }
    parts
}

/// A step so far from the brow: at the end of a part, or in the middle of one, which it parts.
fn put_step(parts: &mut Vec<Part>, at: f64, height: f64) {
    let mut from_brow = -BEYOND;
    for index in 0..parts.len() {
        let part = &mut parts[index];
        let end = from_brow + part.length;
        if (end - at).abs() < 0.05 {
            (part.bend, part.drop) = (Bend::Step, height);
            return;
        }
        if at < end {
            let before = at - from_brow;
            let upper =
                Part { length: before, pitch: part.pitch, bend: Bend::Step, rounded: 0.0, drop: height };
            part.length -= before;
            parts.insert(index, upper);
            return;
        }
        from_brow = end;
    }
}
