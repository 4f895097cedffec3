//! The typesetter sees one folder, has a time limit, and its complaints lead to the template.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Duration;

use serde_json::{Value, json};
use slopepack::print::typesetter::{Cause, Fault};
use slopepack::print::{Markup, Pdf, Picture, Rendered, Templates, Typesetter, Workshop};
use slopepack::problem::Failure;
use tempfile::TempDir;

use crate::print_text::{HOSTILE, hostile_texts};

const HEAD: &str = "#set document(title: {{ title|spoken }})\n#set text(font: \"Noto Sans\")\n";
const STAMP: i64 = 1_000_000_000;

/// One template, a work folder around it, and the typesetter.
struct Shop {
    folder: TempDir,
    templates: Templates,
    workshop: Workshop,
}

impl Shop {
    fn new(body: &str) -> Self {
        let page = format!("{HEAD}{body}");
        let theme = "#let card(name) = strong(name)\n#let broken(x) = { x.nothing() }\n".to_owned();
        let templates = Templates::of([("page.typ.j2", page), ("theme.typ", theme)]).expect("it parses");
        let folder = tempfile::tempdir().expect("a folder");
        let workshop = Workshop::inside(folder.path(), ".work-", &templates).expect("a work folder");
        Self { folder, templates, workshop }
    }

    fn fill(&self, context: &Value) -> Rendered {
        self.templates.render("page.typ.j2", context).expect("it renders")
    }

    fn pdf(&self, context: &Value) -> Result<Pdf, Fault> {
        typesetter().pdf(&self.workshop, &self.fill(context), STAMP)
    }

    /// The only complaint about a page.
    fn complaint(&self) -> slopepack::print::Complaint {
        match self.pdf(&json!({ "title": "Day", "name": "Bob" })) {
            Err(Fault { cause: Cause::Complaints(mut all), .. }) if all.len() == 1 => all.remove(0),
            other => panic!("one complaint expected, got {other:?}"),
        }
    }
}

fn typesetter() -> Typesetter {
    Typesetter::find(None).expect("the typesetter is installed")
}

/// A program that stands in for the typesetter. It is written by another process, since a file
/// this process has open for writing could not be run while another test starts a process.
fn stand_in(folder: &Path, script: &str) -> PathBuf {
    let path = folder.join("stand-in");
    let made = Command::new("sh")
        .args(["-c", "printf '%s' \"$2\" > \"$1\" && chmod +x \"$1\"", "sh"])
        .arg(&path)
        .arg(format!("#!/bin/sh\n{script}\n"))
        .status();
    assert!(made.expect("a shell").success());
    path
}

/// All text of a PDF.
fn text_of(pdf: &[u8]) -> String {
    let document = lopdf::Document::load_mem(pdf).expect("a PDF");
    let pages: Vec<u32> = document.get_pages().keys().copied().collect();
    document.extract_text(&pages).expect("its text")
}

fn title(name: &str) -> Value {
    json!({ "title": "Day", "name": name })
}

#[test]
fn hostile_texts_become_pages_with_that_text() {
    let shop = Shop::new(
        "#import \"theme.typ\": card\n{% for text in texts %}\n{{ text }}\n\n#card({{ text|lit }})\n{% endfor %}",
    );
    let texts = hostile_texts(150);
    let pdf = shop.pdf(&json!({ "title": HOSTILE.concat(), "texts": texts })).expect("pages");
    let text: String = text_of(&pdf).split_whitespace().collect();
    for part in
        ["#panic(\"no\")", "*bold* _slanted_ `raw` $x$", "#read(\"/etc/passwd\")", "[U+202E]", "[U+1F600]"]
    {
        assert!(text.contains(&part.replace(' ', "")), "{part} is missing");
    }
}

#[test]
fn every_added_mark_has_a_face() {
    let shop = Shop::new("{{ name }} *{{ name }}* _{{ name }}_");
    let marks = slopepack::print::coverage::ADDED_MARKS;
    shop.pdf(&title(marks)).expect("a page with every mark");
}

