//! The command line: its words, no behaviour.
//!
//! ```
//! use clap::Parser as _;
//! use slopepack::cli::Cli;
//! assert!(Cli::try_parse_from(["slopepack", "check", "day.yaml"]).is_ok());
//! assert!(Cli::try_parse_from(["slopepack", "chekc", "day.yaml"]).is_err());
//! ```

mod shard;
mod survey;
mod typesetter;
mod words;

use std::path::PathBuf;

use clap::{Arg, ArgAction, Args, CommandFactory, Parser, Subcommand};
use clap_complete::Shell;

use crate::pack::Audience;
pub use shard::Shard;
pub use survey::SurveyArgs;
pub use typesetter::TypesetterArgs;
use words::{clock, clock_words, units};

/// Exit codes, as the help shows them.
const EXIT_CODES: &str = "Exit codes: 0 done; 1 the course needs mending (with file, line and column); \
2 wrong arguments; 3 the typesetter is missing, too old, failed or timed out; 4 files could not be read or \
written; 129, 130 or 143 it was told to end (the terminal closed, Ctrl-C, a request to end) and has cleared up.";

/// Works out how each vehicle comes down each slope, and prints the day's papers.
#[derive(Debug, Parser)]
#[command(
    name = "slopepack",
    version,
    after_help = EXIT_CODES,
    disable_help_flag = true,
    disable_version_flag = true,
    disable_help_subcommand = true
)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
    /// Say nothing but problems.
    #[arg(long, short, global = true)]
    pub quiet: bool,
    /// Tell what can be written here.
    #[arg(long, short, global = true, action = ArgAction::Help)]
    help: Option<bool>,
    /// Tell which slopepack this is.
    #[arg(long, short = 'V', action = ArgAction::Version)]
    version: Option<bool>,
}

/// The help of the program.
const PROGRAM: &str = "{about}\n\nYou write\n  {usage}\n\nWhat it can do\n{subcommands}\n\nWith each of them\n{options}{after-help}\n";
/// The help of one command.
const EACH: &str = "{about}\n\nYou write\n  {usage}\n\nWith\n{positionals}\n\nAnd, if you like\n{options}\n";

/// The command line with its help in the program's own form: what stands when nothing is said, and what may be
/// said, is told in the words of each argument.
pub fn command() -> clap::Command {
    Cli::command().help_template(PROGRAM).mut_subcommands(|command| {
        let own = |argument: Arg| {
            if argument.get_action().takes_values() {
                argument.hide_default_value(true).hide_env(true).hide_possible_values(true)
            } else {
                argument.hide_env(true)
            }
        };
        command.help_template(EACH).mut_args(own)
    })
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Begin: write a first course into a folder, with every key explained where it stands.
    Begin(BeginArgs),
    /// Print the pack: every document of the day as PDF, with an index and a manifest.
    Pack(PackArgs),
    /// Show the figures: every worked example and every descent.
    Reckon(ReckonArgs),
    /// Print parallel question papers with answer sheets and mark schemes.
    Papers(PapersArgs),
    /// Mark keyed answers: results, feedback, item statistics.
    Mark(MarkArgs),
    /// Read a course and report every mistake in it.
    Check(CheckArgs),
    /// Turn what was measured on the ground into the stretches of a slope, with how sure they are.
    Survey(SurveyArgs),
    /// Write what a course file may hold, for editors that check and complete it (JSON Schema).
    Schema(SchemaArgs),
    /// Write the words of a page that a club may word itself, or a first page of its own.
    Wording(WordingArgs),
    /// Write what a shell needs to complete commands and options.
    Completions(CompletionsArgs),
    /// Write the manual page.
    Manual,
    /// Ends the children of a run that died; started by the program itself.
    #[command(hide = true)]
    Guard,
}

/// `schema`.
#[derive(Debug, Args)]
pub struct SchemaArgs {
    /// Of which file: course, or items (of question papers); course when nothing is said.
    #[arg(value_enum, default_value_t = SchemaOf::Course)]
    pub of: SchemaOf,
}

/// A file that has a schema.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub enum SchemaOf {
    /// A course.
    Course,
    /// Items for question papers.
    Items,
}

