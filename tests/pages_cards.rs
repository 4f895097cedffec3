//! A card measures its rows as grids of plain text, and sets them as a table: both are of one height.

use slopepack::engine::{circumference_of, overall_ratio_of};
use slopepack::print::{Edition, Templates, Typesetter, Workshop};

use crate::pages::{Pack, examples};

/// Rows of every sort, each by itself and all together, at every size, tables and plain grids.
const PAGE: &str = r#"
#import "style.typ": *
#import "style/card.typ": card-sizes, card-table
#set document(title: "Cards")
#set page(width: 148mm, height: 210mm)
#set text(font: "Noto Sans", size: 11pt, hyphenate: false)
#set par(spacing: 0.6em)
#look.update((accent: ink, floor: pt(11), card: true, margin: false))
#let rows = (
  ("S1", "Side step above the settling pond south  22°", "L1", (v: "1.3–2.8", u: "", e: true)),
  ("S2", "Upper bank", "H1 + brake", (v: "12.5–13.5", u: "km/h", e: false)),
  ("S10", "Loading ramp behind the weighbridge: near the limit, foot over the brake", none, "engine cannot hold it"),
  ("09:40", "S1  The lawn", "–", "watch"),
)
#context {
  for width in (60mm, 80mm, 128mm, 180mm) {
    for heads in (("Vehicle, list 1 of 2", "Gear", "foot, km/h"), ("Your day, lunch 12:30", "", "who comes")) {
      for level in range(card-sizes.len()) {
        for part in rows.map(row => (row,)) + (rows,) {
          let tall(plain) = measure(block(width: width, card-table(heads, (auto, 1fr, auto, auto), part, level: level, plain: plain))).height
          assert(calc.abs(tall(true).pt() - tall(false).pt()) < 0.001, message: repr((width, heads, level, part, tall(true), tall(false))))
        }
      }
      // Largest first, in every respect: what does not fit at one size fits at no larger one.
      let falls(at) = range(card-sizes.len() - 1).all(i => card-sizes.at(i).at(at) >= card-sizes.at(i + 1).at(at))
      assert(range(3).all(falls))
    }
  }
}
= Cards
"#;

#[test]
fn cards_are_measured_as_they_are_set() {
    let embedded = Templates::embedded().expect("they parse");
    let shared = embedded.shared().map(|(name, text)| (name.to_owned(), text.to_owned()));
    let page = ("page.typ.j2".to_owned(), format!("{{% raw %}}{PAGE}{{% endraw %}}"));
    let templates = Templates::of(shared.chain([page])).expect("they parse");
    let folder = tempfile::tempdir().expect("a folder");
    let workshop = Workshop::inside(folder.path(), "work-", &templates).expect("a work folder");
    let typesetter = Typesetter::find(None).expect("the typesetter");
    let page = templates.render("page.typ.j2", &serde_json::json!({})).expect("it renders");
    for edition in [Edition::Standard, Edition::LargePrint, Edition::Pocket] {
        let set = typesetter.pdf(&workshop, &page.clone().in_edition(edition), 0);
        set.unwrap_or_else(|fault| panic!("{edition:?}: {fault}"));
    }
}

/// What a vehicle card tells of its rev counter, one line a vehicle; none for one that drives nowhere.
fn revs_of_cards(pack: &Pack) -> Vec<Option<String>> {
    let cards = pack.papers.iter().find(|paper| paper.name == "vehicle-cards").expect("has cards");
    let told = |card: &str| {
        if card.contains("#stays-card(") {
            return Some(None);
        }
        let rows = ["([Own limit]", "([Revs]"].into_iter().filter_map(|row| {
            let (_, behind) = card.split_once(row)?;
            behind.lines().next()
        });
        let rows: Vec<&str> = rows.collect();
        (!rows.is_empty()).then(|| Some(rows.join(" ")))
    };
    cards.source.split("#card-break").filter_map(told).collect()
}

/// Each 'L1 2700 rpm' of a text, with what stands behind it.
fn rev_counters(text: &str) -> Vec<(String, f64, &str)> {
    let told = |(at, _): (usize, &str)| {
        let mut before = text[..at].rsplit([' ', '*', '"']).filter(|word| !word.is_empty());
        let (turns, gear) = (before.next()?.parse().ok()?, before.next()?);
        Some((gear.to_owned(), turns, &text[at + " rpm".len()..]))
    };
    text.match_indices(" rpm").filter_map(told).collect()
}

#[test]
fn revs_gear_tyre_and_speed_on_every_card_agree() {
    let mut own = 0;
    for pack in examples() {
        let lines = revs_of_cards(pack);
        assert_eq!(lines.len(), pack.course.vehicles.len());
        let limit = pack.course.limits.descent_speed.si();
        let driven = pack.course.vehicles.iter().zip(&lines);
        for (vehicle, line) in driven.filter_map(|(vehicle, line)| Some((vehicle, line.as_ref()?))) {
            for (name, turns, behind) in rev_counters(line) {
                let gear = vehicle.gears().into_iter().find(|gear| gear.to_string() == name);
                let ratio = overall_ratio_of(vehicle, gear.expect("a gear it has"));
                let speed = turns / 60.0 * circumference_of(vehicle) / ratio;
                let told = behind.strip_prefix(" is ").filter(|told| told.starts_with(char::is_numeric));
                let Some(told) = told else {
                    // At the course's limit, to the fifty below.
                    let fifty = 50.0 / turns * speed;
                    assert!((0.0..=fifty + 1e-9).contains(&(limit - speed)), "{line}");
                    continue;
                };
                own += 1;
                let mut words = told.split([' ', ',', '*', ';']);
                let number: f64 = words.next().expect("a number").parse().expect("a number");
                let unit = if words.next() == Some("mph") { 0.447_04 } else { 1.0 / 3.6 };
                assert!((number * unit - speed).abs() <= 0.051 * unit, "{line}");
                assert!(speed < limit && turns <= 60.0 * vehicle.engine.highest.si(), "{line}");
            }
        }
    }
    assert!(own >= 1, "the engine of one vehicle shipped reaches its most before the limit");
}
