//! Rosters as spreadsheets save them: read, or a diagnostic with line and column.

use proptest::prelude::*;
use slopepack::course::{Course, Experience, Need, Order, attach_roster, read_text};
use slopepack::problem::render_problems;

const COURSE: &str = include_str!("../courses/six-slope-saturday.yaml");
const FILE: &[u8] = include_bytes!("../courses/six-slope-saturday.csv");

/// The example course with other names for columns.
fn course(columns: &str) -> Course {
    let from = COURSE.find("  columns:\n").expect("it names columns");
    let to = COURSE[from..].find("\n\n").expect("the part ends") + from;
    let text = format!("{}{columns}{}", &COURSE[..from], &COURSE[to..]);
    read_text(&text).map_err(|problems| format!("{problems:?}")).expect("no mistakes")
}

fn attached(bytes: &[u8]) -> Course {
    let mut course = course("");
    attach_roster(&mut course, bytes)
        .map_err(|(source, problems)| render_problems("roster.csv", &source, &problems, false))
        .expect("the roster reads");
    course
}

/// What the person sees.
fn refused(bytes: &[u8]) -> String {
    let mut course = course("");
    let (source, problems) = attach_roster(&mut course, bytes).expect_err("the roster has mistakes");
    assert!(course.roster.drivers.is_empty(), "nothing of a faulty roster is kept");
    render_problems("roster.csv", &source, &problems, false)
}

fn names(course: &Course) -> Vec<&str> {
    course.roster.drivers.iter().map(|driver| driver.name.full()).collect()
}

#[test]
fn separators_marks_and_line_ends_of_every_spreadsheet_are_read() {
    let rows = "driver,vehicle,experience\nA. B.,diesel wagon,novice\nC. D.,short petrol,some\n";
    let plain = attached(rows.as_bytes());
    assert_eq!(names(&plain), ["A. B.", "C. D."]);
    assert_eq!(plain.roster.drivers[1].experience, Experience::Some);
    for separator in [';', '\t', '|'] {
        let other = rows.replace(',', &separator.to_string());
        assert_eq!(attached(other.as_bytes()), plain, "{separator:?}");
        let marked = format!("\u{feff}{}", other.replace('\n', "\r\n"));
        assert_eq!(attached(marked.as_bytes()), plain, "{separator:?} with a mark");
    }
    for word in ["sep", "SEP", "Sep"] {
        let hinted = format!("{word}=;\r\n{}", rows.replace(',', ";"));
        assert_eq!(attached(hinted.as_bytes()), plain);
    }
    let titled = format!("Ridge riders, entries 2027;;\r\n\r\n{}", rows.replace(',', ";"));
    assert_eq!(attached(titled.as_bytes()), plain, "rows above the heads are titles");
    let wide: Vec<u8> = "\u{feff}"
        .encode_utf16()
        .chain(rows.replace(',', "\t").encode_utf16())
        .flat_map(u16::to_le_bytes)
        .collect();
    assert_eq!(attached(&wide), plain, "UTF-16");
}

#[test]
fn latin_1_letters_are_read_as_they_are() {
    let bytes = b"driver;vehicle\r\nJ\xf6rg \xc5.;v\xe9hicule diesel\r\n";
    let course = attached(bytes);
    assert_eq!(names(&course), ["Jörg Å."]);
    assert_eq!(course.vehicles.last().expect("their own").name, "véhicule diesel");
}

#[test]
fn quoted_cells_may_hold_separators_quotes_and_line_breaks() {
    let text = "vehicle;driver;medical;needs\n\"wagon; \"\"the blue one\"\"\";A. B.;\"line one\nline two\";\"hearing, large print\"\n\n;;;\n";
    let course = attached(text.as_bytes());
    let driver = &course.roster.drivers[0];
    assert_eq!(course.roster.drivers.len(), 1, "empty rows are no drivers");
    assert_eq!(driver.private.medical.as_deref(), Some("line one\nline two"));
    assert_eq!(driver.needs, [Need::Hearing, Need::LargePrint]);
    assert_eq!(course.vehicles.last().expect("their own").name, "wagon; \"the blue one\"");
}

#[test]
fn columns_stand_in_any_order_and_the_course_may_name_them() {
    let mut course = course("  columns: {driver: Fahrer, vehicle: 'Womit?'}\n");
    attach_roster(&mut course, "Paid,WOMIT?,Fahrer\nyes,wagon,A. B.\n".as_bytes()).expect("it reads");
    assert_eq!(names(&course), ["A. B."]);
}

