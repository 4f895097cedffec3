//! Runs are reckoned as published formulas and tables have it; each row of `tests/published/runs.csv` names its source.

use slopepack::course::*;
use slopepack::earned::{at_score, said, score_of};
use slopepack::engine::formulas::GRAVITY;
use slopepack::engine::{AIR_DENSITY, Body, Case, Drive, EngineDrag, Footing, Leg, Profile, geared};
use slopepack::quantity::*;
use slopepack::survey::Solved;

use crate::earned_fleet::day;
use crate::engine_courses::{KMH, course, slope, surface, vehicle};

const TABLE: &str = include_str!("published/runs.csv");
const FOOT: f64 = 0.3048;
const MPH: f64 = 0.44704;

/// One run on ground of this sliding friction, rolling resistance and slope (degrees).
fn reckoned(friction: f64, rolling: f64, degrees: f64, mass: f64, seen: impl Fn(RunGround) -> Seen) -> f64 {
    let ground = Surface {
        peak: Band::point(friction),
        sliding: Band::point(friction),
        rolling: Band::point(rolling),
        ..surface("ground", Ground::Firm, 0.5, 0.5, 0.05)
    };
    let mut one = vehicle("one");
    one.mass = Mass::new(mass);
    let on = (degrees != 0.0).then(|| "slope".to_owned());
    let course = course(vec![ground], vec![slope("slope", "ground", 40.0, degrees.max(1.0))], vec![one]);
    let run = MeasuredRun {
        number: 1,
        date: day(1),
        vehicle: "one".to_owned(),
        seen: seen(RunGround { slope: on, surface: "ground".to_owned() }),
        meter: Meter::named("satellite").unwrap(),
        sure: None,
    };
    said(&course, &run).likely
}

fn slide(friction: f64, degrees: f64, speed: f64) -> f64 {
    reckoned(friction, 0.05, degrees, 2000.0, |ground| Seen::Slid {
        ground,
        from: None,
        speed: Speed::new(speed),
        length: Length::new(1.0),
    })
}

/// The speed whose slide is so long, m: slides go with its square.
fn slide_speed(friction: f64, degrees: f64, length: f64) -> f64 {
    let of_one = slide(friction, degrees, 10.0);
    10.0 * (length / of_one).sqrt()
}

/// Mean and variance after so many readings of a variance of their own, and another in common, by the least squares
/// that narrow figures: prior and common error are readings of 0 ± 1.
fn update(inputs: &[f64]) -> (f64, f64) {
    let [mean, variance, reading, own, count, common] = inputs[..] else { panic!("six inputs") };
    let (prior, own, common) = (variance.sqrt(), own.sqrt(), common.sqrt());
    let rows = count as usize;
    let of = |value: f64, last: [f64; 2]| [vec![value; rows], last.to_vec()].concat();
    let columns = vec![of(prior / own, [1.0, 0.0]), of(common / own, [0.0, 1.0])];
    let solved = Solved::of(columns, of((reading - mean) / own, [0.0, 0.0])).unwrap();
    (mean + prior * solved.numbers[0], (prior * solved.uncertainty(&[1.0, 0.0])).powi(2))
}

/// Time from 70 to 60 km/h, s, out of gear on the level, by the engine's own descent: mass (kg), force (N) that does
/// not change with speed, and that which goes with its square, N/(km/h)².
fn coast(mass: f64, constant: f64, square: f64) -> f64 {
    let one = vehicle("one");
    let body =
        Body { mass, wheels: 0.0, drag_area: 2.0 * square * 3.6 * 3.6 / AIR_DENSITY, ..Body::of(&one) };
    let ground = surface("ground", Ground::Firm, 0.8, 0.7, 0.05);
    let footing = Footing { rolling: constant / (mass * GRAVITY), ..Footing::of(&ground, Case::Likely) };
    let gear = one.gears()[0];
    let mut drive = Drive::of(&one, gear, Case::Likely);
    (drive.drag, drive.inertia, drive.ratio) = (EngineDrag::Measured(vec![(0.0, 0.0)]), 0.0, 1.0);
    (drive.idle, drive.highest) = (0.01, 1e4);
    let level = |length: f64| {
        let profile =
            Profile { legs: vec![Leg::straight(length, 0.0, footing)], run_out: None, side_room: 10.0 };
        let run = geared(&body, &profile, &drive, 70.0 * KMH);
        (run.foot_speed.unwrap_or(0.0), run.time)
    };
    let (mut short, mut long) = (1.0, 1000.0);
    for _ in 0..60 {
        let middle = f64::midpoint(short, long);
        if level(middle).0 > 60.0 * KMH { short = middle } else { long = middle }
    }
    level(short).1
}

