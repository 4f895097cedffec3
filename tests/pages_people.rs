//! Who is where: read from the printed plans, nobody at two places at a time, posts and radios counted.

use std::collections::BTreeMap;

use slopepack::course::{KitKind, Role, read_text};
use slopepack::engine::{Mark, reckon};
use slopepack::pack::Book;
use slopepack::rota::{LeftOut, SessionSum, Turn, clock_text, day_sum};

use crate::pages::{Pack, examples};

const QUARRY: &str = include_str!("../courses/quarry-day.yaml");
const HILL: &str = include_str!("../courses/hill-club-weekend.yaml");

fn source<'a>(pack: &'a Pack, name: &str) -> &'a str {
    &pack.papers.iter().find(|paper| paper.name == name).expect("it is printed").source
}

/// The texts written in a line of a typeset source.
fn written(line: &str) -> Vec<&str> {
    line.split("#\"").skip(1).filter_map(|rest| rest.split_once("\";")).map(|(text, _)| text).collect()
}

/// The rows of tables in a line of a typeset source.
fn rows_of(line: &str) -> impl Iterator<Item = &str> {
    line.split("    ([").flat_map(|rows| rows.split("), (["))
}

/// Names on the rows of a turn, by start and slope: each cell's names. Of both plans together.
fn rows(pack: &Pack) -> BTreeMap<(String, String), Vec<Vec<String>>> {
    let names: Vec<String> = pack.course.people.iter().map(|one| one.name.short()).collect();
    let mut found: BTreeMap<(String, String), Vec<Vec<String>>> = BTreeMap::new();
    for name in ["course-plan", "radio-plan"] {
        // Short names are kept on one line.
        let told = source(pack, name).replace('\u{a0}', " ");
        for line in told.lines().flat_map(rows_of) {
            let texts = written(line);
            let clock = texts.first().filter(|text| text.contains(':') && text.len() == 5);
            let mark = texts.iter().find(|text| text.starts_with('S') && text[1..].parse::<u8>().is_ok());
            let (Some(clock), Some(mark)) = (clock, mark) else { continue };
            let cells = line.split("], [");
            let cells = cells.map(|cell| {
                let in_cell = written(cell);
                names.iter().filter(|name| in_cell.contains(&name.as_str())).cloned().collect::<Vec<_>>()
            });
            let key = ((*clock).to_owned(), (*mark).to_owned());
            found.entry(key).or_default().extend(cells.filter(|cell| !cell.is_empty()));
        }
    }
    found
}

/// Whoever drives has no post; whoever has one has no other, but that who teaches without a seat beside a driver is the
/// brow.
#[test]
fn nobody_stands_printed_at_two_places_at_a_time() {
    let mut seen = 0;
    for pack in examples().iter().filter(|pack| pack.course.rota.is_none()) {
        let book = Book::of(&pack.course, "0000-0000");
        let sums = day_sum(&pack.course, &book.reckoning);
        let printed = rows(pack);
        for (sum, turn) in sums.iter().flat_map(|sum| sum.turns.iter().map(move |turn| (sum, turn))) {
            let mark = format!("S{}", turn.slope + 1);
            let from = clock_text(sum.begins + turn.from);
            let name = |person: usize| pack.course.people[person].name.short();
            let cells = printed
                .iter()
                .find(|((clock, slope), cells)| {
                    *clock == from
                        && *slope == mark
                        && cells.iter().flatten().any(|one| *one == name(turn.crew.watches))
                })
                .map_or_else(|| panic!("{mark} stands in no plan: {printed:?}"), |(_, cells)| cells);
            let drivers: Vec<String> = pack
                .course
                .people
                .iter()
                .filter(|person| {
                    let own = turn.on.vehicles.iter().map(|at| &pack.course.vehicles[*at].id);
                    person.vehicle.as_ref().is_some_and(|vehicle| own.clone().any(|id| id == vehicle))
                })
                .map(|person| person.name.short())
                .collect();
            assert!(cells[0].iter().all(|name| drivers.contains(name)), "{cells:?}");
            for cell in &cells[1..] {
                assert!(
                    cell.iter().all(|name| !drivers.contains(name)),
                    "{mark}: a driver in {cell:?} of {cells:?}"
                );
            }
            let holds: Vec<String> = turn.holds.all().map(name).collect();
            let mut posts = vec![name(turn.crew.teaches), name(turn.crew.watches)];
            posts.extend(turn.crew.brow.map(name));
            posts.extend(holds);
            posts.extend(drivers);
            let count = posts.len();
            posts.sort();
            posts.dedup();
            assert_eq!(posts.len(), count, "{mark}: somebody has two posts: {posts:?}");
            // What is printed is what was decided: control and brow stand in both plans.
            for person in [turn.holds.control, Some(turn.crew.at_the_brow())].into_iter().flatten() {
                let here = cells.iter().filter(|cell| cell.contains(&name(person))).count();
                assert!(here >= 2, "{mark}: {} is printed {here} times in {cells:?}", name(person));
            }
            seen += 1;
        }
    }
    assert!(seen >= 8, "{seen} turns");
}

