//! The numbers of every drawing are the engine's: read back from the data the drawing is made
//! from and from its spoken text, as it stands in the finished file, and compared with `reckon`.

use std::collections::BTreeMap;

use serde_json::{Value, json};
use slopepack::course::{Course, Slope, Vehicle};
use slopepack::engine::formulas::slope::{force_down, normal_force};
use slopepack::engine::formulas::{GRAVITY, grip::grip_force};
use slopepack::engine::{Descent, Ledger, Outcome, Pair, Reckoning, Standing, Way, reckon, steer};
use slopepack::quantity::UnitSystem;
use slopepack::recovery::{Depth, recoveries, rule};

use crate::pages::{Pack, examples};
use crate::pages_drawings::{Drawing, drawings};
use crate::pages_read::structure;

fn list(value: &Value) -> Vec<f64> {
    value.as_array().expect("a list").iter().map(|number| number.as_f64().expect("a number")).collect()
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("no number {key} in {value}"))
}

fn word<'v>(value: &'v Value, key: &str) -> &'v str {
    value[key].as_str().unwrap_or_else(|| panic!("no text {key} in {value}"))
}

/// Fails unless a drawn number, which is rounded to a hundredth, is this one.
fn drawn(what: &str, found: f64, expected: f64) {
    assert!((found - expected).abs() <= 0.0051 + 1e-9, "{what}: drawn {found}, reckoned {expected}");
}

/// The number that stands in a text right after some words, with half a unit of its last digit.
fn after(text: &str, words: &str) -> (f64, f64) {
    let rest = if words.is_empty() { Some(text) } else { text.split(words).nth(1) };
    let rest = rest.unwrap_or_else(|| panic!("no {words:?} in {text:?}")).trim_start();
    let digits: String = rest.chars().take_while(|c| c.is_ascii_digit() || *c == '.').collect();
    let digits = digits.trim_end_matches('.');
    let places = digits.split('.').nth(1).map_or(0, str::len);
    let half = 0.5 * 10f64.powi(-(places as i32));
    (digits.parse().unwrap_or_else(|_| panic!("no number after {words:?} in {text:?}")), half)
}

/// Fails unless a spoken number is this one, to two figures or to its last digit.
fn spoken(text: &str, words: &str, expected: f64) {
    let (found, half) = after(text, words);
    let coarse = if found >= 100.0 && found % 10.0 == 0.0 { 0.02 * found } else { half };
    assert!((found - expected).abs() <= coarse * 1.000_001, "{text:?} says {found}, reckoned {expected}");
}

/// A course with what the engine knows of it.
struct Known<'a> {
    course: &'a Course,
    reckoning: Reckoning,
}

