//! A small course: papers from the usual blueprint as far as it can be asked, and what was left out.

use slopepack::course::{Blueprint, read_text};
use slopepack::engine::reckon;
use slopepack::paper::{Run, built_in, families, fitted, forms, plan};

#[test]
fn two_vehicles_on_two_slopes_get_papers_and_what_is_left_out_is_said() {
    for text in [
        include_str!("../courses/quarry-day.yaml"),
        include_str!("../courses/hill-club-weekend.yaml"),
        include_str!("../courses/six-slope-saturday.yaml"),
    ] {
        for (vehicles, slopes) in [(2, 2), (1, 2), (1, 1)] {
            let mut course = read_text(text).unwrap();
            course.vehicles.truncate(vehicles);
            course.slopes.truncate(slopes);
            course.papers = Blueprint::default();
            let all = families(&course, &reckon(&course), &built_in());
            let (blueprint, left_out) = fitted(&course.papers, &all).expect("something can be asked");
            let usual = Blueprint::default();
            for cell in &usual.cells {
                let kept =
                    blueprint.cells.iter().find(|one| (one.topic, one.level) == (cell.topic, cell.level));
                let marks = kept.map_or(0, |one| one.marks);
                assert!(marks <= cell.marks);
                let said = left_out.iter().any(|line| {
                    line.starts_with(&format!("{}, {}:", cell.topic.title(), cell.level.key()))
                        && line.ends_with(&format!("{marks} of {} marks", cell.marks))
                });
                assert_eq!(said, marks < cell.marks, "{left_out:?}");
            }
            let plan = plan(&blueprint, &all, 7).expect("it was fitted");
            let drawn = forms(&plan, &all, &Run::of(&blueprint, 2, 7))
                .unwrap_or_else(|why| panic!("{vehicles} vehicles, {slopes} slopes: {}", why.message));
            assert!(drawn.iter().all(|form| form.total() == blueprint.total() && form.total() >= 12));
        }
    }
}
