//! The promises of the program, one file a promise.

mod engine_published;
mod engine_published_drivetrain;
mod engine_published_grip;
mod engine_published_heat;
