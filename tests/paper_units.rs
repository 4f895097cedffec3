//! Papers are in one system of units: an imperial paper names no metric unit, a metric one no imperial unit.

use slopepack::course::read_text;
use slopepack::engine::reckon;
use slopepack::paper::{
    AnswerSheet, Coverage, Edition, Issue, JudgesSheet, Observation, PaperSheet, Run, SchemeSheet, Terms,
    built_in, families, forms, key_json, oral, paper_json, plan,
};
use slopepack::print::Templates;
use slopepack::quantity::UnitSystem;

use crate::paper_appeals::COURSES;

/// Units that give a page away wherever they stand.
const METRIC: [&str; 9] = ["km/h", "kg", "kN", "kJ", "m/s", "m/s²", "J/(kg·K)", "km", "°C"];
const IMPERIAL: [&str; 9] = ["mph", "lb", "lbf", "BTU", "ft/s", "ft/s²", "psi", "ft·lbf", "°F"];
/// Units that are words or letters as well: only behind a number.
const SHORT_METRIC: [&str; 5] = ["m", "cm", "N", "J", "K"];
const SHORT_IMPERIAL: [&str; 3] = ["ft", "in", "F°"];

/// Words of a page's source as a reader meets them.
fn words(text: &str) -> Vec<&str> {
    let ends = |c: char| c.is_whitespace() || "\"',;?:![]{}#*\\".contains(c);
    text.split(ends).map(|word| word.trim_end_matches(['.', ')'])).filter(|word| !word.is_empty()).collect()
}

fn strangers(text: &str, system: UnitSystem) -> Vec<String> {
    let (always, behind) = match system {
        UnitSystem::Imperial => (METRIC, SHORT_METRIC.as_slice()),
        UnitSystem::Metric => (IMPERIAL, SHORT_IMPERIAL.as_slice()),
    };
    let words = words(text);
    let number = |word: &str| word.trim_start_matches('(').parse::<f64>().is_ok();
    let found = words.iter().enumerate().filter(|(at, word)| {
        // `)` belongs to a heat capacity and is trimmed off above.
        let whole = always.contains(word) || always.contains(&format!("{word})").as_str());
        whole || behind.contains(word) && *at > 0 && number(words[at - 1])
    });
    found.map(|(at, _)| words[at.saturating_sub(4)..(at + 2).min(words.len())].join(" ")).collect()
}

#[test]
fn a_paper_names_no_unit_of_the_other_system() {
    let templates = Templates::embedded().unwrap();
    let mut texts = 0;
    for (name, text) in COURSES {
        let course = read_text(text).unwrap();
        let reckoning = reckon(&course);
        let all = families(&course, &reckoning, &built_in());
        let plan = plan(&course.papers, &all, 12).unwrap();
        let drawn = forms(&plan, &all, &Run::of(&course.papers, 10, 12)).unwrap();
        let issue = Issue { course: &course, fingerprint: "0000-0000" };
        let mut sheets: Vec<(String, String)> = Vec::new();
        let mut put = |what: &str, text: String| sheets.push((what.to_owned(), text));
        for form in &drawn {
            let paper = PaperSheet::of(&issue, form, Edition::Standard);
            put("paper", templates.render("paper/paper.typ.j2", &paper).unwrap().text);
            put(
                "scheme",
                templates.render("paper/mark-scheme.typ.j2", &SchemeSheet::of(&issue, form)).unwrap().text,
            );
            put(
                "answers",
                templates.render("paper/answer-sheet.typ.j2", &AnswerSheet::of(&issue, form)).unwrap().text,
            );
            put(
                "judges",
                templates.render("paper/judges.typ.j2", &JudgesSheet::of(&issue, form)).unwrap().text,
            );
            put("paper for a screen", paper_json(form, &Terms::of(&course)));
            put("key for a screen", key_json(form));
        }
        let coverage = Coverage::of(&issue, (&plan, &all), &drawn, 12, &[]);
        put("coverage", templates.render("paper/paper-coverage.typ.j2", &coverage).unwrap().text);
        let practical = Observation::of(&issue, &reckoning, oral(&all, &drawn, 12));
        put("practical", templates.render("paper/observation.typ.j2", &practical).unwrap().text);
        for (what, text) in &sheets {
            let found = strangers(text, course.units);
            assert!(found.is_empty(), "{name}, {what}: {found:?}");
            texts += 1;
        }
    }
    assert!(texts > 150, "{texts}");
}

#[test]
fn a_stranger_is_seen() {
    assert!(!strangers("rolls at (\"7.5\", \"km/h\")", UnitSystem::Imperial).is_empty());
    assert!(!strangers("height *24.1 m* above", UnitSystem::Imperial).is_empty());
    assert!(!strangers("[specific heat 460 J/(kg·K)]", UnitSystem::Imperial).is_empty());
    assert!(strangers("in the lowest gear, m g sin", UnitSystem::Metric).is_empty());
    assert!(!strangers("pegs 30 ft apart", UnitSystem::Metric).is_empty());
}
