//! What a vehicle leaves out that nothing but its class can tell.
//!
//! Nothing here is right for one vehicle; every value lies where vehicles of the kind usually lie, is
//! marked as an estimate on every page, and leans to the unfavourable side. Judgement, no source.

use super::{Fuel, Tyre, VehicleClass};
use crate::quantity::{Displacement, Length, Mass, Ratio, SpinRate};

/// Usual values of what a vehicle must give and nobody told.
pub(crate) struct Usual {
    pub(crate) mass: Mass,
    pub(crate) wheelbase: Length,
    tyre: &'static str,
    pub(crate) displacement: Displacement,
    pub(crate) idle: SpinRate,
    ratios: &'static [f64],
    pub(crate) high: Ratio,
    pub(crate) low: Ratio,
    pub(crate) axle: Ratio,
}

/// Usual values of a class with this fuel.
pub(crate) fn usual(class: VehicleClass, fuel: Fuel) -> Usual {
    let diesel = fuel == Fuel::Diesel;
    let (mass, wheelbase, tyre, litres) = match class {
        VehicleClass::ShortWheelbase => (1750.0, 2.35, "215/75R15", if diesel { 1.9 } else { 1.6 }),
        VehicleClass::Wagon => (2300.0, 2.80, "265/65R17", if diesel { 2.8 } else { 3.0 }),
        VehicleClass::Pickup => (2250.0, 3.10, "265/65R17", if diesel { 2.4 } else { 2.5 }),
        VehicleClass::Van => (2500.0, 3.00, "215/75R16", if diesel { 2.2 } else { 2.5 }),
        VehicleClass::Truck => (6000.0, 3.50, "12.5R20", if diesel { 4.3 } else { 4.5 }),
    };
    let truck = class == VehicleClass::Truck;
    Usual {
        mass: Mass::new(mass),
        wheelbase: Length::new(wheelbase),
        tyre,
        displacement: Displacement::new(litres / 1000.0),
        idle: SpinRate::new(if diesel { 800.0 } else { 750.0 } / 60.0),
        // The first gear at the short end of what is usual: it holds less.
        ratios: if truck { &[6.5, 3.6, 2.2, 1.4, 1.0] } else { &[3.7, 2.1, 1.4, 1.0, 0.8] },
        high: Ratio::new(1.0),
        low: Ratio::new(if class == VehicleClass::ShortWheelbase { 2.0 } else { 2.4 }),
        axle: Ratio::new(if truck { 4.9 } else { 3.9 }),
    }
}

impl Usual {
    /// The tyre, its diameter marked as an estimate.
    pub(crate) fn tyre(&self) -> Tyre {
        let mut tyre = Tyre::from_marking(self.tyre).expect("a usual marking reads");
        tyre.diameter.estimated = true;
        tyre
    }

    /// Forward ratios of the gearbox, first gear first.
    pub(crate) fn ratios(&self) -> Vec<Ratio> {
        self.ratios.iter().copied().map(Ratio::new).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_usual_tyre_reads_and_gears_fall() {
        for class in VehicleClass::ALL {
            for fuel in [Fuel::Petrol, Fuel::Diesel] {
                let usual = usual(*class, fuel);
                assert!(usual.tyre().diameter.estimated);
                assert!(usual.ratios().is_sorted_by(|before, after| before > after));
                assert!(usual.low > usual.high);
            }
        }
    }
}
