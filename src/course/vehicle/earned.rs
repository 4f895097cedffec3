//! Figures that runs have narrowed.

use chrono::NaiveDate;

/// What a figure was earned from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct EarnedFrom {
    /// How many runs bear on it.
    pub runs: usize,
    /// The day of the latest.
    pub latest: NaiveDate,
    /// Why its unfavourable end is kept nearer to what was published than the runs alone would have it.
    pub kept: Option<Kept>,
}

/// Why the unfavourable end of a figure is kept: no verdict is loosened by what could be a slip.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kept {
    /// All runs are of one day: a foot on the brake all day long looks like an engine that holds well. The end is not
    /// raised above the likely value of before.
    OneDay,
    /// This run, by its number, does not fit and lies on the dangerous side. The end stays where it was before, or below.
    Dangerous(usize),
    /// Brakes that read cooler than was reckoned: bright iron reads too low, so nothing is loosened by it.
    Cooler,
}

impl std::fmt::Display for EarnedFrom {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.runs {
            1 => write!(f, "measured, 1 run, {}", self.latest),
            more => write!(f, "measured, {more} runs, last {}", self.latest),
        }
    }
}

/// Where the engine drag lies in its published range, at idle and at the highest engine speed: low, likely, high.
///
/// A score of −2 is the published low end, 0 the likely value, 2 the high end; between and beyond them it runs straight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DragEarned {
    /// At idle speed.
    pub at_idle: [f64; 3],
    /// At the highest speed.
    pub at_highest: [f64; 3],
}

/// What each figure of a surface was earned from; none where no run bears on it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct SurfaceEarned {
    /// Grip.
    pub grip: Option<EarnedFrom>,
    /// Rolling resistance.
    pub rolling: Option<EarnedFrom>,
}

impl SurfaceEarned {
    /// On pages: `grip measured, 4 runs, 2026-05-04`.
    pub fn words(&self) -> String {
        let grip = self.grip.map_or_else(|| "grip not measured".to_owned(), |from| format!("grip {from}"));
        let rolling = self.rolling.map(|from| format!("rolling resistance {from}"));
        std::iter::once(grip).chain(rolling).collect::<Vec<_>>().join("; ")
    }
}
