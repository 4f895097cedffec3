//! `pack`.
use super::say::Say;
use crate::cli::PackArgs;
use crate::problem::Failure;
pub fn run(_args: &PackArgs, _say: &Say) -> Result<(), Failure> {
    Ok(())
}
