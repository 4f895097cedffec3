//! `survey`: from a table of measurements to keys that the course reader takes.

use slopepack::course::{Course, read_text};
use slopepack::survey::{Instrument, Measured, read, read_track, survey};

use crate::program::{Bench, Ran};

const EXAMPLE: &str = include_str!("../courses/bank-heights.csv");
const QUARRY: &str = include_str!("../courses/quarry-day.yaml");

/// The command on a table.
fn surveyed(table: &str, more: &[&str]) -> Ran {
    let bench = Bench::with_course("");
    std::fs::write(bench.path("ground.csv"), table).unwrap();
    bench.run(&[&["survey", "ground.csv"], more].concat())
}

/// The example course without its plan from above, which knows the slope as it was.
fn unplanned() -> String {
    let mut within = false;
    let keeps = |line: &&str| {
        if line.starts_with(|letter: char| letter.is_ascii_lowercase()) {
            within = line.starts_with("site-plan:");
        }
        !within
    };
    QUARRY.lines().filter(keeps).collect::<Vec<_>>().join("\n")
}

/// The same with what was printed pasted over the keys of its first slope.
fn pasted(printed: &str) -> Course {
    let course = unplanned();
    let from = course.find("  - id: nursery").expect("the first slope");
    let to = from + course[from..].find("\n\n").unwrap();
    let kept = ["id", "name", "purpose", "surface", "entry-speed", "width"];
    let slope: Vec<&str> = course[from..to]
        .lines()
        .filter(|line| {
            kept.iter().any(|key| line.trim_start_matches(['-', ' ']).starts_with(&format!("{key}:")))
        })
        .collect();
    let slope = slope.join("\n") + "\n";
    let text = format!("{}{slope}{printed}{}", &course[..from], &course[to..]);
    read_text(&text).unwrap_or_else(|problems| panic!("{problems:?}\n{slope}{printed}"))
}

