//! Reads pages back: every piece of text with its place, size and colour, and the structure that a
//! screen reader follows.

use std::collections::BTreeMap;

use lopdf::content::Content;
use lopdf::{Dictionary, Document, Object, ObjectId};

/// A piece of text on a page.
#[derive(Clone, Debug)]
pub(crate) struct Piece {
    /// What it says.
    pub text: String,
    /// Left end of its baseline, points from the left edge.
    pub x: f64,
    /// Its baseline, points from the upper edge.
    pub y: f64,
    /// Length along the baseline, points.
    pub width: f64,
    /// Size, points.
    pub size: f64,
    /// Whether it stands upright.
    pub level: bool,
    /// Fill colour: red, green, blue from 0 to 1.
    pub colour: [f64; 3],
    /// Whether a screen reader passes over it.
    pub artifact: bool,
    /// Whether it belongs to a formula.
    pub formula: bool,
    /// Which formula of the document, from 1; 0 when none.
    pub equation: usize,
    /// How its face stands.
    pub slant: Slant,
    /// How a screen reader tells it.
    pub voice: Voice,
}

/// How letters stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Slant {
    /// Upright.
    Upright,
    /// Italic.
    Italic,
}

/// How a screen reader tells a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Voice {
    /// As it stands.
    Plain,
    /// With the word that it is an estimate.
    Estimate,
    /// With the drawing it is part of.
    Drawing,
}

/// A page with its text.
pub(crate) struct Sheet {
    /// Width, points.
    pub width: f64,
    /// Height, points.
    pub height: f64,
    /// Its text, in the order it was written.
    pub pieces: Vec<Piece>,
}

/// How the spoken form of an estimate ends.
pub(crate) const ESTIMATED: &str = ", estimated";
/// In place of the number of a formula.
const AN_ESTIMATE: usize = usize::MAX;
/// In place of the number of a formula: part of a drawing, which is told as a whole.
const DRAWN: usize = usize::MAX - 1;

/// A transformation: a b c d e f.
type Matrix = [f64; 6];

fn times(m: Matrix, n: Matrix) -> Matrix {
    [
        m[0] * n[0] + m[1] * n[2],
        m[0] * n[1] + m[1] * n[3],
        m[2] * n[0] + m[3] * n[2],
        m[2] * n[1] + m[3] * n[3],
        m[4] * n[0] + m[5] * n[2] + n[4],
        m[4] * n[1] + m[5] * n[3] + n[5],
    ]
}

fn number(object: &Object) -> f64 {
    match object {
        Object::Integer(whole) => *whole as f64,
        Object::Real(real) => f64::from(*real),
        _ => panic!("not a number: {object:?}"),
    }
}

fn numbers<const N: usize>(operands: &[Object]) -> [f64; N] {
    std::array::from_fn(|at| number(&operands[at]))
}

/// A face: widths of its glyphs in thousandths of the size, and what they say.
struct Face {
    slant: Slant,
    widths: BTreeMap<u16, f64>,
    letters: BTreeMap<u16, String>,
}

fn entry<'a>(document: &'a Document, dictionary: &'a Dictionary, key: &[u8]) -> &'a Object {
    let object = dictionary.get(key).unwrap_or_else(|_| panic!("no {}", String::from_utf8_lossy(key)));
    document.dereference(object).expect("a reference leads somewhere").1
}

fn face(document: &Document, font: &Dictionary) -> Face {
    let below = entry(document, font, b"DescendantFonts").as_array().expect("a list");
    let below = document.dereference(&below[0]).expect("a font").1.as_dict().expect("a dictionary");
    let list = entry(document, below, b"W").as_array().expect("a list");
    let mut widths = BTreeMap::new();
    let mut at = 0;
    while at + 1 < list.len() {
        let first = number(&list[at]) as u16;
        if let Ok(several) = document.dereference(&list[at + 1]).expect("a list or number").1.as_array() {
            for (more, width) in (0u16..).zip(several) {
                widths.insert(first + more, number(width));
            }
            at += 2;
        } else {
            for glyph in first..=number(&list[at + 1]) as u16 {
                widths.insert(glyph, number(&list[at + 2]));
            }
            at += 3;
        }
    }
    let map = entry(document, font, b"ToUnicode").as_stream().expect("a stream");
    let map = map.decompressed_content().unwrap_or_else(|_| map.content.clone());
    let name = entry(document, below, b"BaseFont").as_name().expect("a name");
    let slant = if String::from_utf8_lossy(name).contains("Italic") { Slant::Italic } else { Slant::Upright };
    Face { slant, widths, letters: letters(&String::from_utf8_lossy(&map)) }
}

