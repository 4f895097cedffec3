//! The table-top demonstration: a scale model on a board, and which of its numbers carry over.

use serde::Serialize;

use crate::engine::formulas::gearing::creep_speed;
use crate::engine::formulas::show::model_speed;
use crate::engine::{circumference_of, overall_ratio_of};
use crate::lesson::Example;
use crate::lesson::{MODEL_SCALE, lowest_gear};
use crate::pack::book::Book;
use crate::page::figure::Fig;
use crate::page::meta::Meta;
use crate::page::worked::WorkedSheet;

/// Scales of models that are easily had.
const SCALES: [f64; 4] = [8.0, MODEL_SCALE, 14.0, 18.0];

/// The board a model slides down, at least, m. Common practice, no source.
const PLANK: [f64; 2] = [1.2, 0.3];

/// The table-top demonstration.
#[derive(Serialize)]
pub(crate) struct TableTop {
    pack: Meta,
    vehicle: String,
    gear: String,
    creep: Fig,
    /// How long and how wide the board is at least.
    plank: [Fig; 2],
    models: Vec<Model>,
    worked: Vec<WorkedSheet>,
}

/// What the demonstration vehicle becomes at one scale.
#[derive(Serialize)]
struct Model {
    scale: String,
    speed: Fig,
    length: Fig,
}

impl TableTop {
    /// From the book, for the vehicle that shows the gentlest slope.
    pub(crate) fn of(book: &Book, pack: Meta) -> Self {
        let course = book.course;
        let gentlest = course
            .slopes
            .iter()
            .min_by(|a, b| a.steepest().gradient.si().total_cmp(&b.steepest().gradient.si()))
            .expect("a checked course has a slope");
        let vehicle = book.lead(gentlest);
        let gear = lowest_gear(vehicle);
        let creep =
            creep_speed(circumference_of(vehicle), vehicle.engine.idle.si(), overall_ratio_of(vehicle, gear));
        let show = book.show;
        let length = crate::page::outline::Outline::of(vehicle).length();
        let models = SCALES
            .iter()
            .map(|scale| Model {
                scale: format!("1:{scale:.0}"),
                speed: show.fine_speed(model_speed(creep, *scale), 2),
                length: show.hand_length(length / scale),
            })
            .collect();
        let worked = book
            .example(Example::ModelSpeed, None, Some(&vehicle.id))
            .into_iter()
            .map(|worked| WorkedSheet::of(course, worked))
            .collect();
        Self {
            pack,
            vehicle: format!("{} {}", book.vehicle_mark(&vehicle.id), vehicle.name),
            gear: gear.to_string(),
            creep: show.speed(creep, false),
            plank: PLANK.map(|side| show.hand_length(side)),
            models,
            worked,
        }
    }
}