#[test]
fn a_word_of_ten_thousand_letters_stays_on_the_page() {
    let shop = Shop::new("#set page(width: 80mm, height: 100mm)\n{{ name }}");
    let word = "w".repeat(10_000);
    let pages = typesetter().pages(&shop.workshop, &shop.fill(&title(&word)), STAMP, 36).expect("pages");
    assert!(pages.len() > 5, "it runs over {} pages", pages.len());
    for page in pages {
        let page = image::load_from_memory(&page).expect("a page").into_luma8();
        let margin = page.width() - page.width() / 20;
        assert!((margin..page.width()).all(|x| (0..page.height()).all(|y| page.get_pixel(x, y).0[0] > 250)));
    }
    shop.pdf(&title(&word)).expect("an accessible PDF");
}

#[test]
fn signs_that_stand_for_themselves_have_a_width_and_accents_have_none() {
    let shop = Shop::new(
        "#context for (sign, least) in {{ signs|data }} {\n\
         let width = measure[a#{sign}a].width - measure[aa].width\n\
         assert((width > 1pt) == least, message: sign)\n}",
    );
    let standing =
        ["`", "\u{a8}", "\u{b4}", "\u{2bb}", "\u{2bc}", "\u{2dc}", "\"", "'"].map(|sign| json!([sign, true]));
    let accents = ["\u{301}", "\u{308}", "\u{327}"].map(|sign| json!([sign, false]));
    let signs: Vec<_> = standing.into_iter().chain(accents).collect();
    shop.pdf(&json!({ "title": "Day", "signs": signs })).expect("each has its width");
}

#[test]
fn the_same_page_is_the_same_bytes_and_carries_the_date_it_is_given() {
    let shop = Shop::new("= {{ name }}");
    let first = shop.pdf(&title("Bob")).expect("a page");
    let other = Shop::new("= {{ name }}");
    assert_eq!(first, other.pdf(&title("Bob")).expect("a page"), "another folder, the same bytes");
    let moved = typesetter().pdf(&shop.workshop, &shop.fill(&title("Bob")), -5).expect("a date before 1970");
    assert_ne!(first, moved);
}

#[test]
fn nothing_outside_the_folder_can_be_read() {
    let shop = Shop::new("#read(\"../secret\")");
    fs::write(shop.folder.path().join("secret"), "x").expect("written");
    assert!(shop.complaint().message.contains("escape"), "{}", shop.complaint());
    let absolute = Shop::new("#read(\"/etc/passwd\")");
    assert!(absolute.complaint().message.contains("not found"), "{}", absolute.complaint());
}

#[test]
fn the_work_folder_holds_no_links_and_goes_when_it_is_done() {
    let shop = Shop::new("");
    let mut folders = vec![shop.workshop.root().parent().expect("the work folder").to_path_buf()];
    let mut files = 0;
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).expect("a folder") {
            let entry = entry.expect("an entry");
            let kind = entry.file_type().expect("its kind");
            assert!(!kind.is_symlink(), "{:?}", entry.path());
            files += usize::from(kind.is_file());
            if kind.is_dir() {
                folders.push(entry.path());
            }
        }
    }
    assert_eq!(files, 5, "four faces and the shared style");
    let root = shop.workshop.root();
    drop(shop.workshop);
    assert!(!root.exists());
}

#[test]
fn packages_are_refused_without_asking_the_network() {
    let shop = Shop::new("#import \"@preview/nothing:1.0.0\": x");
    assert!(shop.complaint().message.contains("package"), "{}", shop.complaint());
}

#[test]
fn an_error_leads_to_file_line_and_column_of_the_template() {
    let complaint = Shop::new("= {{ name }}é\nText #unheard_of({{ name|lit }})").complaint();
    assert_eq!((complaint.template.as_str(), complaint.line, complaint.column), ("page.typ.j2", 4, 7));
    assert!(complaint.message.contains("unheard_of"), "{}", complaint.message);
    assert!(complaint.excerpt.contains("page.typ.j2:4:7"), "{}", complaint.excerpt);
    assert!(complaint.excerpt.contains("#unheard_of"), "{}", complaint.excerpt);
}

