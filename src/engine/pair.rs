//! One vehicle on one slope, every way down.

use serde::Serialize;

use super::chassis::body::Body;
use super::chassis::clearance::Room;
use super::chassis::stability::Stability;
use super::judging::judge;
use super::judging::judgement::Judgement;
use super::judging::leaning::locks_out;
use super::judging::profiles::Profiles;
use super::judging::sensitivity::{Sensitivity, lowest_sensitivity};
use super::judging::setting::{Setting, Told};
use super::judging::way_out::WayOut;
use super::mark::Mark;
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
    /// The gear to drive, as the judge chooses it; where none goes by itself, the one the foot brake
    /// helps.
    #[serde(serialize_with = "gear_name")]
    pub gear: Option<Gear>,
    /// Highest speed to expect, m/s, in the way of the standing.
    pub speed: Spread,
    /// Every forward gear; then the foot brake alone, the best gear with it, and locked wheels.
    pub ways: Vec<Told>,
    /// How the vehicle stands.
    pub stability: Stability,
    /// Room under the vehicle where there is least; empty where nobody measured its underside.
    pub rooms: Vec<Room>,
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
    let (unlocked, unlock) = locks_out(slope, vehicle);
    let vehicle = unlocked.as_ref().unwrap_or(vehicle);
    let body = Body::of(vehicle);
    let setting = Setting::of(course, slope, ground, vehicle, body);
    let out = ground.way_out.as_ref();
    let out = out.map(|(slope, ground)| WayOut::of(course, (slope, ground), (vehicle, body)));
    let mut ways = setting.in_gears();
    let in_gear = judge::in_gear(&setting, &ways, out.as_ref().map(WayOut::gears).as_ref());
    let gear = in_gear.best.and_then(|index| ways[index].descent.gear);
    let helped = gear.and_then(|gear| setting.assisted(gear));
    let limit = course.limits.descent_speed.si();
    let kept = gear.map_or(limit, |gear| setting.kept(gear));
    ways.extend(setting.ground.braked(kept.min(limit)).map(|descent| setting.told(descent)));
    ways.extend(helped);
    ways.extend(setting.ground.locked().map(|descent| setting.told(descent)));
    let off_way_out = out.as_ref().zip(gear).map(|(out, gear)| out.against_helped(gear)).unwrap_or_default();
    let mut judged = judge::judge(&setting, &ways, &in_gear, off_way_out);
    if judged.mark.goes() {
        judged.unlock = unlock;
    }
    judged.way_out = out.map(|out| out.told(judged.gear, judged.mark));
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
        rooms: setting.rooms,
        sensitivity,
    }
}

impl Setting<'_> {
    /// Speed kept on the foot brake in a gear, m/s.
    fn kept(&self, gear: Gear) -> f64 {
        self.ground.drive(gear, Case::Unfavourable).creep() * OVER_IDLE
    }

    /// In a gear with the foot brake, over the brow at the slope's own speed: the gear the choice came to, the lowest
    /// where none goes by itself.
    ///
    /// Where the engine drags the wheels of that gear too much over the brow, no brake mends that, and no higher
    /// gear is tried with the brake: at the high end of the drag such a gear may take more than the grip in hand on
    /// flatter ground, at the speed kept.
    pub(crate) fn assisted(&self, gear: Gear) -> Option<Told> {
        self.ground.assisted(gear, self.kept(gear), self.ground.entry).map(|descent| self.told(descent))
    }
}
