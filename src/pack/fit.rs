//! Texts that fit their places.
//!
//! A name of thousands of letters would push everything else off a card. Each text of a course has
//! a length its place can take; a longer one is cut there, with an ellipsis, and printed in full in
//! the index of the pack, so nothing that was written is lost.

use serde::Serialize;

use crate::course::Course;

/// A text that was cut somewhere, in full.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct FullText {
    /// What it is.
    pub what: String,
    /// All of it.
    pub text: String,
}

/// Letters of a name in a heading, a table or a drawing.
const NAME: usize = 64;
/// Letters of a short remark on a card.
const REMARK: usize = 160;
/// Letters of a sentence or two.
const SENTENCES: usize = 480;

/// The course with every text cut to what its place can take, and the cut ones in full.
pub fn fitted(course: &Course) -> (Course, Vec<FullText>) {
    let mut course = course.clone();
    let mut cut = Cut(Vec::new());
    head(&mut course, &mut cut);
    ground(&mut course, &mut cut);
    fleet(&mut course, &mut cut);
    day(&mut course, &mut cut);
    (course, cut.0)
}

struct Cut(Vec<FullText>);

impl Cut {
    fn to(&mut self, most: usize, what: &str, text: &mut String) {
        let Some((end, _)) = text.char_indices().nth(most) else { return };
        let full = FullText { what: what.to_owned(), text: text.clone() };
        if !self.0.iter().any(|known| known.text == full.text) {
            self.0.push(full);
        }
        text.truncate(end);
        text.push('…');
    }

    fn each<'a>(&mut self, most: usize, what: &str, texts: impl IntoIterator<Item = &'a mut String>) {
        for text in texts {
            self.to(most, what, text);
        }
    }
}

fn head(course: &mut Course, cut: &mut Cut) {
    cut.to(NAME, "title of the course", &mut course.title);
    cut.to(NAME, "club", &mut course.club);
    cut.to(REMARK, "site", &mut course.site);
    cut.to(24, "version", &mut course.version);
    cut.each(NAME, "prepared by", &mut course.prepared_by);
    cut.each(SENTENCES, "outcome", &mut course.outcomes);
    cut.each(SENTENCES, "entry requirement", &mut course.entry_requirements);
}

fn ground(course: &mut Course, cut: &mut Cut) {
    for surface in &mut course.surfaces {
        cut.to(NAME, "name of a surface", &mut surface.name);
        cut.to(SENTENCES, "source of a surface", &mut surface.source);
    }
    for slope in &mut course.slopes {
        cut.to(NAME, "name of a slope", &mut slope.name);
        cut.to(REMARK, "purpose of a slope", &mut slope.purpose);
        cut.each(REMARK, "hazard", &mut slope.hazards);
        cut.each(REMARK, "rule", &mut slope.rules);
        cut.each(REMARK, "spotter", &mut slope.spotter);
        cut.each(NAME, "end of a run-out", slope.run_out.iter_mut().flat_map(|run_out| &mut run_out.ends_at));
        if let Some(survey) = &mut slope.survey {
            let texts = [&mut survey.by, &mut survey.date, &mut survey.instrument];
            cut.each(NAME, "survey", texts.into_iter().flatten());
        }
    }
}

fn fleet(course: &mut Course, cut: &mut Cut) {
    for vehicle in &mut course.vehicles {
        cut.to(NAME, "name of a vehicle", &mut vehicle.name);
        cut.to(NAME, "tyre", &mut vehicle.tyre.marking);
        cut.each(NAME, "recovery point", vehicle.recovery_points.iter_mut().map(|point| &mut point.place));
    }
    for item in &mut course.kit {
        cut.to(NAME, "name of a piece of kit", &mut item.name);
        cut.each(REMARK, "note on a piece of kit", &mut item.note);
    }
}

fn day(course: &mut Course, cut: &mut Cut) {
    cut.each(NAME, "name of a person", course.people.iter_mut().map(|person| &mut person.name));
    cut.each(NAME, "date", &mut course.day.date);
    cut.each(NAME, "radio channel", &mut course.day.channel);
    for session in &mut course.day.sessions {
        cut.to(12, "start of a session", &mut session.start);
        cut.to(NAME, "title of a session", &mut session.title);
        cut.each(REMARK, "outcome of a session", &mut session.outcome);
    }
    // What the roster keeps private is not cut: the full text would stand in the index for everybody.
    cut.each(NAME, "name of a driver", course.roster.drivers.iter_mut().map(|driver| &mut driver.name));
    if let Some(rota) = &mut course.rota {
        let titles = rota.theory.iter_mut().chain(&mut rota.demonstration).map(|session| &mut session.title);
        cut.each(NAME, "title of a station", titles);
        let ratios = [&mut rota.group_size, &mut rota.per_instructor, &mut rota.marshals];
        cut.each(REMARK, "source of a rule", ratios.map(|ratio| &mut ratio.source));
        cut.to(REMARK, "source of a rule", &mut rota.duty.source);
    }
    let emergency = &mut course.emergency;
    let texts = [
        &mut emergency.number,
        &mut emergency.location,
        &mut emergency.access,
        &mut emergency.assembly,
        &mut emergency.hospital,
        &mut emergency.coverage,
    ];
    cut.each(REMARK, "emergency", texts.into_iter().flatten());
    for contact in &mut emergency.contacts {
        cut.to(NAME, "contact", &mut contact.name);
        cut.to(NAME, "contact", &mut contact.call);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_is_too_long_is_cut_and_it_is_kept_in_full() {
        let mut cut = Cut(Vec::new());
        let (mut short, mut long) = ("Ramp".to_owned(), "é".repeat(100));
        cut.to(NAME, "name", &mut short);
        cut.to(NAME, "name", &mut long);
        assert_eq!(short, "Ramp");
        assert_eq!(long, format!("{}…", "é".repeat(NAME)));
        assert_eq!(cut.0, [FullText { what: "name".to_owned(), text: "é".repeat(100) }]);
    }
}
