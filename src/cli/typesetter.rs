//! How to find the typesetter, as several commands take it.

use std::path::PathBuf;

use clap::Args;

/// Where the typesetter is.
#[derive(Clone, Debug, Args)]
pub struct TypesetterArgs {
    /// The typesetter's program; without it, what SLOPEPACK_TYPST says, or else `typst` beside
    /// this program or on PATH.
    #[arg(long, value_name = "PATH", env = "SLOPEPACK_TYPST")]
    pub typst: Option<PathBuf>,
    /// Longest time for one document, in seconds, up to a day; 60 if nothing is said.
    #[arg(long, value_name = "SECONDS", default_value_t = 60, value_parser = clap::value_parser!(u64).range(1..=86_400))]
    pub time_limit: u64,
    /// Folder of fonts for names in scripts that the program does not carry; without it, those of the machine.
    #[arg(long, value_name = "DIR")]
    pub fonts: Option<PathBuf>,
    /// Typeset everything afresh, and keep nothing for the next run; so does SLOPEPACK_NO_CACHE=1.
    #[arg(long, env = "SLOPEPACK_NO_CACHE", value_parser = clap::builder::FalseyValueParser::new())]
    pub no_cache: bool,
}
