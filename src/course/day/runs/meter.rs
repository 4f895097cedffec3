//! What runs are measured with, and how sure each reading is.

/// An instrument, or a way to read without one. Figures are standard uncertainties, SI of what is read.
///
/// What is `own` differs from reading to reading and averages out; what is `shared` stays the same all day and does not.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Meter {
    /// As the course writes it.
    pub name: &'static str,
    /// On pages.
    pub words: &'static str,
    /// Where its figures come from.
    pub source: &'static str,
    /// What it reads.
    pub reads: Reads,
    /// Each reading's own.
    pub own: f64,
    /// The same, as a part of what is read.
    pub own_part: f64,
    /// What all readings of a day have in common.
    pub shared: f64,
    /// The same, as a part of what is read.
    pub shared_part: f64,
}

/// What an instrument reads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reads {
    /// Seconds.
    Time,
    /// Engine speed.
    Spin,
    /// Ground speed.
    Speed,
    /// Force.
    Force,
    /// Where a mark lies.
    Mark,
    /// How hot a disc or drum is.
    Heat,
}

const NOTHING: Meter = Meter {
    name: "",
    words: "",
    source: "",
    reads: Reads::Time,
    own: 0.0,
    own_part: 0.0,
    shared: 0.0,
    shared_part: 0.0,
};

const RPM: f64 = 1.0 / 60.0;
const KMH: f64 = 1.0 / 3.6;

/// Every one that is known.
pub static METERS: &[Meter] = &[
    Meter {
        name: "watch",
        words: "hand watch",
        source: "0.1 s for each of two presses: from memory; 0.05 s of one hand all day: common practice, no source",
        own: 0.14,
        shared: 0.05,
        ..NOTHING
    },
    Meter {
        name: "video",
        words: "video, 30 pictures a second",
        source: "0.03 s: from memory",
        own: 0.03,
        ..NOTHING
    },
    Meter {
        name: "tachometer",
        words: "tachometer of the dashboard",
        source: "±50 rpm: from memory; half of it the same all day: judgement",
        reads: Reads::Spin,
        own: 20.0 * RPM,
        shared: 20.0 * RPM,
        ..NOTHING
    },
    Meter {
        name: "engine-reader",
        words: "reader at the diagnosis socket",
        source: "step 1/4 rpm: from memory; it swings by 5 rpm: common practice, no source",
        reads: Reads::Spin,
        own: 5.0 * RPM,
        ..NOTHING
    },
    Meter {
        name: "speedometer",
        words: "speedometer",
        source: "1 km/h a reading, 3 % all day: from memory",
        reads: Reads::Speed,
        own: KMH,
        shared_part: 0.03,
        ..NOTHING
    },
    Meter {
        name: "satellite",
        words: "satellite receiver",
        source: "0.5 km/h: from memory",
        reads: Reads::Speed,
        own: 0.5 * KMH,
        ..NOTHING
    },
    Meter {
        name: "pegs",
        words: "pegs and hand watch",
        source: "0.14 s in about 5: from memory",
        reads: Reads::Speed,
        own_part: 0.03,
        ..NOTHING
    },
    Meter {
        name: "load-cell",
        words: "load cell",
        source: "1 % a reading, 1 % all day: from memory",
        reads: Reads::Force,
        own_part: 0.01,
        shared_part: 0.01,
        ..NOTHING
    },
    Meter {
        name: "hanging-scale",
        words: "hanging scale",
        source: "3 % a reading, 2 % all day: common practice, no source",
        reads: Reads::Force,
        own_part: 0.03,
        shared_part: 0.02,
        ..NOTHING
    },
    Meter {
        name: "tape",
        words: "tape and chalk marks",
        source: "5 mm a mark: common practice, no source; tape 0.05 m in 100 m: B26",
        reads: Reads::Mark,
        own: 0.005,
        shared_part: 0.000_5,
        ..NOTHING
    },
    Meter {
        name: "touch-probe",
        words: "touch probe held on the iron",
        source: "3 K a touch, 2 K all day: common practice, no source",
        reads: Reads::Heat,
        own: 3.0,
        shared: 2.0,
        ..NOTHING
    },
    Meter {
        name: "infrared",
        words: "infrared thermometer on a matt black ring",
        source: "2 K a reading; 5 K all day, as matt paint is 0.90 to 0.98: judgement",
        reads: Reads::Heat,
        own: 2.0,
        shared: 5.0,
        ..NOTHING
    },
    Meter {
        name: "crayon",
        words: "temperature crayons",
        source: "the step between two of them, ±6 K: common practice, no source",
        reads: Reads::Heat,
        own: 6.0,
        ..NOTHING
    },
];

impl Meter {
    /// The one of this name.
    pub fn named(name: &str) -> Option<&'static Self> {
        METERS.iter().find(|one| one.name == name)
    }

    /// Standard uncertainty of a reading that is its own, SI.
    pub fn own_at(&self, reading: f64) -> f64 {
        libm::hypot(self.own, self.own_part * reading)
    }

    /// Standard uncertainty that the readings of a day have in common, SI.
    pub fn shared_at(&self, reading: f64) -> f64 {
        libm::hypot(self.shared, self.shared_part * reading)
    }
}
