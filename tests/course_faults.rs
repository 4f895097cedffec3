//! A course with many different mistakes is told all of them at once, each at its place.

use slopepack::course::read_text;
use slopepack::problem::Problem;

/// Twenty mistakes, each of another kind. The comment behind a line names the mistake and stands in
/// the same line as its mark.
const TWENTY: &str = "\
course:
  title: Mistakes
  club: The club
  siet: Quarry                          # 1 unknown key, and the missing one it means
  units: metrical                       # 2 unknown word
  accent: green                         # 3 no colour
limits:
  gradient: 25                          # 4 bare number where a unit is needed
  side-tilt: 12°
  descent-speed: 8 km                   # 5 unit of another kind
  brake-temperature: 250 °C
surfaces:
  mud:
    peak: 0.6–0.3                       # 6 range that falls
    sliding: 0.2
    rolling: 0.1
slopes:
  - id: north
    name: North bank
    purpose: First descent
    surface: gras-dry                   # 7 unknown surface
    length: 45 metters                  # 8 misspelled unit
    gradient: 70°                       # 9 a wall
    entry-speed: 3 km/h
  - id: south
    name: South bank
    surface: grass-dry
    stretches: []                       # 10 empty list
    purpose: Second descent
    entry-speed: 2,5 km/h               # 11 decimal comma
  - id: north                           # 12 an id used twice
    name: Third
    purpose: Third descent
    surface: grass-dry
    stretches:
      - gradient: 20°                   # 13 missing key
    entry-speed: 3 km/h
vehicles:
  - id: one
    name: wagon
    mass: 25 kg                         # 14 hardly possible
    wheelbase: 2.79 m
    tyres: 265/70                       # 15 no tyre size
    engine: {fuel: diesel, displacement: 2.8 L, idle: 4000 rpm}   # 16 out of range
    gearbox: {kind: manual, ratios: [4.1, 2.3, 2.3, 1.0]}
    #                                         ^ 17 ratios that do not fall (third)
    transfer: {high: 1.2, low: 1.1}     # 18 low range above high
    axle: .inf                          # 19 no number to reckon with
people:
  - {name: Driver A, role: driver, vehicle: two}   # 20 unknown vehicle
day:
  runs: 3
  run-gap: 10 min
";

/// Line, column, a part of what is said.
const EXPECTED: &[(usize, usize, &str)] = &[
    (4, 3, "`siet` is not a key of `course`"),
    (5, 10, "`metrical` is not known"),
    (6, 11, "`green` is not a colour"),
    (8, 13, "`25` may be degrees or per cent"),
    (10, 18, "`km` (kilometres) cannot measure a speed"),
    (14, 11, "the range falls from 0.6 to 0.3"),
    (21, 14, "there is no surface called `gras-dry`"),
    (22, 13, "`metters` is not a unit"),
    (23, 15, "70° is a wall, not a slope"),
    (28, 5, "`stretches` is empty"),
    (30, 18, "`2,5` has a comma for a decimal point"),
    (31, 9, "a second slope is called `north`"),
    (36, 9, "a stretch needs `length`"),
    (41, 11, "25 kg is hardly possible"),
    (43, 12, "`265/70` is not a tyre size"),
    (44, 55, "4000 rpm is hardly possible"),
    (45, 48, "do not fall from gear to gear"),
    (47, 32, "low range is not lower than high"),
    (48, 11, "is not a number one can reckon with"),
    (50, 45, "there is no vehicle called `two`"),
];

fn place(source: &str, problem: &Problem) -> (usize, usize) {
    let start = problem.span.as_ref().expect("every mistake has a place").start;
    let before = &source[..start];
    let line_start = before.rfind('\n').map_or(0, |at| at + 1);
    (before.matches('\n').count() + 1, before[line_start..].chars().count() + 1)
}

fn problems(source: &str) -> Vec<Problem> {
    read_text(source).expect_err("the course has mistakes")
}

