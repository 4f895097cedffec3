//! Nothing of the key reaches a question paper: not its text, not its data, not its file.

use std::collections::BTreeSet;

use slopepack::paper::{AnswerSheet, Body, Edition, Form, PaperSheet, Question, numbers_in};
use slopepack::print::{Templates, Typesetter, Workshop};

use crate::paper_forms::{Drawn, issue, two_hundred};

const STAMP: i64 = 1_767_225_600;

/// What must stand nowhere on a question paper.
fn secrets(form: &Form) -> Vec<String> {
    let mut all = vec!["judged".to_owned(), "Mark scheme".to_owned(), "the right letter".to_owned()];
    for question in &form.questions {
        all.push(question.variant.feedback.clone());
        if let Body::Choice(options) | Body::Truth { reasons: options, .. } = &question.body {
            all.extend(options.iter().filter_map(|option| option.slip.clone()).map(|(_, why)| why));
        }
        if let Body::Number(number) = &question.body {
            all.extend(number.slips.iter().map(|slip| slip.wrong.why.clone()));
        }
        if let Some(worked) = &question.variant.worked {
            all.extend(worked.lines.iter().map(|line| line.plain.clone()));
        }
    }
    let letters: Vec<String> =
        form.questions.iter().filter(|q| q.key_place().is_some()).map(Question::key_text).collect();
    all.extend([letters.concat(), letters.join(" "), letters.join(",")]);
    all
}

/// Digits of the numeric keys of a form.
fn key_digits(form: &Form) -> BTreeSet<String> {
    form.questions
        .iter()
        .filter_map(|question| match &question.body {
            Body::Number(number) => Some(number.key.text.clone()),
            _ => None,
        })
        .collect()
}

#[test]
fn nothing_of_the_key_reaches_any_question_paper() {
    let drawn = two_hundred();
    let templates = Templates::embedded().unwrap();
    for form in &drawn.forms {
        for edition in [Edition::Standard, Edition::Large, Edition::Coloured] {
            let text = templates
                .render("paper/paper.typ.j2", &PaperSheet::of(&issue(drawn), form, edition))
                .unwrap()
                .text;
            for secret in secrets(form) {
                assert!(!text.contains(&secret), "{}: {secret}", form.code);
            }
            // The sheets of a pack bear the data mark of the course; papers that of the record they are marked from.
            assert!(text.contains("record 0000-0000") && !text.contains("data 0000"), "{}", form.code);
            let questions = &text[text.find("#exam-front").unwrap()..];
            let found: BTreeSet<String> = numbers_in(questions).into_iter().collect();
            let leaked: Vec<&String> =
                found.iter().filter(|number| key_digits(form).contains(*number)).collect();
            assert!(leaked.is_empty(), "{}: {leaked:?}", form.code);
        }
        let sheet = templates
            .render("paper/answer-sheet.typ.j2", &AnswerSheet::of(&issue(drawn), form))
            .unwrap()
            .text;
        for secret in secrets(form) {
            assert!(!sheet.contains(&secret), "{}: {secret}", form.code);
        }
    }
}

/// Every string in a PDF beside its pages: information, metadata, alternative texts, names.
fn strings(pdf: &lopdf::Document) -> String {
    fn walk(object: &lopdf::Object, out: &mut String) {
        match object {
            lopdf::Object::String(bytes, _) => {
                let text = match bytes.as_slice() {
                    [0xFE, 0xFF, rest @ ..] => {
                        let units: Vec<u16> =
                            rest.chunks_exact(2).map(|pair| u16::from_be_bytes([pair[0], pair[1]])).collect();
                        String::from_utf16_lossy(&units)
                    }
                    other => other.iter().map(|byte| char::from(*byte)).collect(),
                };
                out.push_str(&text);
                out.push('\n');
            }
            lopdf::Object::Array(list) => list.iter().for_each(|one| walk(one, out)),
            lopdf::Object::Dictionary(map) => map.iter().for_each(|(_, one)| walk(one, out)),
            lopdf::Object::Stream(stream) => {
                stream.dict.iter().for_each(|(_, one)| walk(one, out));
                if stream
                    .dict
                    .get(b"Type")
                    .and_then(lopdf::Object::as_name)
                    .is_ok_and(|name| name == b"Metadata")
                {
                    out.push_str(&String::from_utf8_lossy(&stream.content));
                }
            }
            _ => {}
        }
    }
    let mut out = String::new();
    pdf.objects.values().for_each(|object| walk(object, &mut out));
    walk(&lopdf::Object::Dictionary(pdf.trailer.clone()), &mut out);
    out
}

fn leaks_in_pdfs(drawn: &Drawn, forms: &[Form]) {
    let templates = Templates::embedded().unwrap();
    let folder = tempfile::tempdir().unwrap();
    let workshop = Workshop::inside(folder.path(), ".work-", &templates).unwrap();
    let rendered: Vec<_> = forms
        .iter()
        .map(|form| {
            templates
                .render("paper/paper.typ.j2", &PaperSheet::of(&issue(drawn), form, Edition::Standard))
                .unwrap()
        })
        .collect();
    let typesetter = Typesetter::find(None).unwrap();
    let pdfs = typesetter.pdfs(&workshop, &rendered, STAMP, |_| {}).unwrap();
    for (form, pdf) in forms.iter().zip(&pdfs) {
        let document = lopdf::Document::load_mem(pdf).unwrap();
        let pages: Vec<u32> = document.get_pages().keys().copied().collect();
        let text = document.extract_text(&pages).unwrap();
        let beside = strings(&document);
        assert!(text.contains(&form.code) && beside.contains(&form.code), "the code can be found in both");
        assert!(beside.contains("Theory paper"), "the title can be found");
        for secret in secrets(form) {
            assert!(!text.contains(&secret) && !beside.contains(&secret), "{}: {secret}", form.code);
        }
        let words = format!(" {} ", text.split_whitespace().collect::<Vec<_>>().join(" "));
        let marking = [" way 1 ", " value 1 ", " unit 1 ", " whole 1 ", " whole 2 ", " Accept "];
        for word in marking {
            let at = words.find(word).map(|at| &words[at.saturating_sub(60)..(at + 40).min(words.len())]);
            assert_eq!(at, None, "{}", form.code);
        }
        let keys = key_digits(form);
        for place in [&text, &beside] {
            let found: BTreeSet<String> = numbers_in(place).into_iter().collect();
            let leaked: Vec<&String> = keys.intersection(&found).collect();
            assert!(leaked.is_empty(), "{}: {leaked:?}", form.code);
        }
        let raw = String::from_utf8_lossy(pdf);
        assert!(!raw.contains("/EmbeddedFile") && !raw.contains("/JavaScript"), "nothing is attached");
    }
}

#[test]
fn two_hundred_finished_pdfs_give_nothing_away() {
    let drawn = two_hundred();
    leaks_in_pdfs(drawn, &drawn.forms);
}
