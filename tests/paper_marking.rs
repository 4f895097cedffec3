//! Marking: slips follow through, other units count, broken rows spoil nothing but themselves.

use std::fmt::Write as _;
use std::path::Path;
use std::process::Command;
use std::time::Instant;

use slopepack::paper::results::{answers_csv, results_csv, to_judge_csv};
use slopepack::paper::{
    Body, FeedbackSheets, Form, Issue, Marked, Moderation, Outcome, Question, Results, SchemeSheet, Stuff,
    judge, letter, mark, read_pairs, read_rows,
};
use slopepack::print::Templates;
use slopepack::problem::render_problems;
use slopepack::quantity::units;

use crate::paper_forms::two_hundred;

fn forms() -> &'static [Form] {
    &two_hundred().forms[..3]
}

/// Some question answered with a number in this unit.
fn number_in(unit: &str) -> &'static Question {
    let question = two_hundred().families.iter().find_map(|family| {
        let variant = family
            .variants
            .iter()
            .find(|variant| matches!(&variant.stuff, Stuff::Number(number) if number.unit.symbol == unit))?;
        let Stuff::Number(number) = &variant.stuff else { return None };
        Some(Question {
            slot: 0,
            topic: family.topic,
            level: family.level,
            marks: family.marks,
            variant: variant.clone(),
            body: Body::Number(number.clone()),
        })
    });
    Box::leak(Box::new(question.unwrap_or_else(|| panic!("a question in {unit}"))))
}

fn number(question: &Question) -> &slopepack::paper::Number {
    let Body::Number(number) = &question.body else { panic!("a number") };
    number
}

#[test]
fn the_key_itself_gets_full_marks_on_every_question() {
    for question in two_hundred().forms.iter().flat_map(|form| &form.questions) {
        let judged = judge(question, &question.key_text());
        assert_eq!(
            (judged.marks, judged.outcome),
            (question.marks, Outcome::Right),
            "{} {}",
            question.variant.name,
            question.key_text()
        );
    }
}

#[test]
fn a_slip_gets_its_follow_through_marks_and_its_sentence() {
    let mut checked = 0;
    for question in two_hundred().forms.iter().take(40).flat_map(|form| &form.questions) {
        let Body::Number(number) = &question.body else { continue };
        for slip in &number.slips {
            let judged = judge(question, &slip.wrong.text);
            let unit = u16::from(number.unit_mark);
            assert_eq!(judged.marks, slip.marks + unit, "{}: {:?}", question.variant.name, slip.wrong);
            assert_eq!((judged.outcome, judged.why.as_str()), (Outcome::Slip, slip.wrong.why.as_str()));
            assert_eq!(judged.drawn, slip.wrong.id);
            checked += 1;
        }
    }
    assert!(checked > 300, "{checked}");
}

#[test]
fn a_left_out_transfer_ratio_earns_one_of_three_and_the_scheme_says_so() {
    let drawn = two_hundred();
    let family = drawn.families.iter().find(|family| family.id == "overall-ratio/number").unwrap();
    let variant = family
        .variants
        .iter()
        .find(|v| v.data.iter().any(|(name, value)| name == "transfer case ratio" && value.v != "1.00"))
        .unwrap();
    let Stuff::Number(number) = &variant.stuff else { panic!("a number") };
    let question = Question {
        slot: 0,
        topic: family.topic,
        level: family.level,
        marks: family.marks,
        variant: variant.clone(),
        body: Body::Number(number.clone()),
    };
    let slip = number.slips.iter().find(|slip| slip.wrong.id == "no-transfer").unwrap();
    let judged = judge(&question, &slip.wrong.text);
    assert_eq!((judged.marks, question.marks), (1, 3));
    assert_eq!(judged.why, "left the transfer case out");
    let form = Form { code: "TEST".into(), questions: vec![question] };
    let issue = Issue { course: &drawn.course, fingerprint: "0000-0000" };
    let scheme = Templates::embedded()
        .unwrap()
        .render("mark-scheme.typ.j2", &SchemeSheet::of(&issue, &form))
        .unwrap()
        .text;
    assert!(
        scheme.contains(&slip.wrong.text)
            && scheme.contains("left the transfer case out")
            && scheme.contains("1 of 3")
    );
}

