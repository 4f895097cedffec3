//! From every way down to the one mark of a pair.

mod gear_choice;

use super::forgiving::{of_ground, too_fast};
use super::judgement::{Differential, Judgement, NextGear, NotDriven, Unforgiving};
use super::leaning::leans;
use super::limits::Check;
use super::near::{breaks, decidings, helped_nearly};
use super::setting::{Setting, Told};
use super::where_locked::worst_lock;
use super::win_back::measure;
use crate::course::{Driven, Gear, Lock};
use crate::engine::Spread;
use crate::engine::chassis::axle::AxleDemand;
use crate::engine::chassis::drive::overall_ratio_of;
use crate::engine::descent::Descent;
use crate::engine::mark::{Deciding, Mark, What};
use crate::engine::way::Way;
use gear_choice::{best, too_low};

/// The gears with what each comes to, foot off the brake.
pub(crate) struct InGear {
    /// The best, by [`best`]; where none goes by itself, the one the foot brake helps.
    pub(crate) best: Option<usize>,
    /// Each gear's mark, in the order of the ways.
    pub(crate) marks: Vec<Mark>,
    /// The first limit that a tolerance breaks in each gear, in the order of the ways.
    nearly: Vec<Option<What>>,
    /// What nearly decides in the best; it does decide where that is not forgiven.
    near: Vec<Deciding>,
    /// Why the best is not driven near a limit; empty where it is, or where no tolerance breaks it.
    unforgiving: Vec<Unforgiving>,
}

/// What gears come to on ground beside the line that they must hold on as well, in the order of the ways.
pub(crate) struct OffLine {
    /// Each gear's mark there.
    pub(crate) marks: Vec<Mark>,
    /// What speaks against each there, the worst first; nothing where it holds with every tolerance.
    pub(crate) against: Vec<Vec<Deciding>>,
}

/// Judges the gears: each on the line, and on the way out where the line leans.
pub(crate) fn in_gear(setting: &Setting, gears: &[Told], out: Option<&OffLine>) -> InGear {
    let mut breaks: Vec<_> = gears.iter().map(|told| breaks(setting, told).peekable()).collect();
    let mut marks: Vec<Mark> = gears
        .iter()
        .zip(&mut breaks)
        .map(|(told, breaks)| match (told.verdict.within_limits, breaks.peek().is_none()) {
            (true, true) => Mark::Within,
            (true, false) => Mark::Near,
            (false, _) => Mark::Refused,
        })
        .enumerate()
        .map(|(at, mark)| out.map_or(mark, |out| mark.max(out.marks[at])))
        .collect();
    let nearly = breaks
        .iter_mut()
        .enumerate()
        .map(|(at, breaks)| {
            let here = breaks.peek().map(|(check, _)| check.what);
            here.or_else(|| out?.against[at].first().map(|one| one.what))
        })
        .collect();
    let descents: Vec<&Descent> = gears.iter().map(|told| &told.descent).collect();
    let best = best(setting.slope, setting.vehicle, &descents, &marks);
    let mut near = best.map(|at| decidings(breaks.swap_remove(at).collect(), &gears[at])).unwrap_or_default();
    if let Some((at, out)) = best.zip(out).filter(|(at, _)| gears[*at].verdict.within_limits) {
        near.extend_from_slice(&out.against[at]);
    }
    let some_near = marks.contains(&Mark::Near);
    let mut unforgiving = best
        .filter(|_| some_near)
        .map(|at| unforgiving(setting, &gears[at], marks[at], &near))
        .unwrap_or_default();
    if !unforgiving.is_empty() {
        // The best holds, or is the slowest of them: what it is not forgiven, no other is.
        for mark in &mut marks {
            *mark = if *mark == Mark::Near { Mark::Refused } else { *mark };
        }
        for one in &mut near {
            one.decides = true;
        }
    }
    if near.is_empty() {
        // It holds with every tolerance: its mark hangs on none of this.
        unforgiving.clear();
    }
    InGear { best, marks, nearly, near, unforgiving }
}

/// Why no gear near a limit is driven here with the foot over the brake: by the ground as the best gear with its mark
/// would meet it, and by what a tolerance makes of that gear.
fn unforgiving(setting: &Setting, told: &Told, mark: Mark, near: &[Deciding]) -> Vec<Unforgiving> {
    let mut all = of_ground(setting, worst_lock(setting, told, mark).as_ref());
    all.extend(too_fast(setting, near).then_some(Unforgiving::TooFast));
    all
}

/// What the foot brake with a gear comes to.
pub(crate) struct Helped<'a> {
    told: &'a Told,
    /// What a tolerance would break.
    pub(crate) near: Vec<Deciding>,
    /// Why that is not forgiven; empty where it is, or where no tolerance breaks it.
    unforgiving: Vec<Unforgiving>,
    /// What speaks against it on the way out.
    off_way_out: Vec<Deciding>,
}

