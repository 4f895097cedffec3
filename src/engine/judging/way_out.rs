//! The way out of a line across a slope: straight down, in the gear the line is driven in.
//!
//! A vehicle that begins to slide sideways, or leans too far, is turned down the fall line: the one way on which it
//! does not tip. It is steeper than the line, and nobody changes gear there. So a gear is driven along the line only
//! where it holds on the way out as well, and nobody is judged before the way out was measured. Common practice, no
//! source.

use super::judge::{Helped, OffLine, in_gear};
use super::judgement::OnWayOut;
use super::near::{breaks, decidings};
use super::profiles::Profiles;
use super::setting::{Setting, Told};
use crate::course::{Course, Gear, Slope, Vehicle};
use crate::engine::Spread;
use crate::engine::chassis::body::Body;
use crate::engine::mark::{Deciding, Mark};

/// The gears of a vehicle on the way out, each with what it comes to.
pub(crate) struct WayOut<'a> {
    setting: Setting<'a>,
    gears: Vec<Told>,
    marks: Vec<Mark>,
}

impl<'a> WayOut<'a> {
    pub(crate) fn of(
        course: &'a Course,
        (slope, ground): (&'a Slope, &'a Profiles),
        (vehicle, body): (&'a Vehicle, Body),
    ) -> Self {
        let setting = Setting::of(course, slope, ground, vehicle, body);
        let gears = setting.in_gears();
        let marks = in_gear(&setting, &gears, None).marks;
        Self { setting, gears, marks }
    }

    /// What each gear comes to there, foot off the brake.
    pub(crate) fn gears(&self) -> OffLine {
        let against = (0..self.gears.len()).map(|at| self.against(at)).collect();
        OffLine { marks: self.marks.clone(), against }
    }

    /// What speaks against a gear there, the worst first.
    fn against(&self, at: usize) -> Vec<Deciding> {
        let told = &self.gears[at];
        if self.marks[at] == Mark::Within {
            return Vec::new();
        }
        if !told.verdict.within_limits {
            return on_it(told.verdict.broken.clone());
        }
        let decides = self.marks[at] == Mark::Refused;
        let near = decidings(breaks(&self.setting, told).collect(), told);
        on_it(near.into_iter().map(|one| Deciding { decides, ..one }).collect())
    }

    /// What speaks against a gear there with the foot brake on; nothing where it holds by itself.
    pub(crate) fn against_helped(&self, gear: Gear) -> Vec<Deciding> {
        let place = self.gears.iter().position(|told| told.descent.gear == Some(gear));
        if place.is_some_and(|at| self.marks[at].goes()) {
            return Vec::new();
        }
        let Some(told) = self.setting.assisted(gear) else {
            return place.map(|at| self.against(at)).unwrap_or_default();
        };
        let helped = Helped::of(&self.setting, &told, Vec::new());
        if helped.goes() {
            return Vec::new();
        }
        let near = helped.near.iter().map(|near| Deciding { decides: true, ..*near });
        on_it(told.verdict.broken.iter().copied().chain(near).collect())
    }

    /// What the way that is driven comes to there.
    pub(crate) fn told(&self, gear: Option<Gear>, mark: Mark) -> OnWayOut {
        let stretch = &self.setting.slope.stretches[0];
        let alone = self.gears.iter().find(|told| told.descent.gear == gear);
        let helped = gear.filter(|_| mark == Mark::WithBrake).and_then(|gear| self.setting.assisted(gear));
        let top_speed = helped.as_ref().or(alone).map_or(Spread::of([0.0; 3]), |told| told.descent.top_speed);
        OnWayOut { gradient: stretch.gradient.si(), length: stretch.length.si(), top_speed }
    }
}

fn on_it(mut all: Vec<Deciding>) -> Vec<Deciding> {
    for one in &mut all {
        one.on_way_out = true;
    }
    all
}
