//! The day's sum: every turn simulated a second time, people nowhere twice, what does not fit said.

use std::collections::BTreeSet;

use slopepack::course::{Course, Role, read_text};
use slopepack::engine::{Reckoning, Standing, reckon};
use slopepack::lesson::worked_examples;
use slopepack::recovery::{Depth, recoveries, rule};
use slopepack::rota::{LeftOut, Seat, SessionSum, Turn, assessed, day_sum, on_slope, runs_planned};

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
    let slope = &course.slopes[turn.slope];
    let on_foot = slope.length().si() + slope.run_out.as_ref().map_or(0.0, |run_out| run_out.length.si());
    let back = if turn.crew.beside { on_foot / 1.0 } else { 0.0 };
    let step = if slope.has_step() { 60.0 } else { 0.0 };
    let (reset, gap) = (course.turn_round().si().max(back) + step, course.day.run_gap.si());
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

/// The first descent of a course is nobody's alone: somebody who teaches sits beside each learner, and somebody else is
/// at the brow. Of people too few it is the seat that goes, not the brow.
#[test]
fn somebody_sits_beside_every_learner_on_the_first_descent() {
    let (course, _, sums) = worked(QUARRY);
    let turns: Vec<&Turn> = sums.iter().flat_map(|sum| &sum.turns).collect();
    assert!(turns[0].seat == Seat::FirstRun && turns[0].crew.beside && turns[0].crew.brow.is_some());
    assert!(turns[1..].iter().all(|turn| turn.seat != Seat::FirstRun));
    assert_eq!(course.slopes[turns[0].slope].id, "nursery");
    let few = QUARRY.replace("  - {name: Instructor 3, role: instructor, slopes: [nursery, side-step, clay-slide, haul-road]}\n", "")
        .replace("  - {name: Marshal 1, role: marshal, slopes: [haul-road]}\n", "")
        .replace("  - {name: Marshal 2, role: marshal, slopes: [haul-road]}\n", "")
        .replace("  - {name: Spotter 1, role: spotter, slopes: [ramp, old-incline]}\n", "");
    let (_, _, sums) = worked(&few);
    let first = sums.iter().flat_map(|sum| &sum.turns).next().expect("somebody drives");
    assert!(first.seat == Seat::None && first.crew.in_the_cab().is_none(), "{first:?}");
}

/// Whoever assesses has no post but where nobody else is left for it, so that the last runs are seen.
#[test]
fn whoever_assesses_is_kept_free() {
    let (course, _, sums) = worked(QUARRY);
    let assessor = course.people.iter().position(|person| person.role == Role::Assessor).unwrap();
    let turns: Vec<&Turn> = sums.iter().flat_map(|sum| &sum.turns).collect();
    let held: Vec<&str> = turns
        .iter()
        .copied()
        .filter(|turn| busy(turn, assessor))
        .map(|turn| course.slopes[turn.slope].id.as_str())
        .collect();
    // With an instructor in the cab and one at the brow nobody else of the staff can be in charge.
    // On the road with a crossing everybody else has a post on it or off it.
    assert_eq!(held, ["nursery", "haul-road"]);
    let plan =
        &crate::pages::examples()[0].papers.iter().find(|paper| paper.name == "course-plan").unwrap().source;
    assert!(plan.contains("Assessor 1 watches each driver’s last run on S3, S4, S5, S2, S6"));
    let alone =
        QUARRY.lines().filter(|line| !line.contains("role: marshal") && !line.contains("name: Spotter 1"));
    let (_, _, sums) = worked(&alone.collect::<Vec<_>>().join("\n"));
    assert!(sums.iter().flat_map(|sum| &sum.turns).filter(|turn| busy(turn, assessor)).count() > 1);
}

