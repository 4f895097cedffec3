//! How hot a disc or drum was after descents on the foot brake.

use slopepack::course::{Course, Kept, Seen, attach_runs, read_text};
use slopepack::earned::{account, said};
use slopepack::quantity::Temperature;

const QUARRY: &str = include_str!("../courses/quarry-day.yaml");

fn with_runs(rows: &str) -> Result<Course, String> {
    let mut course = read_text(QUARRY).expect("the example reads");
    let heads =
        "date,vehicle,slope,speed (km/h),axle,descents,every (min),before (°C),waited (s),hot (°C),with,sure";
    match attach_runs(&mut course, format!("{heads}\n{rows}").as_bytes()) {
        Ok(()) => Ok(course),
        Err((_, problems)) => Err(format!("{problems:?}")),
    }
}

/// The same run, having read as much above what it read before as this part of what was likely.
fn read_at(part: f64) -> Course {
    let mut course = with_runs("2026-05-04,wagon,ramp,8,front,6,2,15,60,100,touch-probe,\n").unwrap();
    let likely = said(&course, &course.runs.list[0]).likely;
    if let Seen::Heated { heat, .. } = &mut course.runs.list[0].seen {
        let before = heat.before.si();
        heat.hot = Temperature::new(before + part * (likely - before));
    }
    course
}

/// m g h less what rolls away, by hand: into two discs, of iron that takes 460 J/(kg·K), without cooling.
#[test]
fn one_descent_warms_a_disc_by_what_the_hill_gives() {
    let course = with_runs("2026-05-04,wagon,ramp,8,front,1,,15,30,100,touch-probe,\n").unwrap();
    let vehicle = course.vehicles.iter().find(|one| one.id == "wagon").unwrap();
    let slope = course.slopes.iter().find(|one| one.id == "ramp").unwrap();
    let rolling = course.surface(&slope.surface).unwrap().rolling.likely;
    let weight = vehicle.mass.si() * 9.80665;
    let into: f64 = slope
        .stretches
        .iter()
        .map(|one| {
            let (length, angle) = (one.length.si(), one.gradient.si());
            weight * length * (angle.sin() - rolling * angle.cos())
        })
        .sum();
    let front = vehicle.brakes.front.unwrap();
    let steep = slope.steepest().gradient.si();
    let height = vehicle.centre_height.si() / vehicle.wheelbase.si();
    let weighs = (vehicle.wheelbase.si() - vehicle.centre_behind_front.si()) / vehicle.wheelbase.si();
    let share = vehicle.brakes.front_share.si().max(weighs + height * steep.tan());
    let rise = 0.95 * share * into / (2.0 * front.mass.si() * vehicle.brakes.heat_capacity.si());
    let told = said(&course, &course.runs.list[0]);
    let found = told.likely - (273.15 + 15.0);
    assert!(found < rise && found > 0.85 * rise, "{found} K, {rise} K without any cooling");
    assert!(told.low < told.likely && told.likely < told.high);
}

#[test]
fn hotter_brakes_are_reckoned_hotter_and_cooler_ones_as_before() {
    let now = |course: &Course| {
        let told = account(course);
        assert!(told.standings[0].counts(), "{:?}", told.standings);
        let vehicle = told.course.vehicles.iter().find(|one| one.id == "wagon").unwrap();
        let from = told.course.earned.brakes_of("wagon").unwrap();
        assert_eq!(told.course.before_runs(), course.before_runs(), "what was before is kept");
        (vehicle.brakes.heat_capacity.si(), from.kept)
    };
    let before = with_runs("").unwrap();
    let usual = before.vehicles.iter().find(|one| one.id == "wagon").unwrap().brakes.heat_capacity.si();
    let (hotter, kept) = now(&read_at(1.15));
    assert!(hotter < 0.97 * usual && hotter > usual / 1.15 && kept.is_none(), "{hotter} of {usual}");
    let (cooler, kept) = now(&read_at(0.9));
    assert!((cooler - usual).abs() < 1e-9 && kept == Some(Kept::Cooler), "{cooler} of {usual}");
}

#[test]
fn brakes_hotter_than_anything_explains_are_told_of_and_not_averaged() {
    let told = account(&read_at(2.2));
    assert!(!told.standings[0].counts() && told.dangerous[0], "{:?}", told.standings);
}

#[test]
fn a_rise_of_sixty_degrees_is_seen_on_the_verdict() {
    let hottest = |course: &Course| {
        let pairs =
            slopepack::engine::pairs_where(course, |slope, one| slope.id == "ramp" && one.id == "wagon");
        pairs[0]
            .ways
            .iter()
            .filter_map(|told| told.heat.as_ref())
            .map(|heat| heat.hottest)
            .fold(0.0, f64::max)
    };
    let course = read_at(1.15);
    assert!(hottest(&account(&course).course) > hottest(&course.before_runs()));
}

#[test]
fn what_such_a_run_lacks_or_has_too_much_is_said() {
    let wrong = |row: &str, says: &str| {
        let why = with_runs(row).unwrap_err();
        assert!(why.contains(says), "{why}");
    };
    wrong("2026-05-04,wagon,ramp,8,front,4,,15,60,100,touch-probe,\n", "does not say how often it went down");
    wrong("2026-05-04,wagon,ramp,8,front,1,,115,60,100,touch-probe,\n", "no hotter than before");
    wrong("2026-05-04,wagon,ramp,8,front,1,,15,,100,touch-probe,\n", "needs `waited`");
    wrong("2026-05-04,wagon,ramp,8,front,1,,15,5,100,touch-probe,\n", "waited");
    wrong("2026-05-04,wagon,ramp,8,front,1,,15,60,100,watch,\n", "cannot be measured with `watch`");
    wrong("2026-05-04,wagon,ramp,8,front,1,,15,60,100,touch-probe,5 s\n", "no difference of temperatures");
    let course = with_runs("2026-05-04,wagon,ramp,8,front,1,,15,60,100,infrared,9 °F\n").unwrap();
    assert_eq!(course.runs.list[0].sure, Some(5.0));
}
