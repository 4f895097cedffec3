//! Every numeric key of two hundred forms worked again from what stands on the page and nothing else: the sentence, the
//! values given with their units, the drawing's spoken text and the line "To change units". Over the three courses,
//! one of them imperial, and twenty random ones. What is printed is the same text: the page's source is looked through
//! for every sentence and value used here.

use std::collections::BTreeMap;

use serde_json::Value;
use slopepack::paper::{Body, Edition, Issue, PaperSheet, Question};
use slopepack::print::Templates;

use crate::paper_parallel::all;

/// What a candidate has: values by name in the page's own coherent units, and factors of the units.
struct Page<'a> {
    text: &'a str,
    data: BTreeMap<&'a str, (f64, &'a str)>,
    factors: &'a BTreeMap<String, f64>,
    alt: Option<&'a str>,
    /// Gravity where pounds stand for mass: a weight over this is a mass.
    pounds: bool,
}

fn number(text: &str) -> f64 {
    text.replace('−', "-").parse().unwrap_or_else(|_| panic!("`{text}` is no number"))
}

/// Factors into metres, kilograms, seconds or feet, pounds of force, seconds: powers of ten, and what the page says.
fn factors(facts: &[&str]) -> BTreeMap<String, f64> {
    let mut known: BTreeMap<String, f64> = [
        ("", 1.0),
        (":1", 1.0),
        ("%", 0.01),
        ("m", 1.0),
        ("mm", 0.001),
        ("kg", 1.0),
        ("N", 1.0),
        ("kN", 1000.0),
        ("J", 1.0),
        ("kJ", 1000.0),
        ("m/s", 1.0),
        ("m/s²", 1.0),
        ("J/(kg·K)", 1.0),
        ("K", 1.0),
        ("rev/s", 1.0),
        ("ft", 1.0),
        ("ft/s", 1.0),
        ("ft/s²", 1.0),
        ("lb", 1.0),
        ("lbf", 1.0),
        ("ft·lbf", 1.0),
        ("F°", 1.0),
    ]
    .map(|(unit, factor)| (unit.to_owned(), factor))
    .into();
    for fact in facts {
        // `1 BTU = 778 ft·lbf` or `1 ft = 12 in`: whichever of the two is known gives the other.
        let words: Vec<&str> = fact.split_whitespace().collect();
        let [one, left, equals, many, right] = words[..] else { continue };
        if one != "1" || equals != "=" {
            continue;
        }
        let many = number(many);
        if let (Some(right), None) = (known.get(right), known.get(left)) {
            known.insert(left.to_owned(), many * right);
        } else if let Some(left) = known.get(left) {
            known.insert(right.to_owned(), left / many);
        }
    }
    known
}

