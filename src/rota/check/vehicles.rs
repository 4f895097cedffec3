//! Vehicles: none at two places at a time, none with warm brakes at the next brow.

use std::collections::BTreeSet;

use super::Look;
use super::fault::Fault;
use crate::rota::{Station, heat, shown::shown};

impl Look<'_> {
    /// A vehicle that several drive is driven at one station at a time.
    pub(super) fn shared_vehicles(&self, faults: &mut BTreeSet<Fault>) {
        let mut seen: BTreeSet<(usize, &str, Station)> = BTreeSet::new();
        for visit in &self.rota.visits {
            for driver in &visit.driving {
                let vehicle = self.course.roster.drivers[*driver].vehicle.as_str();
                let elsewhere = seen
                    .iter()
                    .any(|(slot, id, at)| (*slot, *id) == (visit.slot, vehicle) && *at != visit.station);
                if elsewhere {
                    faults.insert(Fault::VehicleTwice(vehicle.to_owned(), self.at(visit.slot)));
                }
                seen.insert((visit.slot, vehicle, visit.station));
            }
        }
        self.shown_vehicle(faults);
    }

    /// The vehicle that is shown is not driven by anybody else at that time. What is over was shown with the vehicle of
    /// then.
    fn shown_vehicle(&self, faults: &mut BTreeSet<Fault>) {
        let Some(shown) = shown(self.course, self.reckoning, self.missing) else { return };
        let id = &self.course.vehicles[shown.vehicle].id;
        let times =
            self.rota.visits.iter().filter(|visit| visit.station == Station::Demonstration(shown.slope));
        let over = |slot: usize| self.rota.slots.get(slot).is_some_and(|slot| slot.start < self.missing.from);
        let times: BTreeSet<usize> = times.map(|visit| visit.slot).filter(|slot| !over(*slot)).collect();
        for visit in self.rota.visits.iter().filter(|visit| times.contains(&visit.slot)) {
            let mut vehicles = visit.driving.iter().map(|at| &self.course.roster.drivers[*at].vehicle);
            if vehicles.any(|vehicle| vehicle == id) {
                faults.insert(Fault::VehicleTwice(id.clone(), self.at(visit.slot)));
            }
        }
    }

    pub(super) fn brakes(&self, faults: &mut BTreeSet<Fault>) {
        for driver in self.present() {
            let Some(vehicle) = self.vehicle(driver) else { continue };
            let driven: Vec<(usize, usize)> = self
                .day_of(driver)
                .into_iter()
                .filter_map(|(slot, station, drives)| match station {
                    Station::Slope(slope) if drives => Some((slot, slope)),
                    _ => None,
                })
                .collect();
            for pair in driven.windows(2) {
                let [(first, before), (second, after)] = pair else { continue };
                let need = heat::minutes_between(self.course, self.reckoning, vehicle, *before, *after);
                let pause = self.rota.slots[*second].start.saturating_sub(self.rota.slots[*first].end);
                if need.is_none_or(|need| need > pause) {
                    faults.insert(Fault::BrakesWarm(self.name(driver), self.at(*second)));
                }
            }
        }
    }
}
