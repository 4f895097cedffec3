//! A rig from above, worked a second time: where what holds it stands, and the angles of its lines.

use slopepack::recovery::stance::Beside;
use slopepack::recovery::task::Task;
use slopepack::recovery::{BEYOND, LANE, POINTS_APART};

use crate::recovery_brute::Run;

/// A rig from above, metres across: what holds it, what it hangs on, and the order in which the line runs between.
pub(crate) struct Above {
    near: Vec<f64>,
    fixed: Vec<f64>,
    /// Pairs of (place on the vehicle, place away from it); none is the winch.
    parts: Vec<[Option<usize>; 2]>,
    winch: f64,
    lines: [f64; 2],
}

impl Above {
    pub(crate) fn of(run: &Run, on_host: &[bool], task: &Task) -> Self {
        let sign = if task.beside == Beside::First { -1.0 } else { 1.0 };
        let near = match (run.casualty.len(), task.beside) {
            (0, _) => vec![],
            (1, Beside::Alone) => vec![0.0],
            (1, _) => vec![sign * POINTS_APART / 2.0],
            _ => vec![-POINTS_APART / 2.0, POINTS_APART / 2.0],
        };
        // From the outside in: winch or turned block, what hangs on the same vehicle, the rest.
        let turn = run.turned.then(|| run.fixed.len() - 1);
        let outermost = if run.self_recovery || run.turned { vec![] } else { vec![None] };
        let rest =
            |host: bool| (0..run.fixed.len()).filter(move |no| Some(*no) != turn && on_host[*no] == host);
        let places: Vec<Option<usize>> = outermost
            .into_iter()
            .chain(turn.into_iter().chain(rest(true)).chain(rest(false)).map(Some))
            .collect();
        let mut at = vec![0.0];
        for place in places.iter().skip(1) {
            let step = if place.is_some_and(|no| on_host[no]) { POINTS_APART / 2.0 } else { LANE };
            at.push(at.last().unwrap() + step);
        }
        let lines_at = |place: &Option<usize>| match place {
            Some(no) if Some(*no) != turn => run.fixed[*no].lines,
            _ => 1.0,
        };
        let whole: f64 = places.iter().map(lines_at).sum();
        let centre = places.iter().zip(&at).map(|(place, at)| lines_at(place) * at).sum::<f64>() / whole;
        let innermost = at[places.len().max(1) - 1];
        let across = |no: Option<usize>| {
            let at = at[places.iter().position(|place| *place == no).unwrap()];
            match task.beside {
                Beside::Alone => at - centre,
                Beside::First => at - innermost - LANE / 2.0,
                Beside::Second => innermost - at + LANE / 2.0,
            }
        };
        let fixed = (0..run.fixed.len()).map(|no| across(Some(no))).collect();
        let winch = if run.self_recovery || run.turned { 0.0 } else { across(None) };
        // From the winch to the other side and back, as often as there are places.
        let mut ends: [Vec<Option<usize>>; 2] = [
            (0..run.casualty.len()).map(Some).collect(),
            (0..run.fixed.len()).filter(|no| Some(*no) != turn).map(Some).collect(),
        ];
        let own = usize::from(!run.self_recovery);
        ends[own].insert(0, if run.turned { turn } else { None });
        let (mut parts, mut here) = (Vec::new(), own);
        let mut used = [0, 0];
        used[own] = 1;
        let mut from = ends[own][0];
        while let Some(to) = ends[1 - here].get(used[1 - here]).copied() {
            parts.push(if here == 0 { [from, to] } else { [to, from] });
            (here, from) = (1 - here, to);
            used[here] += 1;
        }
        let lines = [task.distance, task.nearest.max(BEYOND)].map(|long| long - task.reach);
        Self { near, fixed, parts, winch, lines }
    }

    fn sideways(&self, [near, far]: [Option<usize>; 2]) -> f64 {
        far.map_or(self.winch, |no| self.fixed[no]) - near.map_or(0.0, |no| self.near[no])
    }

    /// Share of the parts' force that pulls straight.
    pub(crate) fn gather(&self, room: f64) -> f64 {
        let straight = |part: &[Option<usize>; 2]| (self.sideways(*part) / room.max(1.0)).atan().cos();
        #[allow(clippy::cast_precision_loss)]
        let count = self.parts.len() as f64;
        self.parts.iter().map(straight).sum::<f64>() / count
    }

    /// Angle, degrees, of what the parts at a place pull together.
    fn angle(&self, long: f64, at: impl Fn(&[Option<usize>; 2]) -> bool) -> f64 {
        let (mut x, mut y) = (0.0, 0.0);
        for part in self.parts.iter().filter(|part| at(part)) {
            let angle = (self.sideways(*part) / long.max(1.0)).atan();
            x += angle.cos();
            y += angle.sin();
        }
        f64::atan2(y, x).to_degrees()
    }

    pub(crate) fn off(&self, no: usize) -> f64 {
        self.angle(self.lines[1], |part| part[0] == Some(no)).abs()
    }

    pub(crate) fn swing(&self, no: usize) -> f64 {
        let [at_first, at_last] = self.lines.map(|long| self.angle(long, |part| part[1] == Some(no)));
        (at_first - at_last).abs()
    }
}
