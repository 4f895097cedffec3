//! Two hundred papers of the example course: each meets the blueprint, each key is worked again from
//! what is printed, nothing gives a key away.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;

use slopepack::course::{Blueprint, Course, Level, Topic, read_bank, read_text};
use slopepack::engine::reckon;
use slopepack::formula::line_holds;
use slopepack::paper::{
    BankCheck, Body, Drawing, Edition, Family, Form, Issue, PaperSheet, Question, Run, built_in, code_holds,
    embedded, families, forms, numbers_in, plan,
};
use slopepack::print::Templates;

const EXAMPLE: &str = include_str!("../courses/quarry-day.yaml");
const COUNT: usize = 200;

pub(crate) struct Drawn {
    pub course: Course,
    pub families: Vec<Family>,
    pub forms: Vec<Form>,
}

pub(crate) fn draw(seed: u64, count: usize) -> Drawn {
    let course = read_text(EXAMPLE).unwrap();
    let reckoning = reckon(&course);
    let families = families(&course, &reckoning, &built_in());
    let plan = plan(&course.papers, &families, seed).unwrap();
    let forms = forms(&plan, &families, &Run::of(&course.papers, count, seed)).unwrap();
    Drawn { course, families, forms }
}

pub(crate) fn two_hundred() -> &'static Drawn {
    static DRAWN: OnceLock<Drawn> = OnceLock::new();
    DRAWN.get_or_init(|| draw(20_260, COUNT))
}

pub(crate) fn issue(drawn: &Drawn) -> Issue<'_> {
    Issue { course: &drawn.course, fingerprint: "0000-0000" }
}

#[test]
fn every_paper_meets_the_blueprint() {
    let drawn = two_hundred();
    let blueprint = &drawn.course.papers;
    assert_eq!(drawn.forms.len(), COUNT);
    let expected: Vec<f64> = drawn.forms.iter().map(Form::predicted).collect();
    for form in &drawn.forms {
        assert_eq!(form.total(), blueprint.total(), "{}", form.code);
        assert_eq!(Some(form.questions.len()), blueprint.questions.map(usize::from));
        for (_, topic, _) in Topic::ALL {
            for (_, level) in Level::ALL {
                let marks: u16 = form
                    .questions
                    .iter()
                    .filter(|q| q.topic == topic && q.level == level)
                    .map(|q| q.marks)
                    .sum();
                let wanted: u16 = blueprint
                    .cells
                    .iter()
                    .filter(|cell| cell.topic == topic && cell.level == level)
                    .map(|cell| cell.marks)
                    .sum();
                assert_eq!(marks, wanted, "{} {topic:?} {level:?}", form.code);
            }
        }
        assert_eq!(code_holds(&form.code).as_deref(), Some(form.code.as_str()));
    }
    let codes: BTreeSet<&str> = drawn.forms.iter().map(|form| form.code.as_str()).collect();
    assert_eq!(codes.len(), COUNT, "every paper has a code of its own");
    let (low, high) = expected.iter().fold((1.0_f64, 0.0_f64), |(low, high), p| (low.min(*p), high.max(*p)));
    assert!(high - low < 0.03, "predicted difficulty from {low} to {high}");
}

#[test]
fn neighbours_share_no_numeric_answer() {
    let forms = &two_hundred().forms;
    for (at, form) in forms.iter().enumerate() {
        let next = &forms[(at + 1) % forms.len()];
        let shared: Vec<_> = form.numeric_keys().intersection(&next.numeric_keys()).cloned().collect();
        assert!(shared.is_empty(), "{} and {} share {shared:?}", form.code, next.code);
    }
}

/// The numbers printed with a question, by name, in the unit printed.
fn printed(question: &Question) -> impl Fn(&str) -> f64 + '_ {
    |name| {
        let (_, value) = question
            .variant
            .data
            .iter()
            .find(|(known, _)| known == name)
            .unwrap_or_else(|| panic!("{name} is not printed: {:?}", question.variant.data));
        value.v.replace('−', "-").parse().unwrap()
    }
}

