//! What was printed stays what is marked: the sealed record, and nothing else.

use slopepack::paper::results::results_csv;
use slopepack::paper::{Form, Origin, Record, Source, Terms, Unsound, mark, read_answers};

use crate::paper_forms::{draw, two_hundred};
use crate::paper_results::crowd_of;

fn origin(seed: u64) -> Origin {
    let sources = vec![Source { file: "day.yaml".into(), sha256: "00".into() }];
    Origin { version: "0.1.0".into(), seed, seed_was_given: false, sources }
}

fn sealed(count: usize) -> (Vec<Form>, Record) {
    let drawn = two_hundred();
    let mut forms = drawn.forms[..count].to_vec();
    let record = Record::seal(&mut forms, Terms::of(&drawn.course), origin(20_260));
    (forms, record)
}

#[test]
fn thirty_candidates_marked_from_the_record_alone_get_the_same_marks() {
    let (forms, record) = sealed(3);
    let (answers, before) = crowd_of(30, &forms);
    // Course, items and seed are gone: only the file is left.
    let read = Record::read(record.to_json().as_bytes()).unwrap();
    let after = mark(&read_answers(answers.as_bytes()), &read.forms().unwrap()).unwrap();
    assert_eq!(before.sittings.len(), 30);
    for (one, other) in before.sittings.iter().zip(&after.sittings) {
        assert_eq!(one.judged, other.judged, "{}", one.candidate);
    }
    let terms = Terms::of(&two_hundred().course);
    assert_eq!(
        results_csv(&before, &forms, &terms),
        results_csv(&after, &read.forms().unwrap(), &read.terms)
    );
}

#[test]
fn any_change_of_a_record_is_noticed() {
    let (_, record) = sealed(2);
    let json = record.to_json();
    let changes = [
        ("pass mark", "\"pass\": 38", "\"pass\": 37"),
        ("a key", "\"accept\": [", "\"accept\": [0.1,"),
        ("a claim", "\"holds\": false", "\"holds\": true"),
        ("marks of a question", "\"marks\": 3", "\"marks\": 4"),
        ("seed", "\"seed\": 20260", "\"seed\": 20261"),
        ("a source", "\"sha256\": \"00\"", "\"sha256\": \"01\""),
    ];
    for (what, from, to) in changes {
        let changed = json.replacen(from, to, 1);
        assert_ne!(changed, json, "{what} stands in the record");
        assert!(Record::read(changed.as_bytes()).is_err(), "{what} was changed");
    }
    // The right option and a wrong one change places: the file still reads, the digest does not hold.
    let mut value: serde_json::Value = serde_json::from_str(&json).unwrap();
    let options = value["forms"][0]["questions"]
        .as_array_mut()
        .unwrap()
        .iter_mut()
        .find_map(|question| question["answer"]["options"].as_array_mut())
        .unwrap();
    options.swap(0, 1);
    assert!(matches!(Record::read(value.to_string().as_bytes()), Err(Unsound::Changed(_))));
    // A form of another record, with the code it was sealed with there.
    let mut value: serde_json::Value = serde_json::from_str(&json).unwrap();
    let forms = value["forms"].as_array_mut().unwrap();
    forms.remove(1);
    assert!(matches!(Record::read(value.to_string().as_bytes()), Err(Unsound::Changed(_))));
    assert!(matches!(Record::read(b"{\"format\": 1}"), Err(Unsound::Unreadable(_))));
}

#[test]
fn the_code_holds_what_is_marked_and_the_secret_seed() {
    let drawn = draw(20_260, 2);
    let terms = Terms::of(&drawn.course);
    let codes = |terms: &Terms, seed: u64| -> Vec<String> {
        let mut forms = drawn.forms.clone();
        Record::seal(&mut forms, terms.clone(), origin(seed));
        forms.into_iter().map(|form| form.code).collect()
    };
    let first = codes(&terms, 1);
    assert_eq!(first, codes(&terms, 1));
    assert_ne!(first, codes(&terms, 2), "without the seed nobody can try out keys against a code");
    assert_ne!(
        first,
        codes(&Terms { pass: terms.pass - 1, ..terms.clone() }, 1),
        "the pass mark is in the code"
    );
}
