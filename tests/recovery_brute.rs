//! Plain trying-out of every rig of a kit: what the search is compared with.

use slopepack::course::End;
use slopepack::recovery::facing::Facing;
use slopepack::recovery::gear::{Gear, Pieces, Winch};
use slopepack::recovery::task::{Task, Ways};
use slopepack::recovery::{BEYOND, LEAD, POINTS_APART, STANDING_ROOM};

use crate::recovery_above::Above;

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
    /// What it holds with its brakes, and what its point takes where the line swings.
    VehicleAnchor(f64, f64),
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
            Need::VehicleAnchor(load, on_point) => {
                for place in 0..self.vehicles.len() {
                    let helper = &self.gear.helpers[place];
                    let free = !self.vehicles[place] && place != self.casualty && Some(place) != self.host;
                    if free
                        && self.keep * helper.holds >= load
                        && helper.points.iter().any(|point| self.keep * point.limit >= on_point)
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
        Ways::PaidOutAside => run.parts < 2.5 && run.turned,
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
    #[allow(clippy::cast_precision_loss)]
    let least = task.pull * (1.0 + 0.1 * run.blocks as f64) / run.parts;
    ends.iter().any(|end| {
        lengthened(gear, task, winch, run, wanted).into_iter().any(|more| {
            hosted(winch, run).into_iter().any(|on_host| {
                let from_above = Above::of(run, &on_host, task);
                let line = least / from_above.gather(more.room);
                pieces_do(gear, (task, winch, run), *end, (&more, &on_host, &from_above), line, wanted)
            })
        })
    })
}

/// Whether winch, line and pieces do it, made fast so.
fn pieces_do(
    gear: &Gear,
    what: (&Task, &Winch, &Run),
    end: End,
    how: (&More, &[bool], &Above),
    line: f64,
    wanted: Wanted,
) -> bool {
    all_needs(gear, what, end, how, line, wanted)
        .into_iter()
        .any(|needs| Box0::new(gear, 1.0 - wanted.margin, what.0.casualty, what.1.host).fill(&needs))
}

/// Everything that must be found for a rig made fast so, every way to choose; none where winch or line will not do.
fn all_needs(
    gear: &Gear,
    (task, winch, run): (&Task, &Winch, &Run),
    end: End,
    (more, on_host, from_above): (&More, &[bool], &Above),
    line: f64,
    wanted: Wanted,
) -> Vec<Vec<Need>> {
    let keep = 1.0 - wanted.margin;
    let lead = if run.turned { LEAD } else { 0.0 };
    let short = run.parts * task.distance + lead > winch.usable();
    let nearest = match (short, task.ways) {
        (false, _) => task.nearest,
        (true, Ways::PaidOut | Ways::PaidOutAside) => 1.0,
        (true, _) => STANDING_ROOM.min(task.distance),
    };
    if line > keep * winch.pull(run.parts * nearest + lead) || line > keep * winch.line.limit {
        return Vec::new();
    }
    let away = if run.self_recovery { &run.fixed } else { &run.casualty };
    let extension: Vec<Need> = match more.limit {
        None => Vec::new(),
        Some(limit) if keep * limit >= away[0].lines * line => vec![Need::Shackle(away[0].lines * line)],
        Some(_) => return Vec::new(),
    };
    let near = joined(gear, run, end, (task, from_above), line, keep);
    let far = made_fast(winch, (run, on_host), from_above, line);
    let with = |casualty: &Vec<Need>, fixed: &Vec<Need>| {
        [extension.clone(), casualty.clone(), fixed.clone()].concat()
    };
    near.iter()
        .flat_map(|casualty| far.iter().map(|fixed| with(casualty, fixed)).collect::<Vec<_>>())
        .collect()
}

/// Whether any two portable winches of a kit without extensions hold a vehicle on two lines at once, no piece in both.
pub(crate) fn any_pair(gear: &Gear, [first, catch]: [&Task; 2]) -> bool {
    let winches = || (0..gear.winches.len()).filter(|place| gear.winches[*place].host.is_none());
    let of = |task: &Task, place: usize| -> Vec<Vec<Need>> {
        let winch = &gear.winches[place];
        let fits = |run: &Run| {
            !run.self_recovery && allowed(run, task.ways) && run.parts * task.distance <= winch.usable()
        };
        let of_run = |run: &Run| {
            let on_host = vec![false; run.fixed.len()];
            let above = Above::of(run, &on_host, task);
            let more = More { limit: None, room: task.nearest.max(BEYOND) - task.reach };
            #[allow(clippy::cast_precision_loss)]
            let line = task.pull * (1.0 + 0.1 * run.blocks as f64) / run.parts / above.gather(more.room);
            all_needs(gear, (task, winch, run), End::Rear, (&more, &on_host, &above), line, Wanted::any(task))
        };
        runs().iter().filter(|run| fits(run)).flat_map(of_run).collect()
    };
    winches().any(|one| {
        winches().filter(|other| *other != one).any(|other| {
            of(first, one).iter().any(|a| {
                of(catch, other).iter().any(|b| {
                    let both = [a.clone(), b.clone()].concat();
                    Box0::new(gear, 1.0 - first.margin, first.casualty, None).fill(&both)
                })
            })
        })
    })
}

/// A way to make the line long enough: the limit of the extension, if one is needed, and how long the parts then are
/// at their shortest.
#[derive(Clone, Copy, Debug)]
struct More {
    limit: Option<f64>,
    room: f64,
}

/// Every way to make the line long enough.
fn lengthened(gear: &Gear, task: &Task, winch: &Winch, run: &Run, wanted: Wanted) -> Vec<More> {
    let lead = if run.turned { LEAD } else { 0.0 };
    let whole = run.parts * task.distance + lead;
    let room = task.nearest.max(BEYOND) - task.reach;
    if whole <= winch.usable() {
        return if whole < wanted.shorter { vec![More { limit: None, room }] } else { Vec::new() };
    }
    let away = if run.self_recovery { &run.fixed } else { &run.casualty };
    if away.len() != 1 {
        return Vec::new();
    }
    let paid_out = task.ways.pays_out();
    let least = if paid_out { task.travel + 1.0 } else { STANDING_ROOM + 1.0 };
    let fits = |piece: &&Pieces| {
        let span = task.distance - piece.length;
        let out = run.parts * span + lead;
        // Set anew each time the blocks have come together.
        let hauls = (task.travel / (span - STANDING_ROOM)).ceil();
        let often = !paid_out && hauls > f64::from(task.most_settings);
        !often && span >= least && out <= winch.usable() && out + piece.length < wanted.shorter
    };
    let more = |piece: &Pieces| More {
        limit: Some(piece.limit),
        room: if paid_out { room - piece.length } else { STANDING_ROOM },
    };
    gear.lines.iter().filter(fits).map(more).collect()
}

/// Every choice of which fixed joint hangs on the winch's own vehicle: one at most.
fn hosted(winch: &Winch, run: &Run) -> Vec<Vec<bool>> {
    let may = winch.host.is_some() && !run.self_recovery && !run.turned;
    let one = |which: Option<usize>| (0..run.fixed.len()).map(|no| Some(no) == which).collect();
    std::iter::once(None).chain((0..run.fixed.len()).filter(|_| may).map(Some)).map(one).collect()
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

/// The angle of two that lie square to one another, degrees.
fn together(a: f64, b: f64) -> f64 {
    (a.to_radians().cos() * b.to_radians().cos()).clamp(-1.0, 1.0).acos().to_degrees()
}

/// What the stuck vehicle's side asks for: straight to points, or through a bridle.
fn joined(
    gear: &Gear,
    run: &Run,
    end: End,
    (task, above): (&Task, &Above),
    line: f64,
    keep: f64,
) -> Vec<Vec<Need>> {
    let askew = task.askew.to_degrees();
    let share = |no: usize| left_askew(together(askew, above.off(no)));
    let joints = |bridled: bool| {
        run.casualty.iter().enumerate().flat_map(move |(no, place)| {
            let load = place.lines * line;
            let block = place.block.then_some(Need::Block(load));
            std::iter::once(Need::Shackle(if bridled { load } else { load / share(no) })).chain(block)
        })
    };
    let straight = run
        .casualty
        .iter()
        .enumerate()
        .map(|(no, place)| Need::CasualtyPoint(end, place.lines * line / share(no)));
    let mut all = vec![joints(false).chain(straight).collect::<Vec<_>>()];
    if let [only] = run.casualty.as_slice() {
        for bridle in &gear.bridles {
            let half = f64::asin((POINTS_APART / 2.0 / bridle.length).min(1.0));
            let leg = only.lines * line / (2.0 * half.cos());
            let share = left_askew(together(askew, half.to_degrees() + above.off(0)));
            if half.to_degrees() <= 60.0 && leg <= keep * bridle.limit {
                let legs = [
                    Need::Shackle(leg / share),
                    Need::Shackle(leg / share),
                    Need::CasualtyPoint(end, leg / share),
                    Need::CasualtyPoint(end, leg / share),
                ];
                all.push(joints(true).chain(legs).collect());
            }
        }
    }
    all
}

/// What the other side asks for, every way to make it fast with these joints on the winch's own vehicle.
fn made_fast(winch: &Winch, (run, on_host): (&Run, &[bool]), above: &Above, line: f64) -> Vec<Vec<Need>> {
    let mut ways: Vec<(Vec<Need>, f64)> = vec![(Vec::new(), 0.0)];
    for (no, place) in run.fixed.iter().enumerate() {
        let load = place.lines * line;
        let sideways = load / left_askew(above.swing(no));
        let mut next = Vec::new();
        for (needs, hosted) in &ways {
            let with = |more: Vec<Need>| [needs.clone(), more].concat();
            let block = || place.block.then_some(Need::Block(load));
            if on_host[no] {
                let host = [Need::Shackle(sideways), Need::HostPoint(winch.mounted, sideways)];
                next.push((with(block().into_iter().chain(host).collect()), hosted + load));
                continue;
            }
            let with = |more: Vec<Need>| [needs.clone(), joint(*place, line), more].concat();
            next.push((with(vec![Need::Anchor(load), Need::Strap(load)]), *hosted));
            next.push((with(vec![Need::VehicleAnchor(load, sideways), Need::Shackle(sideways)]), *hosted));
        }
        ways = next;
    }
    if run.self_recovery {
        return ways.into_iter().map(|(needs, ..)| needs).collect();
    }
    let mut all = Vec::new();
    for (needs, hosted) in ways {
        let whole = line + hosted;
        let ground = [Need::Anchor(whole), Need::Strap(whole), Need::Shackle(whole)];
        let vehicle = [Need::VehicleAnchor(whole, whole), Need::Shackle(whole), Need::Shackle(whole)];
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
