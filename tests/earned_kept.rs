//! No verdict is loosened by what could be a slip: a foot on the brake all day, a run that is put aside.

use slopepack::course::{Course, Kept, Seen, read_text};
use slopepack::earned::{Account, account, with_figures};
use slopepack::engine::{Case, EngineDrag};
use slopepack::pack::{Book, KINDS};
use slopepack::print::Templates;
use slopepack::quantity::{Length, Time};

/// The example, with times of some runs, by their numbers, in seconds.
fn bank(times: &[(usize, f64)]) -> Course {
    let mut course = read_text(include_str!("../courses/measured-bank.yaml")).expect("the example reads");
    for run in &mut course.runs.list {
        if let Seen::Timed { time, .. } = &mut run.seen
            && let Some((_, seconds)) = times.iter().find(|(number, _)| *number == run.number)
        {
            *time = Time::new(*seconds);
        }
    }
    course
}

/// The pickup's drag at 2,400 turns a minute, N·m, before and after its runs.
fn drags(course: &Course, told: &Account, case: Case) -> [f64; 2] {
    [course, &told.course].map(|course| EngineDrag::of(&course.vehicles[0].engine).torque(40.0, case))
}

/// The page after the day.
fn page(course: &Course) -> String {
    let templates = Templates::embedded().expect("all templates parse");
    let kind = KINDS.iter().find(|kind| kind.name == "said-against-seen").expect("it is a document");
    let course = with_figures(course);
    kind.fill(&Book::of(&course, "0000-0000"), &templates).expect("it is there").expect("it fills").text
}

#[test]
fn a_foot_on_the_brake_all_day_buys_no_better_verdict() {
    let course = bank(&[(3, 6.1), (4, 6.3), (5, 3.4)]);
    let told = account(&course);
    let kept = told.course.earned.drag_of("pickup").expect("three runs count").kept;
    assert_eq!(kept, Some(Kept::OneDay));
    let likely = drags(&course, &told, Case::Likely)[0];
    let now = drags(&course, &told, Case::Unfavourable)[1];
    assert!(now <= likely * (1.0 + 1e-9), "{now} N·m, {likely} was likely");
    assert!(page(&course).contains("measured on one day only"));
    // Another day that tells the same frees it.
    let mut twice = course.clone();
    for at in [2, 3] {
        let mut again = course.runs.list[at].clone();
        again.date = course.runs.list[11].date;
        again.number = twice.runs.list.len() + 1;
        twice.runs.list.push(again);
    }
    let told = account(&twice);
    assert_eq!(told.course.earned.drag_of("pickup").unwrap().kept, None);
    assert!(drags(&twice, &told, Case::Unfavourable)[1] > likely);
}

#[test]
fn a_run_on_the_dangerous_side_is_never_explained_away() {
    let mut course = bank(&[]);
    let Seen::Slid { length, .. } = &mut course.runs.list[10].seen else { panic!("a slide") };
    *length = Length::new(7.0);
    let told = account(&course);
    assert!(!told.standings[10].counts() && told.dangerous[10], "{:?}", told.standings);
    let ground = |course: &Course| course.surface("gravel-firm").cloned();
    let now = ground(&told.course);
    if let Some(now) = now {
        let before = slopepack::course::library_surface("gravel-firm").unwrap();
        assert!(now.sliding.low <= before.sliding.low && now.peak.low <= before.peak.low, "{now:?}");
    }
    let page = page(&course);
    for words in ["is on the dangerous side: it slid farther", "Until it is explained"] {
        assert!(page.contains(words), "{words}\n{page}");
    }
}

#[test]
fn whichever_of_three_is_put_aside_the_drag_is_not_taken_for_more_than_before() {
    for times in
        [[(3, 2.4), (4, 2.5), (5, 2.9)], [(3, 7.5), (4, 7.4), (5, 2.6)], [(3, 4.3), (4, 9.0), (5, 2.9)]]
    {
        let course = bank(&times);
        let told = account(&course);
        let least = drags(&course, &told, Case::Unfavourable);
        let likely = drags(&course, &told, Case::Likely)[0];
        let fast = told.dangerous[2..5].iter().any(|dangerous| *dangerous);
        let bound = if fast { least[0] } else { likely };
        assert!(
            least[1] <= bound * (1.0 + 1e-9),
            "{times:?}: {} over {bound}, {:?}",
            least[1],
            told.standings
        );
    }
}

#[test]
fn the_page_says_who_drove_over_the_limit_and_where_the_drag_was_measured() {
    let page = page(&bank(&[]));
    for words in ["Runs 3, 4, 5, 10 were faster than 12", "engine drag at 2", "1 not used"] {
        assert!(page.contains(words), "{words}\n{page}");
    }
    assert!(!page.contains("(a unit?)"), "a watch has none, and a gear fits");
}