/// `begin`. What is not given here is asked for at a terminal.
#[derive(Debug, Default, Args)]
pub struct BeginArgs {
    /// Folder for the course; nothing that is in it is written over.
    pub folder: PathBuf,
    /// What the day is called.
    #[arg(long)]
    pub title: Option<String>,
    /// The club or school.
    #[arg(long)]
    pub club: Option<String>,
    /// Where people find it.
    #[arg(long)]
    pub site: Option<String>,
    /// What the pages show, metric or imperial.
    #[arg(long, value_name = "UNITS", value_parser = units)]
    pub units: Option<String>,
    /// A4 or letter.
    #[arg(long, value_parser = ["A4", "letter"])]
    pub paper: Option<String>,
    /// Ground of the slopes, one of the library: grass-wet, earth-dry, gravel-loose and others.
    #[arg(long, value_name = "SURFACE")]
    pub ground: Option<String>,
    /// A slope: name, length, gradient, and the run-out if it was measured: `North bank, 40 m, 12°, 30 m`; may be
    /// given again.
    #[arg(long = "slope", value_name = "SLOPE")]
    pub slopes: Vec<String>,
    /// A vehicle: name, class and whether it has a low range, `blue wagon, wagon, low range`; may be given again.
    #[arg(long = "vehicle", value_name = "VEHICLE")]
    pub vehicles: Vec<String>,
    /// Ask nothing, even at a terminal.
    #[arg(long)]
    pub nothing_asked: bool,
}

/// `wording`.
#[derive(Debug, Args)]
pub struct WordingArgs {
    /// A document, by its file name without ending: joining-notes, convoy or after-day; a first page of your own
    /// when none is named.
    pub document: Option<String>,
}

/// `completions`.
#[derive(Debug, Args)]
pub struct CompletionsArgs {
    /// The shell: bash, elvish, fish, powershell or zsh.
    pub shell: Shell,
}

/// `pack`.
#[derive(Clone, Debug, Args)]
#[expect(clippy::struct_excessive_bools, reason = "each is an option of its own on the command line")]
pub struct PackArgs {
    /// The course file (YAML).
    pub course: PathBuf,
    /// Folder the pack goes into, `out` if none is named; files of others in it stay, and so does what somebody
    /// changed.
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub into: PathBuf,
    /// Only papers for this reader: instructor (prepares and teaches the day), assessor (tests knowledge and
    /// driving) or club (runs the day with volunteers); may be given again.
    #[arg(long = "for", value_name = "WHO")]
    pub audience: Vec<Audience>,
    /// Only this document, by its file name without ending; may be given again.
    #[arg(long, value_name = "DOCUMENT")]
    pub only: Vec<String>,
    /// On the day: a driver, somebody of the staff or a vehicle that is missing, or a slope that is closed; may be
    /// given again. Makes the rota nearest to the last one printed, changes of before included, and prints only
    /// what changed, into the folder `change` of the pack's folder.
    #[arg(long, value_name = "ID")]
    pub without: Vec<String>,
    /// On the day: somebody who turns up, `-w 'T. Late, diesel wagon, novice'`, `-w 'T. Late, with A. B., some'`,
    /// `-w 'Helper 9, marshal'`; or the name of whoever or whatever was missing and is there again. May be given
    /// again; changes the rota like `--without`.
    #[arg(long = "with", short = 'w', value_name = "WHO")]
    pub came: Vec<String>,
    /// On the day: a slope talks on another radio channel from now on, `--channel 'SLOPE: Channel 5'`; control's without
    /// a slope. May be given again; what is printed is as with `--without`.
    #[arg(long, value_name = "SLOPE: CHANNEL")]
    pub channel: Vec<String>,
    /// On the day: it rained, and a slope is reckoned with another surface from now on, `--surface 'SLOPE: clay-wet'`, or
    /// `'SLOPE: wet'` with the one that the course or the library has for it in the wet. May be given again; what is
    /// printed is as with `--without`.
    #[arg(long, value_name = "SLOPE: SURFACE")]
    pub surface: Vec<String>,
    /// With a change: from when on; what was before stays as it was.
    #[arg(long, value_name = "HH:MM", value_parser = clock)]
    pub from: Option<u16>,
    /// With a change: the longest time to look for the nearest rota, in seconds; the best that was
    /// found by then is taken. Without it a count of steps ends the search.
    #[arg(long, value_name = "SECONDS", value_parser = clap::value_parser!(u64).range(1..=3_600))]
    pub seconds: Option<u64>,
    /// With a change, where the course has several days: on which, from 1. Its changes go into a
    /// folder of their own, `change-day-2`.
    #[arg(long, value_name = "NUMBER")]
    pub day: Option<usize>,
    /// With `--without`, where the course has several days: on this day alone. Otherwise people and vehicles stay
    /// missing on the days after it, and those days are changed as well.
    #[arg(long)]
    pub one_day: bool,
    /// The clock time that stands on every sheet as that of printing; a change without it takes the clock's.
    #[arg(long, value_name = "HH:MM", value_parser = clock_words)]
    pub printed: Option<String>,
    /// Also write a picture of each document's pages on one sheet (PNG).
    #[arg(long)]
    pub previews: bool,
    /// Also lay cards two and four to a sheet with cut marks, and the workbook as a booklet.
    #[arg(long)]
    pub print_ready: bool,
    /// Also print briefing, notes, workbook, quiz and cards in large print: 18 pt and over.
    #[arg(long)]
    pub large_print: bool,
    /// Print again whenever the course, its roster or a picture changes, until Ctrl-C.
    #[arg(long, conflicts_with = "without")]
    pub watch: bool,
    /// How to find the typesetter.
    #[command(flatten)]
    pub typesetter: TypesetterArgs,
}

