//! How a rig lies seen from above: where what holds it stands, what the drawings show, and the angles and the lost
//! pull that the sums take from it. Places are told across the line of the stuck vehicle, m.

use crate::recovery::layout::{Joint, Layout, WinchAt};

/// Between what stands side by side behind the brow, beyond the foot or on the level, m: room for a vehicle. The plan
/// prints it; wider, and its angles no longer hold. Common practice, no source.
pub const LANE: f64 = 3.0;
/// Distance between the two recovery points of one end, m: chassis rails. Common practice, no source.
pub const POINTS_APART: f64 = 0.8;
/// From the lower tyres of a vehicle that lies on its side up to the points of its upper side, m, by its track: the arm
/// of a line that rights it.
pub fn upper_arm(track: f64) -> f64 {
    f64::midpoint(track, POINTS_APART)
}

/// Shortest line an angle is taken at, m.
const SHORTEST: f64 = 1.0;

/// Whether a line hangs on a vehicle alone or beside a second one, each on its own point and its own anchor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Beside {
    /// Alone: what holds it stands in line with its point.
    Alone,
    /// The first of two: everything that holds it stands to one side of the middle.
    First,
    /// The second of two, to the other side.
    Second,
}

impl Beside {
    /// To which side of the middle.
    const fn sign(self) -> f64 {
        match self {
            Self::First => -1.0,
            Self::Alone | Self::Second => 1.0,
        }
    }
}

/// A part of line between the stuck vehicle and what holds it.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Part {
    /// The joint of the vehicle it runs from, none for its own winch, and where that is.
    near: (Option<usize>, f64),
    /// The fixed joint it runs to, none for the winch, and where that is.
    far: (Option<usize>, f64),
}

/// Where everything of one rig stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Stance {
    /// The winch: on its vehicle, at its anchor, or in front of the block that turns its line.
    pub winch: f64,
    /// What is made fast to the stuck vehicle, in the order of the layout.
    pub near: Vec<f64>,
    /// What is made fast elsewhere, in the order of the layout.
    pub fixed: Vec<f64>,
    parts: Vec<Part>,
}

impl Stance {
    /// Of a layout; `on_host` tells which of its fixed joints hang on the vehicle that carries the winch.
    pub fn of(layout: &Layout, on_host: &[bool], beside: Beside) -> Self {
        let near = match (layout.casualty, beside) {
            ([], _) => Vec::new(),
            ([_], Beside::Alone) => vec![0.0],
            ([_], _) => vec![beside.sign() * POINTS_APART / 2.0],
            _ => vec![-POINTS_APART / 2.0, POINTS_APART / 2.0],
        };
        let own = layout.winch == WinchAt::Casualty;
        // The winch stands outermost, so that whoever works it is away from the other lines; what hangs on its own
        // vehicle comes next.
        let mut order: Vec<Option<usize>> = if own || layout.turns() { Vec::new() } else { vec![None] };
        let hosted = |joint: &usize| on_host.get(*joint) == Some(&true);
        let turn = |joint: &usize| layout.fixed[*joint] == Joint::Turn;
        let mut joints: Vec<usize> = (0..layout.fixed.len()).collect();
        joints.sort_by_key(|joint| (!turn(joint), !hosted(joint)));
        order.extend(joints.into_iter().map(Some));
        let mut at = 0.0;
        let mut places: Vec<(Option<usize>, f64)> = Vec::new();
        for (no, joint) in order.iter().enumerate() {
            if no > 0 {
                at += if joint.is_some_and(|joint| hosted(&joint)) { POINTS_APART / 2.0 } else { LANE };
            }
            places.push((*joint, at));
        }
        let middle = match beside {
            Beside::Alone => middle(layout, &places),
            Beside::First | Beside::Second => at + LANE / 2.0,
        };
        let side = if beside == Beside::Second { -1.0 } else { 1.0 };
        let across = |wanted: Option<usize>| {
            places.iter().find(|(joint, _)| *joint == wanted).map(|(_, at)| side * (at - middle))
        };
        let fixed: Vec<f64> =
            (0..layout.fixed.len()).map(|joint| across(Some(joint)).unwrap_or(0.0)).collect();
        let turned = layout.fixed.iter().position(|joint| *joint == Joint::Turn);
        let winch = if own { 0.0 } else { across(turned).or_else(|| across(None)).unwrap_or(0.0) };
        let parts = parts(layout, winch, &near, &fixed);
        Self { winch, near, fixed, parts }
    }

