//! Figures that runs have narrowed.

use chrono::NaiveDate;

/// What a figure was earned from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct EarnedFrom {
    /// How many runs bear on it.
    pub runs: usize,
    /// The day of the latest.
    pub latest: NaiveDate,
}

impl std::fmt::Display for EarnedFrom {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let plural = if self.runs == 1 { "" } else { "s" };
        write!(f, "measured, {} run{plural}, {}", self.runs, self.latest)
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
        let one = |what: &str, from: Option<EarnedFrom>| from.map(|from| format!("{what} {from}"));
        let all: Vec<String> =
            [one("grip", self.grip), one("rolling resistance", self.rolling)].into_iter().flatten().collect();
        all.join("; ")
    }
}
