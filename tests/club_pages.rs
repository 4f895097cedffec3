//! A club's own pages: a folder beside the course words pages of the program and adds new ones; whatever could mislead
//! whoever holds the page is refused with its line.

use std::fs;
use std::process::Command;

use slopepack::pack::{Book, KINDS};
use slopepack::print::own::{Frame, OwnPage, part};
use slopepack::print::{Manifest, Templates};

use crate::program::{Bench, squeezed, text_of};

const CAUTION: &str = "The instructor on the ground decides";

/// A bench with a course and a club's list with one page, `camp`.
fn with_page(course: &str, page: &str) -> Bench {
    let bench = Bench::with_example(course);
    fs::create_dir(bench.path("club")).unwrap();
    let list = "pages:\n  - {name: camp, title: Camp notes, readers: everybody who camps, copies: 1 each}\n";
    fs::write(bench.path("club/pages.yaml"), list).unwrap();
    fs::write(bench.path("club/camp.typ.j2"), page).unwrap();
    bench
}

/// The first page that the program writes for a club, and one of its own pages in the club's words.
#[test]
fn a_club_adds_a_page_and_words_another_and_both_carry_the_caution() {
    let bench = Bench::with_example("six-slope-saturday.yaml");
    let roster = concat!(env!("CARGO_MANIFEST_DIR"), "/courses/six-slope-saturday.csv");
    fs::copy(roster, bench.path("six-slope-saturday.csv")).unwrap();
    fs::create_dir(bench.path("club")).unwrap();
    let first = bench.run(&["wording"]).out;
    let picture = concat!(env!("CARGO_MANIFEST_DIR"), "/courses/previews/slope-cards.png");
    fs::copy(picture, bench.path("club/hut.png")).unwrap();
    let shown =
        "\n#image({{ pictures.hut|exact }}, alt: \"The hut from the road\", height: 160mm)\n".repeat(3);
    fs::write(bench.path("club/camp.typ.j2"), format!("{first}#keep[{shown}]\n")).unwrap();
    let joining = bench.run(&["wording", "joining-notes"]).out;
    assert!(joining.contains("== What to bring"), "{joining}");
    let worded = joining.replace("== What to bring", "== What goes into the bag");
    fs::write(bench.path("club/joining-notes.typ.j2"), worded).unwrap();
    let list = "format: 1\npages:\n  - {name: camp, title: Camp notes, for: [club]}\n  - name: joining-notes\npictures: {hut: hut.png}\n";
    fs::write(bench.path("club/pages.yaml"), list).unwrap();
    let ran = bench.run(&["check", "day.yaml"]);
    assert!(ran.code == 0 && ran.out.contains("2 pages in the club's words"), "{}{}", ran.out, ran.err);
    let only = [
        "pack",
        "day.yaml",
        "--into",
        "pack",
        "--only",
        "camp",
        "--only",
        "joining-notes",
        "--only",
        "convoy",
    ];
    let ran = bench.run(&only);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let manifest: Manifest =
        serde_json::from_slice(&fs::read(bench.path("pack/manifest.json")).unwrap()).unwrap();
    let own: Vec<&str> =
        manifest.files.iter().filter(|file| file.own.is_some()).map(|file| file.path.as_str()).collect();
    assert_eq!(own, ["camp.pdf", "joining-notes.pdf"]);
    for (file, words) in
        [("camp.pdf", "Engines off from ten at night"), ("joining-notes.pdf", "What goes into the bag")]
    {
        let pdf = lopdf::Document::load(bench.path(&format!("pack/{file}"))).unwrap();
        let whole = squeezed(&text_of(&fs::read(bench.path(&format!("pack/{file}"))).unwrap()));
        assert!(whole.contains(&squeezed(words)) && whole.contains(&squeezed("club’s own")), "{whole}");
        for page in pdf.get_pages().into_keys() {
            let text = squeezed(&pdf.extract_text(&[page]).unwrap());
            assert!(text.contains(&squeezed(CAUTION)), "{file}, page {page}: {text}");
        }
    }
    // The line that no club takes away.
    let joining = squeezed(&text_of(&fs::read(bench.path("pack/joining-notes.pdf")).unwrap()));
    assert!(joining.contains(&squeezed("A vehicle that fails its check does not drive")), "{joining}");
    // Another reader does not get it; and a change of its words is seen.
    let ran = bench.run(&[
        "pack", "day.yaml", "--into", "other", "--for", "assessor", "--only", "camp", "--only", "quiz",
    ]);
    assert!(ran.code == 2 && ran.err.contains("no document is called `camp`"), "{}", ran.err);
    fs::write(bench.path("club/camp.typ.j2"), "Bring a lamp.\n").unwrap();
    assert_eq!(bench.run(&only).code, 0);
    assert!(
        squeezed(&text_of(&fs::read(bench.path("pack/camp.pdf")).unwrap()))
            .contains(&squeezed("Bring a lamp."))
    );
}