#[test]
fn another_accepted_unit_gets_full_marks() {
    let convert = |question: &Question, unit: &'static slopepack::quantity::Unit, digits: usize| {
        let value = unit.from_si(number(question).unit.to_si(number(question).key.value));
        format!("{value:.digits$} {}", unit.symbol)
    };
    let force = number_in("kN");
    assert_eq!(judge(force, &convert(force, &units::NEWTON, 0)).marks, force.marks);
    assert_eq!(judge(force, &convert(force, &units::POUND_FORCE, 0)).marks, force.marks);
    let energy = number_in("kJ");
    assert_eq!(judge(energy, &convert(energy, &units::JOULE, 0)).marks, energy.marks);
    let length = number_in("m");
    assert_eq!(judge(length, &convert(length, &units::CENTIMETRE, 1)).marks, length.marks);
    assert_eq!(judge(length, &convert(length, &units::FOOT, 3)).marks, length.marks);
    assert_eq!(judge(length, &format!("{} metres", number(length).key.text)).marks, length.marks);
    // A decimal comma is a decimal point.
    let comma = number(length).key.text.replace('.', ",");
    if number(length).key.text.split('.').nth(1).is_some_and(|part| part.len() != 3) {
        assert_eq!(judge(length, &format!("{comma} m")).marks, length.marks);
    }
}

#[test]
fn a_missing_unit_costs_what_the_scheme_says() {
    let question = number_in("kN");
    let key = &number(question).key.text;
    let judged = judge(question, key);
    assert_eq!((judged.marks, judged.why.as_str()), (question.marks - 1, "the unit is missing"));
    let judged = judge(question, &format!("{key} kg"));
    assert_eq!((judged.marks, judged.why.as_str()), (question.marks - 1, "the unit is of another kind"));
    let scheme = slopepack_scheme(question);
    assert!(scheme.contains("Without a unit the value is taken in this one"), "{scheme}");
    let slip = &number(question).slips[0];
    let bare = slip.wrong.text.split_whitespace().next().unwrap();
    assert_eq!(judge(question, bare).marks, slip.marks, "the slip without its unit");
}

fn slopepack_scheme(question: &Question) -> String {
    let drawn = two_hundred();
    let form = Form { code: "TEST".into(), questions: vec![question.clone()] };
    let issue = Issue { course: &drawn.course, fingerprint: "0000-0000" };
    Templates::embedded().unwrap().render("mark-scheme.typ.j2", &SchemeSheet::of(&issue, &form)).unwrap().text
}

