//! Wrong runs are shown, right ones count.

use slopepack::course::{Course, MeasuredRun, RunGround, Seen, read_text};
use slopepack::earned::{Ask, Fits, Standing, account, next};
use slopepack::engine::{Mark, pairs_where};
use slopepack::paper::Lot;
use slopepack::quantity::Time;

use crate::earned_fleet::{Errors, PLACES, Truth, gear_of, noted, written};

const TRIALS: usize = 100;

/// Seven right runs and, in the middle of them, one that was noted wrongly.
fn with_wrong(
    place: (&str, &str),
    wrongly: impl Fn(&Course, &mut Seen),
    seed: u64,
) -> Vec<(Vec<Standing>, Vec<Fits>)> {
    let mut lot = Errors(Lot::new(seed, 9));
    let trial = |_| {
        let (truth, mut course) = (Truth::drawn(&mut lot), written());
        let mut runs: Vec<MeasuredRun> =
            (0..8).map(|at| truth.timed(&course, at + 1, PLACES[at % 4], None, &mut lot)).collect();
        let right = truth.timed(&course, 5, place, None, &mut lot);
        runs[4] = noted(&right, |seen| wrongly(&course, seen));
        course.runs.list = runs;
        let told = account(&course);
        (told.standings, told.fits[4].clone())
    };
    (0..TRIALS).map(trial).collect()
}

/// Shares of wrong runs that are laid aside, and of right ones.
fn laid_aside(told: &[(Vec<Standing>, Vec<Fits>)]) -> [f64; 2] {
    let aside = |standing: &Standing| !standing.counts();
    let wrong = told.iter().filter(|(standings, _)| aside(&standings[4])).count();
    let others =
        told.iter().flat_map(|(standings, _)| standings.iter().enumerate().filter(|(at, _)| *at != 4));
    let right = others.filter(|(_, standing)| aside(standing)).count();
    [wrong as f64 / TRIALS as f64, right as f64 / (7 * TRIALS) as f64]
}

fn timed(seen: &mut Seen, change: impl Fn(&mut RunGround, &mut slopepack::course::Gear, &mut Time)) {
    if let Seen::Timed { ground, gear, time, .. } = seen {
        change(ground, gear, time);
    }
}

#[test]
fn a_wrong_gear_is_found() {
    for (place, noted_as) in [(("steep", "L2"), "L1"), (("middle", "H1"), "H2"), (("steep", "L2"), "L3")] {
        let told = with_wrong(
            place,
            |course, seen| timed(seen, |_, gear, _| *gear = gear_of(&course.vehicles[0], noted_as)),
            11,
        );
        let [wrong, right] = laid_aside(&told);
        println!("{place:?} as {noted_as}: {wrong:.3}, right ones {right:.3}");
        assert!(
            wrong >= 0.95 && right <= 0.05,
            "{place:?} noted as {noted_as}: {wrong} found, {right} of right ones"
        );
        let meant = told.iter().filter(|(_, fits)| {
            fits.iter().any(|fit| matches!(fit, Fits::Gear(gear) if gear.to_string() == place.1))
        });
        assert!(meant.count() * 10 > TRIALS * 8, "the gear that was driven is seldom named");
    }
}

#[test]
fn a_wrong_slope_is_found() {
    for (place, noted_as) in [(("middle", "H1"), "gentle"), (("steep", "L2"), "gentle")] {
        let told = with_wrong(
            place,
            |_, seen| timed(seen, |ground, _, _| ground.slope = Some(noted_as.to_owned())),
            12,
        );
        let [wrong, right] = laid_aside(&told);
        println!("{place:?} as {noted_as}: {wrong:.3}, right ones {right:.3}");
        assert!(
            wrong >= 0.95 && right <= 0.05,
            "{place:?} noted as {noted_as}: {wrong} found, {right} of right ones"
        );
    }
}

#[test]
fn a_factor_of_3_6_is_found() {
    for factor in [3.6, 1.0 / 3.6] {
        let told = with_wrong(
            ("middle", "L3"),
            |_, seen| timed(seen, |_, _, time| *time = Time::new(time.si() * factor)),
            13,
        );
        let [wrong, right] = laid_aside(&told);
        println!("{factor}: {wrong:.3}, right ones {right:.3}");
        assert!(wrong >= 0.95 && right <= 0.05, "{factor}: {wrong} found, {right} of right ones");
        let named = |fits: &Vec<Fits>| {
            fits.iter().any(|fit| matches!(fit, Fits::Factor(found) if (found * factor - 1.0).abs() < 1e-9))
        };
        assert!(
            told.iter().filter(|(_, fits)| named(fits)).count() * 10 > TRIALS * 8,
            "the factor is seldom named"
        );
    }
}

