//! Every text from a course reaches the page as that text, whatever it holds.

use std::process::Command;

use proptest::prelude::*;
use proptest::strategy::ValueTree as _;
use proptest::test_runner::TestRunner;
use slopepack::print::Templates;
use slopepack::print::coverage::{ADDED_MARKS, covered};
use slopepack::print::escape::{LONGEST_WORD, breakable, embedded, literal, printed, visible};
use slopepack::print::script::Hand;
use slopepack::problem::isolated;

/// Texts that try to become something else.
pub(crate) const HOSTILE: &[&str] = &[
    "#panic(\"no\")",
    "*bold* _slanted_ `raw` $x$",
    "\"; #sys.version; \"",
    "\\\"; #read(\"/etc/passwd\"); //",
    "// comment",
    "/* comment */",
    "*/ ``` \\",
    "= heading\n- item\n+ item\n/ term: text\n12. item",
    "http://example.org/[a](b)",
    "<label> @reference",
    "a -- b --- c ... -5 ~ -?",
    "] ] [ ) } {{ x }} {% raw %} {# #}",
    "\" + read(\"../course.yaml\") + \"",
    "#let x = 1;\n#import \"@preview/a:1.0.0\"",
    "\u{0}\u{1}\u{7f}\u{85}\u{9b}\u{2028}\u{2029}\u{feff}\u{202e}\u{2066}\u{e000}\u{fffe}",
    "字 😀 ﷽ \u{301}e \u{200d}",
    "",
    " ",
    "\n\n",
    "\r\n\t",
    "\\",
    "\"",
    "#",
    ";",
    "\\u{41}",
];

/// Random texts made of what is special to the typesetter or the template language.
pub(crate) fn hostile() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        4 => proptest::sample::select(HOSTILE).prop_map(str::to_owned),
        4 => "[#$`\\\\\\[\\](){}\"'~/*_<>@=+\\-.:;,!?0-9a-c \n\r\t]{1,8}",
        1 => "\\PC{1,4}",
        1 => any::<char>().prop_map(String::from),
    ];
    proptest::collection::vec(piece, 0..6).prop_map(|pieces| pieces.concat())
}

/// Some random hostile texts, always the same, after the picked ones.
pub(crate) fn hostile_texts(count: usize) -> Vec<String> {
    let mut runner = TestRunner::deterministic();
    let strategy = hostile();
    let random = (0..count).map(|_| strategy.new_tree(&mut runner).expect("a text").current());
    HOSTILE.iter().map(|text| (*text).to_owned()).chain(random).collect()
}

/// What the typesetter itself makes of a source: the values of its metadata elements.
fn evaluated(source: &str) -> Vec<serde_json::Value> {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("main.typ");
    std::fs::write(&file, source).expect("written");
    let output = Command::new("typst")
        .args(["eval", "query(metadata).map(m => m.value)", "--in"])
        .arg(&file)
        .output()
        .expect("the typesetter runs");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).expect("the typesetter answers in JSON")
}

#[test]
fn the_typesetter_reads_back_every_hostile_text_unchanged() {
    let texts = hostile_texts(1500);
    let source: Vec<_> = texts.iter().map(|text| format!("#metadata({})", literal(text))).collect();
    let read = evaluated(&source.join("\n"));
    assert_eq!(read.len(), texts.len());
    for (text, read) in texts.iter().zip(read) {
        assert_eq!(read.as_str(), Some(text.as_str()));
    }
}

#[test]
fn markup_that_holds_a_text_is_one_text_and_nothing_else() {
    let texts: Vec<_> = hostile_texts(1500).into_iter().filter(|text| !text.is_empty()).collect();
    let source: Vec<_> = texts.iter().map(|text| format!("#metadata([{}])", embedded(text))).collect();
    for (text, read) in texts.iter().zip(evaluated(&source.join("\n"))) {
        assert_eq!(read["func"], "text", "{read}");
        assert_eq!(read["text"].as_str(), Some(breakable(&isolated(&visible(text))).as_str()));
    }
}

