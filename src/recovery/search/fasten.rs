//! What is made fast where, and what each piece then carries.

use super::build::{Job, POINTS_APART, Setting};
use super::draft::{Carry, Of};
use super::wanted::{Load, Wanted};
use crate::course::End;
use crate::engine::formulas::recovery as r;
use crate::recovery::facts::{WIDEST_BRIDLE, side_share};
use crate::recovery::gear::Point;
use crate::recovery::rig::{Lacking, Refused, Role};
use crate::recovery::task::{Coupling, Hold, Stay};

impl Setting<'_> {
    /// What is made fast to the stuck vehicle. Where the line leaves it askew, its points and the shackles
    /// on them count for the share that a side load leaves.
    pub(super) fn casualty(
        &self,
        coupling: Coupling,
        wanted: &mut Wanted,
        parts: &mut Vec<Carry>,
    ) -> Result<Option<f64>, Refused> {
        let askew = self.task.askew;
        let bridle = coupling.bridle.filter(|_| !self.layout.casualty.is_empty());
        let share = side_share(askew.to_degrees());
        let mut loads: Vec<f64> =
            self.layout.casualty.iter().map(|joint| joint.load(self.fall_line)).collect();
        for (joint, load) in self.layout.casualty.iter().zip(&loads) {
            // Two legs that stand alike hang on a shackle as one line.
            let share = if bridle.is_some() { 1.0 } else { share };
            wanted.join_askew(*joint, Load { load: *load, share });
        }
        let far = self.layout.far_side();
        if let (Some(place), Some(joint)) = (coupling.extension, far.first()) {
            let load = joint.load(self.fall_line);
            let rating = self.gear.lines[place].limit;
            parts.push(Carry::straight(Role::Extension, Of::Extension(place), load, rating));
            wanted.shackles.push(Load::straight(load));
        }
        let (Some(place), Some(load)) = (bridle, loads.first().copied()) else {
            self.points(self.task.casualty, coupling.end, loads, Role::CasualtyPoint, share, parts)?;
            return Ok(None);
        };
        let bridle = &self.gear.bridles[place];
        if bridle.length <= POINTS_APART / 2.0 {
            return Err(Refused::Lacks { what: Lacking::BridleLength, needs: 1, has: 0 });
        }
        let half = r::bridle_half_angle(POINTS_APART, bridle.length);
        if 2.0 * half.to_degrees() > WIDEST_BRIDLE {
            return Err(Refused::Lacks { what: Lacking::NarrowBridle, needs: 1, has: 0 });
        }
        let leg = r::bridle_leg(load, half);
        parts.push(Carry::straight(Role::Bridle, Of::Bridle(place), leg, bridle.limit));
        // Each leg leaves its point sideways by half the angle between them, and askew with the line.
        let off = libm::acos(libm::cos(half) * libm::cos(askew));
        let share = side_share(off.to_degrees());
        wanted.shackles.extend([Load { load: leg, share }; 2]);
        loads = vec![leg, leg];
        self.points(self.task.casualty, coupling.end, loads, Role::CasualtyPoint, share, parts)?;
        Ok(Some(half))
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
        share: f64,
        parts: &mut Vec<Carry>,
    ) -> Result<(), Refused> {
        let points = self.gear.helpers[vehicle].points.iter().enumerate();
        let points: Vec<(usize, &Point)> = points.filter(|(_, point)| point.end == end).collect();
        if points.len() < loads.len() {
            return Err(Refused::Lacks { what: self.points_of(role), needs: loads.len(), has: points.len() });
        }
        loads.sort_by(|a, b| b.total_cmp(a));
        for (load, (place, point)) in loads.into_iter().zip(points) {
            let of = Of::Point(vehicle, place);
            parts.push(Carry { role, of, load, rating: r::side_limit(point.limit, share), share });
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
            let of = Of::Point(host, place);
            parts.push(Carry::straight(Role::HelperPoint, of, load, points[place].limit));
        }
        Ok(())
    }

    /// What is made fast to anchors, helpers and the winch's own vehicle.
    pub(super) fn fixed(
        &self,
        job: &Job,
        wanted: &mut Wanted,
        parts: &mut Vec<Carry>,
    ) -> Result<(), Refused> {
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
                wanted.shackles.push(Load::straight(whole));
                self.hold(hold, whole, wanted, parts)?;
            }
            return Ok(());
        };
        match job.stay {
            Stay::None => {}
            Stay::Brakes => {
                self.points(host, self.winch.mounted, on_host, Role::HelperPoint, 1.0, parts)?;
                let rating = self.gear.helpers[host].holds;
                parts.push(Carry::straight(Role::Braked, Of::Braked(host), whole, rating));
            }
            Stay::Tied(hold) => {
                // It is tied back at the end away from the winch.
                if let Some(front) = on_host.first() {
                    self.front_and_rear(host, *front, whole, parts)?;
                } else {
                    let behind = self.winch.mounted.other();
                    self.points(host, behind, vec![whole], Role::HelperPoint, 1.0, parts)?;
                }
                wanted.shackles.push(Load::straight(whole));
                if matches!(hold, Hold::Vehicle(_)) {
                    wanted.straps.push(Load::straight(whole));
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
                parts.push(Carry::straight(Role::Anchor, Of::Anchor(place), load, rating));
                wanted.straps.push(Load::straight(load));
            }
            Hold::Vehicle(place) => {
                let helper = &self.gear.helpers[place];
                let Some(point) = helper.points.first() else {
                    return Err(Refused::Lacks { what: Lacking::AnchorsPoint, needs: 1, has: 0 });
                };
                parts.push(Carry::straight(Role::HelperPoint, Of::Point(place, 0), load, point.limit));
                parts.push(Carry::straight(Role::Braked, Of::Braked(place), load, helper.holds));
                wanted.shackles.push(Load::straight(load));
            }
            Hold::Host => {}
        }
        Ok(())
    }
}
