//! Slips of units: each belongs to the units a course works in.

use crate::engine::symbols::GRAVITY_ACCELERATION;
use crate::formula::{Algebra, Bend, Expr, Slip, Symbol};
use crate::quantity::UnitSystem::{Imperial, Metric};

/// Pounds of force for each poundal: standard gravity in ft/s².
const POUNDALS: f64 = 32.2;

/// Mass put where weight belongs. In pounds the number is the same, so it is no slip there.
pub(super) const MASS_FOR_WEIGHT: Slip = Slip {
    id: "mass-for-weight",
    why: "left gravity out: a mass in kilograms is not a force",
    bend: Bend::In(Metric, &Bend::LeftOut(&GRAVITY_ACCELERATION)),
};

/// Its counterpart: a weight in pounds multiplied by gravity once more.
pub(super) const GRAVITY_ON_POUNDS: Slip = Slip {
    id: "gravity-on-pounds",
    why: "multiplied by 32.2: a mass of 1 lb weighs 1 lbf already",
    bend: Bend::In(Imperial, &Bend::Whole(|force| force * Expr::num(POUNDALS))),
};

/// A speed in km/h put in as it stands.
pub(super) const fn km_per_hour(bend: &'static Bend) -> Slip {
    Slip {
        id: "km-per-hour",
        why: "put in kilometres per hour without changing to metres per second",
        bend: Bend::Unit(Metric, bend),
    }
}

/// A speed in mph put in as it stands.
pub(super) const fn miles_per_hour(bend: &'static Bend) -> Slip {
    Slip {
        id: "miles-per-hour",
        why: "put in miles per hour without changing to feet per second",
        bend: Bend::Unit(Imperial, bend),
    }
}

/// A speed put in 3.6 times too great.
pub(super) const fn times_3_6(speed: &'static Symbol) -> Bend {
    Bend::InPlaceOf(speed, |v| v * Expr::num(3.6))
}

/// A speed put in as mph where ft/s belong: 1.467 times too small.
pub(super) const fn over_1_467(speed: &'static Symbol) -> Bend {
    Bend::InPlaceOf(speed, |v| v / Expr::num(1.467))
}
