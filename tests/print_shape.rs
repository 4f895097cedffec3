//! No text of a course changes the shape of a page: the syntax tree of a filled template is the
//! same whatever the texts are.

use std::fs;
use std::path::Path;

use slopepack::print::Templates;
use slopepack::print::escape::{embedded, printed};
use typst_syntax::{SyntaxKind, SyntaxNode};

use crate::print_text::hostile_texts;

/// Kinds of all nodes, in order, with the depth of each.
pub(crate) fn shape(text: &str) -> Vec<(usize, SyntaxKind)> {
    fn walk(node: &SyntaxNode, depth: usize, shape: &mut Vec<(usize, SyntaxKind)>) {
        shape.push((depth, node.kind()));
        for child in node.children() {
            walk(child, depth + 1, shape);
        }
    }
    let mut found = Vec::new();
    walk(&typst_syntax::parse(text), 0, &mut found);
    found
}

/// Every node of a document in the order of its shape, with its text where it has any.
pub(crate) fn leaves(text: &str) -> Vec<(SyntaxKind, String)> {
    fn walk(node: &SyntaxNode, found: &mut Vec<(SyntaxKind, String)>) {
        found.push((node.kind(), node.leaf_text().to_string()));
        for child in node.children() {
            walk(child, found);
        }
    }
    let mut found = Vec::new();
    walk(&typst_syntax::parse(text), &mut found);
    found
}

/// Byte ranges of all string literals.
fn strings(text: &str) -> Vec<std::ops::Range<usize>> {
    fn walk(node: &SyntaxNode, at: &mut usize, found: &mut Vec<std::ops::Range<usize>>) {
        if node.children().len() == 0 {
            if node.kind() == SyntaxKind::Str {
                found.push(*at..*at + node.len());
            }
            *at += node.len();
        }
        for child in node.children() {
            walk(child, at, found);
        }
    }
    let mut found = Vec::new();
    walk(&typst_syntax::parse(text), &mut 0, &mut found);
    found
}

/// A template with every `{{ … }}` replaced by what a text would become there, and without its
/// control lines; and where the literals stand.
fn filled(template: &str, text: &str) -> (String, Vec<std::ops::Range<usize>>) {
    let (mut out, mut places) = (String::new(), Vec::new());
    let mut rest = template;
    while let Some(at) = rest.find('{') {
        out.push_str(&rest[..at]);
        rest = &rest[at..];
        let end = |close: &str| rest.find(close).map_or(rest.len(), |at| at + 2);
        if rest.starts_with("{{") {
            let inside = rest[2..end("}}") - 2].trim().trim_matches('-').trim_end();
            let code = ["lit", "spoken", "exact", "data"]
                .iter()
                .any(|name| inside.rsplit('|').next().map(str::trim) == Some(name));
            let literal = printed(text);
            let start = out.len() + usize::from(!code);
            places.push(start..start + literal.len());
            out.push_str(&if code { literal } else { embedded(text) });
            rest = &rest[end("}}")..];
        } else if rest.starts_with("{%") {
            rest = &rest[end("%}")..];
        } else if rest.starts_with("{#") {
            rest = &rest[end("#}")..];
        } else {
            out.push('{');
            rest = &rest[1..];
        }
    }
    out.push_str(rest);
    (out, places)
}

/// What is wrong with the way a template uses its values, if anything.
fn misuse(template: &str, texts: &[String]) -> Option<String> {
    let (plain, places) = filled(template, "Bob");
    let known = strings(&plain);
    if let Some(place) = places.iter().find(|place| !known.contains(place)) {
        let from = plain.floor_char_boundary(place.start.saturating_sub(40));
        return Some(format!("a value is not a text of its own: {}", &plain[from..place.end]));
    }
    let expected = shape(&plain);
    texts
        .iter()
        .find(|text| shape(&filled(template, text).0) != expected)
        .map(|text| format!("a text changes the shape: {text:?}"))
}

const EVERY_PLACE: &str = r#"#set document(title: {{ title|spoken }})
#import "theme.typ": card
= {{ name }}
- {{ name }}(1)[a].len()
+ *{{ name }}* _{{ name }}_
/ {{ name }}: {{ name }}
{% for row in rows %}
#card({{ row.name|lit }}, [{{ row.name }}], values: {{ row.values|data }})
{% endfor %}
$ {{ name }} + 1 $ #box[{{ name }}]
#link({{ name|exact }})[{{ name }}]
12. {{ name }}; // no comment
"#;

#[test]
fn a_template_with_values_in_every_place_keeps_its_shape() {
    assert_eq!(misuse(EVERY_PLACE, &hostile_texts(1000)), None);
}

#[test]
fn filling_for_real_keeps_the_shape_too() {
    let templates = Templates::of([("page.typ.j2", EVERY_PLACE)]).expect("it parses");
    let fill = |text: &str| {
        let row = serde_json::json!({ "name": text, "values": [1, 2.5, text, { text: true }, [], {}, null] });
        let context = serde_json::json!({ "title": text, "name": text, "rows": [row] });
        templates.render("page.typ.j2", &context).expect("it renders").text
    };
    let expected = shape(&fill("Bob"));
    assert!(expected.iter().all(|(_, kind)| *kind != SyntaxKind::Error));
    for text in hostile_texts(1000) {
        assert_eq!(shape(&fill(&text)), expected, "{text:?}");
    }
}

#[test]
fn a_value_inside_quotes_or_verbatim_text_is_found() {
    for wrong in ["#f(\"{{ name }}\")", "`{{ name }}`", "// {{ name }}\n", "#let x = \"a {{ name|lit }} b\""]
    {
        assert!(misuse(wrong, &hostile_texts(0)).is_some(), "{wrong}");
    }
}

#[test]
fn even_there_a_text_cannot_get_out() {
    for wrong in ["a `{{ name }}` b", "a ```{{ name }}``` b", "a /* {{ name }} */ b"] {
        let expected = shape(&filled(wrong, "Bob").0);
        for text in hostile_texts(1000) {
            assert_eq!(shape(&filled(wrong, &text).0), expected, "{wrong} with {text:?}");
        }
    }
}

#[test]
fn no_template_imports_a_package() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("templates");
    for (name, text) in files(&folder, &folder) {
        assert!(!text.contains("\"@"), "{name} imports a package");
    }
}

#[test]
fn the_program_carries_every_template_of_the_folder() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("templates");
    let templates = Templates::embedded().expect("all templates parse");
    let mut carried: Vec<_> =
        templates.documents().chain(templates.shared().map(|(name, _)| name)).map(str::to_owned).collect();
    carried.sort();
    let mut there: Vec<_> = files(&folder, &folder).into_iter().map(|(name, _)| name).collect();
    there.sort();
    assert_eq!(carried, there, "run `cargo clean -p slopepack` after adding a template");
}

/// Name and text of all templates below a folder.
fn files(folder: &Path, top: &Path) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).expect("the folder of templates") {
        let path = entry.expect("an entry").path();
        let name = path.strip_prefix(top).expect("below").to_string_lossy().replace('\\', "/");
        if path.is_dir() {
            found.extend(files(&path, top));
        } else if [".typ.j2", ".typ"].iter().any(|ending| name.ends_with(ending)) {
            found.push((name, fs::read_to_string(&path).expect("text")));
        }
    }
    found
}
