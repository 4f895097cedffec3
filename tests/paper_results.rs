//! What a sitting comes to: statistics, feedback, moderation, and the whole way on the command line.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::Path;
use std::process::Command;

use slopepack::engine::{Mark, reckon};
use slopepack::paper::results::answers_csv;
use slopepack::paper::{
    Body, FeedbackSheets, Form, Issue, Marked, Moderation, Observation, Outcome, Results, Terms, letter,
    mark, read_answers, read_pairs,
};
use slopepack::print::Templates;
use slopepack::problem::render_problems;

use crate::paper_forms::two_hundred;
use crate::paper_marking::forms;

/// Many candidates, the same on every run: better ones answer more rightly.
pub(crate) fn crowd(count: usize) -> (String, Marked) {
    crowd_of(count, forms())
}

/// Candidates of these papers.
pub(crate) fn crowd_of(count: usize, forms: &[Form]) -> (String, Marked) {
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
    let marked = mark(&read_answers(text.as_bytes()), forms).unwrap();
    (text, marked)
}

#[test]
fn item_statistics_find_a_wrong_key() {
    let drawn = two_hundred();
    let (_, marked) = crowd(300);
    let results = Results::of(&marked, forms(), &Terms::of(&drawn.course));
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
    let results = Results::of(&wrong, forms(), &Terms::of(&drawn.course));
    assert!(results.items[0].item_rest.unwrap() < 0.0 && results.items[0].flag.starts_with("check the key"));
    let few = Marked { sittings: marked.sittings[..12].to_vec(), ..marked };
    let results = Results::of(&few, forms(), &Terms::of(&drawn.course));
    assert!(results.items.iter().all(|item| item.flag.starts_with("too few")));
}

