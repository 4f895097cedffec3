//! Two rigs at once: a second line that shares no piece, no anchor and no point with the first.

use crate::recovery::gear::Gear;
use crate::recovery::rig::{Refusal, Rig, Role};
use crate::recovery::search::search;
use crate::recovery::task::Task;

/// The gear with no winch but one.
pub(super) fn with_winch(gear: &Gear, place: usize) -> Gear {
    let mut one = gear.clone();
    one.winches = vec![gear.winches[place].clone()];
    one
}

/// A first line and a catch line for two tasks, the best first line there is: either line
/// takes what is best for it, and the other what is left.
///
/// # Errors
/// What is refused of the catch line.
pub fn pair(
    gear: &Gear,
    [first, catch]: [&Task; 2],
    allowed: impl Fn(&Rig) -> bool,
) -> Result<(Rig, Rig), Vec<Refusal>> {
    let mut pairs: Vec<(Rig, Rig)> = Vec::new();
    let mut refused = Vec::new();
    // A bridle would take both points: each line hangs on its own.
    let mut plain = gear.clone();
    plain.bridles.clear();
    // One takes what is best for it and the other what is left; else just what will do, so that more is left.
    for thrifty in [false, true] {
        let [spare_first, spare_catch] = [first, catch].map(|task| Task { thrifty, ..*task });
        for place in 0..plain.winches.len() {
            let one = with_winch(&plain, place);
            for rig in search(&one, &spare_first).rigs.into_iter().filter(&allowed) {
                let found = search(&without(&plain, &rig), catch);
                refused.extend(found.refused);
                pairs.extend(found.rigs.into_iter().next().map(|catch| (rig, catch)));
            }
            for held in search(&one, &spare_catch).rigs {
                let found = search(&without(&plain, &held), first);
                pairs.extend(found.rigs.into_iter().find(&allowed).map(|rig| (rig, held)));
            }
        }
        if !pairs.is_empty() {
            break;
        }
    }
    let rank = |(rig, catch): &(Rig, Rig)| (rig.rank(), catch.rank());
    pairs.into_iter().min_by_key(rank).ok_or(refused)
}

/// The gear without the pieces a rig uses.
pub(super) fn without(gear: &Gear, rig: &Rig) -> Gear {
    let mut left = gear.clone();
    left.winches.retain(|winch| winch.id != rig.parts[0].id);
    // The vehicle that carries the winch holds one line only.
    for helper in left.helpers.iter_mut().filter(|helper| rig.host.as_ref() == Some(&helper.id)) {
        helper.holds = 0.0;
    }
    for part in &rig.parts {
        let list = match part.role {
            Role::Block => &mut left.blocks,
            Role::Shackle => &mut left.shackles,
            Role::Strap => &mut left.straps,
            Role::Bridle => &mut left.bridles,
            Role::Extension => &mut left.lines,
            Role::Anchor => &mut left.anchors,
            Role::CasualtyPoint | Role::HelperPoint | Role::Braked => {
                for helper in left.helpers.iter_mut().filter(|helper| helper.id == part.id) {
                    if part.role == Role::Braked {
                        helper.holds = 0.0;
                    } else if let Some(place) =
                        helper.points.iter().position(|point| point.place == part.name)
                    {
                        helper.points.remove(place);
                    }
                }
                continue;
            }
            Role::Winch | Role::WinchLine | Role::TowLine | Role::TowBar | Role::Grip | Role::TugBrake => {
                continue;
            }
        };
        if let Some(piece) = list.iter_mut().find(|piece| piece.id == part.id) {
            piece.count -= 1;
        }
        list.retain(|piece| piece.count > 0);
    }
    left
}