/// The table from glyphs to letters in a face's own map: lines `<0001> <0041>` and ranges.
fn letters(map: &str) -> BTreeMap<u16, String> {
    let hex = |word: &str| -> Option<Vec<u16>> {
        let digits = word.strip_prefix('<')?.strip_suffix('>')?;
        (0..digits.len() / 4).map(|at| u16::from_str_radix(&digits[4 * at..4 * at + 4], 16).ok()).collect()
    };
    let mut found = BTreeMap::new();
    let mut inside = "";
    for line in map.lines() {
        let words: Vec<&str> = line.split_whitespace().collect();
        match words.last() {
            Some(&"beginbfchar") => inside = "char",
            Some(&"beginbfrange") => inside = "range",
            Some(&("endbfchar" | "endbfrange")) => inside = "",
            _ => {}
        }
        let codes: Vec<Vec<u16>> = words.iter().filter_map(|word| hex(word)).collect();
        match (inside, codes.as_slice()) {
            ("char", [glyph, text]) if glyph.len() == 1 => {
                found.insert(glyph[0], String::from_utf16_lossy(text));
            }
            ("range", [from, to, text]) => {
                for (more, glyph) in (from[0]..=to[0]).enumerate() {
                    found.insert(glyph, String::from_utf16_lossy(&[text[0] + more as u16]));
                }
            }
            _ => {}
        }
    }
    found
}

/// What the text state holds.
#[derive(Clone)]
struct Ink {
    place: Matrix,
    colour: [f64; 3],
    font: Vec<u8>,
    size: f64,
}

/// All pages of a document with their text.
pub(crate) fn sheets(document: &Document) -> Vec<Sheet> {
    let kinds = kinds(document);
    document.get_pages().into_values().map(|page| sheet(document, page, &kinds)).collect()
}

fn sheet(document: &Document, page: ObjectId, kinds: &BTreeMap<(ObjectId, i64), usize>) -> Sheet {
    let dictionary = document.get_dictionary(page).expect("a page");
    let [_, _, width, height] = numbers(entry(document, dictionary, b"MediaBox").as_array().expect("a box"));
    let resources = entry(document, dictionary, b"Resources").as_dict().expect("resources");
    let fonts: BTreeMap<Vec<u8>, Face> = resources
        .get(b"Font")
        .ok()
        .map(|fonts| document.dereference(fonts).expect("fonts").1.as_dict().expect("fonts"))
        .into_iter()
        .flat_map(Dictionary::iter)
        .map(|(name, font)| {
            let font = document.dereference(font).expect("a font").1.as_dict().expect("a font");
            (name.clone(), face(document, font))
        })
        .collect();
    let content = Content::decode(&document.get_page_content(page)).expect("operations");
    let start = Ink { place: [1.0, 0.0, 0.0, 1.0, 0.0, 0.0], colour: [0.0; 3], font: Vec::new(), size: 0.0 };
    let (mut ink, mut kept, mut line) = (start.clone(), Vec::new(), start.place);
    let mut marks: Vec<(bool, Option<i64>)> = Vec::new();
    let mut pieces = Vec::new();
    for operation in &content.operations {
        let given = &operation.operands;
        match operation.operator.as_str() {
            "q" => kept.push(ink.clone()),
            "Q" => ink = kept.pop().expect("a saved state"),
            "cm" => ink.place = times(numbers(given), ink.place),
            "scn" | "sc" | "rg" if given.len() == 3 && given[0].as_name().is_err() => {
                ink.colour = numbers(given);
            }
            "scn" | "sc" | "g" if given.len() == 1 && given[0].as_name().is_err() => {
                ink.colour = [number(&given[0]); 3];
            }
            "Tf" => (ink.font, ink.size) = (given[0].as_name().expect("a name").to_vec(), number(&given[1])),
            "Tm" => line = numbers(given),
            "BDC" | "BMC" => {
                let mark = given.get(1).and_then(|about| about.as_dict().ok());
                let id = mark.and_then(|about| about.get(b"MCID").ok()).and_then(|id| id.as_i64().ok());
                marks.push((given[0].as_name().expect("a name") == b"Artifact", id));
            }
            "EMC" => drop(marks.pop()),
            "TJ" | "Tj" => {
                let parts =
                    if operation.operator == "TJ" { given[0].as_array().expect("a list") } else { given };
                let inside = marks.iter().rev().find_map(|(_, id)| *id).and_then(|id| kinds.get(&(page, id)));
                let face = &fonts[&ink.font];
                let whole = times(line, ink.place);
                let scale = (whole[2].powi(2) + whole[3].powi(2)).sqrt();
                let (mut text, mut long) = (String::new(), 0.0);
                for part in parts {
                    match part {
                        Object::String(bytes, _) => {
                            for glyph in bytes.chunks_exact(2).map(|two| u16::from_be_bytes([two[0], two[1]]))
                            {
                                text.push_str(face.letters.get(&glyph).map_or("", String::as_str));
                                long += face.widths.get(&glyph).copied().unwrap_or(0.0);
                            }
                        }
                        space => long -= number(space),
                    }
                }
                pieces.push(Piece {
                    text,
                    x: whole[4],
                    y: height - whole[5],
                    width: long / 1000.0 * ink.size * scale,
                    size: ink.size * scale,
                    level: whole[1].abs() < 1e-6,
                    colour: ink.colour,
                    artifact: marks.iter().any(|(artifact, _)| *artifact),
                    formula: inside.is_some_and(|equation| *equation > 0 && *equation < DRAWN),
                    equation: inside.copied().filter(|equation| *equation < DRAWN).unwrap_or(0),
                    slant: face.slant,
                    voice: match inside {
                        Some(&AN_ESTIMATE) => Voice::Estimate,
                        Some(&DRAWN) => Voice::Drawing,
                        _ => Voice::Plain,
                    },
                });
            }
            _ => {}
        }
    }
    Sheet { width, height, pieces }
}