#[test]
fn of_ten_thousand_rows_nothing_is_lost() {
    let (text, _) = crowd(10_000);
    let marked = mark(&read_answers(text.as_bytes()), forms()).unwrap();
    assert_eq!(marked.sittings.len(), 10_000);
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
        .render(
            "paper/result-feedback.typ.j2",
            &FeedbackSheets::of(&issue, &Terms::of(&drawn.course), &marked.sittings[0], forms()),
        )
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
fn two_assessors_are_compared() {
    let course = two_hundred().course.clone();
    let text = "driver;slope;criterion;first;second\nA;S1;Line;2;2\nB;nursery;line;1;2\nC;S1;Line;0;0\nD;S1;Line;2;2\nE;S1;Line;3;2\nF;S1;Pace;2;0\nG;S1;Pace;-;2\nH;nowhere;Line;2;2\nI;S1;Lnie;2;2\n";
    let observed = read_pairs(text.as_bytes(), &course);
    assert_eq!((observed.pairs.len(), observed.problems.len(), observed.unseen), (5, 3, 1));
    let shown = render_problems("seen.csv", &observed.source, &observed.problems, false);
    for told in [
        "seen.csv:6:11",
        "`3` is not a grade",
        "`nowhere` is no slope",
        "`Lnie` is no criterion",
        "Brake lamps",
    ] {
        assert!(shown.contains(told), "{told}: {shown}");
    }
    let moderation = Moderation::of(&observed);
    let line = moderation.rows.iter().find(|row| row.criterion == "Line").unwrap();
    // Agreed 3 of 4; by chance (1·1 + 1·0 + 2·3)/16; kappa (12 − 7)/(16 − 7).
    assert_eq!((line.agreed.as_str(), line.kappa.as_str()), ("75 %", "0.56"));
    let follows: Vec<&str> = moderation.differences.iter().map(|row| row[5].as_str()).collect();
    assert_eq!(follows, ["talk it over", "no result: both see another run"]);
}

fn run(folder: &Path, arguments: &[&str]) -> std::process::Output {
    Command::new(assert_cmd::cargo::cargo_bin("slopepack"))
        .current_dir(folder)
        .args(arguments)
        .output()
        .unwrap()
}

fn nothing_outside_the_staff_s_folder_holds_a_seed(folder: &Path) {
    for name in ["papers/manifest.json", "papers/answers.csv"] {
        let text = std::fs::read_to_string(folder.join(name)).unwrap();
        assert!(!text.contains("seed"), "{name}");
    }
}

#[test]
fn from_course_to_results_on_the_command_line() {
    let folder = tempfile::tempdir().unwrap();
    let course = include_str!("../courses/quarry-day.yaml");
    std::fs::write(folder.path().join("day.yaml"), course).unwrap();
    let printed = run(
        folder.path(),
        &["--quiet", "papers", "day.yaml", "--forms", "2", "--seed", "12", "--into", "papers"],
    );
    assert!(printed.status.success(), "{}", String::from_utf8_lossy(&printed.stderr));
    let options = ["--quiet", "papers", "day.yaml", "--forms", "2", "--seed", "12", "--into", "again"];
    let again = run(folder.path(), &options);
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
    let blank = ",".repeat(head.split(',').count() - 6);
    let answers = format!("{head}\r\n{code},1,Driver A,A,B,C{blank}\r\nZZZ-ZZZ,2,Driver B,A\r\n");
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
    assert!(
        said.contains("answers.csv:3:1")
            && said.contains("1 rows are marked; in to-judge.csv wait for a person: 1 rows"),
        "{said}"
    );
    for file in [
        "results.csv",
        "results.pdf",
        "items.csv",
        "answers-marked.csv",
        "to-judge.csv",
        "feedback/feedback-1.pdf",
    ] {
        assert!(folder.path().join("results").join(file).is_file(), "{file}");
    }
    nothing_outside_the_staff_s_folder_holds_a_seed(folder.path());
    let first = std::fs::read(folder.path().join("results/results.csv")).unwrap();
    // The course was changed since, its pass mark too: the marks stay those of the papers.
    std::fs::write(
        folder.path().join("day.yaml"),
        course
            .replace("mass: 2290 kg", "mass: 2490 kg")
            .replace("pass: 70 %", "pass: 20 %")
            .replace("seed: 20260", "seed: 1"),
    )
    .unwrap();
    let mark_into = |into: &str| {
        run(
            folder.path(),
            &[
                "mark",
                "day.yaml",
                "--papers",
                "papers",
                "--answers",
                "answers.csv",
                "--only-csv",
                "--into",
                into,
            ],
        )
    };
    let later = mark_into("later");
    let said = String::from_utf8_lossy(&later.stderr).into_owned();
    assert!(said.contains("the course was changed after the papers were printed"), "{said}");
    assert_eq!(std::fs::read(folder.path().join("later/results.csv")).unwrap(), first);
    // A record that was changed, and papers of another course, are refused.
    let record = folder.path().join("papers/staff/papers.json");
    let sealed = std::fs::read_to_string(&record).unwrap();
    std::fs::write(&record, sealed.replace("\"pass\": 38", "\"pass\": 30")).unwrap();
    let refused = mark_into("refused");
    let said = String::from_utf8_lossy(&refused.stderr).into_owned();
    assert_eq!(refused.status.code(), Some(1), "{said}");
    assert!(said.contains("was changed after the papers were printed"), "{said}");
    assert!(!folder.path().join("refused").exists(), "nothing is marked");
    std::fs::write(&record, sealed).unwrap();
    std::fs::write(folder.path().join("day.yaml"), course.replacen("title: ", "title: Not ", 1)).unwrap();
    let refused = mark_into("refused");
    let said = String::from_utf8_lossy(&refused.stderr).into_owned();
    assert_eq!(refused.status.code(), Some(1), "{said}");
    assert!(said.contains("holds papers of the course"), "{said}");
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
    let forms =
        slopepack::paper::forms(&plan, &with, &slopepack::paper::Run::of(&drawn.course.papers, 12, 3))
            .unwrap();
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
fn the_practical_asks_what_one_person_can_see_on_each_slope() {
    let course = &two_hundred().course;
    let reckoning = reckon(course);
    let issue = Issue { course, fingerprint: "0000-0000" };
    let sheet = serde_json::to_value(Observation::of(&issue, &reckoning, Vec::new())).unwrap();
    let slopes = sheet["slopes"].as_array().unwrap();
    let names = |slope: &serde_json::Value| -> Vec<String> {
        slope["criteria"]
            .as_array()
            .unwrap()
            .iter()
            .map(|one| one["name"].as_str().unwrap().to_owned())
            .collect()
    };
    for slope in &course.slopes {
        let shown = slopes.iter().find(|sheet| sheet["name"] == slope.name.short().as_str());
        let marks: Vec<Mark> = course
            .vehicles
            .iter()
            .map(|vehicle| reckoning.pair(&slope.id, &vehicle.id).unwrap().judged.mark)
            .collect();
        let Some(shown) = shown else {
            // Nobody drives and nobody is refused: nothing can be seen there.
            assert!(marks.iter().all(|mark| *mark == Mark::NotJudged), "{}", slope.id);
            continue;
        };
        let asked = names(shown);
        assert_eq!(asked.contains(&"Says no".to_owned()), marks.contains(&Mark::Refused), "{}", slope.id);
        assert_eq!(asked.contains(&"Step".to_owned()), slope.bump.is_some(), "{}", slope.id);
        assert_eq!(asked.contains(&"Stops at the sign".to_owned()), slope.run_out.is_some(), "{}", slope.id);
        assert_eq!(
            shown["vehicles"].as_array().unwrap().len(),
            marks.iter().filter(|mark| mark.goes()).count()
        );
        // The limit is judged by a time that a thumb can stop, never shorter than the limit allows; no other time
        // stands on the sheet.
        let apart: f64 = shown["apart"].as_str().unwrap().trim_end_matches(" m").parse().unwrap();
        let exact = apart / course.limits.descent_speed.si();
        for vehicle in shown["vehicles"].as_array().unwrap() {
            let least: f64 = vehicle["least"].as_str().unwrap().trim_end_matches(" s").parse().unwrap();
            assert!(least >= exact, "{least} s against {exact}");
        }
        let times = |text: &serde_json::Value| text.as_str().is_some_and(|text| text.ends_with(" s"));
        assert!(!shown.as_object().unwrap().values().any(times), "{shown}");
    }
    let different: BTreeSet<Vec<String>> = slopes.iter().map(names).collect();
    assert!(different.len() >= 3, "slopes are asked the same: {different:?}");
}
