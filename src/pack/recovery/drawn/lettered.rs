//! The rigs of a course: each distinct one is drawn once, where least of it is left, and the rows of the slopes name it.

use crate::course::{Slope, Vehicle};
use crate::pack::book::Book;
use crate::pack::recovery::rungs;
use crate::pack::recovery::summary::may_drive;
use crate::recovery::ladder::{Ladder, Means, Rung};
use crate::recovery::pull::Direction;
use crate::recovery::rig::Rig;

/// A chosen rung with its ladder.
pub(crate) type Chosen<'a> = (&'a Ladder, &'a Rung);

/// A rig that is like no other of the course.
pub(crate) struct Lettered<'a> {
    /// `R1`, in the order of the ladder, down before up.
    pub letter: String,
    shape: Shape<'a>,
    /// Everywhere it is planned, slopes outermost.
    pub uses: Vec<Chosen<'a>>,
}

/// What makes a rig distinct: how the line runs, from what kind of winch, whether on one line or two. What holds it, an
/// extension, a bridle and who is aboard are told in its row.
#[derive(Clone, Debug, PartialEq)]
struct Shape<'a> {
    means: Means,
    up: bool,
    /// Whether a second line hangs on it.
    caught: bool,
    line: Option<Line>,
    /// The tug, and whether it pulls by a bar.
    tow: Option<(&'a str, bool)>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Line {
    layout: &'static str,
    by_hand: bool,
    on_vehicle: bool,
}

impl<'a> Shape<'a> {
    fn of(rung: &'a Rung) -> Self {
        Self {
            means: rung.means,
            up: rung.direction == Some(Direction::Up),
            caught: rung.catch.is_some(),
            line: rung.rig.as_ref().filter(|_| rung.means != Means::Right).map(Line::of),
            tow: rung.tow.as_ref().map(|tow| (tow.tug.as_str(), tow.rigid)),
        }
    }
}

impl Line {
    fn of(rig: &Rig) -> Self {
        Self { layout: rig.layout.id, by_hand: rig.by_hand, on_vehicle: rig.host.is_some() }
    }
}

impl<'a> Lettered<'a> {
    /// The use with the least left: it is the one drawn.
    pub(crate) fn hardest(&self) -> Chosen<'a> {
        let left = |(_, rung): &Chosen| rungs::weakest(rung).map_or(1.0, |part| part.margin);
        let hardest = self.uses.iter().copied().min_by(|a, b| left(a).total_cmp(&left(b)));
        hardest.expect("a rig is used somewhere")
    }

    /// Where it is planned: `S1 A; S2 A, B`.
    pub(crate) fn used(&self, book: &Book) -> String {
        let mut slopes: Vec<(&str, Vec<String>)> = Vec::new();
        for (ladder, _) in &self.uses {
            let mark = book.vehicle_mark(&ladder.vehicle);
            match slopes.iter_mut().find(|(slope, _)| *slope == ladder.slope) {
                Some((_, vehicles)) if vehicles.contains(&mark) => {}
                Some((_, vehicles)) => vehicles.push(mark),
                None => slopes.push((&ladder.slope, vec![mark])),
            }
        }
        let told = slopes
            .iter()
            .map(|(slope, vehicles)| format!("{} {}", book.slope_mark(slope), vehicles.join(", ")));
        told.collect::<Vec<_>>().join("; ")
    }
}

/// Every distinct rig that is chosen for a vehicle that may drive, least force first, down before up.
pub(crate) fn lettered<'a>(book: &'a Book) -> Vec<Lettered<'a>> {
    let mut all: Vec<Lettered<'a>> = Vec::new();
    for slope in &book.course.slopes {
        for vehicle in book.course.vehicles.iter().filter(|vehicle| may_drive(book, slope, vehicle)) {
            for (ladder, rung) in chosen(book, slope, vehicle) {
                let shape = Shape::of(rung);
                match all.iter_mut().find(|known| known.shape == shape) {
                    Some(known) => known.uses.push((ladder, rung)),
                    None => all.push(Lettered { letter: String::new(), shape, uses: vec![(ladder, rung)] }),
                }
            }
        }
    }
    all.sort_by_key(|one| (one.shape.up, one.shape.means));
    for (no, one) in (1..).zip(&mut all) {
        one.letter = format!("R{no}");
    }
    all
}

fn chosen<'a>(book: &'a Book, slope: &'a Slope, vehicle: &'a Vehicle) -> impl Iterator<Item = Chosen<'a>> {
    let ladders = book.recoveries().ladders_of(&slope.id, &vehicle.id);
    ladders.filter_map(|ladder| Some((ladder, ladder.chosen()?)))
}

/// The rig of a rung.
pub(crate) fn letter_of(all: &[Lettered], rung: &Rung) -> String {
    let shape = Shape::of(rung);
    all.iter().find(|one| one.shape == shape).map_or_else(String::new, |one| one.letter.clone())
}
