//! Reading a drawing: a grade off squared paper, a gear off a scale of speeds.

use super::{digits, tied, word};
use crate::course::Vehicle;
use crate::engine::symbols as s;
use crate::engine::{circumference_of, overall_ratio_of};
use crate::page::Fig;
use crate::paper::item::{Drawing, Stuff, Variant, Wrong};
use crate::paper::making::Scene;
use crate::paper::making::recipe::is_apart;
use crate::quantity::{Digits, Shown};

/// Grades read off squared paper: rise and run in whole squares, invented.
pub(super) fn sections() -> Vec<Variant> {
    let mut all = Vec::new();
    for (rise, run) in [
        (3, 8),
        (4, 9),
        (4, 10),
        (5, 12),
        (3, 11),
        (6, 13),
        (2, 9),
        (5, 9),
        (7, 15),
        (4, 14),
        (6, 11),
        (3, 14),
    ] {
        let (rise, run) = (f64::from(rise), f64::from(run));
        all.extend(section(rise, run));
    }
    all
}

fn section(rise: f64, run: f64) -> Option<Variant> {
    let grade = 100.0 * rise / run;
    let shown = |value: f64| Shown::of(value, Digits::Significant(2)).text;
    let option = |id: &str, value: f64, why: &str| Wrong {
        id: id.into(),
        text: Fig::new(shown(value), "%", false).text(),
        value,
        why: why.into(),
        step: 0,
        careless: false,
    };
    let right = option("", grade, "");
    let candidates = [
        option("degrees", libm::atan(rise / run).to_degrees(), "wrote the angle in degrees as per cent"),
        option("turned-over", 100.0 * run / rise, "turned the ratio over: level distance over height"),
        option(
            "share-of-ninety",
            100.0 * libm::atan(rise / run) / std::f64::consts::FRAC_PI_2,
            "took the angle as a share of 90°",
        ),
        option("twice", 200.0 * rise / run, "counted two squares for one"),
        option("difference", 100.0 * (run - rise) / run, "took the height away from the level distance"),
        option("half", 50.0 * rise / run, "took half of it: 100 % is 45°, not 90°"),
    ];
    let mut wrong: Vec<Wrong> = Vec::new();
    for one in candidates {
        let apart = is_apart(one.value, grade) && wrong.iter().all(|other| is_apart(one.value, other.value));
        if apart && wrong.iter().chain([&right]).all(|other| other.text != one.text) {
            wrong.push(one);
        }
    }
    (wrong.len() >= 3).then(|| Variant {
        name: format!("read-section/{rise}/{run}"),
        theme: None,
        ease: 0.66,
        outcome: "Reads a grade off a section.".into(),
        ask: "The section is drawn to one scale both ways on squared paper. What is the grade of the slope in per cent?".into(),
        data: Vec::new(),
        drawing: Some(Drawing::Section { rise, run }),
        works_out: Vec::new(),
        one_of: None,
        worked: None,
        told_steps: Vec::new(),
        feedback: format!("Per cent is height over level distance: {rise} squares over {run} squares."),
        source: "B3, pars. 1868-1869".into(),
        stuff: Stuff::Choice { right, wrong, sized: true },
    })
}

/// The gear nearest to a speed, read off a scale of creep speeds.
pub(super) fn ladders(scene: &Scene) -> Vec<Variant> {
    let unit = s::SPEED.unit(scene.course.units);
    let mut all = Vec::new();
    for vehicle in tied(scene) {
        let turn = circumference_of(vehicle) * vehicle.engine.idle.si();
        let gears: Vec<(String, f64)> = vehicle
            .gears()
            .into_iter()
            .map(|gear| (gear.to_string(), unit.from_si(turn / overall_ratio_of(vehicle, gear))))
            .collect();
        for asked in [3.0, 4.0, 6.0, 8.0, 10.0, 15.0] {
            all.extend(ladder(vehicle, &gears, asked, unit.symbol));
        }
    }
    all
}

fn ladder(vehicle: &Vehicle, gears: &[(String, f64)], asked: f64, unit: &'static str) -> Option<Variant> {
    let far = |speed: f64| libm::log(speed / asked).abs();
    let mut near: Vec<&(String, f64)> = gears.iter().collect();
    near.sort_by(|a, b| far(a.1).total_cmp(&far(b.1)));
    let mut apart: Vec<&(String, f64)> = Vec::new();
    for gear in near {
        // Two gears on one mark of the scale would be one answer under two letters.
        if apart.iter().all(|other| libm::log(gear.1 / other.1).abs() > 0.08) {
            apart.push(gear);
        }
    }
    let four = apart.get(..4)?;
    // The nearest must be so by eye: less than half as far as the next.
    if far(four[0].1) > 0.5 * far(four[1].1) || far(four[0].1) > 0.15 {
        return None;
    }
    // Only the gears that are options: the speed of another may be asked elsewhere on the paper.
    let mut low_to_high: Vec<&(String, f64)> = four.to_vec();
    low_to_high.sort_by(|a, b| a.1.total_cmp(&b.1));
    Some(Variant {
        name: format!("read-ladder/{}/{asked}", vehicle.id),
        theme: None,
        ease: 0.80,
        outcome: "Reads a creep speed off a scale.".into(),
        ask: format!(
            "The scale shows the creep speed at idle of each gear of {}. Which gear creeps nearest to {asked} {unit}?",
            vehicle.name
        ),
        data: Vec::new(),
        drawing: Some(Drawing::Ladder { unit, gears: low_to_high.into_iter().cloned().collect() }),
        works_out: Vec::new(),
        one_of: None,
        worked: None,
        told_steps: Vec::new(),
        feedback: "Find the speed on the scale first, then look for the mark nearest to it.".into(),
        source: "creep speeds of this fleet".into(),
        stuff: Stuff::Choice {
            right: word(four[0].0.clone(), ""),
            wrong: four[1..]
                .iter()
                .map(|(gear, speed)| {
                    word(gear.clone(), format!("{gear} creeps at about {} {unit}", digits(*speed)))
                })
                .collect(),
            sized: false,
        },
    })
}