fn worked(quantity: &str, inputs: &[f64]) -> f64 {
    match quantity {
        "slide_speed" => slide_speed(inputs[0], inputs[1], inputs[2]) / MPH,
        "slide_length" => slide(inputs[0], inputs[1], inputs[2] * KMH) / FOOT,
        "pull" => reckoned(0.5, inputs[0], 0.0, inputs[1], |ground| Seen::Pulled {
            ground,
            towed: Towed::Level,
            force: Force::new(1.0),
        }),
        "rolled" => {
            let mut one = vehicle("one");
            one.tyre.measured_circumference = Some(Length::new(inputs[0]));
            let ground = surface("ground", Ground::Firm, 0.5, 0.5, 0.05);
            let course = course(vec![ground], vec![slope("slope", "ground", 40.0, 9.0)], vec![one]);
            let run = MeasuredRun {
                number: 1,
                date: day(1),
                vehicle: "one".to_owned(),
                seen: Seen::Rolled { turns: inputs[1] as u32, length: Length::new(1.0) },
                meter: Meter::named("tape").unwrap(),
                sure: None,
            };
            said(&course, &run).likely
        }
        "update_mean" => update(inputs).0,
        "update_variance" => update(inputs).1,
        "coast" => coast(inputs[0], inputs[1], inputs[2]),
        other => panic!("no such quantity: {other}"),
    }
}

#[test]
fn published_runs_and_updates_come_out() {
    let mut reader = csv_rows(TABLE).into_iter();
    assert_eq!(reader.next().unwrap()[0], "id");
    let mut count = 0;
    for row in reader {
        let inputs: Vec<f64> = row[2].split(' ').map(|one| one.parse().unwrap()).collect();
        let (wanted, within): (f64, f64) = (row[3].parse().unwrap(), row[5].parse().unwrap());
        let found = worked(&row[1], &inputs);
        assert!((found - wanted).abs() <= within, "{}: {found}, published {wanted}", row[0]);
        assert!(row[6].len() > 20, "{} names no source", row[0]);
        count += 1;
    }
    assert!(count > 20);
}

/// The cells of each row; quotes hold commas.
fn csv_rows(text: &str) -> Vec<Vec<String>> {
    let row = |line: &str| {
        let mut cells = vec![String::new()];
        let mut quoted = false;
        for letter in line.chars() {
            match letter {
                '"' => quoted = !quoted,
                ',' if !quoted => cells.push(String::new()),
                letter => cells.last_mut().unwrap().push(letter),
            }
        }
        cells
    };
    text.lines().map(row).collect()
}

#[test]
fn scores_and_values_are_two_ways_of_saying_one_thing() {
    let band = Band::new(0.2, 0.3, 0.6);
    for score in [-3.0, -2.0, -0.5, 0.0, 0.7, 2.0, 3.5] {
        assert!((score_of(band, at_score(band, score)) - score).abs() < 1e-12);
    }
    assert!(score_of(Band::point(0.3), 0.4).abs() < 1e-12);
    let engine = vehicle("one").engine;
    let range = EngineDrag::before_runs(&engine);
    for rpm in [700.0, 1500.0, 3000.0, 4400.0] {
        let spin = rpm / 60.0;
        for (score, case) in [(-2.0, Case::Unfavourable), (0.0, Case::Likely), (2.0, Case::Favourable)] {
            let told = range.clone().at_scores([score; 2], &engine);
            let same = (told.torque(spin, Case::Likely) - range.torque(spin, case)).abs();
            assert!(same < 1e-9, "the published ends are scores of two: {rpm} {score}");
        }
    }
}
