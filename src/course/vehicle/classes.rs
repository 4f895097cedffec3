//! Values for what a course leaves out, by class of vehicle.
//!
//! Everything from here is marked as estimated wherever it is used. No value here is meant to be
//! right for one vehicle; each lies inside the range its source gives for the class.

use crate::course::{AxleBrakes, BrakeKind, Brakes, Fuel, Gearbox, Known, VehicleClass};
use crate::quantity::{Area, Displacement, HeatCapacity, Inertia, Length, Mass, Ratio, Share, SpinRate};

/// What the values of the classes are held against.
pub const FROM: &str = "E1, E2";

/// Usual values of a class.
pub struct ClassValues {
    /// Mean track, m. Agrees with the published mean static stability factors T/2h (E1: sport utilities 1.17, pickups 1.18, full-size vans 1.12) to a few per cent.
    pub track: f64,
    /// Height of the centre of mass, m: E2 (from memory: sport utilities 0.64–0.78, pickups 0.62–0.72, full-size vans 0.75–0.85). The
    /// truck's is judgement.
    pub centre_height: f64,
    /// Distance of the centre of mass behind the front axle, as a part of the wheelbase: judgement,
    /// near even for cars with a driver, further back for load beds.
    pub centre_part: f64,
    /// Drag area, m²: judgement; it hardly matters below 30 km/h.
    pub drag_area: f64,
    /// Turning inertia of four wheels with tyres as extra mass, kg: about 6 kg·m² on a 0.38 m radius
    /// for a car-sized four-wheel drive, more for a truck; judgement.
    pub wheel_inertia_mass: f64,
    /// Front brakes: kind, mass of one (kg), diameter of one (m).
    pub front: (BrakeKind, f64, f64),
    /// Rear brakes: kind, mass of one (kg), diameter of one (m).
    pub rear: (BrakeKind, f64, f64),
    /// Part of the braking heat that the front axle takes; published 0.60 to 0.75 on the level.
    pub front_share: f64,
}

/// The values of a class. Brake masses: front discs 8–12 kg, rear drums 6–10 kg, rear discs 5–9 kg
/// for four-wheel drives of car size (from memory, order of size only).
pub fn values(class: VehicleClass) -> ClassValues {
    use BrakeKind::{Disc, Drum};
    let of = |track, centre_height, centre_part, drag_area, wheel_inertia_mass, front, rear, front_share| {
        ClassValues {
            track,
            centre_height,
            centre_part,
            drag_area,
            wheel_inertia_mass,
            front,
            rear,
            front_share,
        }
    };
    match class {
        VehicleClass::ShortWheelbase => {
            of(1.45, 0.66, 0.48, 1.1, 38.0, (Disc, 8.0, 0.29), (Drum, 6.5, 0.25), 0.68)
        }
        VehicleClass::Wagon => of(1.55, 0.70, 0.49, 1.2, 42.0, (Disc, 10.0, 0.32), (Disc, 7.0, 0.31), 0.65),
        VehicleClass::Pickup => of(1.55, 0.68, 0.50, 1.2, 42.0, (Disc, 10.0, 0.31), (Drum, 8.5, 0.28), 0.67),
        VehicleClass::Van => of(1.65, 0.80, 0.52, 1.7, 45.0, (Disc, 10.0, 0.30), (Disc, 8.0, 0.30), 0.62),
        VehicleClass::Truck => of(1.95, 1.15, 0.52, 5.0, 250.0, (Drum, 30.0, 0.38), (Drum, 35.0, 0.38), 0.55),
    }
}

/// The class of a vehicle that names none: above 5 t a truck, below 2.55 m of wheelbase a short one,
/// otherwise a wagon.
pub fn class_of(mass: Mass, wheelbase: Length) -> VehicleClass {
    if mass.si() > 5000.0 {
        VehicleClass::Truck
    } else if wheelbase.si() < 2.55 {
        VehicleClass::ShortWheelbase
    } else {
        VehicleClass::Wagon
    }
}

/// Height over which a wheel can be raised before another lifts, m: judgement, no source; stiff springs of
/// vans and loaded trucks lift one sooner.
pub fn wheel_travel(class: VehicleClass) -> Length {
    Length::new(match class {
        VehicleClass::Van => 0.12,
        VehicleClass::Truck => 0.18,
        _ => 0.22,
    })
}

/// Front axle's part of the torque through an open centre differential that nobody described: 40 %, the
/// worse nose-down of the usual halves and 40 to 60. Judgement.
pub fn centre_front_share() -> Share {
    Share::new(0.40)
}

/// Number of cylinders usual for a displacement: judgement, about half a litre to 0.8 L in each.
pub fn cylinders(fuel: Fuel, displacement: Displacement) -> u8 {
    let litres = displacement.si() * 1000.0;
    match fuel {
        Fuel::Petrol if litres <= 2.8 => 4,
        Fuel::Petrol if litres <= 4.3 => 6,
        Fuel::Petrol => 8,
        Fuel::Diesel if litres <= 3.3 => 4,
        Fuel::Diesel => 6,
    }
}

