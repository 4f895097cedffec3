//! The day's sum: every turn simulated a second time, people nowhere twice, what does not fit said.

use std::collections::BTreeSet;

use slopepack::course::{Course, read_text};
use slopepack::engine::{Reckoning, Standing, reckon};
use slopepack::lesson::worked_examples;
use slopepack::recovery::{Depth, recoveries, rule};
use slopepack::rota::{LeftOut, SessionSum, Turn, day_sum, on_slope, runs_planned};

const QUARRY: &str = include_str!("../courses/quarry-day.yaml");
const HILL: &str = include_str!("../courses/hill-club-weekend.yaml");

fn worked(text: &str) -> (Course, Reckoning, Vec<SessionSum>) {
    let course = read_text(text).unwrap_or_else(|problems| panic!("{problems:?}"));
    let reckoning = reckon(&course);
    let sums = day_sum(&course, &reckoning);
    (course, reckoning, sums)
}

/// Slow end of a vehicle's time on a slope, as the pair says it.
fn run_time(course: &Course, reckoning: &Reckoning, slope: usize, vehicle: usize) -> f64 {
    let pair = reckoning.pair(&course.slopes[slope].id, &course.vehicles[vehicle].id).unwrap();
    let told = pair
        .ways
        .iter()
        .find(|told| told.descent.gear == pair.judged.gear && Some(told.descent.way) == pair.judged.way);
    told.unwrap().descent.time.high
}

/// Vehicle after vehicle, each waiting for the slope and for its own gap: when the last has cleared it, s.
fn simulated(course: &Course, reckoning: &Reckoning, turn: &Turn, runs: u16) -> f64 {
    let (reset, gap) = (course.turn_round().si(), course.day.run_gap.si());
    let mut free = 0.0_f64;
    let mut ready = vec![0.0_f64; turn.on.vehicles.len()];
    for _ in 0..runs {
        for (at, vehicle) in turn.on.vehicles.iter().enumerate() {
            let start = free.max(ready[at]);
            let end = start + run_time(course, reckoning, turn.slope, *vehicle);
            ready[at] = end + gap;
            free = end + reset;
        }
    }
    free
}

#[test]
fn every_turn_is_long_enough_and_not_much_longer() {
    for text in [QUARRY, HILL] {
        let (course, reckoning, sums) = worked(text);
        assert!(!sums.is_empty());
        for sum in &sums {
            for turn in &sum.turns {
                let needs = simulated(&course, &reckoning, turn, sum.runs) / 60.0;
                let has = f64::from(turn.to - turn.from);
                assert!(has >= needs - 1e-6, "{}: {has} of {needs}", course.slopes[turn.slope].id);
                assert!(has <= 1.35 * needs + 1.0, "{}: {has} of {needs}", course.slopes[turn.slope].id);
            }
        }
    }
}

#[test]
fn nobody_and_no_vehicle_is_at_two_places_and_no_slope_has_two_groups() {
    for text in [QUARRY, HILL] {
        let (course, _, sums) = worked(text);
        for sum in &sums {
            for (at, turn) in sum.turns.iter().enumerate() {
                for other in &sum.turns[..at] {
                    if turn.from >= other.to || other.from >= turn.to {
                        continue;
                    }
                    assert_ne!(turn.slope, other.slope);
                    let people = BTreeSet::from([
                        turn.crew.teaches,
                        turn.crew.watches,
                        other.crew.teaches,
                        other.crew.watches,
                    ]);
                    assert_eq!(people.len(), 4);
                    assert!(turn.on.vehicles.iter().all(|one| !other.on.vehicles.contains(one)));
                }
                assert_ne!(turn.crew.teaches, turn.crew.watches);
                for person in [turn.crew.teaches, turn.crew.watches] {
                    let may = &course.people[person].slopes;
                    assert!(may.is_empty() || may.contains(&course.slopes[turn.slope].id));
                }
            }
            assert!(sum.used() <= sum.has, "what is planned fits");
        }
    }
}

#[test]
fn every_vehicle_that_may_comes_to_every_slope_of_its_session() {
    let (course, reckoning, sums) = worked(QUARRY);
    for sum in &sums {
        for id in &course.day.sessions[sum.session].slopes {
            let slope = course.slopes.iter().position(|slope| slope.id == *id).unwrap();
            if sum.left_out.iter().any(|(out, _)| *out == slope) {
                continue;
            }
            let may = |vehicle: &usize| {
                let pair = reckoning.pair(id, &course.vehicles[*vehicle].id).unwrap();
                pair.standing != Standing::NotHere
            };
            let wanted: BTreeSet<usize> = (0..course.vehicles.len()).filter(may).collect();
            let turns = sum.turns.iter().filter(|turn| turn.slope == slope);
            let driven: BTreeSet<usize> = turns.flat_map(|turn| turn.on.vehicles.clone()).collect();
            assert_eq!(driven, wanted, "{id}");
            assert_eq!(runs_planned(&sums, slope) % usize::from(sum.runs), 0);
        }
    }
}

#[test]
fn the_shipped_days_fit() {
    for text in [QUARRY, HILL] {
        let (_, _, sums) = worked(text);
        assert!(sums.iter().all(SessionSum::fits), "{sums:?}");
    }
}