#[test]
fn the_example_is_pasted_under_a_slope_and_read_back() {
    let ran = surveyed(EXAMPLE, &["--instrument", "level", "--over", "4.6 m"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let course = pasted(&ran.out);
    let slope = &course.slopes[0];
    let found: Vec<(f64, f64)> = slope
        .stretches
        .iter()
        .map(|stretch| (stretch.length.si(), stretch.gradient.si().to_degrees()))
        .collect();
    // As the ground was made: 15 m level at 12°, 18 m at 21°, then 15 m at 1°.
    let made = [(15.0 / 12_f64.to_radians().cos(), 12.0), (18.0 / 21_f64.to_radians().cos(), 21.0)];
    assert_eq!(found.len(), made.len(), "{}", ran.out);
    for ((length, gradient), (made_length, made_gradient)) in found.iter().zip(made) {
        assert!((length - made_length).abs() < 0.3 && (gradient - made_gradient).abs() < 0.25, "{found:?}");
    }
    let run_out = slope.run_out.as_ref().unwrap();
    assert!((run_out.length.si() - 15.0).abs() < 0.5 && run_out.gradient.si().to_degrees() < 1.4);
    let survey = slope.survey.as_ref().expect("fine enough for a verdict");
    assert_eq!(survey.instrument.as_ref().unwrap().full(), "level and staff");
    assert!(survey.reads_to.unwrap().si() <= 0.5_f64.to_radians());
    for said in [
        "Steepest over 4.6 m: 2",
        "harpest crest at 6.",
        "sharpest toe at 3",
        "above the brow",
        "95 %",
        "`note`",
    ] {
        assert!(ran.err.contains(said), "{said}\n{}", ran.err);
    }
}

#[test]
fn a_list_of_pieces_is_joined_where_they_do_not_differ() {
    let table = "peg;along;angle\nA;10 m;11.5°\nB;10 m;11.7°\nC;8 m;19°\nD;8 m;19,0°\nE;12 m;1°\n";
    let ran = surveyed(&table.replace("19,0", "18.8"), &["--instrument", "clinometer", "--both-ways"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let stretches: Vec<&str> = ran.out.lines().filter(|line| line.contains("gradient")).collect();
    assert!(stretches[0].contains("length: 20.0 m, gradient: 11.6°"), "{}", ran.out);
    assert!(stretches[1].contains("length: 16.0 m, gradient: 18.9°"), "{}", ran.out);
    assert!(stretches[2].contains("run-out: {length: 12.0 m, gradient: 1.0°}"), "{}", ran.out);
    assert_eq!(stretches.len(), 3);
    assert_eq!(pasted(&ran.out).slopes[0].stretches.len(), 2);
}

#[test]
fn a_coarse_instrument_says_by_how_much_and_gives_no_survey() {
    let table = "along (m),angle\n20,14°\n20,14°\n";
    let ran = surveyed(table, &["--instrument", "phone"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(
        ran.err.contains("Too coarse for a verdict: ± 1.2° where ± 1.0° is wanted, 1.1 times"),
        "{}",
        ran.err
    );
    assert!(!ran.out.contains("survey:"), "{}", ran.out);
    assert!(pasted(&ran.out).slopes[0].survey.is_none());
    let both = surveyed(table, &["--instrument", "phone", "--both-ways"]);
    assert!(
        !both.err.contains("Too coarse") && both.out.contains("reads-to: 0.3°"),
        "{}{}",
        both.out,
        both.err
    );
    let worse = surveyed(table, &["--instrument", "phone", "--accuracy", "±3°"]);
    assert!(worse.err.contains("3.4 times"), "{}", worse.err);
}

#[test]
fn feet_stay_feet_and_a_table_from_the_foot_up_is_turned_round() {
    let table = "level (ft);height (ft)\n0;0\n40;1\n80;16\n120;31\n160;46\n";
    let ran = surveyed(table, &["--instrument", "hand-level"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.contains("{length: 128.2 ft, gradient: 20.6°}"), "{}", ran.out);
    assert!(ran.out.contains("run-out: {length: 40.0 ft, gradient: 1.4°}"), "{}", ran.out);
    assert!(ran.err.contains("turned round"), "{}", ran.err);
}

#[test]
fn a_tape_held_level_and_one_on_the_ground_are_not_the_same() {
    let gradient = |table: &str| {
        let found = survey(&read(table.as_bytes()).unwrap().measured, Instrument::named("level").unwrap());
        found.ground.stretches[0].gradient.to_degrees()
    };
    assert!((gradient("level (m),height (m)\n0,10\n20,0\n") - 26.565).abs() < 1e-3);
    assert!((gradient("along (m),height (m)\n0,10\n20,0\n") - 30.0).abs() < 1e-3);
    assert!((gradient("along (m),drop (m)\n20,10\n") - 30.0).abs() < 1e-3);
    assert!((gradient("level (m),drop (m)\n20,10\n") - 26.565).abs() < 1e-3);
}

#[test]
fn mistakes_are_told_with_their_cell_and_what_would_be_right() {
    let cases = [
        (
            "distance (m),height (m)\n0,1\n",
            "`distance` does not say which",
            "`level` where it was held level",
        ),
        ("along (m),note\n0,1\n", "no column says how steep or how high", "`level (m),height (m)`"),
        ("height (m)\n0\n", "no column says how far", "`along (m),angle`"),
        ("along,angle\n12,10°\n", "cell A2", "name the unit in the head: `along (m)`"),
        ("along (m),height (m)\n0,5\n2,1\n", "4.00 m of height on 2.00 m of ground", "the column is `level`"),
        ("level (m),height (m)\n0,5\n9,4\n7,3\n", "less than the one before", "counted from the first point"),
        ("level (m),height (m)\n0,5\n", "too few rows", "ground.csv:1:1"),
        ("level (m),angle\n5,\n", "this row has no `angle`", "ground.csv:2:1"),
        ("level (m),angle\n5,85°\n", "a wall, not a slope", "read both again"),
        ("level (km),height (m)\n0,5\n9,4\n", "9 km is too long for a slope", "the unit in the head"),
        ("level (m),height (m),height (m)\n0,5,5\n", "a second column `height`", "keep one of them"),
        ("", "no column says how far", "`along (m),angle`"),
    ];
    for (table, message, help) in cases {
        let ran = surveyed(table, &["--instrument", "level"]);
        assert_eq!(ran.code, 1, "{table}{}", ran.err);
        assert!(ran.err.contains(message) && ran.err.contains(help), "{table}\n{}", ran.err);
        assert!(ran.out.is_empty());
    }
}

/// The example with measured figures says of its bank what the table beside it gives.
#[test]
fn the_measured_bank_is_what_its_heights_give() {
    let heights = include_str!("../courses/long-bank-heights.csv");
    let ran = surveyed(heights, &["--instrument", "level"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let found = pasted(&ran.out).slopes.remove(0);
    let course = include_str!("../courses/measured-bank.yaml");
    let course = read_text(course).unwrap_or_else(|problems| panic!("{problems:?}"));
    let bank = &course.slopes[0];
    assert_eq!((&found.stretches, found.brow.before), (&bank.stretches, bank.brow.before), "{}", ran.out);
    let level = |slope: &slopepack::course::Slope| {
        let run_out = slope.run_out.as_ref().unwrap();
        (run_out.length, run_out.gradient, slope.survey.as_ref().unwrap().reads_to)
    };
    assert_eq!(level(&found), level(bank), "{}", ran.out);
    assert!(course.site_plan.is_some() && course.runs.list.len() == 12);
}

#[test]
fn a_survey_is_printed_on_one_sheet_and_writes_over_nothing_of_others() {
    let bench = Bench::with_course("");
    std::fs::write(bench.path("ground.csv"), EXAMPLE).unwrap();
    let survey = ["survey", "ground.csv", "--instrument", "level", "--sheet", "sheet.pdf"];
    for _ in 0..2 {
        let ran = bench.run(&survey);
        assert_eq!(ran.code, 0, "{}", ran.err);
    }
    let pdf = std::fs::read(bench.path("sheet.pdf")).unwrap();
    assert_eq!(lopdf::Document::load_mem(&pdf).unwrap().get_pages().len(), 1);
    let text = crate::program::text_of(&pdf);
    for words in ["ground.csv", "Alongtheground", "21.0°", "Topasteundertheslope"] {
        assert!(text.contains(words), "{words}: {text}");
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        let mode = |name: &str| std::fs::metadata(bench.path(name)).unwrap().permissions().mode();
        assert_eq!(mode("sheet.pdf"), mode("ground.csv"), "a shared folder's others read it as any new file");
    }
    let left: Vec<String> = bench.files(".").into_iter().map(|(name, _)| name).collect();
    assert_eq!(left.len(), 3, "{left:?}");
    std::fs::write(bench.path("sheet.pdf"), "my notes").unwrap();
    let ran = bench.run(&survey);
    assert!(ran.code == 4 && ran.err.contains("is no printed sheet"), "{}", ran.err);
    assert_eq!(std::fs::read(bench.path("sheet.pdf")).unwrap(), b"my notes");
}

/// A track down 14° for 60 m, a fix each second and metre, with an error of the receiver that lasts.
fn track(heights: bool) -> String {
    let fix = |at: u32| {
        let (far, slow) = (f64::from(at), 1.5 * (f64::from(at) / 20.0).sin());
        let ele =
            if heights { format!("<ele>{:.1}</ele>", 90.0 - far * 0.2493 + slow) } else { String::new() };
        format!(
            "<trkpt lat=\"{:.8}\" lon=\"8.0\">{ele}<time>2027-05-08T10:{:02}:{:02}Z</time></trkpt>",
            47.0 + far / 111_176.0,
            at / 60,
            at % 60
        )
    };
    let fixes = (0..=60).map(fix).collect::<Vec<_>>().concat();
    format!(
        "<?xml version=\"1.0\"?><gpx version=\"1.1\" creator=\"a test\" xmlns=\"http://www.topografix.com/GPX/1/1\">\
         <trk><trkseg>{fixes}</trkseg></trk></gpx>"
    )
}

#[test]
fn a_track_gives_the_shape_and_says_that_it_is_too_coarse_and_by_how_much() {
    let ran = surveyed(&track(true), &["--instrument", "satellite"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.err.contains("Too coarse for a verdict") && ran.err.contains("clinometer"), "{}", ran.err);
    assert!(!ran.out.contains("survey:"), "{}", ran.out);
    let course = pasted(&ran.out);
    let stretches = &course.slopes[0].stretches;
    assert!(stretches.len() == 1 && (stretches[0].length.si() - 62.0).abs() < 2.0, "{}", ran.out);
    let level = surveyed(&track(true), &["--instrument", "level"]);
    assert!(
        level.code == 2 && level.err.contains("`--instrument satellite` or `barometer`"),
        "{}",
        level.err
    );
}

/// Written by gpxpy 1.6.2, another library for the format than the one that reads it here: a waypoint, a part of five fixes,
/// then the walk with a fix every 2 m, 0.21 m down for each metre over 40 m and 0.02 m for each of the next 20, heights
/// to the centimetre, times with fractions of a second, and satellites and dilution beside each.
const WALKED: &[u8] = include_bytes!("published/walked.gpx");

#[test]
fn a_track_that_another_library_wrote_is_read_as_it_was_made() {
    let track = read_track(WALKED).unwrap();
    assert!((track.every - 3.0).abs() < 0.01, "{}", track.every);
    let Measured::Heights(heights) = track.readings.measured else { panic!("heights") };
    assert_eq!((heights.len(), track.readings.rows), (31, 31), "the longer part alone");
    for (at, (far, height)) in (0..).zip(&heights) {
        let walked = 2.0 * f64::from(at);
        let made = 90.0 - 0.21 * walked.min(40.0) - 0.02 * (walked - 40.0).max(0.0);
        // The middle of three heights: at the bend and along an even fall it is the height itself.
        assert!((far - walked).abs() < 0.005 && (height - made).abs() < 0.006, "{walked}: {far} {height}");
    }
    let ran = surveyed(std::str::from_utf8(WALKED).unwrap(), &["--instrument", "barometer"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
}

/// The same track written by the library that reads it, from what it read: nothing is lost on the way.
#[test]
fn a_track_goes_out_and_comes_in_again() {
    let file = gpx::read(WALKED).unwrap();
    let mut again = Vec::new();
    gpx::write(&gpx::Gpx { version: gpx::GpxVersion::Gpx11, ..file }, &mut again).unwrap();
    assert_eq!(read_track(&again), read_track(WALKED));
}

#[test]
fn broken_tracks_are_told_in_words() {
    let whole = track(true);
    let cut = &whole[..whole.len() / 2];
    let nowhere = whole.replace("lat=\"47.0000", "lat=\"97.0000");
    let long = whole.replace("lat=\"47.00000000\"", "lat=\"46.0\"");
    let empty =
        "<gpx version=\"1.1\" creator=\"x\" xmlns=\"http://www.topografix.com/GPX/1/1\"></gpx>".to_owned();
    let still: Vec<String> = whole
        .split("lat=\"")
        .enumerate()
        .map(|(at, part)| match at {
            0 => part.to_owned(),
            _ => format!("lat=\"47.0\"{}", part.split_once('"').unwrap().1),
        })
        .collect();
    for (text, message) in [
        (cut.to_owned(), "the track cannot be read"),
        (nowhere, ""),
        (long, "too long for a slope"),
        (empty, "the file has no track"),
        (still.concat(), "fewer than three fixes"),
        (track(false), "has no height (`ele`)"),
        (whole.replace("<ele>90.0</ele>", "<ele>NaN</ele>"), ""),
        (format!("<gpx>{}", "<a>".repeat(100_000)), "the track cannot be read"),
    ] {
        let ran = surveyed(&text, &["--instrument", "satellite"]);
        assert_eq!(ran.code, 1, "{}", ran.err);
        assert!(ran.err.contains(message) && !ran.err.contains("panicked"), "{message}: {}", ran.err);
    }
}

/// The lines of a table of pieces, length and angle.
fn pieces(all: &[(f64, f64)]) -> String {
    let rows: Vec<String> = all.iter().map(|(length, angle)| format!("{length},{angle}°")).collect();
    format!("along (m),angle\n{}\n", rows.join("\n"))
}

#[test]
fn a_short_steep_piece_is_never_joined_with_what_is_not() {
    for (table, instrument, steepest) in [
        (
            &[
                (5.0, 3.0),
                (8.0, 14.0),
                (10.0, 12.0),
                (20.0, 17.0),
                (6.0, 9.0),
                (4.0, 31.0),
                (15.0, 9.0),
                (12.0, 1.0),
            ][..],
            "clinometer",
            "31.0°",
        ),
        (
            &[
                (8.0, 10.0),
                (4.0, 30.0),
                (8.0, 10.0),
                (4.0, 5.0),
                (8.0, 10.0),
                (4.0, 30.0),
                (8.0, 10.0),
                (4.0, 0.0),
            ],
            "level",
            "30.0°",
        ),
        (
            &[
                (8.0, 10.0),
                (8.0, 14.0),
                (8.0, 12.0),
                (8.0, 17.0),
                (8.0, 6.0),
                (8.0, 20.0),
                (8.0, 9.0),
                (8.0, 1.0),
            ],
            "level",
            "20.0°",
        ),
        (&[(20.0, 17.0), (4.0, 25.0)], "clinometer", "25.0°"),
    ] {
        let ran = surveyed(&pieces(table), &["--instrument", instrument, "--over", "4 m"]);
        assert_eq!(ran.code, 0, "{}", ran.err);
        assert!(ran.out.contains(&format!("gradient: {steepest}")), "{}\n{}", ran.out, ran.err);
        assert!(ran.err.contains(&format!("Steepest over 4.0 m: {steepest}")), "{}", ran.err);
    }
}

/// Heights every half metre down 12°, with 3 m of 31° that no stretch of five metres can show.
#[test]
fn a_step_between_heights_is_told_and_gives_no_survey() {
    let mut height = 100.0;
    let rows: Vec<String> = (0..=80)
        .map(|at| {
            let level = f64::from(at) / 2.0;
            let row = format!("{level:.1},{height:.3}");
            let steep = (20.0..23.0).contains(&level);
            height -= 0.5 * if steep { 31_f64 } else { 12.0 }.to_radians().tan();
            row
        })
        .collect();
    let ran = surveyed(&format!("level (m),height (m)\n{}\n", rows.join("\n")), &["--instrument", "level"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let shown = ran.out.lines().filter_map(|line| line.split("gradient: ").nth(1));
    let steep =
        shown.filter_map(|angle| angle.split('°').next()?.parse::<f64>().ok()).any(|angle| angle > 29.0);
    assert!(
        steep || (ran.err.contains("STEEPER: between 20.") && !ran.out.contains("survey: {")),
        "{}\n{}",
        ran.out,
        ran.err
    );
}

#[test]
fn ground_that_no_course_takes_is_refused_in_words() {
    let hump = "along (m),angle\n10,12°\n8,-6°\n14,15°\n";
    let ran = surveyed(hump, &["--instrument", "clinometer", "--both-ways"]);
    assert_eq!(ran.code, 1);
    assert!(ran.err.contains("the ground rises 6.0° between 9.8 m and 17.7 m"), "{}", ran.err);
    let wall = surveyed("along (m),angle\n10,65°\n", &["--instrument", "clinometer"]);
    assert!(wall.code == 1 && wall.err.contains("65.0° between 0.0 m and 4.2 m is a wall"), "{}", wall.err);
    let unknown = surveyed(hump, &["--instrument", "theodolite"]);
    assert!(unknown.code == 2 && unknown.err.contains("`theodolite` cannot stand after"), "{}", unknown.err);
    let wrong = surveyed(hump, &["--instrument", "level", "--accuracy", "1°"]);
    assert!(wrong.code == 2 && wrong.err.contains("is a length, 5 mm"), "{}", wrong.err);
}

#[test]
fn a_height_read_wrong_is_pointed_at() {
    let parted = EXAMPLE.replace("20,", "20, ");
    let bent = parted.lines().map(|line| match line.split_once(", ") {
        Some((at, height)) if at == "20" => {
            let (height, note) = height.split_once(',').unwrap();
            format!("{at},{:.2},{note}\n", height.parse::<f64>().unwrap() + 0.5)
        }
        _ => format!("{line}\n"),
    });
    let ran = surveyed(&bent.collect::<Vec<_>>().concat(), &["--instrument", "level"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(
        ran.err.contains("The height at 20.0 m lies 0.") && ran.err.contains("read it again"),
        "{}",
        ran.err
    );
}

#[test]
fn a_constant_height_changes_no_gradient_and_twice_the_doubt_is_twice_the_interval() {
    let found = |table: &str, height: f64| {
        // Staff and its place are as unsure as each other.
        let instrument =
            Instrument { height, mark: height, distance: 0.0, ..Instrument::named("level").unwrap() };
        survey(&read(table.as_bytes()).unwrap().measured, instrument).ground
    };
    let higher: Vec<String> = EXAMPLE
        .lines()
        .map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            let height =
                cells[1].parse::<f64>().map_or(cells[1].to_owned(), |height| format!("{:.2}", height + 7.0));
            format!("{},{height},\n", cells[0])
        })
        .collect();
    let (one, other, doubt) = (found(EXAMPLE, 0.02), found(&higher.concat(), 0.02), found(EXAMPLE, 0.04));
    for ((one, other), doubt) in one.stretches.iter().zip(&other.stretches).zip(&doubt.stretches) {
        assert!((one.gradient - other.gradient).abs() < 1e-6);
        assert!((one.gradient - doubt.gradient).abs() < 1e-3);
        assert!((doubt.sure / one.sure - 2.0).abs() < 0.05, "{} {}", one.sure, doubt.sure);
    }
    assert!((one.scatter - 1.0).abs() < 1e-12);
}

#[test]
fn a_long_table_is_put_together_and_gives_the_same_ground() {
    let row = |at: u32| {
        let at = f64::from(at) * 0.01;
        format!("{at},{:.3}\n", 50.0 - at.min(20.0) * 0.2 - (at - 20.0).max(0.0) * 0.4)
    };
    let rows: Vec<String> = (0..4_000).map(row).collect();
    let table = format!("level (m),height (m)\n{}", rows.concat());
    let ran = surveyed(&table, &["--instrument", "level"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.contains("gradient: 11.3°") && ran.out.contains("gradient: 21.8°"), "{}", ran.out);
    assert!(ran.err.contains("each 25 rows were put together"), "{}", ran.err);
}
