//! Judges' sheets, borderline groups, comparison of forms, lists of candidates, papers for a screen: read, worked out
//! and printed.

use slopepack::paper::results::equate::{Equated, equated};
use slopepack::paper::results::judges::away;
use slopepack::paper::{
    Body, Form, InvigilationSheet, Marked, Overall, Standard, Terms, cut, judges_form, key_json, mark,
    paper_json, read_answers, read_candidates, read_judgements, read_practicals,
};

use crate::paper_forms::{issue, two_hundred};

fn forms() -> &'static [Form] {
    &two_hundred().forms[..2]
}

/// Nobody sat these papers.
fn unsat() -> Marked {
    Marked { sittings: Vec::new(), unmarked: Vec::new(), problems: Vec::new() }
}

fn rows(judges: &[(&str, usize, f64)]) -> String {
    let form = &forms()[0];
    let head = judges_form(forms()).lines().next().unwrap().to_owned();
    let row = |(judge, round, share): &(&str, usize, f64)| {
        format!("{},{judge},{round}{}", form.code, format!(",{share}").repeat(form.questions.len()))
    };
    std::iter::once(head).chain(judges.iter().map(row)).collect::<Vec<_>>().join("\n")
}

/// Own judges: shares of 60, 65, 70, 75, 80 % on every question of 53 marks, so sums of 31.8 … 42.4; mean 37.1,
/// deviation 53 · 0.0790569 = 4.19002, error 4.19002 / √5 = 1.87383, band 37.1 ± 2.776445 · 1.87383 (worked by hand).
#[test]
fn a_panel_comes_to_a_cut_with_its_band_for_each_round() {
    let text = rows(&[
        ("A", 1, 20.0),
        ("B", 1, 90.0),
        ("A", 2, 60.0),
        ("B", 2, 65.0),
        ("C", 2, 70.0),
        ("D", 2, 75.0),
        ("E", 2, 80.0),
    ]);
    let read = read_judgements(text.as_bytes(), forms());
    assert!(read.problems.is_empty(), "{:?}", read.problems);
    let found = Standard::all(&read.rows, forms(), &unsat());
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].rounds.iter().map(|round| round.number).collect::<Vec<_>>(), [1, 2]);
    let total = f64::from(forms()[0].total());
    let panel = &found[0].last().panel;
    assert!((panel.cut - 0.70 * total).abs() < 1e-9);
    assert!((panel.deviation - 0.079_056_94 * total).abs() < 1e-6);
    let half = 2.776_445 * 0.079_056_94 * total / 5.0_f64.sqrt();
    assert!((panel.band.1 - panel.cut - half).abs() < 1e-5);
}

/// Own judges of ten questions, round 1: judge 3 (8.45) against 6.70, 6.65, 6.05, 7.00, whose mean is 6.60 and
/// deviation 0.397911: 4.6493 (recomputed independently).
#[test]
fn a_judge_far_from_the_others_is_seen() {
    let sums = [6.70, 6.65, 8.45, 6.05, 7.00];
    assert!((away(&sums, 2).unwrap() - 4.6493).abs() < 1e-4);
    assert!(away(&sums[..3], 2).is_none(), "two others have no deviation to go by");
}

#[test]
fn a_lost_cell_of_a_judge_is_named_and_the_row_counts_nowhere() {
    let good = rows(&[("A", 1, 60.0), ("B", 1, 70.0)]);
    let lost = good.replacen(",60,", ",,", 1).replacen(",70,", ",170,", 1);
    let read = read_judgements(lost.as_bytes(), forms());
    assert!(read.rows.is_empty());
    let said: Vec<String> = read.problems.iter().map(|problem| problem.message.clone()).collect();
    assert!(said.iter().any(|one| one.contains("question 1: `` is no share")), "{said:?}");
    assert!(said.iter().any(|one| one.contains("question 1: `170` is no share")), "{said:?}");
    let twice = rows(&[("A", 1, 60.0), ("A", 1, 70.0)]);
    assert_eq!(read_judgements(twice.as_bytes(), forms()).problems.len(), 1);
    let blank = judges_form(forms());
    assert!(read_judgements(blank.as_bytes(), forms()).problems.is_empty(), "the blank form is no fault");
}

/// Borderline marks 21 23 24 24 26 27 33: median 24, mean 25.4286 (worked by hand); others do not count.
#[test]
fn the_borderline_group_of_the_practical_has_its_cut() {
    let text = "candidate;marks;overall\n1;21;borderline\n2;23;Borderline\n3;24;borderline\n4;24;borderline\n5;26;borderline\n6;27;borderline\n7;33;borderline\n8;40;pass\n9;10;fail\n10;x;pass\n11;30;maybe\n";
    let read = read_practicals(text.as_bytes());
    assert_eq!(read.rows.len(), 9);
    assert_eq!(read.problems.len(), 2, "{:?}", read.problems);
    assert_eq!(read.rows[7].overall, Overall::Pass);
    let (median, mean, count) = cut(&read.rows).unwrap();
    assert!((median - 24.0).abs() < 1e-9 && (mean - 25.428_571).abs() < 1e-5 && count == 7);
}

