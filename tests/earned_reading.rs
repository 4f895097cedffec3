//! Runs as they are written, and every mistake one can make with them.

use slopepack::course::{Course, Seen, Towed, attach_runs, read_text};

const HEAD: &str = "course: {title: t, club: c, site: s, version: 1, units: metric, paper: A4}\n\
    limits: {gradient: 25°, side-tilt: 12°, descent-speed: 8 km/h, brake-temperature: 250 °C}\n\
    slopes:\n\
    \x20 - {id: bank, name: Bank, purpose: p, surface: earth-dry, length: 40 m, gradient: 15°, entry-speed: 3 km/h, survey: {reads-to: 0.5°}}\n\
    \x20 - {id: lane, name: Lane, purpose: p, surface: earth-dry, length: 40 m, gradient: 9°, entry-speed: 3 km/h}\n\
    vehicles: [{id: wagon, class: wagon, tyres: 265/70R17, transfer: {low: yes}}]\n\
    day: {runs: 3, run-gap: 10 min}\n";

fn course(runs: &str) -> Result<Course, Vec<String>> {
    let text = format!("{HEAD}{runs}");
    read_text(&text).map_err(|problems| {
        let told = |problem: slopepack::problem::Problem| {
            assert!(problem.span.is_some(), "{} has no place", problem.message);
            format!("{} | {}", problem.message, problem.help.unwrap_or_default())
        };
        problems.into_iter().map(told).collect()
    })
}

/// Of each kind one, in the course and in a table.
const WRITTEN: &str = "runs:\n\
    \x20 - {date: 2026-05-04, vehicle: wagon, slope: bank, gear: L2, between: 20 m, time: 14.4 s, with: watch}\n\
    \x20 - {date: 2026-05-04, vehicle: wagon, slope: bank, gear: l2, engine-speed: 1500 rpm, with: tachometer, sure: 40 rpm}\n\
    \x20 - {date: 2026-05-04, vehicle: wagon, surface: clay-wet, speed: 20 km/h, slid: 6.2 m, with: speedometer}\n\
    \x20 - {date: 2026-05-04, vehicle: wagon, slope: bank, towed: up, pull: 6.9 kN, with: load-cell}\n\
    \x20 - {date: 2026-05-04, vehicle: wagon, turns: 5, rolled: 12.1 m, with: tape, sure: 1 cm}\n";
const KEYED: &str = "Runs of the day;;;;;;;;;;;;;;\n\
    Date;Vehicle;Slope;Surface;Gear;Between (m);Time (s);Engine speed (rpm);Speed (km/h);Slid (m);Towed;Pull (kN);Turns;Rolled (m);With;Sure\n\
    2026-05-04;wagon;bank;;L2;20;14.4;;;;;;;;watch;\n\
    2026-05-04;wagon;bank;;L2;;;1500;;;;;;;tachometer;40 rpm\n\
    2026-05-04;wagon;;clay-wet;;;;;20;6.2;;;;;speedometer;\n\
    2026-05-04;wagon;bank;;;;;;;;up;6.9;;;load cell;\n\
    2026-05-04;wagon;;;;;;;;;;;5;12.1;tape;1 cm\n";

#[test]
fn a_table_and_the_course_say_the_same() {
    let written = course(WRITTEN).expect("no mistakes");
    let mut keyed = course("runs: seen.csv\n").expect("no mistakes");
    assert_eq!(keyed.runs.file.as_deref(), Some("seen.csv"));
    attach_runs(&mut keyed, KEYED.as_bytes()).unwrap_or_else(|(_, problems)| panic!("{problems:#?}"));
    assert_eq!(keyed.runs.list, written.runs.list);
    let [timed, spun, slid, pulled, rolled] = &written.runs.list[..] else { panic!("five runs") };
    assert!(matches!(&timed.seen, Seen::Timed { from, .. } if (from.si() - 20.0).abs() < 1e-9), "{timed:?}");
    assert!(
        matches!(&slid.seen, Seen::Slid { ground, .. } if ground.slope.is_none() && ground.surface == "clay-wet")
    );
    assert!(
        matches!(&pulled.seen, Seen::Pulled { towed: Towed::Up, ground, .. } if ground.surface == "earth-dry")
    );
    assert!((spun.sure.unwrap() - 40.0 / 60.0).abs() < 1e-12 && (rolled.sure.unwrap() - 0.01).abs() < 1e-12);
    assert_eq!(rolled.number, 5);
}

