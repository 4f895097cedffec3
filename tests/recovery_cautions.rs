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

/// Where a vehicle may drive and no rig fetches it back, the plan and the index say so in the same words.
#[test]
fn plan_and_index_name_the_vehicles_that_no_rig_pulls_back() {
    let bench = Bench::with_example("quarry-day.yaml");
    let told = |change: &[(&str, &str)]| {
        let mut text = std::fs::read_to_string(bench.path("day.yaml")).unwrap();
        for (from, to) in change {
            assert!(text.contains(from), "{from}");
            text = text.replace(from, to);
        }
        std::fs::write(bench.path("day.yaml"), text).unwrap();
        let ran = bench.run(&["--quiet", "pack", "day.yaml", "--into", "pack", "--only", "recovery-plan"]);
        assert_eq!(ran.code, 0, "{}", ran.err);
        ["recovery-plan", "index"].map(|name| {
            text_of(&std::fs::read(bench.path(&format!("pack/{name}.pdf"))).unwrap()).to_lowercase()
        })
    };
    for page in told(&[]) {
        assert!(page.contains(&squeezed("this kit does not fetch")), "{page}");
        assert!(page.contains(&squeezed("e from every slope it drives")), "the guest has no rated point");
    }
    // Without any rated shackle and bar nobody is fetched.
    let without = [
        ("kind: shackle, count: 8, working-load: 4.75 t, design-factor: 6", "kind: shackle, count: 8"),
        ("kind: shackle, count: 4, working-load: 6.5 t, design-factor: 6", "kind: shackle, count: 4"),
        ("kind: tow-bar, working-load: 4 t", "kind: tow-bar"),
    ];
    for page in told(&without) {
        assert!(page.contains(&squeezed("does not fetch any vehicle from any slope")));
    }
}
