//! A vehicle and a slope as plain numbers, ready to be worked.

use super::slip::{FIRM_STIFFNESS, LOOSE_STIFFNESS, SlipCurve};
use crate::course::{Course, Ground, Slope, Surface, TyreBuild, Vehicle};
use crate::engine::Case;
use crate::engine::formulas::{GRAVITY, gearing, slope as slopes};

/// Density of air, kg/m³: the standard atmosphere at sea level, 15 °C (ISO 2533).
pub const AIR_DENSITY: f64 = 1.225;

/// Steepest heading off the fall line reckoned with, rad: 80°. Beyond it a vehicle no longer
/// comes down the slope.
pub(crate) const STEEPEST_HEADING: f64 = 80.0 * std::f64::consts::PI / 180.0;

/// Room to the low side of a slope whose width is not known, m. Judgement.
pub(crate) const UNKNOWN_SIDE_ROOM: f64 = 10.0;

/// A vehicle as a body on wheels, SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Body {
    /// Mass, kg.
    pub mass: f64,
    /// Rotating inertia of the wheels as mass, kg.
    pub wheels: f64,
    /// Drag area, m².
    pub drag_area: f64,
    /// Density of air, kg/m³.
    pub air: f64,
    /// Gravity, m/s².
    pub gravity: f64,
    /// Wheelbase, m.
    pub wheelbase: f64,
    /// Centre of mass behind the front axle, m.
    pub to_front: f64,
    /// Centre of mass above the ground with the roof load on, m.
    pub height: f64,
}

impl Body {
    /// A vehicle of the course.
    pub fn of(vehicle: &Vehicle) -> Self {
        Self {
            mass: vehicle.mass.si(),
            wheels: vehicle.wheel_inertia_mass.si(),
            drag_area: vehicle.drag_area.si(),
            air: AIR_DENSITY,
            gravity: GRAVITY,
            wheelbase: vehicle.wheelbase.si(),
            to_front: vehicle.centre_behind_front.si(),
            height: vehicle.loaded_centre_height().si(),
        }
    }

    /// Centre of mass ahead of the rear axle, m.
    pub fn to_rear(&self) -> f64 {
        self.wheelbase - self.to_front
    }
}

/// Rolling circumference of a vehicle's tyres, m: measured if measured, else by the factor of
/// their build.
pub fn circumference_of(vehicle: &Vehicle) -> f64 {
    let tyre = &vehicle.tyre;
    if let Some(measured) = tyre.measured_circumference {
        return measured.si();
    }
    let factor = match tyre.build {
        TyreBuild::Radial => gearing::RADIAL_FACTOR,
        TyreBuild::Diagonal => gearing::DIAGONAL_FACTOR,
    };
    gearing::circumference(factor, tyre.diameter.si())
}

/// Rolling resistance of an off-road tyre on hard ground, 0.015 to 0.02 (from memory: textbooks of vehicle dynamics): no less
/// than that goes through the contact, whatever the ground adds.
const TYRE: f64 = 0.02;

/// The ground of one surface in one case.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Footing {
    /// Friction against slip.
    pub curve: SlipCurve,
    /// Rolling resistance coefficient.
    pub rolling: f64,
    /// Whether a locked wheel ploughs.
    pub loose: bool,
}

impl Footing {
    /// A surface of the course in one case.
    pub fn of(surface: &Surface, case: Case) -> Self {
        let loose = surface.ground == Ground::Loose;
        Self {
            curve: SlipCurve {
                peak: case.of(surface.peak),
                sliding: case.of(surface.sliding),
                stiffness: if loose { LOOSE_STIFFNESS } else { FIRM_STIFFNESS },
            },
            rolling: case.of(surface.rolling),
            loose,
        }
    }

    /// What of the rolling resistance the ground gives as friction, as a part of the load: what the tyre itself loses acts
    /// at the contact, together with what the wheel holds; what it presses into the ground pushes against it from ahead.
    pub(crate) fn through_contact(&self) -> f64 {
        if self.rolling > 0.0 { TYRE } else { 0.0 }
    }
}

