//! The recovery pages carry what a recovery lesson must say, in the published signal words.

use crate::program::{Bench, squeezed, text_of};

#[test]
fn recovery_pages_warn_and_defer() {
    let bench = Bench::with_example("quarry-day.yaml");
    let args = [
        "--quiet",
        "pack",
        "day.yaml",
        "--into",
        "pack",
        "--only",
        "recovery-plan",
        "--only",
        "recovery-lesson",
    ];
    let ran = bench.run(&args);
    assert_eq!(ran.code, 0, "{}", ran.err);
    for (name, signal) in [("recovery-plan", "warning"), ("recovery-lesson", "danger")] {
        let text = text_of(&std::fs::read(bench.path(&format!("pack/{name}.pdf"))).unwrap()).to_lowercase();
        for words in ["danger", signal, "trained rigger", "rating", "law", "stop"] {
            assert!(text.contains(&squeezed(words)), "{name} does not say `{words}`");
        }
    }
}
