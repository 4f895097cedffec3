//! The faces carried in the program: Noto Sans in four styles, under the SIL Open Font License 1.1.

/// File name and content of each face.
pub const FACES: [(&str, &[u8]); 4] = [
    ("NotoSans-Regular.ttf", notosans::REGULAR_TTF),
    ("NotoSans-Bold.ttf", notosans::BOLD_TTF),
    ("NotoSans-Italic.ttf", notosans::ITALIC_TTF),
    ("NotoSans-BoldItalic.ttf", notosans::BOLD_ITALIC_TTF),
];
