//! The form of a course file and of a file of items as JSON Schema (2020-12), for editors and other programs.
//!
//! Nothing of it is typed a second time. The readers read examples that show every key, and leave behind what
//! they asked for: which keys, which of them are needed, as what each value is read, within which bounds. What a
//! key means is taken from the words that stand beside it in the first of the examples. So a schema cannot say
//! other than the reader; what an example does not show, a test finds.
//!
//! A schema says less than the reader knows: not that a name refers to something, that a quantity lies within its
//! bounds once it carries a unit, nor that two values go together.
//!
//! ```
//! let course = include_str!("../../courses/quarry-day.yaml");
//! let schema = slopepack::course::schema::of_courses(&[course]);
//! assert_eq!(schema["properties"]["day"]["required"], serde_json::json!(["runs", "run-gap"]));
//! ```

mod object;
mod scalar;
mod shape;
mod told;

use serde_json::{Map, Value, json};

use super::cursor::{Field, Log, Read};
use super::{read, tree};
use scalar::Defs;
use shape::Shape;

/// The schema of a course file, from courses that show what can be said. The first tells what its keys mean.
pub fn of_courses(samples: &[&str]) -> Value {
    written(samples, "A course: the ground, the vehicles, the people and the day", read::course)
}

/// The schema of a file of items for question papers, from files that show what can be said.
pub fn of_items(samples: &[&str]) -> Value {
    written(samples, "Items for question papers", read::bank)
}

fn written<T>(samples: &[&str], title: &str, reader: impl Fn(&Field) -> Read<T>) -> Value {
    let mut whole = Shape::default();
    for (number, sample) in samples.iter().enumerate() {
        let Ok((root, _)) = tree::parse(sample) else { continue };
        let log = Log::asking();
        // What is amiss with an example is a test's to find.
        let _ = reader(&Field::root(&root, &log));
        if let Some(asked) = log.asked() {
            whole.add(&root, asked, (number == 0).then_some(*sample));
        }
    }
    let mut defs = Defs::default();
    let Value::Object(body) = object::value(&whole, &mut defs) else { return json!(true) };
    let mut schema = Map::new();
    schema.insert("$schema".to_owned(), json!("https://json-schema.org/draft/2020-12/schema"));
    schema.insert("title".to_owned(), json!(title));
    schema.extend(body);
    schema.insert("$defs".to_owned(), defs.written());
    Value::Object(schema)
}
