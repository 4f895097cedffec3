//! Who comes with whom, when, and for the first time: said on the cards and lists of the people it concerns.

use crate::pack::weekend::day::Weekend;
use crate::rota::clock_text;

impl Weekend<'_> {
    /// What a driver's card says of their own times and of those in their vehicle; `drives` says whether that drives a
    /// slope: nobody takes turns in one that stands, nor sits beside anybody.
    pub(crate) fn company(&self, driver: usize, drives: bool) -> Vec<String> {
        let course = self.book.course;
        let drivers = self.drivers();
        let mut said = Vec::new();
        let first = self.first_today(driver);
        let from = course.driver_today(driver).map_or(0, |(from, _)| from);
        if course.is_new_today(driver) || (first && from > 0) || self.turned_up(driver) {
            said.push("New today: sign-on, vehicle check and safety briefing before you drive.".to_owned());
        }
        let called = |at: &usize| drivers[*at].name.short();
        let sharing: Vec<String> = (0..drivers.len())
            .filter(|at| *at != driver && drivers[*at].vehicle == drivers[driver].vehicle)
            .filter(|at| self.rota.group_of(*at).is_some())
            .map(|at| called(&at))
            .collect();
        if drives && !sharing.is_empty() {
            let runs = course.day.runs;
            let runs = if runs == 1 { "1 run".to_owned() } else { format!("{runs} runs") };
            said.push(format!(
                "You share the vehicle with {}: take turns, run by run, {runs} each.",
                sharing.join(", ")
            ));
        }
        let here = |at: &usize| self.rota.group_of(*at).is_some();
        if let Some(other) = drivers[driver].beside.filter(|at| drives && here(at)) {
            said.push(format!("{} sits beside you on every run.", called(&other)));
        }
        let sits_with = |at: usize| here(&at) && drivers[at].beside == Some(driver) && self.goes(at);
        for (at, one) in drivers.iter().enumerate().filter(|(at, _)| sits_with(*at)) {
            said.push(format!("You sit beside {} on every run of {}.", called(&at), one.id));
        }
        let riding = self.riders(&drivers[driver].vehicle);
        if !drives && !riding.is_empty() {
            said.push(format!("With you: {}.", riding.join(", ")));
        } else if !riding.is_empty() {
            let stop = "out of the vehicle before each descent: its figures are for the mass on its sheet";
            said.push(format!("With you: {}; {stop}.", riding.join(", ")));
        }
        said
    }

    /// Whether a driver turned up today without a row in the roster.
    pub(crate) fn turned_up(&self, driver: usize) -> bool {
        self.book.missing().late.contains_key(&driver)
    }

    /// Whether a driver's vehicle goes down some slope.
    fn goes(&self, driver: usize) -> bool {
        let sheet = self.book.vehicle_sheet_of(&self.drivers()[driver].vehicle);
        sheet.is_some_and(|sheet| sheet.descents.iter().any(|row| row.within))
    }

    /// Passengers of a vehicle who are there today.
    pub(crate) fn riders(&self, vehicle: &str) -> Vec<String> {
        let riders = self.riding().filter(|at| self.carrier(*at) == vehicle);
        riders.map(|at| self.book.course.roster.passengers[at].name.short()).collect()
    }

    /// Passengers who are there today, by their place in the roster.
    pub(crate) fn riding(&self) -> impl Iterator<Item = usize> {
        let course = self.book.course;
        let there = move |at: &usize| {
            let comes = &course.roster.passengers[*at].comes;
            comes.between(course.day_number(), course.days_held()).is_some()
        };
        (0..course.roster.passengers.len()).filter(there)
    }

    /// The vehicle a passenger comes in.
    pub(crate) fn carrier(&self, passenger: usize) -> &str {
        &self.drivers()[self.book.course.roster.passengers[passenger].with].vehicle
    }

    /// A driver's name on the roll call, with what the desk has to know of their day.
    pub(crate) fn on_the_list(&self, driver: usize) -> String {
        let course = self.book.course;
        let mut name = self.drivers()[driver].name.short();
        if course.is_new_today(driver) {
            name.push_str(" · new today");
        }
        name.push_str(&course.driver_today(driver).map_or_else(String::new, hours));
        name
    }

    fn first_today(&self, driver: usize) -> bool {
        !self.book.course.before().come.contains(&driver)
    }
}

/// ` · from 11:00`, ` · until 15:00`; nothing for who is there all day.
pub(crate) fn hours((from, until): (u16, u16)) -> String {
    let late = if from > 0 { format!(" · from {}", clock_text(from)) } else { String::new() };
    let early = if until < 24 * 60 { format!(" · until {}", clock_text(until)) } else { String::new() };
    late + &early
}
