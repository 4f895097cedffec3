//! Every rig the kit can make, up to three blocks.
//!
//! Pieces of one kind can stand for each other, so only where the line is made fast is tried out one
//! by one; shackles, blocks and straps are then dealt strongest to the hardest place, which is the
//! best there is: swapping two of them never raises the least margin.

use super::build::{Job, Setting};
use super::draft::Draft;
use super::facing::Facing;
use super::gear::{End, Gear};
use super::layout::{LAYOUTS, Layout, WinchAt};
use super::rig::{Refusal, Refused, Rig};

/// What is to be pulled, and how far.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Task {
    /// Place of the stuck vehicle in [`Gear::helpers`].
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

/// What the search found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Found {
    /// The best rig of each layout and winch that holds, best first.
    pub rigs: Vec<Rig>,
    /// The layouts that do not, with the part or the piece that fails.
    pub refused: Vec<Refusal>,
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

/// Searches every layout with every winch.
pub fn search(gear: &Gear, task: &Task) -> Found {
    let mut found = Found::default();
    for layout in LAYOUTS {
        let mut best: Option<Rig> = None;
        let mut worst = Worst::default();
        let mut tried = false;
        for (place, winch) in gear.winches.iter().enumerate() {
            if (winch.host == Some(task.casualty)) != (layout.winch == WinchAt::Casualty) {
                continue;
            }
            tried = true;
            if layout.winch == WinchAt::Casualty && !task.facing.own_winch() {
                worst.note(Refused::FacesAway);
                continue;
            }
            let setting = Setting::new(gear, task, layout, place);
            if let Err(reason) = setting.enough() {
                worst.note(reason);
                continue;
            }
            of_setting(&setting, &mut best, &mut worst);
        }
        if !tried {
            worst.note(no_winch(layout));
        }
        match (best, worst.reason) {
            (Some(rig), _) => found.rigs.push(rig),
            (None, Some(reason)) => found.refused.push(Refusal { layout, words: layout.words, reason }),
            (None, None) => {}
        }
    }
    found.rigs.sort_by_key(Rig::rank);
    found
}

fn no_winch(layout: &Layout) -> Refused {
    let what = match layout.winch {
        WinchAt::Casualty => "rated winch with a rated line on the stuck vehicle",
        WinchAt::Helper => "rated winch with a rated line on another vehicle",
    };
    Refused::Lacks { what, needs: 1, has: 0 }
}

/// The reason nearest to success.
#[derive(Default)]
struct Worst {
    reason: Option<Refused>,
}

impl Worst {
    fn note(&mut self, reason: Refused) {
        let better = match (&self.reason, &reason) {
            (Some(Refused::Exceeds(old)), Refused::Exceeds(new)) => new.margin > old.margin,
            (Some(Refused::TooShort { has, .. }), Refused::TooShort { has: longer, .. }) => longer > has,
            (known, new) => known.as_ref().is_none_or(|known| nearness(new) > nearness(known)),
        };
        if better {
            self.reason = Some(reason);
        }
    }
}

/// A part that fails is nearer to success than a line too short, and that than a piece missing.
fn nearness(reason: &Refused) -> u8 {
    match reason {
        Refused::Lacks { .. } | Refused::FacesAway => 0,
        Refused::TooShort { .. } => 1,
        Refused::Exceeds(_) => 2,
    }
}

fn of_setting(setting: &Setting, best: &mut Option<Rig>, worst: &mut Worst) {
    let couplings = setting.couplings();
    let mut better: Option<Draft> = None;
    let mut nearest: Option<Draft> = None;
    for stay in setting.stays() {
        for holds in setting.holds(stay) {
            for coupling in &couplings {
                let draft = match setting.draft(&Job { stay, holds: &holds, coupling: *coupling }) {
                    Ok(draft) => draft,
                    Err(reason) => {
                        worst.note(reason);
                        continue;
                    }
                };
                if draft.holds() {
                    let known = better.as_ref().map(Draft::rank);
                    if known.is_none_or(|known| draft.rank() < known) {
                        better = Some(draft);
                    }
                } else if nearest.as_ref().is_none_or(|known| draft.margin() > known.margin()) {
                    nearest = Some(draft);
                }
            }
        }
    }
    match nearest {
        Some(nearest) => worst.note(setting.weakest(&nearest)),
        None if better.is_none() => {
            let what = "ground anchor or other vehicle to make it fast to";
            worst.note(Refused::Lacks { what, needs: setting.fast_places(), has: 0 });
        }
        None => {}
    }
    if let Some(better) = better.filter(|draft| best.as_ref().is_none_or(|known| draft.rank() < known.rank()))
    {
        *best = Some(setting.rig(&better));
    }
}
