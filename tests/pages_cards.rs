//! A card measures its rows as grids of plain text, and sets them as a table: both are of one height.

use slopepack::print::{Edition, Templates, Typesetter, Workshop};

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