#[test]
fn two_that_contradict_one_another_are_both_shown() {
    let mut lot = Errors(Lot::new(14, 14));
    let (truth, mut course) = (Truth::drawn(&mut lot), written());
    let run = truth.timed(&course, 1, PLACES[2], Some(0.05), &mut lot);
    let scaled =
        |factor: f64| noted(&run, |seen| timed(seen, |_, _, time| *time = Time::new(time.si() * factor)));
    course.runs.list = vec![scaled(1.12), scaled(0.9)];
    let told = account(&course);
    assert_eq!(told.standings, [Standing::OneOfTwo(1), Standing::OneOfTwo(0)]);
    assert!(told.course.vehicles[0].engine.earned.is_none() && told.course.earned.is_empty());
}

#[test]
fn runs_that_agree_with_one_another_and_not_with_the_range_do_not_count() {
    let mut lot = Errors(Lot::new(15, 15));
    let (truth, mut course) = (Truth::drawn(&mut lot), written());
    let wrong = |at: usize, lot: &mut Errors| {
        let run = truth.timed(&course, at + 1, PLACES[at % 4], None, lot);
        noted(&run, |seen| timed(seen, |_, _, time| *time = Time::new(time.si() / 3.6)))
    };
    course.runs.list = (0..8).map(|at| wrong(at, &mut lot)).collect();
    let told = account(&course);
    let counted = told.standings.iter().filter(|standing| standing.counts()).count();
    assert!(counted <= 1, "{:?}", told.standings);
}

#[test]
fn without_runs_nothing_changes_and_twice_is_once() {
    let course = written();
    assert_eq!(slopepack::earned::with_figures(&course), course);
    let mut lot = Errors(Lot::new(16, 16));
    let (truth, mut course) = (Truth::drawn(&mut lot), written());
    course.runs.list = (0..4).map(|at| truth.timed(&course, at + 1, PLACES[at], None, &mut lot)).collect();
    course.runs.list.push(truth.slid(&course, 5, &mut lot));
    course.runs.list.push(truth.rolled(&course, 6, &mut lot));
    let once = slopepack::earned::with_figures(&course);
    assert_eq!(slopepack::earned::with_figures(&once), once);
    assert_eq!(once.before_runs(), course);
    assert!(once.earned.surface_of("ground").unwrap().grip.is_some() && once.earned.tyre_of("one").is_some());
    assert!(once.surfaces[0].source.full().contains("grip measured, 1 run, 2026-05-04"));
}

#[test]
fn the_next_run_is_one_that_can_be_driven_and_tells_something() {
    let mut course = read_text(include_str!("../courses/measured-bank.yaml")).expect("the example reads");
    // What a verdict of the pickup hangs on nobody has timed.
    let timed = |seen: &Seen| matches!(seen, Seen::Timed { .. });
    course.runs.list.retain(|run| run.vehicle != "pickup" || !timed(&run.seen));
    let told = account(&course).course;
    let asked = next(&told).expect("a verdict hangs on its drag");
    assert!(asked.vehicle == "pickup" && !asked.decides.is_empty() && asked.leaves < 0.95, "{asked:?}");
    let Ask::Time { slope: on, gear: asked_for } = &asked.measure else { panic!("{asked:?}") };
    let pair = pairs_where(&told, |slope, one| slope.id == *on && one.id == asked.vehicle).remove(0);
    let mark = pair.judged.gears.iter().find(|(gear, _)| gear == asked_for).map(|(_, mark)| *mark);
    assert!(matches!(mark, Some(Mark::Within | Mark::Near)), "{asked:?} is not to be driven: {mark:?}");
    // Where nothing may be driven nothing is asked for.
    course.limits.gradient = slopepack::quantity::Angle::new(0.05);
    assert_eq!(next(&account(&course).course), None);
}

#[test]
fn the_example_has_twelve_runs_and_one_that_was_noted_wrongly() {
    let course = read_text(include_str!("../courses/measured-bank.yaml")).expect("the example reads");
    let told = account(&course);
    assert_eq!(told.standings.len(), 12);
    assert!(!told.standings[8].counts(), "{:?}", told.standings);
    let meant = |fit: &Fits| matches!(fit, Fits::Gear(gear) if gear.to_string() == "L2");
    assert!(told.fits[8].iter().any(meant), "{:?}", told.fits[8]);
    assert!(told.course.earned.drag_of("wagon").is_some());
}
