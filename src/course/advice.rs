//! What a course allows but a careful reader would ask about.

use super::vehicle::fuel::other_drive;
use super::{
    Course, Fuel, Gearbox, KitKind, LOW_UNTOLD, LineOfSite, PointOfSite, Role, Slope, Vehicle, fuel_said,
};
use crate::quantity::Angle;

/// Grade a parking brake is type-approved to hold for passenger vehicles: 20 %, 11.3°
/// (UN Regulation 13-H, from memory).
const PARKING_BRAKE: f64 = 0.20;

/// Advice that stops nothing, one sentence each, in the order of the course.
pub fn advice(course: &Course) -> Vec<String> {
    let mut advice: Vec<String> = to_fill_in(course).into_iter().collect();
    advice.extend(course.roster.notes.iter().cloned());
    for slope in &course.slopes {
        if slope.run_out.is_none() {
            advice.push(format!(
                "{}: no run-out is given, so a vehicle that slides counts as not stopping.",
                slope.name
            ));
        }
        advice.extend(dangers_of_no_kind(slope));
        if slope.survey.is_none() {
            advice.push(format!(
                "{}: nobody is named as having measured it; measure it before the day.",
                slope.name
            ));
        }
    }
    advice.extend(low_range_untold(course));
    advice.extend(parking_brake(course));
    advice.extend(seats_in_a_rota(course));
    for vehicle in &course.vehicles {
        advice.extend(side_limit(course, vehicle));
        advice.extend(unlocked(vehicle));
        advice.extend(fuel(vehicle));
        // Members' own vehicles come with a check sheet of their own.
        advice.extend(unfit_points(vehicle).filter(|_| vehicle.guessed.is_empty()));
    }
    advice.extend(paper_too_short(course));
    advice.extend(unrated_kit(course));
    advice.extend(emergency_map(course));
    advice.extend(people_and_help(course));
    advice
}

fn too_steep(angle: Angle) -> bool {
    libm::tan(angle.si()) > PARKING_BRAKE
}

fn way_out_too_steep(slope: &Slope) -> bool {
    slope.escape.as_ref().and_then(|escape| escape.gradient).is_some_and(too_steep)
}

/// Whether a slope or its way out is steeper than parking brakes are approved to hold.
pub fn beyond_a_parking_brake(slope: &Slope) -> bool {
    too_steep(slope.steepest().gradient) || way_out_too_steep(slope)
}

/// A rota seats nobody beside a driver: whoever asks for it names them by hand.
fn seats_in_a_rota(course: &Course) -> Option<String> {
    let asks = course.slopes.iter().filter(|slope| slope.instructor_beside && course.rota.is_some());
    let asks: Vec<String> = asks.map(|slope| slope.name.short()).collect();
    (!asks.is_empty()).then(|| {
        format!(
            "An instructor beside every learner is asked for on {}: a rota plans nobody for the seat; name them by hand \
             before the first run.",
            asks.join("; ")
        )
    })
}

/// Words that a kind of danger goes by, small letters.
const OF_A_KIND: [(&str, &[&str]); 8] = [
    ("walkers", &["walker", "footpath", "pedestrian", "path at", "cyclist", "rider", "people on foot"]),
    ("water", &["water", "pond", "stream", "river", "lake", "ditch"]),
    ("edge", &["edge", "drop", "cliff", "quarry face", "bank falls"]),
    ("animals", &["cattle", "cow", "sheep", "horse", "livestock", "animal", "deer"]),
    ("traffic", &["road", "lorr", "traffic", "farm track", "cars"]),
    ("stones", &["stone", "rock", "boulder"]),
    ("slippery", &["slipper", "dew", "wet", "mud", "ice"]),
    ("step", &["ledge", "step"]),
];

/// Dangers told in words alone: the risk assessment has no control for them until somebody says which.
fn dangers_of_no_kind(slope: &Slope) -> Option<String> {
    let asked: Vec<String> = slope
        .hazards
        .iter()
        .filter(|danger| danger.kind.is_none())
        .map(|danger| {
            let words = danger.what.full().to_lowercase();
            let kind = OF_A_KIND.iter().find(|(_, signs)| signs.iter().any(|sign| words.contains(sign)));
            let what = danger.what.short();
            match kind {
                Some((kind, _)) => format!("“{what}”: is it `kind: {kind}`?"),
                None => format!("“{what}”: which `kind`, or what is done about it?"),
            }
        })
        .collect();
    (!asked.is_empty()).then(|| {
        format!(
            "{}: dangers told in words alone, which no control of the risk assessment answers. {}",
            slope.name,
            asked.join(" ")
        )
    })
}