    /// The share of the force in its parts that pulls along the vehicle, where they are so long (m): parts that
    /// spread pull less than parts that lie side by side.
    pub fn gather(&self, room: f64) -> f64 {
        let room = room.max(SHORTEST);
        let along: f64 = self.parts.iter().map(|part| way(part.far.1 - part.near.1, room)[0]).sum();
        #[expect(clippy::cast_precision_loss, reason = "a few parts")]
        let count = self.parts.len().max(1) as f64;
        along / count
    }

    /// How far the pull on a joint of the stuck vehicle lies off the vehicle's own line, rad, with parts so long, m.
    pub fn off(&self, joint: usize, room: f64) -> f64 {
        self.pull(room, |part| part.near.0 == Some(joint)).abs()
    }

    /// How far the pull on a fixed joint turns between two lengths of its parts, m: what holds it looks along its
    /// line as it lies at the first.
    pub fn swing(&self, joint: usize, [first, then]: [f64; 2]) -> f64 {
        let of = |room| self.pull(room, |part| part.far.0 == Some(joint));
        (of(first) - of(then)).abs()
    }

    /// The direction of what some parts pull together.
    fn pull(&self, room: f64, wanted: impl Fn(&Part) -> bool) -> f64 {
        let room = room.max(SHORTEST);
        let ways =
            self.parts.iter().filter(|part| wanted(part)).map(|part| way(part.far.1 - part.near.1, room));
        let [along, across] = ways.fold([0.0, 0.0], |sum, way| [sum[0] + way[0], sum[1] + way[1]]);
        if along > 0.0 { libm::atan2(across, along) } else { 0.0 }
    }

    /// Where a fixed joint, or the winch, stands among the parts of line counted from the winch: 0 at the first, 0.5
    /// between the first and the second.
    pub fn row(&self, joint: Option<usize>) -> f64 {
        let rows: Vec<f64> = (0..)
            .map(f64::from)
            .zip(&self.parts)
            .filter(|(_, part)| part.far.0 == joint)
            .map(|(no, _)| no)
            .collect();
        #[expect(clippy::cast_precision_loss, reason = "a few parts")]
        let count = rows.len().max(1) as f64;
        rows.iter().sum::<f64>() / count
    }

    /// The line as it runs from the winch: whether a place is on the stuck vehicle, and where.
    pub fn runs(&self) -> Vec<(bool, f64)> {
        let mut all: Vec<(bool, f64)> = Vec::new();
        for part in &self.parts {
            let ends = [(true, part.near.1), (false, part.far.1)];
            // A part begins where the one before it ended; the first begins at the winch.
            let begins_near = match all.last() {
                Some((near, _)) => *near,
                None => part.near.0.is_none(),
            };
            let [from, to] = if begins_near { ends } else { [ends[1], ends[0]] };
            if all.is_empty() {
                all.push(from);
            }
            all.push(to);
        }
        all
    }
}

/// Where the pull of all parts together lies.
fn middle(layout: &Layout, places: &[(Option<usize>, f64)]) -> f64 {
    let lines = |joint: &Option<usize>| match joint.map(|joint| layout.fixed[joint]) {
        Some(Joint::Block) => 2.0,
        _ => 1.0,
    };
    let whole: f64 = places.iter().map(|(joint, _)| lines(joint)).sum();
    let moment: f64 = places.iter().map(|(joint, at)| lines(joint) * at).sum();
    if whole > 0.0 { moment / whole } else { 0.0 }
}

