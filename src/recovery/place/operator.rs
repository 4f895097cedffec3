//! Where whoever works a winch is: told once, and every page says it in these words.

use serde::Serialize;

use crate::recovery::rig::Rig;

/// Whoever works a winch by hand is so far beside its line, m: an arm’s length and the lever. Common practice, no
/// source.
pub const BESIDE: f64 = 1.2;

/// Further apart than this no hand signal but STOP is counted on, m. Common practice, no source.
pub const READ_BY_HAND: f64 = 25.0;

/// Where whoever works a winch is, out of line with the rope, with the leader in sight. Common practice, no source.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Operator {
    /// Beside the rear wheel of the vehicle that carries it, remote in hand. Nobody sits in that vehicle: were it
    /// dragged, it would go without anybody.
    AtRearWheel,
    /// Standing at it, beside its line: it is worked by hand where it is.
    BesideIt,
    /// At the wheel of the stuck vehicle, which pulls itself.
    AtTheWheel,
}

impl Operator {
    /// Of a rig by which a vehicle is moved.
    pub fn of(rig: &Rig, stuck: &str) -> Self {
        match &rig.host {
            None => Self::BesideIt,
            Some(host) if host == stuck => Self::AtTheWheel,
            Some(_) => Self::AtRearWheel,
        }
    }

    /// What the operator does there, after `the operator`: `carrier` is the mark of the vehicle that carries the winch,
    /// `beside` how far beside the line somebody stands.
    pub fn stands(self, carrier: &str, beside: &str) -> String {
        match self {
            Self::BesideIt => {
                format!("stands at it, {beside} beside the line, on the side away from any other line")
            }
            Self::AtRearWheel => format!(
                "stands beside the rear wheel of {carrier}, remote in hand, on the side away from any other line; nobody sits in {carrier}"
            ),
            Self::AtTheWheel => format!("is the driver at the wheel of {carrier}"),
        }
    }
}
