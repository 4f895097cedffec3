//! The promises of the program, one file a promise.
mod course_examples;
mod course_faults;
mod course_quantities;
mod course_tyres;
mod course_yaml;
