//! How a vehicle comes down, in which gear, and where it is.

use serde::{Serialize, Serializer};

use crate::course::Gear;

/// How a vehicle comes down.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Way {
    /// Wheels locked from the brow.
    Locked,
    /// Foot brake, wheels turning, clutch down.
    Braked,
    /// In a gear, foot off the brake.
    Geared,
    /// In a gear, the foot brake helping to keep a speed.
    Assisted,
}

impl std::fmt::Display for Way {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Locked => "wheels locked",
            Self::Braked => "foot brake",
            Self::Geared => "in gear",
            Self::Assisted => "in gear with the foot brake",
        })
    }
}

/// A gear by its name.
#[expect(clippy::ref_option, reason = "serde hands every field over by reference")]
pub(crate) fn gear_name<S: Serializer>(gear: &Option<Gear>, serializer: S) -> Result<S::Ok, S::Error> {
    match gear {
        Some(gear) => serializer.collect_str(gear),
        None => serializer.serialize_none(),
    }
}

/// A place on a slope.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Place {
    /// Which stretch, 0 for the first; the number of stretches for the run-out.
    pub stretch: usize,
    /// Along the line driven from the brow, m.
    pub from_brow: f64,
}