/// Reads a file, runs code, changes the page, leaves out alternative text, never ends: refused, where it stands.
#[test]
fn a_hostile_page_is_refused_with_its_line() {
    let doubled = format!("{{% set x = \"aaaaaaaa\" %}}{}{{{{ x }}}}", "{% set x = x ~ x %}".repeat(60));
    let nested = format!("{{% set x = [1] %}}{}#list({{{{ x|data }}}})", "{% set x = [x, x] %}".repeat(60));
    let deep = "#strong[".repeat(7000);
    let cases: [(&str, &str, &str); 18] = [
        ("Words.\n#read(\"/etc/passwd\")", "camp.typ.j2:2:2", "a page reads no file"),
        ("\n\n#include \"/style.typ\"", "camp.typ.j2:3:2", "reads no other file"),
        ("#eval(\"1\")", "camp.typ.j2:1:2", "runs no program"),
        ("#plugin(\"x.wasm\")", "camp.typ.j2:1:2", "runs no program"),
        ("Words.\n#set page(background: none)", "camp.typ.j2:2:2", "caution"),
        ("#show: body => []", "camp.typ.j2:1:2", "caution"),
        ("#place(bottom)[#panel(\"notice\")[x]]", "camp.typ.j2:1:2", "caution"),
        ("#image({{ pictures.hut|exact }}, height: 60mm)", "camp.typ.j2:1:", "nothing of this name is given"),
        ("#image(\"/pictures/own-hut.png\", height: 60mm)", "camp.typ.j2:1:2", "without words"),
        ("Meet at {{ site.meting }}", "camp.typ.j2:1:12", "emergency, first_aiders, hazards"),
        ("{% if false %}{{ drivrs }}{% endif %}", "camp.typ.j2:1:18", "drivers, pack, pictures"),
        ("{% for s in slopes %}{{ s.gradient }}{% endfor %}", "camp.typ.j2:1:", "abort, closed, grade"),
        ("Words.\n{% if x %}", "camp.typ.j2:2:", "expected end of block"),
        (&doubled, "camp.typ.j2:1:", "never ends"),
        (&nested, "camp.typ.j2:1:", "more data than a page can hold"),
        (&deep, "camp.typ.j2:1:", "too deep"),
        ("{% include \"club/camp.typ.j2\" %}", "camp.typ.j2:1:", "recursion"),
        ("Bring a lamp. \u{5B57}", "camp.typ.j2:1:1", "U+5B57"),
    ];
    let bench = with_page("quarry-day.yaml", "");
    for (page, place, why) in cases {
        fs::write(bench.path("club/camp.typ.j2"), page).unwrap();
        let ran = bench.run(&["check", "day.yaml"]);
        let start = &page[..page.len().min(60)];
        assert_eq!(ran.code, 1, "{start}: {}{}", ran.out, ran.err);
        assert!(ran.err.contains(place) && ran.err.contains(why), "{start}: {}", ran.err);
    }
    fs::write(bench.path("club/camp.typ.j2"), "#read(\"x\")").unwrap();
    let ran = bench.run(&["pack", "day.yaml", "--only", "camp"]);
    assert!(ran.code == 1 && ran.err.contains("camp.typ.j2:1:2"), "{}", ran.err);
    assert!(!bench.path("out/camp.pdf").exists());
}

#[test]
fn a_club_reads_no_file_beyond_its_folder() {
    let bench = with_page("quarry-day.yaml", "");
    let page = bench.path("club/camp.typ.j2");
    let refused = |why: &str| {
        let ran = bench.run(&["check", "day.yaml"]);
        assert!(ran.code == 4 && ran.err.contains(why), "{why}: {}", ran.err);
    };
    fs::write(&page, vec![b'x'; 1 << 20]).unwrap();
    refused("larger than 64 KiB");
    fs::remove_file(&page).unwrap();
    refused("does not exist");
    fs::create_dir(&page).unwrap();
    refused("is not a file");
    fs::remove_dir(&page).unwrap();
    #[cfg(unix)]
    {
        use std::os::unix::fs::symlink;
        symlink("../day.yaml", &page).unwrap();
        refused("leads out");
        fs::remove_file(&page).unwrap();
        assert!(Command::new("mkfifo").arg(&page).status().unwrap().success());
        refused("is not a file");
        let elsewhere = tempfile::tempdir().unwrap();
        fs::copy(bench.path("club/pages.yaml"), elsewhere.path().join("pages.yaml")).unwrap();
        fs::remove_dir_all(bench.path("club")).unwrap();
        symlink(elsewhere.path(), bench.path("club")).unwrap();
        refused("leads out");
    }
}