/// The answer worked afresh, in the unit asked for, from the printed numbers alone.
fn worked_again(question: &Question) -> f64 {
    let of = printed(question);
    let rad = |name: &str| of(name).to_radians();
    let kind = question.variant.name.split('/').next().unwrap();
    match kind {
        "overall-ratio" => {
            of("gearbox ratio") * of("transfer case ratio") * of("axle ratio") * of("hub ratio")
        }
        "wheel-turns" => of("speed") / 3.6 / of("rolling circumference") * of("overall ratio") * 60.0,
        "creep-speed" => of("rolling circumference") * of("engine speed") / 60.0 / of("overall ratio") * 3.6,
        "rolling-circumference" => {
            of("rolling circumference for each diameter") * of("overall tyre diameter") / 1000.0
        }
        "side-tip" => (of("track") / 2.0 / of("height of the centre of mass")).atan().to_degrees(),
        "nose-tip" => (of("centre of mass behind the front axle") / of("height of the centre of mass"))
            .atan()
            .to_degrees(),
        "grade" => 100.0 * rad("slope angle").tan(),
        "angle" => (of("grade") / 100.0).atan().to_degrees(),
        "limit-turning" => of("best friction coefficient of a turning wheel").atan().to_degrees(),
        "limit-locked" => of("friction coefficient of a sliding wheel").atan().to_degrees(),
        "locked-stop" => {
            let slowing = of("gravity")
                * (of("friction coefficient of a sliding wheel") * rad("slope angle").cos()
                    - rad("slope angle").sin());
            (of("speed at the start") / 3.6).powi(2) / 2.0 / slowing
        }
        "roll" => (rad("slope angle").tan() * rad("heading off the fall line").sin()).atan().to_degrees(),
        "pull" => of("mass") * of("gravity") * rad("slope angle").sin() / 1000.0,
        "grip-pull" => of("mass") * of("gravity") * rad("slope angle").cos() / 1000.0,
        "front-load" => {
            (of("force square to the slope") * of("centre of mass before the rear axle")
                + of("braking force at the ground") * of("height of the centre of mass"))
                / of("wheelbase")
        }
        "height-energy" => of("mass") * of("gravity") * of("height") / 1000.0,
        "disc-rise" => {
            let heat = of("energy taken by the brakes") * 1000.0 * of("front axle's share of the braking")
                / 100.0
                * of("part of the heat that goes into the iron")
                / 100.0;
            heat / (of("number of discs or drums on the axle")
                * of("mass of one disc or drum")
                * of("specific heat capacity"))
        }
        "speed-energy" => 0.5 * of("mass") * (of("speed") / 3.6).powi(2) / 1000.0,
        "read-section" => match question.variant.drawing {
            Some(Drawing::Section { rise, run }) => 100.0 * rise / run,
            _ => panic!("a section has a drawing"),
        },
        other => panic!("{other} has no second working"),
    }
}

fn value_of(text: &str) -> f64 {
    numbers_in(text)[0].parse().unwrap()
}

/// The right option of a choice in words, found afresh from what is printed; none for items of judgement.
fn chosen_again(question: &Question, options: &[String]) -> Option<String> {
    let data = &question.variant.data;
    let product = |text: &str| numbers_in(text).iter().map(|n| n.parse::<f64>().unwrap()).product::<f64>();
    let best =
        |score: &dyn Fn(&str) -> f64| options.iter().max_by(|a, b| score(a).total_cmp(&score(b))).cloned();
    match question.variant.name.split('/').next().unwrap() {
        "choose-vehicle" => {
            let slowest = question.variant.ask.contains("slowest");
            best(&|name| {
                let (_, value) = data.iter().find(|(known, _)| known == name).unwrap();
                if slowest { product(&value.v) } else { -product(&value.v) }
            })
        }
        "choose-stable" => {
            let smallest = question.variant.ask.contains("smallest");
            best(&|name| {
                let (_, value) = data.iter().find(|(known, _)| known == name).unwrap();
                let n = numbers_in(&value.v);
                let share = n[0].parse::<f64>().unwrap() / n[1].parse::<f64>().unwrap();
                if smallest { -share } else { share }
            })
        }
        "choose-gear" => {
            let of = printed(question);
            let ask = &question.variant.ask;
            let limit = value_of(ask.split("as near to ").nth(1).unwrap());
            let speed = |gear: &str| {
                of("rolling circumference") * of("idle") / 60.0 / of(&format!("overall ratio of {gear}"))
                    * 3.6
            };
            best(&|gear| if speed(gear) <= limit { speed(gear) } else { f64::MIN })
        }
        "gear-choice" => {
            // The options are gears: the one with the least hold that is still enough is the highest.
            let of = printed(question);
            let wanted = value_of(question.variant.ask.split("At least ").nth(1).unwrap());
            let hold = |gear: &str| of(&format!("{gear} holds"));
            best(&|gear| if hold(gear) >= wanted { -hold(gear) } else { f64::MIN })
        }
        "read-ladder" => {
            let Some(Drawing::Ladder { gears, .. }) = &question.variant.drawing else {
                panic!("a ladder has a drawing")
            };
            let asked = value_of(question.variant.ask.split("nearest to ").nth(1).unwrap());
            best(&|gear| -(gears.iter().find(|(known, _)| known == gear).unwrap().1 - asked).abs())
        }
        "bank" => None,
        _ => Some(String::new()),
    }
}

