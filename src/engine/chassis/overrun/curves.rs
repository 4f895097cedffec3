//! Published curves of how hard engines are to turn, and which engines they speak for.

use crate::course::{Engine, Fuel};

/// A published drag curve of one engine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DragCurve {
    /// What engine it is.
    pub name: &'static str,
    /// Where it stands.
    pub source: &'static str,
    /// Displacement, m³.
    displacement: f64,
    /// Engine speed, rpm, and torque that turns it, N·m.
    points: &'static [(f64, f64)],
    /// Smallest cylinder it speaks for, m³.
    smallest: f64,
}

const SOURCE: &str = "D2, engine files, 2015 to 2018";

/// The published curves, all of truck diesels.
pub const CURVES: [DragCurve; 4] = [
    DragCurve {
        name: "truck diesel of 7.7 L",
        source: SOURCE,
        displacement: 7.7e-3,
        points: &[(600.0, 44.0), (1000.0, 62.0), (1400.0, 87.0), (2000.0, 111.0), (2500.0, 140.0)],
        smallest: 0.0,
    },
    DragCurve {
        name: "truck diesel of 12.7 L",
        source: SOURCE,
        displacement: 12.73e-3,
        points: &[(600.0, 148.0), (1000.0, 160.0), (1400.0, 203.0), (2000.0, 301.0)],
        smallest: 0.0,
    },
    DragCurve {
        name: "truck diesel of 6.0 L",
        source: SOURCE,
        displacement: 6.0e-3,
        points: &[(1000.0, 57.6), (1600.0, 94.5), (2000.0, 109.1)],
        smallest: 0.0,
    },
    DragCurve {
        name: "truck diesel of 7.7 L with automatic, example file",
        source: SOURCE,
        displacement: 7.7e-3,
        points: &[(800.0, 16.0), (1000.0, 24.0), (2000.0, 82.0), (2500.0, 134.0)],
        // Truck engines have about a litre in each cylinder and more.
        smallest: 0.85e-3,
    },
];

impl DragCurve {
    /// Motoring pressure, Pa, at a speed (rpm): below the curve its first value, since nothing is credited
    /// that was not published; none beyond it.
    fn pressure(&self, rpm: f64) -> Option<f64> {
        let last = self.points.last().map_or(0.0, |(rpm, _)| *rpm);
        let torque = super::interpolated(self.points, rpm);
        (rpm <= last).then(|| 4.0 * std::f64::consts::PI * torque / self.displacement)
    }

    /// Why it is left out of an engine's range; none where it counts.
    pub fn left_out(&self, engine: &Engine) -> Option<&'static str> {
        if engine.fuel == Fuel::Petrol {
            return Some(
                "a diesel's: a petrol engine's shut throttle adds half a bar and more at every speed",
            );
        }
        let one = engine.displacement.si() / f64::from((*engine.cylinders).max(1));
        (one < self.smallest).then_some(
            "a worked example's file for a truck engine, which its sister file contradicts by a factor of \
             2.6 at 1,000 rpm; kept for truck engines, of 0.85 L a cylinder and more",
        )
    }
}

/// Lowest and highest published pressure, Pa, by speed (turns/s), of the curves that count for an
/// engine. Between the speeds a straight line, which lies below every curve at the low end and above at
/// the high end.
pub(crate) fn envelopes(engine: &Engine) -> [Vec<(f64, f64)>; 2] {
    let counted: Vec<&DragCurve> = CURVES.iter().filter(|curve| curve.left_out(engine).is_none()).collect();
    let mut speeds: Vec<f64> =
        counted.iter().flat_map(|curve| curve.points.iter().map(|(rpm, _)| *rpm)).collect();
    speeds.sort_by(f64::total_cmp);
    speeds.dedup();
    let at = |choose: fn(f64, f64) -> f64| -> Vec<(f64, f64)> {
        speeds
            .iter()
            .filter_map(|rpm| {
                let published = counted.iter().filter_map(|curve| curve.pressure(*rpm));
                Some((rpm / 60.0, published.reduce(choose)?))
            })
            .collect()
    };
    [at(f64::min), rising(at(f64::max))]
}

/// The same curve, never falling: an engine that turns faster is not easier to turn.
fn rising(mut points: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    for at in 1..points.len() {
        points[at].1 = points[at].1.max(points[at - 1].1);
    }
    points
}
