//! The numbers of the table of parts, at the places of the drawings: the order of hooking up.

use serde::Serialize;

use crate::recovery::layout::{Joint, WinchAt};
use crate::recovery::rig::{Joins, Part, Rig, Role};

/// Rows of the table: a part of each and its number.
pub(crate) type Numbered<'a> = &'a [(&'a Part, usize)];

/// Numbers at the far end, along the line, and at the stuck vehicle.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub(crate) struct Tags {
    pub far: String,
    pub line: String,
    pub near: String,
}

impl Tags {
    /// Of a rig and its table.
    pub(crate) fn of(rig: &Rig, rows: Numbered) -> Self {
        let loads =
            |joints: &[Joint]| -> Vec<f64> { joints.iter().map(|joint| joint.load(rig.fall_line)).collect() };
        let (at_far, at_near) = (loads(rig.layout.fixed), loads(rig.layout.casualty));
        let near_winch = rig.layout.winch == WinchAt::Casualty;
        let carries = |part: &Part, loads: &[f64]| loads.iter().any(|load| (part.load - load).abs() < 1.0);
        let far = |part: &Part| match part.role {
            Role::Anchor | Role::Braked | Role::Grip | Role::Strap | Role::HelperPoint => true,
            Role::Winch => !near_winch,
            Role::Block => carries(part, &at_far),
            Role::Shackle => part.joins.is_some_and(|joins| !joins.near() && joins != Joins::Extension),
            _ => false,
        };
        let near = |part: &Part| match part.role {
            Role::CasualtyPoint | Role::Bridle => true,
            Role::Winch => near_winch,
            Role::Block => carries(part, &at_near),
            Role::Shackle => part.joins.is_none_or(Joins::near),
            _ => false,
        };
        let line = |part: &Part| {
            matches!(part.role, Role::WinchLine | Role::Extension | Role::TowLine)
                || part.joins == Some(Joins::Extension)
        };
        Self { far: numbers(rows, far), line: numbers(rows, line), near: numbers(rows, near) }
    }

    /// Aloud.
    pub(crate) fn spoken(&self) -> String {
        format!("at the far end {}, along the line {}, at the vehicle {}", self.far, self.line, self.near)
    }
}

/// The numbers of the rows that are wanted: `1–3, 5`.
pub(crate) fn numbers(rows: Numbered, wanted: impl Fn(&Part) -> bool) -> String {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for no in rows.iter().filter(|(part, _)| wanted(part)).map(|(_, no)| *no) {
        match runs.last_mut() {
            Some((_, end)) if no == *end + 1 => *end = no,
            _ => runs.push((no, no)),
        }
    }
    let said = |(from, to): &(usize, usize)| match to - from {
        0 => from.to_string(),
        1 => format!("{from}, {to}"),
        _ => format!("{from}–{to}"),
    };
    runs.iter().map(said).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_in_a_row_are_told_as_a_run() {
        let part = |role| Part::new(role, "x", "x", 1.0, 2.0);
        let parts = [Role::Anchor, Role::Strap, Role::Winch, Role::Block, Role::Shackle].map(part);
        let rows: Vec<(&Part, usize)> = parts.iter().zip(1..).collect();
        assert_eq!(numbers(&rows, |part| part.role != Role::Block), "1–3, 5");
        assert_eq!(numbers(&rows, |part| matches!(part.role, Role::Anchor | Role::Strap)), "1, 2");
        assert_eq!(numbers(&rows, |_| false), "");
    }
}
