//! `completions` and `manual`: what a shell and a reader at a terminal are given, from the command line itself.

use super::write_out;
use crate::cli::{self, CompletionsArgs};
use crate::problem::Failure;

/// Writes the completions of a shell to standard output.
pub(super) fn completions(args: &CompletionsArgs) -> Result<(), Failure> {
    let mut written = Vec::new();
    clap_complete::generate(args.shell, &mut cli::command(), "slopepack", &mut written);
    write_out(&String::from_utf8_lossy(&written))
}

/// Writes the manual page to standard output.
pub(super) fn manual() -> Result<(), Failure> {
    let mut written = Vec::new();
    let page = clap_mangen::Man::new(cli::command());
    page.render(&mut written).map_err(|why| Failure::Template(format!("the manual page: {why}")))?;
    write_out(&String::from_utf8_lossy(&written))
}
