//! The learners' quiz: what it always asks, by whose lot, and that its key is no pattern.

use std::collections::BTreeSet;

use slopepack::course::{Course, Theme, read};
use slopepack::engine::{Reckoning, reckon};
use slopepack::formula::Worked;
use slopepack::lesson::{Example, worked_examples};
use slopepack::paper::{Quiz, Run, built_in, families, forms, plan};
use slopepack::quantity::Angle;

use crate::house::in_the_house;

fn courses() -> Vec<(Course, Reckoning)> {
    ["quarry-day.yaml", "hill-club-weekend.yaml", "six-slope-saturday.yaml"]
        .into_iter()
        .map(|name| {
            let course = read(&in_the_house("courses").join(name)).unwrap().course;
            let reckoning = reckon(&course);
            (course, reckoning)
        })
        .collect()
}

fn quiz(course: &Course, reckoning: &Reckoning) -> Quiz {
    Quiz::draw(course, reckoning, &BTreeSet::new(), "0123abcd")
}

const JUDGED: [Theme; 6] =
    [Theme::StopWord, Theme::Signals, Theme::Clutch, Theme::Automatic, Theme::SideTilt, Theme::ClearZone];

#[test]
fn ten_questions_of_which_at_most_half_are_worked_out() {
    for (course, reckoning) in courses() {
        let quiz = quiz(&course, &reckoning);
        let asked = quiz.questions();
        assert_eq!(asked.len(), 10);
        let themes: BTreeSet<_> = asked.iter().filter_map(|one| one.variant.theme).collect();
        assert_eq!(themes.len(), 10, "each theme once: {themes:?}");
        let from_numbers = asked.iter().filter(|one| !one.variant.data.is_empty()).count();
        assert!(from_numbers <= 5, "{from_numbers} of 10 are about numbers");
        assert!(themes.contains(&Theme::LockedWheel), "what the course is for is asked");
    }
}

#[test]
fn a_limit_is_asked_with_the_lowest_friction() {
    for (course, reckoning) in courses() {
        let quiz = quiz(&course, &reckoning);
        let limit = quiz.questions().iter().find(|one| one.variant.theme == Some(Theme::GroundLimit));
        assert!(
            limit
                .unwrap()
                .variant
                .ask
                .contains("at the low end of the grip: what is the steepest slope on which turning")
        );
    }
}

#[test]
fn the_seed_of_the_pack_draws_it_and_spreads_its_keys() {
    let (mut course, reckoning) = courses().swap_remove(0);
    let mut keys = [0; 4];
    let mut asked = BTreeSet::new();
    let shipped = course.seed;
    for seed in (1..=11).chain([shipped]) {
        course.seed = seed;
        let (one, again) = (quiz(&course, &reckoning), quiz(&course, &reckoning));
        let names = |quiz: &Quiz| -> Vec<(String, String)> {
            quiz.questions().iter().map(|one| (one.variant.name.clone(), one.key_text())).collect()
        };
        assert_eq!(names(&one), names(&again));
        asked.insert(names(&one));
        let mut here = [0; 4];
        for place in one.questions().iter().filter_map(slopepack::paper::Question::key_place) {
            here[place] += 1;
        }
        // One letter throughout passes nobody.
        let most = one.questions().len().div_ceil(4) + 1;
        assert!(here.iter().all(|count| *count <= most), "seed {seed}: {here:?}");
        for (place, count) in here.into_iter().enumerate() {
            keys[place] += i32::try_from(count).unwrap();
        }
    }
    assert_eq!(asked.len(), 12, "other seeds, other sheets");
    let all: i32 = keys.iter().sum();
    assert!(keys.iter().all(|count| *count * 8 > all), "no letter is rare: {keys:?}");
}

#[test]
fn a_paper_of_the_same_number_is_another() {
    let (course, reckoning) = courses().swap_remove(0);
    let all = families(&course, &reckoning, &built_in());
    let drawn = plan(&course.papers, &all, course.seed).unwrap();
    let paper = forms(&drawn, &all, &Run { options: 4, ..Run::of(&course.papers, 1, course.seed) })
        .unwrap()
        .remove(0);
    let quiz = quiz(&course, &reckoning);
    let names = |list: &[slopepack::paper::Question]| -> BTreeSet<String> {
        list.iter().map(|one| one.variant.name.clone()).collect()
    };
    let both = names(quiz.questions()).intersection(&names(&paper.questions)).count();
    assert!(both <= 3, "{both} of ten stand on the paper as well");
}

#[test]
fn what_the_workbook_answers_is_not_asked_where_there_is_other() {
    let (course, reckoning) = courses().swap_remove(0);
    let mut told = BTreeSet::new();
    for _ in 0..3 {
        let quiz = Quiz::draw(&course, &reckoning, &told, "0123abcd");
        let keys: Vec<String> = quiz.questions().iter().filter_map(|one| one.variant.numeric_key()).collect();
        assert!(keys.iter().all(|key| !told.contains(key)), "{keys:?} of {told:?}");
        told.extend(keys);
    }
}

#[test]
fn every_theme_of_judgement_has_more_than_one_item() {
    let items = built_in();
    for theme in JUDGED {
        let count = items.iter().filter(|item| item.theme == Some(theme)).count();
        assert!(count > 1, "{theme:?}: {count}");
    }
}

#[test]
fn every_kind_of_example_is_worked_for_some_course() {
    let mut courses = courses();
    // A line that leaves the fall line, which no course of ours has.
    let (course, _) = &mut courses[0];
    course.slopes[0].heading = Angle::new(0.3);
    course.slopes[0].cross_slope = Angle::new(0.0);
    let worked: Vec<_> =
        courses.iter().flat_map(|(course, reckoning)| worked_examples(course, reckoning)).collect();
    for example in Example::ALL {
        assert!(worked.iter().any(|one| example.is(one)), "nothing works {example:?}");
    }
    // The others say themselves where a workbook prints them.
    let called = |one: &Worked| Example::ALL.iter().any(|example| example.is(one));
    assert!(worked.iter().all(|one| called(one) || one.part.is_some()));
}
