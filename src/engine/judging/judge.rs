//! From every way down to the one mark of a pair.

mod gear_choice;

use super::judgement::{Differential, Judgement};
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
    /// What nearly decides in the best, where it goes.
    near: Vec<Deciding>,
}

/// Judges the gears.
pub(crate) fn in_gear(setting: &Setting, gears: &[Told]) -> InGear {
    let mut breaks: Vec<_> = gears.iter().map(|told| breaks(setting, told).peekable()).collect();
    let marks: Vec<Mark> = gears
        .iter()
        .zip(&mut breaks)
        .map(|(told, breaks)| match (told.verdict.within_limits, breaks.peek().is_none()) {
            (true, true) => Mark::Within,
            (true, false) => Mark::Near,
            (false, _) => Mark::Refused,
        })
        .collect();
    let descents: Vec<&Descent> = gears.iter().map(|told| &told.descent).collect();
    let best = best(setting.slope, setting.vehicle, &descents, &marks);
    let near = best.map(|at| decidings(breaks.swap_remove(at).collect(), &gears[at])).unwrap_or_default();
    InGear { best, marks, near }
}

/// The gears from the lowest up, by their place among the ways.
pub(crate) fn from_the_lowest(setting: &Setting, gears: &[Told]) -> Vec<usize> {
    let ratio =
        |at: usize| gears[at].descent.gear.map_or(0.0, |gear| overall_ratio_of(setting.vehicle, gear));
    let mut places: Vec<usize> = (0..gears.len()).collect();
    places.sort_by(|a, b| ratio(*b).total_cmp(&ratio(*a)));
    places
}

/// The one mark of a pair with all that belongs to it.
pub(crate) fn judge(setting: &Setting, ways: &[Told], in_gear: &InGear) -> Judgement {
    let best = in_gear.best.and_then(|at| ways.get(at));
    let in_best = in_gear.best.map_or(Mark::Refused, |at| in_gear.marks[at]);
    let assisted = ways.iter().find(|told| told.descent.way == Way::Assisted);
    let (mark, told) = match (in_best, assisted) {
        (Mark::Refused, Some(helped)) if helped.verdict.within_limits => (Mark::WithBrake, Some(helped)),
        (mark, _) => (mark, best),
    };
    let mut reasons = reasons(setting, in_gear, mark, [best, assisted]);
    let mark = if setting.slope.run_out.is_none() && mark.goes() {
        let way = told.map_or(Way::Geared, |told| told.descent.way);
        reasons.insert(0, Check::run_out_missing().deciding(way, None, true, None));
        Mark::NotJudged
    } else {
        mark
    };
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
        too_low: too_low(setting.vehicle, &tried),
        gears: tried.iter().map(|(gear, mark, _)| (*gear, *mark)).collect(),
        measure: measure(setting, mark, &reasons),
        top_speed: told.map_or(none, |told| told.descent.top_speed),
        top_at: told.map(|told| told.descent.fastest_run().top_at),
        near_speed,
        foot_speed: told.map_or(none, |told| told.descent.foot_speed),
        lock: told.map(|_| to_lock(setting)).unwrap_or_default(),
        axles: told.and_then(|told| told.descent.axles()).unwrap_or(AxleDemand::default()),
        locked: told.and_then(|told| worst_lock(setting, told, mark)),
        stop: told.and_then(|told| told.stop?.distance),
        reasons,
    }
}

/// What decides, then what nearly does, each the worst first.
fn reasons(setting: &Setting, in_gear: &InGear, mark: Mark, ways: [Option<&Told>; 2]) -> Vec<Deciding> {
    let [best, assisted] = ways;
    let broken = |told: Option<&Told>| told.map(|told| told.verdict.broken.clone()).unwrap_or_default();
    let mut reasons: Vec<Deciding> = broken(best);
    match mark {
        Mark::WithBrake => reasons.extend(assisted.into_iter().flat_map(|told| helped_nearly(setting, told))),
        Mark::Refused => {
            let seen: Vec<What> = reasons.iter().map(|reason| reason.what).collect();
            // What the foot brake cannot mend stands once.
            reasons.extend(broken(assisted).into_iter().filter(|reason| {
                !seen.contains(&reason.what) || matches!(reason.what, What::GripInHand | What::BrakeHeat)
            }));
        }
        _ => {}
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

/// The gear with the greatest ratio below every gear that goes.
fn too_high(setting: &Setting, ways: &[Told], in_gear: &InGear) -> Option<Gear> {
    let ratio = |gear: Gear| overall_ratio_of(setting.vehicle, gear);
    let highest = pick(setting, ways, in_gear, Mark::goes, f64::min).map_or(f64::INFINITY, ratio);
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