#[test]
fn twenty_mistakes_get_twenty_diagnostics_at_their_places() {
    let found = problems(TWENTY);
    let said: Vec<_> =
        found.iter().map(|problem| (place(TWENTY, problem), problem.message.as_str())).collect();
    assert_eq!(said.len(), EXPECTED.len(), "{said:#?}");
    for ((at, message), (line, column, part)) in said.iter().zip(EXPECTED) {
        assert_eq!(*at, (*line, *column), "{message}");
        assert!(message.contains(part), "{message:?} does not say {part:?}");
    }
}

#[test]
fn every_mistake_says_what_would_be_right() {
    let found = problems(TWENTY);
    let helps: Vec<&str> = found.iter().map(|problem| problem.help.as_deref().expect("help")).collect();
    let expected = [
        "did you mean `site`?",
        "did you mean `metric`?",
        "'#2f6b4f'",
        "write 25° or 25 %",
        "km/h",
        "0.3–0.6",
        "did you mean `grass-dry`?",
        "write 45 m",
        "below 60°",
        "add a stretch",
        "write 2.5 km/h",
        "`id` of its own",
        "length: 45 m",
        "between 400 kg and 40 t",
        "265/70R17",
        "between 300 rpm and 1500 rpm",
        "first gear first",
        "larger one",
        "write a number",
        "the course has `one`",
    ];
    for (help, part) in helps.iter().zip(expected) {
        assert!(help.contains(part), "{help:?} does not say {part:?}");
    }
}

/// A course without mistakes, to put single ones into.
const GOOD: &str = "\
course: {title: T, club: C, site: S}
limits: {gradient: 25°, side-tilt: 12°, descent-speed: 8 km/h, brake-temperature: 250 °C}
slopes:
  - id: north
    name: North bank
    purpose: First descent
    surface: grass-dry
    length: 45 m
    gradient: 22°
    entry-speed: 3 km/h
vehicles:
  - id: one
    name: wagon
    mass: 2450 kg
    wheelbase: 2.79 m
    tyres: 265/70R17
    engine: {fuel: diesel, displacement: 2.8 L, idle: 750 rpm}
    gearbox: {kind: manual, ratios: [4.1, 2.3, 1.5, 1.0]}
    transfer: {high: 1.2, low: 2.7}
    axle: 3.9
people:
  - {name: Driver A, role: driver, vehicle: one, slopes: [north]}
day: {runs: 3, run-gap: 10 min}
";

/// The single problem of the good course with one text changed.
fn only_problem(from: &str, to: &str) -> (Problem, String) {
    assert_eq!(GOOD.matches(from).count(), 1, "{from:?} stands once");
    let source = GOOD.replace(from, to);
    let mut found = problems(&source);
    assert_eq!(found.len(), 1, "{from} → {to}: {found:#?}");
    (found.remove(0), source)
}

#[test]
fn the_good_course_is_good() {
    read_text(GOOD).expect("no mistakes");
}

