//! The classes of vehicle a course knows.

/// Kinds of vehicle whose published or usual values fill the gaps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum VehicleClass {
    /// Two doors, short wheelbase.
    ShortWheelbase,
    /// Estate body, long wheelbase.
    Wagon,
    /// Open load bed.
    Pickup,
    /// Panel van or minibus.
    Van,
    /// Forward-control or heavy truck.
    Truck,
}

impl VehicleClass {
    /// Every class.
    pub const ALL: &'static [Self] =
        &[Self::ShortWheelbase, Self::Wagon, Self::Pickup, Self::Van, Self::Truck];

    /// Its word in a course.
    pub fn key(self) -> &'static str {
        match self {
            Self::ShortWheelbase => "short-wheelbase",
            Self::Wagon => "wagon",
            Self::Pickup => "pickup",
            Self::Van => "van",
            Self::Truck => "truck",
        }
    }
}
