//! The ground of a slope as descents are worked on it.

use super::leaning::way_out;
use crate::course::{Course, Slope, Vehicle};
use crate::engine::case::Case;
use crate::engine::chassis::body::Profile;
use crate::engine::chassis::clearance::{Room, Stood, rooms};
use crate::quantity::Angle;

/// The line down a slope in every case, and steeper by one step of the instrument.
pub(crate) struct Profiles {
    pub(crate) cases: [Profile; 3],
    pub(crate) steeper: Profile,
    /// The way out of a line that leans, as a slope of its own.
    pub(crate) way_out: Option<(Slope, Box<Profiles>)>,
}

impl Profiles {
    pub(crate) fn of(course: &Course, slope: &Slope) -> Self {
        let way_out = way_out(slope).map(|out| {
            let ground = Box::new(Self::of(course, &out));
            (out, ground)
        });
        Self {
            cases: Case::ALL.map(|case| Profile::of(course, slope, case)),
            steeper: steeper(course, slope),
            way_out,
        }
    }
}

/// One step of the instrument a slope was measured with, rad: more where nobody measured it.
pub(crate) fn gradient_step(course: &Course, slope: &Slope) -> f64 {
    let tolerances = &course.limits.tolerances;
    match &slope.survey {
        None => tolerances.gradient.si() * tolerances.unmeasured.si(),
        Some(survey) => survey.reads_to.unwrap_or(tolerances.gradient).si(),
    }
}

/// Room under each measured part of a vehicle on a slope where there is least, every joint of the ground sharper by one
/// step of the instrument; empty where nobody measured the vehicle's underside.
pub fn room_under(course: &Course, slope: &Slope, vehicle: &Vehicle) -> Vec<Room> {
    rooms(vehicle, slope, &Profile::of(course, slope, Case::Unfavourable), gradient_step(course, slope))
}

/// A vehicle of the course as it stands where it has this room, by [`room_under`].
pub fn stood(course: &Course, slope: &Slope, vehicle: &Vehicle, room: &Room) -> Option<Stood> {
    Stood::of(vehicle, slope, &Profile::of(course, slope, Case::Unfavourable), room)
}

/// A slope steeper by one step of its instrument, at the unfavourable end.
fn steeper(course: &Course, slope: &Slope) -> Profile {
    let step = gradient_step(course, slope);
    let mut steep = slope.clone();
    for stretch in &mut steep.stretches {
        stretch.gradient = Angle::new((stretch.gradient.si() + step).min(1.5));
    }
    Profile::of(course, &steep, Case::Unfavourable)
}