#[test]
fn an_error_after_long_values_still_leads_to_its_column() {
    let shop = Shop::new("{{ name }} {{ name }} #unheard_of");
    let Err(Fault { cause: Cause::Complaints(all), .. }) = shop.pdf(&title(&"字\n\" ".repeat(50))) else {
        panic!("an error expected");
    };
    assert_eq!((all[0].line, all[0].column), (3, 24), "{}", all[0]);
}

#[test]
fn an_error_in_the_shared_style_leads_there() {
    let complaint = Shop::new("#import \"theme.typ\": broken\n#broken(1)").complaint();
    assert_eq!((complaint.template.as_str(), complaint.line), ("theme.typ", 2), "{complaint}");
}

#[test]
fn an_error_inside_a_value_leads_to_the_expression() {
    let shop = Shop::new("Text {{ mark }}");
    let context =
        minijinja::context! { title => "Day", mark => minijinja::Value::from(Markup::trusted("#oops")) };
    let page = shop.templates.render("page.typ.j2", &context).expect("it renders");
    let Err(fault) = typesetter().pdf(&shop.workshop, &page, STAMP) else { panic!("an error expected") };
    assert!(fault.to_string().contains("page.typ.j2:3:9"), "{fault}");
}

#[test]
fn a_warning_is_a_failure() {
    let complaint = Shop::new("#text(font: \"No Such Face\")[x]").complaint();
    assert!(complaint.message.contains("unknown font family"), "{complaint}");
    assert_eq!(complaint.line, 3, "{complaint}");
}

#[test]
fn a_page_that_is_not_accessible_is_a_failure() {
    let complaint = Shop::new("$ a + b $").complaint();
    assert!(complaint.message.contains("alt"), "{complaint}");
}

#[test]
fn a_picture_gets_onto_the_page() {
    let shop = Shop::new("#image({{ picture|exact }}, alt: \"A quarry\")");
    let mut png = std::io::Cursor::new(Vec::new());
    image::RgbImage::new(4, 3).write_to(&mut png, image::ImageFormat::Png).expect("a picture");
    let picture = Picture::from_bytes(png.get_ref()).expect("it can be printed");
    let path = shop.workshop.add_picture("quarry-1", &picture).expect("added");
    shop.pdf(&json!({ "title": "Day", "picture": path })).expect("a page with a picture");
    for name in ["../x", "", "a/b", "a.b", "A"] {
        assert!(shop.workshop.add_picture(name, &picture).is_err(), "{name}");
    }
}

#[test]
fn many_documents_come_back_in_order_and_all_faults_together() {
    let shop = Shop::new("{{ name }}");
    let documents: Vec<_> = (0..5).map(|at| shop.fill(&title(&format!("page number {at}")))).collect();
    let count = std::sync::atomic::AtomicUsize::new(0);
    let done = |_| {
        count.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
    };
    let pdfs = typesetter().pdfs(&shop.workshop, &documents, STAMP, done).expect("pages");
    for (at, pdf) in pdfs.iter().enumerate() {
        assert!(text_of(pdf).contains(&format!("page number {at}")));
    }
    assert_eq!(count.into_inner(), 5);
    let broken = Shop::new("#{{ name|exact }}.{% if name == 'a' %}one(){% else %}two(){% endif %}");
    let documents: Vec<_> = ["a", "b"].iter().map(|name| broken.fill(&title(name))).collect();
    let failure = typesetter().pdfs(&broken.workshop, &documents, STAMP, |_| {}).expect_err("both fail");
    assert_eq!(failure.exit_code(), 3);
    assert!(failure.to_string().contains("one") && failure.to_string().contains("two"), "{failure}");
}