impl<'a> Helped<'a> {
    /// `off_way_out`: what speaks against it on the way out of a line that leans.
    pub(crate) fn of(setting: &Setting, told: &'a Told, off_way_out: Vec<Deciding>) -> Self {
        let near = if told.verdict.within_limits { helped_nearly(setting, told) } else { Vec::new() };
        let ground = || of_ground(setting, worst_lock(setting, told, Mark::WithBrake).as_ref());
        let unforgiving = if near.is_empty() { Vec::new() } else { ground() };
        Self { told, near, unforgiving, off_way_out }
    }

    /// Whether it is driven.
    pub(crate) fn goes(&self) -> bool {
        self.told.verdict.within_limits && self.unforgiving.is_empty() && self.off_way_out.is_empty()
    }
}

/// The one mark of a pair with all that belongs to it; `off_way_out` is what speaks against the foot brake with the best
/// gear on the way out of a line that leans.
pub(crate) fn judge(
    setting: &Setting,
    ways: &[Told],
    in_gear: &InGear,
    off_way_out: Vec<Deciding>,
) -> Judgement {
    let best = in_gear.best.and_then(|at| ways.get(at));
    let in_best = in_gear.best.map_or(Mark::Refused, |at| in_gear.marks[at]);
    let assisted = ways.iter().find(|told| told.descent.way == Way::Assisted);
    let helped =
        assisted.filter(|_| in_best == Mark::Refused).map(|told| Helped::of(setting, told, off_way_out));
    let (mark, told) = match &helped {
        Some(helped) if helped.goes() => (Mark::WithBrake, Some(helped.told)),
        _ => (in_best, best),
    };
    let mut reasons = reasons(in_gear, mark, best, helped.as_ref());
    let mut unforgiving = in_gear.unforgiving.clone();
    unforgiving.extend(helped.iter().flat_map(|helped| &helped.unforgiving));
    unforgiving.sort();
    unforgiving.dedup();
    let missing = if mark.goes() { missing(setting) } else { Vec::new() };
    let way = told.map_or(Way::Geared, |told| told.descent.way);
    reasons.splice(0..0, missing.iter().map(|check| check.deciding(way, None, true, None)));
    let mark = if missing.is_empty() { mark } else { Mark::NotJudged };
    let none = Spread::of([0.0; 3]);
    let nearly = |one: &&Deciding| one.what == What::Speed && !one.decides;
    let near_speed = reasons.iter().find(nearly).filter(|_| mark.goes()).map(|one| one.value);
    let tried: Vec<(Gear, Mark, &[Deciding])> = ways
        .iter()
        .zip(&in_gear.marks)
        .filter_map(|(told, mark)| Some((told.descent.gear?, *mark, told.verdict.broken.as_slice())))
        .collect();
    Judgement {
        mark,
        way: told.map(|told| told.descent.way),
        gear: told.and_then(|told| told.descent.gear),
        lowest: pick(setting, ways, in_gear, Mark::goes, f64::max),
        recommended: best.filter(|_| in_best == Mark::Within).and_then(|told| told.descent.gear),
        too_high: too_high(setting, ways, in_gear),
        next: told.filter(|_| mark.goes()).and_then(|told| next_up(setting, ways, in_gear, told)),
        too_low: too_low(
            setting.vehicle,
            &tried,
            told.filter(|_| mark == Mark::WithBrake).and_then(|told| told.descent.gear),
        ),
        gears: tried.iter().map(|(gear, mark, _)| (*gear, *mark)).collect(),
        measure: measure(setting, mark, &reasons),
        top_speed: told.map_or(none, |told| told.descent.top_speed),
        top_at: told.map(|told| told.descent.fastest_run().top_at),
        near_speed,
        foot_speed: told.map_or(none, |told| told.descent.foot_speed),
        lock: told.map(|_| to_lock(setting)).unwrap_or_default(),
        unlock: Vec::new(),
        axles: told.and_then(|told| told.descent.axles()).unwrap_or(AxleDemand::default()),
        locked: told.and_then(|told| worst_lock(setting, told, mark)),
        stop: told.and_then(|told| told.stop?.distance),
        way_out: None,
        reasons,
        unforgiving,
    }
}

/// What nobody measured, without which no vehicle is judged here.
fn missing(setting: &Setting) -> Vec<Check> {
    let slope = setting.slope;
    let run_out = slope.run_out.is_none().then(Check::run_out_missing);
    let way_out = (leans(slope) && slope.escape.is_none()).then(Check::way_out_missing);
    run_out.into_iter().chain(way_out).collect()
}

