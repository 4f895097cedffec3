//! Everything the documents of a course are made from, worked out once.

use std::collections::BTreeSet;
use std::ops::Deref;
use std::sync::{Arc, OnceLock};

use crate::course::{Course, Person, Role};
use crate::engine::Pair;
use crate::pack::facts::Facts;
use crate::pack::printed::{Anew, Printed};
use crate::pack::sheet::descent::DescentRow;
use crate::pack::sheet::slope::SlopeSheet;
use crate::pack::sheet::vehicle::VehicleSheet;
use crate::page::gallery::{Gallery, Shot};
use crate::page::meta::Meta;
use crate::paper::Quiz;
use crate::rota::{
    Change, Missing, NoRota, Patience, Rota, Shown, absent, days_by, difference, doing, plan, plan_days,
    replan, rotates, shown,
};

/// The course in the rain, and what its vehicles do on it then.
pub(crate) type Soaked = (Course, Vec<Pair>);

/// The facts of a course, with its sheets, its rota and its pictures. Whoever has a book has its facts.
pub struct Book<'a> {
    facts: Facts<'a>,
    /// First digits of the course file's checksum.
    pub fingerprint: String,
    /// Who is where when, if the course has a roster and rules for it; of several days on the first.
    pub rota: Option<Rota>,
    /// Several days, each with the course as it is then and its rota; empty for a single one.
    pub days: Vec<(Course, Rota)>,
    /// All days of a course of which this book holds one that changes, as they were planned.
    pub others: Vec<(Course, Rota)>,
    /// Who and what is not there: as the course plans it, and as it came.
    missing: Missing,
    /// What differs from the rota made before, on the day itself.
    pub change: Option<Change>,
    /// The number of the change, its time, and which card everybody holds.
    pub(crate) printed: Printed,
    pub(crate) slopes: Vec<SlopeSheet>,
    pub(crate) vehicles: Vec<VehicleSheet>,
    logo: Option<Shot>,
    /// The slopes that change when it is wet, once they are reckoned; the same for every book of a course.
    pub(crate) soaked: Arc<OnceLock<Option<Soaked>>>,
    /// The learners' quiz, once it is drawn.
    pub(crate) quiz: OnceLock<Quiz>,
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
        Self::from_facts(Facts::of(course), fingerprint)
    }

    /// From the facts of a course; `fingerprint` stands on every sheet.
    pub fn from_facts(facts: Facts<'a>, fingerprint: &str) -> Self {
        let course = facts.course;
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
            days: Vec::new(),
            others: Vec::new(),
            missing: absent(course),
            change: None,
            printed: Printed::default(),
            slopes,
            vehicles,
            logo: None,
            soaked: Arc::default(),
            quiz: OnceLock::new(),
        }
    }

    /// Makes the rota of the day as it was to be, if it is not made yet.
    ///
    /// # Errors
    /// No rota fits: which limits clash.
    pub fn made(&mut self) -> Result<(), NoRota> {
        if !rotates(self.course) || self.rota.is_some() {
            return Ok(());
        }
        if !self.course.days.is_empty() && self.course.today.is_none() {
            self.days = plan_days(self.course, &self.reckoning)?;
            self.rota = self.days.first().map(|(_, rota)| rota.clone());
            return Ok(());
        }
        self.rota = Some(plan(self.course, &self.reckoning)?);
        Ok(())
    }

    /// Takes the rotas of all days that were made of the same course before, in their order.
    pub fn made_before(&mut self, rotas: Vec<Rota>) {
        if !self.course.days.is_empty() && self.course.today.is_none() {
            self.days = days_by(self.course, rotas);
            self.rota = self.days.first().map(|(_, rota)| rota.clone());
        } else {
            self.rota = rotas.into_iter().next();
        }
    }

    /// The rotas of all days in their order, as far as they are made.
    pub fn rotas(&self) -> Vec<Rota> {
        if self.days.is_empty() {
            return self.rota.iter().cloned().collect();
        }
        self.days.iter().map(|(_, rota)| rota.clone()).collect()
    }

    /// With a rota that was printed before, and who was missing by then.
    pub fn goes_by(&mut self, rota: Rota, missing: Missing) {
        self.rota = Some(rota);
        self.missing = missing;
    }

    /// The rota nearest to that of the book before: the one that was `made` already, or a new one. The worked examples of
    /// both books, which show what differs, are worked beside it. The book does not go by it yet.
    ///
    /// # Errors
    /// No rota fits: which limits clash.
    fn changed_from(
        &self,
        before: &Book,
        missing: &Missing,
        made: Option<Rota>,
        patience: Patience,
    ) -> Result<Change, NoRota> {
        let old = before.rota.clone().unwrap_or_default();
        let mut change = std::thread::scope(|scope| {
            scope.spawn(|| (self.worked(), before.worked()));
            match made {
                Some(rota) => Ok(difference(self.course, &old, rota, missing)),
                None => replan(self.course, &self.reckoning, &old, missing, patience),
            }
        })?;
        change.newly = missing.beyond(&before.missing);
        Ok(change)
    }

    /// Takes the rota nearest to that of the book before, by [`Self::changed_from`]. What differs is not shown yet, so that
    /// the books can be compared.
    ///
    /// # Errors
    /// No rota fits: which limits clash.
    pub fn replanned(
        &mut self,
        before: &Book,
        missing: &Missing,
        made: Option<Rota>,
        patience: Patience,
    ) -> Result<Change, NoRota> {
        let change = self.changed_from(before, missing, made, patience)?;
        self.goes_by(change.rota.clone(), change.missing.clone());
        Ok(change)
    }

    /// Shows a change, with what is printed anew and its number.
    pub fn shows(&mut self, change: Change, anew: Anew, number: usize) {
        self.printed.number = number;
        self.printed.anew = Some(anew);
        self.change = Some(change);
    }

    /// Notes whose cards an earlier change printed.
    pub fn holds(&mut self, number: usize, drivers: &BTreeSet<usize>, people: &BTreeSet<usize>) {
        self.printed.note(number, drivers, people);
    }

    /// Vehicles that were on no list before a change; all of them in a pack.
    pub(crate) fn new_vehicles(&self) -> std::ops::Range<usize> {
        let known = self.printed.anew.as_ref().map_or(0, |anew| anew.vehicles);
        known..self.course.vehicles.len()
    }

    /// The book of one of several days, from 1: the same course and pictures, that day's rota.
    pub(crate) fn on_day(&self, number: usize) -> Book<'_> {
        let (course, rota) = &self.days[number - 1];
        Book { rota: Some(rota.clone()), printed: self.printed.clone(), ..self.worked_as(course) }
    }

    /// The book of a course with the same slopes, vehicles and runs, which are not worked again; without a rota yet.
    fn worked_as<'d>(&self, course: &'d Course) -> Book<'d> {
        Book {
            facts: self.facts.on_day(course),
            fingerprint: self.fingerprint.clone(),
            rota: None,
            days: Vec::new(),
            others: Vec::new(),
            missing: absent(course),
            change: None,
            printed: Printed::default(),
            slopes: self.slopes.clone(),
            vehicles: self.vehicles.clone(),
            logo: self.logo.clone(),
            soaked: Arc::clone(&self.soaked),
            quiz: OnceLock::new(),
        }
    }

    /// The book of the course as it was before a change, with the pictures of this one: nothing of it is worked again that
    /// this one knows.
    pub fn before<'d>(&self, course: &'d Course, gallery: &Gallery) -> Book<'d> {
        if *course == *self.course {
            self.worked_as(course)
        } else if !course.lies_like(self.course) {
            Book::of(course, &self.fingerprint).with_pictures(gallery.clone())
        } else {
            // Whoever came is in this one's wet slopes and not in the other's.
            self.soaked();
            let facts = self.facts.of_fleet(course);
            let book = Book::from_facts(facts, &self.fingerprint).with_pictures(gallery.clone());
            Book { soaked: Arc::clone(&self.soaked), ..book }
        }
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
        &self.missing
    }

    /// Everybody of the people who is there today, with their place.
    pub(crate) fn there(&self) -> impl Iterator<Item = (usize, &'a Person)> {
        let people = self.course.people.iter().enumerate();
        people.filter(|(at, _)| !self.missing.people.contains(at))
    }

    /// Who does a role today: those named for it, or their deputies. By name; none when there is nobody.
    pub(crate) fn who_does(&self, role: Role) -> Option<String> {
        let people = &self.course.people;
        let names = doing(self.course, role, &self.missing).into_iter().map(|at| people[at].name.short());
        let names: Vec<String> = names.collect();
        (!names.is_empty()).then(|| names.join(", "))
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
