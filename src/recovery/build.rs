//! Putting a rig together from pieces, and what each then carries.

use super::draft::{Carry, Draft, Of, Reach};
use super::facts::WIDEST_BRIDLE;
use super::gear::{Gear, Pieces, Point, Winch};
use super::layout::{Joint, Layout, WinchAt};
use super::rig::{Lacking, Refused, Rig, Role};
use super::task::{Coupling, Hold, Stay, Task, Ways};
use crate::course::End;
use crate::engine::formulas::recovery as r;

/// Line between the stuck vehicle and the blocks at the end of the pull, m. Common practice, no source.
pub const STANDING_ROOM: f64 = 4.0;
/// Line between a block that turns it and a winch that stands aside, m. Common practice, no source.
pub const LEAD: f64 = 8.0;
/// Distance between the two recovery points of one end, m: chassis rails. Common practice, no source.
pub const POINTS_APART: f64 = 0.8;
/// Time to set a rig once, and more for each part of it, s. Common practice, no source.
const SET_UP: [f64; 2] = [600.0, 60.0];

/// A layout with a winch, for a task.
pub(super) struct Setting<'a> {
    gear: &'a Gear,
    task: &'a Task,
    layout: &'static Layout,
    winch: &'a Winch,
    fall_line: f64,
}

/// Where everything is made fast.
pub(super) struct Job<'a> {
    pub stay: Stay,
    pub holds: &'a [Hold],
    pub coupling: Coupling,
}

/// Loads that pieces of a kind must carry.
#[derive(Default)]
struct Wanted {
    blocks: Vec<f64>,
    shackles: Vec<f64>,
    straps: Vec<f64>,
}

impl<'a> Setting<'a> {
    pub(super) fn new(gear: &'a Gear, task: &'a Task, layout: &'static Layout, winch: usize) -> Self {
        let fall_line = layout.fall_line(task.pull);
        Self { gear, task, layout, winch: &gear.winches[winch], fall_line }
    }

    /// Whether there are pieces enough to begin with.
    pub(super) fn enough(&self) -> Result<(), Refused> {
        let has: usize = self.gear.blocks.iter().map(|block| block.count).sum();
        let needs = self.layout.blocks();
        if has < needs {
            return Err(Refused::Lacks { what: Lacking::Block, needs, has });
        }
        let points = |end| {
            self.gear.helpers[self.task.casualty].points.iter().filter(|point| point.end == end).count()
        };
        let has = self.task.facing.ends().iter().map(|end| points(*end)).max().unwrap_or(0);
        if has < self.layout.casualty.len() {
            let what = Lacking::CasualtysPoint(self.task.facing);
            return Err(Refused::Lacks { what, needs: self.layout.casualty.len(), has });
        }
        let mut always = Vec::new();
        self.winch_parts(&mut always);
        let mut wanted = Wanted::default();
        for joint in self.layout.joints() {
            wanted.join(joint, joint.load(self.fall_line));
        }
        deal(&self.gear.blocks, wanted.blocks, Role::Block, Of::Block, &mut always)?;
        // Parts that are in every rig of this layout settle it before anything is tried out.
        match always.into_iter().min_by(|a, b| a.margin().total_cmp(&b.margin())) {
            Some(weakest) if !weakest.keeps(self.task.margin) => {
                Err(Refused::Exceeds(weakest.part(self.gear, self.winch)))
            }
            _ => Ok(()),
        }
    }

    /// Places it must be made fast to, beside the stuck vehicle.
    pub(super) fn fast_places(&self) -> usize {
        self.layout.fixed.len() + usize::from(self.layout.winch == WinchAt::Helper)
    }

    fn winch_parts(&self, parts: &mut Vec<Carry>) {
        let pull = self.winch.pull(self.end_out());
        parts.push(Carry { role: Role::Winch, of: Of::Winch, load: self.fall_line, rating: pull });
        let rating = self.winch.line.limit;
        parts.push(Carry { role: Role::WinchLine, of: Of::Line, load: self.fall_line, rating });
    }

