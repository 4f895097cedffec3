//! Every right way of working, three figures or more kept at each step, earns full marks: worked
//! afresh from the numbers and conversions that stand on the paper, in metric and in imperial.

use std::collections::BTreeMap;

use slopepack::course::read_text;
use slopepack::engine::reckon;
use slopepack::paper::{Body, Family, Outcome, Question, Stuff, Variant, built_in, families, judge};

const COURSES: [&str; 3] = [
    include_str!("../courses/quarry-day.yaml"),
    include_str!("../courses/hill-club-weekend.yaml"),
    include_str!("../courses/six-slope-saturday.yaml"),
];

fn of_course(text: &str) -> Vec<Family> {
    let course = read_text(text).unwrap();
    families(&course, &reckon(&course), &built_in())
}

/// A calculator: after each step the result is kept, or rounded to 3, 4 or 5 figures, by lot.
struct Calculator(u64);

impl Calculator {
    fn draw(&mut self, below: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % below
    }

    fn note(&mut self, value: f64) -> f64 {
        match self.draw(4) {
            0 => value,
            kept => rounded(value, 2 + i32::try_from(kept).unwrap()),
        }
    }

    /// Factors above and below the line, taken in an order drawn by lot.
    fn product(&mut self, above: &[f64], below: &[f64]) -> f64 {
        let mut left: Vec<(f64, bool)> =
            above.iter().map(|f| (*f, true)).chain(below.iter().map(|f| (*f, false))).collect();
        let first = usize::try_from(self.draw(above.len() as u64)).unwrap();
        let mut value = left.remove(first).0;
        while !left.is_empty() {
            let next = usize::try_from(self.draw(left.len() as u64)).unwrap();
            let (factor, up) = left.remove(next);
            value = self.note(if up { value * factor } else { value / factor });
        }
        value
    }
}

fn rounded(value: f64, figures: i32) -> f64 {
    let step = 10_f64.powi(value.abs().log10().floor() as i32 - figures + 1);
    (value / step + 0.5 + 1e-12).floor() * step
}

/// Whether a factor changes anything.
fn counts(factor: f64) -> bool {
    (factor - 1.0).abs() > 1e-12
}

/// The given number and what takes its unit to the plain one, as the paper prints it: factor and divisor.
fn given(variant: &Variant, name: &str) -> (f64, f64, f64) {
    let found = variant.data.iter().find(|(known, _)| known == name);
    let (_, value) = found.unwrap_or_else(|| panic!("{} gives no {name}: {:?}", variant.name, variant.data));
    let (factor, divisor) = change(&value.u);
    (value.v.replace('−', "-").parse().unwrap(), factor, divisor)
}

/// The same where pounds and BTU stand as they are: a weight in pounds presses with as many pounds of force, and heat
/// in BTU goes into pounds that take BTU for each pound and degree.
fn as_it_stands(variant: &Variant, name: &str) -> (f64, f64, f64) {
    let unit = variant.data.iter().find(|(known, _)| known == name).map(|(_, value)| value.u.as_str());
    let (value, factor, divisor) = given(variant, name);
    if matches!(unit, Some("lb" | "BTU")) { (value, 1.0, 1.0) } else { (value, factor, divisor) }
}

/// What the weight is worked from: mass and gravity, or pounds alone.
fn weight(variant: &Variant) -> &'static [&'static str] {
    let gravity = variant.data.iter().any(|(name, _)| name == "gravity");
    if gravity { &["mass", "gravity"] } else { &["mass"] }
}

/// Conversions as the paper prints them, and the prefixes everybody knows; imperial ones into feet, pounds of force
/// and seconds.
fn change(unit: &str) -> (f64, f64) {
    match unit {
        "km/h" => (1.0, 3.6),
        "mph" => (1.467, 1.0),
        "in" => (1.0, 12.0),
        "mm" => (1.0, 1000.0),
        "lb" => (1.0, 32.2),
        "rpm" => (1.0, 60.0),
        "kN" | "kJ" => (1000.0, 1.0),
        "BTU" => (778.0, 1.0),
        "%" => (1.0, 100.0),
        _ => (1.0, 1.0),
    }
}

