//! What instruments are worth.

use crate::quantity::{Angle, Length, parse};

/// An instrument, or a way to measure without one. Limits are what a reading is off by at most, to either side, as
/// makers state it; a limit counts as a standard uncertainty of its √3rd part (JCGM 100:2008, 4.3.7), a step as one of
/// its √12th (F.2.2.1).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Instrument {
    /// As it is called on the command line.
    pub name: &'static str,
    /// As it is called in a course.
    pub words: &'static str,
    /// Where its figures come from.
    pub source: &'static str,
    /// Whether all is read from one stand; else errors add up from piece to piece.
    pub one_stand: bool,
    /// Limit of each height read, m.
    pub height: f64,
    /// Limit of a height that is put together from steps down 100 m of ground, m; that of fewer goes with the root.
    pub stepped: f64,
    /// Limit of what all angles have in common, rad.
    pub index: f64,
    /// What of it stays where every line is taken both ways, rad.
    pub index_both_ways: f64,
    /// Step to which an angle is read, rad.
    pub step: f64,
    /// Limit by which eye and target differ in height, m; the same in every sight.
    pub target: f64,
    /// Limit of a distance, as a share of it; the same in all.
    pub distance: f64,
    /// Limit by which the staff stands off the mark on the tape where its height is read, m; every place its own.
    pub mark: f64,
    /// How long an error lasts, s, before another takes its place; 0 where every reading has its own.
    pub lasts: f64,
}

const DEGREE: f64 = std::f64::consts::PI / 180.0;

/// A fibre or steel tape: less than 0.05 m in 100 m.
const TAPE: f64 = 0.000_5;

/// Where a staff is put down beside a tape.
const STAFF: f64 = 0.05;

const NOTHING: Instrument = Instrument {
    name: "",
    words: "",
    source: "",
    one_stand: true,
    height: 0.0,
    stepped: 0.0,
    index: 0.0,
    index_both_ways: 0.0,
    step: 0.0,
    target: 0.0,
    distance: TAPE,
    mark: 0.0,
    lasts: 0.0,
};

/// Every instrument that is known.
pub const INSTRUMENTS: &[Instrument] = &[
    Instrument {
        name: "level",
        words: "level and staff",
        source: "heights ±10 mm: from memory; staff within 50 mm of its mark: common practice, no source; tape: B26",
        height: 0.010,
        mark: STAFF,
        ..NOTHING
    },
    Instrument {
        name: "hand-level",
        words: "hand level or water tube, and staff",
        source: "heights ±20 mm, staff within 50 mm of its mark: common practice, no source; tape: B26",
        height: 0.020,
        mark: STAFF,
        ..NOTHING
    },
    Instrument {
        name: "tape",
        words: "tape and spirit level, stepped down",
        source: "0.10 m in 100 m: B26",
        one_stand: false,
        stepped: 0.10,
        ..NOTHING
    },
    Instrument {
        name: "clinometer",
        words: "sighting clinometer",
        source: "±1/3°, read to 10 minutes: E17; eye and target 0.10 m apart: common practice, no source",
        one_stand: false,
        index: DEGREE / 3.0,
        step: DEGREE / 6.0,
        target: 0.10,
        ..NOTHING
    },
    Instrument {
        name: "phone",
        words: "telephone on a board",
        source: "±1°, ±0.25° both ways, read to 0.1°: from memory",
        one_stand: false,
        index: DEGREE,
        index_both_ways: DEGREE / 4.0,
        step: DEGREE / 10.0,
        ..NOTHING
    },
    Instrument {
        name: "laser",
        words: "laser rangefinder with inclinometer",
        source: "±0.25°, read to 0.1°, 0.2 m in 100 m: from memory",
        index: DEGREE / 4.0,
        step: DEGREE / 10.0,
        distance: 0.002,
        ..NOTHING
    },
    Instrument {
        name: "satellite",
        words: "satellite receiver",
        source: "95 % of heights within 4 m: E18; an error lasts a minute: from memory",
        // Twice the standard uncertainty is 4 m.
        height: 2.0 * ROOT_OF_3,
        distance: 0.0,
        lasts: 60.0,
        ..NOTHING
    },
    Instrument {
        name: "barometer",
        words: "receiver with barometer",
        source: "2.3 m root mean square with the pressure corrected: E19; an error lasts a minute: from memory",
        height: 2.3 * ROOT_OF_3,
        distance: 0.0,
        lasts: 60.0,
        ..NOTHING
    },
];

