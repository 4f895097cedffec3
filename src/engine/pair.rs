//! One vehicle on one slope, every way down.

use serde::Serialize;

use super::body::Body;
use super::drive::Drive;
use super::judge;
use super::judgement::Judgement;
use super::mark::Mark;
use super::sensitivity::{Sensitivity, lowest_sensitivity};
use super::setting::{Profiles, Setting, Told};
use super::stability::Stability;
use super::way::{Way, gear_name};
use super::{Case, Spread};
use crate::course::{Course, Gear, Slope, Vehicle};

/// Speed kept on the brakes over the creep speed of the gear: above it governors cut the fuel
/// (1.1 times idle in D1).
const OVER_IDLE: f64 = 1.1;

/// Where a vehicle stands with a slope.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Standing {
    /// In its best gear, foot off the brake.
    InGear,
    /// In a gear with the foot brake helping.
    InGearWithFootBrake,
    /// Not within the course's limits.
    NotHere,
}

impl From<Mark> for Standing {
    fn from(mark: Mark) -> Self {
        match mark {
            Mark::Within | Mark::Near => Self::InGear,
            Mark::WithBrake => Self::InGearWithFootBrake,
            Mark::Refused | Mark::NotJudged => Self::NotHere,
        }
    }
}

impl std::fmt::Display for Standing {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::InGear => "in gear, foot off the brake",
            Self::InGearWithFootBrake => "in gear, foot brake helping",
            Self::NotHere => "not on this slope",
        })
    }
}

/// One slope with one vehicle.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Pair {
    /// The slope's identifier.
    pub slope: String,
    /// The vehicle's identifier.
    pub vehicle: String,
    /// What it comes to: mark, gears, reasons, figures.
    pub judged: Judgement,
    /// Where the vehicle stands, as the mark says.
    pub standing: Standing,
    /// The gear to drive, as the judge chooses it; where none goes by itself, the lowest.
    #[serde(serialize_with = "gear_name")]
    pub gear: Option<Gear>,
    /// Highest speed to expect, m/s, in the way of the standing.
    pub speed: Spread,
    /// Every forward gear; then the foot brake alone, the best gear with it, and locked wheels.
    pub ways: Vec<Told>,
    /// How the vehicle stands.
    pub stability: Stability,
    /// What matters most in the lowest gear here, likely values.
    pub sensitivity: Option<Sensitivity>,
}

impl Pair {
    /// The way of this kind; for gears the best one.
    pub fn way(&self, way: Way) -> Option<&Told> {
        self.ways
            .iter()
            .find(|told| told.descent.way == way && (way != Way::Geared || told.descent.gear == self.gear))
    }

    /// Every gear.
    pub fn gears(&self) -> impl Iterator<Item = &Told> {
        self.ways.iter().filter(|told| told.descent.way == Way::Geared)
    }
}

/// One line of the machine's list of descents.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct DescentRecord<'a> {
    /// The slope's identifier.
    pub slope: &'a str,
    /// The vehicle's identifier.
    pub vehicle: &'a str,
    /// What the pair comes to.
    #[serde(skip)]
    pub judged: &'a Judgement,
    /// The way down.
    #[serde(flatten)]
    pub told: &'a Told,
}

impl DescentRecord<'_> {
    /// Whether the pair's mark is given for this way down.
    pub fn decides(&self) -> bool {
        let descent = &self.told.descent;
        self.judged.way == Some(descent.way) && self.judged.gear == descent.gear
    }
}

/// Works one pair.
pub(crate) fn pair(course: &Course, slope: &Slope, ground: &Profiles, vehicle: &Vehicle) -> Pair {
    let profiles = &ground.cases;
    let body = Body::of(vehicle);
    let setting = Setting::of(course, slope, ground, vehicle, body);
    let mut ways: Vec<Told> =
        vehicle.gears().into_iter().map(|gear| setting.told(setting.ground.geared(gear))).collect();
    let in_gear = judge::in_gear(&setting, &ways);
    let gear = in_gear.best.and_then(|index| ways[index].descent.gear);
    let limit = course.limits.descent_speed.si();
    let creep = gear.map_or(limit, |gear| Drive::of(vehicle, gear, Case::Unfavourable).creep() * OVER_IDLE);
    ways.extend(setting.ground.braked(creep.min(limit)).map(|descent| setting.told(descent)));
    let assisted = gear.and_then(|gear| setting.ground.assisted(gear, creep));
    ways.extend(assisted.map(|descent| setting.told(descent)));
    ways.extend(setting.ground.locked().map(|descent| setting.told(descent)));
    let judged = judge::judge(&setting, &ways, &in_gear);
    let sensitivity = lowest_sensitivity(vehicle, &body, &profiles[1]);
    Pair {
        slope: slope.id.clone(),
        vehicle: vehicle.id.clone(),
        standing: judged.mark.into(),
        gear,
        speed: judged.top_speed,
        judged,
        ways,
        stability: setting.stability,
        sensitivity,
    }
}
