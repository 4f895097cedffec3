//! What the schema says of a course against what the reader says: a thousand courses that are read, a thousand
//! broken ones, judged by a validator that knows nothing of the reader.

use std::collections::BTreeMap;
use std::fs;

use boon::{Compiler, SchemaIndex, Schemas};
use serde_json::{Value, json};
use slopepack::course::{read_bank, read_text};

use crate::house::in_the_house;
use crate::program::Bench;

/// What only the reader can know: parts of what it says of a course that the schema lets pass.
const READER_ALONE: [(&str, &str); 33] = [
    ("`a day's number`", "a number up to how many days there are"),
    ("beyond the foot", "two quantities that do not go together"),
    ("behind the rear axle", "two quantities that do not go together"),
    ("half diameter", "two quantities that do not go together"),
    ("only a step has", "keys that depend on what another key says"),
    ("this run", "keys that depend on what another key says"),
    ("there is no", "a name that nothing has"),
    ("is called", "a name that two have"),
    ("is hardly possible", "a quantity beyond its bounds, once it carries a unit"),
    ("only a buried anchor has a log", "keys that depend on what another key says"),
    ("only a converter that locks", "keys that depend on what another key says"),
    ("without a name", "what a cell of a spreadsheet may lack too"),
    ("has none for control", "keys that depend on what another key says"),
    ("an origin needs", "keys that depend on what another key says"),
    ("and the place is not told", "keys that depend on what another key says"),
    ("stands beside `stretches`", "one of two keys, not both"),
    ("outside the wheelbase", "two quantities that do not go together"),
    ("of the vehicle's mass", "two quantities that do not go together"),
    ("carry more than the whole", "two quantities that do not go together"),
    ("a sliding wheel holds better", "two quantities that do not go together"),
    ("is not above idle", "two quantities that do not go together"),
    ("as it was measured", "two quantities that do not go together"),
    ("where wheels come", "two quantities that do not go together"),
    ("needs `falls-to`", "keys that depend on what another key says"),
    ("needs slopes on a `site-plan`", "keys that depend on what another key says"),
    ("has two different ends", "two of a list that must differ"),
    ("says twice how long it is", "a name that two have"),
    ("asks for no marks", "a mapping that must not be empty"),
    ("a vehicle without brakes", "one of two keys at least"),
    ("`idle`", "a speed, or a range of it"),
    ("is no day of this course", "a number up to how many days there are"),
    ("in a photograph needs", "keys that depend on what another key says"),
    ("not seen below the brow", "two quantities that do not go together"),
];

/// A schema as the validator holds it.
struct Judge {
    schemas: Schemas,
    of: SchemaIndex,
}

impl Judge {
    fn new(schema: &Value) -> Self {
        let (mut schemas, mut compiler) = (Schemas::new(), Compiler::new());
        compiler.add_resource("schema.json", schema.clone()).unwrap();
        let of = compiler.compile("schema.json", &mut schemas).unwrap();
        Self { schemas, of }
    }

    fn why(&self, course: &Value) -> Option<String> {
        self.schemas.validate(course, self.of).err().map(|why| format!("{why:#}"))
    }
}

fn schema(of: &str) -> Value {
    serde_json::from_str(&Bench::with_course("").run(&["schema", of]).out).expect("it is JSON")
}

/// As an editor holds a file.
fn held(text: &str) -> Value {
    serde_saphyr::from_str(text).expect("it is YAML")
}

/// Courses that are read: what `begin` writes with all of it said, and the examples.
fn courses() -> Vec<Value> {
    let bench = Bench::with_course("");
    let begun = |more: &[&str]| {
        let _ = fs::remove_dir_all(bench.path("first"));
        bench.run(&[&["begin", "first", "--nothing-asked"][..], more].concat());
        fs::read_to_string(bench.path("first/course.yaml")).expect("it is written").replace("#: ", "")
    };
    let mut texts = vec![begun(&[]), begun(&["--units", "imperial", "--vehicle", "old diesel, truck"])];
    for name in ["quarry-day", "hill-club-weekend", "six-slope-saturday", "two-day-camp"] {
        texts.push(fs::read_to_string(in_the_house(&format!("courses/{name}.yaml"))).unwrap());
    }
    texts.iter().map(|text| held(text)).collect()
}

/// Numbers by lot, the same each time.
struct Lot(u64);

impl Lot {
    fn below(&mut self, most: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % most as u64) as usize
    }

    fn of<'a, T>(&mut self, all: &'a [T]) -> &'a T {
        &all[self.below(all.len())]
    }
}

