//! The day of somebody who serves: their posts, what they are called on for while they have none, and who answers for
//! the day or for first aid.

use crate::course::Role;
use crate::pack::day::control::control_stands;
use crate::pack::weekend::day::{Stretch, Weekend};
use crate::pack::weekend::on_call::calls_of;
use crate::rota::{Slot, deputies};

impl Weekend<'_> {
    /// What somebody of the staff does in each slot shown.
    pub(crate) fn service_of(&self, person: usize) -> Vec<Stretch> {
        let called = calls_of(self, person);
        let day = self
            .slots()
            .iter()
            .enumerate()
            .map(|(at, slot)| {
                let changed = self.book.change.as_ref().is_some_and(|change| {
                    change.people.contains(&(person, at)) || change.called.contains(&(person, at))
                });
                let Some(duty) = self.rota.duty(person, at) else {
                    let times = self.book.course.person_today(person);
                    let place = self.answers_for(person, *slot).or_else(|| {
                        let called = called.get(at)?.as_ref().filter(|called| called.free)?;
                        Some(format!("free, on call: {}", called.job.word()))
                    });
                    let free = self.free(at, *slot, changed);
                    let here = Stretch { place: place.unwrap_or_else(|| free.place.clone()), ..free };
                    return self.away(times, *slot).unwrap_or(here);
                };
                let here = self.rota.visits.iter();
                let here = here.filter(|visit| visit.slot == at && visit.station == duty.station);
                let groups = groups_text(&here.map(|visit| visit.group).collect::<Vec<_>>());
                let groups = match Self::post(duty) {
                    Some(post) => format!("{post}, {groups}"),
                    None => groups,
                };
                Stretch {
                    mark: self.mark(duty.station),
                    place: self.place_on_card(duty.station),
                    short: groups,
                    doing: Self::post(duty).unwrap_or_default().to_owned(),
                    ..self.free(at, *slot, changed)
                }
            })
            .collect();
        self.with_ways(day, |slot| Some(self.rota.duty(person, slot)?.station))
    }

    /// What somebody does all day who is in charge or gives first aid, or stands in for them in a slot; none for others.
    fn answers_for(&self, person: usize, slot: Slot) -> Option<String> {
        let (course, missing) = (self.book.course, self.book.missing());
        let one = &course.people[person];
        let stands_in = || deputies(course, missing, slot).is_some_and(|all| all.contains(&person));
        match one.deputy.filter(|_| stands_in()).unwrap_or(one.role) {
            Role::Lead => Some(format!("control, at {}", control_stands(self.book))),
            Role::FirstAider => Some("first aid: with the kit, within radio".to_owned()),
            Role::Assessor => Some("assess each driver’s last run, from your spot".to_owned()),
            _ => None,
        }
    }
}

/// `group 3`, or `groups 3, 4`.
fn groups_text(groups: &[usize]) -> String {
    let numbers: Vec<String> = groups.iter().map(|group| (group + 1).to_string()).collect();
    let word = if groups.len() == 1 { "group" } else { "groups" };
    if groups.is_empty() { String::new() } else { format!("{word}\u{a0}{}", numbers.join(",\u{a0}")) }
}
