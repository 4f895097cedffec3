//! Putting a rig together from pieces, and what each then carries.

use super::draft::{Carry, Draft, Of, Reach};
use super::wanted::{Wanted, deal};
use crate::engine::formulas::recovery::margin_left;
use crate::recovery::gear::{Gear, Winch};
use crate::recovery::layout::{Joint, Layout, WinchAt};
use crate::recovery::rig::{Fastened, HeldBy, Lacking, Refused, Rig, Role};
use crate::recovery::stance::Stance;
use crate::recovery::task::{Coupling, Hold, Stay, Task};

/// Line between the stuck vehicle and the blocks at the end of the pull, m. Common practice, no source.
pub const STANDING_ROOM: f64 = 4.0;
/// Line between a block that turns it and a winch that stands aside, m. Common practice, no source.
pub const LEAD: f64 = 8.0;
/// Time to set a rig once, and more for each part of it, s. Common practice, no source.
const SET_UP: [f64; 2] = [600.0, 60.0];

/// A layout with a winch, for a task.
pub(super) struct Setting<'a> {
    pub(super) gear: &'a Gear,
    pub(super) task: &'a Task,
    pub(super) layout: &'static Layout,
    pub(super) winch: &'a Winch,
    /// Force in the line to the winch with all parts side by side, N: where they spread it is more.
    least: f64,
    /// How it stands, by which of its fixed joints hang on the winch’s vehicle: a bit each.
    stances: Vec<Stance>,
}

/// A stance with what the line then takes.
#[derive(Clone, Copy)]
pub(super) struct Stood<'a> {
    pub(super) stance: &'a Stance,
    pub(super) fall_line: f64,
    /// Least length of the parts, m, at which their angles are taken.
    pub(super) room: f64,
}

/// Where everything is made fast.
pub(super) struct Job<'a> {
    pub stay: Stay,
    pub holds: &'a [Hold],
    pub coupling: Coupling,
}

impl<'a> Setting<'a> {
    pub(super) fn new(gear: &'a Gear, task: &'a Task, layout: &'static Layout, winch: usize) -> Self {
        let joints = layout.fixed.len();
        let on_host = |mask: usize| (0..joints).map(|joint| mask >> joint & 1 == 1).collect::<Vec<bool>>();
        let stances = (0..1 << joints).map(|mask| Stance::of(layout, &on_host(mask), task.beside)).collect();
        Self { gear, task, layout, winch: &gear.winches[winch], least: layout.fall_line(task.pull), stances }
    }

    fn stood(&self, job: &Job) -> Stood<'_> {
        let hosts = job.holds.iter().enumerate().filter(|(_, hold)| **hold == Hold::Host);
        let stance = &self.stances[hosts.fold(0, |mask, (joint, _)| mask | 1 << joint)];
        let [_, room] = self.task.lines();
        // An extension brings the blocks nearer to what holds them.
        let parts = match (job.coupling.extension, self.task.ways) {
            (None, _) => room,
            (Some(line), ways) if ways.pays_out() => room - self.gear.lines[line].length,
            (Some(_), _) => STANDING_ROOM,
        };
        Stood { stance, fall_line: self.least / stance.gather(parts), room }
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
        self.winch_parts(self.least, &mut always);
        let mut wanted = Wanted::default();
        for joint in self.layout.joints() {
            wanted.join(joint, joint.load(self.least));
        }
        deal(&self.gear.blocks, wanted.blocks, Role::Block, Of::Block, None, &mut always)?;
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

    /// How much of a limit is used up where pieces are spared.
    pub(super) fn up_to(&self) -> Option<f64> {
        self.task.thrifty.then_some(1.0 - self.task.margin)
    }

