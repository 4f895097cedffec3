//! What to do with each kind of gearbox, engine, drive and aid that is in this fleet, and only those.

use serde::Serialize;

use crate::course::{Aid, Course, Driven, Fuel, Gearbox, Lock, Vehicle};
use crate::page::words::vehicle_mark;

/// A kind of system, which vehicles have it, what to do with it going down.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct System {
    /// What it is.
    pub title: &'static str,
    /// The marks of the vehicles that have it.
    pub who: String,
    /// What to do.
    pub lines: &'static [&'static str],
    /// Where it comes from.
    #[serde(serialize_with = "crate::course::sources::as_cited")]
    pub source: &'static str,
}

/// A kind with the test that tells a vehicle of it.
struct Kind {
    title: &'static str,
    has: fn(&Vehicle) -> bool,
    lines: &'static [&'static str],
    source: &'static str,
}

static KINDS: &[Kind] = &[
    Kind {
        title: "Manual gearbox",
        has: |vehicle| vehicle.transmission.gearbox == Gearbox::Manual,
        lines: &[
            "Range and gear at the top, standing. Check that low range is truly in: a lever that jumped to neutral on the way is the classic cause of a runaway.",
            "Clutch foot flat on the floor from brow to foot. No gear change on the slope.",
        ],
        source: "B20; the jumped lever: common practice, no source",
    },
    Kind {
        title: "Automatic, converter locks",
        has: |vehicle| vehicle.transmission.gearbox == Gearbox::AutomaticLocked,
        lines: &[
            "Lever in the lowest position, or first held by hand. Never D, never N; P only when it stands.",
            "A lock-up can open by itself when slow or cold: if it begins to run, foot on the brake, lightly.",
        ],
        source: "B20",
    },
    Kind {
        title: "Automatic, converter open",
        has: |vehicle| vehicle.transmission.gearbox == Gearbox::AutomaticUnlocked,
        lines: &[
            "Lever in the lowest position. Never D, never N; P only when it stands.",
            "It pushes at idle below its creep speed and holds only weakly above it: right foot on the brake, light and steady, wherever the card says + brake, and over it elsewhere.",
            "One foot: the left stays away. Left-foot braking is for obstacles, and can switch traction control off.",
        ],
        source: "B20 and B21. Left foot on the descent: no source advises it",
    },
    Kind {
        title: "Petrol engine",
        has: |vehicle| vehicle.engine.fuel == Fuel::Petrol,
        lines: &[
            "Foot off: the shut throttle makes the cylinders pull against vacuum, on top of friction. Idle is higher with choke or cold, and so is the creep speed: warm it up before the first slope; faster at the pegs than the card says, foot brake on.",
        ],
        source: "T2; the cold idle: common practice, no source",
    },
    Kind {
        title: "Diesel engine",
        has: |vehicle| vehicle.engine.fuel == Fuel::Diesel,
        lines: &[
            "No throttle, so no vacuum to pull against: it holds by friction and swept volume. “A diesel has no engine braking” is not true; the figures are on the card. Some hold idle up by themselves, and then it pushes: foot over the brake; faster at the pegs than the card says, foot brake on.",
        ],
        source: "T2; idle held up: common practice, no source",
    },
    Kind {
        title: "No low range",
        has: |vehicle| vehicle.transmission.transfer_low.is_none(),
        lines: &[
            "First gear is several times too fast for a steep slope: the foot brake does the work, and gets warm. Only where the card says so.",
        ],
        source: "computed for each vehicle on its card",
    },
    Kind {
        title: "Two wheels driven",
        has: |vehicle| vehicle.transmission.driven != Driven::AllWheels,
        lines: &[
            "The engine holds one axle only. Rear: a low gear and a dab of brake let the rear lock first, and the tail comes round. Front: steering goes first. Foot brake light, even, early.",
        ],
        source: "axle braking as worked on the cards",
    },
    Kind {
        title: "Differential locks",
        has: |vehicle| {
            let fitted = vehicle.transmission.differentials;
            [fitted.centre, fitted.front, fitted.rear].contains(&Lock::Locked)
        },
        lines: &[
            "In before the brow, standing or rolling straight; out at the foot, before firm ground and turns. The card says which: its figures count on it.",
            "Locked axles want to go straight on: wider turns, more hands. A lock adds no grip; it lets the wheel that has some use it.",
        ],
        source: "B20; when in and out: common practice, no source",
    },
    Kind {
        title: "Anti-lock brakes",
        has: |vehicle| vehicle.aids.contains(&Aid::AntiLock),
        lines: &[
            "Press and hold; the pedal shudders. It keeps the steering. On loose ground it stops longer than locked wheels (27 % in one published test on gravel). It may be off in low range: see the handbook.",
        ],
        source: "E3 and B20",
    },
    Kind {
        title: "Traction control",
        has: |vehicle| vehicle.aids.contains(&Aid::TractionControl),
        lines: &[
            "It brakes a wheel that spins; it does nothing for a wheel that is held. It is no differential lock, and warms the brakes: leave it on, count on none of it, and let a wheel that smells cool.",
        ],
        source: "B20",
    },
    Kind {
        title: "Hill descent control",
        has: |vehicle| vehicle.aids.contains(&Aid::HillDescentControl),
        lines: &[
            "Needs a gear: never in neutral. It works the brakes, so it heats them, warns, and lets go to cool: foot ready.",
            "It cannot hold what the ground cannot hold. This course’s figures are without it.",
        ],
        source: "B20",
    },
];

/// The systems of a course's own vehicles.
pub(crate) fn systems(course: &Course) -> Vec<System> {
    KINDS
        .iter()
        .filter_map(|kind| {
            let marks: Vec<String> = course
                .vehicles
                .iter()
                .filter(|vehicle| (kind.has)(vehicle))
                .map(|vehicle| vehicle_mark(course, &vehicle.id))
                .collect();
            (!marks.is_empty()).then(|| System {
                title: kind.title,
                who: if marks.len() == course.vehicles.len() { "all".to_owned() } else { marks.join(", ") },
                lines: kind.lines,
                source: kind.source,
            })
        })
        .collect()
}