/// Near a limit there is one beside the driver, one at the brow and one at the foot, or it does not run and that is said.
#[test]
fn near_a_limit_has_three_names_or_does_not_run() {
    for text in [QUARRY, HILL] {
        let course = read_text(text).expect("it reads");
        let reckoning = reckon(&course);
        let near = |slope: usize, vehicle: usize| {
            let (slope, vehicle) = (&course.slopes[slope].id, &course.vehicles[vehicle].id);
            reckoning.pair(slope, vehicle).expect("reckoned").judged.mark == Mark::Near
        };
        for turn in day_sum(&course, &reckoning).iter().flat_map(|sum| &sum.turns) {
            let any = turn.on.vehicles.iter().any(|at| near(turn.slope, *at));
            assert_eq!(any || turn.seat != slopepack::rota::Seat::None, turn.crew.in_the_cab().is_some());
        }
    }
    // An instructor and a spotter alone: no third.
    let course = read_text(QUARRY).expect("it reads");
    let mut few = course.clone();
    few.people.retain(|one| {
        matches!(one.role, Role::Driver | Role::FirstAider)
            || ["Instructor 3", "Spotter 2"].contains(&one.name.short().as_str())
    });
    let reckoning = reckon(&few);
    let sums = day_sum(&few, &reckoning);
    for turn in sums.iter().flat_map(|sum| &sum.turns) {
        assert!(turn.crew.brow.is_none() && turn.holds.control.is_none());
        for vehicle in &turn.on.vehicles {
            let pair =
                reckoning.pair(&few.slopes[turn.slope].id, &few.vehicles[*vehicle].id).expect("reckoned");
            assert_ne!(pair.judged.mark, Mark::Near, "nobody is beside the driver");
        }
    }
    let wants = reckoning.pairs.iter().any(|pair| pair.judged.mark == Mark::Near);
    assert_eq!(wants, sums.iter().any(|sum| !sum.struck.is_empty()), "what does not run is said");
}

/// No minutes are kept for a slope that nobody has measured.
#[test]
fn an_unmeasured_slope_has_no_time_in_the_day() {
    let course = read_text(HILL).expect("it reads");
    let sums = day_sum(&course, &reckon(&course));
    let lane = course.slopes.iter().position(|slope| slope.survey.is_none()).expect("the old lane");
    assert!(sums.iter().flat_map(|sum| &sum.turns).all(|turn| turn.slope != lane));
    assert!(sums.iter().flat_map(|sum| &sum.left_out).any(|out| *out == (lane, LeftOut::Unmeasured)));
    let hill = &examples()[1];
    let plan = source(hill, "course-plan");
    assert!(plan.contains("or it is off"), "what takes its place is said");
}

/// Control, first aid, gate and a spare; everybody with a post on the slope, and the vehicle: a radio each, or what is
/// missing is said. On the quarry's cross slope the brow, the foot and whoever holds the throw line have one.
#[test]
fn radios_are_counted_against_the_posts() {
    for pack in examples().iter().filter(|pack| pack.course.rota.is_none()) {
        let kit = pack.course.kit.iter().filter(|item| item.kind == KitKind::Radio);
        let have: u16 = kit.map(|item| item.count).sum();
        let sums = day_sum(&pack.course, &reckon(&pack.course));
        let posts = |sum: &SessionSum| {
            let on = |turn: &Turn| {
                let crew = &turn.crew;
                let mut people = vec![crew.at_the_brow(), crew.watches];
                people.extend((!crew.beside).then_some(crew.teaches));
                people.extend(turn.holds.bank.filter(|_| pack.course.slopes[turn.slope].has_water()));
                let crossed = !pack.course.tracks_across(&pack.course.slopes[turn.slope]).is_empty();
                people.extend(turn.holds.crossing.filter(|_| crossed));
                people.sort_unstable();
                people.dedup();
                people.len() + 1
            };
            sum.groups * sum.turns.iter().map(on).max().unwrap_or(0)
        };
        let need = 4 + sums.iter().map(posts).max().unwrap_or(0);
        let said = source(pack, "course-plan").contains(&format!("Radios: {need} needed"));
        assert_eq!(said, usize::from(have) < need, "{have} radios of {need}");
    }
}

/// The work of the crew has its minutes before anybody comes, and the winch that stands ready has its own.
#[test]
fn the_crew_has_minutes_of_its_own() {
    let plan = source(&examples()[0], "course-plan");
    let (crew, first) =
        (plan.find("The crew alone, in").expect("a row"), plan.find("Sign-on").expect("the first part"));
    assert!(crew < first, "it comes before everything else");
    assert!(plan.contains("the wet-day test on 7 grounds"), "and is longer after rain");
    let (rigged, ready) = (plan.find("the winch of A rigged"), plan.find("A stands ready at the brow"));
    assert!(rigged.is_some() && rigged < ready, "rigged before it stands ready");
}

