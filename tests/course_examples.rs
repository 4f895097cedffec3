//! The example courses read without a problem and show what they are meant to show.

use std::path::Path;

use slopepack::course::{Course, advice, read};
use slopepack::problem::{Failure, render_problems};

fn example(name: &str) -> Course {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("courses").join(name);
    match read(&path) {
        Ok(loaded) => loaded.course,
        Err(unread) => match unread.failure {
            Failure::Course(problems) => {
                panic!("{}", render_problems(name, &unread.source, &problems, false))
            }
            failure => panic!("{failure}"),
        },
    }
}

#[test]
fn show() {
    for name in ["quarry-day.yaml", "hill-club-weekend.yaml"] {
        let course = example(name);
        println!("{course:#?}");
        println!("{:#?}", advice(&course));
    }
}
