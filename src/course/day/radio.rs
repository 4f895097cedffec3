//! Radio channels: the day's is control's and everybody's, unless a slope talks on one of its own.

use crate::course::{Course, Name, Slope};

impl Course {
    /// The channel of a slope: its own, else the day's; none where nobody said one.
    pub fn channel_of<'a>(&'a self, slope: &'a Slope) -> Option<&'a Name> {
        slope.channel.as_ref().or(self.day.channel.as_ref())
    }

    /// The channel of a slope that is not control's; none where everybody there is on control's.
    pub fn own_channel<'a>(&self, slope: &'a Slope) -> Option<&'a Name> {
        slope.channel.as_ref().filter(|own| self.day.channel.as_ref() != Some(*own))
    }
}