#[test]
fn three_runs_of_the_long_road_do_not_fit_and_fewer_are_planned() {
    let greedy = QUARRY.replace("slopes: [haul-road], runs: 1", "slopes: [haul-road], runs: 3");
    let (course, reckoning, sums) = worked(&greedy);
    let slope = course.slopes.iter().position(|slope| slope.id == "haul-road").unwrap();
    let sum = sums.iter().find(|sum| sum.turns.iter().any(|turn| turn.slope == slope)).unwrap();
    assert_eq!((sum.wanted, sum.runs, sum.fits()), (3, 1, false));
    let all: Vec<usize> = (0..course.vehicles.len()).collect();
    let three = on_slope(&course, &reckoning, slope, &all, 3).unwrap().time / 60.0;
    assert!(f64::from(sum.needs) >= three - 1e-6 && three > f64::from(sum.has));
}

#[test]
fn a_slope_without_people_or_time_is_left_out_by_name() {
    let alone = QUARRY
        .lines()
        .filter(|line| {
            !["Instructor 2", "Instructor 3", "Marshal 1", "Spotter 1", "Spotter 2"]
                .iter()
                .any(|who| line.contains(&format!("name: {who}")))
        })
        .collect::<Vec<_>>()
        .join("\n");
    let (_, _, sums) = worked(&alone);
    assert!(sums.iter().all(|sum| sum.turns.is_empty()), "{sums:?}");
    assert!(sums.iter().flat_map(|sum| &sum.left_out).all(|(_, why)| *why == LeftOut::NoCrew));
    let short = QUARRY.replace(
        "length: 1 h, slopes: [haul-road], runs: 1, talk: 5 min",
        "length: 20 min, slopes: [haul-road], runs: 1",
    );
    let (_, _, sums) = worked(&short);
    assert!(sums.iter().flat_map(|sum| &sum.left_out).any(|(_, why)| *why == LeftOut::NoTime));
}

#[test]
fn the_worked_sum_of_a_turn_is_its_minutes() {
    for text in [QUARRY, HILL] {
        let (course, reckoning, sums) = worked(text);
        let all = worked_examples(&course, &reckoning);
        let examples: Vec<_> = all.iter().filter(|worked| worked.id == "day-sum").collect();
        let turns: Vec<(&SessionSum, &Turn)> =
            sums.iter().flat_map(|sum| sum.turns.iter().map(move |turn| (sum, turn))).collect();
        assert_eq!(examples.len(), turns.len());
        for (worked, (_, turn)) in examples.iter().zip(turns) {
            let minutes = worked.answer().si / 60.0;
            assert!(
                f64::from(turn.to) >= minutes - 1e-6 && f64::from(turn.to) <= minutes + 1.0,
                "{}",
                worked.title
            );
        }
    }
}

#[test]
fn the_time_between_two_vehicles_is_written_once() {
    let six = include_str!("../courses/six-slope-saturday.yaml");
    let twice = six.replace("  run-gap: 12 min\n", "  run-gap: 12 min\n  turn-round: 90 s\n");
    let problems = format!("{:?}", read_text(&twice).unwrap_err());
    assert!(problems.contains("turn-round") && problems.contains("reset"), "{problems}");
    let talked = QUARRY.replace("runs: 1, talk: 5 min", "runs: 1, talk: 60 min");
    assert!(format!("{:?}", read_text(&talked).unwrap_err()).contains("nobody drives"));
}

/// Plan and review print from the same sums: the same runs on the same slopes.
#[test]
fn course_plan_and_after_day_print_the_same_runs() {
    for pack in crate::pages::examples().iter().filter(|pack| pack.course.rota.is_none()) {
        let course = &pack.course;
        // As the pages do: a course may keep what its kit does not fetch off its slopes.
        let mut reckoning = reckon(course);
        if rule::binds(course) {
            rule::apply(course, &mut reckoning, &recoveries(course, Depth::Likely).fetch);
        }
        let sums = day_sum(course, &reckoning);
        let source = |name: &str| &pack.papers.iter().find(|paper| paper.name == name).unwrap().source;
        let (plan, after) = (source("course-plan"), source("after-day"));
        let rows = |text: &str, mark: &str| -> Vec<String> {
            text.lines().filter(|line| line.contains(&format!("*#\"{mark}\";*"))).map(str::to_owned).collect()
        };
        for (at, slope) in course.slopes.iter().enumerate() {
            let mark = format!("S{}", at + 1);
            let runs = runs_planned(&sums, at);
            let reviewed = rows(after, &mark);
            assert!(
                reviewed.iter().any(|line| line.contains(&format!("[#\"{runs}\";]"))),
                "{mark}: {runs} in {reviewed:?}"
            );
            let turns = sums.iter().flat_map(|sum| &sum.turns).filter(|turn| turn.slope == at).count();
            let minutes = |turn: &Turn| format!("#\"{}\"; min", turn.to - turn.from);
            let printed = rows(plan, &mark);
            for turn in sums.iter().flat_map(|sum| &sum.turns).filter(|turn| turn.slope == at) {
                assert!(printed.iter().any(|line| line.contains(&minutes(turn))), "{} of {turns}", slope.id);
            }
        }
    }
}