#[test]
fn what_a_member_knows_is_used_and_the_rest_is_marked() {
    let text =
        "driver;vehicle;class;mass;low range\nA. B.;wagon;wagon;2410 kg;2,6\nC. D.;pickup;pickup;;none\n";
    let course = attached(text.as_bytes());
    let [.., known, unknown] = course.vehicles.as_slice() else { panic!("two more vehicles") };
    assert!((known.mass.si() - 2410.0).abs() < 1e-9 && !known.is_guessed("mass"));
    assert!(!known.is_guessed("transfer-low"));
    assert!(known.is_guessed("wheelbase") && known.track.estimated);
    assert!(unknown.is_guessed("mass") && unknown.transmission.transfer_low.is_none());
    let shared = attached(b"driver,vehicle\nA. B.,club-pickup\nC. D.,club-pickup\n");
    assert_eq!(shared.vehicles.len(), 1, "a vehicle of the fleet is not made twice");
    assert!(!shared.roster.drivers[0].own_vehicle);
}

#[test]
fn mistakes_are_shown_with_line_and_column() {
    for (text, what, place) in [
        ("driver,car\nA. B.,wagon\nA. B.,pickup\n", "two drivers are called `A. B.`", "roster.csv:3:1"),
        ("who,car\nA. B.,wagon\n", "no column `driver`", "roster.csv:1:1"),
        ("driver\nA. B.\n", "no column `vehicle`", "roster.csv:1:1"),
        ("driver,name,car\nA,B,wagon\n", "two columns are the roster's `driver`", "roster.csv:1:8"),
        ("driver,car,mass\nA. B.,wagon,2400\n", "mass", "roster.csv:2:13"),
        (
            "driver;car;experience\nA. B.;wagon;sometimes\n",
            "`sometimes` is not known here",
            "roster.csv:2:13",
        ),
        ("driver;car;tyres\n\"A.\nB.\";wagon;\"235-75\"\n", "tyre", "roster.csv:3:12"),
        ("driver,car\n,wagon\n", "a driver without a name", "roster.csv:2:1"),
        ("driver,car\nA. B.,wagon,more\n", "3 cells, the head row only 2", "roster.csv:2:13"),
        ("driver,car\nA. B.,\"wagon\n", "a quote is opened here and never closed", "roster.csv:2:7"),
        ("number,driver,car\n7,A. B.,wagon\n7,C. D.,wagon\n", "the number `7`", "roster.csv:3:1"),
        ("", "the roster is empty", "roster.csv:1:1"),
    ] {
        let shown = refused(text.as_bytes());
        assert!(shown.contains(what), "{text:?} gave\n{shown}");
        assert!(shown.contains(place), "{text:?} gave\n{shown}");
        assert!(shown.contains("help:"), "{text:?} gave\n{shown}");
    }
}

#[test]
fn a_mistake_names_the_cell_of_the_spreadsheet() {
    let shown =
        refused(b"Entries;;\n;;\ndriver;car;experience\n\"A.\nB.\";wagon;novice\nC. D.;wagon;sometimes\n");
    assert!(shown.contains("cell C5: `sometimes`") && shown.contains("roster.csv:6:13"), "{shown}");
    let shown = refused(b"PK\x03\x04\x14\0\x06\0");
    assert!(shown.contains("spreadsheet's own file") && shown.contains("CSV"), "{shown}");
}

#[cfg(unix)]
#[test]
fn a_roster_lies_in_the_folder_of_the_course_and_no_link_leads_out() {
    let top = tempfile::tempdir().expect("a folder");
    let inside = top.path().join("club");
    std::fs::create_dir(&inside).expect("a folder");
    std::fs::write(top.path().join("others.csv"), FILE).expect("written");
    let path = inside.join("day.yaml");
    std::fs::write(&path, COURSE).expect("written");
    let roster = inside.join("six-slope-saturday.csv");
    std::os::unix::fs::symlink("../others.csv", &roster).expect("a link");
    let unread = slopepack::course::read(&path).expect_err("the link leads out");
    assert!(unread.failure.to_string().contains("is a link that leads out"), "{}", unread.failure);
    std::fs::remove_file(&roster).expect("removed");
    std::fs::write(inside.join("real.csv"), FILE).expect("written");
    std::os::unix::fs::symlink("real.csv", &roster).expect("a link");
    assert_eq!(slopepack::course::read(&path).expect("a link within the folder").roster, FILE);
    std::fs::remove_file(&roster).expect("removed");
    std::fs::create_dir(&roster).expect("a folder");
    let unread = slopepack::course::read(&path).expect_err("a folder is no roster");
    assert!(unread.failure.to_string().contains("is not a file"), "{}", unread.failure);
}

