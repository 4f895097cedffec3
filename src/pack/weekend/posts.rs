//! Who stands where on a slope, and who of the drivers is spoken to by hand.

use crate::course::{Name, Need, Role};
use crate::pack::day::channels;
use crate::pack::weekend::day::Weekend;
use crate::rota::{Duty, Post, Station};

/// Where vehicles start.
pub(crate) const BROW: &str = "brow";
/// Where they stop.
pub(crate) const FOOT: &str = "foot";

/// What whoever signals to a driver who does not hear does. An instruction, no word on health.
pub(crate) const BY_HAND: &str = "hand signals only; wait until they look at you";

impl Weekend<'_> {
    /// Those who serve a station in a slot, in the order of the course: its instructors, or its marshals
    /// and spotters.
    pub(crate) fn on_duty(&self, station: Station, slot: usize, teaches: bool) -> Vec<usize> {
        let people = &self.book.course.people;
        let here = self.rota.duties.iter().filter(|duty| (duty.station, duty.slot) == (station, slot));
        let mut here: Vec<usize> = here
            .map(|duty| duty.person)
            .filter(|person| (people[*person].role == Role::Instructor) == teaches)
            .collect();
        here.sort_unstable();
        here
    }

    /// Where somebody stands on duty, in a word; none at a lesson and for whoever goes with the group.
    pub(crate) fn post(duty: &Duty) -> Option<&'static str> {
        match duty.post {
            Post::Brow => Some(BROW),
            Post::Foot => Some(FOOT),
            Post::Beside => Some("beside"),
            Post::Group => None,
        }
    }

    /// The names of those who stand at a post of a station in a slot.
    pub(crate) fn standing_at(&self, station: Station, slot: usize, post: &str) -> String {
        let here = self.rota.duties.iter().filter(|duty| (duty.station, duty.slot) == (station, slot));
        let names: Vec<String> = here
            .filter(|duty| Self::post(duty) == Some(post))
            .map(|duty| self.book.course.people[duty.person].name.short())
            .collect();
        if names.is_empty() && station != Station::Theory {
            "to be named".to_owned()
        } else {
            names.join(", ")
        }
    }

    /// Whether somebody is signalled to by hand alone.
    pub(crate) fn by_hand(&self, driver: usize) -> bool {
        self.drivers()[driver].needs.contains(&Need::Hearing)
    }

    /// A driver's name on sheets that hang where everybody reads them: what somebody needs is told
    /// to those who signal, on their own cards.
    pub(crate) fn called(&self, driver: usize) -> String {
        whole(&self.drivers()[driver].name)
    }

    /// The channel of a station, where it is not control's.
    pub(crate) fn channel_at(&self, station: Station) -> Option<String> {
        match station {
            Station::Slope(slope) | Station::Demonstration(slope) => channels::own(self.book, slope),
            Station::Theory => None,
        }
    }

    fn by_channel(&self, stations: impl Iterator<Item = Station>) -> Option<String> {
        channels::said(stations.filter_map(|one| Some((self.mark(one), self.channel_at(one)?))))
    }

    /// The stations of a driver's day with channels of their own.
    pub(crate) fn channels_of_driver(&self, driver: usize) -> Option<String> {
        let group = self.rota.group_of(driver)?;
        let visits = self.rota.visits.iter().filter(|visit| visit.group == group);
        self.by_channel(visits.map(|visit| visit.station))
    }

    /// The same of somebody who serves.
    pub(crate) fn channels_of_staff(&self, person: usize) -> Option<String> {
        let duties = self.rota.duties.iter().filter(|duty| duty.person == person);
        self.by_channel(duties.map(|duty| duty.station))
    }

    /// Whether somebody stands at a brow whose slope is not on control's channel: they hear control as well.
    pub(crate) fn hears_both(&self, person: usize) -> bool {
        let brows = self.rota.duties.iter().filter(|duty| duty.person == person && duty.post == Post::Brow);
        brows.into_iter().any(|duty| self.channel_at(duty.station).is_some())
    }

    /// The drivers whom somebody of the staff signals to by hand, over their day, and what that is; in one line, since on a
    /// large club's card one for each would leave no room for anything else.
    pub(crate) fn signalled_by_hand(&self, person: usize) -> Option<String> {
        let met = |group: usize| {
            self.rota.duties.iter().filter(|duty| duty.person == person).any(|duty| {
                let here =
                    |visit: &&crate::rota::Visit| (visit.station, visit.slot) == (duty.station, duty.slot);
                self.rota.visits.iter().filter(here).any(|visit| visit.group == group)
            })
        };
        let groups = (0..self.rota.groups.len()).filter(|group| met(*group));
        let drivers =
            groups.flat_map(|group| &self.rota.groups[group]).filter(|driver| self.by_hand(**driver));
        let drivers: Vec<String> = drivers
            .map(|at| {
                let driver = &self.drivers()[*at];
                let mark = self.book.vehicle_mark(&driver.vehicle);
                format!("{} {} in {mark}", driver.id, whole(&driver.name))
            })
            .collect();
        (!drivers.is_empty()).then(|| format!("{}: {BY_HAND}", drivers.join(", ")))
    }
}

/// A short name that does not break over lines: `W. X.` stays together.
pub(crate) fn whole(name: &Name) -> String {
    let name = name.short();
    if name.chars().count() <= 16 { name.replace(' ', "\u{a0}") } else { name }
}
