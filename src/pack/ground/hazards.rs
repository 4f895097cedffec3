//! Hazards of the whole day, whatever the slope: what can happen, to whom, what is done, who checks it.

use crate::course::{DangerKind, KitKind, Role, Slope};
use crate::engine::Standing;
use crate::pack::book::Book;
use crate::pack::day::wet::Wet;
use crate::pack::ground::scored::Level::{Administrate, Eliminate, Engineer, Protect, Substitute};
use crate::pack::ground::scored::{Hazard, control};
use crate::pack::ground::slope_hazards::worst;
use crate::pack::ground::wanted::{extinguishers, vests};
use crate::rota::doing;

/// The rows of the day, in the order of the day.
pub(super) fn of_the_day(book: &Book) -> Vec<Hazard<'static>> {
    let crew = Crew::of(book);
    let mut all = vec![
        reversing(book, &crew),
        in_the_vehicle(&crew),
        rolls_off(&crew),
        runs_away(book),
        struck(book, &crew),
        edges(book, &crew),
        water(book, &crew),
        slides_on(book, &crew),
        hot_brakes(book, &crew),
        line_breaks(&crew),
        lifting(&crew),
        weather(&crew),
    ];
    if let Some(over) = rolls_over(book, &crew) {
        all.insert(4, over);
    }
    all
}

/// Who checks what.
struct Crew {
    lead: String,
    marshal: String,
    aider: String,
}

impl Crew {
    fn of(book: &Book) -> Self {
        // One name answers for a control; the first of several.
        let people = &book.course.people;
        let first = |role| doing(book.course, role, book.missing()).first().map(|at| &people[*at]);
        let named =
            |role, nobody: &str| first(role).map_or_else(|| nobody.to_owned(), |one| one.name.short());
        Self {
            lead: named(Role::Lead, "whoever is in charge"),
            marshal: named(Role::Marshal, "a marshal named at the briefing"),
            aider: named(Role::FirstAider, "the first-aider"),
        }
    }
}

fn reversing(book: &Book, crew: &Crew) -> Hazard<'static> {
    Hazard {
        step: "Muster and car park",
        what: "Reversing or moving off into somebody",
        harm: "anybody on foot: struck, crushed against a vehicle",
        before: (3, 5),
        after: (1, 5),
        controls: vec![
            control(Eliminate, "parked nose out, driven off forwards; vehicles and people gather apart"),
            control(
                Administrate,
                "whoever must reverse has one person outside, seen in the mirror; not seen: stop",
            ),
            control(Protect, "bright vests for crew").with([vests(book)]),
        ],
        check: format!("{}: looks at the rows before sign-on opens, and at each move", crew.marshal),
    }
}

fn in_the_vehicle(crew: &Crew) -> Hazard<'static> {
    Hazard {
        step: "Every run",
        what: "People and loose things thrown about, or out",
        harm: "driver, passengers: head, neck, arms; somebody crushed in a roll-over",
        before: (3, 4),
        after: (1, 4),
        controls: vec![
            control(
                Eliminate,
                "nobody in the load space or outside; passengers stay out unless the instructor agrees",
            ),
            control(Engineer, "load tied; loose tools, bottles, jacks out of the cab"),
            control(Protect, "belts on whenever a wheel turns; arms in; thumbs outside the rim"),
        ],
        check: format!("{}: vehicle check signed; spotter looks in at the brow, each run", crew.lead),
    }
}

fn rolls_off(crew: &Crew) -> Hazard<'static> {
    Hazard {
        step: "Standing vehicles",
        what: "A parked or stopped vehicle rolls away",
        harm: "anybody below or behind: run over, crushed",
        before: (3, 5),
        after: (1, 5),
        controls: vec![
            control(Eliminate, "parked on the level or across the slope, never above people"),
            control(
                Engineer,
                "in gear or P (transfer box not in neutral), parking brake, chocks below two wheels",
            )
            .with([(KitKind::Chock, 2)]),
            control(
                Administrate,
                "nobody chases or gets in front of one; nobody gets out on a slope unless told",
            ),
        ],
        check: format!("{}: parking brake tried at the vehicle check; chocks seen at each stop", crew.lead),
    }
}

fn runs_away(book: &Book) -> Hazard<'static> {
    let stay = book.reckoning.pairs.iter().filter(|pair| pair.standing == Standing::NotHere).count();
    let all = book.reckoning.pairs.len();
    let left_out = (stay > 0).then(|| {
        control(Eliminate, format!("{stay} of {all} pairs of slope and vehicle do not drive (fleet table)"))
    });
    Hazard {
        step: "Every descent",
        what: "The vehicle runs away",
        harm: "driver, passengers, people below: collision, roll-over",
        before: (4, 5),
        after: (2, 5),
        controls: left_out
            .into_iter()
            .chain([
                control(Engineer, run_outs(book)),
                control(Administrate, "gear chosen before the brow, called out; spotter clears the slope"),
            ])
            .collect(),
        check:
            "whoever stands at the brow by the course plan, never the driver: gear against the card, each run"
                .to_owned(),
    }
}

