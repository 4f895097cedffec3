//! When it goes wrong: what to do for each case, and the systems that are in this fleet.

use serde::Serialize;

use crate::course::{Course, Gearbox, Slope};
use crate::pack::book::Book;
use crate::pack::ground::systems::{System, systems};
use crate::page::meta::Meta;
use crate::page::words::STEP;

/// One thing that goes wrong: what is seen, what is done, in that order.
#[derive(Clone, Copy, Debug, Serialize)]
pub(crate) struct Trouble {
    /// What it is called.
    pub title: &'static str,
    /// What the driver sees or feels.
    pub see: &'static str,
    /// What to do, step by step.
    pub steps: &'static [&'static str],
    /// The same in few words, where a card has it: what happens, then what to do.
    pub card: Option<(&'static str, &'static [&'static str])>,
    /// What never to do.
    pub never: &'static str,
    /// How it is practised on the gentlest slope or standing.
    pub drill: &'static str,
    /// Where it comes from, and where sources clash.
    #[serde(serialize_with = "crate::course::sources::as_cited")]
    pub source: &'static str,
    /// Which courses it concerns.
    #[serde(skip)]
    concerns: fn(&Course) -> bool,
}

fn any(_: &Course) -> bool {
    true
}

/// Everything that goes wrong on a slope, in the order it is briefed.
pub(crate) static TROUBLES: &[Trouble] = &[
    Trouble {
        title: "Wheels locked, sliding straight",
        see: "The wheels stand, the vehicle goes on. Turning the steering wheel does nothing.",
        steps: &[
            "Foot off the brake until the wheels turn.",
            "Steer straight down.",
            "Brake again, lighter.",
        ],
        card: Some((
            "LOCKED, sliding straight",
            &["foot off until the wheels turn", "steer straight down", "brake again, lighter"],
        )),
        never: "Never turn the steering wheel further and wait: when the wheels grip, it goes where they point.",
        drill: "Only where and as the demonstration sheet says, never on a slope: locked, then the same with the foot off. Say which one steered.",
        source: "Order: B22. On deep loose ground staying locked may stop it sooner, straight on only: E3 found this on gravel.",
        concerns: any,
    },
    Trouble {
        title: "The tail steps out",
        see: "The rear comes round. Going down in a low gear the usual cause is rear wheels that turn slower than the ground passes: too much brake, or too much engine on one axle.",
        steps: &[
            "Foot off the brake.",
            "Steer the way the nose must go: straight down the slope.",
            "A touch of throttle, in gear, until the rear wheels roll.",
            "Straighten, let it settle, only then brake again.",
        ],
        card: Some((
            "TAIL STEPS OUT",
            &["foot off the brake", "steer straight down", "a touch of throttle, in gear"],
        )),
        never: "Never clutch down, never brake into the turn.",
        drill: "Pedal order said aloud and done standing, engine off. Not provoked on a slope.",
        source: "A little throttle: B20, B21. B22, for wheels that spin, has throttle off; B23, for snow, has brake: other causes. Ask first why the wheels slide.",
        concerns: any,
    },
    Trouble {
        title: "The engine stalls going down",
        see: "Silence. Pedal and steering go heavy as the help fades.",
        steps: &[
            "Foot brake, at once, and keep it on: do not pump, each stroke uses up help.",
            "Parking brake on. Clutch down, or lever in P: the key back one notch only, or the steering locks.",
            "Start the engine, foot still on the brake.",
            "The gear on your card in. Clutch up, then parking brake off, then foot brake off, slowly.",
            "Straight on down.",
        ],
        card: Some((
            "STALLED",
            &[
                "foot brake on, keep it on, do not pump",
                "parking brake; clutch down, or P",
                "key back one notch only; start, this card’s gear, clutch up, brakes off slowly",
            ],
        )),
        never: "Never roll with the clutch down or in neutral to start it.",
        drill: "Standing on the level, brakes on: key back one notch only, never off, which locks the steering. Then the order above.",
        source: "Order: B20. That each stroke uses up help: common practice, no source.",
        concerns: any,
    },
    Trouble {
        title: "Sliding down a side slope",
        see: "The vehicle goes sideways, or the upper wheels go light.",
        steps: &[
            "Steer downhill, towards the marked way out.",
            "Foot off the brake; a touch of throttle to follow the wheels.",
            "Straight on down; stop where the way out ends.",
        ],
        card: None,
        never: "Never steer uphill, never brake hard across the slope, never lean out.",
        drill: "Walk the way out on foot first; each driver points to it before the run.",
        source: "Turn downhill: B20. One club page says a little up first: it spends time and grip, and this course does not teach it.",
        concerns: any,
    },
    Trouble {
        title: "A climb that fails",
        see: "It hardly moves, spins, or the engine stops on the way up.",
        steps: &[
            "Foot brake, then parking brake. Stay straight.",
            "Engine stopped: clutch down or lever in P, start it first. Without it there is no brake help and the gears hold nothing.",
            "Low range, reverse. Look down the way you came up; a hand on top of the rim, so that you feel straight wheels.",
            "Parking brake off, foot brake off (clutch up at the same time). Back straight down on the engine.",
            "Sliding: a little throttle, in reverse, until the tyres grip.",
        ],
        card: None,
        never: "Never neutral, never clutch down while it rolls, never turn round on the slope.",
        drill: "On the nursery slope, first drill before any hill is climbed: stop half-way up on the word, back down straight.",
        source: "B20: three makers agree on the order. They clash on the foot brake while backing down: two allow a light foot, one only to stop. The handbook of the vehicle decides; so it does where one forbids low-range reverse.",
        concerns: any,
    },
    Trouble {
        title: "The foot brake fades or the pedal goes long",
        see: "More foot, less braking; a smell; the pedal sinks.",
        steps: &[
            "Stay in gear: it slows you. Where the card says + brake it does not hold you.",
            "Pump the pedal, firm and quick.",
            "Steer for the run-out or soft ground uphill.",
            "Parking brake in short pulls, button held, straight ahead only.",
            "Say BRAKES as you do it. Nobody else starts.",
        ],
        card: Some((
            "PEDAL SINKS, brakes fade",
            &[
                "stay in gear; pump, firm and quick",
                "steer for the run-out",
                "parking brake in short pulls, straight only, never one on the transmission",
                "say BRAKES",
            ],
        )),
        never: "Never change gear now. A parking brake on the transmission is never used while it moves.",
        drill: "Said aloud at the brow before the longest slope. The vehicle stands until its brakes are cold.",
        source: "Change down early, pump, parking brake with its release held, look for a way out: B22. Soft uphill ground: common practice, no source.",
        concerns: any,
    },
    Trouble {
        title: "It goes over",
        see: "The upper side lifts and does not come back.",
        steps: &[
            "Shout ROLLOVER. Hands off the rim, arms and legs in, chin down.",
            "When it lies still: ignition off.",
            "Everyone is called by name. Fire: out at once, whoever has not answered is helped first.",
            "Brace yourself, then belt off: you fall on the lower side.",
            "Out on the side away from fuel, slope and traffic. Up the slope, never below the vehicle.",
        ],
        card: Some((
            "GOING OVER",
            &[
                "hands off the rim, arms in, chin down",
                "still: ignition off; all called by name",
                "brace, belt off, out uphill",
            ],
        )),
        never: "Never put an arm or leg out. Never unbelt before it lies still and everyone has been called.",
        drill: "Sitting, belted, standing on the level: call, hands, names, belt. Each driver once.",
        source: "Order of the drill: B24. Clash: one text braces on the roof while it rolls, others keep hands off it; this course keeps arms in.",
        concerns: any,
    },
    Trouble {
        title: "It is in the water",
        see: "Water at the doors, or the nose goes under. It floats a minute at most.",
        steps: &[
            "Rolled over: first until it lies still. Then at once: belts off, windows open or broken. Not the door: the water holds it shut.",
            "Out through a window on the high side, passengers first. Hold on to the vehicle or swim to the bank.",
            "On the bank: say it on the radio, control makes the emergency call. Throw line from firm ground to whoever is in the water.",
            "Count everybody by name.",
        ],
        card: None,
        never: "Never go in after it. Never stay in for the engine or for things.",
        drill: "Belted, standing on the level: belt, window, out on the high side, by name. The throw line thrown once on dry ground before the first run.",
        source: "Belts, windows, out, not the door: E15. High side and throw line: common practice, no source.",
        concerns: Course::has_water,
    },
    Trouble {
        title: "Stopped on the slope, and it will not go on",
        see: "Hung up, bogged, or you do not like what comes next.",
        steps: &[
            "Foot brake and keep it on, parking brake. Engine running for the brake’s help: clutch down with the gear left in, or the lever where it is. Stay belted.",
            "Say STUCK and your slope on the radio; without one, one long on the horn.",
            "Told to wait: engine off, clutch up in gear, or P; foot brake stays on until chocks are in. What can be done downhill is done downhill.",
        ],
        card: None,
        never: "Never get out on your own. Nobody walks or stands below the vehicle.",
        drill: "Talked through at each brow: where would you stop, who comes?",
        source: "Common practice, no source. What follows is the recovery plan.",
        concerns: any,
    },
    Trouble {
        title: "The vehicle must be left on a slope",
        see: "The instructor says so. There is no level ground to reach.",
        steps: &[
            "Foot brake on. A helper from the side, never below, sets chocks on the downhill side of the lower axle, both wheels.",
            "Ease the foot brake until the chocks take the load, then brake again.",
            "Parking brake on. Nose down reverse in, nose up first, or P; transfer case in low, never neutral.",
            "Engine off, key out.",
            "Across the slope out on the uphill side, else on the side away from the drop. Go up, clear of the way it would roll.",
        ],
        card: Some((
            "LEAVE THE VEHICLE, when told to",
            &[
                "brakes on; a helper from the side sets the chocks, downhill side",
                "nose down reverse, nose up first, or P; transfer case in low",
                "engine off, key out, out uphill",
            ],
        )),
        never: "Never trust P or a parking brake alone: with the transfer case in neutral neither gear nor P holds anything.",
        drill: "On the nursery slope with the chocks that will be used: do they hold on this ground?",
        source: "Order, and neutral in the transfer case: B20. Parking brakes are approved on 20 % dry test ground (R7, from memory), not on wet grass.",
        concerns: any,
    },
    Trouble {
        title: "It rolls away with nobody in it",
        see: "A vehicle moves and the seat is empty.",
        steps: &[
            "Shout RUNAWAY and point; say it on the radio. Everybody off to the sides.",
            "Spotter: clear the run-out, away from its way.",
            "Let it go. Count people, then look at the vehicle.",
        ],
        card: None,
        never: "Never chase it, never jump in, never put a stone or a foot before a wheel.",
        drill: "Ask at the brow: where does it roll, who stands there?",
        source: "How it comes about: E14. Never chase it: common practice, no source.",
        concerns: any,
    },
    Trouble {
        title: "An automatic runs faster and faster",
        see: "Lowest position, foot off, and the speed still creeps up: the converter lets the wheels overrun the engine.",
        steps: &[
            "Foot on the brake, light and steady, wheels turning: keep the card’s speed.",
            "Lever stays in the lowest position.",
            "Past the card’s limit: do the abort.",
        ],
        card: None,
        never: "Never N, never P while it moves, never D.",
        drill: "On the last stretch before the nursery slope’s foot, instructor beside: foot off for one second, feel it run, take it back with the foot.",
        source: "Feather the brake, engine braking is limited: B21; light and steady: common practice, no source. Lever positions: B20.",
        concerns: |course| {
            course.vehicles.iter().any(|vehicle| vehicle.transmission.gearbox != Gearbox::Manual)
        },
    },
    Trouble {
        title: "Spotter out of sight, signal not understood, radio dead",
        see: "You do not know what you are being told.",
        steps: &[
            "Stop, wheels turning to the last. Where the slope card says roll out: roll out in gear to the foot.",
            "Stay. Wait until you see and understand again.",
            "Ask by horn: two short.",
        ],
        card: None,
        never: "Never follow two people, never go on from memory.",
        drill: "On the flat: the spotter steps out of sight once.",
        source: "Nothing else to do, stop when you cannot obey safely: R6. The horn: common practice, no source.",
        concerns: any,
    },
];

/// What a card has of it: condition, then action.
pub(crate) fn on_a_card() -> impl Iterator<Item = (&'static str, &'static [&'static str])> {
    TROUBLES.iter().filter_map(|case| case.card)
}

/// How a step is driven, on the slopes that have one and that somebody drives.
pub(crate) fn a_step(book: &Book) -> Option<(String, Vec<&'static str>)> {
    let stepped = book.course.slopes.iter().zip(&book.slopes).filter(|(slope, _)| slope.has_step());
    let driven = stepped.filter(|(_, sheet)| sheet.closed.is_empty());
    let marks: Vec<&str> = driven.map(|(_, sheet)| sheet.id.as_str()).collect();
    (!marks.is_empty()).then(|| (format!("A STEP, on {}", marks.join(", ")), STEP.split("; ").collect()))
}

/// How a vehicle with a clutch stands on a slope and goes on, where the fleet has one: with the clutch up the foot brake
/// would stall it.
pub(crate) fn to_stand(book: &Book) -> Option<(String, Vec<&'static str>)> {
    let manual = book.course.vehicles.iter().any(|one| one.transmission.gearbox == Gearbox::Manual);
    let steps =
        ["foot brake firm, then clutch down, gear left in", "to go on: clutch up, then the brake off slowly"];
    manual.then(|| ("TO STAND".to_owned(), steps.to_vec()))
}

/// A thing of the ground to look for before it goes wrong.
#[derive(Clone, Copy, Debug, Serialize)]
pub(crate) struct Ground {
    /// What it is.
    pub title: &'static str,
    /// What to do about it.
    pub rule: &'static str,
}

/// What the ground asks besides its gradient.
pub(crate) static GROUND: &[Ground] = &[
    Ground {
        title: "Ruts",
        rule: "Hold the rim lightly, thumbs outside; let it track. Look whether the wheels still point straight: they bite at the end of the rut. Cross at about 45°, one wheel at a time.",
    },
    Ground { title: "Step or ledge", rule: STEP },
    Ground {
        title: "Edge",
        rule: "No wheel and nobody on foot within the clearance of an unprotected edge that the risk assessment names; a bund or pegs keep it.",
    },
    Ground {
        title: "Water",
        rule: "Walk it or leave it. Not above the hubs without the maker’s word. After it: brakes dried by a light foot before the next slope. A parking brake on the transmission is not trusted wet.",
    },
    Ground {
        title: "Tyre pressure",
        rule: "Only what tyre and vehicle makers allow for this load and speed; written on the card. Lowered pressures lower the speed limit; pumped up again before the road.",
    },
    Ground {
        title: "Way to and from the slope",
        rule: "Slowest in front. Distance so that you always see the one behind; it waits at each turn. Who is on the slope has the way. One vehicle on a slope.",
    },
    Ground {
        title: "Reversing",
        rule: "Nobody behind. With a guide in view all the time, or not at all; the guide never walks backwards.",
    },
];

/// When it goes wrong: cases, ground, and the systems of this fleet.
#[derive(Serialize)]
pub(crate) struct WhenItGoesWrong {
    pack: Meta,
    troubles: Vec<Trouble>,
    ground: &'static [Ground],
    /// The gentlest slope, where drills are done.
    drill_slope: String,
    systems: Vec<System>,
}

impl WhenItGoesWrong {
    /// From the book.
    pub(crate) fn of(book: &Book, pack: Meta) -> Self {
        let course = book.course;
        Self {
            pack,
            troubles: TROUBLES.iter().filter(|case| (case.concerns)(course)).copied().collect(),
            ground: GROUND,
            drill_slope: gentlest(book)
                .map_or_else(String::new, |slope| format!("{} {}", book.slope_mark(&slope.id), slope.name)),
            systems: systems(course),
        }
    }
}

/// The sources of the cases and systems that concern a course's fleet.
pub(crate) fn sources(course: &Course) -> impl Iterator<Item = &'static str> {
    let cases = TROUBLES.iter().filter(|case| (case.concerns)(course)).map(|case| case.source);
    cases.chain(systems(course).into_iter().map(|system| system.source))
}

/// The slope that asks least, gradient and cross slope together: of those that somebody measured and some vehicle drives.
pub(crate) fn gentlest<'c>(book: &Book<'c>) -> Option<&'c Slope> {
    let asks = |slope: &Slope| slope.steepest().gradient.si() + slope.cross_slope.si().abs();
    let driven = |slope: &&Slope| {
        let goes = |vehicle| book.pair(slope, vehicle).judged.mark.goes();
        slope.survey.is_some() && book.course.vehicles.iter().any(goes)
    };
    book.course.slopes.iter().filter(driven).min_by(|a, b| asks(a).total_cmp(&asks(b)))
}
