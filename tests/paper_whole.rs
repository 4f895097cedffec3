//! Theory and practical in one result, and a file of feedback for each candidate.

use slopepack::paper::results::overall::Part;
use slopepack::paper::results::whole::{WHOLE, wholes, wholes_csv};
use slopepack::paper::{FeedbackSheets, Issue, ResultSheet, Results, Terms, read_practicals};

use crate::paper_forms::two_hundred;
use crate::paper_marking::forms;
use crate::paper_results::crowd;

#[test]
fn neither_part_makes_up_for_the_other() {
    use Part::{NotKeyed, NotPassed, Open, Passed};
    for (theory, practical, whole) in [
        (Passed, Passed, Passed),
        (Passed, NotPassed, NotPassed),
        (NotPassed, Passed, NotPassed),
        (NotPassed, Open, NotPassed),
        (Open, NotPassed, NotPassed),
        (Passed, Open, Open),
        (Open, Passed, Open),
        (Passed, NotKeyed, Open),
        (NotKeyed, Passed, Open),
        (NotKeyed, NotPassed, NotPassed),
    ] {
        assert_eq!(theory.with(practical), whole, "{theory:?} and {practical:?}");
    }
}

#[test]
fn theory_and_practical_stand_side_by_side_with_the_rule_beside_them() {
    let drawn = two_hundred();
    let terms = Terms::of(&drawn.course);
    let (_, marked) = crowd(12);
    // The record's word counts; where there is none, the assessor's, and a borderline run stays open.
    let text = "candidate,marks,overall,result\n1,34,borderline,passed\n2,20,fail,\n3,30,borderline,\n4,36,pass,\n\
                99,33,pass,not passed\n5,31,pass,maybe\n";
    let read = read_practicals(text.as_bytes());
    assert_eq!(read.problems.len(), 1, "{:?}", read.problems);
    let all = wholes(&marked, forms(), &terms, &read.rows);
    let practical = |candidate: &str| {
        let found: Vec<Part> =
            all.iter().filter(|one| one.candidate == candidate).map(|one| one.practical).collect();
        assert_eq!(found.len(), 1, "{candidate}");
        found[0]
    };
    assert_eq!(practical("1"), Part::Passed);
    assert_eq!(practical("2"), Part::NotPassed);
    assert_eq!(practical("3"), Part::Open);
    assert_eq!(practical("4"), Part::Passed);
    assert_eq!(practical("5"), Part::NotKeyed);
    let stranger = all.iter().find(|one| one.candidate == "99").unwrap();
    assert_eq!((stranger.theory, stranger.result()), (Part::NotKeyed, Part::NotPassed));
    let pass = terms.pass;
    for (one, sitting) in all.iter().zip(&marked.sittings) {
        assert_eq!(one.theory == Part::Passed, sitting.total() >= pass, "{}", one.candidate);
    }
    let csv = wholes_csv(&all);
    assert!(csv.starts_with("candidate,name,theory,practical,whole\r\n"), "{csv}");
    assert!(csv.contains("99,,not keyed,not passed,not passed"), "{csv}");
    let issue = Issue { course: &drawn.course, fingerprint: "0000-0000" };
    let results = Results::of(&marked, forms(), &terms);
    let sheet =
        serde_json::to_value(ResultSheet::of(&issue, &terms, (&marked, forms()), &results, &all)).unwrap();
    assert_eq!(sheet["wholes"].as_array().unwrap().len(), all.len());
    assert_eq!(sheet["rule"], WHOLE);
    // Of twelve nobody can say how well the paper holds together.
    let facts = sheet["facts"].to_string();
    assert_eq!(facts.matches("too few to say (under 30 candidates)").count(), 3, "{facts}");
}

#[test]
fn the_feedback_of_a_candidate_holds_nobody_else() {
    let drawn = two_hundred();
    let (_, marked) = crowd(6);
    let issue = Issue { course: &drawn.course, fingerprint: "0000-0000" };
    for sitting in &marked.sittings {
        let sheet = FeedbackSheets::of(&issue, &Terms::of(&drawn.course), sitting, forms());
        let sheet = serde_json::to_value(sheet).unwrap();
        let sheets = sheet["sheets"].as_array().unwrap();
        assert_eq!(sheets.len(), 1);
        assert_eq!(sheets[0]["candidate"], sitting.candidate.as_str());
    }
}
