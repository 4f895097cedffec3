//! How long the program's own work takes, by the example courses:
//!
//! ```text
//! cargo bench --locked
//! ```

// A bench that cannot go on has failed, and says where.
#![allow(clippy::unwrap_used, missing_docs)]

use std::path::Path;

use divan::{Bencher, black_box};
use slopepack::course::{Course, read, read_text};
use slopepack::engine::{pairs_where, reckon};
use slopepack::lesson::worked_examples;
use slopepack::pack::Book;
use slopepack::recovery::{Depth, recoveries};
use slopepack::rota::plan;

const COURSES: [&str; 3] = ["quarry-day", "hill-club-weekend", "six-slope-saturday"];

fn main() {
    divan::main();
}

fn course(name: &str) -> Course {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("courses/{name}.yaml"));
    read(&path).unwrap_or_else(|_| panic!("{name} is read")).course
}

#[divan::bench]
fn the_course_is_read(bencher: Bencher) {
    let text = include_str!("../../courses/quarry-day.yaml");
    bencher.bench(|| read_text(black_box(text)).is_ok());
}

#[divan::bench]
fn one_vehicle_on_one_slope(bencher: Bencher) {
    let course = course("quarry-day");
    let (slope, vehicle) = (&course.slopes[0].id, &course.vehicles[0].id);
    bencher.bench(|| pairs_where(black_box(&course), |at, who| at.id == *slope && who.id == *vehicle));
}

#[divan::bench(args = COURSES)]
fn the_whole_course(bencher: Bencher, name: &str) {
    let course = course(name);
    bencher.bench(|| reckon(black_box(&course)));
}

#[divan::bench(args = COURSES)]
fn its_worked_examples(bencher: Bencher, name: &str) {
    let course = course(name);
    let reckoning = reckon(&course);
    bencher.bench(|| worked_examples(black_box(&course), &reckoning));
}

#[divan::bench(args = COURSES)]
fn getting_each_back(bencher: Bencher, name: &str) {
    let course = course(name);
    bencher.bench(|| recoveries(black_box(&course), Depth::Likely));
}

#[divan::bench(args = COURSES)]
fn its_book(bencher: Bencher, name: &str) {
    let course = course(name);
    bencher.bench(|| Book::of(black_box(&course), "0000-0000").fingerprint.len());
}

#[divan::bench(sample_count = 10)]
fn the_rota_of_six_slopes(bencher: Bencher) {
    let course = course("six-slope-saturday");
    let reckoning = reckon(&course);
    bencher.bench(|| plan(black_box(&course), &reckoning).is_ok());
}
