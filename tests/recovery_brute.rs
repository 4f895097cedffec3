//! Plain trying-out of every rig of a kit: what the search is compared with.

use slopepack::course::End;
use slopepack::recovery::facing::Facing;
use slopepack::recovery::gear::{Gear, Pieces, Winch};
use slopepack::recovery::task::{Task, Ways};
use slopepack::recovery::{LEAD, POINTS_APART, STANDING_ROOM};

/// What a place where the line is made fast must have.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Place {
    pub lines: f64,
    pub block: bool,
}

/// A rig before anything is chosen: how the line runs.
#[derive(Clone, Debug)]
pub(crate) struct Run {
    pub self_recovery: bool,
    pub turned: bool,
    pub parts: f64,
    pub blocks: usize,
    pub casualty: Vec<Place>,
    pub fixed: Vec<Place>,
}

/// Every way to run a line through up to three blocks, from first principles: from the winch the line
/// goes to the other side and back, a block at each bend, until it is made fast.
pub(crate) fn runs() -> Vec<Run> {
    let mut all = Vec::new();
    for self_recovery in [true, false] {
        for turned in [false, true] {
            for bends in 0..=3 {
                let blocks = bends + usize::from(turned);
                if blocks > 3 || (turned && self_recovery) {
                    continue;
                }
                let mut sides = [Vec::new(), Vec::new()];
                // Side 0 is the winch's own side; the line first goes to side 1.
                let mut side = 1;
                for _ in 0..bends {
                    sides[side].push(Place { lines: 2.0, block: true });
                    side = 1 - side;
                }
                sides[side].push(Place { lines: 1.0, block: false });
                let [near, far] = sides;
                let (mut fixed, casualty) = if self_recovery { (far, near) } else { (near, far) };
                // Lines that shorten when the vehicle moves: all that end on its side.
                let mut parts: f64 = casualty.iter().map(|place| place.lines).sum();
                if self_recovery {
                    parts += 1.0;
                }
                if turned {
                    fixed.push(Place { lines: f64::sqrt(2.0), block: true });
                }
                all.push(Run { self_recovery, turned, parts, blocks, casualty, fixed });
            }
        }
    }
    all
}

/// Something that must be found in the kit, with what it carries.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Need {
    Block(f64),
    Shackle(f64),
    Strap(f64),
    CasualtyPoint(End, f64),
    HostPoint(End, f64),
    Anchor(f64),
    VehicleAnchor(f64),
    HostBrakes(f64),
}

/// A kit taken apart into single pieces, each used at most once.
struct Box0<'a> {
    gear: &'a Gear,
    /// Share of every rating that counts.
    keep: f64,
    casualty: usize,
    host: Option<usize>,
    blocks: Vec<(f64, bool)>,
    shackles: Vec<(f64, bool)>,
    straps: Vec<(f64, bool)>,
    anchors: Vec<(f64, bool)>,
    vehicles: Vec<bool>,
    casualty_points: Vec<bool>,
    host_points: Vec<bool>,
}

fn singles(pieces: &[Pieces]) -> Vec<(f64, bool)> {
    pieces.iter().flat_map(|piece| vec![(piece.limit, false); piece.count]).collect()
}

impl<'a> Box0<'a> {
    fn new(gear: &'a Gear, keep: f64, casualty: usize, host: Option<usize>) -> Self {
        let points = |place: usize| vec![false; gear.helpers[place].points.len()];
        Self {
            gear,
            keep,
            casualty,
            host,
            blocks: singles(&gear.blocks),
            shackles: singles(&gear.shackles),
            straps: singles(&gear.straps),
            anchors: singles(&gear.anchors),
            vehicles: vec![false; gear.helpers.len()],
            casualty_points: points(casualty),
            host_points: host.map_or_else(Vec::new, points),
        }
    }

    /// Tries every piece for the first need, then the rest.
    fn fill(&mut self, needs: &[Need]) -> bool {
        let Some((need, rest)) = needs.split_first() else { return true };
        match *need {
            Need::Block(load) => self.each(rest, load, |me| &mut me.blocks),
            Need::Shackle(load) => self.each(rest, load, |me| &mut me.shackles),
            Need::Strap(load) => self.each(rest, load, |me| &mut me.straps),
            Need::Anchor(load) => self.each(rest, load, |me| &mut me.anchors),
            Need::CasualtyPoint(end, load) => {
                self.points(rest, self.casualty, end, load, |me| &mut me.casualty_points)
            }
            Need::HostPoint(end, load) => {
                self.points(rest, self.host.unwrap(), end, load, |me| &mut me.host_points)
            }
            Need::HostBrakes(load) => {
                self.keep * self.gear.helpers[self.host.unwrap()].holds >= load && self.fill(rest)
            }
            Need::VehicleAnchor(load) => {
                for place in 0..self.vehicles.len() {
                    let helper = &self.gear.helpers[place];
                    let free = !self.vehicles[place] && place != self.casualty && Some(place) != self.host;
                    if free
                        && self.keep * helper.holds >= load
                        && helper.points.iter().any(|point| self.keep * point.limit >= load)
                    {
                        self.vehicles[place] = true;
                        if self.fill(rest) {
                            return true;
                        }
                        self.vehicles[place] = false;
                    }
                }
                false
            }
        }
    }

