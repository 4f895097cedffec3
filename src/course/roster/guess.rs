//! What a member does not know about their own vehicle, from its class.
//!
//! Nothing here is right for one vehicle; every value lies where vehicles of the kind usually lie, is
//! marked as an estimate on every page, and leans to the unfavourable side. Judgement, no source.

use crate::course::{Fuel, VehicleClass};

/// Usual values of what a fleet vehicle must give, written as a person would.
pub(crate) struct Usual {
    pub(crate) mass: &'static str,
    pub(crate) wheelbase: &'static str,
    pub(crate) tyres: &'static str,
    pub(crate) displacement: &'static str,
    pub(crate) idle: &'static str,
    pub(crate) ratios: &'static str,
    pub(crate) high: &'static str,
    pub(crate) low: &'static str,
    pub(crate) axle: &'static str,
}

/// Usual values of a class with this fuel.
pub(crate) fn usual(class: VehicleClass, fuel: Fuel) -> Usual {
    let diesel = fuel == Fuel::Diesel;
    let (mass, wheelbase, tyres, displacement) = match class {
        VehicleClass::ShortWheelbase => {
            ("1750 kg", "2.35 m", "215/75R15", if diesel { "1.9 L" } else { "1.6 L" })
        }
        VehicleClass::Wagon => ("2300 kg", "2.80 m", "265/65R17", if diesel { "2.8 L" } else { "3.0 L" }),
        VehicleClass::Pickup => ("2250 kg", "3.10 m", "265/65R17", if diesel { "2.4 L" } else { "2.5 L" }),
        VehicleClass::Van => ("2500 kg", "3.00 m", "215/75R16", if diesel { "2.2 L" } else { "2.5 L" }),
        VehicleClass::Truck => ("6000 kg", "3.50 m", "12.5R20", if diesel { "4.3 L" } else { "4.5 L" }),
    };
    Usual {
        mass,
        wheelbase,
        tyres,
        displacement,
        idle: if diesel { "800 rpm" } else { "750 rpm" },
        // The first gear at the short end of what is usual: it holds less.
        ratios: if class == VehicleClass::Truck { "6.5 3.6 2.2 1.4 1.0" } else { "3.7 2.1 1.4 1.0 0.8" },
        high: "1.0",
        low: if class == VehicleClass::ShortWheelbase { "2.0" } else { "2.4" },
        axle: if class == VehicleClass::Truck { "4.9" } else { "3.9" },
    }
}