/// How many drive and who does not stand on the first page; so does what of the pack has no minutes.
#[test]
fn who_drives_and_what_is_left_out_is_said() {
    let hill = source(&examples()[1], "course-plan");
    assert!(
        hill.contains("Drivers on a slope: #\"1\"; of #\"3\"") || hill.contains("of 3"),
        "{}",
        &hill[..3000]
    );
    assert!(hill.contains("Novice 1") && hill.contains("Novice 3"));
    for pack in examples().iter().filter(|pack| pack.course.rota.is_none()) {
        let plan = source(pack, "course-plan");
        let compared = slopepack::engine::comparison(&pack.course, &slopepack::engine::reckon(&pack.course));
        let lessons = ["Demonstration", "Drills", "Review", "Table-top", "Quiz"];
        for lesson in lessons.into_iter().chain(compared.map(|_| "Comparison")) {
            assert!(plan.contains(lesson), "{lesson} has minutes or is left out");
        }
        // A day with an hour to spare shows the model rather than leaving it out.
        let left_out = plan.split("Left out, no minutes for it").nth(1).map(|rest| &rest[..400]);
        let hill = pack.course.title.full() == "Novice hill weekend";
        assert!(!hill || left_out.is_none_or(|left| !left.contains("Table-top")), "{left_out:?}");
        assert!(plan.contains("Recovery service on call") == plan.contains("not fetched by this kit"));
    }
}

/// One clearance from an edge, and no line that another row forbids.
#[test]
fn one_clearance_from_an_edge_on_every_page() {
    for pack in examples() {
        let risk = source(pack, "risk-assessment");
        for old in ["vehicle’s length of an edge", "1.5 m of an unprotected"] {
            assert!(!risk.contains(old) && !source(pack, "when-it-goes-wrong").contains(old), "{old}");
        }
    }
    let quarry = source(&examples()[0], "risk-assessment");
    assert!(quarry.contains("bund, or pegs that keep the wheels 2 m off the edge"));
    let hill = source(&examples()[1], "risk-assessment");
    for control in
        ["animals moved out", "loose stones raked", "one person at each end", "to one side, never in line"]
    {
        assert!(hill.contains(control), "{control}");
    }
}

/// What is shouted or done when it goes wrong can be done.
#[test]
fn words_of_an_emergency_can_be_done() {
    for pack in examples() {
        let (wrong, cards) = (source(pack, "when-it-goes-wrong"), source(pack, "vehicle-cards"));
        let briefing = source(pack, "safety-briefing");
        for said in [
            "it holds without the pedal",
            "Lowest gear in",
            "everyone has answered",
            "three seconds",
            "goes out of sight once in the first run",
        ] {
            assert!(!wrong.contains(said), "{said}");
        }
        for said in ["lowest gear, straight on", "lowest gear, on"] {
            assert!(!cards.contains(said) && !briefing.contains(said), "{said}");
        }
        assert!(!briefing.contains("need not stand"));
        assert!(!source(pack, "slope-cards").contains("need not stand"));
    }
}

/// The wet day has a line for each slope that is driven, a test with a length, and what takes its place.
#[test]
fn a_wet_day_has_a_plan() {
    for pack in examples() {
        let plan = source(pack, "course-plan");
        assert!(plan.contains("When it gets wet") && plan.contains("Go or no go"), "{}", pack.course.title);
        assert!(
            !plan.contains("After rain, frost or damage a slope is measured"),
            "an instrument measures no grip"
        );
    }
    // Dry grass of the library slides at 0.35 or more at its low end; wet grass holds less, so its trace is longer.
    let quarry = source(&examples()[0], "course-plan");
    let row = quarry
        .lines()
        .flat_map(rows_of)
        .find(|line| line.contains("#\"Nursery bank\";, #\""))
        .expect("the bank's row");
    let lengths: Vec<f64> = written(row)
        .iter()
        .filter_map(|text| text.strip_suffix("\u{a0}m").or_else(|| text.strip_suffix(" m")))
        .filter_map(|text| text.trim().parse().ok())
        .collect();
    assert!(lengths.len() == 2 && lengths[0] < lengths[1], "{lengths:?} in {row}");
    // From the slowest that counts, 10 m in 2.6 s: v² ÷ 2gμ with the low end of both grounds.
    let from = (10.0_f64 / 2.6).powi(2) / (2.0 * 9.806_65);
    assert!(
        (lengths[0] * 0.3 / from - 1.0).abs() < 0.02 || (lengths[0] * 0.35 / from - 1.0).abs() < 0.02,
        "{lengths:?}"
    );
    // Ten metres at the 15 km/h of the site take 2.4 s; a slower run leaves a shorter trace.
    assert!(quarry.contains("before the peg in #\"2.4 to 2.6 s\"; by the watch"), "the speed is timed");
}
