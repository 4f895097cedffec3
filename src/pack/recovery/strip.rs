//! A rig piece by piece from the far end to the stuck vehicle, each with its number in the table.

use serde::Serialize;

use crate::pack::recovery::tags::{Numbered, numbers};
use crate::recovery::layout::{Joint, WinchAt};
use crate::recovery::rig::{Fastened, HeldBy, Joins, Part, Rig, Role};
use crate::recovery::stance::{Beside, Stance};

/// What the drawing of the pieces needs: not to scale, words with the numbers of the table's rows.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Strip {
    /// Parts of line between the two ends.
    lines: u8,
    winch_near: bool,
    turned: bool,
    extension: Option<String>,
    bridle: Option<String>,
    points: u8,
    edge: bool,
    winch: String,
    line: String,
    near_block: Option<String>,
    near_end: Option<String>,
    far_block: Option<String>,
    far_end: Option<String>,
    turn: Option<String>,
    hold: String,
    /// What holds it, each where it is in the drawing.
    held: Vec<Held>,
    point: String,
    vehicle: String,
    alt: String,
}

/// Something that holds the far end of a rig.
#[derive(Clone, Debug, Serialize)]
struct Held {
    /// Among the parts of line counted from the winch; none for what holds a winch that stands aside.
    row: Option<f64>,
    /// Its number in the table.
    no: String,
    /// Whether it is a vehicle.
    vehicle: bool,
}

impl Strip {
    /// From a rig and its table.
    pub(crate) fn of(rig: &Rig, rows: Numbered, facing: &str, mark: &str, edge: bool) -> Self {
        let role = |role: Role| numbers(rows, |part| part.role == role);
        let carrying =
            |role: Role, load: f64| numbers(rows, |part| part.role == role && (part.load - load).abs() < 1.0);
        let shackled = |load: f64, near: bool| {
            let here = |joins: Joins| if near { joins.near() } else { joins == Joins::FarEnd };
            let wanted = |part: &Part| (part.load - load).abs() < 1.0 && part.joins.is_some_and(here);
            format!("shackle {}", numbers(rows, wanted))
        };
        let block = |joint: Joint, near: bool| {
            let load = joint.load(rig.fall_line);
            format!("block {}, {}", carrying(Role::Block, load), shackled(load, near))
        };
        let layout = rig.layout;
        let at = |joints: &[Joint], joint: Joint| joints.contains(&joint).then_some(joint);
        let end = |near: bool| format!("end of the line, {}", shackled(rig.fall_line, near));
        let has = |role: Role| rig.parts.iter().any(|part| part.role == role);
        let told = Self {
            lines: layout.parts,
            winch_near: layout.winch == WinchAt::Casualty,
            turned: layout.turns(),
            extension: has(Role::Extension).then(|| format!("extension {}", role(Role::Extension))),
            bridle: has(Role::Bridle).then(|| format!("bridle {}", role(Role::Bridle))),
            points: if has(Role::Bridle) || layout.casualty.len() > 1 { 2 } else { 1 },
            edge,
            winch: format!("winch {}", role(Role::Winch)),
            line: format!("line {}", role(Role::WinchLine)),
            near_block: at(layout.casualty, Joint::Block).map(|joint| block(joint, true)),
            near_end: at(layout.casualty, Joint::End).map(|_| end(true)),
            far_block: at(layout.fixed, Joint::Block).map(|joint| block(joint, false)),
            far_end: at(layout.fixed, Joint::End).map(|_| end(false)),
            turn: at(layout.fixed, Joint::Turn).map(|joint| block(joint, false)),
            hold: hold(rows),
            held: held(rig, rows),
            point: format!("{facing} point {}", role(Role::CasualtyPoint)),
            vehicle: mark.to_owned(),
            alt: String::new(),
        };
        Self { alt: told.spoken(), ..told }
    }

    /// The pieces in words.
    fn spoken(&self) -> String {
        let pieces = [
            Some(&self.hold),
            Some(&self.winch),
            self.turn.as_ref(),
            self.far_block.as_ref(),
            self.far_end.as_ref(),
            Some(&self.line),
            self.near_block.as_ref(),
            self.near_end.as_ref(),
            self.extension.as_ref(),
            self.bridle.as_ref(),
            Some(&self.point),
        ];
        let named: Vec<&str> = pieces.into_iter().flatten().map(String::as_str).collect();
        format!(
            "The pieces of the rig from its far end to vehicle {}, not to scale, with their numbers in the table: {}; {} part{} of line, a damper in the middle third{}.",
            self.vehicle,
            named.join("; "),
            self.lines,
            if self.lines == 1 { "" } else { "s" },
            if self.edge { ", an edge guard at the brow" } else { "" },
        )
    }
}

/// Each thing that holds the far end, and where.
fn held(rig: &Rig, rows: Numbered) -> Vec<Held> {
    let on_host: Vec<bool> = rig.made_fast.iter().map(|(_, to)| *to == HeldBy::Host).collect();
    let stance = Stance::of(rig.layout, &on_host, Beside::Alone);
    let of = |role: Role, id: &str| numbers(rows, |part| part.role == role && part.id == id);
    let one = |(joint, (what, to)): (usize, &(Fastened, HeldBy))| {
        let winch = *what == Fastened::Winch;
        let row = (!winch || !rig.layout.turns()).then(|| stance.row((!winch).then_some(joint)));
        match to {
            HeldBy::Anchor { id } => Some(Held { row, no: of(Role::Anchor, id), vehicle: false }),
            HeldBy::Vehicle { id } => Some(Held { row, no: of(Role::Braked, id), vehicle: true }),
            HeldBy::Brakes => {
                let no = numbers(rows, |part| part.role == Role::Braked);
                Some(Held { row, no, vehicle: true })
            }
            HeldBy::Host => None,
        }
    };
    rig.made_fast.iter().enumerate().filter_map(one).collect()
}

/// What the far end is made fast to.
fn hold(rows: Numbered) -> String {
    let named = |word: &str, role: Role| {
        let all = numbers(rows, |part| part.role == role);
        (!all.is_empty()).then(|| format!("{word} {all}"))
    };
    let all = [
        named("anchor", Role::Anchor),
        named("braked vehicle", Role::Braked),
        named("its point", Role::HelperPoint),
        named("strap", Role::Strap),
    ];
    let ties = numbers(rows, |part| matches!(part.joins, Some(Joins::Winch | Joins::Braked)));
    let ties = (!ties.is_empty()).then(|| format!("shackle {ties}"));
    all.into_iter().chain([ties]).flatten().collect::<Vec<_>>().join(", ")
}
