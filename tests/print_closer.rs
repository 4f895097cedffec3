//! A document that would end on a page of a few lines is set a little closer, and ends a page earlier; no other is.

use serde_json::json;
use slopepack::print::{Edition, Pdf, Rendered, Spacing, Templates, Typesetter, Workshop};

/// Lines one below the other; the white between them is what the spacing says.
const LINES: &str = "#set document(title: {{ title|spoken }})
#set text(font: \"Noto Sans\", size: 11pt)
#set page(paper: \"a4\", margin: (top: 58pt, bottom: 64pt))
#let white = (usual: 10pt, close: 9pt, closest: 8pt).at(sys.inputs.at(\"spacing\"))
#set par(spacing: white)
#for line in range(int({{ lines|lit }})) [Line #line

]
";

/// Lines on a full page of the usual spacing.
fn on_a_page(typeset: impl Fn(usize) -> usize) -> usize {
    (20..80).find(|lines| typeset(lines + 1) > 1).expect("a page is full at some time")
}

fn with<T>(run: impl FnOnce(&dyn Fn(usize) -> Rendered, &dyn Fn(&Rendered) -> Pdf) -> T) -> T {
    let templates = Templates::of([("page.typ.j2", LINES.to_owned())]).expect("it parses");
    let folder = tempfile::tempdir().expect("a folder");
    let workshop = Workshop::inside(folder.path(), ".work-", &templates).expect("a work folder");
    let typesetter = Typesetter::find(None).expect("the typesetter is installed");
    let fill = |lines: usize| {
        templates
            .render("page.typ.j2", &json!({ "title": "Day", "lines": lines.to_string() }))
            .expect("it renders")
    };
    let typeset = |page: &Rendered| typesetter.pdf(&workshop, page, 0).expect("it typesets");
    run(&fill, &typeset)
}

#[test]
fn a_last_page_of_a_few_lines_is_spared() {
    with(|fill, typeset| {
        let full = on_a_page(|lines| typeset(&fill(lines)).pages());
        let page = fill(4 * full + 4);
        let (usual, saved) = (typeset(&page), typeset(&page.clone().saving_pages()));
        assert_eq!((usual.pages(), usual.spacing()), (5, Spacing::Usual));
        assert_eq!((saved.pages(), saved.spacing()), (4, Spacing::Close));
        assert_eq!(
            typeset(&page.clone().set(saved.spacing()))[..],
            saved[..],
            "pictures of it are set so too"
        );
        let last = |pdf: &Pdf| {
            let document = lopdf::Document::load_mem(pdf).expect("a PDF");
            document.extract_text(&[u32::try_from(pdf.pages()).expect("few")]).expect("its text")
        };
        assert!(last(&saved).contains(&format!("Line {}", 4 * full + 3)), "nothing is lost");
        let more = typeset(&fill(3 * full + full / 4).saving_pages());
        assert_eq!((more.pages(), more.spacing()), (3, Spacing::Closest), "as much closer as it takes");
    });
}

#[test]
fn what_cannot_be_spared_or_holds_enough_stays_as_it_is() {
    with(|fill, typeset| {
        let full = on_a_page(|lines| typeset(&fill(lines)).pages());
        for lines in [full - 3, full + full / 3, 3 * full + 2 * full / 3] {
            let page = fill(lines);
            let saved = typeset(&page.clone().saving_pages());
            assert_eq!(saved.spacing(), Spacing::Usual, "{lines} lines, {full} on a page");
            assert_eq!(saved[..], typeset(&page)[..]);
        }
        let large = fill(4 * full + 4).saving_pages().in_edition(Edition::LargePrint);
        assert!(!large.saves_pages && large.spacing == Spacing::Usual, "large print keeps its white");
    });
}
