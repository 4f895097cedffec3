//! A disc or drum whose temperature was read after descents on the foot brake.

use crate::course::cursor::{Field, Fields, Noted, Read};
use crate::course::read::point::ENDS;
use crate::course::{End, Heated};
use crate::quantity::{Speed, Temperature, Time};

/// Every key of such a run alone, read.
pub(super) struct Parts {
    end: Read<Option<End>>,
    descents: Read<Option<u16>>,
    every: Read<Option<Time>>,
    before: Read<Option<Temperature>>,
    waited: Read<Option<Time>>,
    hot: Read<Option<Temperature>>,
}

impl Parts {
    pub(super) fn of(fields: &mut Fields) -> Self {
        let warm = |field: Field| field.within::<Temperature>("-40 °C", "700 °C");
        Self {
            end: fields.optional("axle", |field| field.choice(ENDS)),
            descents: fields.optional("descents", |field| field.whole::<u16>(1, 50)),
            every: fields.optional("every", |field| field.within::<Time>("10 s", "60 min")),
            before: fields.optional("before", warm),
            // The rubbed face is hotter than the iron behind it until about a minute has passed: from memory.
            waited: fields.optional("waited", |field| field.within::<Time>("30 s", "15 min")),
            hot: fields.optional("hot", warm),
        }
    }

    /// From parts that are there, at a mean speed of the descents.
    pub(super) fn heated(self, speed: Speed, fields: &Fields) -> Read<Heated> {
        let (descents, every) = (self.descents?.unwrap_or(1), self.every?);
        if descents > 1 && every.is_none() {
            let help = "add a line like `every: 3 min`, from the foot of one to the brow of the next";
            return Err(fields.problem("descents", "this run does not say how often it went down", help));
        }
        let (before, hot) = (self.before?.ok_or(Noted)?, self.hot?.ok_or(Noted)?);
        if hot.si() <= before.si() {
            let help = "`before` is what it read before the first descent, `hot` what it read after the last";
            return Err(fields.problem("hot", "this run's brakes were no hotter than before", help));
        }
        Ok(Heated {
            end: self.end?.ok_or(Noted)?,
            descents,
            every: every.unwrap_or(Time::new(0.0)),
            speed,
            before,
            waited: self.waited?.ok_or(Noted)?,
            hot,
        })
    }
}
