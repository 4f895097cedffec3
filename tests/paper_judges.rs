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

/// Two forms with as many questions in common as there are places in this list: the second is the first with the
/// questions of the other form elsewhere.
fn sharing(places: &[usize]) -> [Form; 2] {
    let (one, other) = (&forms()[0], &forms()[1]);
    let at = |form: &Form, slot: usize| form.questions.iter().find(|one| one.slot == slot).unwrap().clone();
    let own = |slot: usize| at(if places.contains(&slot) { one } else { other }, slot);
    let mixed = Form { code: other.code.clone(), questions: (0..other.questions.len()).map(own).collect() };
    [one.clone(), mixed]
}

/// Sittings of these forms in turn, each candidate a little better than the one before.
fn sat(forms: &[Form; 2], each: usize) -> Marked {
    let head = slopepack::paper::answer_form(forms).lines().next().unwrap().to_owned();
    let count = forms[0].questions.len();
    let rows = (0..2 * each).map(|at| answers(&forms[at % 2], at, 8 + (at * 7) % (count - 8)));
    let text: Vec<String> = std::iter::once(head).chain(rows).collect();
    mark(&read_answers(text.join("\n").as_bytes()), forms).unwrap()
}

#[test]
fn forms_are_compared_only_where_enough_sat_them_and_why_not_is_said() {
    let shared: Vec<usize> = (0..12).collect();
    let forms = sharing(&shared);
    assert!(equated(&sat(&forms, 24), &forms, 0).is_none(), "the first form is the one compared with");
    for each in [5, 24, 49] {
        let Some(Equated::Not(why)) = equated(&sat(&forms, each), &forms, 1) else {
            panic!("equated by {each}")
        };
        assert!(why.contains(&format!("{each} candidates")) && why.contains("no adjustment made"), "{why}");
    }
    let few = sharing(&[0, 1, 2]);
    let Some(Equated::Not(why)) = equated(&sat(&few, 60), &few, 1) else {
        panic!("equated by three questions")
    };
    // What these two forms share by themselves counts as well.
    let tasks = |form: &Form| -> std::collections::BTreeSet<String> {
        form.questions.iter().map(|one| one.variant.task().to_owned()).collect()
    };
    let common = tasks(&few[0]).intersection(&tasks(&few[1])).count();
    assert!((3..5).contains(&common) && why.contains(&format!("{common} questions in common")), "{why}");
}

/// Worked afresh from each candidate's marks, with sums of products in place of deviations and a correlation: Tucker's
/// line takes marks of a form to marks of the first, both groups weighted by their size (M. J. Kolen and
/// R. L. Brennan, Test Equating, Scaling, and Linking, ch. 4).
#[test]
fn forms_that_enough_candidates_sat_are_compared_as_an_independent_calculation_does() {
    let shared: Vec<usize> = (0..12).collect();
    let forms = sharing(&shared);
    let marked = sat(&forms, 60);
    let tasks: Vec<&str> = forms[0]
        .questions
        .iter()
        .map(|one| one.variant.task())
        .filter(|task| forms[1].questions.iter().any(|other| other.variant.task() == *task))
        .collect();
    assert_eq!(tasks.len(), 12);
    // Moments of a group: count, Σx, Σv, Σxx, Σvv, Σxv, of totals x and marks v on what is common.
    let sums = |form: usize| {
        let mut sums = [0.0; 6];
        for sitting in marked.sittings.iter().filter(|one| one.form == form) {
            let marks = |of: &dyn Fn(&str) -> bool| -> f64 {
                let all = forms[form].questions.iter().zip(&sitting.judged);
                all.filter(|(one, _)| of(one.variant.task())).map(|(_, judged)| f64::from(judged.marks)).sum()
            };
            let (x, v) = (marks(&|_| true), marks(&|task| tasks.contains(&task)));
            for (sum, value) in sums.iter_mut().zip([1.0, x, v, x * x, v * v, x * v]) {
                *sum += value;
            }
        }
        sums
    };
    let of = |[n, x, v, xx, vv, xv]: [f64; 6]| {
        let (mx, mv) = (x / n, v / n);
        let each = |sum: f64, a: f64, b: f64| (sum - n * a * b) / (n - 1.0);
        (n, mx, mv, each(xx, mx, mx), each(vv, mv, mv), each(xv, mx, mv))
    };
    let (n, mx, mu, sx, su, cxu) = of(sums(1));
    let (m, my, mv, sy, sv, cyv) = of(sums(0));
    assert_eq!((n, m), (60.0, 60.0));
    let (w, z) = (n / (n + m), m / (n + m));
    let (gx, gy) = (cxu / su, cyv / sv);
    let together_x = mx - z * gx * (mu - mv);
    let together_y = my + w * gy * (mu - mv);
    let spread_x = sx - z * gx * gx * (su - sv) + w * z * gx * gx * (mu - mv) * (mu - mv);
    let spread_y = sy + w * gy * gy * (su - sv) + w * z * gy * gy * (mu - mv) * (mu - mv);
    let line = (spread_y / spread_x).sqrt();
    let Some(Equated::Line { slope, intercept, common }) = equated(&marked, &forms, 1) else {
        panic!("sixty candidates and twelve questions are enough")
    };
    assert_eq!(common, 12);
    assert!((slope - line).abs() < 1e-9, "{slope} against {line}");
    assert!((intercept - (together_y - line * together_x)).abs() < 1e-9, "{intercept}");
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
