//! The survey's arithmetic reproduces published data sets; each row of `tests/published/measuring.csv` names its source.

use std::collections::BTreeMap;

use slopepack::survey::{Instrument, Point, Profile, Solved, criterion, factor, parted};

const TABLE: &str = include_str!("published/measuring.csv");

/// Small enough that the scatter is learned from the readings, as the published fits do.
const FINE: f64 = 0.001;
/// Shortest part of the published step fits.
const FIFTEEN: usize = 15;

/// The numbers of each pair or triple.
fn data(text: &str) -> Vec<Vec<f64>> {
    text.split(' ').map(|row| row.split(',').map(|number| number.parse().unwrap()).collect()).collect()
}

fn points(data: &[Vec<f64>]) -> Vec<Point> {
    data.iter().map(|row| Point { at: row[0], height: row[1], unsure: FINE }).collect()
}

/// The straight line through the data, each row weighted by its third number.
fn line(data: &[Vec<f64>]) -> Solved {
    let weight = |row: &Vec<f64>| row.get(2).map_or(1.0, |weight| weight.sqrt());
    let column = |of: &dyn Fn(&Vec<f64>) -> f64| data.iter().map(|row| of(row) * weight(row)).collect();
    Solved::of(vec![column(&|_| 1.0), column(&|row| row[0])], column(&|row| row[1])).unwrap()
}

fn deviation(data: &[Vec<f64>]) -> f64 {
    (line(data).rest / (data.len() as f64 - 2.0)).sqrt()
}

fn of_bend(quantity: &str, data: &[Vec<f64>]) -> f64 {
    let points = points(data);
    let bent = Profile::of(&points, 1, 0.0).unwrap();
    let solved = bent.solved().unwrap();
    let found = bent.ground(|_| 0.0).unwrap().bends[0];
    match quantity {
        "bend" => bent.bends[0],
        "bend_low" => found.low,
        "bend_high" => found.high,
        "slope_before" => solved.numbers[1],
        "slope_after" => solved.numbers[1] + solved.numbers[2],
        "bent_rest" => bent.rest * FINE * FINE,
        "bent_criterion" => criterion(bent.rest * FINE * FINE, points.len(), 5),
        other => panic!("no such quantity: {other}"),
    }
}

fn of_data(quantity: &str, data: &[Vec<f64>]) -> f64 {
    if let Some((name, breaks)) = quantity.split_once(' ') {
        let values: Vec<(f64, f64)> = data.iter().map(|row| (row[1], 1.0)).collect();
        let breaks: usize = breaks.parse().unwrap();
        let rest = parted(&values, breaks, FIFTEEN)[breaks].rest;
        return if name == "steps_rest" { rest } else { criterion(rest, values.len(), 2 * breaks + 2) };
    }
    match quantity {
        "line_height" | "weighted_height" => line(data).numbers[0],
        "line_slope" | "weighted_slope" => line(data).numbers[1],
        "line_slope_error" => deviation(data) * line(data).uncertainty(&[0.0, 1.0]),
        "line_deviation" => deviation(data),
        "line_rest" => line(data).rest,
        "line_criterion" => criterion(line(data).rest, data.len(), 3),
        other => of_bend(other, data),
    }
}

fn of_instrument(quantity: &str, inputs: &[f64]) -> f64 {
    let named = |name| Instrument::named(name).unwrap();
    let bare = Instrument { distance: 0.0, index: 0.0, target: 0.0, step: 0.0, ..named("clinometer") };
    match quantity {
        "factor" => factor(inputs[0] as usize, None),
        "clinometer_sight" => {
            let sight = Instrument { distance: 0.0, ..named("clinometer") };
            sight.of_piece(inputs[0]).hypot(sight.in_common(inputs[0], 0.0)).to_degrees()
        }
        "limit_as_uncertainty" => {
            Instrument { index: inputs[0].to_radians(), ..bare }.in_common(20.0, 0.0).to_degrees()
        }
        "step_as_uncertainty" => {
            Instrument { step: inputs[0].to_radians(), ..bare }.of_piece(20.0).to_degrees()
        }
        // A limit of which the uncertainty is what the row gives.
        "two_point_gradient" => {
            100.0 * Instrument { height: inputs[0] * 3_f64.sqrt(), ..bare }.of_piece(inputs[1])
        }
        "tape_in_100_m" => 100.0 * named("level").distance,
        "stepped_in_100_m" => named("tape").stepped,
        "independent_readings" => {
            let one = Instrument { height: 1.0, lasts: inputs[2], ..bare }.read_every(inputs[1]);
            inputs[0] / (one.height * one.height)
        }
        "track_length" => track_length(inputs[0], inputs[1] > 0.0),
        "slope_correction" => inputs[0] - level_of(inputs[0], inputs[1]),
        other => panic!("no such quantity: {other}"),
    }
}

/// The level distance a table of two points is read with.
fn level_of(along: f64, height: f64) -> f64 {
    let table = format!("along (m),height (m)\n0,{height}\n{along},0\n");
    match slopepack::survey::read(table.as_bytes()).unwrap().measured {
        slopepack::survey::Measured::Heights(heights) => heights[1].0,
        slopepack::survey::Measured::Pieces(_) => panic!("a table of heights"),
    }
}

/// Length of a track of 0.001° from a latitude, north or east.
fn track_length(latitude: f64, east: bool) -> f64 {
    let fix = |at: f64| {
        let (lat, lon) = if east { (latitude, at) } else { (latitude + at, 0.0) };
        format!("<trkpt lat=\"{lat:.4}\" lon=\"{lon:.4}\"><ele>5</ele></trkpt>")
    };
    let fixes: String = [0.0, 0.0005, 0.001].map(fix).concat();
    let text = format!(
        "<gpx version=\"1.1\" creator=\"a test\" xmlns=\"http://www.topografix.com/GPX/1/1\"><trk><trkseg>{fixes}\
         </trkseg></trk></gpx>"
    );
    match slopepack::survey::read_track(text.as_bytes()).unwrap().readings.measured {
        slopepack::survey::Measured::Heights(heights) => heights[2].0,
        slopepack::survey::Measured::Pieces(_) => panic!("a table of heights"),
    }
}

#[test]
fn published_fits_are_reproduced_to_the_digits_printed() {
    let mut sets = BTreeMap::new();
    let mut failures = Vec::new();
    let mut checked = 0;
    for row in csv::Reader::from_reader(TABLE.as_bytes()).records().map(Result::unwrap) {
        assert!(row[6].len() > 20, "{row:?} names no source");
        if &row[1] == "data" {
            sets.insert(row[0].to_owned(), data(&row[2]));
            continue;
        }
        let numbers: Vec<f64> = row[2].split(';').filter_map(|number| number.parse().ok()).collect();
        let found =
            sets.get(&row[2]).map_or_else(|| of_instrument(&row[1], &numbers), |data| of_data(&row[1], data));
        let (expected, tolerance): (f64, f64) = (row[3].parse().unwrap(), row[5].parse().unwrap());
        checked += 1;
        if found.is_nan() || (found - expected).abs() > tolerance {
            failures.push(format!("{} {}: {found}, published {expected} ± {tolerance}", &row[0], &row[1]));
        }
    }
    assert!(failures.is_empty(), "{failures:#?}");
    assert_eq!(checked, 40);
}