/// Where the course asks for it an instructor sits beside every learner on every run, and somebody else is at the brow;
/// without people for it the slope is left out, not driven without.
#[test]
fn an_instructor_sits_beside_where_the_course_asks_for_it_or_nobody_drives() {
    let (course, _, sums) = worked(QUARRY);
    let at = course.slopes.iter().position(|slope| slope.id == "old-incline").unwrap();
    let turn = sums.iter().flat_map(|sum| &sum.turns).find(|turn| turn.slope == at).unwrap();
    assert!(turn.seat == Seat::EveryRun && turn.crew.beside, "{turn:?}");
    let brow = turn.crew.brow.expect("somebody else is at the brow");
    assert!(brow != turn.crew.teaches && course.people[turn.crew.teaches].role == Role::Instructor);
    let few =
        QUARRY.lines().filter(|line| !line.contains("role: marshal") && !line.contains("name: Spotter 2"));
    let few: String = few.collect::<Vec<_>>().join("\n");
    let few =
        few.replace("role: instructor, slopes: [nursery, side-step, clay-slide, haul-road]", "role: driver");
    let (course, _, sums) = worked(&few);
    let out = sums.iter().flat_map(|sum| &sum.left_out).find(|(slope, _)| *slope == at);
    assert_eq!(out.map(|(_, why)| *why), Some(LeftOut::NoCrew), "{course:?}");
}

/// Where a track crosses a run-out somebody bars it, and somebody times between the pegs; whoever assesses does neither,
/// and is drawn only where they are free to stand.
#[test]
fn somebody_bars_the_crossing_and_somebody_has_the_watch() {
    let (course, _, sums) = worked(QUARRY);
    let haul = course.slopes.iter().position(|slope| slope.id == "haul-road").unwrap();
    let mut watched = 0;
    for turn in sums.iter().flat_map(|sum| &sum.turns) {
        assert_eq!(turn.holds.crossing.is_some(), turn.slope == haul, "{turn:?}");
        watched += usize::from(turn.holds.pegs.is_some());
        assert!(turn.holds.pegs.is_none_or(|watch| course.people[watch].role != Role::Assessor));
        let all: Vec<usize> = turn.holds.all().collect();
        assert_eq!(all.iter().collect::<BTreeSet<_>>().len(), all.len(), "{turn:?}");
    }
    assert!(watched >= 5, "{watched}");
    let place = |id: &str| course.slopes.iter().position(|slope| slope.id == id).unwrap();
    assert!(!assessed(&course, &sums, place("nursery")) && assessed(&course, &sums, place("ramp")));
}

fn busy(turn: &Turn, person: usize) -> bool {
    let crew = [Some(turn.crew.teaches), Some(turn.crew.watches), turn.crew.brow];
    crew.into_iter().flatten().chain(turn.holds.all()).any(|one| one == person)
}

/// Nobody is kept free to drive to a telephone that works where control stands, and somebody is where none was tried.
#[test]
fn somebody_drives_to_a_telephone_only_where_control_has_none() {
    let (_, _, sums) = worked(QUARRY);
    assert!(sums.iter().flat_map(|sum| &sum.turns).all(|turn| turn.holds.phone.is_none()));
    let untried = QUARRY.replace("  telephone-at-control: yes", "  telephone-at-control: no");
    let (_, _, sums) = worked(&untried);
    assert!(sums.iter().flat_map(|sum| &sum.turns).any(|turn| turn.holds.phone.is_some()));
}

/// A stop before a step, and each axle let down on it, take their minute.
#[test]
fn a_step_takes_its_time() {
    let flat = QUARRY
        .replace("{kind: step, what: Step of 20 cm", "{kind: stones, what: Step of 20 cm")
        .replace(", at: 18 m, height: 20 cm", "");
    let time = |text: &str| {
        let (course, reckoning, _) = worked(text);
        let slope = course.slopes.iter().position(|slope| slope.id == "old-incline").unwrap();
        let on = on_slope(&course, &reckoning, slope, &[0, 1, 2], 1).unwrap();
        (on.vehicles.len(), on.time)
    };
    let ((count, with), (same, without)) = (time(QUARRY), time(&flat));
    assert_eq!(count, same);
    assert!((with - without - 60.0 * f64::from(u32::try_from(count).unwrap())).abs() < 1e-6);
}