/// The run-outs and what stands at their ends, in the course's words.
fn run_outs(book: &Book) -> String {
    let end = |slope: &Slope| {
        let end = slope.run_out.as_ref()?.ends_at.as_ref()?;
        Some(format!("{} {end}", book.slope_mark(&slope.id)))
    };
    let ends: Vec<String> = book.course.slopes.iter().filter_map(end).collect();
    if ends.is_empty() {
        "run-out measured and clear".to_owned()
    } else {
        format!("run-out measured and clear; at its end: {}", ends.join(", "))
    }
}

fn rolls_over(book: &Book, crew: &Crew) -> Option<Hazard<'static>> {
    let tilted = |slope: &Slope| super::slope_hazards::tilts(slope);
    if !book.course.slopes.iter().any(tilted) {
        return None;
    }
    let limit = book.show.angle(book.course.limits.side_tilt.si(), false).text();
    Some(Hazard {
        step: "Side slopes",
        what: "Roll-over sideways",
        harm: "driver, passengers: crushed, thrown out",
        before: (3, 5),
        after: (1, 5),
        controls: vec![
            control(Eliminate, "vehicles over the limit stay out"),
            control(Engineer, format!("line pegged away from ruts; {}", roofs(book)))
                .with([(KitKind::Pegs, 1)]),
            control(Administrate, format!("side tilt at most {limit}, bumps included; way out is down")),
            control(Protect, "belts, arms inside"),
        ],
        check: format!("{}: walks the pegged line with a level before the first run", crew.lead),
    })
}

/// What is on the roofs of the fleet.
fn roofs(book: &Book) -> String {
    let loads: Vec<String> = book
        .course
        .vehicles
        .iter()
        .filter_map(|vehicle| {
            let mass = book.show.mass(vehicle.roof_load?.mass.si(), false).text();
            Some(format!("{} {mass}", book.vehicle_mark(&vehicle.id)))
        })
        .collect();
    if loads.is_empty() {
        "roof empty, load low".to_owned()
    } else {
        format!("nothing on the roof but what is reckoned with ({}), load low", loads.join(", "))
    }
}

fn struck(book: &Book, crew: &Crew) -> Hazard<'static> {
    let pace = if book.course.day.site_speed.is_some() {
        "site speed limit kept; nobody below a vehicle"
    } else {
        "walking pace off the slopes; nobody below a vehicle"
    };
    Hazard {
        step: "Watching, walking on site",
        what: "Struck by a vehicle or a stone",
        harm: "class, crew, visitors: crushed, hit",
        before: (3, 5),
        after: (1, 5),
        controls: vec![
            control(
                Engineer,
                format!("rope {} to the side of each line", book.show.beside_the_line().text()),
            )
            .with([(KitKind::Barrier, 1)]),
            control(Administrate, pace),
            control(Protect, "bright vests for marshals and spotters").with([vests(book)]),
        ],
        check: format!("{}: rope walked before each session; spotter calls CLEAR each run", crew.marshal),
    }
}

fn edges(book: &Book, crew: &Crew) -> Hazard<'static> {
    let clear = book.show.from_an_edge().text();
    let [before, after] = worst(book, DangerKind::Edge, [(2, 5), (1, 5)]);
    Hazard {
        step: "Edges, drops, faces",
        what: "Over an edge, or something falls from a face",
        harm: "driver, people on foot: fall, crushed by stone",
        before,
        after,
        controls: vec![
            control(
                Eliminate,
                format!(
                    "no wheel and nobody on foot within {clear} of an edge; nobody parked or standing under a face"
                ),
            ),
            control(
                Engineer,
                format!(
                    "where a line passes an edge a bund, or pegs that keep the wheels {clear} off; tape stops nobody"
                ),
            )
            .with([(KitKind::Pegs, 1)]),
        ],
        check: format!("{}: walks edges and foot of faces after rain and each morning", crew.lead),
    }
}

