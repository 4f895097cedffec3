//! The course's own rules for recoveries.

use serde::Serialize;

/// What follows where the kit cannot fetch a vehicle that the slope itself would let drive.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum NotFetched {
    /// It is said beside the verdict.
    #[default]
    Say,
    /// The vehicle does not drive there.
    NoGo,
}

/// What follows where safety gear that a rig is worked with is not in the kit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum MissingKit {
    /// It is said beside the rig.
    #[default]
    Say,
    /// The rig is not offered.
    Refuse,
}

/// What follows where nobody wrote down when a piece of kit was last checked.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum UncheckedKit {
    /// It is said beside every rig that uses it: to be checked first.
    #[default]
    Say,
    /// It stays in the box.
    Refuse,
}

/// Rules of the course for recoveries.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RecoveryRules {
    /// Share of its rating that stays free on every part, 0 to 0.5.
    pub margin: f64,
    /// Whether a vehicle without a rated point does not drive.
    pub rated_point: bool,
    /// Where the kit cannot fetch a vehicle.
    pub not_fetched: NotFetched,
    /// Where safety gear is missing.
    pub missing_kit: MissingKit,
    /// Where the date of a check is missing.
    pub unchecked_kit: UncheckedKit,
    /// Longest a rig may take, rigging and winching, s: with more, help is called.
    pub longest: f64,
    /// How often a rig is set at most, once included: with more, help is called.
    pub most_settings: u32,
}

/// Longest a rig takes where the course says nothing, s. The project's own choice, no source.
const USUAL_LONGEST: f64 = 3.0 * 3600.0;
/// How often a rig is set at most where the course says nothing. The project's own choice, no source.
const USUAL_SETTINGS: u32 = 4;
/// Share of every rating kept free where the course says nothing. The project's own choice, no source.
pub const USUAL_MARGIN: f64 = 0.2;

impl Default for RecoveryRules {
    fn default() -> Self {
        Self {
            margin: USUAL_MARGIN,
            rated_point: false,
            not_fetched: NotFetched::Say,
            missing_kit: MissingKit::Say,
            unchecked_kit: UncheckedKit::Say,
            longest: USUAL_LONGEST,
            most_settings: USUAL_SETTINGS,
        }
    }
}