/// A part of the line driven with one gradient, tilt and surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leg {
    /// Length along the line driven, m.
    pub length: f64,
    /// True pitch, nose-down positive, rad.
    pub pitch: f64,
    /// Roll as a pendulum shows it, low side positive, rad.
    pub roll: f64,
    /// Its ground.
    pub footing: Footing,
}

impl Leg {
    /// A leg straight down a slope.
    pub fn straight(length: f64, pitch: f64, footing: Footing) -> Self {
        Self { length, pitch, roll: 0.0, footing }
    }

    /// Height lost over it, m.
    pub fn drop(&self) -> f64 {
        slopes::height(self.length, self.pitch)
    }

    /// Part of the weight along the line, for each unit of weight.
    pub fn down(&self) -> f64 {
        libm::sin(self.pitch)
    }

    /// Part of the weight on the ground, for each unit of weight.
    pub fn press(&self) -> f64 {
        libm::cos(self.pitch) * libm::cos(self.roll)
    }

    /// Part of the weight across the line, for each unit of weight.
    pub fn side(&self) -> f64 {
        libm::cos(self.pitch) * libm::sin(self.roll)
    }
}

/// The line driven: legs down the slope, then the run-out.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    /// From the brow to the foot.
    pub legs: Vec<Leg>,
    /// Beyond the foot.
    pub run_out: Option<Leg>,
    /// Room to drift to the low side before the vehicle is off the slope, m.
    pub side_room: f64,
}

impl Profile {
    /// A slope of the course in one case.
    ///
    /// Stretches are measured down the fall line, so a heading off it lengthens the line driven
    /// and lessens its pitch; the height stays. A cross slope adds to the tilt the heading gives.
    pub fn of(course: &Course, slope: &Slope, case: Case) -> Self {
        let footing = Footing::of(course.surface_of(slope), case);
        let heading = slope.heading.si().abs().min(STEEPEST_HEADING);
        let legs = slope
            .stretches
            .iter()
            .map(|stretch| Leg {
                length: stretch.length.si() / libm::cos(heading),
                pitch: slopes::pitch(stretch.gradient.si(), heading),
                roll: tilt(stretch.gradient.si(), heading, slope.cross_slope.si()),
                footing,
            })
            .collect();
        let run_out = slope.run_out.as_ref().map(|run_out| {
            let surface = run_out.surface.as_deref().and_then(|id| course.surface(id));
            let footing = surface.map_or(footing, |surface| Footing::of(surface, case));
            Leg::straight(run_out.length.si(), run_out.gradient.si(), footing)
        });
        let side_room = slope.width.map_or(UNKNOWN_SIDE_ROOM, |width| width.si() / 2.0);
        Self { legs, run_out, side_room }
    }

    /// Length of the slope along the line driven, m.
    pub fn length(&self) -> f64 {
        self.legs.iter().map(|leg| leg.length).sum()
    }

    /// The first part of it, of this length (m), without run-out.
    #[must_use]
    pub fn cut(&self, length: f64) -> Self {
        let mut left = length;
        let mut legs = Vec::new();
        for leg in &self.legs {
            if left <= 0.0 {
                break;
            }
            legs.push(Leg { length: leg.length.min(left), ..*leg });
            left -= leg.length;
        }
        Self { legs, run_out: None, side_room: self.side_room }
    }

    /// The steepest leg, the first of equals.
    ///
    /// # Panics
    /// Never for a checked slope, which has a stretch.
    pub fn steepest(&self) -> &Leg {
        self.legs
            .iter()
            .reduce(|a, b| if b.pitch > a.pitch { b } else { a })
            .expect("a checked slope has at least one stretch")
    }
}

/// Side tilt of a vehicle, rad: from its heading off the fall line and the slope across its line.
pub fn tilt(gradient: f64, heading: f64, cross: f64) -> f64 {
    libm::atan(libm::tan(slopes::roll(gradient.abs(), heading)) + libm::tan(cross.abs()))
}
