//! A member's own vehicle: a row of the roster as a vehicle of the course.

use std::ops::Range;

use super::Row;
use crate::course::cursor::{Field, Log, Read};
use crate::course::read::vehicle;
use crate::course::roster::usual;
use crate::course::tree::{Entry, Node, Value};
use crate::course::{Fuel, Vehicle, VehicleClass};
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

/// The member's own vehicle: what they know, the rest from its class. The row is written as a
/// vehicle of the course, each value at the place of its cell, and read as one.
pub(super) fn own_vehicle(row: &Row, id: &str, log: &Log) -> Read<Vehicle> {
    let place = row.place_of("vehicle");
    let class_word = row.text("class").unwrap_or_else(|| "wagon".to_owned());
    let class = match class_meant(&class_word).as_str() {
        "short-wheelbase" => VehicleClass::ShortWheelbase,
        "pickup" => VehicleClass::Pickup,
        "van" => VehicleClass::Van,
        "truck" => VehicleClass::Truck,
        _ => VehicleClass::Wagon,
    };
    let described = row.text("vehicle").unwrap_or_else(|| class_word.clone());
    let says = |word: &str| described.to_lowercase().contains(word);
    let diesel = row.text("fuel").map_or_else(|| says("diesel"), |fuel| plain(&fuel) == "diesel");
    let usual = usual(class, if diesel { Fuel::Diesel } else { Fuel::Petrol });
    let mut guessed = Vec::new();
    let mut leaf = |column: &'static str, otherwise: &str| {
        if let Some(cell) = row.cell(column) {
            if column == "class" {
                return text(&class_meant(&cell.text), &cell.span);
            }
            return text(&decimal(&cell.text), &cell.span);
        }
        guessed.push(column);
        text(otherwise, &place)
    };
    let map = |entries: Vec<(&str, Node)>| map_of(entries, &place);
    let engine = map(vec![
        ("fuel", leaf("fuel", if diesel { "diesel" } else { "petrol" })),
        ("displacement", leaf("displacement", usual.displacement)),
        ("idle", leaf("idle", usual.idle)),
    ]);
    let kind = if says("automatic") { "automatic-unlocked" } else { "manual" };
    let ratios = split(leaf("ratios", usual.ratios));
    let gearbox = map(vec![("kind", leaf("gearbox", kind)), ("ratios", ratios)]);
    let high = leaf("transfer-high", usual.high);
    let no_low =
        row.text("transfer-low").is_some_and(|low| ["none", "no", "-"].contains(&plain(&low).as_str()));
    let transfer =
        if no_low { high } else { map(vec![("high", high), ("low", leaf("transfer-low", usual.low))]) };
    let mut entries = vec![
        ("id", text(&format!("own-{id}"), &place)),
        ("name", text(&described, &place)),
        ("class", leaf("class", "wagon")),
        ("mass", leaf("mass", usual.mass)),
        ("wheelbase", leaf("wheelbase", usual.wheelbase)),
        ("tyres", leaf("tyres", usual.tyres)),
        ("engine", engine),
        ("gearbox", gearbox),
        ("transfer", transfer),
        ("axle", leaf("axle", usual.axle)),
        ("drive", leaf("drive", "all wheels")),
    ];
    // As for the fuel: what the description says counts, the rest is the class's.
    if says("drum brakes") {
        let drum = || map(vec![("kind", text("drum", &place))]);
        entries.push(("brakes", map(vec![("front", drum()), ("rear", drum())])));
    } else {
        guessed.push("brakes");
    }
    let node = map(entries);
    let field = Field { name: "the vehicle", of: ("vehicle", "the roster"), place, node: &node, log };
    let mut vehicle: Vehicle = vehicle::vehicle(&field)?;
    vehicle.guessed = guessed;
    if vehicle.is_guessed("tyres") {
        vehicle.tyre.diameter.estimated = true;
    }
    Ok(vehicle)
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

fn map_of(entries: Vec<(&str, Node)>, place: &Range<usize>) -> Node {
    let entries = entries
        .into_iter()
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
