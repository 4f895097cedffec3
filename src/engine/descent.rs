//! One way down a slope with its range.

use serde::{Serialize, Serializer};

use super::body::{Body, Profile};
use super::braked::{OnBrakes, braked};
use super::drive::{Drive, Wheels};
use super::geared::geared;
use super::locked::locked;
use super::run::{Outcome, Run};
use super::{Balance, Case, Spread};
use crate::course::{Gear, Gearbox, Vehicle};

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

/// One way down with its range: every case followed on its own.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Descent {
    /// How it comes down.
    pub way: Way,
    /// The gear, when one is engaged.
    #[serde(serialize_with = "gear_name")]
    pub gear: Option<Gear>,
    /// What the unfavourable case comes to: what a verdict is given from.
    pub outcome: Outcome,
    /// What the likely case comes to.
    pub likely_outcome: Outcome,
    /// What the favourable case comes to.
    pub favourable_outcome: Outcome,
    /// Highest speed, m/s.
    pub top_speed: Spread,
    /// Speed at the foot, m/s; 0 when it stopped before.
    pub foot_speed: Spread,
    /// Distance covered, m.
    pub distance: Spread,
    /// Time, s.
    pub time: Spread,
    /// Highest engine speed, turns/s.
    pub top_spin: Option<Spread>,
    /// Where the gear settles on the steepest stretch: unfavourable, likely, favourable.
    pub balance: Option<[Balance; 3]>,
    /// The unfavourable case.
    pub unfavourable: Run,
    /// The likely case.
    pub likely: Run,
    /// The favourable case.
    pub favourable: Run,
}

impl Descent {
    /// From its three cases, unfavourable first.
    pub fn of(way: Way, gear: Option<Gear>, runs: [Run; 3], balance: Option<[Balance; 3]>) -> Self {
        let [unfavourable, likely, favourable] = runs;
        let spread = |of: fn(&Run) -> f64| Spread::of(runs.map(|run| of(&run)));
        Self {
            way,
            gear,
            outcome: unfavourable.outcome,
            likely_outcome: likely.outcome,
            favourable_outcome: favourable.outcome,
            top_speed: spread(|run| run.top_speed),
            foot_speed: spread(|run| run.foot_speed.unwrap_or(0.0)),
            distance: spread(|run| run.distance),
            time: spread(|run| run.time),
            top_spin: likely.top_spin.map(|_| Spread::of(runs.map(|run| run.top_spin.unwrap_or(0.0)))),
            balance,
            unfavourable,
            likely,
            favourable,
        }
    }

    /// Its three cases, unfavourable first.
    pub fn runs(&self) -> [&Run; 3] {
        [&self.unfavourable, &self.likely, &self.favourable]
    }
}

/// A vehicle on a slope, in every case, ready to be followed down.
pub(crate) struct Ground<'a> {
    pub(crate) vehicle: &'a Vehicle,
    pub(crate) body: Body,
    pub(crate) profiles: &'a [Profile; 3],
    pub(crate) entry: f64,
}

impl Ground<'_> {
    fn cases(&self, run: impl Fn(Case, &Profile) -> Run) -> [Run; 3] {
        let [worst, likely, best] = self.profiles;
        [run(Case::ALL[0], worst), run(Case::ALL[1], likely), run(Case::ALL[2], best)]
    }

    /// In a gear.
    pub(crate) fn geared(&self, gear: Gear) -> Descent {
        let drives = Case::ALL.map(|case| Drive::of(self.vehicle, gear, case));
        let [a, b, c] = &drives;
        let [worst, likely, best] = self.profiles;
        let pairs = [(a, worst), (b, likely), (c, best)];
        let runs = pairs.map(|(drive, profile)| geared(&self.body, profile, drive, self.entry));
        let balance = pairs.map(|(drive, profile)| Balance::of(&self.body, profile.steepest(), drive));
        Descent::of(Way::Geared, Some(gear), runs, Some(balance))
    }

    /// With locked wheels; none without brakes.
    pub(crate) fn locked(&self) -> Option<Descent> {
        let wheels = Wheels::braked(self.vehicle)?;
        let runs = self.cases(|_, profile| locked(&self.body, profile, wheels, self.entry));
        Some(Descent::of(Way::Locked, None, runs, None))
    }

    /// On the foot brake alone, kept at a speed; none without brakes.
    pub(crate) fn braked(&self, target: f64) -> Option<Descent> {
        let wheels = Wheels::braked(self.vehicle)?;
        let runs = self.cases(|_, profile| {
            let on = OnBrakes { body: &self.body, wheels, help: None, target };
            braked(on, profile, self.entry)
        });
        Some(Descent::of(Way::Braked, None, runs, None))
    }

    /// Slowest a vehicle with a gear engaged rolls, m/s: its creep speed, below which the engine
    /// would stall; none through an open converter, which slips.
    fn slowest(&self, drive: &Drive) -> f64 {
        if self.vehicle.transmission.gearbox == Gearbox::AutomaticUnlocked { 0.0 } else { drive.creep() }
    }

    /// In a gear with the foot brake, kept at a speed; none without brakes.
    pub(crate) fn assisted(&self, gear: Gear, target: f64) -> Option<Descent> {
        let braked_wheels = Wheels::braked(self.vehicle)?;
        let driven = Wheels::driven(self.vehicle);
        // Gearing that ties all four wheels spreads the brakes of one axle to the other.
        let wheels = if driven == Wheels::All || driven != braked_wheels && braked_wheels != Wheels::All {
            Wheels::All
        } else {
            braked_wheels
        };
        let runs = self.cases(|case, profile| {
            let drive = Drive::of(self.vehicle, gear, case);
            let on = OnBrakes { body: &self.body, wheels, help: Some(&drive), target };
            braked(on, profile, self.entry.max(self.slowest(&drive)))
        });
        Some(Descent::of(Way::Assisted, Some(gear), runs, None))
    }
}