#[test]
fn letters_orders_and_reasons_are_read_as_people_key_them() {
    let all = || two_hundred().forms.iter().flat_map(|form| &form.questions);
    let choice = all().find(|question| matches!(question.body, Body::Choice(_))).unwrap();
    let key = choice.key_text();
    for typed in [key.to_lowercase(), format!("({key})"), format!(" {key}. "), format!("{key})")] {
        assert_eq!(judge(choice, &typed).marks, 1, "{typed}");
    }
    for typed in ["AB", "A or B", "E", "?", "maybe"] {
        assert_eq!(judge(choice, typed).outcome, Outcome::Unclear, "{typed}");
    }
    assert_eq!(judge(choice, " ").outcome, Outcome::Blank);
    let wrong = (0..4).find(|at| letter(*at).to_string() != key).unwrap();
    let judged = judge(choice, &letter(wrong).to_string());
    assert!(judged.marks == 0 && judged.outcome == Outcome::Slip && !judged.why.is_empty());

    let order = all().find(|question| matches!(question.body, Body::Order { .. })).unwrap();
    let key: Vec<char> = order.key_text().chars().collect();
    let spaced = key.iter().map(char::to_string).collect::<Vec<_>>().join(" → ");
    assert_eq!(judge(order, &spaced.to_lowercase()).marks, 2);
    let mut exchanged = key.clone();
    exchanged.swap(0, 1);
    assert_eq!(judge(order, &exchanged.iter().collect::<String>()).marks, 1);
    let mut other = key.clone();
    other.swap(0, key.len() - 1);
    assert_eq!(judge(order, &other.iter().collect::<String>()).marks, 0);
    assert_eq!(judge(order, "AAB").outcome, Outcome::Unclear);

    let truth = all().find(|question| matches!(question.body, Body::Truth { .. })).unwrap();
    let key = truth.key_text();
    let (said, reason) = key.split_once(' ').unwrap();
    let word = if said == "T" { "true" } else { "false" };
    for typed in
        [format!("{said}{reason}"), format!("{word}, {reason}"), format!("{said}-{reason}").to_lowercase()]
    {
        assert_eq!(judge(truth, &typed).marks, 2, "{typed}");
    }
    assert_eq!(judge(truth, said).marks, 1);
    assert_eq!(judge(truth, if said == "T" { "F A" } else { "T A" }).marks, 0);
    assert_eq!(judge(truth, "X A").outcome, Outcome::Unclear);
}

#[test]
fn a_persons_marks_are_taken_as_they_are() {
    let question = number_in("kN");
    assert_eq!(judge(question, "judged 2").marks, 2);
    assert_eq!(judge(question, "Judged: 0").outcome, Outcome::ByPerson);
    assert_eq!(judge(question, "judged 9").outcome, Outcome::Unclear);
}

/// A file in which everybody answers the key, with the mark between fields and the line end given.
fn keyed(forms: &[Form], mark: char, end: &str) -> String {
    let count = forms[0].questions.len();
    let sep = mark.to_string();
    let mut lines = vec![
        ["paper".to_owned(), "candidate".to_owned(), "name".to_owned()]
            .into_iter()
            .chain((1..=count).map(|no| format!("q{no}")))
            .collect::<Vec<_>>()
            .join(&sep),
    ];
    for (at, form) in forms.iter().enumerate() {
        let row = [form.code.clone(), format!("{}", at + 1), format!("\"Driver {mark} {at}\"")];
        lines.push(
            row.into_iter()
                .chain(form.questions.iter().map(Question::key_text))
                .collect::<Vec<_>>()
                .join(&sep),
        );
    }
    lines.join(end) + end
}

#[test]
fn any_spreadsheets_file_marks_alike() {
    let totals = |bytes: &[u8]| -> Vec<u16> {
        let marked = mark(&read_rows(bytes), forms()).unwrap();
        assert!(marked.problems.is_empty(), "{:?}", marked.problems);
        marked.sittings.iter().map(slopepack::paper::Sitting::total).collect()
    };
    let full = vec![forms()[0].total(); 3];
    assert_eq!(totals(keyed(forms(), ',', "\n").as_bytes()), full);
    assert_eq!(totals(format!("\u{feff}{}", keyed(forms(), ';', "\r\n")).as_bytes()), full);
    assert_eq!(totals(keyed(forms(), '\t', "\r").as_bytes()), full);
    // As an old spreadsheet writes it: one byte a letter, and no minus sign or degree beyond those.
    let latin: Vec<u8> = keyed(forms(), ';', "\r\n")
        .replace("Driver", "Fahrer Jürgen")
        .chars()
        .map(|c| u8::try_from(u32::from(c)).unwrap_or(b'?'))
        .collect();
    assert_eq!(totals(&latin), full);
}

