//! The faces carried in the program: Noto Sans in four styles, under the SIL Open Font License 1.1.

use skrifa::raw::types::Tag;
use skrifa::{FontRef, raw::TableProvider as _};

/// File name and content of each face.
pub const FACES: [(&str, &[u8]); 4] = [
    ("NotoSans-Regular.ttf", notosans::REGULAR_TTF),
    ("NotoSans-Bold.ttf", notosans::BOLD_TTF),
    ("NotoSans-Italic.ttf", notosans::ITALIC_TTF),
    ("NotoSans-BoldItalic.ttf", notosans::BOLD_ITALIC_TTF),
];

/// Place of the offset of the glyph classes in the glyph definition table (GDEF) of OpenType.
const CLASSES: std::ops::Range<usize> = 4..6;

/// The faces as they are given to the typesetter.
///
/// The faces' own list of accents counts signs that stand for themselves, such as the backtick
/// and the turned comma of some names, as accents, and so they would be set without width over
/// the next letter. Without the list the typesetter goes by Unicode, which knows them apart.
pub(super) fn mended() -> [(&'static str, Vec<u8>); 4] {
    FACES.map(|(name, bytes)| {
        let font = FontRef::new(bytes).expect("the faces carried in the program are sound");
        let records = font.table_directory().table_records();
        let definitions = records.iter().find(|record| record.tag() == Tag::new(b"GDEF"));
        let mut bytes = bytes.to_vec();
        if let Some(record) = definitions.filter(|_| font.gdef().is_ok()) {
            let start = record.offset() as usize;
            bytes[start + CLASSES.start..start + CLASSES.end].fill(0);
        }
        (name, bytes)
    })
}