#[test]
fn every_key_is_what_the_printed_numbers_give() {
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    for question in two_hundred().forms.iter().flat_map(|form| &form.questions) {
        let name = &question.variant.name;
        *seen.entry(name.split('/').next().unwrap().to_owned()).or_default() += 1;
        if let Some(worked) = &question.variant.worked {
            for line in &worked.lines {
                assert_eq!(line_holds(&line.plain), Ok(true), "{name}: {}", line.plain);
            }
        }
        match &question.body {
            Body::Number(number) => {
                let again = worked_again(question);
                assert!(
                    (again / number.key.value - 1.0).abs() < 0.006,
                    "{name}: key {}, worked again {again}",
                    number.key.text
                );
                assert!(
                    number.accept.holds(number.key.value) && number.accept.holds(again),
                    "{name}: {again} {:?}",
                    number.accept
                );
                for slip in &number.slips {
                    assert!(!number.accept.meets(slip.accept), "{name}: {:?} is accepted", slip.wrong);
                    assert!(slip.marks < question.marks);
                }
            }
            Body::Choice(options) => {
                let texts: Vec<String> = options.iter().map(|option| option.text.clone()).collect();
                let key = &texts[question.key_place().unwrap()];
                match chosen_again(question, &texts) {
                    Some(again) if again.is_empty() => {
                        let again = worked_again(question);
                        let nearest = texts.iter().min_by(|a, b| {
                            (value_of(a) - again).abs().total_cmp(&(value_of(b) - again).abs())
                        });
                        assert_eq!(nearest, Some(key), "{name}: {texts:?}, worked again {again}");
                        assert!((again / value_of(key) - 1.0).abs() < 0.03, "{name}: {key} against {again}");
                    }
                    Some(again) => assert_eq!(again, *key, "{name}: {texts:?}"),
                    None => {}
                }
            }
            Body::Order { .. } | Body::Truth { .. } => {}
        }
    }
    assert!(seen.len() >= 10, "kinds of question: {seen:?}");
}

/// The key of every kind that any plan could draw, not only of those in one plan.
#[test]
fn every_question_that_could_be_drawn_is_worked_again() {
    let drawn = two_hundred();
    let mut count = 0;
    for family in &drawn.families {
        for variant in &family.variants {
            let kind = variant.name.split('/').next().unwrap();
            if variant.numeric_key().is_none() || kind == "bank" {
                continue;
            }
            let question = Question {
                slot: 0,
                topic: family.topic,
                level: family.level,
                marks: family.marks,
                variant: variant.clone(),
                body: Body::Choice(Vec::new()),
            };
            let again = worked_again(&question);
            let key = value_of(&variant.numeric_key().unwrap());
            assert!((again / key - 1.0).abs() < 0.03, "{}: key {key}, worked again {again}", variant.name);
            count += 1;
        }
    }
    assert!(count > 800, "{count}");
}

fn option_texts(question: &Question) -> Vec<&str> {
    match &question.body {
        Body::Choice(options) | Body::Truth { reasons: options, .. } => {
            options.iter().map(|o| o.text.as_str()).collect()
        }
        Body::Order { steps, .. } => steps.iter().map(String::as_str).collect(),
        Body::Number(_) => Vec::new(),
    }
}

#[test]
fn options_are_distinct_in_order_of_size_and_apart() {
    for question in two_hundred().forms.iter().flat_map(|form| &form.questions) {
        let texts = option_texts(question);
        let distinct: BTreeSet<&&str> = texts.iter().collect();
        assert_eq!(distinct.len(), texts.len(), "{texts:?}");
        if question.variant.numeric_key().is_some() && !texts.is_empty() {
            let values: Vec<f64> = texts.iter().map(|text| value_of(text)).collect();
            assert!(values.is_sorted(), "{texts:?}");
            for pair in values.windows(2) {
                assert!(pair[1] - pair[0] > 0.045 * pair[1], "{texts:?}");
            }
            let units: BTreeSet<String> =
                texts.iter().map(|text| text.replace(|c: char| c.is_ascii_digit() || c == '.', "")).collect();
            assert_eq!(units.len(), 1, "one unit for all options: {texts:?}");
        }
    }
}

#[test]
fn the_key_stands_everywhere_alike() {
    let mut counts: BTreeMap<(usize, usize), f64> = BTreeMap::new();
    for question in two_hundred().forms.iter().flat_map(|form| &form.questions) {
        if let Some(place) = question.key_place() {
            *counts.entry((option_texts(question).len(), place)).or_default() += 1.0;
        }
    }
    // Critical values of chi-squared at 1 %: 2 and 3 degrees of freedom.
    for (options, critical) in [(3, 9.210), (4, 11.345)] {
        let of: Vec<f64> =
            (0..options).map(|place| counts.get(&(options, place)).copied().unwrap_or(0.0)).collect();
        let total: f64 = of.iter().sum();
        if total < 50.0 {
            continue;
        }
        let expected = total / of.len() as f64;
        let chi: f64 = of.iter().map(|count| (count - expected).powi(2) / expected).sum();
        assert!(chi < critical, "{options} options: {of:?}, chi-squared {chi}");
    }
    assert!(
        counts.iter().filter(|((options, _), _)| *options == 4).map(|(_, count)| count).sum::<f64>() > 3000.0
    );
}

