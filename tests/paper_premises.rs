//! What questions take for granted agrees with what the course knows of fleet and ground.

use slopepack::course::read_text;
use slopepack::engine::reckon;
use slopepack::paper::{built_in, families};

const COURSES: [(&str, &str); 3] = [
    ("quarry-day", include_str!("../courses/quarry-day.yaml")),
    ("hill-club-weekend", include_str!("../courses/hill-club-weekend.yaml")),
    ("six-slope-saturday", include_str!("../courses/six-slope-saturday.yaml")),
];

/// Findings of a sitting by hand: no vehicle on a slope where it may not drive, no slipping converter
/// taken for a solid one, no item keyed against the fleet's own figures.
#[test]
fn premises_agree_with_what_the_course_knows() {
    for (name, text) in COURSES {
        let course = read_text(text).unwrap();
        let reckoning = reckon(&course);
        let all = families(&course, &reckoning, &built_in());
        let refused = |vehicle: &str, slope: &str| {
            reckoning
                .pair(slope, vehicle)
                .is_some_and(|pair| pair.standing == slopepack::engine::Standing::NotHere)
        };
        for variant in all.iter().flat_map(|family| &family.variants) {
            for vehicle in &course.vehicles {
                for slope in course.slopes.iter().filter(|slope| refused(&vehicle.id, &slope.id)) {
                    let said = format!("{} on {}", vehicle.name, slope.name);
                    assert!(!variant.ask.contains(&said), "{name}: {}", variant.ask);
                }
                let slips = vehicle.transmission.gearbox == slopepack::course::Gearbox::AutomaticUnlocked;
                let creeps = ["creep-speed/", "wheel-turns/", "choose-gear/", "read-ladder/"]
                    .iter()
                    .any(|kind| variant.name.starts_with(kind));
                assert!(
                    !(slips && creeps && variant.ask.contains(&vehicle.name.to_string())),
                    "{name}: {}",
                    variant.ask
                );
            }
        }
    }
    assert!(built_in().iter().all(|item| item.id != "rear-first"));
}
