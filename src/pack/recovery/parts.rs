//! The table of a rig's parts: alike ones in one row, in the order of hooking up.

use serde::Serialize;

use crate::pack::book::Book;
use crate::pack::recovery::words;
use crate::page::figure::Fig;
use crate::recovery::ladder::kit::unchecked;
use crate::recovery::rig::{Joins, Part, Rig, Role};

/// A row of the table of parts.
#[derive(Serialize)]
pub(crate) struct PartRow {
    no: String,
    name: String,
    load: Fig,
    rating: Fig,
    left: Fig,
    weakest: bool,
    /// Whether nobody wrote down when it was last checked.
    pub unchecked: bool,
}

/// A row for each group, the weakest marked.
pub(crate) fn part_rows(book: &Book, groups: &[(&Part, usize)], weakest: &Part) -> Vec<PartRow> {
    let show = book.show;
    let row = |(no, (part, count)): (usize, &(&Part, usize))| {
        let name = words::part_name(part, &book.vehicle_mark(&part.id));
        PartRow {
            no: no.to_string(),
            unchecked: unchecked(book.course, part),
            name: if *count > 1 { format!("{count} × {name}") } else { name },
            load: show.fine_force(part.load, false),
            rating: show.fine_force(part.rating, false),
            left: Fig::new(format!("{:.0}", libm::floor(100.0 * part.margin)), "%", false),
            weakest: same(part, weakest),
        }
    };
    (1..).zip(groups).map(row).collect()
}

/// Parts, alike ones in one row.
pub(crate) fn groups<'a>(parts: Vec<&'a Part>) -> Vec<(&'a Part, usize)> {
    let mut groups: Vec<(&'a Part, usize)> = Vec::new();
    for part in parts {
        match groups.iter_mut().find(|(known, _)| same(known, part)) {
            Some((_, count)) => *count += 1,
            None => groups.push((part, 1)),
        }
    }
    groups
}

/// Parts in the order of hooking up: the far end first, the stuck vehicle last.
pub(crate) fn in_order(rig: &Rig) -> Vec<&Part> {
    let place = |part: &Part| match part.role {
        Role::Anchor | Role::Braked | Role::Grip | Role::TugBrake => 0,
        Role::Strap => 1,
        Role::HelperPoint => 2,
        Role::Shackle if part.joins == Some(Joins::Extension) => 7,
        Role::Shackle if part.joins.is_none_or(Joins::near) => 9,
        Role::Shackle => 3,
        Role::Winch => 4,
        Role::WinchLine => 5,
        Role::Block => 6,
        Role::Extension | Role::TowLine | Role::TowBar => 7,
        Role::Bridle => 8,
        Role::CasualtyPoint => 10,
    };
    let mut all: Vec<&Part> = rig.parts.iter().collect();
    all.sort_by_key(|part| place(part));
    all
}

fn same(a: &Part, b: &Part) -> bool {
    let alike = (a.role, a.joins) == (b.role, b.joins) && a.id == b.id && a.name == b.name;
    alike && (a.load - b.load).abs() < 1.0 && (a.counts - b.counts).abs() < 1e-9
}

/// The part with the least left of some rigs.
pub(crate) fn weakest(rigs: &[&Rig]) -> Part {
    let all = rigs.iter().map(|rig| rig.weakest_part());
    all.min_by(|a, b| a.margin.total_cmp(&b.margin)).expect("a rig has parts").clone()
}