impl Known<'_> {
    fn slope(&self, text: &str) -> &Slope {
        let named = self.course.slopes.iter().filter(|slope| text.contains(slope.name.full()));
        named.max_by_key(|slope| slope.name.full().len()).unwrap_or_else(|| panic!("no slope in {text:?}"))
    }

    fn vehicle(&self, text: &str) -> &Vehicle {
        // By its letter: several of a fleet may have one name.
        let mut lettered = self.course.vehicles.iter().zip('A'..='Z');
        let named =
            lettered.find(|(vehicle, letter)| text.contains(&format!("vehicle {letter}, {}", vehicle.name)));
        named.unwrap_or_else(|| panic!("no vehicle in {text:?}")).0
    }

    fn pair(&self, text: &str) -> &Pair {
        let (slope, vehicle) = (self.slope(text), self.vehicle(text));
        self.reckoning.pair(&slope.id, &vehicle.id).expect("every pair is reckoned")
    }

    fn speed(&self, si: f64) -> f64 {
        match self.course.units {
            UnitSystem::Metric => si * 3.6,
            UnitSystem::Imperial => si / 0.447_04,
        }
    }

    /// What a page counts energy in, J: kilojoules, or British thermal units of the international table.
    fn unit_of_energy(&self) -> f64 {
        match self.course.units {
            UnitSystem::Metric => 1000.0,
            UnitSystem::Imperial => 1_055.055_852_62,
        }
    }

    fn length(&self, si: f64) -> f64 {
        match self.course.units {
            UnitSystem::Metric => si,
            UnitSystem::Imperial => si / 0.3048,
        }
    }

    fn temperature(&self, si: f64) -> f64 {
        match self.course.units {
            UnitSystem::Metric => si - 273.15,
            UnitSystem::Imperial => si * 1.8 - 459.67,
        }
    }

    /// Newtons as the page's unit: kN or lbf.
    fn force(&self, si: f64) -> f64 {
        match self.course.units {
            UnitSystem::Metric => si / 1000.0,
            UnitSystem::Imperial => si / 4.448_221_615_260_5,
        }
    }

    fn check(&self, drawing: &Drawing) -> &'static str {
        match drawing.kind.as_str() {
            "line-chart" if drawing.alt().starts_with("Speed down") => self.speeds(drawing),
            "line-chart" if drawing.alt().starts_with("Share of the grip") => steering(drawing),
            "line-chart" => self.disc(drawing),
            "heat-bars" => self.heat(drawing),
            "gear-ladder" => self.ladder(drawing),
            "hold-chart" => self.hold(drawing),
            "slope-forces" => self.forces(drawing),
            "side-slope" => self.side(drawing),
            "slope-profile" => self.profile(drawing),
            "fleet-matrix" => self.matrix(drawing),
            _ => "vehicle",
        }
    }

    fn speeds(&self, drawing: &Drawing) -> &'static str {
        let (alt, pair) = (drawing.alt(), self.pair(drawing.alt()));
        drawn(
            "limit",
            number(&drawing.named.clone().into(), "limit"),
            self.speed(self.course.limits.descent_speed.si()),
        );
        let series = drawing.given[0].as_array().expect("series");
        assert!(!series.is_empty());
        for curve in series {
            let (label, x, y) = (word(curve, "label"), list(&curve["x"]), list(&curve["y"]));
            if label == "locked at the limit" {
                self.runs_away(alt, &x, &y);
                continue;
            }
            let descent = descent(pair, label);
            let foot = descent.likely.foot_speed.unwrap_or(0.0);
            drawn(label, *y.last().expect("a speed"), self.speed(foot));
            drawn(label, y[0], self.speed(descent.likely.entry_speed));
            // A curve ends where the vehicle stands, not where the slope does.
            let end = match descent.likely_outcome {
                Outcome::StopsOnSlope => descent.likely.distance,
                _ => self.slope(alt).length().si(),
            };
            drawn(label, *x.last().expect("a distance"), self.length(end));
            assert!(y.iter().all(|y| *y <= self.speed(descent.likely.top_speed) + 0.01), "{label}: {alt}");
            match descent.likely_outcome {
                Outcome::StopsOnSlope => assert!(alt.contains(&format!("{label} at rest")), "{alt}"),
                _ => spoken(alt, &format!("{label} "), self.speed(foot)),
            }
        }
        "speed along the descent"
    }

    /// From the limit, half-way down the steepest stretch, by the low end of the grip: v² grows with the way gone.
    fn runs_away(&self, alt: &str, x: &[f64], y: &[f64]) {
        let slope = self.slope(alt);
        let (steepest, limit) = (slope.steepest(), self.course.limits.descent_speed.si());
        let (angle, room) = (steepest.gradient.si(), steepest.length.si() / 2.0);
        let grip = self.course.surface_of(slope).sliding.low;
        let speed = (limit * limit + 2.0 * 9.80665 * room * (angle.sin() - grip * angle.cos())).sqrt();
        drawn("locked at the limit", y[0], self.speed(limit));
        drawn("locked at the limit", *y.last().expect("a speed"), self.speed(speed));
        drawn("locked at the limit", x[x.len() - 1] - x[0], self.length(room));
        assert!(speed > limit, "{alt}: wheels that stop are no warning");
        spoken(alt, "locked at the limit ", self.speed(speed));
    }

    fn heat(&self, drawing: &Drawing) -> &'static str {
        let (alt, pair) = (drawing.alt(), self.pair(drawing.alt()));
        for bar in drawing.given[0].as_array().expect("bars") {
            let label = word(bar, "label");
            let ledger: &Ledger = &descent(pair, label).likely.ledger;
            let sinks: BTreeMap<&str, f64> = BTreeMap::from([
                ("contact", ledger.ground),
                ("brakes", ledger.brakes),
                ("engine", ledger.engine),
                ("driveline", ledger.driveline),
                ("rolling", ledger.rolling + ledger.air),
                ("speed", ledger.speed),
            ]);
            let parts = bar["parts"].as_array().expect("parts");
            for part in parts {
                drawn(word(part, "name"), number(part, "kj"), sinks[word(part, "sink")] / 1000.0);
            }
            // Nothing of the energy that comes in is left out of the bar.
            let whole: f64 = parts.iter().map(|part| number(part, "kj")).sum();
            let energy = (ledger.height + ledger.entry + ledger.fuel) / 1000.0;
            assert!(
                (whole - energy).abs() <= 0.04 + 1e-6 * energy,
                "{label}: {whole} of {energy} kJ in {alt}"
            );
            let said = alt.split(&format!("{label}: ")).nth(1).expect("the bar in words");
            for (sink, words) in [("brakes", "brakes "), ("engine", "engine "), ("contact", "contact ")] {
                if sinks[sink] >= 500.0 {
                    spoken(said, words, sinks[sink] / self.unit_of_energy());
                }
            }
        }
        "heat bars"
    }

    fn ladder(&self, drawing: &Drawing) -> &'static str {
        let rows = drawing.given[0].as_array().expect("vehicles");
        assert_eq!(rows.len(), self.course.vehicles.len());
        for ((row, vehicle), letter) in rows.iter().zip(&self.course.vehicles).zip('A'..='Z') {
            assert_eq!(word(row, "name"), format!("{letter} · {}", vehicle.name));
            let figures = self
                .reckoning
                .vehicles
                .iter()
                .find(|figures| figures.vehicle == vehicle.id)
                .expect("figures");
            for gear in row["gears"].as_array().expect("gears") {
                let named = |known: &&slopepack::engine::GearFigures| {
                    known.gear.is_some_and(|known| known.to_string() == word(gear, "id"))
                };
                let known = figures.gears.iter().find(named).expect("the gear");
                let speed = number(gear, "speed");
                assert!(
                    (speed / self.speed(known.creep_speed) - 1.0).abs() < 1e-6,
                    "{} {gear}",
                    vehicle.name
                );
                let ratio: f64 = word(gear, "ratio").parse().expect("a number");
                assert!((ratio / known.overall_ratio - 1.0).abs() < 0.006, "{} {gear}", vehicle.name);
            }
        }
        "gear ladder"
    }

    fn hold(&self, drawing: &Drawing) -> &'static str {
        for row in drawing.given[0].as_array().expect("rows") {
            let slope = self.slope(word(row, "name"));
            let surface = self.course.surface_of(slope);
            let degrees = |friction: f64| friction.atan().to_degrees();
            drawn("angle", number(row, "angle"), slope.steepest().gradient.si().to_degrees());
            drawn("locked, low", number(row, "slide_low"), degrees(surface.sliding.low));
            drawn("locked, high", number(row, "slide_high"), degrees(surface.sliding.high));
            drawn("turning, low", number(row, "peak_low"), degrees(surface.peak.low));
            drawn("turning, high", number(row, "peak_high"), degrees(surface.peak.high));
            let said = drawing.alt().split(slope.name.full()).nth(1).expect("the slope in words");
            spoken(said, "locked ", degrees(surface.sliding.low));
            spoken(said, "turning ", degrees(surface.peak.low));
        }
        "hold band"
    }

    fn forces(&self, drawing: &Drawing) -> &'static str {
        let (alt, given) = (drawing.alt(), &drawing.given[0]);
        let vehicle = self.vehicle(alt);
        let mass = vehicle.mass.si();
        // The drawing names its angle only, to a tenth of a degree as the worked examples do; the slope is
        // the one with that steepest stretch.
        let angle = number(given, "angle").to_radians();
        let same = |slope: &&Slope| (slope.steepest().gradient.si() - angle).abs() < 0.0501_f64.to_radians();
        let slope = self.course.slopes.iter().find(same).expect("a slope with that angle");
        let normal = normal_force(mass, GRAVITY, angle);
        let along = force_down(mass, GRAVITY, angle);
        let grip = grip_force(self.course.surface_of(slope).peak.low, normal);
        drawn("weight", number(given, "weight"), mass * GRAVITY / 1000.0);
        drawn("along", number(given, "along"), along / 1000.0);
        drawn("normal", number(given, "normal"), normal / 1000.0);
        drawn("hold", number(given, "hold"), along.min(grip) / 1000.0);
        let [weight, along_drawn, normal_drawn] = ["weight", "along", "normal"].map(|key| number(given, key));
        assert!((weight - along_drawn.hypot(normal_drawn)).abs() < 0.02, "the arrows do not close: {given}");
        spoken(alt, "weight ", self.force(mass * GRAVITY));
        spoken(alt, "down the slope ", self.force(along));
        "forces on the slope"
    }

    fn side(&self, drawing: &Drawing) -> &'static str {
        let (alt, given, pair) = (drawing.alt(), &drawing.given[0], self.pair(drawing.alt()));
        let stability = &pair.stability;
        drawn("tilt", number(given, "angle"), stability.side_tilt.to_degrees());
        drawn("limit", number(given, "limit"), stability.side_limit.to_degrees());
        drawn("tip", number(given, "tip"), stability.side_tip.to_degrees());
        spoken(alt, "side tilt ", stability.side_tilt.to_degrees());
        spoken(alt, "course limit ", stability.side_limit.to_degrees());
        spoken(alt, "theoretical tip angle ", stability.side_tip.to_degrees());
        "side slope"
    }

    fn profile(&self, drawing: &Drawing) -> &'static str {
        let (alt, section) = (drawing.alt(), &drawing.given[0]);
        let slope = self.slope(alt);
        let (x, y) = (list(&section["x"]), list(&section["y"]));
        // The first pair of points is the level ground before the brow.
        for (at, stretch) in slope.stretches.iter().enumerate() {
            let (dx, dy) = (x[at + 2] - x[at + 1], y[at + 1] - y[at + 2]);
            assert!((dx.hypot(dy) - stretch.length.si()).abs() < 0.02, "{}: stretch {at}", slope.name);
            assert!((dy.atan2(dx) - stretch.gradient.si()).abs() < 0.01, "{}: stretch {at}", slope.name);
        }
        let fall = y[1] - y[1 + slope.stretches.len()];
        assert!((fall - slope.height().si()).abs() < 0.02, "{}", slope.name);
        let outline = &drawing.named["vehicle"];
        let long = number(outline, "wheelbase");
        assert!(self.course.vehicles.iter().any(|vehicle| (vehicle.wheelbase.si() - long).abs() < 1e-9));
        spoken(alt, "in section: ", self.length(slope.length().si()));
        spoken(alt, "fall ", self.length(slope.height().si()));
        "slope profile"
    }

    fn disc(&self, drawing: &Drawing) -> &'static str {
        let (alt, pair) = (drawing.alt(), self.pair(drawing.alt()));
        let heat = pair.way(Way::Braked).and_then(|told| told.heat.as_ref()).expect("brakes");
        let axle = heat.axles.iter().max_by(|a, b| a.rise.total_cmp(&b.rise)).expect("an axle");
        let curve = &drawing.given[0][0];
        let (x, y) = (list(&curve["x"]), list(&curve["y"]));
        let peaks: Vec<f64> = y.iter().skip(1).step_by(2).copied().collect();
        assert_eq!(peaks.len(), axle.ends.len());
        for (found, end) in peaks.iter().zip(&axle.ends) {
            drawn("end of a run", *found, self.temperature(*end));
        }
        drawn("air", y[0], self.temperature(self.course.day.air.si()));
        assert!(x.windows(2).all(|pair| pair[0] < pair[1]), "time runs on: {x:?}");
        drawn(
            "limit",
            number(&drawing.named.clone().into(), "limit"),
            self.temperature(self.course.limits.brake_temperature.si()),
        );
        spoken(
            alt,
            &format!("on {}: ", self.slope(alt).name),
            self.temperature(*axle.ends.last().expect("a run")),
        );
        "disc temperature"
    }

    fn matrix(&self, drawing: &Drawing) -> &'static str {
        let rows = drawing.given[1].as_array().expect("vehicles");
        assert_eq!(rows.len(), self.course.vehicles.len());
        for (row, vehicle) in rows.iter().zip(&self.course.vehicles) {
            let cells = row["cells"].as_array().expect("cells");
            assert_eq!(cells.len(), self.course.slopes.len());
            for (cell, slope) in cells.iter().zip(&self.course.slopes) {
                let pair = self.reckoning.pair(&slope.id, &vehicle.id).expect("a pair");
                let goes = pair.standing != Standing::NotHere;
                assert_eq!(cell["within"], json!(goes), "{} on {}", vehicle.name, slope.name);
                let way =
                    if pair.standing == Standing::InGearWithFootBrake { Way::Assisted } else { Way::Geared };
                let (Some(_), Some(gear)) = (pair.way(way), pair.gear) else { continue };
                let higher = goes && !word(cell, "gear").starts_with(&gear.to_string());
                if higher {
                    // A run that takes too long in the slowest gear is told the highest that holds.
                    let recommended = pair.judged.recommended.expect("a gear that holds").to_string();
                    assert_eq!(word(cell, "gear"), recommended, "{cell}");
                }
                let shown = word(&cell["speed"], "v");
                // The highest speed anywhere on the way, from the worst corner: the foot may be slower.
                let judged = &pair.judged;
                if judged.way.is_none() {
                    continue;
                }
                let in_higher = pair.gears().find(|told| told.descent.gear == judged.recommended);
                let speed = match in_higher.filter(|_| higher) {
                    Some(told) => told.descent.top_speed,
                    None => judged.top_speed,
                };
                for (part, si) in
                    [(shown.split('–').next(), speed.low), (shown.split('–').next_back(), speed.high)]
                {
                    spoken(part.expect("digits"), "", self.speed(si));
                }
            }
        }
        "fleet × slope matrix"
    }
}

