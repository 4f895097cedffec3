//! The exercise that is a decision: which gear, and why.

use crate::course::{Gearbox, Slope, Vehicle};
use crate::engine::{Mark, hold_at_limit};
use crate::pack::book::Book;
use crate::pack::learn::exercise::{Answer, Datum, Exercise};
use crate::page::figure::{Fig, digits};
use crate::quantity::Digits;

/// A vehicle on a slope where several gears can be thought of.
pub(crate) struct Choice {
    ask: String,
    data: Vec<Datum>,
    gear: String,
    why: String,
}

impl Choice {
    /// As an exercise.
    pub(crate) fn ask(&self, no: usize) -> Exercise {
        Exercise {
            no: no.to_string(),
            text: self.ask.clone(),
            data: self.data.clone(),
            lines: 4,
            unit: String::new(),
        }
    }

    /// Its answer.
    pub(crate) fn reply(&self, no: usize) -> Answer {
        Answer { no: no.to_string(), value: Fig::new(self.gear.clone(), "", false), how: self.why.clone() }
    }
}

/// The choice with the most gears to weigh: one that drives a higher gear than its lowest where there is any.
pub(crate) fn choice(book: &Book) -> Option<Choice> {
    let course = book.course;
    let all = course.slopes.iter().flat_map(|slope| course.vehicles.iter().map(move |one| (slope, one)));
    let tied = |vehicle: &Vehicle| vehicle.transmission.gearbox != Gearbox::AutomaticUnlocked;
    let fit = all.filter(|(slope, vehicle)| {
        let judged = &book.pair(slope, vehicle).judged;
        judged.mark == Mark::Within && judged.too_high.is_some() && tied(vehicle)
    });
    let weighs = |(slope, vehicle): &(&Slope, &Vehicle)| {
        let judged = &book.pair(slope, vehicle).judged;
        let place = judged.gears.iter().position(|(gear, _)| Some(*gear) == judged.gear);
        (judged.too_low.is_some(), place)
    };
    let (slope, vehicle) = fit.max_by_key(weighs)?;
    Some(of(book, slope, vehicle))
}

fn of(book: &Book, slope: &Slope, vehicle: &Vehicle) -> Choice {
    let judged = &book.pair(slope, vehicle).judged;
    let last = judged.gears.iter().position(|(gear, _)| Some(*gear) == judged.too_high).unwrap_or(0);
    let data = judged.gears[..=last].iter().map(|(gear, _)| Datum {
        name: format!("{gear} holds, as a multiple of what the slope asks"),
        value: Fig::new(
            digits(hold_at_limit(book.course, slope, vehicle, *gear), Digits::Significant(3)),
            "",
            true,
        ),
    });
    let gear = judged.gear.map(|gear| gear.to_string()).unwrap_or_default();
    let mut why = vec![format!("{gear} is the highest that holds with every tolerance to spare")];
    why.extend(judged.too_low.map(|low| format!("{low} turns the wheels slower than this ground lets them")));
    why.extend(
        judged.too_high.map(|high| format!("{high} is too high: it would not be held within the limits")),
    );
    Choice {
        ask: format!(
            "Vehicle {}, {}, on {} ({}). This is what each gear holds at the speed limit. Choose range and gear, and say why not the one below and not the one above. Would the gear you climb it in tell you?",
            book.vehicle_mark(&vehicle.id),
            vehicle.name,
            slope.name,
            book.show.grade(slope.steepest().gradient.si()),
        ),
        data: data.collect(),
        gear,
        why: format!(
            "{}. The gear one climbs it in says nothing of what the engine holds: driving torque is not drag.",
            why.join("; ")
        ),
    }
}
