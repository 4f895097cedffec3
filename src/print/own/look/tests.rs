//! What passes and what is refused.

use super::*;

fn first(page: &str) -> Option<(String, String)> {
    let fault = faults(page, 2).into_iter().next()?;
    Some((page[fault.at].to_owned(), fault.message))
}

#[test]
fn words_and_pieces_pass() {
    let page = "== Camp\n*Bold*, _lean_ and #\"{{ text }}\"; next.\n- one\n+ two\n/ Term: said\n\\$ 5 \\@ \\<\n\
                #panel(\"notice\", size: pt(11))[Keep out: #show-fig((v: \"20\", u: \"km/h\", e: true));]\n\
                #form-table(((head: \"Who\", width: 1fr), (head: \"Until\", width: 22mm)), (([a], []),), blank: 5)\n\
                #grid(columns: (1fr, 1fr), column-gutter: 8mm, [\n=== Left\n], [words])\n#v(4mm)\n\
                #image(\"/pictures/own-hut.jpg\", alt: \"The hut from the road\", height: 60mm)\n\
                #sign-off(\"In charge: \" + \"A. B.\") // a remark\n";
    assert_eq!(faults(page, 2), []);
}

#[test]
fn every_way_out_of_the_page_is_refused_where_it_stands() {
    for (page, at) in [
        ("Words.\n#read(\"/etc/passwd\")", "read"),
        ("#import \"style.typ\": *", "import \"style.typ\": *"),
        ("#include \"/style.typ\"", "include \"/style.typ\""),
        ("#plugin(\"x.wasm\")", "plugin"),
        ("#eval(\"1\")", "eval"),
        ("#std.read(\"x\")", "std.read(\"x\")"),
        ("#set page(background: none)", "set page(background: none)"),
        ("#show: body => []", "show: body => []"),
        ("#place(bottom)[x]", "place"),
        ("a\u{0}b", "a\u{0}b"),
        ("字", "字"),
        ("#let read2 = read", "let read2 = read"),
        ("#(read)(\"x\")", "(read)(\"x\")"),
        ("#text(fill: white)[x]", "fill: white"),
        ("#text(size: 2pt)[x]", "2pt"),
        ("#text(size: pt(2))[x]", "pt(2)"),
        ("#block(outset: 90mm)[x]", "outset: 90mm"),
        ("#v(-90mm)", "-90mm"),
        ("#keep[#v(100mm)]", "v(100mm)"),
        ("#h(900mm)", "900mm"),
        ("#grid(columns: 100000000)[x]", "100000000"),
        ("#while true {}", "while true {}"),
        ("#for x in range(9) [x]", "for x in range(9) [x]"),
        ("#context here()", "context here()"),
        ("#panel(..args)", "..args"),
        ("#strong(read)", "read"),
        ("#list[#eval(\"x\")]", "eval"),
        ("#grid(columns: (eval(\"x\"),))[x]", "eval"),
        ("$ x $", "$ x $"),
        ("told <caution>", "<caution>"),
        ("see @there", "@there"),
        ("`x`", "`x`"),
        ("/* never closed", "/* never closed"),
        ("= Another title", "= Another title"),
        ("==== Deep", "==== Deep"),
        ("#strong[open", ""),
        ("#panel(\"notice\"", ""),
    ] {
        let (found, message) = first(page).unwrap_or_else(|| panic!("{page} passes"));
        assert!(at.is_empty() || found == at, "{page}: {found}: {message}");
    }
}

#[test]
fn a_picture_is_the_clubs_own_and_says_what_it_shows() {
    for page in [
        "#image(\"/pictures/own-hut.jpg\")",
        "#image(\"/pictures/own-hut.jpg\", alt: \"\")",
        "#image(\"/pictures/own-hut.jpg\", alt: none)",
        "#image(\"/pictures/own-../../x.jpg\", alt: \"The hut from the road\")",
        "#image(\"/pictures/own-hut.jpg\", alt: \"The hut from the road\")",
        "#image(\"/pictures/own-hut.jpg\", alt: \"The hut from the road\", height: 100%)",
        "#image(\"/style.typ\", alt: \"The hut from the road\")",
    ] {
        assert!(first(page).is_some_and(|(_, message)| message.contains("picture")), "{page}");
    }
}

#[test]
fn what_is_nested_deep_ends() {
    for open in ["[", "#[", "#(", "#text(", "#strong[", "*_", "- ", "#panel(\"x\")["] {
        let page = open.repeat(40_000);
        let found = faults(&page[..60_000.min(page.len())], 2);
        assert!(found.len() < 70_000, "{open}");
    }
}