#[test]
fn every_mistake_of_a_roster_comes_out_at_once() {
    let shown = refused(b"driver,car,mass,experience\nA. B.,wagon,2400,novice\nC. D.,wagon,2.1 t,often\n");
    assert_eq!(shown.matches("error").count(), 2, "{shown}");
}

#[test]
fn a_course_may_list_its_drivers_itself() {
    let from = COURSE.find("  file: six").expect("it names a file");
    let to = COURSE[from..].find("\n\n").expect("the part ends") + from;
    let listed = "  drivers:\n    - {driver: A. B., vehicle: club-pickup, medical: asthma}\n    - {driver: C. D., vehicle: old wagon, mass: 2 t}\n";
    let text = format!("{}{listed}{}", &COURSE[..from], &COURSE[to..]);
    let course = read_text(&text).expect("no mistakes");
    assert_eq!(names(&course), ["A. B.", "C. D."]);
    assert!(!format!("{course:?}").contains("asthma"), "what is private does not show itself");
    let faulty = text.replace("mass: 2 t", "mass: 2");
    let problems = read_text(&faulty).expect_err("a number without a unit");
    let shown = render_problems("course.yaml", &faulty, &problems, false);
    assert!(shown.contains("mass: 2}"), "{shown}");
}

#[test]
fn day_and_rota_speak_of_one_date() {
    let text = |day: &str, rota: &str| {
        COURSE.replace("  date: 2027-05-08\n", rota).replace("  date: Saturday 8 May 2027\n", day)
    };
    let told = |course: &str| -> (Option<String>, Option<String>) {
        let course = read_text(course).unwrap_or_else(|problems| panic!("{problems:?}"));
        let rota = course.rota.expect("a rota").date;
        (course.day.date.map(|date| date.to_string()), rota.map(|date| date.to_string()))
    };
    let both = (Some("Saturday 8 May 2027".to_owned()), Some("2027-05-08".to_owned()));
    assert_eq!(told(COURSE), both);
    assert_eq!(told(&text("", "  date: 2027-05-08\n")), both, "the rota's alone");
    assert_eq!(told(&text("  date: Saturday 8 May 2027\n", "")), both, "the day's alone");
    assert_eq!(told(&text("  date: 2027-05-08\n", "")), both);
    assert_eq!(told(&text("  date: first Saturday in May\n", "")).1, None);
    for (day, rota) in [
        ("  date: Saturday 8 May 2027\n", "  date: 2027-06-13\n"),
        ("  date: Saturday in April\n", "  date: 2027-05-08\n"),
    ] {
        let course = text(day, rota);
        let problems = read_text(&course).expect_err("two different days");
        let shown = render_problems("course.yaml", &course, &problems, false);
        assert_eq!(problems.len(), 1, "{shown}");
        assert!(shown.contains("two different days") && shown.contains("help:"), "{shown}");
        assert!(shown.contains(day.trim()) && shown.contains(rota.trim()), "both are shown\n{shown}");
    }
    let faulty = text("  date: Sunday 8 May 2027\n", "");
    let problems = read_text(&faulty).expect_err("that day is a Saturday");
    assert!(problems[0].message.contains("is a Saturday, not a Sunday"), "{problems:?}");
}

#[test]
fn a_demonstration_names_a_vehicle_of_the_fleet_or_none() {
    let vehicle = |course: &Course| course.rota.as_ref()?.demonstration.as_ref()?.vehicle.clone();
    let named = ", vehicle: club-pickup, groups-at-once";
    assert!(COURSE.contains(named), "the example names one");
    assert_eq!(vehicle(&course("")).as_deref(), Some("club-pickup"));
    let open = read_text(&COURSE.replace(named, ", groups-at-once")).expect("no mistakes");
    assert_eq!(vehicle(&open), None);
    let faulty = COURSE.replace(named, ", vehicle: club-pikup, groups-at-once");
    let problems = read_text(&faulty).expect_err("no such vehicle");
    let shown = render_problems("course.yaml", &faulty, &problems, false);
    assert!(shown.contains("club-pikup") && shown.contains("help:"), "{shown}");
}

