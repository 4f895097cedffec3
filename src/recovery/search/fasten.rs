//! What is made fast where, and what each piece then carries.

use super::build::{Job, Setting, Stood};
use super::draft::{Carry, Of};
use super::wanted::{Load, Wanted};
use crate::course::End;
use crate::engine::formulas::recovery as r;
use crate::recovery::facts::{WIDEST_BRIDLE, side_share};
use crate::recovery::gear::Point;
use crate::recovery::layout::Joint;
use crate::recovery::rig::{Joins, Lacking, Refused, Role};
use crate::recovery::stance::POINTS_APART;
use crate::recovery::task::{Coupling, Hold, Stay};

impl Setting<'_> {
    /// What is made fast to the stuck vehicle. Where the line leaves it askew, its points and the shackles
    /// on them count for the share that a side load leaves.
    pub(super) fn casualty(
        &self,
        coupling: Coupling,
        stood: Stood,
        wanted: &mut Wanted,
        parts: &mut Vec<Carry>,
    ) -> Result<Option<f64>, Refused> {
        let bridle = coupling.bridle.filter(|_| !self.layout.casualty.is_empty());
        let loads: Vec<Load> =
            (0..).zip(self.layout.casualty).map(|(no, joint)| self.near(no, *joint, stood)).collect();
        for (joint, load) in self.layout.casualty.iter().zip(&loads) {
            // Two legs that stand alike hang on a shackle as one line.
            let (share, joins) =
                if bridle.is_some() { (1.0, Joins::Bridle) } else { (load.share, Joins::Vehicle) };
            wanted.join_askew(*joint, Load { share, ..*load }.at(joins));
        }
        let far = self.layout.far_side();
        if let (Some(place), Some(joint)) = (coupling.extension, far.first()) {
            let load = joint.load(stood.fall_line);
            let rating = self.gear.lines[place].limit;
            parts.push(Carry::straight(Role::Extension, Of::Extension(place), load, rating));
            wanted.shackles.push(Load::straight(load).at(Joins::Extension));
        }
        let (Some(place), Some(whole)) = (bridle, loads.first().copied()) else {
            if self.task.sling.is_some() {
                return Err(Refused::Lacks { what: Lacking::LongBridle, needs: 1, has: 0 });
            }
            self.points(self.task.casualty, coupling.end, loads, Role::CasualtyPoint, parts)?;
            return Ok(None);
        };
        let bridle = &self.gear.bridles[place];
        let half = self.bridle_half(bridle.length)?;
        // The leg nearer to the centre of mass takes more than its half.
        let uneven = self.task.sling.map_or(1.0, |sling| 2.0 * sling.heavier);
        let leg = r::bridle_leg(uneven * whole.load, half);
        parts.push(Carry::straight(Role::Bridle, Of::Bridle(place), leg, bridle.limit));
        // Each leg leaves its point sideways by half the angle between them, and askew with the line.
        let off = half + stood.stance.off(0, stood.room);
        let legs = [Load { share: self.share(off), ..Load::straight(leg) }; 2];
        wanted.shackles.extend(legs.map(|leg| leg.at(Joins::Vehicle)));
        self.points(self.task.casualty, coupling.end, legs.to_vec(), Role::CasualtyPoint, parts)?;
        Ok(Some(half))
    }

    /// Half the angle between the legs of a bridle, rad, from the length of a leg, m.
    fn bridle_half(&self, leg: f64) -> Result<f64, Refused> {
        let lacks = |what| Err(Refused::Lacks { what, needs: 1, has: 0 });
        let apart = self.task.sling.map_or(POINTS_APART, |sling| sling.apart);
        if leg <= apart / 2.0 {
            return lacks(if self.task.sling.is_some() {
                Lacking::LongBridle
            } else {
                Lacking::BridleLength
            });
        }
        let half = r::bridle_half_angle(apart, leg);
        if 2.0 * half.to_degrees() > WIDEST_BRIDLE { lacks(Lacking::NarrowBridle) } else { Ok(half) }
    }

    /// What a joint hangs on the stuck vehicle, and the share of a limit that its side load leaves.
    fn near(&self, no: usize, joint: Joint, stood: Stood) -> Load {
        Load {
            share: self.share(stood.stance.off(no, stood.room)),
            ..Load::straight(joint.load(stood.fall_line))
        }
    }

    /// The share of a limit that is left so far off the vehicle’s line seen from above, rad, and askew from the side.
    fn share(&self, off: f64) -> f64 {
        side_share(both(self.task.askew, off).to_degrees())
    }

    /// How far the line leaves the stuck vehicle off its own at most, rad.
    pub(super) fn off_at_most(&self, stood: Stood) -> f64 {
        let offs = (0..self.layout.casualty.len()).map(|no| stood.stance.off(no, stood.room));
        both(self.task.askew, offs.fold(0.0, f64::max))
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
        mut loads: Vec<Load>,
        role: Role,
        parts: &mut Vec<Carry>,
    ) -> Result<(), Refused> {
        let points = self.gear.helpers[vehicle].points.iter().enumerate();
        // A bridle along the vehicle takes the points of both ends: those it is given are of one side.
        let along = role == Role::CasualtyPoint && self.task.sling.is_some();
        let points: Vec<(usize, &Point)> = points.filter(|(_, point)| along || point.end == end).collect();
        if points.len() < loads.len() {
            return Err(Refused::Lacks { what: self.points_of(role), needs: loads.len(), has: points.len() });
        }
        loads.sort_by(|a, b| b.asks().total_cmp(&a.asks()));
        let mut left = points;
        for one in loads {
            let does = |up_to: f64| left.iter().rposition(|(_, point)| up_to * point.limit >= one.asks());
            let (place, point) = left.remove(self.up_to().and_then(does).unwrap_or(0));
            let Load { load, share, .. } = one;
            let of = Of::Point(vehicle, place);
            let rating = r::side_limit(point.limit, share);
            parts.push(Carry { share, ..Carry::straight(role, of, load, rating) });
        }
        Ok(())
    }

    /// The helper's two points when it carries a joint in front and is tied back behind: no point twice.
    fn front_and_rear(
        &self,
        host: usize,
        front: Load,
        rear: Load,
        parts: &mut Vec<Carry>,
    ) -> Result<(), Refused> {
        let points = &self.gear.helpers[host].points;
        let margin = |place: usize, load: Load| r::margin_left(points[place].limit, load.asks());
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
            let of = Of::Point(host, place);
            let Load { load, share, .. } = load;
            let rating = r::side_limit(points[place].limit, share);
            parts.push(Carry { share, ..Carry::straight(Role::HelperPoint, of, load, rating) });
        }
        Ok(())
    }

    /// What is made fast to anchors, helpers and the winch's own vehicle.
    pub(super) fn fixed(
        &self,
        job: &Job,
        stood: Stood,
        wanted: &mut Wanted,
        parts: &mut Vec<Carry>,
    ) -> Result<(), Refused> {
        let mut on_host: Vec<Load> = Vec::new();
        for (no, (joint, hold)) in (0..).zip(self.layout.fixed.iter().zip(job.holds)) {
            let load = joint.load(stood.fall_line);
            // A vehicle looks along its line as that lies when the work begins; an anchor turns with it.
            let swing = stood.stance.swing(no, self.task.lines());
            let share = if matches!(hold, Hold::Ground(_)) { 1.0 } else { side_share(swing.to_degrees()) };
            let load = Load { share, ..Load::straight(load) };
            match hold {
                Hold::Host => {
                    wanted.join_askew(*joint, load.at(Joins::FarEnd));
                    on_host.push(load);
                }
                other => {
                    wanted.join_askew(*joint, Load::straight(load.load).at(Joins::FarEnd));
                    self.hold(*other, load, wanted, parts)?;
                }
            }
        }
        let whole = stood.fall_line + on_host.iter().map(|load| load.load).sum::<f64>();
        let tied = Load::straight(whole);
        let Some(host) = self.winch.host.filter(|_| job.stay != Stay::None) else {
            // A portable winch: a strap and a shackle hold it to its anchor.
            if let Stay::Tied(hold) = job.stay {
                wanted.shackles.push(tied.at(Joins::Winch));
                self.hold(hold, tied, wanted, parts)?;
            }
            return Ok(());
        };
        match job.stay {
            Stay::None => {}
            Stay::Brakes => {
                self.points(host, self.winch.mounted, on_host, Role::HelperPoint, parts)?;
                let rating = self.gear.helpers[host].holds;
                parts.push(Carry::straight(Role::Braked, Of::Braked(host), whole, rating));
            }
            Stay::Tied(hold) => {
                // It is tied back at the end away from the winch.
                if let Some(front) = on_host.first() {
                    self.front_and_rear(host, *front, tied, parts)?;
                } else {
                    let behind = self.winch.mounted.other();
                    self.points(host, behind, vec![tied], Role::HelperPoint, parts)?;
                }
                wanted.shackles.push(tied.at(Joins::Winch));
                if matches!(hold, Hold::Vehicle(_)) {
                    wanted.straps.push(tied);
                }
                self.hold(hold, tied, wanted, parts)?;
            }
        }
        Ok(())
    }

    fn hold(
        &self,
        hold: Hold,
        held: Load,
        wanted: &mut Wanted,
        parts: &mut Vec<Carry>,
    ) -> Result<(), Refused> {
        let Load { load, share, .. } = held;
        match hold {
            Hold::Ground(place) => {
                let rating = self.gear.anchors[place].limit;
                parts.push(Carry::straight(Role::Anchor, Of::Anchor(place), load, rating));
                wanted.straps.push(Load::straight(load));
            }
            Hold::Vehicle(place) => {
                let helper = &self.gear.helpers[place];
                let Some(point) = helper.points.first() else {
                    return Err(Refused::Lacks { what: Lacking::AnchorsPoint, needs: 1, has: 0 });
                };
                let rating = r::side_limit(point.limit, share);
                let point = Carry::straight(Role::HelperPoint, Of::Point(place, 0), load, rating);
                parts.push(Carry { share, ..point });
                parts.push(Carry::straight(Role::Braked, Of::Braked(place), load, helper.holds));
                wanted.shackles.push(held.at(Joins::Braked));
            }
            Hold::Host => {}
        }
        Ok(())
    }
}

/// The angle to the vehicle’s own line, rad, of a line that lies askew from the side and off from above.
fn both(askew: f64, off: f64) -> f64 {
    libm::acos((libm::cos(askew) * libm::cos(off)).clamp(-1.0, 1.0))
}