/// The answer in the unit of the key; none for kinds that are worked in one step.
fn work(variant: &Variant, unit: &str, with: &mut Calculator) -> Option<f64> {
    let (out_factor, out_divisor) = change(unit);
    let kind = variant.name.split('/').next().unwrap();
    let read = if ["pull", "grip-pull", "height-energy", "disc-rise"].contains(&kind) {
        as_it_stands
    } else {
        given
    };
    let multiplied = |above: &[&str], below: &[&str], more: &[f64], with: &mut Calculator| {
        let (mut up, mut down) = (more.to_vec(), Vec::new());
        for name in above {
            let (value, factor, divisor) = read(variant, name);
            up.extend([value, factor].iter().filter(|f| counts(**f)));
            down.extend([divisor].iter().filter(|f| counts(**f)));
        }
        for name in below {
            let (value, factor, divisor) = read(variant, name);
            down.extend([value, factor].iter().filter(|f| counts(**f)));
            up.extend([divisor].iter().filter(|f| counts(**f)));
        }
        up.extend([out_divisor].iter().filter(|f| counts(**f)));
        down.extend([out_factor].iter().filter(|f| counts(**f)));
        if up.is_empty() {
            up.push(1.0);
        }
        with.product(&up, &down)
    };
    let angle = |name: &str| given(variant, name).0.to_radians();
    Some(match kind {
        "creep-speed" => {
            multiplied(&["rolling circumference", "engine speed"], &["overall ratio"], &[], with)
        }
        "wheel-turns" => multiplied(&["speed", "overall ratio"], &["rolling circumference"], &[], with),
        "pull" => {
            let sine = with.note(angle("slope angle").sin());
            multiplied(weight(variant), &[], &[sine], with)
        }
        "grip-pull" => {
            let cosine = with.note(angle("slope angle").cos());
            multiplied(weight(variant), &[], &[cosine], with)
        }
        "height-energy" => multiplied(&[weight(variant), &["height"]].concat(), &[], &[], with),
        "disc-rise" => {
            let heat = [
                "energy taken by the brakes",
                "front axle's share of the braking",
                "part of the heat that goes into the iron",
            ];
            let iron = [
                "number of discs or drums on the axle",
                "mass of one disc or drum",
                "specific heat capacity",
            ];
            multiplied(&heat, &iron, &[], with)
        }
        "locked-stop" => {
            let friction = given(variant, "friction coefficient of a sliding wheel").0;
            let gravity = given(variant, "gravity").0;
            let cosine = with.note(angle("slope angle").cos());
            let (held, sine) = (with.note(friction * cosine), with.note(angle("slope angle").sin()));
            let net = with.note(held - sine);
            let slowing = with.note(gravity * net);
            let (speed, factor, divisor) = given(variant, "speed at the start");
            let speed = with.note(speed * factor / divisor);
            let square = with.note(speed * speed);
            let half = with.note(square / 2.0);
            let metres = with.note(half / slowing);
            metres / out_factor
        }
        "front-load" => {
            let one = |name: &str| given(variant, name).0;
            let level =
                with.note(one("force square to the slope") * one("centre of mass before the rear axle"));
            let pull = with.note(one("braking force at the ground") * one("height of the centre of mass"));
            if with.draw(2) == 0 {
                with.note(level + pull) / one("wheelbase")
            } else {
                with.note(level / one("wheelbase")) + with.note(pull / one("wheelbase"))
            }
        }
        "speed-energy" => {
            let (speed, factor, divisor) = given(variant, "speed");
            let speed = with.note(speed * factor / divisor);
            let square = with.note(speed * speed);
            let (mass, factor, divisor) = given(variant, "mass");
            let mass = with.note(mass * factor / divisor);
            let energy = with.product(&[0.5, mass, square], &[]);
            with.note(energy) / out_factor
        }
        _ => return None,
    })
}