/// Every place of a course, as a pointer.
fn places(value: &Value, at: &str, found: &mut Vec<String>) {
    found.push(at.to_owned());
    match value {
        Value::Object(keys) => {
            keys.iter().for_each(|(key, inner)| places(inner, &format!("{at}/{key}"), found));
        }
        Value::Array(items) => {
            items.iter().enumerate().for_each(|(no, inner)| places(inner, &format!("{at}/{no}"), found));
        }
        _ => {}
    }
}

fn place(course: &Value, lot: &mut Lot, fits: impl Fn(&str, &Value) -> bool) -> String {
    let mut all = Vec::new();
    places(course, "", &mut all);
    all.retain(|at| fits(at, course.pointer(at).unwrap()));
    lot.of(&all).clone()
}

fn without_a_key(course: &mut Value, lot: &mut Lot) {
    let at = place(course, lot, |_, value| value.as_object().is_some_and(|keys| !keys.is_empty()));
    let keys = course.pointer_mut(&at).unwrap().as_object_mut().unwrap();
    let key = lot.of(&keys.keys().cloned().collect::<Vec<_>>()).clone();
    keys.remove(&key);
}

fn is_quantity(value: &Value) -> bool {
    let Some((number, unit)) = value.as_str().and_then(|text| text.split_once(' ')) else { return false };
    number.parse::<f64>().is_ok() && unit.len() < 6 && !unit.contains(' ')
}

/// The same quantity as other people write it.
fn written_otherwise(course: &mut Value, lot: &mut Lot) {
    let at = place(course, lot, |_, value| is_quantity(value));
    let value = course.pointer_mut(&at).unwrap();
    let (number, unit) = value.as_str().unwrap().split_once(' ').unwrap();
    let spelled: BTreeMap<&str, &str> = [
        ("m", "metres"),
        ("kg", "KG"),
        ("km/h", "kph"),
        ("L", "litres"),
        ("ft", "'"),
        ("%", "per cent"),
        ("mm", "Millimetres"),
        ("h", "hrs."),
        ("°C", "degC"),
        ("kN", "kilonewtons"),
        ("t", "tonnes"),
        ("N·m", "N m"),
        ("lb", "pounds"),
    ]
    .into();
    let unit = spelled.get(unit).unwrap_or(&unit);
    *value = json!(match lot.below(4) {
        0 => format!("{number}{unit}"),
        1 => format!("  {number}  {unit} "),
        2 => format!("+{number} {unit}"),
        _ => format!("{number}\u{a0}{unit}"),
    });
}

/// What is said of a course, if it cannot be read.
fn told(course: &Value) -> Option<String> {
    let problems = read_text(&serde_json::to_string_pretty(course).unwrap()).err()?;
    Some(problems.iter().map(|problem| problem.message.clone()).collect::<Vec<_>>().join("\n"))
}

#[test]
fn a_thousand_courses_that_are_read_satisfy_the_schema() {
    let (judge, bases, mut lot) = (Judge::new(&schema("course")), courses(), Lot(0x51_0be));
    let mut read = 0;
    for _ in 0..3000 {
        let mut course = lot.of(&bases).clone();
        for _ in 0..=lot.below(6) {
            if lot.below(2) == 0 {
                without_a_key(&mut course, &mut lot);
            } else {
                written_otherwise(&mut course, &mut lot);
            }
        }
        if told(&course).is_none() {
            read += 1;
            assert_eq!(judge.why(&course), None, "{course:#}");
        }
        if read == 1000 {
            return;
        }
    }
    panic!("{read} courses were read");
}