    fn each(&mut self, rest: &[Need], load: f64, list: fn(&mut Self) -> &mut Vec<(f64, bool)>) -> bool {
        for place in 0..list(self).len() {
            let (limit, used) = list(self)[place];
            if !used && self.keep * limit >= load {
                list(self)[place].1 = true;
                if self.fill(rest) {
                    return true;
                }
                list(self)[place].1 = false;
            }
        }
        false
    }

    fn points(
        &mut self,
        rest: &[Need],
        vehicle: usize,
        end: End,
        load: f64,
        list: fn(&mut Self) -> &mut Vec<bool>,
    ) -> bool {
        for place in 0..list(self).len() {
            let point = &self.gear.helpers[vehicle].points[place];
            let at = point.end == end;
            if at && !list(self)[place] && self.keep * point.limit >= load {
                list(self)[place] = true;
                if self.fill(rest) {
                    return true;
                }
                list(self)[place] = false;
            }
        }
        false
    }
}

/// What is looked for.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Wanted {
    /// Share of every rating that stays free.
    pub margin: f64,
    /// Only rigs with less line under load than this, m.
    pub shorter: f64,
    /// Only single lines, or only more parts.
    pub single: Option<bool>,
    /// Only powered winches, or only hand winches.
    pub by_hand: Option<bool>,
}

impl Wanted {
    /// Any rig that keeps the margin of its task.
    pub(crate) fn any(task: &Task) -> Self {
        Self { margin: task.margin, shorter: f64::INFINITY, single: None, by_hand: None }
    }
}

/// Whether any rig does it, by trying everything out.
pub(crate) fn any_rig(gear: &Gear, task: &Task, wanted: Wanted) -> bool {
    let winches = gear.winches.iter().filter(|winch| wanted.by_hand.is_none_or(|hand| winch.by_hand == hand));
    winches.into_iter().any(|winch| {
        let asked = |run: &Run| wanted.single.is_none_or(|single| (run.parts < 1.5) == single);
        runs().iter().filter(|run| asked(run)).any(|run| run_works(gear, task, winch, run, wanted))
    })
}

fn allowed(run: &Run, ways: Ways) -> bool {
    match ways {
        Ways::All => true,
        Ways::Aside => run.self_recovery || run.turned,
        Ways::PaidOut => run.parts < 2.5 && !run.turned,
    }
}

fn run_works(gear: &Gear, task: &Task, winch: &Winch, run: &Run, wanted: Wanted) -> bool {
    // A winch pulls no vehicle against the way it looks.
    let ends: &[End] = match task.facing {
        Facing::Front => &[End::Front],
        Facing::Rear => &[End::Rear],
        Facing::Side => &[End::Front, End::Rear],
    };
    let away = run.self_recovery && ends != [winch.mounted];
    if away || !allowed(run, task.ways) || (winch.host == Some(task.casualty)) != run.self_recovery {
        return false;
    }
    let keep = 1.0 - wanted.margin;
    #[allow(clippy::cast_precision_loss)]
    let line = task.pull * (1.0 + 0.1 * run.blocks as f64) / run.parts;
    let lead = if run.turned { LEAD } else { 0.0 };
    let short = run.parts * task.distance + lead > winch.usable();
    let nearest = match (short, task.ways) {
        (false, _) => task.nearest,
        (true, Ways::PaidOut) => 1.0,
        (true, _) => STANDING_ROOM.min(task.distance),
    };
    if line > keep * winch.pull(run.parts * nearest + lead) || line > keep * winch.line.limit {
        return false;
    }
    ends.iter().any(|end| {
        lengthened(gear, task, winch, run, line, wanted).into_iter().any(|more| {
            joined(gear, run, *end, task, line, keep).into_iter().any(|casualty| {
                made_fast(winch, run, line).into_iter().any(|fixed| {
                    let needs = [more.clone(), casualty.clone(), fixed].concat();
                    Box0::new(gear, keep, task.casualty, winch.host).fill(&needs)
                })
            })
        })
    })
}