    /// Line between a block that turns it and the winch that stands aside, m.
    fn lead(&self) -> f64 {
        if self.layout.turns() { LEAD } else { 0.0 }
    }

    /// Whether the line alone is too short.
    fn short(&self) -> bool {
        f64::from(self.layout.parts) * self.task.distance + self.lead() > self.winch.usable()
    }

    /// Line drawn off where the drum is fullest, m.
    fn end_out(&self) -> f64 {
        let nearest = match (self.short(), self.task.ways) {
            (false, _) => self.task.nearest,
            (true, Ways::PaidOut) => 1.0,
            (true, _) => STANDING_ROOM.min(self.task.distance),
        };
        f64::from(self.layout.parts) * nearest + self.lead()
    }

    /// The ways to keep the helper where it is.
    pub(super) fn stays(&self) -> Vec<Stay> {
        if self.layout.winch == WinchAt::Casualty {
            return vec![Stay::None];
        }
        let brakes = self.winch.host.map(|_| Stay::Brakes);
        brakes.into_iter().chain(self.grounds().chain(self.vehicles()).map(Stay::Tied)).collect()
    }

    fn grounds(&self) -> impl Iterator<Item = Hold> + use<> {
        (0..self.gear.anchors.len()).map(Hold::Ground)
    }

    fn vehicles(&self) -> impl Iterator<Item = Hold> + use<'_> {
        (0..self.gear.helpers.len())
            .filter(|place| *place != self.task.casualty && Some(*place) != self.winch.host)
            .map(Hold::Vehicle)
    }

    /// The ways to make the fixed joints fast, each place as often as there is one of it.
    pub(super) fn holds(&self, stay: Stay) -> Vec<Vec<Hold>> {
        let may_host =
            self.layout.winch == WinchAt::Helper && self.winch.host.is_some() && !self.layout.turns();
        let all: Vec<Hold> =
            self.grounds().chain(self.vehicles()).chain(may_host.then_some(Hold::Host)).collect();
        let mut ways = vec![Vec::new()];
        for _ in self.layout.fixed {
            ways = ways
                .iter()
                .flat_map(|way: &Vec<Hold>| all.iter().map(move |hold| [way.as_slice(), &[*hold]].concat()))
                .collect();
        }
        ways.retain(|way| self.is_there(way, stay));
        ways
    }

    fn is_there(&self, way: &[Hold], stay: Stay) -> bool {
        let tied = if let Stay::Tied(hold) = stay { Some(hold) } else { None };
        way.iter().copied().chain(tied).all(|hold| {
            let used = way.iter().copied().chain(tied).filter(|other| *other == hold).count();
            match hold {
                Hold::Ground(place) => used <= self.gear.anchors[place].count,
                Hold::Vehicle(_) | Hold::Host => used == 1,
            }
        })
    }

    /// The ways to join the line to the stuck vehicle.
    pub(super) fn couplings(&self) -> Vec<Coupling> {
        // A bridle or an extension goes where a single joint takes the whole pull.
        let far = self.layout.far_side();
        let some = |joints: &[Joint], count: usize| (0..if joints.len() == 1 { count } else { 0 }).map(Some);
        let lines = if self.short() { self.gear.lines.len() } else { 0 };
        let bridles: Vec<_> =
            std::iter::once(None).chain(some(self.layout.casualty, self.gear.bridles.len())).collect();
        let mut all = Vec::new();
        for end in self.task.facing.ends() {
            for bridle in &bridles {
                for extension in std::iter::once(None).chain(some(far, lines)) {
                    all.push(Coupling { end: *end, bridle: *bridle, extension });
                }
            }
        }
        all
    }

    /// The rig with these places; whether its parts hold is for the caller.
    pub(super) fn draft(&self, job: &Job) -> Result<Draft, Refused> {
        let reach = self.reach(job.coupling)?;
        let mut wanted = Wanted::default();
        let mut parts = Vec::with_capacity(24);
        self.winch_parts(&mut parts);
        let half_angle = self.casualty(job.coupling, &mut wanted, &mut parts)?;
        self.fixed(job, &mut wanted, &mut parts)?;
        deal(&self.gear.blocks, wanted.blocks, Role::Block, Of::Block, &mut parts)?;
        deal(&self.gear.shackles, wanted.shackles, Role::Shackle, Of::Shackle, &mut parts)?;
        deal(&self.gear.straps, wanted.straps, Role::Strap, Of::Strap, &mut parts)?;
        let time = self.time(reach, parts.len());
        Ok(Draft { parts, reach, half_angle, time, by_hand: self.winch.by_hand })
    }

    fn time(&self, reach: Reach, parts: usize) -> Option<f64> {
        #[expect(clippy::cast_precision_loss, reason = "a few parts")]
        let setting = f64::from(reach.pulls) * (SET_UP[0] + SET_UP[1] * parts as f64);
        let hauled = f64::from(self.layout.parts) * self.task.travel;
        self.winch.speed.map(|speed| setting + hauled / speed)
    }

    /// A draft with its pieces named.
    pub(super) fn rig(&self, draft: &Draft) -> Rig {
        let parts: Vec<_> = draft.parts.iter().map(|carry| carry.part(self.gear, self.winch)).collect();
        let reach = draft.reach;
        Rig {
            layout: self.layout,
            words: self.layout.words,
            host: self.winch.host.map(|host| self.gear.helpers[host].id.clone()),
            parts_of_line: self.layout.parts,
            fall_line: self.fall_line,
            dead_line: self.fall_line,
            weakest: draft.weakest(),
            margin: draft.margin(),
            parts,
            travel: self.task.travel,
            line_out: reach.out,
            rigged_length: reach.out + reach.extension,
            pulls: reach.pulls,
            layer: self.winch.layer(self.end_out()),
            bridle_half_angle: draft.half_angle,
            by_hand: self.winch.by_hand,
            operator_at_winch: self.winch.host.is_none(),
            time: draft.time,
        }
    }

    /// The weakest part of a draft, named.
    pub(super) fn weakest(&self, draft: &Draft) -> Refused {
        Refused::Exceeds(draft.parts[draft.weakest()].part(self.gear, self.winch))
    }

    /// Line drawn off, and how often the rig is set.
    fn reach(&self, coupling: Coupling) -> Result<Reach, Refused> {
        let usable = self.winch.usable();
        let parts = f64::from(self.layout.parts);
        let needs = parts * self.task.distance + self.lead();
        let Some(extension) = coupling.extension.map(|place| self.gear.lines[place].length) else {
            return if needs <= usable {
                Ok(Reach { out: needs, extension: 0.0, pulls: 1 })
            } else {
                Err(Refused::TooShort { needs, has: usable })
            };
        };
        // Between the extension's end and the blocks there must be room to pull; a line that is paid out
        // is never set again under a vehicle that hangs on it.
        let span = self.task.distance - extension;
        let least =
            if self.task.ways == Ways::PaidOut { self.task.travel + 1.0 } else { STANDING_ROOM + 1.0 };
        let out = parts * span + self.lead();
        if span < least || out > usable {
            return Err(Refused::TooShort {
                needs,
                has: usable + parts * extension.min(self.task.distance - least).max(0.0),
            });
        }
        let bite = span - STANDING_ROOM;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few pulls")]
        let pulls = if self.task.ways == Ways::PaidOut {
            1
        } else {
            libm::ceil(self.task.travel / bite).max(1.0) as u32
        };
        Ok(Reach { out, extension, pulls })
    }

    /// What is made fast to the stuck vehicle.
    fn casualty(
        &self,
        coupling: Coupling,
        wanted: &mut Wanted,
        parts: &mut Vec<Carry>,
    ) -> Result<Option<f64>, Refused> {
        let mut loads: Vec<f64> =
            self.layout.casualty.iter().map(|joint| joint.load(self.fall_line)).collect();
        for (joint, load) in self.layout.casualty.iter().zip(&loads) {
            wanted.join(*joint, *load);
        }
        let far = self.layout.far_side();
        if let (Some(place), Some(joint)) = (coupling.extension, far.first()) {
            let load = joint.load(self.fall_line);
            let rating = self.gear.lines[place].limit;
            parts.push(Carry { role: Role::Extension, of: Of::Extension(place), load, rating });
            wanted.shackles.push(load);
        }
        let mut half_angle = None;
        if let (Some(place), Some(load)) = (coupling.bridle, loads.first().copied()) {
            let bridle = &self.gear.bridles[place];
            if bridle.length <= POINTS_APART / 2.0 {
                return Err(Refused::Lacks { what: Lacking::BridleLength, needs: 1, has: 0 });
            }
            let half = r::bridle_half_angle(POINTS_APART, bridle.length);
            if 2.0 * half.to_degrees() > WIDEST_BRIDLE {
                return Err(Refused::Lacks { what: Lacking::NarrowBridle, needs: 1, has: 0 });
            }
            let leg = r::bridle_leg(load, half);
            parts.push(Carry { role: Role::Bridle, of: Of::Bridle(place), load: leg, rating: bridle.limit });
            wanted.shackles.extend([leg, leg]);
            loads = vec![leg, leg];
            half_angle = Some(half);
        }
        self.points(self.task.casualty, coupling.end, loads, Role::CasualtyPoint, parts)?;
        Ok(half_angle)
    }

    fn points_of(&self, role: Role) -> Lacking {
        if role == Role::CasualtyPoint {
            Lacking::CasualtysPoint(self.task.facing)
        } else {
            Lacking::HelpersPoint
        }
    }

    /// Deals loads to the points at one end of a vehicle, strongest to the hardest.
    fn points(
        &self,
        vehicle: usize,
        end: End,
        mut loads: Vec<f64>,
        role: Role,
        parts: &mut Vec<Carry>,
    ) -> Result<(), Refused> {
        let points = self.gear.helpers[vehicle].points.iter().enumerate();
        let points: Vec<(usize, &Point)> = points.filter(|(_, point)| point.end == end).collect();
        if points.len() < loads.len() {
            return Err(Refused::Lacks { what: self.points_of(role), needs: loads.len(), has: points.len() });
        }
        loads.sort_by(|a, b| b.total_cmp(a));
        for (load, (place, point)) in loads.into_iter().zip(points) {
            parts.push(Carry { role, of: Of::Point(vehicle, place), load, rating: point.limit });
        }
        Ok(())
    }

    /// The helper's two points when it carries a joint in front and is tied back behind: no point twice.
    fn front_and_rear(
        &self,
        host: usize,
        front: f64,
        rear: f64,
        parts: &mut Vec<Carry>,
    ) -> Result<(), Refused> {
        let points = &self.gear.helpers[host].points;
        let margin = |place: usize, load: f64| r::margin_left(points[place].limit, load);
        let at = |place: usize, end| points[place].end == end;
        let pairs = (0..points.len()).flat_map(|a| (0..points.len()).map(move |b| (a, b)));
        let best = pairs
            .filter(|(a, b)| a != b && at(*a, self.winch.mounted) && at(*b, self.winch.mounted.other()))
            .max_by(|x, y| {
                let least = |(a, b): &(usize, usize)| margin(*a, front).min(margin(*b, rear));
                least(x).total_cmp(&least(y))
            });
        let Some((a, b)) = best else {
            return Err(Refused::Lacks { what: Lacking::HelpersPoints, needs: 2, has: points.len().min(1) });
        };
        for (place, load) in [(a, front), (b, rear)] {
            let rating = points[place].limit;
            parts.push(Carry { role: Role::HelperPoint, of: Of::Point(host, place), load, rating });
        }
        Ok(())
    }

    /// What is made fast to anchors, helpers and the winch's own vehicle.
    fn fixed(&self, job: &Job, wanted: &mut Wanted, parts: &mut Vec<Carry>) -> Result<(), Refused> {
        let mut on_host = Vec::new();
        for (joint, hold) in self.layout.fixed.iter().zip(job.holds) {
            let load = joint.load(self.fall_line);
            wanted.join(*joint, load);
            match hold {
                Hold::Host => on_host.push(load),
                other => self.hold(*other, load, wanted, parts)?,
            }
        }
        let whole = self.fall_line + on_host.iter().sum::<f64>();
        let Some(host) = self.winch.host.filter(|_| job.stay != Stay::None) else {
            // A portable winch: a strap and a shackle hold it to its anchor.
            if let Stay::Tied(hold) = job.stay {
                wanted.shackles.push(whole);
                self.hold(hold, whole, wanted, parts)?;
            }
            return Ok(());
        };
        match job.stay {
            Stay::None => {}
            Stay::Brakes => {
                self.points(host, self.winch.mounted, on_host, Role::HelperPoint, parts)?;
                let rating = self.gear.helpers[host].holds;
                parts.push(Carry { role: Role::Braked, of: Of::Braked(host), load: whole, rating });
            }
            Stay::Tied(hold) => {
                // It is tied back at the end away from the winch.
                match on_host.first() {
                    Some(front) => self.front_and_rear(host, *front, whole, parts)?,
                    None => {
                        self.points(host, self.winch.mounted.other(), vec![whole], Role::HelperPoint, parts)?;
                    }
                }
                wanted.shackles.push(whole);
                if matches!(hold, Hold::Vehicle(_)) {
                    wanted.straps.push(whole);
                }
                self.hold(hold, whole, wanted, parts)?;
            }
        }
        Ok(())
    }

    fn hold(
        &self,
        hold: Hold,
        load: f64,
        wanted: &mut Wanted,
        parts: &mut Vec<Carry>,
    ) -> Result<(), Refused> {
        match hold {
            Hold::Ground(place) => {
                let rating = self.gear.anchors[place].limit;
                parts.push(Carry { role: Role::Anchor, of: Of::Anchor(place), load, rating });
                wanted.straps.push(load);
            }
            Hold::Vehicle(place) => {
                let helper = &self.gear.helpers[place];
                let Some(point) = helper.points.first() else {
                    return Err(Refused::Lacks { what: Lacking::AnchorsPoint, needs: 1, has: 0 });
                };
                let of = Of::Point(place, 0);
                parts.push(Carry { role: Role::HelperPoint, of, load, rating: point.limit });
                let rating = helper.holds;
                parts.push(Carry { role: Role::Braked, of: Of::Braked(place), load, rating });
                wanted.shackles.push(load);
            }
            Hold::Host => {}
        }
        Ok(())
    }
}

impl Wanted {
    /// A joint: its shackle, and its block if it has one.
    fn join(&mut self, joint: Joint, load: f64) {
        self.shackles.push(load);
        if joint.has_block() {
            self.blocks.push(load);
        }
    }
}

/// Deals loads to pieces, the strongest to the hardest place. Pieces are sorted, strongest first.
fn deal(
    pieces: &[Pieces],
    mut loads: Vec<f64>,
    role: Role,
    of: fn(usize) -> Of,
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
    loads.sort_by(|a, b| b.total_cmp(a));
    let single =
        pieces.iter().enumerate().flat_map(|(place, piece)| std::iter::repeat_n((place, piece), piece.count));
    for (load, (place, piece)) in loads.into_iter().zip(single) {
        parts.push(Carry { role, of: of(place), load, rating: piece.limit });
    }
    Ok(())
}
