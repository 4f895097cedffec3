//! A range of drag, and where in it runs have found an engine.

use super::EngineDrag;
use crate::course::{DragEarned, Engine};
use crate::engine::Case;

impl EngineDrag {
    /// This range, narrowed.
    pub(super) fn earned(self, scores: DragEarned, engine: &Engine) -> Self {
        let speeds = [engine.idle.si(), engine.highest.si()];
        Self::Earned { range: Box::new(self), scores, speeds }
    }

    /// The same engine known to lie at these scores at idle and at its highest speed.
    #[must_use]
    pub fn at_scores(self, [at_idle, at_highest]: [f64; 2], engine: &Engine) -> Self {
        self.earned(DragEarned { at_idle: [at_idle; 3], at_highest: [at_highest; 3] }, engine)
    }

    /// Torque, N·m, at a score in the range of a speed (turns/s): −2 its low end, 0 the likely value, 2 its high end,
    /// straight between and beyond them. An engine never drives itself.
    pub fn scored(&self, score: f64, spin: f64) -> f64 {
        let likely = self.torque(spin, Case::Likely);
        let end = if score < 0.0 { Case::Unfavourable } else { Case::Favourable };
        (likely + (self.torque(spin, end) - likely) * score.abs() / 2.0).max(0.0)
    }
}

/// The score of a case at a speed (turns/s), straight between the two speeds it is known at.
pub(super) fn between(scores: &DragEarned, [idle, highest]: [f64; 2], spin: f64, case: Case) -> f64 {
    let end = match case {
        Case::Unfavourable => 0,
        Case::Likely => 1,
        Case::Favourable | Case::Dragged => 2,
    };
    let part = ((spin - idle) / (highest - idle)).clamp(0.0, 1.0);
    scores.at_idle[end] + (scores.at_highest[end] - scores.at_idle[end]) * part
}
