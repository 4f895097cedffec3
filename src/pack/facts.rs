//! What is known of a course and may be said on its pages: no sheet is in it.

use std::sync::OnceLock;

use crate::course::{Course, Slope, Vehicle};
use crate::engine::{Pair, Reckoning, reckon};
use crate::formula::Worked;
use crate::lesson::{Example, worked_examples};
use crate::pack::day::careful;
use crate::page::figure::Show;
use crate::page::words::vehicle_mark;
use crate::recovery::{Depth, Recoveries, recoveries, rule};
use crate::rota::best_to_show;

/// A course, what the engine knows of it, its worked examples and how figures are shown.
pub struct Facts<'a> {
    /// The course.
    pub course: &'a Course,
    /// What the engine knows.
    pub reckoning: Reckoning,
    /// How figures are shown.
    pub(crate) show: Show,
    recoveries: OnceLock<Recoveries>,
    worked: OnceLock<Vec<Worked>>,
}

impl<'a> Facts<'a> {
    /// Works the course.
    pub fn of(course: &'a Course) -> Self {
        Self::reckoned(course, reckon(course))
    }

    /// From what the engine knows of the course already, or of one that differs in its texts alone.
    pub fn reckoned(course: &'a Course, mut reckoning: Reckoning) -> Self {
        let known = OnceLock::new();
        if rule::binds(course) {
            let told = known.get_or_init(|| recoveries(course, Depth::Likely));
            rule::apply(course, &mut reckoning, &told.fetch);
        }
        careful::apply(course, &mut reckoning);
        let show = Show::new(course.units);
        Self { course, reckoning, show, recoveries: known, worked: OnceLock::new() }
    }

    /// The same of the course as it is on one of its days: slopes, vehicles and runs are those of all days.
    pub(crate) fn on_day<'d>(&self, course: &'d Course) -> Facts<'d> {
        Facts {
            course,
            reckoning: self.reckoning.clone(),
            show: self.show,
            recoveries: self.recoveries.clone(),
            worked: self.worked.clone(),
        }
    }

    /// The same of the course with a part of its vehicles: what each does on a slope is not worked again, unless a rule of
    /// recovery decides it, in which all vehicles have a part.
    pub(crate) fn of_fleet<'d>(&self, course: &'d Course) -> Facts<'d> {
        if rule::binds(course) {
            return Facts::of(course);
        }
        Facts::reckoned(course, self.reckoning.of_fleet(&course.vehicles))
    }

    /// Every worked example, worked out when they are first asked for.
    pub fn worked(&self) -> &[Worked] {
        self.worked.get_or_init(|| worked_examples(self.course, &self.reckoning))
    }

    /// What getting each vehicle back takes, worked out when it is first asked for.
    pub(crate) fn recoveries(&self) -> &Recoveries {
        self.recoveries.get_or_init(|| recoveries(self.course, Depth::Likely))
    }

    /// The short mark of a slope on pages: `S1`, in the order of the course.
    pub(crate) fn slope_mark(&self, id: &str) -> String {
        let place = self.course.slopes.iter().position(|slope| slope.id == id);
        format!("S{}", place.map_or(0, |place| place + 1))
    }

    /// The short mark of a vehicle on pages: `A` to `Z`, then `A2`, in the order of the course.
    pub(crate) fn vehicle_mark(&self, id: &str) -> String {
        vehicle_mark(self.course, id)
    }

    /// A slope with a vehicle.
    pub(crate) fn pair(&self, slope: &Slope, vehicle: &Vehicle) -> &Pair {
        self.reckoning.pair(&slope.id, &vehicle.id).expect("every slope is reckoned with every vehicle")
    }

    /// The vehicle that shows a slope best, by [`best_to_show`].
    pub(crate) fn lead(&self, slope: &Slope) -> &'a Vehicle {
        let place = best_to_show(self.course, &self.reckoning, slope);
        &self.course.vehicles[place.expect("a checked course has a vehicle")]
    }

    /// The worked example of this kind about this slope and vehicle.
    pub(crate) fn example(
        &self,
        example: Example,
        slope: Option<&str>,
        vehicle: Option<&str>,
    ) -> Option<&Worked> {
        self.worked().iter().find(|worked| {
            example.is(worked) && worked.slope.as_deref() == slope && worked.vehicle.as_deref() == vehicle
        })
    }
}