#[test]
fn every_mistake_has_its_place_and_what_would_be_right() {
    let base =
        "date: 2026-05-04, vehicle: wagon, slope: bank, gear: L2, between: 20 m, time: 14.4 s, with: watch";
    for (from, to, told) in [
        ("vehicle: wagon", "vehicle: waggon", "there is no vehicle called `waggon` | did you mean `wagon`?"),
        ("slope: bank", "slope: bonk", "there is no slope called `bonk`"),
        ("slope: bank", "slope: lane", "this run was on `lane`, whose gradient nobody measured"),
        ("gear: L2", "gear: L9", "this run's gear `L9` is none of its vehicle's | it has L1"),
        ("gear: L2, ", "", "this run needs `gear`"),
        ("between: 20 m", "between: 41 m", "pegs do not stand on the slope, which is 40 m long"),
        ("between: 20 m", "from: 25 m, between: 20 m", "pegs do not stand on the slope"),
        ("time: 14.4 s", "time: soon", "`time`"),
        ("time: 14.4 s", "time: 0.1 s", "is hardly possible"),
        ("time: 14.4 s", "time: 14.4", "`time`"),
        ("time: 14.4 s, ", "", "this run does not say what was measured"),
        ("time: 14.4 s", "time: 14.4 s, engine-speed: 900 rpm", "this run has `time` and `engine-speed`"),
        ("time: 14.4 s", "time: 14.4 s, turns: 4", "this run has no use for `turns`"),
        (
            "with: watch",
            "with: tachometer",
            "cannot be measured with `tachometer` | possible here: watch, video",
        ),
        ("with: watch", "with: eye", "`with`: `eye` is not known"),
        ("with: watch", "with: watch, sure: 3 m", "this run's `sure`"),
        ("with: watch", "with: watch, shure: 1 s", "`shure` is not a key of a run | did you mean `sure`?"),
        ("date: 2026-05-04", "date: 2026-05-34", "`2026-05-34` is no day of the calendar"),
        ("date: 2026-05-04", "date: last week", "this run's date is no day of the calendar"),
        (", with: watch", "", "a run needs `with`"),
        (
            base,
            "date: 2026-05-04, vehicle: wagon, turns: 5, rolled: 121 m, with: tape",
            "gives 24.20 m a turn",
        ),
        (
            base,
            "date: 2026-05-04, vehicle: wagon, surface: clay-wet, towed: up, pull: 2 kN, with: load-cell",
            "`towed` does not fit its ground",
        ),
        (
            base,
            "date: 2026-05-04, vehicle: wagon, speed: 20 km/h, slid: 4 m, with: video",
            "cannot be measured with `video`",
        ),
        (
            base,
            "date: 2026-05-04, vehicle: wagon, speed: 20 km/h, slid: 4 m, with: pegs",
            "this run does not say where it was",
        ),
    ] {
        assert!(base.contains(from), "{from}");
        let line = format!("runs: [{{{}}}]\n", base.replace(from, to));
        let problems = course(&line).expect_err(&line);
        assert!(problems.iter().any(|problem| problem.contains(told)), "{line}{problems:#?}");
    }
}

#[test]
fn a_table_tells_of_its_cells() {
    let attached = |table: &str| {
        let mut course = course("runs: seen.csv\n").expect("no mistakes");
        let (_, problems) = attach_runs(&mut course, table.as_bytes()).expect_err(table);
        let told: Vec<String> = problems
            .into_iter()
            .map(|problem| format!("{} | {}", problem.message, problem.help.unwrap_or_default()))
            .collect();
        assert!(course.runs.list.is_empty());
        told.join("\n")
    };
    let head = "date,vehicle,slope,gear,between (m),time (s),with\n";
    let told = attached(&format!(
        "{head}2026-05-04,wagon,bank,L2,20,14.4,watch\n2026-05-04,wagn,bank,L2,20,14.4,watch\n"
    ));
    assert!(told.contains("cell B3: there is no vehicle called `wagn`"), "{told}");
    assert!(
        attached(&format!("{head}2026-05-04,wagon,bank,L2,20,,watch\n"))
            .contains("does not say what was measured")
    );
    assert!(
        attached("date,vehicle,slope,geer\n")
            .contains("cell D1: `geer` is no column of a run | did you mean `gear`?")
    );
    assert!(attached("a,b\n1,2\n").contains("no column of this table is one of a run"));
    assert!(attached("date,vehicle,car\n").contains("a second column `vehicle`"));
    assert!(attached(&format!("{head}2026-05-04,wagon,bank,L2,20,14.4,watch,more\n")).contains("8 cells"));
    let wall = "2026-05-04,wagon,bank,L2,20,14.4,watch\n".repeat(301);
    assert!(attached(&format!("{head}{wall}")).contains("more than 300 runs"));
}

#[test]
fn hostile_tables_are_told_of_and_never_crash() {
    for bytes in [
        &b"PK\x03\x04junk"[..],
        b"\xff\xfe\x00",
        b"",
        b"\0\0\0",
        b"date\n\"",
        b"sep=;\ndate;vehicle\n;;;;;;\n",
    ] {
        let mut course = course("runs: seen.csv\n").expect("no mistakes");
        let _ = attach_runs(&mut course, bytes);
    }
}
