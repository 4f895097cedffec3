//! What a reader's eye needs of every page: type that can be read, contrast, nothing on top of
//! something else, nothing over the edge, no page that holds next to nothing.

use slopepack::course::{Course, Paper as Sheets, Slope, Vehicle, read_text};
use slopepack::print::Edition;
use slopepack::quantity::UnitSystem;

use crate::pages::{Pack, Paper, examples, large_examples, pocket_examples, printed, typeset, with_rota};
use crate::pages_read::{Piece, Sheet};

/// Points in a millimetre.
const MM: f64 = 72.0 / 25.4;
/// Smallest type on sheets, on cards and in formulas' indices, points.
const STANDARD: [f64; 3] = [9.0, 11.0, 9.0];
/// The same in large print (UKAAF: 16 pt at least, better 18).
const LARGE: [f64; 3] = [18.0, 18.0, 12.0];

fn is_card(paper: &Paper) -> bool {
    paper.name.ends_with("-cards")
}

fn written(sheet: &Sheet) -> impl Iterator<Item = &Piece> {
    sheet.pieces.iter().filter(|piece| !piece.text.trim().is_empty())
}

/// All sheets of a pack with the paper they belong to and their number.
fn all(pack: &Pack) -> Vec<(&Paper, usize, &Sheet)> {
    let mut found = Vec::new();
    for paper in &pack.papers {
        found.extend((1..).zip(&paper.sheets).map(|(number, sheet)| (paper, number, sheet)));
    }
    found
}

/// Fails with every fault at once.
fn assert_none(faults: &[String]) {
    assert!(faults.is_empty(), "{} faults\n{}", faults.len(), faults.join("\n"));
}

/// Fails for type too small to read.
fn assert_legible(pack: &Pack, least: [f64; 3]) {
    let [on_sheets, on_cards, in_indices] = least;
    let mut faults = Vec::new();
    for (paper, number, sheet) in all(pack) {
        let least = if is_card(paper) { on_cards } else { on_sheets };
        for piece in written(sheet) {
            let least = if piece.formula { in_indices } else { least };
            if piece.size < least - 0.01 {
                faults.push(format!(
                    "{} page {number}: {:?} is set in {:.1} pt",
                    paper.name, piece.text, piece.size
                ));
            }
        }
    }
    assert_none(&faults);
}

/// Contrast against white after WCAG 2.
fn contrast_with_white(colour: [f64; 3]) -> f64 {
    let part = |c: f64| if c <= 0.040_45 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) };
    let [red, green, blue] = colour.map(part);
    1.05 / (0.2126 * red + 0.7152 * green + 0.0722 * blue + 0.05)
}

/// Fails for text that stands out too little. White letters stand on a dark ground: only signal
/// words do.
fn assert_stands_out(pack: &Pack) {
    let mut faults = Vec::new();
    for (paper, number, sheet) in all(pack) {
        for piece in written(sheet) {
            let contrast = contrast_with_white(piece.colour);
            let reversed = ["DANGER", "NOTICE", "SAFETY INSTRUCTIONS", "ABORT", "STOP", "CLOSED"]
                .contains(&piece.text.trim());
            if contrast < 7.0 && !reversed {
                faults.push(format!("{} page {number}: {:?}: {contrast:.1} to 1", paper.name, piece.text));
            }
        }
    }
    assert_none(&faults);
}

/// The box a piece fills: left, top, right, bottom; the heights of small letters and digits.
fn extent(piece: &Piece) -> [f64; 4] {
    [piece.x, piece.y - 0.62 * piece.size, piece.x + piece.width, piece.y + 0.06 * piece.size]
}

