//! Every document of every example course can be read by a screen reader (ISO 14289-1, PDF/UA-1,
//! as the typesetter enforces it; what follows is read back independently from the files).

use lopdf::{Document, Object};

use crate::pages::examples;
use crate::pages_read::{Element, Slant, Voice, structure};

fn catalog_text(document: &Document, key: &[u8]) -> String {
    let value = document.catalog().expect("a catalog").get(key).expect("an entry");
    lopdf::decode_text_string(document.dereference(value).expect("a value").1).expect("text")
}

fn metadata(document: &Document) -> String {
    let stream = document.catalog().expect("a catalog").get(b"Metadata").expect("metadata");
    let stream = document.dereference(stream).expect("metadata").1.as_stream().expect("a stream");
    let bytes = stream.decompressed_content().unwrap_or_else(|_| stream.content.clone());
    String::from_utf8(bytes).expect("XML")
}

fn flag(document: &Document, within: &[u8], key: &[u8]) -> bool {
    let within = document.catalog().expect("a catalog").get(within).expect("an entry");
    let within = document.dereference(within).expect("a dictionary").1.as_dict().expect("a dictionary");
    matches!(within.get(key), Ok(Object::Boolean(true)))
}

#[test]
fn every_document_says_its_title_and_language_and_that_it_is_tagged() {
    for pack in examples() {
        for paper in &pack.papers {
            let (name, pdf) = (paper.name, &paper.pdf);
            assert!(catalog_text(pdf, b"Lang").starts_with("en-"), "{name}");
            assert!(flag(pdf, b"MarkInfo", b"Marked"), "{name} is not tagged");
            assert!(flag(pdf, b"ViewerPreferences", b"DisplayDocTitle"), "{name} does not show its title");
            let about = metadata(pdf);
            assert!(about.contains("<pdfuaid:part>1</pdfuaid:part>"), "{name} is not PDF/UA-1");
            assert!(about.contains(pack.course.title.full()), "{name}: the title does not name the course");
        }
    }
}

/// Level of a heading.
fn level(element: &Element) -> Option<u32> {
    element.kind.strip_prefix('H').and_then(|digits| digits.parse().ok())
}

#[test]
fn headings_start_at_the_first_level_and_skip_none() {
    for paper in examples().iter().flat_map(|pack| &pack.papers) {
        let levels: Vec<u32> = structure(&paper.pdf).iter().filter_map(level).collect();
        assert_eq!(levels.first(), Some(&1), "{}", paper.name);
        for pair in levels.windows(2) {
            assert!(pair[1] <= pair[0] + 1, "{} goes from H{} to H{}", paper.name, pair[0], pair[1]);
        }
    }
}

#[test]
fn every_table_has_heads_and_every_drawing_and_formula_a_spoken_text() {
    let mut seen = [0usize; 3];
    for paper in examples().iter().flat_map(|pack| &pack.papers) {
        let elements = structure(&paper.pdf);
        let count = |kind: &str| elements.iter().filter(|element| element.kind == kind).count();
        // Each head cell lies in a table of its own: as many tables as tables with heads.
        let mut heads_due = false;
        for element in &elements {
            match element.kind.as_str() {
                "Table" => {
                    assert!(!heads_due, "{}: a table without heads", paper.name);
                    heads_due = true;
                }
                "TH" => heads_due = false,
                "Figure" | "Formula" => {
                    let alt = element.alt.as_deref().unwrap_or_default().trim();
                    let least = if element.kind == "Figure" { 20 } else { 1 };
                    assert!(alt.len() >= least, "{}: a {} says {alt:?}", paper.name, element.kind);
                }
                _ => {}
            }
        }
        assert!(!heads_due, "{}: a table without heads", paper.name);
        for (sum, kind) in seen.iter_mut().zip(["Table", "Figure", "Formula"]) {
            *sum += count(kind);
        }
    }
    assert!(seen[0] > 40 && seen[1] > 30 && seen[2] > 100, "too little was looked at: {seen:?}");
}

#[test]
fn every_page_is_in_reading_order_and_every_face_is_carried_along() {
    for paper in examples().iter().flat_map(|pack| &pack.papers) {
        for (page, sheet) in paper.pdf.get_pages().into_values().zip(&paper.sheets) {
            let page = paper.pdf.get_dictionary(page).expect("a page");
            // A page of ruled lines only holds nothing to read.
            let to_read = sheet.pieces.iter().any(|piece| !piece.artifact);
            let by_structure = page.get(b"Tabs").and_then(Object::as_name).ok() == Some(&b"S"[..]);
            assert!(!to_read || page.has(b"StructParents") && by_structure, "{}", paper.name);
        }
        let faces: Vec<_> = paper
            .pdf
            .objects
            .values()
            .filter_map(|object| object.as_dict().ok())
            .filter(|font| font.get(b"Type").and_then(Object::as_name).ok() == Some(b"FontDescriptor"))
            .collect();
        assert!(!faces.is_empty(), "{}", paper.name);
        for face in faces {
            assert!(face.has(b"FontFile2") || face.has(b"FontFile3"), "{}: a face is missing", paper.name);
        }
    }
}

/// An estimate is seen by its slant and heard by its word; nothing else with digits slants, and each page
/// that has one says what slant means.
#[test]
fn estimates_slant_are_said_and_are_explained_on_their_page() {
    let mut seen = 0;
    for paper in examples().iter().flat_map(|pack| &pack.papers) {
        for (number, sheet) in (1..).zip(&paper.sheets) {
            let estimates = sheet.pieces.iter().filter(|piece| piece.voice == Voice::Estimate).count();
            for piece in sheet.pieces.iter().filter(|piece| piece.text.contains(|c: char| c.is_ascii_digit()))
            {
                let told = (piece.slant == Slant::Italic, piece.voice == Voice::Estimate);
                assert!(
                    piece.formula || piece.voice == Voice::Drawing || told.0 == told.1,
                    "{} page {number}: {:?} {told:?}",
                    paper.name,
                    piece.text
                );
            }
            let all: String = sheet.pieces.iter().map(|piece| piece.text.as_str()).collect();
            let explained = all.contains("talics");
            assert!(
                estimates == 0 || explained,
                "{} page {number} does not say what italics mean",
                paper.name
            );
            seen += estimates;
        }
    }
    assert!(seen > 300, "{seen} estimates were looked at");
}