    fn winch_parts(&self, fall_line: f64, parts: &mut Vec<Carry>) {
        let pull = self.winch.pull(self.end_out());
        parts.push(Carry::straight(Role::Winch, Of::Winch, fall_line, pull));
        let rating = self.winch.line.limit;
        parts.push(Carry::straight(Role::WinchLine, Of::Line, fall_line, rating));
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
            (true, ways) if ways.pays_out() => 1.0,
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

    /// The most margin that what it is made fast to can leave, whatever else is chosen.
    pub(super) fn most_margin(&self, stay: Stay, holds: &[Hold]) -> f64 {
        let least = |hold: &Hold, load: f64| match *hold {
            Hold::Ground(place) => margin_left(self.gear.anchors[place].limit, load),
            Hold::Vehicle(place) => margin_left(self.gear.helpers[place].holds, load),
            Hold::Host => f64::INFINITY,
        };
        let loads = || self.layout.fixed.iter().map(|joint| joint.load(self.least)).zip(holds);
        let fixed = loads().map(|(load, hold)| least(hold, load)).fold(f64::INFINITY, f64::min);
        let hosted: f64 = loads().filter(|(_, hold)| **hold == Hold::Host).map(|(load, _)| load).sum();
        let whole = self.least + hosted;
        let stays = match (stay, self.winch.host) {
            (Stay::Tied(hold), _) => least(&hold, whole),
            (Stay::Brakes, Some(host)) => margin_left(self.gear.helpers[host].holds, whole),
            (Stay::Brakes, None) | (Stay::None, _) => f64::INFINITY,
        };
        fixed.min(stays)
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
        let stood = self.stood(job);
        self.winch_parts(stood.fall_line, &mut parts);
        let half_angle = self.casualty(job.coupling, stood, &mut wanted, &mut parts)?;
        self.fixed(job, stood, &mut wanted, &mut parts)?;
        deal(&self.gear.blocks, wanted.blocks, Role::Block, Of::Block, self.up_to(), &mut parts)?;
        deal(&self.gear.shackles, wanted.shackles, Role::Shackle, Of::Shackle, self.up_to(), &mut parts)?;
        deal(&self.gear.straps, wanted.straps, Role::Strap, Of::Strap, self.up_to(), &mut parts)?;
        let time = self.time(reach, parts.len());
        let (holds, stay) = (job.holds.to_vec(), job.stay);
        let off = self.off_at_most(stood);
        let (fall_line, by_hand) = (stood.fall_line, self.winch.by_hand);
        Ok(Draft { parts, holds, stay, reach, half_angle, fall_line, off, time, by_hand })
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
            made_fast: self.made_fast(draft),
            parts_of_line: self.layout.parts,
            fall_line: draft.fall_line,
            dead_line: draft.fall_line,
            off: draft.off,
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
            time: draft.time,
        }
    }

    fn made_fast(&self, draft: &Draft) -> Vec<(Fastened, HeldBy)> {
        let held = |hold: &Hold| match hold {
            Hold::Ground(place) => HeldBy::Anchor { id: self.gear.anchors[*place].id.clone() },
            Hold::Vehicle(place) => HeldBy::Vehicle { id: self.gear.helpers[*place].id.clone() },
            Hold::Host => HeldBy::Host,
        };
        let joints = self.layout.fixed.iter().zip(&draft.holds).map(|(joint, hold)| {
            let what = match joint {
                Joint::End => Fastened::End,
                Joint::Block => Fastened::Block,
                Joint::Turn => Fastened::Turn,
            };
            (what, held(hold))
        });
        let winch = match &draft.stay {
            Stay::None => None,
            Stay::Brakes => Some((Fastened::Winch, HeldBy::Brakes)),
            Stay::Tied(hold) => Some((Fastened::Winch, held(hold))),
        };
        joints.chain(winch).collect()
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
        let least = if self.task.ways.pays_out() { self.task.travel + 1.0 } else { STANDING_ROOM + 1.0 };
        let out = parts * span + self.lead();
        if span < least {
            // Too long an extension: no more line than without it.
            return Err(Refused::TooShort { needs, has: usable });
        }
        if out > usable {
            return Err(Refused::TooShort { needs, has: usable + parts * extension });
        }
        let bite = span - STANDING_ROOM;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few pulls")]
        let pulls =
            if self.task.ways.pays_out() { 1 } else { libm::ceil(self.task.travel / bite).max(1.0) as u32 };
        if pulls > self.task.most_settings {
            return Err(Refused::TooOften { settings: pulls, most: self.task.most_settings });
        }
        Ok(Reach { out, extension, pulls })
    }
}