/// The way down that a curve or bar shows.
fn descent<'p>(pair: &'p Pair, label: &str) -> &'p Descent {
    let way = match label {
        "locked" => Way::Locked,
        "foot brake" => Way::Braked,
        "in gear" => Way::Geared,
        other => panic!("an unknown way {other:?}"),
    };
    &pair.way(way).expect("it comes down that way").descent
}

fn steering(drawing: &Drawing) -> &'static str {
    for curve in drawing.given[0].as_array().expect("series") {
        let degrees: f64 = word(curve, "label").trim_end_matches("° of steer").parse().expect("degrees");
        let (x, y) = (list(&curve["x"]), list(&curve["y"]));
        assert_eq!((x[0], y[0]), (0.0, 0.0), "a locked wheel does not steer");
        for (k, share) in x.iter().zip(&y) {
            drawn("share", *share, 100.0 * steer::sliding_share(*k, degrees.to_radians()));
        }
    }
    let share = |k: f64| 100.0 * steer::sliding_share(k, 15f64.to_radians());
    spoken(drawing.alt(), "15 degrees of steer ", share(0.5));
    spoken(drawing.alt(), "half speed and ", share(0.9));
    "steering share"
}

#[test]
fn every_drawing_shows_what_the_engine_reckons() {
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    for pack in examples() {
        let mut reckoning = reckon(&pack.course);
        // The course's own rules for recoveries keep vehicles off as well.
        let fetch = recoveries(&pack.course, Depth::Likely).fetch;
        rule::apply(&pack.course, &mut reckoning, &fetch);
        let known = Known { course: &pack.course, reckoning };
        for paper in &pack.papers {
            for drawing in drawings(&paper.source) {
                *seen.entry(known.check(&drawing)).or_default() += 1;
            }
        }
    }
    for kind in [
        "slope profile",
        "forces on the slope",
        "gear ladder",
        "speed along the descent",
        "steering share",
        "heat bars",
        "disc temperature",
        "side slope",
        "hold band",
        "fleet × slope matrix",
    ] {
        assert!(seen.contains_key(kind), "no document draws the {kind}: {seen:?}");
    }
}

/// Spoken texts of the drawings of a finished file.
fn alts(pack: &Pack, name: &str) -> Vec<String> {
    let paper = pack.papers.iter().find(|paper| paper.name == name).expect("a document");
    structure(&paper.pdf)
        .into_iter()
        .filter(|element| element.kind == "Figure")
        .filter_map(|element| element.alt)
        .collect()
}

#[test]
fn what_a_screen_reader_says_of_a_drawing_is_what_was_checked() {
    for pack in examples() {
        for paper in &pack.papers {
            let read = alts(pack, paper.name);
            for drawing in drawings(&paper.source).iter().filter(|drawing| drawing.named.contains_key("alt"))
            {
                // A picture that is welcome, never needed, may have found no room.
                let optional = ["side-slope", "line-chart", "hold-chart"].contains(&drawing.kind.as_str())
                    && paper.name == "instructor-notes";
                let alt = drawing.alt();
                assert!(
                    optional || read.iter().any(|read| read == alt),
                    "{}: nobody says {alt:?}",
                    paper.name
                );
            }
        }
    }
}
