//! A vehicle's own limit below the course's: its engine may turn no faster.

use crate::pack::sheet::descent::DescentRow;

/// Marks of the rows that drive with a limit of their own, each with its speed: `D: 6.6`.
pub(crate) fn own_limits(descents: &[DescentRow]) -> Vec<String> {
    let going = descents.iter().filter(|row| row.within);
    let own = |row: &DescentRow| {
        let own = row.pace.as_ref()?.own.as_ref()?;
        Some(format!("{}: {}", row.vehicle_id, own.speed.v))
    };
    going.filter_map(own).collect()
}

/// The vehicle's own limit and its seconds between the pegs, where one holds wherever it drives.
pub(crate) fn own_everywhere(descents: &[DescentRow]) -> Option<(String, String)> {
    let going = descents.iter().filter(|row| row.within);
    let own = |row: &DescentRow| {
        let own = row.pace.as_ref()?.own.as_ref()?;
        Some((own.speed.text(), format!("{} in {}", own.pegs.apart.text(), own.pegs.least.text())))
    };
    let mut all: Vec<Option<(String, String)>> = going.map(own).collect();
    all.dedup();
    if all.len() == 1 { all.remove(0) } else { None }
}