/// A limit over its standard uncertainty.
const ROOT_OF_3: f64 = 1.732_050_807_568_877_2;

impl Instrument {
    /// The instrument of this name.
    pub fn named(name: &str) -> Option<Self> {
        INSTRUMENTS.iter().find(|one| one.name == name).copied()
    }

    /// The same where each line was taken up and down and the half of the difference noted: what the instrument is
    /// askew by, and a target too high, are gone, and of two readings the mean is better.
    #[must_use]
    pub fn both_ways(self) -> Self {
        Self { index: self.index_both_ways, target: 0.0, step: self.step / std::f64::consts::SQRT_2, ..self }
    }

    /// The same for readings so many seconds apart. Where an error lasts longer than that, readings share it, and count
    /// for as many independent ones as an autoregressive series of that memory does: n(1 − r)/(1 + r).
    #[must_use]
    pub fn read_every(self, seconds: f64) -> Self {
        if self.lasts <= 0.0 {
            return self;
        }
        let shared = libm::exp(-seconds / self.lasts);
        Self { height: self.height * libm::sqrt((1.0 + shared) / (1.0 - shared).max(1e-9)), ..self }
    }

    /// The same with its maker's own accuracy: ± an angle where it measures angles, ± a length where it measures
    /// heights.
    ///
    /// # Errors
    /// The text is not what this instrument's accuracy is.
    pub fn with_accuracy(self, text: &str) -> Result<Self, String> {
        let text = text.trim().trim_start_matches(['±', '+', '-', '/']).trim();
        if self.index > 0.0 {
            let angle: Angle = parse(text).map_err(|_| self.wants("an angle, 0.25°", text))?;
            return Ok(Self { index: angle.si(), index_both_ways: angle.si(), target: 0.0, ..self });
        }
        let length: Length = parse(text).map_err(|_| self.wants("a length, 5 mm", text))?;
        Ok(if self.stepped > 0.0 {
            Self { stepped: length.si(), ..self }
        } else {
            Self { height: length.si(), ..self }
        })
    }

    fn wants(self, what: &str, text: &str) -> String {
        format!("the accuracy of a {} is {what}; `{text}` is not", self.words)
    }

    /// Standard uncertainty of a height that was read at a level distance from the stand, m.
    pub fn of_height(self, distance: f64) -> f64 {
        let turned = distance.abs() * self.step / libm::sqrt(12.0);
        // A first reading from the stand itself is not free of all doubt either.
        libm::hypot(self.height / ROOT_OF_3, turned).max(0.001)
    }

    /// What of a height's standard uncertainty comes from where it was read, on ground that falls this much a metre of level
    /// way, m: errors of distance as errors of height (JCGM 100:2008, 5.1.2).
    pub fn of_place(self, fall: f64) -> f64 {
        fall.abs() * self.mark / ROOT_OF_3
    }

    /// Standard uncertainty of the gradient of a piece of this length that is its own, rad.
    pub fn of_piece(self, length: f64) -> f64 {
        let stepped = self.stepped * libm::sqrt(length / 100.0) / length / ROOT_OF_3;
        let heights = std::f64::consts::SQRT_2 * self.height / ROOT_OF_3 / length;
        libm::hypot(libm::hypot(stepped, heights), self.step / libm::sqrt(12.0)).max(1e-5)
    }

    /// Standard uncertainty that all gradients of sights of this length have in common, rad; `gradient` is theirs.
    pub fn in_common(self, length: f64, gradient: f64) -> f64 {
        let sight = libm::atan(self.target / length.max(0.1));
        let tape = self.distance * libm::sin(gradient) * libm::cos(gradient);
        libm::hypot(libm::hypot(self.index, sight), tape) / ROOT_OF_3
    }
}
