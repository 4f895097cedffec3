//! `pack --print-ready --large-print --previews` as a club would run it.

use std::path::Path;

use assert_cmd::Command;
use slopepack::print::Manifest;

use crate::pages_read::structure;

fn run(into: &Path, options: &[&str]) {
    let course = Path::new(env!("CARGO_MANIFEST_DIR")).join("courses/hill-club-weekend.yaml");
    let mut command = Command::cargo_bin("slopepack").expect("the program");
    command.args(["--quiet", "pack"]).arg(course).arg("--into").arg(into).args(options).assert().success();
}

fn load(path: &Path) -> lopdf::Document {
    lopdf::Document::load(path).unwrap_or_else(|why| panic!("{}: {why}", path.display()))
}

#[test]
fn sheets_to_cut_and_fold_hold_every_page_in_order() {
    let folder = tempfile::tempdir().expect("a folder");
    let pack = folder.path().join("pack");
    run(&pack, &["--print-ready", "--previews", "--only", "slope-cards", "--only", "workbook"]);
    let files: Vec<String> = Manifest::read(&pack)
        .expect("ours")
        .expect("a manifest")
        .files
        .into_iter()
        .map(|file| file.path)
        .collect();
    for (name, sheets, per_side) in [
        ("slope-cards", "slope-cards-2-up", 2),
        ("slope-cards", "slope-cards-4-up", 4),
        ("workbook", "workbook-booklet", 2),
    ] {
        let path = format!("print-ready/{sheets}.pdf");
        assert!(files.contains(&path), "{path} is not in {files:?}");
        let sheets = load(&pack.join(path));
        // A pocket card holds less, so there are more of them; the sheets themselves say how many.
        let pages = if per_side == 4 {
            structure(&sheets).iter().filter(|element| element.alt.is_some()).count()
        } else {
            load(&pack.join(format!("{name}.pdf"))).get_pages().len()
        };
        let sides = if name == "workbook" { pages.next_multiple_of(4) / 2 } else { pages.div_ceil(per_side) };
        assert_eq!(sheets.get_pages().len(), sides);
        // Every page of the document is on a sheet once, with its number in words.
        let mut said: Vec<String> =
            structure(&sheets).into_iter().filter_map(|element| element.alt).collect();
        said.sort();
        let mut expected: Vec<String> = (1..=pages).map(|page| format!("page {page} of {pages},")).collect();
        expected.sort();
        assert_eq!(said.len(), pages);
        assert!(expected.iter().all(|words| said.iter().any(|said| said.contains(words))), "{said:?}");
    }
    for name in ["slope-cards", "workbook", "index"] {
        let sheet = image::open(pack.join(format!("previews/{name}.png"))).expect("a picture");
        assert!(sheet.width() > 400 && sheet.height() > 400);
    }
}

#[test]
fn the_index_lists_the_large_print_editions() {
    let folder = tempfile::tempdir().expect("a folder");
    let pack = folder.path().join("pack");
    run(&pack, &["--large-print", "--only", "quiz", "--only", "course-plan"]);
    assert!(pack.join("large-print/quiz.pdf").exists());
    // A plan is for the desk; it has no large print.
    assert!(!pack.join("large-print/course-plan.pdf").exists());
    let index = load(&pack.join("index.pdf"));
    let text: String = crate::pages_read::sheets(&index)
        .iter()
        .flat_map(|sheet| sheet.pieces.iter().map(|piece| piece.text.clone()).collect::<Vec<_>>())
        .collect();
    assert!(text.contains("large-print/quiz.pdf"), "{text}");
}