impl Page<'_> {
    fn of(&self, name: &str) -> f64 {
        let (value, unit) =
            self.data.get(name).unwrap_or_else(|| panic!("{name} is not given: {}", self.text));
        if *unit == "°" {
            return value.to_radians();
        }
        value
            * self
                .factors
                .get(*unit)
                .unwrap_or_else(|| panic!("nothing says what a {unit} is: {}", self.text))
    }

    /// Mass times gravity: in pounds what it weighs.
    fn weight(&self) -> f64 {
        if self.pounds { self.of("mass") } else { self.of("mass") * self.of("gravity") }
    }

    fn mass(&self) -> f64 {
        if self.pounds { self.of("mass") / 32.2 } else { self.of("mass") }
    }

    fn has(&self, phrase: &str) -> bool {
        self.text.contains(phrase)
    }

    /// The answer in coherent units, angles in degrees, grades in per cent; none for what asks for no number.
    fn solved(&self) -> Option<f64> {
        let of = |name| self.of(name);
        Some(if self.has("find the overall ratio") {
            of("gearbox ratio") * of("transfer case ratio") * of("axle ratio") * of("hub ratio")
        } else if self.has("How fast does the engine turn?") {
            of("speed") / of("rolling circumference") * of("overall ratio")
        } else if self.has("how fast does it roll") {
            of("engine speed") / of("overall ratio") * of("rolling circumference")
        } else if self.has("how far does one turn of the wheel take it") {
            of("rolling circumference for each diameter") * of("overall tyre diameter")
        } else if self.has("side tip angle of a rigid vehicle") {
            (of("track") / (2.0 * of("height of the centre of mass"))).atan().to_degrees()
        } else if self.has("find the slope at which the rear lifts") {
            (of("centre of mass behind the front axle") / of("height of the centre of mass"))
                .atan()
                .to_degrees()
        } else if self.has("what is the grade in per cent?") {
            100.0 * of("slope angle").tan()
        } else if self.has("How many degrees is that?") {
            of("grade").atan().to_degrees()
        } else if self.has("on which turning wheels just hold") {
            of("best friction coefficient of a turning wheel").atan().to_degrees()
        } else if self.has("on which locked wheels just hold") {
            of("friction coefficient of a sliding wheel").atan().to_degrees()
        } else if self.has("all wheels lock at the speed given") {
            let angle = of("slope angle");
            let slowing = of("friction coefficient of a sliding wheel") * angle.cos() - angle.sin();
            of("speed at the start").powi(2) / (2.0 * of("gravity") * slowing)
        } else if self.has("What roll does a pendulum gauge show?") {
            (of("slope angle").tan() * of("heading off the fall line").sin()).atan().to_degrees()
        } else if self.has("what pull along the slope just holds it?") {
            self.weight() * of("slope angle").sin()
        } else if self.has("with what force does it press on the ground") {
            self.weight() * of("slope angle").cos()
        } else if self.has("find the load on the front axle") {
            let held = of("braking force at the ground") * of("height of the centre of mass");
            (of("force square to the slope") * of("centre of mass before the rear axle") + held)
                / of("wheelbase")
        } else if self.has("what energy does the height of the slope set free?") {
            self.weight() * of("height")
        } else if self.has("how much warmer do the front brakes get") {
            let heat = of("energy taken by the brakes")
                * of("front axle's share of the braking")
                * of("part of the heat that goes into the iron");
            heat / (of("number of discs or drums on the axle")
                * of("mass of one disc or drum")
                * self.capacity())
        } else if self.has("find the energy of its speed") {
            self.mass() * of("speed").powi(2) / 2.0
        } else if self.has("The section is drawn to one scale") {
            let words: Vec<&str> = self.alt?.split_whitespace().collect();
            let behind = |word: &str| number(words[words.iter().position(|one| *one == word).unwrap() + 1]);
            100.0 * behind("rises") / behind("over")
        } else {
            return None;
        })
    }

    /// Heat for each pound and degree: given in BTU, of which the page says how many foot-pounds it is.
    fn capacity(&self) -> f64 {
        let (value, unit) = self.data["specific heat capacity"];
        if unit.starts_with("BTU") { value * self.factors["BTU"] } else { value * self.factors[unit] }
    }
}

/// A value in coherent units in the unit an answer has.
fn in_unit(value: f64, unit: &str, factors: &BTreeMap<String, f64>) -> f64 {
    match unit {
        "°" | "%" => value,
        _ => value / factors.get(unit).unwrap_or_else(|| panic!("nothing says what a {unit} is")),
    }
}

/// A printed option: digits and unit.
fn option(text: &str) -> (f64, &str) {
    let end = text.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(text.len());
    (number(&text[..end]), text[end..].trim_matches([' ', '\u{a0}', '\u{202f}']))
}

/// Rounded half up to three figures, as the paper asks.
fn three(value: f64) -> f64 {
    let unit = 10_f64.powf(value.abs().log10().floor() - 2.0);
    (value / unit + 0.5 + 1e-9).floor() * unit
}

