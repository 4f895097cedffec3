//! A part of a pack, printed among the rest of it: what is there stays, and the index tells of which data it is.

use super::short;
use crate::cli::PackArgs;
use crate::commands::say::Say;
use crate::pack::Kept;
use crate::print::Entry;

/// Whether some documents alone are asked for.
pub(super) fn of_a_pack(args: &PackArgs) -> bool {
    !args.only.is_empty() || !args.audience.is_empty()
}

/// What an earlier run printed and this one leaves there, as the index tells it; papers of other data than this mark's
/// are noted.
pub(super) fn told(kept: &[Entry], mark: &str, say: &Say) -> Vec<Kept> {
    let told = kept.iter().map(|entry| {
        let of = entry.earlier_course.as_deref().map(short);
        let (file, title) = (entry.path.clone(), entry.title.clone());
        Kept { file, title, same: of.is_none(), mark: of.unwrap_or_else(|| mark.to_owned()) }
    });
    let told: Vec<Kept> = told.collect();
    let older = told.iter().filter(|one| !one.same).count();
    if older > 0 {
        say.note(&format!(
            "{older} files there are of an earlier state of the course, as the index says; print the whole pack before they \
             are handed out"
        ));
    }
    told
}