#[test]
fn the_order_of_the_slopes_names_slopes_of_the_course_once() {
    let order = |text: &str| {
        assert!(COURSE.contains("  order: gentle\n"), "the example says its order");
        COURSE.replace("  order: gentle\n", text)
    };
    let rules = |text: &str| read_text(text).expect("no mistakes").rota.expect("rules");
    assert_eq!(rules(COURSE).before, [("ramp".to_owned(), "step".to_owned())]);
    assert_eq!(rules(&order("  order: any\n")).order, Order::Any);
    let own = rules(&order("  order: [lawn, tilt]\n")).order;
    assert_eq!(own, Order::Own(vec!["lawn".to_owned(), "tilt".to_owned()]));
    for (text, what) in [
        ("  order: [lawn, lwan]\n", "lwan"),
        ("  order: [lawn, lawn]\n", "twice"),
        ("  order: gentel\n", "gentle"),
    ] {
        let text = order(text);
        let shown = render_problems("c.yaml", &text, &read_text(&text).expect_err("a mistake"), false);
        assert!(shown.contains(what) && shown.contains("help:"), "{shown}");
    }
}

/// The example course with these columns, and what the person sees of a file read with them.
fn refused_with(columns: &str, bytes: &[u8]) -> String {
    let mut course = course(columns);
    let (source, problems) = attach_roster(&mut course, bytes).expect_err("the roster has mistakes");
    render_problems("roster.csv", &source, &problems, false)
}

#[test]
fn a_column_the_course_names_and_the_file_lacks_is_a_mistake() {
    let file = b"driver,car,Medicall\nA. B.,wagon,bee stings\n";
    let shown = refused_with("  columns: {medical: Medical}\n", file);
    assert!(shown.contains("no column has that head") && shown.contains("Medicall"), "{shown}");
    // Nor does one that speaks of health go by in silence when nobody named it.
    for head in ["Medicall", "Allergies and medication", "Known health issues"] {
        let shown = refused(format!("driver,car,{head}\nA. B.,wagon,bee stings\n").as_bytes());
        assert!(shown.contains("first aid") && shown.contains("medical"), "{head}: {shown}");
    }
}

#[test]
fn what_is_passed_over_is_said() {
    let course =
        attached(b"driver,car,Jacket,Paid,needs,mass\nA. B.,wagon,large,yes,,2 t\nTotal,8,,,,\n,,,,,9\n");
    assert_eq!(names(&course), ["A. B."], "a sum is no driver");
    let notes = course.roster.notes.join("\n");
    assert!(notes.contains("`Jacket`, `Paid`"), "{notes}");
    assert!(notes.contains("row 3 is a sum") && notes.contains("row 4 names no driver"), "{notes}");
    let course = attached(b"driver,car,class,mass,needs\nA. B.,blue wagon,,,\nC. D.,blue wagon,,,\n");
    let notes = course.roster.notes.join("\n");
    assert!(notes.contains("A. B. and C. D. both come with `blue wagon`"), "{notes}");
    let shown = refused(b"driver,car,class,mass,needs\nA. B.,blue wagon,,,\nE. F.,,,,\n");
    assert!(shown.contains("`E. F.` has no vehicle, shares none, and rides with nobody"), "{shown}");
}

#[test]
fn two_may_share_a_car_from_the_spreadsheet_alone() {
    let course = attached(b"driver,car,shares\nA. B.,blue wagon,\nC. D.,,a. b.\nE. F.,,1\n");
    let vehicles: Vec<&str> = course.roster.drivers.iter().map(|driver| driver.vehicle.as_str()).collect();
    assert_eq!(vehicles, ["own-1", "own-1", "own-1"]);
    let shown = refused(b"driver,car,shares\nA. B.,blue wagon,\nC. D.,,A. C.\n");
    assert!(shown.contains("nobody called `A. C.`") && shown.contains("did you mean `A. B.`?"), "{shown}");
}

#[test]
fn units_stand_in_the_head_and_classes_are_what_people_write() {
    let course = attached(b"Name,Car,Body,Mass (kg),Wheelbase [m]\nA. B.,a,SUV,2300,2.8\nC. D.,b,4x4,2.1 t,\nE. F.,c,pick-up,,\n");
    let masses: Vec<f64> = course.vehicles[1..].iter().map(|vehicle| vehicle.mass.si()).collect();
    assert!((masses[0] - 2300.0).abs() < 1e-9 && (masses[1] - 2100.0).abs() < 1e-9, "{masses:?}");
    assert_eq!(course.vehicles[3].class, slopepack::course::VehicleClass::Pickup);
}

#[test]
fn needs_are_free_text_of_which_known_words_are_acted_on() {
    let needs = |text: &str| {
        let course = attached(format!("driver;car;needs\nA. B.;wagon;{text}\n").as_bytes());
        let driver = course.roster.drivers[0].clone();
        (driver.needs, driver.private.wishes)
    };
    assert_eq!(needs("N/A"), (vec![], None));
    assert_eq!(needs("hard of hearing"), (vec![Need::Hearing], Some("hard of hearing".to_owned())));
    assert_eq!(needs("large print"), (vec![Need::LargePrint], None));
    assert_eq!(needs("vegetarian"), (vec![], Some("vegetarian".to_owned())));
}