/// Fails for text beyond the edge that a printer can reach.
fn assert_inside(pack: &Pack) {
    let edge = 4.0 * MM;
    let mut faults = Vec::new();
    for (paper, number, sheet) in all(pack) {
        for piece in written(sheet).filter(|piece| piece.level) {
            let [left, top, right, bottom] = extent(piece);
            let inside =
                left >= edge && top >= edge && right <= sheet.width - edge && bottom <= sheet.height - edge;
            if !inside {
                faults.push(format!("{} page {number}: {:?} runs over the edge", paper.name, piece.text));
            }
        }
    }
    assert_none(&faults);
}

/// Fails for formulas wider than the words around them: beyond their edge, or into the gap between two columns.
fn assert_formulas_in_column(pack: &Pack) {
    let mut faults = Vec::new();
    for (paper, number, sheet) in all(pack) {
        let (formulas, words): (Vec<&Piece>, Vec<&Piece>) =
            written(sheet).filter(|piece| piece.level && piece.width > 0.0).partition(|piece| piece.formula);
        let edge = words.iter().map(|piece| extent(piece)[2]).fold(0.0, f64::max);
        let gap = |piece: &&Piece| {
            let [left, _, right, _] = extent(piece);
            left < sheet.width / 2.0 + MM && right > sheet.width / 2.0 - MM
        };
        let body = |piece: &&&Piece| (30.0 * MM..sheet.height - 30.0 * MM).contains(&extent(piece)[1]);
        // The few words of a page that ends early say nothing about its columns.
        let two_columns = words.iter().filter(body).count() > 60 && !words.iter().filter(body).any(gap);
        for piece in formulas {
            if extent(piece)[2] > edge + 0.5 * MM || (two_columns && gap(&piece)) {
                faults.push(format!("{} page {number}: {:?} runs out of its column", paper.name, piece.text));
            }
        }
    }
    assert_none(&faults);
}

/// Fails for text set over other text, formulas of different rows included.
fn assert_apart(pack: &Pack) {
    let mut faults = Vec::new();
    for (paper, number, sheet) in all(pack) {
        let pieces: Vec<&Piece> = written(sheet).filter(|piece| piece.level && piece.width > 0.0).collect();
        for (at, one) in pieces.iter().enumerate() {
            let a = extent(one);
            // Letters of one formula stand where mathematics puts them.
            let apart = |other: &&&Piece| !one.formula || one.equation != other.equation;
            for other in pieces[at + 1..].iter().filter(apart) {
                let b = extent(other);
                let wide = a[2].min(b[2]) - a[0].max(b[0]);
                let high = a[3].min(b[3]) - a[1].max(b[1]);
                let touches = wide > 0.8 && high > 0.12 * one.size.min(other.size);
                if touches {
                    let (x, y) = (a[0] / MM, a[3] / MM);
                    faults.push(format!(
                        "{} page {number}: {:?} and {:?} stand on each other at {x:.0}, {y:.0} mm",
                        paper.name, one.text, other.text
                    ));
                }
            }
        }
    }
    assert_none(&faults);
}

/// Fails for a page with next to nothing on it; pages for notes say so.
fn assert_filled(pack: &Pack) {
    let mut faults = Vec::new();
    for (paper, number, sheet) in all(pack) {
        // The heads of a form that goes on are artifacts there; they stand in the body all the same.
        let large = written(sheet).all(|piece| piece.size >= 17.0 || piece.formula);
        // Two or three millimetres above the first line and within the lower margin.
        let (top, foot) = match (large, is_card(paper)) {
            (true, _) => (29.0 * MM, 50.0 * MM),
            (false, true) if sheet.height < 150.0 * MM => (15.0 * MM, 29.0 * MM),
            (false, true) => (17.5 * MM, 29.0 * MM),
            (false, false) => (19.0 * MM, 21.0 * MM),
        };
        let in_body = |piece: &&Piece| piece.y > top && piece.y < sheet.height - foot;
        let letters: usize = written(sheet).filter(in_body).map(|piece| piece.text.chars().count()).sum();
        let notes = written(sheet).any(|piece| piece.text == "Notes" && piece.artifact);
        // A marshal stops; a driver on the slope aborts; on a closed one, and in a vehicle that stays, nobody drives.
        let word = if paper.name == "marshal-cards" { "STOP" } else { "ABORT" };
        let says = |said: &str| said.contains("NOT DRIVEN") || [word, "CLOSED"].contains(&said.trim());
        let abort = written(sheet).any(|piece| says(&piece.text));
        if is_card(paper) && !abort {
            faults.push(format!("{} page {number} is a card without its abort rule", paper.name));
        }
        if letters < 60 && !notes {
            faults.push(format!("{} page {number} holds {letters} letters", paper.name));
        }
    }
    assert_none(&faults);
}