#[test]
fn broken_rows_are_reported_in_place_and_the_others_marked() {
    let good = keyed(forms(), ',', "\n");
    let mut lines: Vec<String> = good.lines().map(str::to_owned).collect();
    let codes: Vec<String> = forms().iter().map(|form| form.code.clone()).collect();
    lines.push(format!("{}x,7,nobody,A", &codes[0][..codes[0].len() - 1]));
    lines.push(format!("{},,nameless,A,B", codes[0]));
    lines.push(format!("{},8,\"unclosed,A", codes[0]));
    lines.push(format!("{},9,shifted{}", codes[0], ",A".repeat(forms()[0].questions.len() + 3)));
    lines.push(format!("{},1,twice,A", codes[1]));
    let text = lines.join("\n");
    let table = read_rows(text.as_bytes());
    let marked = mark(&table, forms()).unwrap();
    assert_eq!(marked.sittings.len(), 4, "three good rows and the one that stands twice");
    assert_eq!(marked.unmarked.iter().map(|row| row.line).collect::<Vec<_>>(), [5, 6, 7, 8]);
    let shown = render_problems("answers.csv", &table.source, &marked.problems, false);
    for (place, words) in [
        ("answers.csv:5:1", "is not a paper code"),
        ("answers.csv:6:9", "answers but no candidate"),
        ("answers.csv:7:1", "quotation mark"),
        ("answers.csv:8:", "under the wrong question"),
        ("answers.csv:9:1", "a second time"),
    ] {
        assert!(shown.contains(place), "{place}\n{shown}");
        assert!(shown.contains(words), "{words}\n{shown}");
    }
    let kept = to_judge_csv(&marked, forms(), &table.source);
    for word in ["nobody", "nameless", "unclosed", "shifted"] {
        assert!(kept.contains(word), "nobody's answers are lost: {word}");
    }
}

#[test]
fn a_head_that_cannot_be_marked_is_said() {
    let table = read_rows(b"sheet,who,q1\nA,B,C\n");
    let problems = mark(&table, forms()).unwrap_err();
    let shown = render_problems("answers.csv", &table.source, &problems, false);
    assert!(shown.contains("no column `paper`") && shown.contains("no column `candidate`"), "{shown}");
    let table = read_rows(b"");
    assert!(mark(&table, forms()).is_err());
}

#[test]
fn what_cannot_be_read_waits_for_a_person_and_can_turn_the_result() {
    let drawn = two_hundred();
    let form = &forms()[0];
    let pass = drawn.course.papers.pass_marks();
    // Blank answers down to just below the pass mark, then one that cannot be read.
    let mut answers: Vec<String> = form.questions.iter().map(Question::key_text).collect();
    let mut total = form.total();
    let unclear = form.questions.iter().position(|question| question.marks == 1).unwrap();
    answers[unclear] = "see script".into();
    total -= 1;
    for (at, question) in form.questions.iter().enumerate() {
        if at != unclear && total >= pass && total - question.marks >= pass - 1 {
            answers[at] = String::new();
            total -= question.marks;
        }
    }
    let head: Vec<String> = (1..=form.questions.len()).map(|no| format!("q{no}")).collect();
    let text = format!("paper,candidate,{}\n{},1,{}\n", head.join(","), form.code, answers.join(","));
    let table = read_rows(text.as_bytes());
    let marked = mark(&table, forms()).unwrap();
    assert_eq!(marked.sittings[0].total(), pass - 1);
    let results = results_csv(&marked, forms(), &drawn.course.papers);
    assert!(results.contains("open: a person must judge"), "{results}");
    assert!(to_judge_csv(&marked, forms(), &table.source).contains("see script"));
}