/// What decides, then what nearly does, each the worst first.
fn reasons(in_gear: &InGear, mark: Mark, best: Option<&Told>, helped: Option<&Helped>) -> Vec<Deciding> {
    let broken = |told: &Told| told.verdict.broken.clone();
    let mut reasons: Vec<Deciding> = best.map(broken).unwrap_or_default();
    if let Some(helped) = helped {
        let decides = mark == Mark::Refused;
        let seen: Vec<What> = reasons.iter().map(|reason| reason.what).collect();
        // What the foot brake cannot mend stands once.
        let again = |reason: &Deciding| {
            !seen.contains(&reason.what) || matches!(reason.what, What::GripInHand | What::BrakeHeat)
        };
        reasons.extend(broken(helped.told).into_iter().filter(again));
        reasons.extend(helped.near.iter().map(|near| Deciding { decides, ..*near }));
        let new =
            helped.off_way_out.iter().filter(|one| !in_gear.near.iter().any(|near| near.what == one.what));
        reasons.extend(new.copied());
    }
    reasons.extend(in_gear.near.iter().copied());
    reasons.sort_by(|a, b| b.decides.cmp(&a.decides).then_with(|| a.by_excess(b)));
    reasons
}

/// Of the gears whose mark fits the one with the ratio that this choice leaves.
fn pick(
    setting: &Setting,
    ways: &[Told],
    in_gear: &InGear,
    fits: impl Fn(Mark) -> bool,
    choice: fn(f64, f64) -> f64,
) -> Option<Gear> {
    let ratio = |gear: Gear| overall_ratio_of(setting.vehicle, gear);
    let gears = ways.iter().zip(&in_gear.marks).filter(|(_, mark)| fits(**mark));
    gears
        .filter_map(|(told, _)| told.descent.gear)
        .reduce(|a, b| if (choice(ratio(a), ratio(b)) - ratio(a)).abs() < 1e-12 { a } else { b })
}

/// The next gear above the one that is driven, with why it is not driven.
fn next_up(setting: &Setting, ways: &[Told], in_gear: &InGear, told: &Told) -> Option<NextGear> {
    let ratio = |gear: Gear| overall_ratio_of(setting.vehicle, gear);
    let driven = told.descent.gear.map(ratio)?;
    let higher = ways.iter().enumerate().take(in_gear.marks.len()).filter_map(|(at, other)| {
        other.descent.gear.filter(|gear| ratio(*gear) < driven - 1e-12).map(|gear| (at, gear))
    });
    let (at, gear) = higher.max_by(|(_, a), (_, b)| ratio(*a).total_cmp(&ratio(*b)))?;
    let breaks = ways[at].verdict.broken.first().map(|broken| broken.what).or(in_gear.nearly[at]);
    let why = match (told.descent.way, in_gear.marks[at], breaks) {
        (Way::Assisted, ..) => NotDriven::NotTried,
        (_, Mark::Near, Some(what)) => NotDriven::Nearly(what),
        (_, _, Some(what)) => NotDriven::Breaks(what),
        (_, _, None) => NotDriven::OverAWalk,
    };
    Some(NextGear { gear, why })
}

/// The gear with the greatest ratio below every gear that goes; none where none goes by itself.
fn too_high(setting: &Setting, ways: &[Told], in_gear: &InGear) -> Option<Gear> {
    let ratio = |gear: Gear| overall_ratio_of(setting.vehicle, gear);
    let highest = pick(setting, ways, in_gear, Mark::goes, f64::min).map(ratio)?;
    let gears = ways.iter().zip(&in_gear.marks).filter_map(|(told, _)| told.descent.gear);
    gears.filter(|gear| ratio(*gear) < highest).max_by(|a, b| ratio(*a).total_cmp(&ratio(*b)))
}

/// What the driver must lock or engage: the mark was given with it.
fn to_lock(setting: &Setting) -> Vec<Differential> {
    let transmission = &setting.vehicle.transmission;
    let differentials = transmission.differentials;
    let centre = match (transmission.driven, differentials.centre) {
        (Driven::AllWheels, Lock::Locked) => Some(Differential::Centre),
        (Driven::AllWheels, Lock::Absent) => Some(Differential::FourWheelDrive),
        _ => None,
    };
    // On even ground both wheels of an axle carry alike, and an open differential holds as well.
    let uneven = setting.stability.side_tilt > 0.0;
    let axle = |lock: Lock, which: Differential| (lock == Lock::Locked && uneven).then_some(which);
    let (front, rear) = match transmission.driven {
        Driven::AllWheels => (differentials.front, differentials.rear),
        Driven::Front => (differentials.front, Lock::Unknown),
        Driven::Rear | Driven::Unknown => (Lock::Unknown, differentials.rear),
    };
    [centre, axle(front, Differential::Front), axle(rear, Differential::Rear)].into_iter().flatten().collect()
}
