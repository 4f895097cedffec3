//! Who turns up late has missed what their group did before: what builds on it they watch.

use super::Missing;
use crate::course::Course;
use crate::engine::Reckoning;
use crate::rota::ask::{comes_first, is_steep};
use crate::rota::{Rota, Station, had_before};

/// The station that comes first for a slope and that a driver who came late missed with the group they join; none when
/// nothing of it was missed.
pub fn missed_first(
    course: &Course,
    reckoning: &Reckoning,
    rota: &Rota,
    missing: &Missing,
    group: usize,
    driver: usize,
    slope: usize,
) -> Option<Station> {
    missing.late.get(&driver)?;
    let gone = rota.visits.iter().filter(|visit| {
        let start = rota.slots.get(visit.slot).map_or(0, |slot| slot.start);
        visit.group == group
            && !missing.was_there(driver, start)
            && !had_before(course, driver, visit.station)
    });
    let steep = || is_steep(course, reckoning, &[driver], slope);
    let driven = |slope: usize| course.before().driven.contains(&(driver, slope));
    gone.map(|visit| visit.station).find(|station| match station {
        Station::Theory => steep(),
        Station::Demonstration(shown) => *shown == slope || steep(),
        Station::Slope(other) => {
            *other != slope && !driven(*other) && comes_first(course, reckoning, &[driver], *other, slope)
        }
    })
}
