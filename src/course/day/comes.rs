//! When somebody comes and goes.

/// Minutes of a day.
const WHOLE_DAY: u16 = 24 * 60;

/// When somebody comes and goes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Comes {
    /// Minutes since midnight at which they come on their first day; none for who is there from its start.
    pub arrives: Option<u16>,
    /// Minutes since midnight at which they go on their last day; none for who stays to its end.
    pub leaves: Option<u16>,
    /// The days on which they come, from 1; empty for all.
    pub days: Vec<usize>,
}

impl Comes {
    /// From when to when somebody is there on a day of so many, minutes since midnight; none when they do not
    /// come that day.
    pub fn between(&self, day: usize, of: usize) -> Option<(u16, u16)> {
        if !self.days.is_empty() && !self.days.contains(&day) {
            return None;
        }
        let first = self.days.iter().copied().min().unwrap_or(1);
        let last = self.days.iter().copied().max().unwrap_or(of);
        let from = self.arrives.filter(|_| day == first).unwrap_or(0);
        let until = self.leaves.filter(|_| day == last).unwrap_or(WHOLE_DAY);
        Some((from, until))
    }
}