#[test]
fn a_document_that_never_ends_is_stopped() {
    let shop = Shop::new("#let n = 0\n#for i in range(100000000) { for j in range(1000) { n += 1 } }");
    let limit = Duration::from_millis(300);
    let fault = typesetter().with_limit(limit).pdf(&shop.workshop, &shop.fill(&title("Bob")), STAMP);
    let fault = fault.expect_err("it never ends");
    assert!(matches!(fault.cause, Cause::TimedOut(_)), "{fault}");
    assert_eq!(Failure::from(fault).exit_code(), 3);
}

#[test]
fn a_typesetter_that_talks_without_reading_is_not_waited_for() {
    let shop = Shop::new("{% for n in range(20000) %}{{ name }}{% endfor %}");
    let real = shop.folder.path().join("real.pdf");
    fs::write(&real, &*Shop::new("Bob").pdf(&title("Bob")).expect("a page")).expect("written");
    let script = format!(
        "case $1 in --version) echo 'typst 0.15.1';; *) head -c 900000 /dev/zero >&2; cat '{}';; esac",
        real.display()
    );
    let chatty = Typesetter::find(Some(&stand_in(shop.folder.path(), &script))).expect("a typesetter");
    let pdf = chatty.pdf(&shop.workshop, &shop.fill(&title("Bob")), STAMP).expect("its output");
    assert_eq!(*pdf, *fs::read(&real).expect("there"));
}

#[test]
fn the_users_settings_do_not_reach_the_typesetter() {
    if std::env::var_os("TYPST_FEATURES").is_none() {
        let status = Command::new(std::env::current_exe().expect("this program"))
            .args(["--exact", "print_typesetter::the_users_settings_do_not_reach_the_typesetter"])
            .envs([("TYPST_FEATURES", "html"), ("SOURCE_DATE_EPOCH", "5"), ("NO_PROXY", "*")])
            .status();
        assert!(status.expect("started").success(), "the same with settings");
        return;
    }
    let shop = Shop::new("");
    let script = "case $1 in --version) echo 'typst 0.15.1';; *) (env; echo \"$@\") >&2; exit 1;; esac";
    let program = stand_in(shop.folder.path(), script);
    let found = Typesetter::find(Some(&program)).expect("it says it is the typesetter");
    let said = found.pdf(&shop.workshop, &shop.fill(&title("Bob")), STAMP).expect_err("what it was given");
    let said = said.to_string();
    assert!(!said.contains("TYPST_") && !said.contains("SOURCE_DATE_EPOCH"), "{said}");
    assert!(!said.contains("NO_PROXY"), "{said}");
    for part in ["HTTPS_PROXY=http://127.0.0.1:9", "--ignore-system-fonts", "--pdf-standard ua-1", "-j1"] {
        assert!(said.contains(part), "{part} in {said}");
    }
}

#[test]
fn a_missing_old_or_foreign_typesetter_is_refused_with_the_way_to_get_one() {
    let folder = tempfile::tempdir().expect("a folder");
    let refused = |program: &Path| match Typesetter::find(Some(program)) {
        Err(failure @ Failure::Typesetter(_)) => failure.to_string(),
        other => panic!("a refusal expected, got {other:?}"),
    };
    let missing = refused(&folder.path().join("nothing-here"));
    assert!(missing.contains("not found") && missing.contains("nothing-here"), "{missing}");
    assert!(missing.contains("cargo install --locked typst-cli@0.15.1"), "{missing}");
    let old = refused(&stand_in(folder.path(), "echo 'typst 0.14.2 (abc)'"));
    assert!(old.contains("0.14.2") && old.contains("0.15"), "{old}");
    let foreign = refused(&stand_in(folder.path(), "echo 'something else 2.0'"));
    assert!(foreign.contains("something else 2.0"), "{foreign}");
    assert!(Typesetter::find(Some(&stand_in(folder.path(), "echo 'typst 1.0.0'"))).is_ok());
}