/// Whose low range nobody told of: with one they may drive more than the pages let them.
fn low_range_untold(course: &Course) -> Option<String> {
    let untold: Vec<String> = course
        .vehicles
        .iter()
        .filter(|vehicle| vehicle.is_guessed(LOW_UNTOLD))
        .map(|vehicle| vehicle.name.short())
        .collect();
    (!untold.is_empty()).then(|| {
        format!(
            "Nobody told whether these have a low range, so none is reckoned with: {}. Write `transfer: {{low: yes}}` or its \
             ratio where there is one (in a roster `yes` under `Low range`), `transfer: 1.0` (`none`) where there is none.",
            untold.join("; ")
        )
    })
}

fn parking_brake(course: &Course) -> Option<String> {
    let of_slope = |slope: &Slope| {
        let itself = too_steep(slope.steepest().gradient);
        let out = || way_out_too_steep(slope).then(|| format!("the way out of {}", slope.name));
        itself.then(|| slope.name.short()).or_else(out)
    };
    let steep: Vec<String> = course.slopes.iter().filter_map(of_slope).collect();
    (!steep.is_empty()).then(|| {
        format!(
            "Steeper than the 20 % (11°) a parking brake is approved to hold: {}. Plan chocks and a gear; never rely \
             on the parking brake there.",
            steep.join("; ")
        )
    })
}

/// A working limit above half the tangent of the rigid tip angle leaves too little for bumps, springs
/// and tyres (judgement from published tilt-table experience).
fn side_limit(course: &Course, vehicle: &Vehicle) -> Option<String> {
    let limit = vehicle.side_limit.unwrap_or(course.limits.side_tilt);
    let rigid = vehicle.track.si() / (2.0 * vehicle.loaded_centre_height().si());
    let half = libm::atan(rigid / 2.0).to_degrees();
    (libm::tan(limit.si()) > rigid / 2.0).then(|| {
        format!(
            "{}: the side limit of {:.0}° is more than half the tangent of the theoretical rigid tip angle; {half:.0}° \
             would be half.",
            vehicle.name,
            limit.si().to_degrees()
        )
    })
}

fn unlocked(vehicle: &Vehicle) -> Option<String> {
    (vehicle.transmission.gearbox == Gearbox::AutomaticUnlocked).then(|| {
        format!(
            "{}: a converter that slips on overrun is not promised to hold the vehicle at idle; plan it with the \
             foot brake.",
            vehicle.name
        )
    })
}

/// That the words about a vehicle and the fuel it is reckoned with are not the same.
fn fuel(vehicle: &Vehicle) -> Option<String> {
    let word = |fuel: Fuel| if fuel == Fuel::Diesel { "diesel" } else { "petrol" };
    let with = word(vehicle.engine.fuel);
    if let Some(other) = other_drive(vehicle.name.full()) {
        return Some(format!(
            "{}: `{other}` is no engine there are figures for here; it is reckoned as {with}, so its gears and speeds \
             are not to be driven by.",
            vehicle.name
        ));
    }
    let said = fuel_said(vehicle.name.full()).filter(|said| *said != vehicle.engine.fuel)?;
    Some(format!(
        "{}: its name says {}, and it is reckoned as {with}: which is right?",
        vehicle.name,
        word(said)
    ))
}

/// What whoever leads the ambulance in looks for on the map and does not find.
fn emergency_map(course: &Course) -> Option<String> {
    let plan = course.site_plan.as_ref()?;
    let lacks = |kind| plan.point(kind).is_none();
    let way = plan.lines.iter().any(|line| line.kind == LineOfSite::AmbulanceWay);
    let open = [
        (lacks(PointOfSite::Gate), "the gate"),
        (lacks(PointOfSite::MeetingPoint), "where the ambulance is met (`meeting-point`)"),
        (lacks(PointOfSite::Assembly), "where everybody gathers (`assembly`)"),
        (!way, "the ambulance's way in (a line, `ambulance-way`)"),
        (
            plan.origin.degrees.is_none() && plan.origin.grid.is_none(),
            "latitude and longitude or grid reference of its origin",
        ),
    ];
    let open: Vec<&str> = open.into_iter().filter(|(open, _)| *open).map(|(_, what)| what).collect();
    (!open.is_empty())
        .then(|| format!("The map of the emergency plan lacks, under `site-plan`: {}.", open.join("; ")))
}

