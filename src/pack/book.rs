//! Everything the documents of a course are made from, worked out once.

use std::collections::BTreeSet;
use std::ops::Deref;

use crate::course::Course;
use crate::pack::facts::Facts;
use crate::pack::printed::Printed;
use crate::pack::sheet::descent::DescentRow;
use crate::pack::sheet::slope::SlopeSheet;
use crate::pack::sheet::vehicle::VehicleSheet;
use crate::page::gallery::{Gallery, Shot};
use crate::page::meta::Meta;
use crate::rota::{Change, Missing, NoRota, Rota, Shown, plan, replan, rotates, shown};

/// The facts of a course, with its sheets, its rota and its pictures. Whoever has a book has its facts.
pub struct Book<'a> {
    facts: Facts<'a>,
    /// First digits of the course file's checksum.
    pub fingerprint: String,
    /// Who is where when, if the course has a roster and rules for it.
    pub rota: Option<Rota>,
    /// What differs from the rota made before, on the day itself.
    pub change: Option<Change>,
    /// The number of the change, its time, and which card everybody holds.
    pub(crate) printed: Printed,
    pub(crate) slopes: Vec<SlopeSheet>,
    pub(crate) vehicles: Vec<VehicleSheet>,
    logo: Option<Shot>,
}

impl<'a> Deref for Book<'a> {
    type Target = Facts<'a>;

    fn deref(&self) -> &Facts<'a> {
        &self.facts
    }
}

impl<'a> Book<'a> {
    /// Works the course; `fingerprint` stands on every sheet.
    pub fn of(course: &'a Course, fingerprint: &str) -> Self {
        let facts = Facts::of(course);
        // A row for each pair, slope by slope; both sheets of a pair show the same one.
        let rows: Vec<Vec<DescentRow>> = course
            .slopes
            .iter()
            .map(|slope| course.vehicles.iter().map(|one| DescentRow::of(&facts, slope, one)).collect())
            .collect();
        let of_vehicle = |at: usize| rows.iter().map(|of_slope| of_slope[at].clone()).collect();
        let vehicles = (0..).zip(&course.vehicles);
        let vehicles = vehicles.map(|(at, one)| VehicleSheet::of(&facts, one, of_vehicle(at))).collect();
        let slopes = course.slopes.iter().zip(&rows);
        let slopes = slopes.map(|(slope, rows)| SlopeSheet::of(&facts, slope, rows.clone())).collect();
        Self {
            facts,
            fingerprint: fingerprint.to_owned(),
            rota: None,
            change: None,
            printed: Printed::default(),
            slopes,
            vehicles,
            logo: None,
        }
    }

    /// Makes the rota, and with somebody missing the rota nearest to it. Nothing happens for a course
    /// without a roster or rules.
    ///
    /// # Errors
    /// No rota fits: which limits clash. Or the check finds fault with it.
    pub fn rotate(&mut self, missing: &Missing) -> Result<(), NoRota> {
        let changes = if missing.is_empty() { Vec::new() } else { vec![missing.clone()] };
        self.rotate_through(&changes)
    }

    /// Makes the rota, if it is not made yet, and changes it step by step, each change from the one before it.
    ///
    /// # Errors
    /// No rota fits: which limits clash. Or the check finds fault with it.
    pub fn rotate_through(&mut self, changes: &[Missing]) -> Result<(), NoRota> {
        if !rotates(self.course) {
            return Ok(());
        }
        let mut rota = match (self.rota.take(), &self.change) {
            (Some(morning), None) => morning,
            _ => plan(self.course, &self.reckoning)?,
        };
        let mut before = Missing::default();
        for (number, missing) in (1..).zip(changes) {
            let mut change = replan(self.course, &self.reckoning, &rota, missing)?;
            change.newly = missing.beyond(&before);
            before = missing.clone();
            rota = change.rota.clone();
            if number < changes.len() {
                self.printed.note(number, &change);
            }
            self.printed.number = number;
            self.change = Some(change);
        }
        self.rota = Some(rota);
        Ok(())
    }

    /// With the clock time at which it is printed.
    #[must_use]
    pub fn printed_at(mut self, time: Option<&str>) -> Self {
        self.printed.at = time.map(str::to_owned);
        self
    }

    /// What the demonstration of the rota shows, with a vehicle that is there today.
    pub(crate) fn shown(&self) -> Option<Shown> {
        shown(self.course, &self.reckoning, self.missing())
    }

    /// Who and what is missing today.
    pub(crate) fn missing(&self) -> &Missing {
        static NOBODY: Missing = Missing {
            drivers: BTreeSet::new(),
            people: BTreeSet::new(),
            slopes: BTreeSet::new(),
            vehicles: BTreeSet::new(),
            standing_in: BTreeSet::new(),
            from: 0,
        };
        self.change.as_ref().map_or(&NOBODY, |change| &change.missing)
    }

    /// The same with the club's mark and the photographs of its slopes.
    #[must_use]
    pub fn with_pictures(mut self, mut gallery: Gallery) -> Self {
        self.logo = gallery.logo;
        for (slope, sheet) in self.facts.course.slopes.iter().zip(&mut self.slopes) {
            sheet.photos = gallery.photographs.remove(&slope.id).unwrap_or_default();
        }
        self
    }

    /// What every sheet of a document carries.
    pub(crate) fn meta(&self, title: &str, audience: &str, file: &str) -> Meta {
        let mark = self.printed.mark(&self.fingerprint);
        Meta { logo: self.logo.clone(), ..Meta::of(self.course, title, audience, file, &mark) }
    }

    /// The sheet of a slope, by the course's name for it.
    pub(crate) fn slope_sheet_of(&self, id: &str) -> Option<&SlopeSheet> {
        let place = self.course.slopes.iter().position(|slope| slope.id == id)?;
        self.slopes.get(place)
    }

    /// The sheet of a vehicle, by the course's name for it.
    pub(crate) fn vehicle_sheet_of(&self, id: &str) -> Option<&VehicleSheet> {
        let place = self.course.vehicles.iter().position(|vehicle| vehicle.id == id)?;
        self.vehicles.get(place)
    }
}
