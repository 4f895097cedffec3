//! The pieces a club's page is built from: those of the shared style, and the few of the typesetter that stay within
//! the page. Whatever is not here is refused, so nothing can lie over the caution or lead out of the page.

/// A piece by its name, with the options it may be given.
type Piece = (&'static str, &'static [&'static str]);

/// Every piece.
pub const PIECES: &[Piece] = &[
    ("align", &[]),
    ("block", &["above", "below", "sticky", "width"]),
    ("box", &["width"]),
    ("data-table", &["size", "inset-y"]),
    ("emph", &[]),
    ("enum", &[]),
    ("fact-list", &["size", "key-width"]),
    ("fields", &["columns"]),
    ("fig", &["u", "e"]),
    ("fill-in", &["width", "height", "size"]),
    ("form-table", &["blank", "row", "size", "over", "long"]),
    ("grid", &["columns", "column-gutter", "row-gutter", "gutter", "align"]),
    ("h", &[]),
    ("image", &["alt", "width", "height"]),
    ("keep", &[]),
    ("linebreak", &[]),
    ("list", &[]),
    ("pagebreak", &["weak"]),
    ("panel", &["size"]),
    ("pause", &[]),
    ("pt", &[]),
    ("rule-lines", &[]),
    ("say", &[]),
    ("show-fig", &[]),
    ("sign-off", &["size"]),
    ("small", &[]),
    ("source-note", &[]),
    ("squares", &[]),
    ("strong", &[]),
    ("text", &["size", "weight", "style", "font"]),
    ("tick-box", &["size"]),
    ("tick-row", &[]),
    ("v", &["weak"]),
];

/// Names that stand for a value.
pub const NAMES: &[&str] = &["left", "right", "center", "top", "bottom", "horizon", "sans", "serif"];

/// The options of a piece; none where there is no such piece.
pub fn options_of(name: &str) -> Option<&'static [&'static str]> {
    PIECES.iter().find(|(known, _)| *known == name).map(|(_, options)| *options)
}

/// Why what is often tried is not there, and what would be right.
pub fn instead_of(name: &str) -> Option<&'static str> {
    Some(match name {
        "read" | "csv" | "json" | "yaml" | "toml" | "xml" | "cbor" => {
            "a page reads no file: what it may say of the day is in what it is given"
        }
        "eval" | "plugin" => "a page runs no program",
        "place" | "move" | "rotate" | "scale" | "hide" | "rect" | "circle" | "polygon" | "curve" | "line" => {
            "nothing may lie over the foot of the page with its caution; frame words with `#panel(\"notice\")[…]`"
        }
        "table" => "take `form-table` or `data-table`, which have heads that are read aloud",
        "page" | "opening" | "pack-page" | "slope-mark" => {
            "head, caution and foot are put on every page by the program; take the line away"
        }
        _ => return None,
    })
}