/// A paper so short that its pass mark is no longer the share that was written: of three marks 70 % is all three.
fn paper_too_short(course: &Course) -> Option<String> {
    const NEAR: f64 = 0.10;
    let papers = &course.papers;
    let (total, pass) = (papers.total(), papers.pass_marks());
    let comes_to = f64::from(pass) / f64::from(total.max(1));
    (total > 0 && comes_to > papers.pass + NEAR).then(|| {
        format!(
            "The theory paper has {total} marks in {} minutes, and {:.0} % of them, rounded up, is {pass}: {:.0} %. Ask for more \
             under `blueprint`, or leave it out for the usual one.",
            papers.minutes,
            100.0 * papers.pass,
            100.0 * comes_to
        )
    })
}

/// What of a vehicle nothing is hung on, each place with its reason.
fn unfit_points(vehicle: &Vehicle) -> Option<String> {
    if vehicle.recovery_points.is_empty() {
        return Some(format!("{}: no recovery point is told; find the maker's figures.", vehicle.name));
    }
    let unfit: Vec<String> = vehicle
        .recovery_points
        .iter()
        .filter_map(|point| Some(format!("{} ({})", point.place, point.carries().err()?.words())))
        .collect();
    (!unfit.is_empty()).then(|| format!("{}: never used to pull: {}.", vehicle.name, unfit.join("; ")))
}

fn unrated_kit(course: &Course) -> Option<String> {
    use KitKind::{GroundAnchor, KineticRope, Line, Shackle, SnatchBlock, Strap, Winch};
    let pulls = [Winch, Line, KineticRope, Strap, SnatchBlock, Shackle, GroundAnchor];
    let unrated: Vec<String> = course
        .kit
        .iter()
        .filter(|item| pulls.contains(&item.kind))
        .filter(|item| item.rating.working_load.is_none() && item.rating.breaking.is_none())
        // An anchor's figure is what it holds: tested, or published for its sort of pickets.
        .filter(|item| item.kind != GroundAnchor || !item.rig.holding_power_known())
        .map(|item| item.name.short())
        .collect();
    (!unrated.is_empty())
        .then(|| format!("Kit without a rating is not used to pull: {}.", unrated.join("; ")))
}

fn people_and_help(course: &Course) -> Vec<String> {
    let mut advice = Vec::new();
    let has = |role| course.people.iter().any(|person| person.role == role);
    if !has(Role::Lead) {
        advice.push("Nobody is named as in charge of the day (role `lead`).".to_owned());
    }
    if !has(Role::FirstAider) {
        advice.push("Nobody is named for first aid (role `first-aider`).".to_owned());
    }
    if !course.kit.iter().any(|item| item.kind == KitKind::FirstAid) {
        advice.push("There is no first-aid kit in the kit.".to_owned());
    }
    if course.vehicles.len() == 1 {
        advice.push("One vehicle alone has no help: bring a second (common practice, no source).".to_owned());
    }
    advice
}

/// What nobody wrote into the course and somebody must write onto the sheets.
fn to_fill_in(course: &Course) -> Option<String> {
    let help = &course.emergency;
    let open = [
        (help.number.is_none(), "the local emergency number"),
        (help.location.is_none(), "the place to read out to the emergency services"),
        (course.assembly().is_none(), "where everybody meets"),
        (help.hospital.is_none(), "the nearest emergency department, with its road"),
        (course.day.channel.is_none(), "the radio channel"),
    ];
    let open: Vec<&str> = open.into_iter().filter(|(open, _)| *open).map(|(_, what)| what).collect();
    (!open.is_empty()).then(|| {
        format!(
            "FILL IN, in the course file or by hand in the frames on briefing, radio plan and cards: {}.",
            open.join("; ")
        )
    })
}
