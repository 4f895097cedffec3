//! A member's own vehicle: a row of the roster as a vehicle of the course.

use std::ops::Range;

use super::Row;
use crate::course::cursor::{Field, Log, Read};
use crate::course::read::fill::in_order;
use crate::course::read::vehicle;
use crate::course::tree::{Entry, Node, Value};
use crate::course::{Fuel, LOW_UNTOLD, Vehicle, fuel_said};
use crate::spreadsheet::plain;

/// The class of vehicle people mean.
fn class_meant(written: &str) -> String {
    let word = plain(written);
    match word.as_str() {
        "suv" | "4x4" | "4wd" | "off-roader" | "estate" | "station-wagon" | "wagon-lwb" | "lwb" => "wagon",
        "pick-up" | "ute" | "double-cab" | "single-cab" | "crew-cab" => "pickup",
        "swb" | "short" | "short-wheel-base" => "short-wheelbase",
        "camper" | "campervan" | "minibus" | "panel-van" => "van",
        "lorry" => "truck",
        known => known,
    }
    .to_owned()
}

/// Whether a word names a class of vehicle, as people say it.
pub(super) fn class_known(word: &str) -> bool {
    let meant = class_meant(word);
    ["wagon", "pickup", "van", "truck", "short-wheelbase"].contains(&meant.as_str())
}

/// The member's own vehicle: what they know, the rest from its class. The row is written as a
/// vehicle of the course, each value at the place of its cell, and read as one.
pub(super) fn own_vehicle(row: &Row, id: &str, log: &Log) -> Read<Vehicle> {
    let place = row.place_of("vehicle");
    let class_word = row.text("class").unwrap_or_else(|| "wagon".to_owned());
    let described = row.text("vehicle").unwrap_or_else(|| class_word.clone());
    let says = |word: &str| described.to_lowercase().contains(word);
    let diesel = fuel_said(&row.text("fuel").unwrap_or_else(|| described.clone())) == Some(Fuel::Diesel);
    let mut guessed = Vec::new();
    let cell = |column: &'static str| {
        let cell = row.cell(column)?;
        let told = match column {
            "class" => class_meant(&cell.text),
            "transfer-low" if means(&cell.text, &HAS_ONE) => "yes".to_owned(),
            // What nobody knows is left out.
            "transfer-low" | "gearbox" if means(&cell.text, &UNKNOWN) => return None,
            "drive" if means(&cell.text, &UNKNOWN) => "unknown".to_owned(),
            // Which of the two holds less is reckoned with.
            "gearbox" if means(&cell.text, &["automatic", "auto"]) => "automatic-unlocked".to_owned(),
            _ => decimal(&cell.text),
        };
        Some(text(&told, &cell.span))
    };
    // What the description says counts; that it was not told in its own cell is written down.
    let mut described_as = |column: &'static str, otherwise: &str| {
        cell(column).unwrap_or_else(|| {
            guessed.push(column);
            text(otherwise, &place)
        })
    };
    let map = |entries: Vec<(&'static str, Option<Node>)>| map_of(entries, &place);
    let engine = vec![
        ("fuel", Some(described_as("fuel", if diesel { "diesel" } else { "petrol" }))),
        ("displacement", cell("displacement")),
        ("idle", cell("idle")),
    ];
    let kind = if says("automatic") { "automatic-unlocked" } else { "manual" };
    let gearbox = vec![("kind", Some(described_as("gearbox", kind))), ("ratios", cell("ratios").map(split))];
    let no_low = row.text("transfer-low").is_some_and(|low| means(&low, &HAS_NONE));
    let (high, low) = (cell("transfer-high"), cell("transfer-low"));
    let low_untold = high.is_some() && low.is_none();
    let low_told = low.is_some() && !no_low;
    let transfer = match (high, low, no_low) {
        (high, _, true) => Some(high.unwrap_or_else(|| described_as("transfer-high", "1.0"))),
        (None, None, false) => None,
        (high, low, false) => Some(map(vec![("high", high), ("low", low)])),
    };
    let drums = || map(vec![("kind", Some(text("drum", &place)))]);
    let brakes = says("drum brakes").then(|| map(vec![("front", Some(drums())), ("rear", Some(drums()))]));
    let undescribed = brakes.is_none();
    let entries = vec![
        ("id", Some(text(&format!("own-{id}"), &place))),
        ("name", Some(text(&described, &place))),
        ("class", Some(described_as("class", "wagon"))),
        ("mass", cell("mass")),
        ("wheelbase", cell("wheelbase")),
        ("tyres", cell("tyres")),
        ("engine", Some(map(engine))),
        ("gearbox", Some(map(gearbox))),
        ("transfer", transfer),
        ("axle", cell("axle")),
        // Nobody told: with a low range it is all wheels, without one it is not counted on.
        ("drive", Some(described_as("drive", if low_told { "all wheels" } else { "unknown" }))),
        ("brakes", brakes),
    ];
    let node = map(entries);
    let field = Field { name: "the vehicle", of: ("vehicle", "the roster"), place, node: &node, log };
    let mut vehicle: Vehicle = vehicle::vehicle(&field)?;
    guessed.extend(undescribed.then_some("brakes"));
    guessed.extend(low_untold.then_some(LOW_UNTOLD));
    guessed.append(&mut vehicle.guessed);
    vehicle.guessed = in_order(guessed);
    Ok(vehicle)
}

/// What people write of a low range that is there, its ratio unknown to them; and of one that is not.
const HAS_ONE: [&str; 5] = ["yes", "y", "x", "fitted", "✓"];
const HAS_NONE: [&str; 4] = ["none", "no", "n", ""];

const UNKNOWN: [&str; 7] = ["?", "don't-know", "don’t-know", "dont-know", "unknown", "not-sure", "not-known"];

fn means(written: &str, words: &[&str]) -> bool {
    words.contains(&plain(written).as_str())
}

/// A single decimal comma between digits as a point: half the world's spreadsheets write it. Three
/// digits behind it may be thousands, and are left for the reader to ask about.
fn decimal(cell: &str) -> String {
    let Some((before, after)) = cell.split_once(',') else { return cell.to_owned() };
    let digits = after.bytes().take_while(u8::is_ascii_digit).count();
    let one = !after.contains(',') && before.ends_with(|c: char| c.is_ascii_digit());
    if one && (1..=2).contains(&digits) && !before.contains(' ') {
        format!("{before}.{after}")
    } else {
        cell.to_owned()
    }
}

fn text(text: &str, span: &Range<usize>) -> Node {
    Node { span: span.clone(), value: Value::Text(text.to_owned()) }
}

fn map_of(entries: Vec<(&str, Option<Node>)>, place: &Range<usize>) -> Node {
    let entries = entries
        .into_iter()
        .filter_map(|(key, value)| Some((key, value?)))
        .map(|(key, value)| Entry { key: key.to_owned(), key_span: value.span.clone(), value })
        .collect();
    Node { span: place.clone(), value: Value::Map(entries) }
}

/// Ratios in one cell: `4.1 2.3 1.45 1`, however they are separated.
fn split(cell: Node) -> Node {
    let Value::Text(words) = &cell.value else { return cell };
    let commas = words.matches(',').count();
    // A comma between digits is a decimal comma when something else separates the ratios.
    let decimal = commas > 0 && words.contains([';', '/', ' ']) && !words.contains(", ");
    let words = if decimal { words.replace(',', ".") } else { words.replace(',', " ") };
    let items = words.split([' ', ';', '/', '\n']).filter(|word| !word.is_empty());
    let items = items.map(|word| text(word, &cell.span)).collect();
    Node { span: cell.span, value: Value::List(items) }
}