#[test]
fn what_a_page_cannot_carry_is_named() {
    assert_eq!(visible("a\u{202e}b\u{0}\u{9b}\u{feff}"), "a[U+202E]b[U+0000][U+009B][U+FEFF]");
    assert_eq!(visible("😀\u{e000}\u{2028}\u{378}"), "[U+1F600][U+E000][U+2028][U+0378]");
    // Letters of other scripts wait for their faces; where there are none, they are named.
    assert_eq!(visible("字"), "字");
    let templates =
        Templates::of([("a.typ.j2", "{{ a }}{{ a|lit }}{{ a|spoken }}{{ a|data }}")]).expect("it parses");
    let page = templates.render("a.typ.j2", &serde_json::json!({"a": "x字"})).expect("it fills").text;
    assert_eq!((page.matches("[U+5B57]").count(), page.contains('字')), (4, false), "{page}");
    // Isolates stay as a pair around words, and nothing else that reorders.
    assert_eq!(visible("\u{2068}אב\u{2069}, a"), "\u{2068}אב\u{2069}, a");
    assert_eq!(visible("\u{2069}a\u{2068}\u{2068}b\u{2069}"), "[U+2069]a[U+2068]\u{2068}b\u{2069}");
    assert_eq!(visible("\u{2067}a\u{2069}"), "[U+2067]a[U+2069]");
    assert_eq!(visible("one\r\ntwo\rth\tree\n"), "one\ntwo\nth ree\n");
    let accents = "\u{301}".repeat(4);
    assert_eq!(visible(&format!("e{accents}\u{301}e")), format!("e{accents}[U+0301]e"));
    assert_eq!(visible("Žluťoučký Ελλάδα Джип ½ × ≤ ✓"), "Žluťoučký Ελλάδα Джип ½ × ≤ ✓");
}

#[test]
fn the_faces_have_what_the_trade_needs() {
    for character in "0123456789 °×·−±≤≥θµΔηΩ²½→–…’€\u{202F}\u{A0}áßøñ".chars().chain(ADDED_MARKS.chars())
    {
        assert!(covered(character), "{character}");
    }
    for character in ['字', '\u{1F600}', '\u{378}'] {
        assert!(!covered(character), "{character}");
    }
}

#[test]
fn only_very_long_words_get_places_to_break() {
    let long = "x".repeat(LONGEST_WORD);
    assert_eq!(breakable(&format!("{long} {long}\n")), format!("{long} {long}\n"));
    let longer = "x".repeat(LONGEST_WORD + 1);
    assert_eq!(breakable(&longer).matches('\u{200B}').count(), LONGEST_WORD / 10);
    let marks = "[U+202E]".repeat(5);
    assert!(breakable(&marks).split('\u{200B}').all(|piece| piece == "[U+202E]"), "marks stay whole");
    let accented = "e\u{301}".repeat(40);
    assert!(!breakable(&accented).contains("\u{200B}\u{301}"), "an accent stays with its letter");
}

proptest! {
    #[test]
    fn places_to_break_change_nothing_else(text in hostile()) {
        let text = text.replace('\u{200B}', "");
        prop_assert_eq!(breakable(&text).replace('\u{200B}', ""), text);
    }

    #[test]
    fn nothing_invisible_or_unprintable_remains(text in hostile()) {
        for character in visible(&text).chars().filter(|c| *c != '\n') {
            let shown = covered(character) || Hand::of(character, &text).is_some();
            prop_assert!(!character.is_control() && shown, "{:?}", character);
        }
    }

    #[test]
    fn a_literal_is_one_token_in_code(text in hostile()) {
        for literal in [literal(&text), printed(&text)] {
            let root = typst_syntax::parse_code(&literal);
            prop_assert!(!root.diagnosis().errors);
            prop_assert_eq!(root.children().count(), 1);
            prop_assert_eq!(root.children().next().map(typst_syntax::SyntaxNode::kind), Some(typst_syntax::SyntaxKind::Str));
        }
    }
}
