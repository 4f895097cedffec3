//! `wording`: the text of a page that a club may word itself, to begin from.

use super::write_out;
use crate::cli::WordingArgs;
use crate::pack::{FIRST_PAGE, KINDS, Kind};
use crate::print::Templates;
use crate::problem::Failure;

/// Writes a template to standard output.
pub(super) fn run(args: &WordingArgs) -> Result<(), Failure> {
    let Some(name) = &args.document else { return write_out(FIRST_PAGE) };
    let templates = Templates::embedded()?;
    let part = |kind: &Kind| templates.part(&kind.template()).map(str::to_owned);
    if let Some(text) = Kind::named(name).and_then(part) {
        return write_out(&text);
    }
    let open: Vec<&str> = KINDS.iter().filter(|kind| part(kind).is_some()).map(|kind| kind.name).collect();
    Err(Failure::Usage(format!(
        "`{name}` is no page that a club may word; there are {}; without a name a first page of your own is written",
        open.join(", ")
    )))
}