/// The parts of line in the order the line runs, from the winch to its end.
fn parts(layout: &Layout, winch: f64, near: &[f64], fixed: &[f64]) -> Vec<Part> {
    let own = layout.winch == WinchAt::Casualty;
    let mut nears: Vec<(Option<usize>, f64)> = (0..).map(Some).zip(near.iter().copied()).collect();
    let fast = (0..).map(Some).zip(fixed.iter().copied());
    let mut fars: Vec<(Option<usize>, f64)> = Vec::new();
    if own {
        nears.insert(0, (None, winch));
    } else if let Some(turn) = layout.fixed.iter().position(|joint| *joint == Joint::Turn) {
        fars.push((Some(turn), fixed[turn]));
    } else {
        fars.push((None, winch));
    }
    fars.extend(fast.filter(|(joint, _)| joint.is_none_or(|joint| layout.fixed[joint] != Joint::Turn)));
    let (first, then) = if own { (&nears, &fars) } else { (&fars, &nears) };
    let mut knots: Vec<(bool, (Option<usize>, f64))> = Vec::new();
    for place in 0..first.len().max(then.len()) {
        knots.extend(first.get(place).map(|at| (own, *at)));
        knots.extend(then.get(place).map(|at| (!own, *at)));
    }
    let part = |pair: &[(bool, (Option<usize>, f64))]| {
        if pair[0].0 {
            Part { near: pair[0].1, far: pair[1].1 }
        } else {
            Part { near: pair[1].1, far: pair[0].1 }
        }
    };
    knots.windows(2).map(part).collect()
}

/// The direction of a line that runs so far across over so much along: its unit vector, along and across.
fn way(across: f64, along: f64) -> [f64; 2] {
    let length = libm::hypot(across, along);
    [along / length, across / length]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::recovery::layout::LAYOUTS;

    fn of(id: &str, on_host: &[bool], beside: Beside) -> Stance {
        Stance::of(LAYOUTS.iter().find(|layout| layout.id == id).expect("a layout"), on_host, beside)
    }

    #[test]
    fn every_layout_has_as_many_parts_as_it_says_and_pulls_straight_when_it_hangs_alone() {
        for layout in LAYOUTS {
            let stance = Stance::of(layout, &[false; 3], Beside::Alone);
            assert_eq!(stance.parts.len(), usize::from(layout.parts), "{}", layout.id);
            assert_eq!(stance.runs().len(), stance.parts.len() + 1, "{}", layout.id);
            let all = stance.pull(20.0, |_| true).to_degrees();
            assert!(all.abs() < 1.5, "{} {all}", layout.id);
        }
    }

    /// By hand: two anchors 3 m apart, points 0.8 m apart: each line runs 1.1 m across.
    #[test]
    fn two_lines_side_by_side_leave_the_vehicle_at_an_angle() {
        for beside in [Beside::First, Beside::Second] {
            let off = of("far-1", &[], beside).off(0, 11.0);
            assert!((off - (1.1_f64 / 11.0).atan()).abs() < 1e-12, "{off}");
        }
        let (first, second) = (of("far-1", &[], Beside::First), of("far-1", &[], Beside::Second));
        assert!(first.winch < 0.0 && second.winch > 0.0 && (second.winch - first.winch - LANE).abs() < 1e-12);
    }

    /// By hand: a double line to places 3 m apart, 4 m long: each part 1.5 m across, cos = 4 / sqrt(18.25).
    #[test]
    fn parts_that_spread_pull_less() {
        let apart = of("far-2", &[false], Beside::Alone);
        assert!((apart.gather(4.0) - 4.0 / 18.25_f64.sqrt()).abs() < 1e-12);
        assert!(apart.off(0, 4.0).abs() < 1e-12, "block in the middle");
        // On the winch’s own vehicle they hardly spread.
        assert!(of("far-2", &[true], Beside::Alone).gather(4.0) > 0.998);
        let swing = (1.5_f64 / 4.0).atan() - (1.5_f64 / 18.0).atan();
        assert!((apart.swing(0, [18.0, 4.0]) - swing).abs() < 1e-12);
    }
}
