//! The promises of the program, one file a promise.

// A test that cannot go on has failed, and says where.
#![allow(clippy::unwrap_used, clippy::cast_precision_loss)]

mod course_examples;
mod course_faults;
mod course_quantities;
mod course_tyres;
mod course_yaml;
mod engine_courses;
mod engine_published;
mod engine_published_drivetrain;
mod engine_published_grip;
mod engine_published_heat;
mod engine_truths;
mod pack_text;
mod print_picture;
mod print_problem;
mod print_publish;
mod print_shape;
mod print_text;
mod print_typesetter;
mod rota_faults;
mod rota_plan;
mod roster_files;