#[test]
fn a_thousand_broken_courses_are_broken_by_schema_and_reader_alike() {
    let (judge, bases, mut lot) = (Judge::new(&schema("course")), courses(), Lot(0xb0_35));
    let (mut broken, mut alone) = (0, BTreeMap::<&str, usize>::new());
    while broken < 1000 {
        let mut course = lot.of(&bases).clone();
        let how = lot.below(4);
        match how {
            0 => without_a_key(&mut course, &mut lot),
            1 => {
                let free = |at: &str| ["/surfaces", "/roster/columns"].contains(&at);
                let at = place(&course, &mut lot, |at, value| value.is_object() && !free(at));
                course.pointer_mut(&at).unwrap()["no-such-key"] = json!(1);
            }
            2 => {
                let at = place(&course, &mut lot, |_, value| is_quantity(value));
                let value = course.pointer_mut(&at).unwrap();
                let number = value.as_str().unwrap().split(' ').next().unwrap().to_owned();
                *value = lot
                    .of(&[json!(number), json!(format!("{number} zorks")), json!(format!("many {number}"))])
                    .clone();
            }
            _ => {
                let at = place(&course, &mut lot, |at, _| !at.is_empty());
                let wrong = [
                    json!([["wrong"]]),
                    json!(null),
                    json!({"no-such-key": 1}),
                    json!([{"no-such-key": [1]}]),
                ];
                // Under keys that a course chooses itself another key is no mistake of kind.
                let named = at == "/surfaces" || at == "/roster/columns";
                *course.pointer_mut(&at).unwrap() =
                    if named { json!(["wrong"]) } else { lot.of(&wrong).clone() };
            }
        }
        let (said, judged) = (told(&course), judge.why(&course));
        match (&said, &judged) {
            (None, Some(why)) => panic!("read, but against the schema: {why}\n{course:#}"),
            (Some(said), None) => {
                let known = READER_ALONE.iter().find(|(part, _)| said.contains(part));
                let (_, why) = *known.unwrap_or_else(|| panic!("{how}: the schema says nothing of: {said}"));
                *alone.entry(why).or_default() += 1;
                assert!(how != 1 && how != 3, "an unknown key or a wrong kind passed the schema: {said}");
            }
            _ => {}
        }
        broken += usize::from(said.is_some());
    }
    println!("the reader alone: {alone:#?}");
    assert!(alone.values().sum::<usize>() < 100, "{alone:#?}");
}

#[test]
fn every_key_of_the_schema_has_been_shown_and_is_told_of() {
    fn walk(value: &Value, at: &str, bare: &mut Vec<String>) {
        if let Some(keys) = value.get("properties").and_then(Value::as_object) {
            for (key, inner) in keys.iter().filter(|(_, inner)| inner.is_object()) {
                let shown = ["$ref", "anyOf", "type"].iter().any(|word| inner.get(word).is_some());
                let said = inner.get("$ref").is_some()
                    || inner.get("description").is_some()
                    || inner.get("items").is_some();
                if !shown || !(said || inner.get("enum").is_some()) {
                    bare.push(format!("{at}/{key}"));
                }
            }
        }
        match value {
            Value::Object(keys) => {
                for (key, inner) in keys {
                    walk(inner, &format!("{at}/{key}"), bare);
                }
            }
            Value::Array(items) => items.iter().for_each(|inner| walk(inner, at, bare)),
            _ => {}
        }
    }
    for of in ["course", "items"] {
        let mut bare = Vec::new();
        walk(&schema(of), "", &mut bare);
        bare.retain(|at| !at.contains("/if/"));
        assert!(bare.is_empty(), "no example shows {bare:?}");
    }
}

#[test]
fn a_first_course_and_the_examples_name_the_schema_that_lies_beside_them() {
    let (bench, line) = (Bench::with_course(""), "# yaml-language-server: $schema=course.schema.json\n");
    bench.run(&["begin", "first", "--nothing-asked"]);
    let (file, text) = ["first/course.schema.json", "first/course.yaml"]
        .map(|name| fs::read_to_string(bench.path(name)).expect("it is written"))
        .into();
    let said = bench.run(&["schema"]).out;
    assert_eq!(file, said);
    assert!(text.starts_with(line));
    for name in ["quarry-day", "hill-club-weekend", "six-slope-saturday", "two-day-camp"] {
        assert!(fs::read_to_string(in_the_house(&format!("courses/{name}.yaml"))).unwrap().starts_with(line));
    }
    let beside = fs::read_to_string(in_the_house("courses/course.schema.json")).unwrap();
    assert!(beside == said, "write it anew: cargo run -- schema > courses/course.schema.json");
}

#[test]
fn the_programs_own_items_satisfy_their_schema_and_broken_ones_do_not() {
    let judge = Judge::new(&schema("items"));
    for (name, text) in slopepack::paper::embedded() {
        let items = held(text);
        assert_eq!(judge.why(&items), None, "{name}");
        for key in ["id", "source", "ask", "level"] {
            let mut broken = items.clone();
            broken["items"][0].as_object_mut().unwrap().remove(key);
            assert!(judge.why(&broken).is_some() && read_bank(&broken.to_string()).is_err(), "{name}: {key}");
        }
    }
}