/// An element of the structure that a screen reader follows.
#[derive(Clone, Debug)]
pub(crate) struct Element {
    /// Its kind: `H1`, `Table`, `TH`, `Figure`.
    pub kind: String,
    /// Its spoken text.
    pub alt: Option<String>,
    /// Kinds of the elements around it, outermost first.
    pub around: Vec<String>,
}

/// All elements of a document's structure, in reading order.
pub(crate) fn structure(document: &Document) -> Vec<Element> {
    let mut found = Vec::new();
    walk(document, &mut |element, _| found.push(element.clone()));
    found
}

/// Marked content by page, and the formula it lies in, from 1; 0 outside of formulas.
fn kinds(document: &Document) -> BTreeMap<(ObjectId, i64), usize> {
    let mut found = BTreeMap::new();
    let mut equations = 0;
    let mut inside: Option<usize> = None;
    walk(document, &mut |element, content| {
        // An estimate is text that says aloud what its slant says; no letters of mathematics are in it.
        let depth = element.around.len();
        let begins = element.alt.as_ref().is_some_and(|alt| alt.ends_with(ESTIMATED));
        inside = if begins { Some(depth) } else { inside.filter(|outer| depth > *outer) };
        let estimate = inside.is_some();
        let within = |kind: &str| {
            !estimate && (element.kind == kind || element.around.iter().any(|around| around == kind))
        };
        // Elements come in reading order, so what is inside a formula is inside the one met last.
        equations += usize::from(element.kind == "Formula" && !estimate);
        for place in content {
            let mark = match (estimate, within("Formula")) {
                (true, _) => AN_ESTIMATE,
                (false, true) => equations,
                (false, false) if within("Figure") => DRAWN,
                (false, false) => 0,
            };
            found.insert(*place, mark);
        }
    });
    found
}

fn walk(document: &Document, see: &mut dyn FnMut(&Element, &[(ObjectId, i64)])) {
    let catalog = document.catalog().expect("a catalog");
    let root = entry(document, catalog, b"StructTreeRoot").as_dict().expect("a structure");
    for child in children(document, root) {
        descend(document, child, &[], None, see);
    }
}

fn children<'a>(document: &'a Document, element: &'a Dictionary) -> Vec<&'a Object> {
    let Ok(kids) = element.get(b"K") else { return Vec::new() };
    let kids = document.dereference(kids).expect("kids").1;
    match kids.as_array() {
        Ok(several) => several.iter().map(|kid| document.dereference(kid).expect("a kid").1).collect(),
        Err(_) => vec![kids],
    }
}

fn descend(
    document: &Document,
    object: &Object,
    around: &[String],
    page: Option<ObjectId>,
    see: &mut dyn FnMut(&Element, &[(ObjectId, i64)]),
) {
    let Ok(dictionary) = object.as_dict() else { return };
    let Ok(kind) = dictionary.get(b"S").and_then(Object::as_name) else { return };
    let page = dictionary.get(b"Pg").and_then(Object::as_reference).ok().or(page);
    let kids = children(document, dictionary);
    let content: Vec<(ObjectId, i64)> = kids
        .iter()
        .filter_map(|kid| match kid {
            Object::Integer(id) => Some((page?, *id)),
            Object::Dictionary(mark) => {
                let on = mark.get(b"Pg").and_then(Object::as_reference).ok().or(page)?;
                Some((on, mark.get(b"MCID").ok()?.as_i64().ok()?))
            }
            _ => None,
        })
        .collect();
    let element = Element {
        kind: String::from_utf8_lossy(kind).into_owned(),
        alt: dictionary.get(b"Alt").ok().and_then(|alt| lopdf::decode_text_string(alt).ok()),
        around: around.to_vec(),
    };
    see(&element, &content);
    let inner: Vec<String> = around.iter().cloned().chain([element.kind]).collect();
    for kid in kids {
        descend(document, kid, &inner, page, see);
    }
}
