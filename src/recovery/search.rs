//! Every rig the kit can make, up to three blocks.
//!
//! Pieces of one kind can stand for each other, so only where the line is made fast is tried out one
//! by one; shackles, blocks and straps are then dealt strongest to the hardest place, which is the
//! best there is: swapping two of them never raises the least margin.

mod build;
mod draft;
mod fasten;
mod wanted;

pub use build::{LEAD, STANDING_ROOM};

use build::{Job, Setting};
use draft::Draft;

use super::gear::Gear;
use super::layout::{LAYOUTS, Layout, WinchAt};
use super::rig::{Lacking, Refusal, Refused, Rig};
use super::task::Task;

/// What the search found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Found {
    /// The best rig of each layout and winch that holds, best first.
    pub rigs: Vec<Rig>,
    /// The layouts that do not, with the part or the piece that fails.
    pub refused: Vec<Refusal>,
}

/// Searches every layout with every winch.
pub fn search(gear: &Gear, task: &Task) -> Found {
    let mut found = Found::default();
    for layout in LAYOUTS {
        if !task.ways.allows(layout) {
            found.refused.push(Refusal { layout, words: layout.words, reason: Refused::NotForThis });
            continue;
        }
        let mut best: Option<Rig> = None;
        let mut worst = Worst::default();
        let mut tried = false;
        for (place, winch) in gear.winches.iter().enumerate() {
            if (winch.host == Some(task.casualty)) != (layout.winch == WinchAt::Casualty) {
                continue;
            }
            tried = true;
            if layout.winch == WinchAt::Casualty && !task.facing.own_winch(winch.mounted) {
                worst.note(Refused::FacesAway);
                continue;
            }
            let setting = Setting::new(gear, task, layout, place);
            if let Err(reason) = setting.enough() {
                worst.note(reason);
                continue;
            }
            of_setting(&setting, task.margin, &mut best, &mut worst);
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
        WinchAt::Casualty => Lacking::OwnWinch,
        WinchAt::Helper => Lacking::HelpersWinch,
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
            (known, new) => known.as_ref().is_none_or(|known| new.nearness() > known.nearness()),
        };
        if better {
            self.reason = Some(reason);
        }
    }
}

fn of_setting(setting: &Setting, margin: f64, best: &mut Option<Rig>, worst: &mut Worst) {
    let couplings = setting.couplings();
    let mut better: Option<Draft> = None;
    let mut nearest: Option<Draft> = None;
    for stay in setting.stays() {
        for holds in setting.holds(stay) {
            // Anchors settle most rigs: where they leave too little, nothing else is tried out.
            let most = setting.most_margin(stay, &holds);
            let hopeless = match (&better, &nearest) {
                (Some(_), _) => most < margin - 1e-9,
                (None, Some(nearest)) => most <= nearest.margin(),
                (None, None) => false,
            };
            if hopeless {
                continue;
            }
            for coupling in &couplings {
                let draft = match setting.draft(&Job { stay, holds: &holds, coupling: *coupling }) {
                    Ok(draft) => draft,
                    Err(reason) => {
                        worst.note(reason);
                        continue;
                    }
                };
                if draft.keeps(margin) {
                    let before = |known: &Draft| {
                        if setting.task.thrifty {
                            draft.held_by() < known.held_by()
                        } else {
                            draft.rank() < known.rank()
                        }
                    };
                    if better.as_ref().is_none_or(before) {
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
            worst.note(Refused::Lacks { what: Lacking::Hold, needs: setting.fast_places(), has: 0 });
        }
        None => {}
    }
    if let Some(better) = better.filter(|draft| best.as_ref().is_none_or(|known| draft.rank() < known.rank()))
    {
        *best = Some(setting.rig(&better));
    }
}