/// Candidates who answer the first `right` questions of a form correctly.
fn answers(form: &Form, number: usize, right: usize) -> String {
    let key = |at: usize| {
        let question = &form.questions[at];
        if at >= right {
            return String::new();
        }
        match &question.body {
            Body::Number(number) => format!("{} {}", number.key.text, number.unit.symbol),
            _ => question.key_text(),
        }
    };
    let cells: Vec<String> = (0..form.questions.len()).map(key).collect();
    format!("{},{number},,{}", form.code, cells.join(","))
}

#[test]
fn forms_are_compared_only_where_enough_sat_them_and_why_not_is_said() {
    let (one, other) = (&forms()[0], &forms()[1]);
    let sat = |each: usize| -> Marked {
        let head = slopepack::paper::answer_form(forms()).lines().next().unwrap().to_owned();
        let count = one.questions.len();
        let rows = (0..2 * each)
            .map(|at| answers(if at % 2 == 0 { one } else { other }, at, 8 + (at * 7) % (count - 8)));
        let text: Vec<String> = std::iter::once(head).chain(rows).collect();
        mark(&read_answers(text.join("\n").as_bytes()), forms()).unwrap()
    };
    assert!(equated(&sat(24), forms(), 0).is_none(), "the first form is the one compared with");
    for each in [5, 24, 49] {
        let Some(Equated::Not(why)) = equated(&sat(each), forms(), 1) else { panic!("equated by {each}") };
        assert!(why.contains(&format!("{each} candidates")) && why.contains("no adjustment made"), "{why}");
    }
    match equated(&sat(60), forms(), 1).unwrap() {
        Equated::Line { slope, common, .. } => assert!(slope.is_finite() && slope > 0.0 && common >= 5),
        Equated::Not(why) => assert!(why.contains("questions in common"), "{why}"),
    }
}

#[test]
fn candidates_have_their_adjustments_on_the_invigilators_sheet() {
    let text = "candidate,name,extra time,reader,large print,tint\n17,A. B.,25 %,yes,,x\n18,C. D.,,,,\n";
    let list = read_candidates(text.as_bytes());
    assert!(list.problems.is_empty(), "{:?}", list.problems);
    let drawn = two_hundred();
    let sheet = serde_json::to_value(InvigilationSheet::of(&issue(drawn), &list.rows, forms())).unwrap();
    let row = &sheet["rows"][0];
    assert_eq!(row["number"], "17");
    assert_eq!(row["paper"], forms()[0].code.as_str());
    // 75 minutes and a quarter more are 93.75: rounded up.
    assert_eq!(row["time"], "94 min");
    assert_eq!(row["adjustments"], "25 % more time, reader, tinted paper");
    assert_eq!(sheet["rows"][1]["paper"], forms()[1].code.as_str(), "neighbours have different papers");
    let bad = read_candidates(b"candidate,extra time,reader\n1,a lot,\n2,,perhaps\n3,,\n3,,\n");
    assert_eq!(bad.problems.len(), 3, "{:?}", bad.problems);
}

#[test]
fn papers_for_a_screen_hold_no_key_and_keys_hold_every_answer() {
    let drawn = two_hundred();
    let terms = Terms::of(&drawn.course);
    for form in forms() {
        let paper = paper_json(form, &terms);
        let read: serde_json::Value = serde_json::from_str(&paper).unwrap();
        assert_eq!(read["format"], 1);
        assert_eq!(read["questions"].as_array().unwrap().len(), form.questions.len());
        let keys: serde_json::Value = serde_json::from_str(&key_json(form)).unwrap();
        for (question, key) in form.questions.iter().zip(keys["questions"].as_array().unwrap()) {
            assert!(!paper.contains(&question.variant.feedback), "{}", question.variant.name);
            assert_eq!(key["marks"], question.marks);
            match &question.body {
                Body::Number(number) => {
                    assert_eq!(key["key"], number.key.text.as_str());
                    assert!(!paper.contains(&format!("\"{}\"", number.key.text)), "{}", number.key.text);
                }
                Body::Choice(_) => assert_eq!(key["key"], question.key_text().as_str()),
                Body::Truth { holds, .. } => assert_eq!(key["holds"], *holds),
                Body::Order { .. } => {
                    let orders = key["keys"].as_array().unwrap();
                    assert!(orders.iter().any(|one| one == question.key_text().as_str()));
                }
            }
        }
    }
}