#[test]
fn one_mistake_is_told_once_and_draws_no_others_after_it() {
    let cases = [
        ("    mass: 2450 kg\n", "", "a vehicle needs `mass`"),
        ("mass: 2450 kg", "mas: 2450 kg", "`mas` is not a key"),
        ("mass: 2450 kg", "mass: [2450 kg]", "is a list where one value belongs"),
        ("mass: 2450 kg", "mass: {kg: 2450}", "keys of its own"),
        ("mass: 2450 kg", "mass:", "`mass` is empty"),
        ("mass: 2450 kg", "mass: 2,450 kg", "the comma"),
        ("mass: 2450 kg", "mass: 2_450 kg", "not a number here"),
        ("mass: 2450 kg", "mass: 2 450 kg", "two numbers"),
        ("mass: 2450 kg", "mass: 2.4 tons", "a ton may be"),
        ("mass: 2450 kg", "mass: heavy", "does not begin with a number"),
        ("mass: 2450 kg", "mass: 2450 kg\n    mass: 2400 kg", "written twice"),
        ("mass: 2450 kg", "mass: 2450 kg\n    class: lorry-ish", "not known"),
        ("mass: 2450 kg", "mass: 2450 kg\n    centre: {behind-front: 3 m}", "outside the wheelbase"),
        ("mass: 2450 kg", "mass: 2450 kg\n    centre: {front-axle: 2500 kg}", "front axle cannot carry more"),
        ("mass: 2450 kg", "mass: 2450 kg\n    roof-load: {mass: 900 kg, height: 2 m}", "30 %"),
        ("mass: 2450 kg", "mass: 2450 kg\n    brakes: {front-share: 165 %}", "hardly possible"),
        ("mass: 2450 kg", "mass: 2450 kg\n    brakes: {front-share: 0.65}", "no unit"),
        ("mass: 2450 kg", "mass: 2450 kg\n    brakes: {front: none, rear: none}", "without brakes"),
        ("wheelbase: 2.79 m", "wheelbase: 0.1 m", "hardly possible"),
        ("wheelbase: 2.79 m", "wheelbase: 2.79", "no unit"),
        ("tyres: 265/70R17", "tyres: {size: 265/70R17, diameter: 1 m}", "measures about 0.803 m"),
        ("tyres: 265/70R17", "tyres: {size: 265/70R17, circumference: 2 m}", "2.49 times"),
        ("idle: 750 rpm", "idle: 750 rpm, highest: 700 rpm", "not above idle"),
        ("idle: 750 rpm", "idle: 750 rpm, overrun: [{at: 900 rpm, torque: 30 N·m}]", "no curve"),
        ("[4.1, 2.3, 1.5, 1.0]", "[]", "`ratios` is empty"),
        ("[4.1, 2.3, 1.5, 1.0]", "4.1", "wants a list"),
        ("[4.1, 2.3, 1.5, 1.0]", "[13,12,11,10,9,8,7,6,5,4,3,2,1]", "13 gears"),
        ("[4.1, 2.3, 1.5, 1.0]", "[4.1, 0]", "hardly possible"),
        ("axle: 3.9", "axle: 3.9 m", "not a plain number"),
        ("axle: 3.9", "axle: -3.9", "hardly possible"),
        ("id: one", "id: 'one two'", "cannot be a short name"),
        ("    id: one\n", "    idd: one\n", "`idd` is not a key"),
        (
            "gradient: 22°",
            "gradient: 22°\n    assessor: {stands: here, sees: [summit]}",
            "`summit` is not known",
        ),
        ("gradient: 22°", "gradient: 22°\n    assessor: {stands: here}", "`sees`"),
        ("gradient: 22°", "gradient: -22°", "cannot rise"),
        ("gradient: 22°", "gradient: 22", "degrees or per cent"),
        ("gradient: 22°", "gradient: 2:5", "does not begin with 1"),
        ("surface: grass-dry", "surface: 7", "no surface called"),
        ("vehicle: one", "vehicle: oen", "no vehicle called"),
        ("slopes: [north]", "slopes: [south]", "no slope called"),
        ("role: driver", "role: drivr", "not known"),
        ("runs: 3", "runs: 3.5", "not a whole number"),
        ("runs: 3", "runs: 3, start: 17:00, end: 5:00", "before it starts"),
        ("runs: 3", "runs: 3, start: 25:00", "not a time of day"),
        ("title: T", "title: T, logo: ../../secret.png", "beside the course file"),
        ("title: T", "title: T, outcomes: one", "wants a list"),
        ("title: T", "title: T, accent:", "`accent` is empty"),
        ("title: T", "{a: b}: T, title: T", "a key must be a word"),
        ("day: {runs: 3, run-gap: 10 min}", "daye: {runs: 3, run-gap: 10 min}", "`daye` is not a key"),
        ("day: {runs: 3, run-gap: 10 min}", "days: {runs: 3, run-gap: 10 min}", "a course file needs `day`"),
        ("day: {runs: 3, run-gap: 10 min}", "day: soon", "is one value"),
        ("day: {runs: 3, run-gap: 10 min}", "day: [soon]", "is a list"),
    ];
    for (from, to, part) in cases {
        let from = if from == "    id: one\n" { "  - id: one\n" } else { from };
        let to = if to == "    idd: one\n" { "  - idd: one\n" } else { to };
        let (problem, source) = only_problem(from, to);
        assert!(problem.message.contains(part), "{to:?}: {:?} does not say {part:?}", problem.message);
        assert!(problem.help.is_some_and(|help| !help.is_empty()), "{to:?} has help");
        let span = problem.span.expect("a place");
        assert!(source.get(span).is_some(), "{to:?}");
    }
}