#[test]
fn every_right_way_with_three_figures_earns_full_marks() {
    let mut counts: BTreeMap<String, (usize, usize)> = BTreeMap::new();
    let mut with = Calculator(1);
    for course in COURSES {
        for family in of_course(course) {
            for variant in &family.variants {
                let Stuff::Number(number) = &variant.stuff else { continue };
                let question = Question {
                    slot: 0,
                    topic: family.topic,
                    level: family.level,
                    marks: family.marks,
                    variant: variant.clone(),
                    body: Body::Number(number.clone()),
                };
                for _ in 0..24 {
                    let Some(value) = work(variant, number.unit.symbol, &mut with) else { break };
                    let answer = rounded(value, 3);
                    let digits = usize::try_from((2 - answer.log10().floor() as i32).max(0)).unwrap();
                    let typed = format!("{answer:.digits$} {}", number.unit.symbol);
                    let judged = judge(&question, &typed);
                    assert_eq!(
                        judged.outcome,
                        Outcome::Right,
                        "{}: {typed}, accepted {:?}, key {}, {:?}",
                        variant.name,
                        number.accept,
                        number.key.text,
                        variant.data
                    );
                    let count = counts.entry(variant.name.split('/').next().unwrap().into()).or_default();
                    count.0 += 1;
                }
                for slip in &number.slips {
                    assert!(!slip.accept.meets(number.look), "{}: {:?}", variant.name, slip.wrong);
                }
                // No number that is given reads like the answer.
                for (_, value) in &variant.data {
                    let given: f64 = value.v.replace('−', "-").parse().unwrap();
                    assert!((given / number.key.value - 1.0).abs() > 0.02, "{}: {value:?}", variant.name);
                }
            }
        }
    }
    println!("{counts:?}");
    assert!(counts.len() >= 8, "{counts:?}");
}

#[test]
fn a_unit_earns_its_mark_as_the_scheme_says() {
    let families = of_course(COURSES[0]);
    let find = |symbol: &str| {
        families
            .iter()
            .find_map(|family| {
                let variant = family.variants.iter().find(
                    |variant| matches!(&variant.stuff, Stuff::Number(number) if number.unit.symbol == symbol),
                )?;
                let Stuff::Number(number) = &variant.stuff else { return None };
                Some(Question {
                    slot: 0,
                    topic: family.topic,
                    level: family.level,
                    marks: family.marks,
                    variant: variant.clone(),
                    body: Body::Number(number.clone()),
                })
            })
            .unwrap()
    };
    let force = find("kN");
    assert!(!force.variant.ask.contains("kN"), "the question gives no unit away: {}", force.variant.ask);
    // A wrong number that no slip gives: the unit's mark stands, the method waits for a person.
    let wrong = judge(&force, "987 kN");
    assert_eq!((wrong.marks, wrong.outcome), (1, Outcome::Wrong));
    assert_eq!(judge(&force, "987").marks, 0);
    assert_eq!(judge(&force, "987 km/h").marks, 0);
    let Body::Number(number) = &force.body else { unreachable!() };
    let key = number.key.value;
    assert_eq!(judge(&force, &format!("{} N", key * 1000.0)).marks, force.marks, "another unit is as good");
    assert_eq!(judge(&force, &format!("{}", key * 1000.0)).marks, force.marks - 1, "newtons without a unit");
    // Near the key a marker looks; nothing is lost before that.
    let near = f64::midpoint(number.accept.high, number.look.high);
    assert_eq!(judge(&force, &format!("{near} kN")).outcome, Outcome::Look);
    let angle = find("°");
    let Body::Number(number) = &angle.body else { unreachable!() };
    assert!(!number.unit_mark && angle.variant.ask.contains("degrees"), "{}", angle.variant.ask);
}
