//! One way down a slope with its range.

use serde::Serialize;

use super::chassis::axle::AxleDemand;
use super::chassis::body::{Body, Profile};
use super::chassis::drive::Drive;
use super::chassis::hold::{Hold, Wheels};
use super::chassis::overrun::EngineDrag;
use super::mark::Corner;
use super::motion::braked::{OnBrakes, braked};
use super::motion::geared::geared;
use super::motion::locked::locked;
use super::motion::run::{Outcome, Run};
use super::way::{Way, gear_name};
use super::{Balance, Case, Spread};
use crate::course::{Gear, Vehicle};

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
    /// Highest speed over every corner, m/s.
    pub top_speed: Spread,
    /// Speed at the foot over every corner, m/s; 0 when it stopped before.
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
    /// The case in which engine braking slides wheels: high drag on low grip; none where it was not
    /// needed to refuse the way.
    pub dragged: Option<Run>,
    /// Speed kept on the foot brake, m/s; none without it. A short slope may end before it is reached.
    #[serde(skip)]
    pub kept: Option<f64>,
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
            dragged: None,
            kept: None,
        }
    }

    /// The same with the corner in which engine braking slides wheels: what it comes to counts in every range.
    #[must_use]
    pub(crate) fn with_dragged(self, dragged: &Run) -> Self {
        let also = |spread: Spread, value: f64| Spread {
            low: spread.low.min(value),
            high: spread.high.max(value),
            ..spread
        };
        Self {
            top_speed: also(self.top_speed, dragged.top_speed),
            foot_speed: also(self.foot_speed, dragged.foot_speed.unwrap_or(0.0)),
            distance: also(self.distance, dragged.distance),
            time: also(self.time, dragged.time),
            top_spin: self.top_spin.zip(dragged.top_spin).map(|(spread, spin)| also(spread, spin)),
            dragged: Some(*dragged),
            ..self
        }
    }

    /// The runs a verdict is given from, each with the corner of the ranges it was followed at.
    pub(crate) fn corners(&self) -> impl Iterator<Item = (&Run, Corner)> {
        let dragged = self.dragged.iter().map(|run| (run, Corner::DRAGGED));
        std::iter::once((&self.unfavourable, Corner::FREE)).chain(dragged)
    }

    /// Highest speed over the corners, m/s.
    pub fn fastest(&self) -> f64 {
        self.top_speed.high
    }

    /// The axles at the corner where one of them is nearest to its limit; none where nothing is wanted.
    pub fn axles(&self) -> Option<AxleDemand> {
        let tight = |run: &Run| run.grip_share().unwrap_or(-1.0);
        let (run, _) = self.corners().max_by(|(a, _), (b, _)| tight(a).total_cmp(&tight(b)))?;
        run.axle.map(|_| run.axles)
    }

    /// The corner's run with the highest speed.
    pub(crate) fn fastest_run(&self) -> &Run {
        let dragged = self.dragged.as_ref().filter(|run| run.top_speed > self.unfavourable.top_speed);
        dragged.unwrap_or(&self.unfavourable)
    }

    /// Lowest speed of any case, m/s: at the brow or at the foot.
    pub(crate) fn slowest(&self) -> f64 {
        let least = |run: &Run| run.entry_speed.min(run.foot_speed.unwrap_or(0.0));
        self.runs().into_iter().map(least).fold(f64::INFINITY, f64::min)
    }

    /// Force short of a balance on the steepest stretch at the highest engine speed, N.
    pub(crate) fn short(&self) -> Option<f64> {
        match self.balance?[0] {
            Balance::TooSteepForGear { short, .. } => Some(short),
            _ => None,
        }
    }

    /// The case whose brakes may take most.
    pub fn hottest(&self) -> &Run {
        let [first, rest @ ..] = self.runs();
        rest.into_iter().fold(first, |a, b| if b.braking > a.braking { b } else { a })
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
    /// How hard its engine is to turn.
    pub(crate) drag: EngineDrag,
    pub(crate) profiles: &'a [Profile; 3],
    pub(crate) entry: f64,
    /// Height of the bumps, m.
    pub(crate) bump: f64,
}

impl Ground<'_> {
    fn cases(&self, run: impl Fn(Case, &Profile) -> Run) -> [Run; 3] {
        let [worst, likely, best] = self.profiles;
        [run(Case::ALL[0], worst), run(Case::ALL[1], likely), run(Case::ALL[2], best)]
    }

    /// The gear in one case, on this ground.
    pub(crate) fn drive(&self, gear: Gear, case: Case) -> Drive {
        Drive::with(self.drag.clone(), self.vehicle, gear, case).over(self.vehicle, self.bump)
    }

    /// In a gear.
    pub(crate) fn geared(&self, gear: Gear) -> Descent {
        let drives = Case::ALL.map(|case| self.drive(gear, case));
        let [a, b, c] = &drives;
        let [worst, likely, best] = self.profiles;
        let pairs = [(a, worst), (b, likely), (c, best)];
        let runs = pairs.map(|(drive, profile)| geared(&self.body, profile, drive, self.entry));
        let balance = pairs.map(|(drive, profile)| Balance::of(&self.body, profile.steepest(), drive));
        let dragged = geared(&self.body, worst, &self.drive(gear, Case::Dragged), self.entry);
        Descent::of(Way::Geared, Some(gear), runs, Some(balance)).with_dragged(&dragged)
    }

    /// With locked wheels; none without brakes.
    pub(crate) fn locked(&self) -> Option<Descent> {
        let wheels = Wheels::locked(self.vehicle)?;
        let runs = self.cases(|_, profile| locked(&self.body, profile, wheels, self.entry));
        Some(Descent::of(Way::Locked, None, runs, None))
    }

    /// On the foot brake alone, kept at a speed; none without brakes.
    pub(crate) fn braked(&self, target: f64) -> Option<Descent> {
        let hold = Hold::braked(self.vehicle, self.bump)?;
        let runs = self.cases(|_, profile| {
            let on = OnBrakes { body: &self.body, hold, help: None, strongest: None, target };
            braked(on, profile, self.entry)
        });
        Some(Descent { kept: Some(target), ..Descent::of(Way::Braked, None, runs, None) })
    }

    /// In a gear with the foot brake, over the brow at a speed and kept at another, m/s; none without
    /// brakes. Slower than it is kept it is not brought in: below idle the engine takes nothing.
    pub(crate) fn assisted(&self, gear: Gear, target: f64, entry: f64) -> Option<Descent> {
        let hold = Hold::braked(self.vehicle, self.bump)?;
        let strongest = self.drive(gear, Case::Dragged);
        let runs = self.cases(|case, profile| {
            let drive = self.drive(gear, case);
            let on =
                OnBrakes { body: &self.body, hold, help: Some(&drive), strongest: Some(&strongest), target };
            braked(on, profile, entry.max(target))
        });
        Some(Descent { kept: Some(target), ..Descent::of(Way::Assisted, Some(gear), runs, None) })
    }
}
