//! When it is light.

use chrono::Timelike;
use sunrise::{Coordinates, SolarDay, SolarEvent};

use crate::course::RotaRules;

/// Sunrise and sunset, minutes since midnight on the course's clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sun {
    /// Sunrise.
    pub rise: u16,
    /// Sunset.
    pub set: u16,
}

/// The sun of the day; none without place and date, or where it neither rises nor sets.
pub fn sun(rules: &RotaRules) -> Option<Sun> {
    let (date, place) = (rules.date?, rules.place?);
    let day = SolarDay::new(Coordinates::new(place.latitude, place.longitude)?, date);
    let zone = chrono::FixedOffset::east_opt(place.ahead * 60)?;
    let minutes = |event| {
        let time = day.event_time(event)?.with_timezone(&zone);
        u16::try_from(time.hour() * 60 + time.minute()).ok()
    };
    let (rise, set) = (minutes(SolarEvent::Sunrise)?, minutes(SolarEvent::Sunset)?);
    (rise < set).then_some(Sun { rise, set })
}