#[test]
fn no_message_shows_a_private_cell() {
    let mut file = "driver,car,mass,Medical,next of kin,Phone,needs\n".to_owned();
    let secrets: Vec<String> = (0..40)
        .map(|at| format!("{}{at}", ["MEDSECRET", "KINSECRET", "FONSECRET", "Bedürfnis"][at % 4]))
        .collect();
    let rows = secrets
        .chunks(4)
        .enumerate()
        .map(|(at, four)| format!("Driver {at},wagon,2400,{}\n", four.join(",")));
    file += &rows.collect::<String>();
    // Every row lacks a unit; one more has too many cells, and one a quote that is never closed.
    file += "Driver 98,wagon,2 t,MEDSECRET98,KINSECRET98,FONSECRET98,,FONSECRET99\n";
    let long = refused(file.as_bytes());
    let unit = refused(file.rsplit_once("Driver 98").expect("the last row").0.as_bytes());
    let open = refused(format!("{file}Driver 99,\"wagon,2 t,MEDSECRET97,KINSECRET97\n").as_bytes());
    assert_eq!(unit.matches("error").count(), 10, "{unit}");
    for shown in [&long, &unit, &open] {
        assert!(shown.contains("error"), "{shown}");
        for part in ["SECRET", "ürfnis"] {
            assert!(!shown.contains(part), "{shown}");
        }
    }
}

#[test]
fn no_message_about_a_course_shows_what_is_private_in_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let from = COURSE.find("  file: six").expect("it names a file");
    let to = COURSE[from..].find("\n\n").expect("the part ends") + from;
    let listed = "  drivers:\n    - {driver: A. B., vehicle: old wagon, mass: 2, medical: MEDSECRET, emergency-contact: KINSECRET}\n";
    let path = folder.path().join("course.yaml");
    std::fs::write(&path, format!("{}{listed}{}", &COURSE[..from], &COURSE[to..])).expect("written");
    let unread = slopepack::course::read(&path).expect_err("a mass without a unit");
    let slopepack::problem::Failure::Course(problems) = unread.failure else { panic!("no mistakes") };
    let shown = render_problems(&unread.name, &unread.source, &problems, false);
    assert!(shown.contains("mass: 2") && !shown.contains("SECRET"), "{shown}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]
    /// Whatever the bytes are, the reader comes back, and its places lie in the text it read.
    #[test]
    fn no_bytes_upset_the_reader(cut in 0..FILE.len(), bytes in proptest::collection::vec(any::<u8>(), 0..40)) {
        let mut file = FILE[..cut].to_vec();
        file.extend(bytes);
        file.extend(&FILE[cut..]);
        let mut course = course("");
        if let Err((source, problems)) = attach_roster(&mut course, &file) {
            prop_assert!(!problems.is_empty());
            for span in problems.iter().filter_map(|problem| problem.span.clone()) {
                prop_assert!(source.get(span.clone()).is_some(), "{span:?} is no place in {source:?}");
            }
        }
    }
}

/// In a small club the helpers have vehicles too: nobody is at a post and at the wheel at the same minute.
#[test]
fn whoever_helps_is_no_driver_of_the_roster() {
    let shown = refused(b"driver,vehicle\nA. B.,diesel wagon\nInstructor K,old pickup\n");
    assert!(shown.contains("`Instructor K` drives here and is one of the people of the course"), "{shown}");
    assert!(shown.contains("roster.csv:3:1") && shown.contains("at a post and at the wheel"), "{shown}");
}

/// The same of drivers that the course itself lists.
#[test]
fn whoever_helps_is_no_driver_that_the_course_lists() {
    let listed = COURSE.replacen(
        "  file: six-slope-saturday.csv\n",
        "  drivers: [{driver: Instructor K, vehicle: old pickup}]\n",
        1,
    );
    assert_ne!(listed, COURSE);
    let from = listed.find("  columns:\n").expect("it names columns");
    let to = listed[from..].find("\n\n").expect("the part ends") + from;
    let problems =
        read_text(&format!("{}{}", &listed[..from], &listed[to..])).expect_err("a helper at the wheel");
    assert!(
        problems.iter().any(|one| format!("{one:?}").contains("`Instructor K` drives here")),
        "{problems:?}"
    );
}