/// Many candidates, the same on every run: better ones answer more rightly.
pub fn crowd(count: usize) -> (String, Marked) {
    let forms = forms();
    let head: Vec<String> = (1..=forms[0].questions.len()).map(|no| format!("q{no}")).collect();
    let mut text = format!("paper,candidate,{}\n", head.join(","));
    let mut state = 1_u64;
    let mut below = |n: u64| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) % n
    };
    for who in 0..count {
        let form = &forms[who % forms.len()];
        let skill = 20 + below(75);
        let answers: Vec<String> = form
            .questions
            .iter()
            .map(|question| {
                if below(100) < skill {
                    return question.key_text();
                }
                match &question.body {
                    Body::Number(number) => number.slips
                        [usize::try_from(below(number.slips.len() as u64)).unwrap()]
                    .wrong
                    .text
                    .clone(),
                    Body::Choice(options) => {
                        letter(usize::try_from(below(options.len() as u64)).unwrap()).to_string()
                    }
                    Body::Order { .. } | Body::Truth { .. } => String::new(),
                }
            })
            .collect();
        writeln!(text, "{},{},{}", form.code, who + 1, answers.join(",")).unwrap();
    }
    let marked = mark(&read_rows(text.as_bytes()), forms).unwrap();
    (text, marked)
}

#[test]
fn item_statistics_find_a_wrong_key() {
    let drawn = two_hundred();
    let (_, marked) = crowd(300);
    let results = Results::of(&marked, forms(), &drawn.course.papers);
    assert!(results.alpha.unwrap() > 0.6, "{:?}", results.alpha);
    assert!(results.items.iter().all(|item| item.item_rest.unwrap() > 0.0));
    for item in &results.items {
        let counted: usize = item.drawn.iter().map(|drawn| drawn.count).sum();
        assert_eq!(counted, 300, "every answer is told of");
    }
    // Turn the marks of one place round, as a wrong key would.
    let mut wrong = marked.clone();
    for sitting in &mut wrong.sittings {
        let form = &forms()[sitting.form];
        let at = form.questions.iter().position(|question| question.slot == 0).unwrap();
        let judged = &mut sitting.judged[at];
        judged.marks = form.questions[at].marks - judged.marks;
        judged.outcome = if judged.marks > 0 { Outcome::Right } else { Outcome::Slip };
    }
    let results = Results::of(&wrong, forms(), &drawn.course.papers);
    assert!(results.items[0].item_rest.unwrap() < 0.0 && results.items[0].flag.starts_with("check the key"));
    let few = Marked { sittings: marked.sittings[..12].to_vec(), ..marked };
    let results = Results::of(&few, forms(), &drawn.course.papers);
    assert!(results.items.iter().all(|item| item.flag.starts_with("too few")));
}

#[test]
fn ten_thousand_rows_mark_fast() {
    let (text, _) = crowd(10_000);
    let begun = Instant::now();
    let marked = mark(&read_rows(text.as_bytes()), forms()).unwrap();
    let took = begun.elapsed();
    assert_eq!(marked.sittings.len(), 10_000);
    // The promise is one second for the built program; this build keeps its checks and is slower.
    assert!(took.as_secs_f64() < 6.0, "{took:?}");
    println!("10 000 rows of {} answers in {took:?}", forms()[0].questions.len());
    let answers = answers_csv(&marked, forms());
    assert_eq!(answers.lines().count(), 1 + 10_000 * forms()[0].questions.len(), "nothing keyed is lost");
}

#[test]
fn feedback_tells_each_candidate_what_was_missed() {
    let drawn = two_hundred();
    let (_, marked) = crowd(6);
    let issue = Issue { course: &drawn.course, fingerprint: "0000-0000" };
    let text = Templates::embedded()
        .unwrap()
        .render("result-feedback.typ.j2", &FeedbackSheets::of(&issue, &marked.sittings, forms()))
        .unwrap()
        .text;
    let sitting = &marked.sittings[0];
    for (question, judged) in forms()[sitting.form].questions.iter().zip(&sitting.judged) {
        if judged.marks < question.marks {
            assert!(text.contains(&question.key_text()), "{}", question.variant.name);
        }
    }
}

