//! What is asked of the search, and where it may make fast: named by search and build alike.

use super::facing::Facing;
use crate::course::End;

/// What is to be pulled, and how far.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Task {
    /// Place of the stuck vehicle in [`Gear::helpers`](super::gear::Gear::helpers).
    pub casualty: usize,
    /// The pull, N: the high end.
    pub pull: f64,
    /// From the stuck vehicle to where line and blocks are made fast, m.
    pub distance: f64,
    /// How far it must travel, m.
    pub travel: f64,
    /// The side of it that faces the pull.
    pub facing: Facing,
}

/// Where a fixed joint may be made fast.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hold {
    /// A ground anchor of the kit, by its place there.
    Ground(usize),
    /// Another vehicle, braked.
    Vehicle(usize),
    /// The helper that carries the winch.
    Host,
}

/// What keeps a helper with the winch where it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stay {
    /// Nothing to keep: the winch is on the stuck vehicle.
    None,
    /// Its own brakes.
    Brakes,
    /// Tied back to something that carries all of it; a portable winch is made fast so.
    Tied(Hold),
}

/// How the line is joined to the stuck vehicle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Coupling {
    /// The end of it that faces the pull.
    pub end: End,
    /// A bridle, by its place in the gear.
    pub bridle: Option<usize>,
    /// An extension line, by its place in the gear.
    pub extension: Option<usize>,
}
