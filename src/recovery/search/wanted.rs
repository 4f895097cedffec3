//! Loads that pieces of a kind must carry, and which piece of the box carries which.

use super::draft::{Carry, Of};
use crate::recovery::gear::Pieces;
use crate::recovery::layout::Joint;
use crate::recovery::rig::{Joins, Lacking, Refused, Role};

/// A load on a piece, N, and the share of its limit that counts there: less than whole where it is pulled
/// off its line.
#[expect(clippy::struct_field_names, reason = "the load of a load is its newtons")]
#[derive(Clone, Copy, Debug)]
pub(super) struct Load {
    pub load: f64,
    pub share: f64,
    /// What a shackle that carries it joins.
    pub joins: Option<Joins>,
}

impl Load {
    /// In line.
    pub(super) const fn straight(load: f64) -> Self {
        Self { load, share: 1.0, joins: None }
    }

    /// On a shackle that joins this.
    pub(super) const fn at(self, joins: Joins) -> Self {
        Self { joins: Some(joins), ..self }
    }

    /// What a piece needs for it.
    pub(super) fn asks(self) -> f64 {
        self.load / self.share
    }
}

/// Loads that pieces of a kind must carry.
#[derive(Default)]
pub(super) struct Wanted {
    pub blocks: Vec<Load>,
    pub shackles: Vec<Load>,
    pub straps: Vec<Load>,
}

impl Wanted {
    /// A joint pulled in line: its shackle, and its block if it has one.
    pub(super) fn join(&mut self, joint: Joint, load: f64) {
        self.join_askew(joint, Load::straight(load));
    }

    /// The same where the shackle may be pulled off its line; the block turns into it.
    pub(super) fn join_askew(&mut self, joint: Joint, load: Load) {
        self.shackles.push(load);
        if joint.has_block() {
            self.blocks.push(Load::straight(load.load));
        }
    }
}

/// Deals loads to pieces, the strongest to the hardest place; where pieces are spared, `up_to` this share of a limit, the
/// weakest that will do, hardest place first. Pieces are sorted, strongest first.
///
/// # Errors
/// Fewer pieces than loads.
pub(super) fn deal(
    pieces: &[Pieces],
    mut loads: Vec<Load>,
    role: Role,
    of: fn(usize) -> Of,
    up_to: Option<f64>,
    parts: &mut Vec<Carry>,
) -> Result<(), Refused> {
    let has: usize = pieces.iter().map(|piece| piece.count).sum();
    if has < loads.len() {
        let what = match role {
            Role::Block => Lacking::Block,
            Role::Shackle => Lacking::Shackle,
            _ => Lacking::Strap,
        };
        return Err(Refused::Lacks { what, needs: loads.len(), has });
    }
    loads.sort_by(|a, b| b.asks().total_cmp(&a.asks()));
    let single =
        pieces.iter().enumerate().flat_map(|(place, piece)| std::iter::repeat_n((place, piece), piece.count));
    let mut left: Vec<(usize, &Pieces)> = single.collect();
    for one in loads {
        let does = |share: f64| left.iter().rposition(|(_, piece)| share * piece.limit >= one.asks());
        let (place, piece) = left.remove(up_to.and_then(does).unwrap_or(0));
        parts.push(Carry {
            role,
            of: of(place),
            load: one.load,
            rating: one.share * piece.limit,
            share: one.share,
            joins: one.joins,
        });
    }
    Ok(())
}