impl PackArgs {
    /// Whether a change on the day is asked for.
    pub fn changes(&self) -> bool {
        [&self.without, &self.came, &self.channel, &self.surface].iter().any(|words| !words.is_empty())
    }
}

/// `reckon`.
#[derive(Debug, Args)]
pub struct ReckonArgs {
    /// The course file (YAML).
    pub course: PathBuf,
    /// Only this slope.
    #[arg(long, value_name = "ID")]
    pub slope: Option<String>,
    /// Only this vehicle.
    #[arg(long, value_name = "ID")]
    pub vehicle: Option<String>,
    /// For machines: one JSON document, values in SI.
    #[arg(long, conflicts_with = "csv")]
    pub json: bool,
    /// For a spreadsheet: one descent a row.
    #[arg(long)]
    pub csv: bool,
}

/// `check`.
#[derive(Debug, Args)]
pub struct CheckArgs {
    /// The course file (YAML).
    pub course: PathBuf,
    /// Also say what to measure or find out first, and how many verdicts wait for it.
    #[arg(long)]
    pub advise: bool,
    /// Folder of fonts for names in scripts that the program does not carry; without it, those of the machine.
    #[arg(long, value_name = "DIR")]
    pub fonts: Option<PathBuf>,
}

/// `papers`.
#[derive(Debug, Args)]
pub struct PapersArgs {
    /// The course file (YAML).
    pub course: PathBuf,
    /// How many parallel forms, up to 10,000; 2 if nothing is said.
    #[arg(long, value_name = "N", default_value_t = 2, value_parser = clap::value_parser!(u16).range(1..=10_000))]
    pub forms: u16,
    /// Print one of several parts of the forms, say 2/4 the second of four, into a folder of its own; the first has what
    /// all forms share. Wants --seed. Put together the parts are what one run prints.
    #[arg(long, value_name = "I/N")]
    pub shard: Option<Shard>,
    /// Draws the papers from this number, not from a secret one: who knows it and has the course can print the answers.
    #[arg(long, value_name = "N")]
    pub seed: Option<u64>,
    /// Also print each paper set anew in large print.
    #[arg(long)]
    pub large_print: bool,
    /// Also print each paper on a tinted page, as the course's `tint` says.
    #[arg(long)]
    pub coloured: bool,
    /// Who sits the paper and what was agreed for each (CSV): candidate, name, extra time, reader, large print, tint.
    #[arg(long, value_name = "FILE")]
    pub candidates: Option<PathBuf>,
    /// Folder for the papers, `out/papers` if none is named; files of others stay, and so does what somebody changed.
    #[arg(long, value_name = "DIR", default_value = "out/papers")]
    pub into: PathBuf,
    /// How to find the typesetter.
    #[command(flatten)]
    pub typesetter: TypesetterArgs,
}

/// `mark`.
#[derive(Debug, Args)]
pub struct MarkArgs {
    /// The course file (YAML) the papers were made from.
    pub course: PathBuf,
    /// Folder of the papers.
    #[arg(long, value_name = "DIR")]
    pub papers: PathBuf,
    /// The keyed answers (CSV).
    #[arg(long, value_name = "FILE")]
    pub answers: PathBuf,
    /// Observations by two assessors (CSV), for the moderation sheet.
    #[arg(long, value_name = "FILE")]
    pub observations: Option<PathBuf>,
    /// What a panel judges a candidate who just passes to get (CSV, judges.csv of the papers): the cut and its error.
    #[arg(long, value_name = "FILE")]
    pub judges: Option<PathBuf>,
    /// Practicals with the assessor's word (CSV): candidate, marks, overall; for the borderline group's cut.
    #[arg(long, value_name = "FILE")]
    pub practical: Option<PathBuf>,
    /// Marks given by persons: to-judge.csv of an earlier run, filled in (CSV).
    #[arg(long, value_name = "FILE")]
    pub judged: Option<PathBuf>,
    /// Only the results as CSV; no sheets, so no typesetter is needed.
    #[arg(long)]
    pub only_csv: bool,
    /// Folder for the results, `out/results` if none is named; files of others stay, and so does what somebody changed.
    #[arg(long, value_name = "DIR", default_value = "out/results")]
    pub into: PathBuf,
    /// How to find the typesetter.
    #[command(flatten)]
    pub typesetter: TypesetterArgs,
}
