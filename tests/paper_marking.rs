//! Marking: slips follow through, other units count, broken rows spoil nothing but themselves.

use slopepack::paper::results::{answers_csv, results_csv, to_judge_csv};
use slopepack::paper::{
    Body, Form, Issue, Outcome, Question, SchemeSheet, Stuff, Terms, judge, letter, mark, read_answers,
};
use slopepack::print::Templates;
use slopepack::problem::render_problems;
use slopepack::quantity::units;

use crate::paper_forms::two_hundred;

pub(crate) fn forms() -> &'static [Form] {
    &two_hundred().forms[..3]
}

/// The first paper cut down to its first question.
fn of_one_question() -> Vec<Form> {
    let form = &forms()[0];
    vec![Form { code: form.code.clone(), questions: form.questions[..1].to_vec() }]
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
        .render("paper/mark-scheme.typ.j2", &SchemeSheet::of(&issue, &form))
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
    assert!(scheme.contains("A value without a unit is read in the unit of the key"), "{scheme}");
    let slip = &number(question).slips[0];
    let bare = slip.wrong.text.split_whitespace().next().unwrap();
    assert_eq!(judge(question, bare).marks, slip.marks, "the slip without its unit");
}

fn slopepack_scheme(question: &Question) -> String {
    let drawn = two_hundred();
    let form = Form { code: "TEST".into(), questions: vec![question.clone()] };
    let issue = Issue { course: &drawn.course, fingerprint: "0000-0000" };
    Templates::embedded()
        .unwrap()
        .render("paper/mark-scheme.typ.j2", &SchemeSheet::of(&issue, &form))
        .unwrap()
        .text
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

    // One with a single right sequence: some items take several.
    let single = |body: &Body| match body {
        Body::Order { key, forced, .. } => key.windows(2).all(|pair| forced.contains(&(pair[0], pair[1]))),
        _ => false,
    };
    let order = all().find(|question| single(&question.body)).unwrap();
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
        let marked = mark(&read_answers(bytes), forms()).unwrap();
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
    let (stem, check) = codes[0].split_at(codes[0].len() - 1);
    lines.push(format!("{stem}{},7,nobody,A", if check.eq_ignore_ascii_case("x") { 'y' } else { 'x' }));
    lines.push(format!("{},,nameless,A,B", codes[0]));
    lines.push(format!("{},8,\"unclosed,A", codes[0]));
    lines.push(format!("{},9,shifted{}", codes[0], ",A".repeat(forms()[0].questions.len() + 3)));
    let again = lines[1].clone();
    lines.push(again);
    let text = lines.join("\n");
    let table = read_answers(text.as_bytes());
    let marked = mark(&table, forms()).unwrap();
    assert_eq!(marked.sittings.len(), 2, "of the candidate who stands twice no row is marked");
    assert_eq!(marked.unmarked.iter().map(|row| row.line).collect::<Vec<_>>(), [2, 5, 6, 7, 8, 9]);
    let shown = render_problems("answers.csv", &table.source, &marked.problems, false);
    for (place, words) in [
        ("answers.csv:5:1", "is not a paper code"),
        ("answers.csv:6:9", "answers but no candidate"),
        ("answers.csv:7:11", "a quote is opened here and never closed"),
        ("answers.csv:8:", "may stand in the wrong column"),
        ("answers.csv:9:1", "stands in two rows"),
    ] {
        assert!(shown.contains(place), "{place}\n{shown}");
        assert!(shown.contains(words), "{words}\n{shown}");
    }
    let kept = to_judge_csv(&marked, forms(), &Terms::of(&two_hundred().course), &table.source);
    for word in ["nobody", "nameless", "unclosed", "shifted"] {
        assert!(kept.contains(word), "nobody's answers are lost: {word}");
    }
}

#[test]
fn a_head_that_cannot_be_marked_is_said() {
    let table = read_answers(b"sheet,who,q1\nA,B,C\n");
    let problems = mark(&table, forms()).unwrap_err();
    let shown = render_problems("answers.csv", &table.source, &problems, false);
    assert!(shown.contains("no column `paper`") && shown.contains("no column `candidate`"), "{shown}");
    let table = read_answers(b"");
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
    let table = read_answers(text.as_bytes());
    let marked = mark(&table, forms()).unwrap();
    assert_eq!(marked.sittings[0].total(), pass - 1);
    let results = results_csv(&marked, forms(), &Terms::of(&drawn.course));
    assert!(results.contains("open: a person must judge"), "{results}");
    assert!(
        to_judge_csv(&marked, forms(), &Terms::of(&two_hundred().course), &table.source)
            .contains("see script")
    );
}

#[test]
fn a_spreadsheet_cannot_be_made_to_run_what_was_keyed() {
    let form = &forms()[0];
    let text = format!("paper,candidate,q1\n{},=1+1,@SUM(A1)\n", form.code);
    let marked = mark(&read_answers(text.as_bytes()), &of_one_question()).unwrap();
    let out = answers_csv(&marked, &of_one_question());
    assert!(out.contains(",'=1+1,") && out.contains(",'@SUM(A1),"), "{}", out.lines().nth(1).unwrap());
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
            Stuff::Order { .. } | Stuff::Truth { .. } => Vec::new(),
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

#[test]
fn a_file_of_answers_may_be_saved_as_any_spreadsheet_saves_it() {
    let form = &forms()[0];
    let key = form.questions[0].key_text();
    let marks = |text: &str| {
        let table = read_answers(text.as_bytes());
        let marked =
            mark(&table, &of_one_question()).unwrap_or_else(|problems| panic!("{text:?}: {problems:?}"));
        assert!(marked.unmarked.is_empty(), "{text:?}: {:?}", marked.problems);
        marked
            .sittings
            .iter()
            .map(|sitting| (sitting.name.clone(), sitting.judged[0].marks))
            .collect::<Vec<_>>()
    };
    let row = format!("{};Jo;\"A. B.\nfrom the valley\";\"{key}\"\n", form.code);
    let wanted = [("A. B.\nfrom the valley".to_owned(), form.questions[0].marks)];
    assert_eq!(marks(&format!("paper;candidate;name;q1\n{row}")), wanted);
    assert_eq!(marks(&format!("SEP=;\npaper;candidate;name;q1\n{row}")), wanted);
    assert_eq!(marks(&format!("paper|candidate|name|q1\n{}", row.replace(';', "|"))), wanted);
    assert_eq!(marks(&format!("Exam of 8 May, hut, room 2\n\npaper;candidate;name;q1\n{row}")), wanted);
}

#[test]
fn a_mistake_in_a_file_of_answers_names_its_cell() {
    let table = read_answers(b"paper,candidate,q1\nNOCODE,Jo,A\n");
    let marked = mark(&table, &of_one_question()).unwrap();
    let shown = render_problems("answers.csv", &table.source, &marked.problems, false);
    assert!(
        shown.contains("cell A2: `NOCODE` is not a paper code") && shown.contains("answers.csv:2:1"),
        "{shown}"
    );
    let own = read_answers(b"PK\x03\x04\x14\0\x06\0");
    let problems = mark(&own, forms()).unwrap_err();
    assert!(problems[0].message.contains("spreadsheet's own file"), "{problems:?}");
}
