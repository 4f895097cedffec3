//! Nothing is driven in the wet with a higher gear, or with less brake, than in the dry: common practice, no source.

use crate::course::{Course, Soil, Vehicle};
use crate::engine::{Judgement, Mark, Reckoning, What, overall_ratio_of, pairs_where};

/// Whether a vehicle goes down wet ground with as much care as it does in the dry; near no limit.
pub(super) fn careful(vehicle: &Vehicle, dry: &Judgement, wet: &Judgement) -> bool {
    wet.mark.goes()
        && wet.mark != Mark::Near
        && (dry.mark != Mark::WithBrake || wet.mark == Mark::WithBrake)
        && wet
            .gear
            .zip(dry.gear)
            .is_none_or(|(wet, dry)| overall_ratio_of(vehicle, wet) >= overall_ratio_of(vehicle, dry))
}

/// Refuses whatever would go with less care down a slope that was wetted on the day, or stays up there in the dry.
pub(in crate::pack) fn apply(course: &Course, reckoning: &mut Reckoning) {
    let mut dry = course.clone();
    for slope in &mut dry.slopes {
        slope.surface = slope.dry_surface.take().unwrap_or_else(|| slope.surface.clone());
    }
    let wetted = |id: &str| {
        let slope = course.slopes.iter().find(|slope| slope.id == id && slope.dry_surface.is_some());
        slope.is_some_and(|slope| course.surface_of(slope).soil == Soil::Wet)
    };
    if !course.slopes.iter().any(|slope| wetted(&slope.id)) {
        return;
    }
    let before = pairs_where(&dry, |slope, _| wetted(&slope.id));
    for dry in before {
        let here = |slope: &str, vehicle: &str| slope == dry.slope && vehicle == dry.vehicle;
        let pair = reckoning.pairs.iter_mut().find(|pair| here(&pair.slope, &pair.vehicle));
        let vehicle = course.vehicles.iter().find(|one| one.id == dry.vehicle);
        let Some((pair, vehicle)) = pair.zip(vehicle).filter(|(pair, _)| pair.judged.mark.goes()) else {
            continue;
        };
        if !dry.judged.mark.goes() || !careful(vehicle, &dry.judged, &pair.judged) {
            pair.judged.refuse(What::BolderThanDry, 1.0, 0.0);
            pair.standing = pair.judged.mark.into();
        }
    }
}