/// Stroke of an engine whose bore equals it ("square"): V = n·π/4·s³.
pub fn square_stroke(displacement: Displacement, cylinders: u8) -> Length {
    let one = displacement.si() / f64::from(cylinders);
    Length::new(libm::cbrt(4.0 * one / std::f64::consts::PI))
}

/// Highest engine speed on a descent: judgement, well below the usual rated speeds (petrol 5000 to
/// 6000 rpm, light diesel 3600 to 4200 rpm, truck diesel 2400 to 3000 rpm), never below 2.5 × idle.
pub fn highest(class: VehicleClass, fuel: Fuel, idle: SpinRate) -> SpinRate {
    let rpm: f64 = match (class, fuel) {
        (VehicleClass::Truck, _) => 2400.0,
        (_, Fuel::Petrol) => 4500.0,
        (_, Fuel::Diesel) => 3600.0,
    };
    SpinRate::new((rpm / 60.0).max(2.5 * idle.si()))
}

/// Inertia of the engine's turning parts with flywheel, kg·m². Trucks: 0.41 + 0.27·V (litres), as the
/// D2 states for engines (from memory); others: 0.25 at 2.8 L, in proportion, judgement.
pub fn engine_inertia(class: VehicleClass, displacement: Displacement) -> Inertia {
    let litres = displacement.si() * 1000.0;
    Inertia::new(if class == VehicleClass::Truck { 0.41 + 0.27 * litres } else { 0.25 * litres / 2.8 })
}

/// Share of power from engine to wheels: gearbox 0.96 (automatic 0.93), transfer case 0.97, axle 0.96,
/// hub 0.98 where fitted, multiplied: judgement inside published ranges (manual gearbox 92–97 %,
/// automatic 90–95 %, axle 90–97 %; Joachim, Börner and Kurz,
/// Gear Technology, September 2012, figure 2).
pub fn efficiency(gearbox: Gearbox, hub: Ratio) -> Share {
    let gears = if gearbox == Gearbox::Manual { 0.96 } else { 0.93 };
    let hubs = if hub.si() > 1.0 { 0.98 } else { 1.0 };
    Share::new(gears * 0.97 * 0.96 * hubs)
}

/// Specific heat capacity of grey iron: handbooks give 448 to 520 J/(kg·K); this lies at the low end,
/// so that an estimate heats too much rather than too little.
pub fn heat_capacity() -> HeatCapacity {
    HeatCapacity::new(460.0)
}

/// Cooling surface of one disc or drum from its diameter, by usual proportions: a disc's two rubbed
/// faces from 0.55·D to D (vents left out), a drum's outer shell 0.2·D wide with its end. Small rather
/// than large, so that an estimate cools too slowly.
pub fn brake_area(kind: BrakeKind, diameter: Length) -> Area {
    let square = diameter.si() * diameter.si();
    let quarter_pi = std::f64::consts::FRAC_PI_4;
    Area::new(match kind {
        BrakeKind::Disc => 2.0 * quarter_pi * (1.0 - 0.55 * 0.55) * square,
        BrakeKind::Drum => (4.0 * 0.2 + 1.0) * quarter_pi * square,
    })
}

/// Both axles' brakes when the course says nothing of them.
pub fn brakes(class: VehicleClass) -> Brakes {
    let usual = values(class);
    Brakes {
        front: Some(axle_brakes(usual.front)),
        rear: Some(axle_brakes(usual.rear)),
        front_share: Known::estimated(Share::new(usual.front_share)),
        heat_capacity: Known::estimated(heat_capacity()),
    }
}

fn axle_brakes((kind, mass, diameter): (BrakeKind, f64, f64)) -> AxleBrakes {
    let diameter = Length::new(diameter);
    AxleBrakes {
        kind,
        count: 2,
        mass: Known::estimated(Mass::new(mass)),
        diameter: Known::estimated(diameter),
        area: Known::estimated(brake_area(kind, diameter)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn class_values_meet_the_published_stability_factors() {
        // E1, sales-weighted means of model year 2003.
        for (class, published) in
            [(VehicleClass::Wagon, 1.17), (VehicleClass::Pickup, 1.18), (VehicleClass::Van, 1.12)]
        {
            let usual = values(class);
            let factor = usual.track / (2.0 * usual.centre_height);
            // Loaded off-road vehicles stand no better than the road means, and not 10 % worse.
            assert!((0.9..=1.001).contains(&(factor / published)), "{class:?}: {factor}");
        }
    }

    #[test]
    fn a_square_engine_fills_its_displacement() {
        let stroke = square_stroke(Displacement::new(0.0028), 4).si();
        let volume = 4.0 * std::f64::consts::FRAC_PI_4 * stroke * stroke * stroke;
        assert!((volume - 0.0028).abs() < 1e-12);
        assert!((stroke - 0.0962).abs() < 1e-4, "{stroke}");
    }

    #[test]
    fn efficiency_stays_where_published_ranges_allow() {
        for gearbox in [Gearbox::Manual, Gearbox::AutomaticLocked, Gearbox::AutomaticUnlocked] {
            for hub in [1.0, 2.0] {
                let share = efficiency(gearbox, Ratio::new(hub)).si();
                assert!((0.80..=0.95).contains(&share), "{share}");
            }
        }
    }
}