#[test]
fn type_is_large_enough() {
    for pack in examples() {
        assert_legible(pack, STANDARD);
    }
}

/// What is filled in or read out beside a slope, with gloves and rain.
const OUTSIDE: [&str; 9] = [
    "risk-assessment",
    "safety-briefing",
    "vehicle-check",
    "incident-form",
    "radio-plan",
    "when-it-goes-wrong",
    "comparison",
    "instructor-notes",
    "fleet-table",
];
/// A table of more vehicles than stand beside a slope is for the desk.
const BESIDE_A_SLOPE: usize = 12;

/// Outside nothing is under 11 pt but the small print of sources, at most a fifth of a document's letters.
#[test]
fn what_is_taken_outside_is_eleven_points_or_more() {
    let mut looked_at = 0;
    for (pack, paper) in examples().iter().flat_map(|pack| pack.papers.iter().map(move |paper| (pack, paper)))
    {
        let long = pack.course.vehicles.len() > BESIDE_A_SLOPE;
        if !OUTSIDE.contains(&paper.name)
            || (long && ["instructor-notes", "fleet-table"].contains(&paper.name))
        {
            continue;
        }
        let (mut all, mut small) = (0, 0);
        for piece in paper.sheets.iter().flat_map(written).filter(|piece| !piece.artifact) {
            let letters = piece.text.chars().filter(|letter| !letter.is_whitespace()).count();
            all += letters;
            if piece.size < 10.9 {
                small += letters;
                let of_sources = (piece.size - 9.0).abs() < 0.05;
                assert!(of_sources, "{}: {:?} is set in {:.1} pt", paper.name, piece.text, piece.size);
            }
        }
        looked_at += all;
        // Every case of what goes wrong has its source beside it.
        let most = if paper.name == "when-it-goes-wrong" { 4 } else { 5 };
        assert!(most * small <= all, "{}: {small} of {all} letters in small print", paper.name);
    }
    assert!(looked_at > 20_000, "{looked_at} letters");
}

#[test]
fn large_print_is_large_and_keeps_everything_on_the_page() {
    for pack in large_examples() {
        assert_legible(pack, LARGE);
        assert_stands_out(pack);
        assert_inside(pack);
        assert_apart(pack);
        assert_filled(pack);
    }
}

#[test]
fn pocket_cards_are_a_quarter_of_the_sheet_and_no_smaller_in_type() {
    let longest = printed(stress(), Edition::Pocket);
    for pack in pocket_examples().iter().chain([&longest]) {
        assert_eq!(pack.papers.len(), 2, "slope cards and vehicle cards");
        for (paper, number, sheet) in all(pack) {
            let whole = if pack.course.paper == Sheets::A4 { [210.0, 297.0] } else { [215.9, 279.4] };
            let quarter = [sheet.width * 2.0 / MM, sheet.height * 2.0 / MM];
            let fits = whole.iter().zip(quarter).all(|(whole, twice)| (whole - twice).abs() < 0.1);
            assert!(fits, "{} page {number} is {quarter:?} mm twice over", paper.name);
        }
        assert_legible(pack, STANDARD);
        assert_stands_out(pack);
        assert_inside(pack);
        assert_apart(pack);
        assert_filled(pack);
        assert_named(pack, &["vehicle-cards", "slope-cards"]);
    }
}

