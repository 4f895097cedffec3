//! The options of `survey`.

use std::path::PathBuf;

use clap::Args;

use super::typesetter::TypesetterArgs;
use crate::quantity::{Length, parse};
use crate::survey::INSTRUMENTS;

/// `survey`.
#[derive(Debug, Args)]
pub struct SurveyArgs {
    /// What was measured, from brow to foot (CSV): heights, `level (m),height (m)`, each with its distance from the first
    /// point; or pieces, `along (m),angle`, each with its own length. `along` is a tape on the ground, `level` one held
    /// level; a piece may have a `drop` for its angle. Or a track with heights (GPX).
    pub table: PathBuf,
    /// With what: level, hand-level, tape (held level and stepped down), clinometer, phone (on a board), laser; of a
    /// track satellite or barometer.
    #[arg(long, value_name = "NAME", value_parser = INSTRUMENTS.iter().map(|one| one.name).collect::<Vec<_>>())]
    pub instrument: String,
    /// What its maker says it is off by at most, to either side: `0.25°`, or for heights `5 mm`; without it, what such
    /// instruments are usually worth.
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    pub accuracy: Option<String>,
    /// Each line was sighted up and down, and half the difference noted: what the instrument is askew by is gone.
    #[arg(long)]
    pub both_ways: bool,
    /// Also print it on one sheet (PDF): the readings over the ground found, the stretches, what to know.
    #[arg(long, value_name = "FILE")]
    pub sheet: Option<PathBuf>,
    /// How to find the typesetter.
    #[command(flatten)]
    pub typesetter: TypesetterArgs,
    /// Also tell the steepest part of this length, such as a vehicle's: `4.6 m`.
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    pub over: Option<Length>,
}

/// A length of ground.
fn length(text: &str) -> Result<Length, String> {
    let length: Length = parse(text).map_err(|why| why.to_string())?;
    if length.si() > 0.0 { Ok(length) } else { Err("a length is more than nothing: 4.6 m".to_owned()) }
}
