//! Which characters the printed faces have.
//!
//! The accessible export refuses a page with a character that no face can show, so text from a
//! course is asked here first. The measure is the main face in all four of its styles, and a few
//! marks that the typesetter's own faces are known to add.

use std::sync::OnceLock;

use skrifa::{FontRef, MetadataProvider};

/// Marks that people type and that the typesetter's own faces show: arrows, boxes, ticks, signs.
pub const ADDED_MARKS: &str = "←↑→↓↔↕⇐⇒⇔∠∥⊥≙√∞∝∴∈∅□■▪▫▲△▼▽◆◇○●☐☑☒✓✔✗✘★☆♠♣♥♦⚠";

/// Whether the printed faces have this character, upright and slanted, light and bold.
pub fn covered(character: char) -> bool {
    static CHARACTERS: OnceLock<Vec<u32>> = OnceLock::new();
    let known = CHARACTERS.get_or_init(in_every_face);
    known.binary_search(&u32::from(character)).is_ok() || ADDED_MARKS.contains(character)
}

/// The characters that all four faces hold, in order.
fn in_every_face() -> Vec<u32> {
    let faces = super::fonts::FACES
        .map(|(_, bytes)| FontRef::new(bytes).expect("the faces carried in the program are sound"));
    let mut known: Vec<u32> = faces[0]
        .charmap()
        .mappings()
        .map(|(character, _)| character)
        .filter(|&character| faces[1..].iter().all(|face| face.charmap().map(character).is_some()))
        .collect();
    known.sort_unstable();
    known.dedup();
    known
}