#[test]
fn a_mistake_in_the_list_is_told_where_it_stands() {
    let bench = with_page("quarry-day.yaml", "Words.");
    for (list, place, why) in [
        ("pages:\n  - {name: slope-cards}\n", ":2:5", "cannot be worded by a club"),
        ("pages:\n  - {name: convoy, title: Ours}\n", ":2:5", "the program has a page"),
        ("pages:\n  - {name: camp}\n", ":2:5", "has no title"),
        ("pages:\n  - {name: ../day, title: Ours}\n", ":2:12", "cannot be a short name"),
        ("pages:\n  - {name: camp, title: A}\n  - {name: camp, title: B}\n", ":3:5", "two pages"),
        ("pages:\n  - {name: camp, tilte: A}\n", ":2:18", "did you mean `title`"),
        ("pages:\n  - {name: camp, title: A}\npictures: {hut: ../x.png}\n", ":3:17", "does not lie beside"),
        ("format: 2\npages:\n  - {name: camp, title: A}\n", ":1:", "format"),
    ] {
        fs::write(bench.path("club/pages.yaml"), list).unwrap();
        let ran = bench.run(&["check", "day.yaml"]);
        assert!(ran.code == 1 && ran.err.contains(&format!("pages.yaml{place}")), "{list}: {}", ran.err);
        assert!(ran.err.contains(why), "{list}: {}", ran.err);
    }
}

/// What the first page tells of is all that a page is given, by name.
#[test]
fn the_first_page_tells_of_everything_that_is_given() {
    let told = slopepack::pack::FIRST_PAGE;
    let told = &told[told.find("format 1):").unwrap()..told.find("#}").unwrap()];
    let bench = with_page("six-slope-saturday.yaml", "");
    let roster = concat!(env!("CARGO_MANIFEST_DIR"), "/courses/six-slope-saturday.csv");
    fs::copy(roster, bench.path("six-slope-saturday.csv")).unwrap();
    let mut seen = 0;
    for (of, page) in [
        ("", "{{ nothing }}"),
        ("site", "{{ site.nothing }}"),
        ("slopes", "{% for s in slopes %}{{ s.nothing }}{% endfor %}"),
        ("vehicles", "{% for s in vehicles %}{{ s.nothing }}{% endfor %}"),
        ("drivers", "{% for s in drivers %}{{ s.nothing }}{% endfor %}"),
        ("staff", "{% for s in staff %}{{ s.nothing }}{% endfor %}"),
    ] {
        fs::write(bench.path("club/camp.typ.j2"), page).unwrap();
        let said = bench.run(&["check", "day.yaml"]).err;
        let given = said.lines().find(|line| line.contains("help:")).expect("what is given");
        let given = given.rsplit(" has ").next().unwrap();
        let line = told.lines().find(|line| line.trim().starts_with(&format!("{of}:")));
        let text = if of.is_empty() { told } else { line.expect("it is told of") };
        for name in given.split(", ") {
            seen += 1;
            let stands =
                text.split(|c: char| !c.is_ascii_alphanumeric() && c != '_').any(|word| word == name);
            assert!(stands, "`{of}.{name}` is given and not told of: {text}");
        }
        // And nothing more is told of than is given.
        if let Some(line) = line {
            let names = line.split_once(':').unwrap().1.replace("(its mark)", "").replace("each with", "");
            let names = names.replace("(a list)", "").replace("(a figure)", "").replace("(or none)", "");
            let names = names.replace("(true or false)", "").replace("a list,", "");
            for name in names.split([',', ';']).map(str::trim).filter(|name| !name.is_empty()) {
                assert!(given.split(", ").any(|one| one == name), "`{of}.{name}` is told of and not given");
            }
        }
    }
    assert!(seen > 25, "{seen}");
}

/// What the program writes for a club to begin from passes as it is; the lines that decide are in no such part.
#[test]
fn every_part_that_a_club_may_word_is_made_of_the_pieces_and_decides_nothing() {
    let templates = Templates::embedded().unwrap();
    let open: Vec<_> = KINDS.iter().filter(|kind| templates.part(&kind.template()).is_some()).collect();
    let names: Vec<&str> = open.iter().map(|kind| kind.name).collect();
    assert_eq!(names, ["joining-notes", "convoy", "after-day"]);
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/courses/six-slope-saturday.yaml");
    let loaded = slopepack::course::read(path.as_ref()).expect("a course");
    let mut book = Book::of(&loaded.course, "0000-0000");
    book.rotate(&slopepack::rota::Missing::default()).expect("a rota");
    for kind in open {
        let template = kind.template();
        let text = templates.part(&template).unwrap().to_owned();
        for word in [".abort", "abort-box", "panel(", "verdict", "caution", "warning", "danger", "limit"] {
            assert!(!text.to_lowercase().contains(word), "{template} lets a club take away: {word}");
        }
        let page = OwnPage { file: "club/x.typ.j2".into(), text: &text, frame: Frame::Within(&template) };
        let with = Templates::embedded().unwrap().with_own(&[page]).expect("it parses");
        let filled =
            kind.fill(&book, &with).expect("there is one").unwrap_or_else(|why| panic!("{template}: {why}"));
        assert!(filled.own.is_some() && part(&filled.text).is_none(), "{template}");
    }
}