#[test]
fn a_spreadsheet_cannot_be_made_to_run_what_was_keyed() {
    let form = &forms()[0];
    let text = format!("paper,candidate,q1\n{},=1+1,@SUM(A1)\n", form.code);
    let marked = mark(&read_rows(text.as_bytes()), forms()).unwrap();
    let out = answers_csv(&marked, forms());
    assert!(out.contains(",'=1+1,") && out.contains(",'@SUM(A1),"), "{}", out.lines().nth(1).unwrap());
}

#[test]
fn two_assessors_are_compared() {
    let text = "driver;slope;criterion;first;second\nA;S1;Line;2;2\nB;S1;Line;1;2\nC;S1;Line;0;0\nD;S1;Line;2;2\nE;S1;Line;3;2\n";
    let (pairs, problems, source) = read_pairs(text.as_bytes());
    assert_eq!((pairs.len(), problems.len()), (4, 1));
    let shown = render_problems("seen.csv", &source, &problems, false);
    assert!(shown.contains("seen.csv:6:11") && shown.contains("`3` is not a grade"), "{shown}");
    let moderation = Moderation::of(&pairs);
    // Agreed 3 of 4; by chance (1·1 + 1·0 + 2·3)/16; kappa (12 − 7)/(16 − 7).
    assert_eq!((moderation.rows[0].agreed.as_str(), moderation.rows[0].kappa.as_str()), ("75 %", "0.56"));
    assert_eq!(moderation.differences.len(), 1);
}

fn run(folder: &Path, arguments: &[&str]) -> std::process::Output {
    Command::new(env!("CARGO_BIN_EXE_slopepack")).current_dir(folder).args(arguments).output().unwrap()
}

