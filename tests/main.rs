//! The promises of the program, one file a promise.
mod course_examples;
mod course_faults;
