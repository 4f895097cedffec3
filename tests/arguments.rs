//! The help, and what is said to arguments that cannot be understood.

use crate::program::Bench;

/// Sentences and headings of the library that reads the arguments: none of them is ours to say.
const STOCK: [&str; 15] = [
    "[default",
    "[env",
    "Possible values",
    "Usage:",
    "Commands:",
    "Options:",
    "Arguments:",
    "Print help",
    "Print version",
    "Print this message",
    "unrecognized",
    "unexpected argument",
    "invalid value",
    "required arguments",
    "For more information",
];

#[test]
fn what_is_wrong_with_the_arguments_is_told_in_our_own_words() {
    let bench = Bench::with_example("hill-club-weekend.yaml");
    let wrong: &[(&[&str], &str)] = &[
        (&[], "say what is to be done"),
        (&["pakc", "day.yaml"], "`pakc` is nothing slopepack can do; did you mean `pack`?"),
        (&["pack"], "`<COURSE>` is still to be given"),
        (
            &["pack", "day.yaml", "--large-pront"],
            "`--large-pront` means nothing here; did you mean `--large-print`?",
        ),
        (&["papers", "day.yaml", "--forms", "0"], "`0` cannot stand after `--forms <N>`"),
        (&["papers", "day.yaml", "--seed"], "nothing stands after `--seed <N>`"),
        (&["papers", "day.yaml", "--seed", "1", "--seed", "2"], "`--seed <N>` may be given once"),
        (&["reckon", "day.yaml", "--json", "--csv"], "`--json` and `--csv` do not go together"),
        (&["check", "day.yaml", "more"], "`more` means nothing here"),
    ];
    for (arguments, told) in wrong {
        let ran = bench.run(arguments);
        assert_eq!(ran.code, 2, "{arguments:?}: {}", ran.err);
        assert!(ran.err.starts_with("error: ") && ran.err.contains(told), "{arguments:?}: {}", ran.err);
        assert!(ran.err.contains("slopepack --help") && ran.out.is_empty(), "{arguments:?}");
        assert!(STOCK.iter().all(|stock| !ran.err.contains(stock)), "{arguments:?}: {}", ran.err);
    }
}

#[test]
fn the_help_is_in_our_own_words_and_tells_every_command() {
    let bench = Bench::with_example("hill-club-weekend.yaml");
    let all = bench.run(&["--help"]);
    assert_eq!((all.code, all.err.as_str()), (0, ""));
    for word in ["You write", "What it can do", "pack", "papers", "mark", "reckon", "check", "Exit codes"] {
        assert!(all.out.contains(word), "{word}: {}", all.out);
    }
    for command in ["pack", "papers", "mark", "reckon", "check"] {
        let help = bench.run(&[command, "--help"]);
        assert_eq!(help.code, 0);
        assert!(help.out.contains("You write") && help.out.contains("--quiet"), "{}", help.out);
        assert!(
            STOCK.iter().all(|stock| !help.out.contains(stock) && !all.out.contains(stock)),
            "{}",
            help.out
        );
    }
    assert!(bench.run(&["--version"]).out.starts_with("slopepack "));
}