#[test]
fn text_stands_out() {
    examples().iter().for_each(assert_stands_out);
}

#[test]
fn nothing_runs_over_the_edge_or_stands_on_something_else() {
    examples().iter().for_each(assert_inside);
    examples().iter().for_each(assert_apart);
    examples().iter().for_each(assert_formulas_in_column);
}

#[test]
fn the_sheets_of_a_rota_stay_on_their_pages_and_apart_too() {
    assert!(with_rota().papers.iter().any(|paper| paper.name == "driver-cards-large"));
    assert_inside(with_rota());
    assert_apart(with_rota());
}

#[test]
fn no_page_is_nearly_empty() {
    examples().iter().for_each(assert_filled);
}

/// Twelve slopes and twenty-four vehicles with the longest names a club might give, in feet and
/// pounds, on the shorter sheet.
fn stress() -> Course {
    let mut course =
        read_text(include_str!("../courses/quarry-day.yaml")).expect("the example has no mistakes");
    course.units = UnitSystem::Imperial;
    course.paper = Sheets::Letter;
    course.title = "Descending and recovery in low range for drivers of club vehicles, second weekend".into();
    course.club = "Ninth Kettle and Upper Tin Heron Four-Wheel Driving Association".into();
    let kinds = [
        "long-wheelbase petrol wagon with winch and steel bumper",
        "short-wheelbase petrol, lifted, on oversize mud tyres",
        "diesel pickup, crew cab, with a fully loaded canopy",
        "light diesel truck with geared hubs",
    ];
    let places =
        ["Upper nursery bank", "Loading ramp behind the weighbridge", "Side step above the settling pond"];
    let slopes: Vec<Slope> = course.slopes.clone();
    let vehicles: Vec<Vehicle> = course.vehicles.clone();
    course.slopes = (0..12)
        .map(|at| {
            let mut slope = slopes[at % slopes.len()].clone();
            slope.id = format!("slope-{at}");
            slope.name =
                format!("{} {}", places[at % places.len()], ["north", "middle", "south", "far end"][at / 3])
                    .into();
            slope
        })
        .collect();
    course.vehicles = (0..24)
        .map(|at| {
            let mut vehicle = vehicles[at % vehicles.len()].clone();
            vehicle.id = format!("vehicle-{at}");
            vehicle.name = format!("{}, number {}", kinds[at % kinds.len()], at + 1).into();
            vehicle
        })
        .collect();
    course.people.iter_mut().for_each(|person| {
        person.vehicle = None;
    });
    course
}

/// Letters and digits of a text, so that breaks between lines do not matter.
fn letters(text: &str) -> String {
    text.chars().filter(|letter| letter.is_alphanumeric()).collect()
}

#[test]
fn the_longest_course_breaks_no_page_and_loses_no_text() {
    let pack = typeset(stress());
    assert_legible(&pack, STANDARD);
    assert_stands_out(&pack);
    assert_inside(&pack);
    assert_apart(&pack);
    assert_filled(&pack);
    assert_named(&pack, &["vehicle-cards", "slope-cards", "fleet-table", "instructor-notes"]);
}

/// Fails unless these documents name every slope and every vehicle, as far as a name is printed in its
/// place; what is cut there stands in full in the index.
fn assert_named(pack: &Pack, documents: &[&str]) {
    for name in documents {
        let paper = pack.papers.iter().find(|paper| paper.name == *name).expect("a document");
        let all: String = paper
            .sheets
            .iter()
            .flat_map(|sheet| {
                sheet.pieces.iter().filter(|piece| !piece.artifact).map(|piece| letters(&piece.text))
            })
            .collect();
        let slopes = pack.course.slopes.iter().map(|slope| slope.name.short());
        let vehicles = pack.course.vehicles.iter().map(|vehicle| vehicle.name.short());
        for wanted in slopes.chain(vehicles) {
            assert!(all.contains(&letters(&wanted)), "{name} does not name {wanted}");
        }
    }
}