/// Whether a question is one of numbers, and the answer worked again is its key.
fn check(page: &Page, question: &Question, item: &Value, whose: &str) -> Option<&'static str> {
    match &question.body {
        Body::Number(key) => {
            let solved = page.solved().unwrap_or_else(|| panic!("{whose}: cannot be read: {}", page.text));
            let mine = in_unit(solved, key.unit.symbol, page.factors);
            assert!(
                (three(mine) / key.key.value - 1.0).abs() < 1e-6 || (mine / key.key.value - 1.0).abs() < 1e-3,
                "{whose}: {} worked again is {mine}, key {}",
                page.text,
                key.key.text
            );
            assert!(
                key.accept.holds(three(mine)) || key.accept.holds(mine),
                "{whose}: {mine} {:?}",
                key.accept
            );
            Some("number")
        }
        Body::Choice(_) => {
            let Some(solved) = page.solved() else {
                assert!(question.variant.worked.is_none(), "{whose}: {} is not solved", page.text);
                return None;
            };
            let options = item["options"].as_array().unwrap();
            let off = |text: &str| {
                let (value, unit) = option(text);
                (in_unit(solved, unit, page.factors) / value - 1.0).abs()
            };
            let texts: Vec<&str> = options.iter().map(|one| one["text"].as_str().unwrap()).collect();
            let nearest = (0..texts.len()).min_by(|a, b| off(texts[*a]).total_cmp(&off(texts[*b]))).unwrap();
            assert_eq!(
                Some(nearest),
                question.key_place(),
                "{whose}: {} {texts:?} against {solved}",
                page.text
            );
            // A grade read off squares is printed with two figures.
            let most = if page.alt.is_some() { 0.025 } else { 0.006 };
            assert!(off(texts[nearest]) < most, "{whose}: {} {texts:?} against {solved}", page.text);
            Some("choice between numbers")
        }
        Body::Order { .. } | Body::Truth { .. } => None,
    }
}

#[test]
fn every_numeric_key_of_two_hundred_forms_is_what_the_page_gives() {
    let templates = Templates::embedded().unwrap();
    let mut table: BTreeMap<(String, &str), usize> = BTreeMap::new();
    let (mut forms, mut imperial) = (0, 0);
    for drawn in all() {
        let issue = Issue { course: &drawn.course, fingerprint: "0000-0000" };
        for form in &drawn.forms {
            let sheet = PaperSheet::of(&issue, form, Edition::Standard);
            let source = templates.render("paper/paper.typ.j2", &sheet).unwrap().text;
            let sheet = serde_json::to_value(sheet).unwrap();
            let facts: Vec<&str> = sheet["paper"]["facts"]
                .as_array()
                .unwrap()
                .iter()
                .map(|fact| fact.as_str().unwrap())
                .collect();
            let (factors, pounds) =
                (factors(&facts), facts.iter().any(|fact| fact.starts_with("What weighs W lb")));
            for (question, item) in form.questions.iter().zip(sheet["items"].as_array().unwrap()) {
                let data = item["data"].as_array().unwrap().iter().map(|given| {
                    let (v, u) =
                        (given["value"]["v"].as_str().unwrap(), given["value"]["u"].as_str().unwrap());
                    assert!(source.contains(v) && source.contains(u), "{v} {u} is not printed");
                    (given["name"].as_str().unwrap(), (v, u))
                });
                let data: BTreeMap<&str, (&str, &str)> = data.collect();
                if question.variant.numeric_key().is_none() {
                    continue;
                }
                let data = data.into_iter().map(|(name, (v, u))| (name, (number(v), u))).collect();
                let page = Page {
                    text: item["text"].as_str().unwrap(),
                    data,
                    factors: &factors,
                    alt: item["drawing"]["alt"].as_str(),
                    pounds,
                };
                let whose = format!("{} {}", drawn.name, form.code);
                if let Some(kind) = check(&page, question, item, &whose) {
                    let of = if drawn.name.starts_with("random") {
                        "20 random courses"
                    } else {
                        drawn.name.as_str()
                    };
                    *table.entry((of.to_owned(), kind)).or_default() += 1;
                    imperial += usize::from(pounds);
                }
            }
            forms += 1;
        }
    }
    println!(
        "{forms} forms, keys worked again from the page: {table:#?}; {imperial} of them in feet and pounds"
    );
    assert!(forms >= 200 && imperial > 200, "{forms} {imperial}");
    assert!(table.values().sum::<usize>() > 2000, "{table:?}");
    assert_eq!(table.len(), 8, "{table:?}");
}