/// What an extension line asks for, for each that reaches; nothing where the line alone does.
fn lengthened(
    gear: &Gear,
    task: &Task,
    winch: &Winch,
    run: &Run,
    line: f64,
    wanted: Wanted,
) -> Vec<Vec<Need>> {
    let lead = if run.turned { LEAD } else { 0.0 };
    let whole = run.parts * task.distance + lead;
    if whole <= winch.usable() {
        return if whole < wanted.shorter { vec![Vec::new()] } else { Vec::new() };
    }
    let away = if run.self_recovery { &run.fixed } else { &run.casualty };
    let [only] = away.as_slice() else { return Vec::new() };
    let load = only.lines * line;
    let least = if task.ways == Ways::PaidOut { task.travel + 1.0 } else { STANDING_ROOM + 1.0 };
    let fits = |piece: &&Pieces| {
        let span = task.distance - piece.length;
        let out = run.parts * span + lead;
        (1.0 - wanted.margin) * piece.limit >= load
            && span >= least
            && out <= winch.usable()
            && out + piece.length < wanted.shorter
    };
    gear.lines.iter().filter(fits).map(|_| vec![Need::Shackle(load)]).collect()
}

fn joint(place: Place, line: f64) -> Vec<Need> {
    let load = place.lines * line;
    let block = place.block.then_some(Need::Block(load));
    std::iter::once(Need::Shackle(load)).chain(block).collect()
}

/// What is left of a piece that is pulled so many degrees off its line.
fn left_askew(degrees: f64) -> f64 {
    match degrees {
        d if d <= 5.0 => 1.0,
        d if d <= 45.0 => 0.7,
        _ => 0.5,
    }
}

/// What the stuck vehicle's side asks for: straight to points, or through a bridle.
fn joined(gear: &Gear, run: &Run, end: End, task: &Task, line: f64, keep: f64) -> Vec<Vec<Need>> {
    let whole = left_askew(task.askew.to_degrees());
    let joints = |share: f64| {
        run.casualty.iter().flat_map(move |place| {
            let load = place.lines * line;
            let block = place.block.then_some(Need::Block(load));
            std::iter::once(Need::Shackle(load / share)).chain(block)
        })
    };
    let straight = run.casualty.iter().map(|place| Need::CasualtyPoint(end, place.lines * line / whole));
    let mut all = vec![joints(whole).chain(straight).collect::<Vec<_>>()];
    if let [only] = run.casualty.as_slice() {
        for bridle in &gear.bridles {
            let half = f64::asin((POINTS_APART / 2.0 / bridle.length).min(1.0));
            let leg = only.lines * line / (2.0 * half.cos());
            let share = left_askew((half.cos() * task.askew.cos()).acos().to_degrees());
            if half.to_degrees() <= 60.0 && leg <= keep * bridle.limit {
                let legs = [
                    Need::Shackle(leg / share),
                    Need::Shackle(leg / share),
                    Need::CasualtyPoint(end, leg / share),
                    Need::CasualtyPoint(end, leg / share),
                ];
                all.push(joints(1.0).chain(legs).collect());
            }
        }
    }
    all
}

/// What the other side asks for, every way to make it fast.
fn made_fast(winch: &Winch, run: &Run, line: f64) -> Vec<Vec<Need>> {
    let mut ways: Vec<(Vec<Need>, f64, bool)> = vec![(Vec::new(), 0.0, false)];
    for place in &run.fixed {
        let load = place.lines * line;
        let mut next = Vec::new();
        for (needs, on_host, hosted) in &ways {
            let with = |more: Vec<Need>| [needs.clone(), joint(*place, line), more].concat();
            next.push((with(vec![Need::Anchor(load), Need::Strap(load)]), *on_host, *hosted));
            next.push((with(vec![Need::VehicleAnchor(load), Need::Shackle(load)]), *on_host, *hosted));
            if winch.host.is_some() && !run.self_recovery && !run.turned && !hosted {
                next.push((with(vec![Need::HostPoint(winch.mounted, load)]), on_host + load, true));
            }
        }
        ways = next;
    }
    if run.self_recovery {
        return ways.into_iter().map(|(needs, ..)| needs).collect();
    }
    let mut all = Vec::new();
    for (needs, on_host, _) in ways {
        let whole = line + on_host;
        let ground = [Need::Anchor(whole), Need::Strap(whole), Need::Shackle(whole)];
        let vehicle = [Need::VehicleAnchor(whole), Need::Shackle(whole), Need::Shackle(whole)];
        let with = |more: &[Need]| [needs.as_slice(), more].concat();
        if winch.host.is_some() {
            let back = Need::HostPoint(winch.mounted.other(), whole);
            all.push([with(&ground), vec![back]].concat());
            all.push([with(&vehicle), vec![back, Need::Strap(whole)]].concat());
            all.push(with(&[Need::HostBrakes(whole)]));
        } else {
            all.push(with(&ground));
            all.push(with(&vehicle));
        }
    }
    all
}