#[test]
fn what_is_not_text_is_refused_at_its_place() {
    let refused = |body: &str, value: Value| {
        let templates = Templates::of([("page.typ.j2", body)]).expect("it parses");
        let context = json!({ "value": value });
        match templates.render("page.typ.j2", &context) {
            Err(failure) => failure.to_string(),
            Ok(page) => panic!("{body} printed {}", page.text),
        }
    };
    for value in [json!(1), json!(2.5), json!(true), json!(null), json!([1]), json!({ "a": 1 })] {
        let said = refused("one\n  {{ value }}", value);
        assert!(said.contains("only text can be printed") && said.contains("use a filter"), "{said}");
        assert!(said.contains("page.typ.j2:2:6"), "{said}");
    }
    assert!(refused("{{ vlaue }}", json!("x")).contains("vlaue"));
    assert!(refused("{{ value|safe }}", json!("x")).contains("safe"));
    assert!(refused("{{ value.x }}", json!({})).contains("value.x"));
    assert!(refused("{% if nothing %}{% endif %}", json!(1)).contains("undefined"));
    assert!(refused("{{ value|lit }}", json!(1)).contains("data"));
    assert!(refused("{% set x %}a{% endset %}{{ x|lit }}", json!(1)).contains("brackets"));
    assert!(
        Templates::of([("a.typ.j2", "\n{% if %}")]).is_err_and(|e| e.to_string().contains("a.typ.j2:2:"))
    );
}

#[test]
fn no_filter_makes_text_into_markup() {
    let all = "upper lower title capitalize trim string default join first last list reverse unique \
        replace('a','b') indent(2) split|first lines|first sort|first batch(1)|first|first";
    for filter in all.split_whitespace() {
        let templates =
            Templates::of([("p.typ.j2", format!("{{{{ value|{filter} }}}}"))]).expect("it parses");
        if let Ok(page) = templates.render("p.typ.j2", &json!({ "value": "#panic() *a*" })) {
            assert!(page.text.starts_with("#\""), "{filter} printed {}", page.text);
        }
    }
    let ways = "{{ value ~ value }}{% autoescape false %}{{ value }}{% endautoescape %}\
        {% macro m(x) %}{{ x }}{% endmacro %}{{ m(value) }}{% set c %}{{ value }}{% endset %}{{ c }}\
        {% filter upper %}{{ value }}{% endfilter %}";
    let templates = Templates::of([("p.typ.j2", ways)]).expect("it parses");
    let page = templates.render("p.typ.j2", &json!({ "value": "#panic() *a*" })).expect("it renders");
    let root = typst_syntax::parse(&page.text);
    assert!(
        root.children().all(|node| matches!(
            node.kind(),
            typst_syntax::SyntaxKind::Hash
                | typst_syntax::SyntaxKind::Str
                | typst_syntax::SyntaxKind::Semicolon
        )),
        "{}",
        page.text
    );
}

#[test]
fn data_is_what_the_typesetter_reads_back() {
    let shop = Shop::new(
        "#assert.eq({{ rows|data }}, (1, -2.5, 1e21, \"a\\\"b\", true, none, (), (:), (\"k k\": (3,))))",
    );
    let rows = json!([1, -2.5, 1e21, "a\"b", true, null, [], {}, { "k k": [3] }]);
    shop.pdf(&json!({ "title": "Day", "rows": rows })).expect("the same data");
}

#[test]
fn trusted_markup_is_printed_as_it_is() {
    #[derive(serde::Serialize)]
    struct Page {
        formula: Markup,
        inner: Vec<Markup>,
    }
    let templates =
        Templates::of([("p.typ.j2", "{{ formula }}{{ inner[0] }}{{ inner|data }}")]).expect("it parses");
    let page = Page { formula: Markup::trusted("$x$"), inner: vec![Markup::text("$y$")] };
    let text = templates.render("p.typ.j2", &page).expect("it renders").text;
    assert_eq!(text, "$x$#\"$y$\";([#\"$y$\";], )");
}
