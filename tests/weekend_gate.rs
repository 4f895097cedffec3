//! What whoever stands at the gate asks of the printed camp: who leads whom, who is on call how far away, what was looked at
//! on Saturday, and what nobody has said yet.

use slopepack::course::Role;

use crate::program::{Bench, squeezed};
use crate::weekend_camp::{PACK, after, pages, sheet};

fn staff() -> Vec<String> {
    let course =
        slopepack::course::read_text(include_str!("../courses/two-day-camp.yaml")).expect("it reads");
    let serves = course.people.iter().filter(|one| one.role != Role::Driver);
    serves.map(|one| squeezed(one.name.full())).collect()
}

fn count_of(name: &str) -> usize {
    pages(&PACK.path("out").join(format!("{name}.pdf"))).len()
}

#[test]
fn the_confidential_sheet_has_everybody_and_rows_to_write_in() {
    let text = sheet("confidential/leader-sheet-day-1");
    let rows = after(&text, "Firstaidshouldknow");
    for name in staff() {
        assert!(rows.contains(&name), "{name} is not on it: {text}");
    }
    // Five drivers of whom nobody said anything: needs, call, first aid.
    assert_eq!(rows.matches("nothinggiven").count(), 3 * 5 + 1, "{rows}");
    assert!(rows.contains("whichisnotthatthereisnothing"), "{rows}");
    let roster = "  - {driver: A. K., vehicle: club-wagon, experience: novice, medical: bee stings}";
    let camp = include_str!("../courses/two-day-camp.yaml");
    let told = camp.replace("  - {driver: A. K., vehicle: club-wagon, experience: novice}", roster);
    assert_ne!(told, camp);
    let bench = Bench::with_course(&told);
    let ran = bench.run(&["pack", "day.yaml", "--into", "out", "--only", "leader-sheet", "--quiet"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let text = crate::program::text_at(&bench.path("out/confidential/leader-sheet-day-1.pdf"));
    assert!(text.contains("nothinggivennothinggivenbeestings"), "{text}");
}

#[test]
fn a_card_says_what_begins_before_the_stations_and_whom_one_leads_from_the_gate() {
    for day in 1..=2 {
        let convoy = sheet(&format!("convoy-day-{day}"));
        let cards = pages(&PACK.path(&format!("out/marshal-cards-day-{day}.pdf")));
        for card in &cards {
            assert!(card.contains("First09:00Sign-on,vehiclechecks;09:30Safetybriefing"), "{card}");
        }
        let mark = "Infront,onfootorintheleadvehicle:";
        let leaders: Vec<&str> =
            convoy.split(mark).skip(1).filter_map(|rest| rest.split("PlaceVehicle").next()).collect();
        assert_eq!(leaders.len(), 2, "{convoy}");
        for name in staff() {
            let card = cards.iter().find(|card| card.contains(&name)).expect("a card");
            let leads = card.matches("fromthegateto").count();
            assert_eq!(leads, leaders.iter().filter(|leader| **leader == name).count(), "{name}: {card}");
        }
    }
}

#[test]
fn the_convoy_says_where_a_group_goes_afterwards_and_who_takes_it_over() {
    let convoy = sheet("convoy-day-1");
    let group = after(&convoy, "Group2toS1Meadow");
    assert!(group.contains("Then:10:35TalktoInstructorS;11:10S2toInstructorS."), "{group}");
    assert!(convoy.contains("thesameorder,thefirstvehicleinfront"), "{convoy}");
    let convoy = sheet("convoy-day-2");
    assert!(convoy.contains("Group2toTalkReadingtheground,atThetoolshed,thereat10:00"), "{convoy}");
}

/// Where two slopes stand, whoever is nearer to the gate goes first, and the minutes are said.
#[test]
fn who_is_called_from_a_post_is_the_nearest_and_the_minutes_are_said() {
    let plan = sheet("radio-plan-day-2");
    assert!(plan.contains("InstructorSfromS2,6min;ifitisthere,InstructorRfromS3,11min"), "{plan}");
    assert!(
        plan.contains("Overlunch,betweentheslotsandinthosekeptfree,thoseoftheslotbeforestayoncall"),
        "{plan}"
    );
    // With the slopes the other way round the first of the course is the farther one.
    let camp = include_str!("../courses/two-day-camp.yaml");
    let swapped = camp
        .replace("brow: [300, 150], foot: [300, 120]", "brow: [561, 62], foot: [561, 32]")
        .replace("brow: [560, 60], foot: [560, 40.5]", "brow: [301, 150], foot: [301, 130.5]");
    let bench = Bench::with_course(&swapped);
    let ran = bench.run(&["pack", "day.yaml", "--into", "out", "--only", "radio-plan", "--quiet"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let plan = crate::program::text_at(&bench.path("out/radio-plan-day-2.pdf"));
    let table = after(&plan, "From,toDeputyGate");
    let two = table.find("fromS3,").expect("the nearer one");
    assert!(table.find("fromS2,").is_some_and(|far| two < far), "{table}");
}

/// The posts decide how many radios are needed; the spare that the plan asks for is said beside them, not counted in one
/// place and left out in another.
#[test]
fn radios_are_counted_by_the_posts_and_the_spare_is_said() {
    let plan = sheet("radio-plan-day-2");
    assert!(plan.contains("thekithas8.Thesparewithcontrolisonemore."), "{plan}");
    assert!(plan.contains("Aspareradiowithcontrol"), "{plan}");
}

#[test]
fn vehicles_checked_on_saturday_are_looked_at_again_on_sunday() {
    assert_eq!(count_of("vehicle-check-day-1"), 4, "one sheet a vehicle");
    assert_eq!(count_of("vehicle-check-day-2"), 2);
    let text = sheet("vehicle-check-day-2");
    let again = after(&text, "Checkedonanearlierday");
    for row in ["Aclub'sdieselwagonA.K.,B.L.", "Bpetrolshort-wheelbaseC.M.", "DpetrolwagonE.O."] {
        assert!(again.contains(row), "{row}: {again}");
    }
    assert!(!again.contains("D.N.") && !again.contains("dieselvan"), "{again}");
}

#[test]
fn a_drivers_card_says_who_signals_where_the_ambulance_is_met_and_how_many_runs_each() {
    let cards = pages(&PACK.path("out/driver-cards-day-1.pdf"));
    for card in &cards {
        assert!(!card.contains("onespotter") && card.contains("Signalsfromthefootalone"), "{card}");
        assert!(card.contains("ambulancemet:there;allothers:Thetoolshed"), "{card}");
    }
    assert!(cards[0].contains("YousharethevehiclewithB.L.:taketurns,runbyrun,2runseach."), "{}", cards[0]);
    assert!(sheet("run-sheets-day-1").contains("Runsofeachdriveronavisit2"));
}

#[test]
fn the_papers_of_a_day_count_that_day() {
    let plan = sheet("course-plan-day-1");
    assert!(plan.contains("2slopes,4vehicles."), "{plan}");
    assert!(sheet("course-plan-day-2").contains("2slopes,4vehicles."), "A, B, D and the van");
    let runs = sheet("run-sheets-day-1");
    let free = after(&runs, "A.K.,B.L.,C.M.");
    assert!(runs.contains("free:rest,help,askInstructorS") || free.contains("askInstructorS"), "{runs}");
}

#[test]
fn a_certificate_is_handed_over_while_its_driver_is_there() {
    let pages = pages(&PACK.path("out/certificate.pdf"));
    let of = |name: &str| {
        let head = format!("Certificateofattendance{name}");
        pages.iter().find(|page| page.contains(&head)).expect("a certificate")
    };
    assert!(of("D.N.").contains("HandedoveronSaturday12June2027"), "{}", of("D.N."));
    assert!(of("D.N.").contains("showsthewholeday"), "{}", of("D.N."));
    assert!(!of("F.P.").contains("Handedover"), "{}", of("F.P."));
    assert!(of("A.K.").contains("showseachofthesedays,whole"), "{}", of("A.K."));
}

/// Whoever is called on for something else, at the same posts, sees where: nothing changes on a card without a mark.
#[test]
fn every_card_of_a_change_shows_what_changed() {
    let bench = Bench::with_example("two-day-camp.yaml");
    let whole = ["pack", "day.yaml", "--into", "out", "--only", "marshal-cards", "--quiet"];
    assert_eq!(bench.run(&whole).code, 0);
    let change = ["--without", "person:Marshal U", "--day", "1", "--one-day"];
    let ran = bench.run(&[&whole[..], &change].concat());
    assert_eq!(ran.code, 0, "{}", ran.err);
    let cards = pages(&bench.path("out/change-day-1/marshal-cards.pdf"));
    assert!(cards.len() >= 2, "{}", cards.len());
    for card in &cards {
        assert!(card.contains('→'), "nothing is marked on {card}");
    }
}

/// The rotas of the papers are kept, so that a change does not look for them again; what comes of it is the same.
#[test]
fn a_change_from_kept_rotas_is_the_change_from_new_ones() {
    let bench = Bench::with_example("two-day-camp.yaml");
    let run = |into: &str, cached: bool, change: &[&str]| {
        let mut command = bench.command();
        if cached {
            command.env_remove("SLOPEPACK_NO_CACHE").env("XDG_CACHE_HOME", bench.path("cache"));
        }
        let args =
            ["pack", "day.yaml", "--into", into, "--only", "run-sheets", "--printed", "08:00", "--quiet"];
        assert!(command.args(args).args(change).output().expect("it runs").status.success());
    };
    let change = ["--without", "person:Marshal T", "--day", "2"];
    for (into, cached) in [("kept", true), ("afresh", false)] {
        run(into, cached, &[]);
        run(into, cached, &change);
    }
    let record = |into: &str| {
        std::fs::read_to_string(bench.path(into).join("change-day-2/changes.json")).expect("a record")
    };
    assert_eq!(record("kept"), record("afresh"));
    let kept = walkdir(&bench.path("cache"));
    let rotas = kept.iter().filter(|text| text.contains("\"given_up\""));
    assert_eq!(rotas.count(), 1, "the rotas of both days are kept once");
}

/// The texts of all files below a folder.
fn walkdir(folder: &std::path::Path) -> Vec<String> {
    let mut texts = Vec::new();
    for entry in std::fs::read_dir(folder).expect("a folder").flatten() {
        if entry.path().is_dir() {
            texts.extend(walkdir(&entry.path()));
        } else {
            texts.push(String::from_utf8_lossy(&std::fs::read(entry.path()).expect("a file")).into_owned());
        }
    }
    texts
}