#[test]
fn from_course_to_results_on_the_command_line() {
    let folder = tempfile::tempdir().unwrap();
    let course = include_str!("../courses/quarry-day.yaml");
    std::fs::write(folder.path().join("day.yaml"), course).unwrap();
    let printed = run(
        folder.path(),
        &["--quiet", "papers", "day.yaml", "--forms", "2", "--seed", "9", "--into", "papers"],
    );
    assert!(printed.status.success(), "{}", String::from_utf8_lossy(&printed.stderr));
    let again = run(
        folder.path(),
        &["--quiet", "papers", "day.yaml", "--forms", "2", "--seed", "9", "--into", "again"],
    );
    assert!(again.status.success());
    let manifest = |name: &str| std::fs::read(folder.path().join(name).join("manifest.json")).unwrap();
    assert_eq!(manifest("papers"), manifest("again"), "same seed, same bytes of every file");
    // Nothing in the names of the candidates' files but the code; what is the staff's lies apart.
    let names: Vec<String> = std::fs::read_dir(folder.path().join("papers/papers"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    assert_eq!(names.len(), 4);
    assert!(names.iter().all(|name| name.starts_with("paper-") || name.starts_with("answers-")), "{names:?}");
    let form = std::fs::read_to_string(folder.path().join("papers/answers.csv")).unwrap();
    let (head, rows) = form.split_once("\r\n").unwrap();
    let code = rows.split(',').next().unwrap();
    let answers = format!("{head}\r\n{code},1,Driver A,A,B,C\r\nZZZ-ZZZ,2,Driver B,A\r\n");
    std::fs::write(folder.path().join("answers.csv"), answers).unwrap();
    let marked = run(
        folder.path(),
        &[
            "--quiet",
            "mark",
            "day.yaml",
            "--papers",
            "papers",
            "--answers",
            "answers.csv",
            "--into",
            "results",
        ],
    );
    let said = String::from_utf8_lossy(&marked.stderr).into_owned();
    assert_eq!(marked.status.code(), Some(1), "{said}");
    assert!(said.contains("answers.csv:3:1") && said.contains("1 rows are marked, 1 are not"), "{said}");
    for file in [
        "results.csv",
        "results.pdf",
        "items.csv",
        "answers-marked.csv",
        "to-judge.csv",
        "feedback/feedback-001.pdf",
    ] {
        assert!(folder.path().join("results").join(file).is_file(), "{file}");
    }
    // A course that was changed since gives other papers: nothing is marked against a wrong key.
    std::fs::write(
        folder.path().join("day.yaml"),
        course
            .replace("mass: 2350 kg", "mass: 2550 kg")
            .replace("mass: 1480 kg", "mass: 1580 kg")
            .replace("mass: 3.05 t", "mass: 3.15 t")
            .replace("mass: 4.9 t", "mass: 4.7 t"),
    )
    .unwrap();
    let refused = run(
        folder.path(),
        &[
            "--quiet",
            "mark",
            "day.yaml",
            "--papers",
            "papers",
            "--answers",
            "answers.csv",
            "--into",
            "results",
        ],
    );
    assert_eq!(refused.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&refused.stderr).contains("was changed since"));
}

#[test]
fn a_club_adds_items_of_its_own() {
    let drawn = two_hundred();
    let own = slopepack::course::read_bank(include_str!("../courses/bank/club-items.yaml")).unwrap();
    assert!(own.iter().all(|item| slopepack::paper::BankCheck::of(item).is_empty()));
    let all: Vec<_> = slopepack::paper::built_in().into_iter().chain(own.clone()).collect();
    let reckoning = slopepack::engine::reckon(&drawn.course);
    let with = slopepack::paper::families(&drawn.course, &reckoning, &all);
    let plan = slopepack::paper::plan(&drawn.course.papers, &with, 3).unwrap();
    let forms = slopepack::paper::forms(&plan, &with, 4, 12, 3).unwrap();
    let names: Vec<&str> = forms
        .iter()
        .flat_map(|form| &form.questions)
        .map(|question| question.variant.name.as_str())
        .collect();
    assert!(
        own.iter().any(|item| names.contains(&format!("bank/{}", item.id).as_str())),
        "an item of the club is asked"
    );
}

#[test]
fn a_course_with_faulty_papers_is_told_where() {
    let course = include_str!("../courses/quarry-day.yaml");
    let faults = |from: &str, to: &str| {
        let text = course.replace(from, to);
        let problems = slopepack::course::read_text(&text).unwrap_err();
        render_problems("day.yaml", &text, &problems, false)
    };
    let shown = faults("    gearing: {recall: 1,", "    gearin: {recall: 1,");
    assert!(shown.contains("did you mean `gearing`?"), "{shown}");
    let shown = faults("heat: {recall: 1,", "heat: {recall: 0,");
    assert!(shown.contains("not a whole number from 1 to 60"), "{shown}");
    let shown = faults("  pass: 70 %", "  pass: 170 %");
    assert!(shown.contains("hardly possible"), "{shown}");
}

#[test]
fn imperial_papers_speak_of_no_kilometres() {
    let course = slopepack::course::read_text(include_str!("../courses/hill-club-weekend.yaml")).unwrap();
    let reckoning = slopepack::engine::reckon(&course);
    let families = slopepack::paper::families(&course, &reckoning, &[]);
    let mut seen = 0;
    for variant in families.iter().flat_map(|family| &family.variants) {
        let slips = match &variant.stuff {
            Stuff::Number(number) => number.slips.iter().map(|slip| slip.wrong.why.clone()).collect(),
            Stuff::Choice { wrong, .. } => wrong.iter().map(|one| one.why.clone()).collect(),
            Stuff::Order(_) | Stuff::Truth { .. } => Vec::new(),
        };
        assert!(!variant.ask.contains("km/h"), "{}", variant.ask);
        for (name, value) in &variant.data {
            assert!(
                !["km/h", "m", "kg", "kN"].contains(&value.u.as_str()),
                "{}: {name} in {}",
                variant.name,
                value.u
            );
        }
        for why in slips {
            assert!(
                !why.contains("kilometre") && !why.contains("metres per second") && !why.contains("3.6"),
                "{why}"
            );
            seen += 1;
        }
    }
    assert!(seen > 500, "{seen}");
}
