//! Rolled out in neutral: what a club without a load cell can measure of the ground.

use slopepack::course::{Course, Seen, attach_runs, read_text};
use slopepack::earned::{account, said};

const QUARRY: &str = include_str!("../courses/quarry-day.yaml");

fn with_runs(rows: &str) -> Result<Course, String> {
    let mut course = read_text(QUARRY).expect("the example reads");
    let table = format!("date,vehicle,slope,surface,speed (km/h),coasted (m),with\n{rows}");
    match attach_runs(&mut course, table.as_bytes()) {
        Ok(()) => Ok(course),
        Err((_, problems)) => Err(format!("{problems:?}")),
    }
}

/// v²/(2 g f), a little longer since the wheels turn (3 to 3.5 % of the mass): the handbooks' coast-down on the level.
#[test]
fn it_rolls_as_far_as_its_rolling_resistance_lets_it() {
    let course = with_runs("2026-05-04,wagon,,gravel-firm,15,20,pegs\n").unwrap();
    let rolling = slopepack::course::library_surface("gravel-firm").unwrap().rolling;
    let far = |f: f64| 1.033 * (15.0_f64 / 3.6).powi(2) / (2.0 * 9.80665 * f);
    let range = said(&course, &course.runs.list[0]);
    for (found, f) in [(range.low, rolling.high), (range.likely, rolling.likely), (range.high, rolling.low)] {
        assert!((found / far(f) - 1.0).abs() < 1e-3, "{found} m, {} by the formula", far(f));
    }
}

#[test]
fn three_of_them_narrow_the_rolling_resistance_of_a_ground_and_one_too_far_does_not() {
    let ground = slopepack::course::library_surface("earth-dry").unwrap().rolling;
    let far = 1.033 * (15.0_f64 / 3.6).powi(2) / (2.0 * 9.80665 * ground.likely);
    let rows = |lengths: &[f64]| -> String {
        let row = |length: &f64| format!("2026-05-04,wagon,,earth-dry,15,{length:.1},satellite\n");
        lengths.iter().map(row).collect()
    };
    let course = with_runs(&rows(&[far, 0.97 * far, 1.04 * far])).unwrap();
    let mut course = course;
    course.surfaces.push(slopepack::course::library_surface("earth-dry").unwrap());
    let told = account(&course);
    let now = told.course.surface("earth-dry").unwrap().rolling;
    assert!(now.high - now.low < 0.95 * (ground.high - ground.low), "{now:?} from {ground:?}");
    let from = told.course.earned.surface_of("earth-dry").unwrap();
    assert!(from.rolling.is_some_and(|from| from.runs == 3) && from.grip.is_none());
    assert!(
        from.words().starts_with("grip not measured; rolling resistance measured, 3 runs"),
        "{}",
        from.words()
    );
    // One that rolled three times as far tells of less hold, and no range is loosened while nobody knows why.
    let mut doubtful = course.clone();
    let mut odd = course.runs.list[0].clone();
    if let Seen::Coasted { length, .. } = &mut odd.seen {
        *length = slopepack::quantity::Length::new(3.5 * far);
    }
    odd.number = 4;
    doubtful.runs.list.push(odd);
    let told = account(&doubtful);
    assert!(told.dangerous[3], "{:?}", told.standings);
    assert!(told.course.surface("earth-dry").unwrap().rolling.low <= ground.low);
}

#[test]
fn nobody_rolls_out_on_a_slope() {
    let why = with_runs("2026-05-04,wagon,ramp,,15,20,pegs\n").unwrap_err();
    assert!(why.contains("too steep to roll out on"), "{why}");
    let why = with_runs("2026-05-04,wagon,,gravel-firm,15,20,watch\n").unwrap_err();
    assert!(why.contains("cannot be measured with `watch`"), "{why}");
}