fn water(book: &Book, crew: &Crew) -> Hazard<'static> {
    let rescue = if book.course.has_water() {
        control(
            Administrate,
            "nobody goes in after a vehicle; one named person on the bank with the throw line",
        )
        .with([(KitKind::ThrowLine, 1)])
    } else {
        control(Administrate, "nobody wades in after a vehicle; pulled from firm ground only")
    };
    let [before, after] = worst(book, DangerKind::Water, [(2, 5), (1, 5)]);
    Hazard {
        step: "Water, mud",
        what: "Into water, or stuck in it",
        harm: "driver, helpers: drowning, cold",
        before,
        after,
        controls: vec![
            control(
                Eliminate,
                "no line ends at or leans to water without a bund before it, walked and measured; no wading today",
            ),
            rescue,
        ],
        check: format!("{}: looks at water levels each morning and after rain", crew.lead),
    }
}

fn slides_on(book: &Book, crew: &Crew) -> Hazard<'static> {
    let tested = Wet::of(book).map(|_| {
        control(
            Administrate,
            "wet-day test: the crew alone, vehicle checked first, level ground of that surface clear for three times the trace, nobody near the line but the spotter",
        )
    });
    Hazard {
        step: if tested.is_some() {
            "Wheels locked: demonstration, wet-day test"
        } else {
            "Demonstration, wheels locked"
        },
        what: "The vehicle slides further than meant",
        harm: "driver, class: struck",
        before: (3, 4),
        after: (1, 3),
        controls: vec![
            control(Substitute, "shown on flat ground only, never on a slope"),
            control(Engineer, "room for twice the longest slide and more, class behind its rope")
                .with([(KitKind::Barrier, 1), (KitKind::Pegs, 1)]),
            control(Administrate, "speed from the demonstration sheet, stop word rehearsed"),
        ]
        .into_iter()
        .chain(tested)
        .collect(),
        check: format!("{}: pegs and rope taped before the first run", crew.lead),
    }
}

fn hot_brakes(book: &Book, crew: &Crew) -> Hazard<'static> {
    let limit = book.show.temperature(book.course.limits.brake_temperature.si(), false).text();
    Hazard {
        step: "Foot-brake runs in a row",
        what: "Brakes fade; hot brakes or exhaust set grass alight",
        harm: "driver, people below: collision, burns",
        before: (3, 4),
        after: (2, 4),
        controls: vec![
            control(
                Engineer,
                "in gear first; extinguisher at brow and foot of each slope in use; not parked on dry grass",
            )
            .with([extinguishers(book)]),
            control(
                Administrate,
                format!(
                    "runs and waits as printed, estimate under {limit}; pedal felt on the flat before each run; smell or smoke ends it"
                ),
            ),
            control(Protect, "hands off wheels and hubs after a run"),
        ],
        check: format!(
            "{}: counts each vehicle’s runs in writing, feels the pedal; extinguishers seen before the first run",
            crew.lead
        ),
    }
}

fn line_breaks(crew: &Crew) -> Hazard<'static> {
    Hazard {
        step: "Recovery",
        what: "A line, strap or shackle breaks and flies",
        harm: "helpers, bystanders: killed, maimed",
        before: (3, 5),
        after: (1, 5),
        controls: vec![
            control(Engineer, "rated kit and rated points only, damper on the line")
                .with([(KitKind::Damper, 1)]),
            control(Administrate, "one trained person commands; everybody outside the marked zone"),
            control(Protect, "gloves; the operator out of line, where the plan says")
                .with([(KitKind::Gloves, 2)]),
        ],
        check: format!("{}: kit record signed this morning; zone walked before each pull", crew.lead),
    }
}

fn lifting(crew: &Crew) -> Hazard<'static> {
    Hazard {
        step: "Kit, wheels, boards",
        what: "Lifting, pulling by hand, pinching",
        harm: "helpers: back, fingers, feet",
        before: (3, 3),
        after: (1, 3),
        controls: vec![
            control(Eliminate, "kit driven to where it is used; nobody lifts or pushes a vehicle on a slope"),
            control(Administrate, "two people to anything heavy; hands off a line that moves"),
            control(Protect, "gloves, closed shoes").with([(KitKind::Gloves, 2)]),
        ],
        check: format!("{}: before each recovery", crew.lead),
    }
}

fn weather(crew: &Crew) -> Hazard<'static> {
    Hazard {
        step: "The whole day",
        what: "Lightning, heat, cold, rain on the slopes",
        harm: "everybody: struck, exhausted, cold",
        before: (2, 5),
        after: (1, 5),
        controls: vec![
            control(
                Eliminate,
                "thunder: off the slopes and into hard-topped vehicles; again 30 minutes after the last",
            ),
            control(
                Administrate,
                "after rain the plan’s wet-day test first; after frost or damage slopes measured and walked again",
            ),
            control(Protect, "clothing list, water, shelter"),
        ],
        check: format!("{} and {}: forecast in the morning, sky at each break", crew.lead, crew.aider),
    }
}