#[test]
fn a_fault_in_a_vehicle_does_not_make_it_unknown() {
    let (problem, _) = only_problem("mass: 2450 kg", "mass: 2450 lbb");
    assert!(problem.message.contains("not a unit"));
}

#[test]
fn a_second_of_the_same_name_points_at_the_first() {
    let twin = "id: one\n    <<: *base\n  - &base\n    id: one";
    let source = GOOD.replace("id: one", twin);
    // `*base` stands before `&base`: the reader says so and nothing else.
    assert_eq!(problems(&source).len(), 1);

    let kit = "kit: [{id: a, name: A, kind: chock}, {id: a, name: B, kind: chock}]\nday:";
    let (problem, source) = only_problem("day:", kit);
    let first = problem.related.first().expect("the first is shown");
    assert_eq!(source.get(first.0.clone()), Some("a"));
    assert!(first.0.start < problem.span.expect("a place").start);
}

#[test]
fn a_shared_value_is_faulted_once_where_it_is_written() {
    let shared = "mass: 2450 kg\n    recovery-points: &points [{place: front, kind: chassis-point, end: front, working-load: 3 tt}]";
    let source = GOOD.replace("mass: 2450 kg", shared);
    let second = "  - {id: two, name: W, mass: 2 t, wheelbase: 2.5 m, tyres: 265/70R17, recovery-points: *points, \
                  engine: {fuel: diesel, displacement: 2.8 L, idle: 750 rpm}, transfer: 1, axle: 4, \
                  gearbox: {kind: manual, ratios: [4]}}\npeople:";
    let source = source.replace("people:", second);
    let found = problems(&source);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!(source.get(found[0].span.clone().expect("a place")), Some("3 tt"));
}

#[test]
fn kit_ratings_must_agree() {
    let kit = |rating: &str| format!("kit: [{{id: a, name: A, kind: strap, {rating}}}]\nday:");
    let (problem, _) = only_problem("day:", &kit("working-load: 4 t, breaking: 20 kN"));
    assert!(problem.message.contains("less than"), "{}", problem.message);
    let (problem, _) = only_problem("day:", &kit("working-load: 40 kN, breaking: 200 kN, design-factor: 7"));
    assert!(problem.message.contains("is 5.0"), "{}", problem.message);
    read_text(&GOOD.replace("day:", &kit("working-load: 4 t, breaking: 276 kN, design-factor: 7")))
        .expect("agrees");
}

#[test]
fn kit_for_rigs_is_checked_too() {
    let kit = |kit: &str| format!("kit: [{{id: a, name: A, {kit}}}]\nday:");
    for (kit_text, part) in [
        ("kind: winch, layers: [20 kN, 30 kN]", "the pull rises from layer to layer"),
        (
            "kind: winch, working-load: 20 kN, layers: [30 kN]",
            "the first layer pulls more than `working-load`",
        ),
        ("kind: winch, on: nobody, mounted: front", "there is no vehicle called `nobody`"),
        ("kind: winch, mounted: front", "a winch on a vehicle needs both `on` and `mounted`"),
        ("kind: winch, rope-through: yes, layers: [20 kN]", "has no drum and no layers"),
        ("kind: ground-anchor, sort: rock, holds: 60 kN", "serves there alone"),
        (
            "kind: ground-anchor, holds: 6 kN, stands: [{slope: nowhere, place: brow}]",
            "there is no slope called `nowhere`",
        ),
        ("kind: winch, line: rope", "there is no piece of kit called `rope`"),
        ("kind: winch, drum: {barrel: 64 mm, rope: 10 mm}", "a drum needs `width`"),
        ("kind: kinetic-rope, stretch: 20 %", "`stretch` says nothing without `stretch-at`"),
        ("kind: kinetic-rope, stretch-at: breaking", "`stretch-at` says nothing without `stretch`"),
        ("kind: ground-anchor, sort: nail", "`nail` is not known"),
        ("kind: shackle, condition: rusty", "`rusty` is not known"),
        ("kind: shackle, inspected: 1 March", "has no year"),
        ("kind: shackle, layers: [20 kN]", "`layers` is not a key of a piece of kit"),
    ] {
        let (problem, _) = only_problem("day:", &kit(kit_text));
        assert!(problem.message.contains(part), "{kit_text}: {}", problem.message);
        assert!(problem.help.is_some(), "{kit_text}");
    }
}