#[test]
fn the_same_seed_gives_the_same_papers_and_another_other_numbers() {
    let sheet = |drawn: &Drawn| -> Vec<String> {
        let templates = Templates::embedded().unwrap();
        drawn
            .forms
            .iter()
            .map(|form| {
                templates
                    .render("paper/paper.typ.j2", &PaperSheet::of(&issue(drawn), form, Edition::Standard))
                    .unwrap()
                    .text
            })
            .collect()
    };
    let (one, again, other) = (draw(5, 4), draw(5, 4), draw(6, 4));
    assert_eq!(sheet(&one), sheet(&again));
    assert_ne!(sheet(&one), sheet(&other));
    let keys =
        |drawn: &Drawn| -> BTreeSet<String> { drawn.forms.iter().flat_map(Form::numeric_keys).collect() };
    let (a, b) = (keys(&one), keys(&other));
    assert!(a.intersection(&b).count() * 3 < a.len(), "different seeds, different numbers");
    assert_eq!(one.forms[0].total(), other.forms[0].total());
}

#[test]
fn a_short_cell_is_named_exactly() {
    let drawn = two_hundred();
    let with = |from: &str, to: &str| {
        let text = EXAMPLE.replace(from, to);
        assert_ne!(text, EXAMPLE);
        read_text(&text).unwrap().papers
    };
    let short = |blueprint: &Blueprint| plan(blueprint, &drawn.families, 1).unwrap_err();
    let found = short(&with("heat: {recall: 1,", "heat: {recall: 19,"));
    assert_eq!(found.len(), 1);
    assert!(
        found[0].message.starts_with("the blueprint wants 19 marks of heat at the level recall"),
        "{}",
        found[0].message
    );
    assert!(found[0].message.contains("give 6: 13 short"), "{}", found[0].message);
    let found = short(&with("questions: 34", "questions: 90"));
    assert!(found[0].message.contains("possible are"), "{}", found[0].message);
}

#[test]
fn one_vehicle_and_one_slope_are_too_few_and_it_is_said() {
    let drawn = two_hundred();
    let mut course = drawn.course.clone();
    course.vehicles.truncate(1);
    course.slopes.truncate(1);
    let reckoning = reckon(&course);
    let families = families(&course, &reckoning, &built_in());
    let found = plan(&course.papers, &families, 1).unwrap_err();
    let recovery =
        found.iter().find(|one| one.message.contains("marks of recovery at the level apply")).unwrap();
    assert!(
        recovery.message.contains("fewer than six different answers: pull/number"),
        "{}",
        recovery.message
    );
}

#[test]
fn items_of_judgement_are_sound() {
    let items = built_in();
    assert!(items.len() >= 40, "{}", items.len());
    let ids: BTreeSet<&str> = items.iter().map(|item| item.id.as_str()).collect();
    assert_eq!(ids.len(), items.len());
    for (key, topic, _) in Topic::ALL {
        assert!(items.iter().filter(|item| item.topic == topic).count() >= 4, "{key}");
    }
    for item in &items {
        let faults = BankCheck::of(item);
        assert!(faults.is_empty(), "{}: {faults:?}", item.id);
    }
    for (name, text) in embedded() {
        assert!(read_bank(text).is_ok(), "{name}");
    }
}

#[test]
fn unsound_items_are_found() {
    let file = |right: &str, wrong: &str| {
        format!(
            "items:\n  - id: one\n    topic: grip\n    level: recall\n    outcome: Knows it.\n    ease: 60 %\n    ask: What now?\n    right: {right}\n    wrong:\n      - {{text: Brake, why: It locks.}}\n      - {{text: '{wrong}', why: No.}}\n    feedback: So it is.\n    source: common practice, no source\n"
        )
    };
    let faults =
        |right: &str, wrong: &str| BankCheck::of(&read_bank(&file(right, wrong)).unwrap()[0]).join("; ");
    assert_eq!(faults("Steer", "Let go"), "");
    assert!(faults("Steer", "All of the above").contains("all of the above"));
    assert!(
        faults("Let the wheels turn again, then steer where the nose should go", "Let go")
            .contains("longest")
    );
    assert!(faults("Steer", "Always brake").contains("always"));
    assert!(read_bank(&file("Brake", "Let go")).is_err(), "a wrong option that is the right one");
    assert!(read_bank(&file("Steer", "Brake")).is_err(), "two wrong options alike");
}
