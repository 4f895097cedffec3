//! Lines that lead across a slope, and the ground of their way out.

use super::judgement::Differential;
use crate::course::{Brow, Lock, Slope, Stretch, Vehicle};
use crate::engine::chassis::body::tilt;
use crate::engine::formulas::slope as slopes;
use crate::quantity::Angle;

/// Tilt across the line, by the ground or by the heading, from which a way out is asked for, rad: 3°. Judgement.
const LEANS: f64 = 3.0 * std::f64::consts::PI / 180.0;

/// Rounding is not a tilt.
const HAIR: f64 = 1e-9;

/// Whether the line of a slope leads across it: it tilts 3° or more to the side, by the ground or by its heading.
pub fn leans(slope: &Slope) -> bool {
    slope.stretches.iter().any(|stretch| roll(slope, stretch) >= LEANS - HAIR)
}

/// Gradient of the fall line where it is steepest, rad: of a plane that goes down with the line and to its side.
pub fn fall_line(slope: &Slope) -> f64 {
    let along = |stretch: &Stretch| slopes::pitch(stretch.gradient.si(), slope.heading.si().abs());
    let steep = |stretch| libm::hypot(libm::tan(along(stretch)), libm::tan(roll(slope, stretch)));
    libm::atan(slope.stretches.iter().map(steep).fold(0.0, f64::max))
}

/// A vehicle as it is driven along a line that leans, and what is taken out for it; none where nothing is.
///
/// Wheels of an axle that are locked together lose their sideways hold together, and the axle slides down the hill. So
/// a lock between the wheels of an axle is out there, and what holds is reckoned without it. Common practice, no source.
pub(crate) fn locks_out(slope: &Slope, vehicle: &Vehicle) -> (Option<Vehicle>, Vec<Differential>) {
    let fitted = vehicle.transmission.differentials;
    let out: Vec<Differential> = [(fitted.front, Differential::Front), (fitted.rear, Differential::Rear)]
        .into_iter()
        .filter(|(lock, _)| *lock == Lock::Locked && leans(slope))
        .map(|(_, which)| which)
        .collect();
    let unlocked = (!out.is_empty()).then(|| {
        let mut vehicle = vehicle.clone();
        let differentials = &mut vehicle.transmission.differentials;
        for lock in [&mut differentials.front, &mut differentials.rear] {
            *lock = if *lock == Lock::Locked { Lock::Open } else { *lock };
        }
        vehicle
    });
    (unlocked, out)
}

fn roll(slope: &Slope, stretch: &Stretch) -> f64 {
    tilt(stretch.gradient.si(), slope.heading.si().abs(), slope.cross_slope.si())
}

/// The way out of a slope as a slope of its own, straight down; none where its line does not lean, or where nobody
/// measured it. Dangers, survey and surface are the slope's.
pub fn way_out(slope: &Slope) -> Option<Slope> {
    let escape = slope.escape.as_ref().filter(|_| leans(slope))?;
    let gradient = escape.gradient.unwrap_or_else(|| Angle::new(fall_line(slope)));
    Some(Slope {
        stretches: vec![Stretch { length: escape.length, gradient }],
        // A vehicle turns down it from the line: there is no brow.
        brow: Brow { before: gradient, rounded: None },
        foot_rounded: None,
        cross_slope: Angle::default(),
        heading: Angle::default(),
        bump: None,
        run_out: Some(escape.run_out.clone()),
        escape: None,
        ..slope.clone()
    })
}