#[test]
fn limits_and_differentials_are_checked_too() {
    let drive = |text: &str| format!("    axle: 3.9\n{text}");
    let limits = "brake-temperature: 250 °C}";
    for (from, to, part) in [
        (
            "    gradient: 22°\n",
            "    gradient: 22°\n    heading: 90°\n",
            "80° is the most that still comes down",
        ),
        ("    axle: 3.9\n", &drive("    drive: four\n"), "possible are `all-wheels`"),
        ("    axle: 3.9\n", &drive("    differentials: {center: locked}\n"), "did you mean `centre`?"),
        ("    axle: 3.9\n", &drive("    differentials: {rear: welded}\n"), "`limited`"),
        ("    axle: 3.9\n", &drive("    wheel-travel: 3 m\n"), "between 2 cm and 1 m"),
        ("idle: 750 rpm", "idle: 900–700 rpm", "write the lower first"),
        ("{kind: manual,", "{kind: manual, lock-up-from: 6 km/h,", "kind: automatic-locked"),
        (limits, "brake-temperature: 250 °C, grip-in-hand: 90 %}", "between 5 % and 80 %"),
        (limits, "brake-temperature: 250 °C, reaction-time: 9 s}", "between 0.5 s and 5 s"),
        (limits, "brake-temperature: 250 °C, tolerances: {mas: 10 %}}", "did you mean `mass`?"),
    ] {
        let (problem, _) = only_problem(from, to);
        let help = problem.help.clone().unwrap_or_default();
        assert!(help.contains(part), "{to}: {problem:?}");
    }
    let ranged = GOOD.replace("idle: 750 rpm", "idle: 650–850 rpm");
    let engine = &read_text(&ranged).expect("a range of idle").vehicles[0].engine;
    assert!(
        (60.0 * engine.idle.si() - 750.0).abs() < 1e-9
            && (60.0 * engine.idle_range.1.si() - 850.0).abs() < 1e-9
    );
}

#[test]
fn a_low_point_and_a_step_are_where_they_can_be() {
    let under = |underside: &str| {
        let to = format!("    axle: 3.9\n    underside: {underside}\n");
        only_problem("    axle: 3.9\n", &to).0
    };
    let taller = under("{hub: 45 cm, belly: [{height: 22 cm}]}");
    assert!(taller.message.contains("higher than the tyre's half diameter"), "{taller:?}");
    let behind = under("{hub: 37 cm, belly: [{from-axle: 2.9 m, height: 22 cm}]}");
    assert!(behind.message.contains("behind the rear axle") && behind.help.unwrap().contains("tail"));
    let no_place = under("{hub: 37 cm, nose: [{height: 44 cm}]}");
    assert!(no_place.message.contains("`from-axle`"), "{no_place:?}");
    let step = |hazard: &str| {
        let to = format!("    gradient: 22°\n    hazards: [{hazard}]\n");
        only_problem("    gradient: 22°\n", &to).0
    };
    let beyond = step("{kind: step, what: Ledge, at: 46 m, height: 20 cm}");
    assert!(beyond.message.contains("beyond the foot"), "{beyond:?}");
    let edge = step("{kind: edge, what: Drop, at: 6 m, height: 20 cm}");
    assert!(edge.message.contains("only a step"), "{edge:?}");
    let half = step("{kind: step, what: Ledge, at: 6 m}");
    assert!(half.message.contains("`height`"), "{half:?}");
}
