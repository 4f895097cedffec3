//! A large course: the work grows with slopes times vehicles, and no faster.

#![allow(clippy::unwrap_used, reason = "a missing value fails the test where it stands")]

use slopepack::course::{Ground, Slope, Vehicle};
use slopepack::engine::reckon;
use slopepack::quantity::{Mass, Ratio};

use crate::engine_courses::{course, slope, stretch, surface, vehicle};

fn slopes() -> Vec<Slope> {
    (0..30_u8)
        .map(|n| {
            let steep = 6.0 + f64::from(n);
            let mut slope = slope(&format!("s{n}"), if n % 3 == 0 { "gravel" } else { "earth" }, 30.0, steep);
            slope.stretches.push(stretch(20.0, steep / 2.0));
            slope
        })
        .collect()
}

fn vehicles() -> Vec<Vehicle> {
    (0..40_u8)
        .map(|n| {
            let mut vehicle = vehicle(&format!("v{n}"));
            vehicle.mass = Mass::new(1500.0 + 60.0 * f64::from(n));
            vehicle.transmission.axle = Ratio::new(3.2 + 0.05 * f64::from(n));
            vehicle
        })
        .collect()
}

/// Every pair has thirteen descents and no more, whatever the size of the course.
#[test]
fn thirty_slopes_and_forty_vehicles_are_worked_once_each() {
    let surfaces = vec![
        surface("gravel", Ground::Loose, 0.5, 0.55, 0.04),
        surface("earth", Ground::Firm, 0.65, 0.55, 0.05),
    ];
    let course = course(surfaces, slopes(), vehicles());
    let reckoning = reckon(&course);
    assert_eq!(reckoning.pairs.len(), 1200);
    assert_eq!(reckoning.descents().count(), 1200 * 13);
}
