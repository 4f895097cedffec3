//! What is said when the arguments cannot be understood.

use std::process::ExitCode;

use clap::error::{ContextKind, ContextValue, ErrorKind};

use super::Say;
use crate::problem::Failure;

/// Shows the help or the version that was asked for, or what is wrong with the arguments and what would be right.
pub fn wrong(why: &clap::Error) -> ExitCode {
    if matches!(why.kind(), ErrorKind::DisplayHelp | ErrorKind::DisplayVersion) {
        return match why.print() {
            Ok(()) => ExitCode::SUCCESS,
            Err(_) => ExitCode::from(4),
        };
    }
    let failure = Failure::Usage(in_words(why));
    Say::new(false).failure(&failure);
    ExitCode::from(failure.exit_code())
}

/// What was typed, why it does not do, and what would.
fn in_words(why: &clap::Error) -> String {
    let of = |kind| why.get(kind).map(listed).filter(|text| !text.is_empty());
    let typed = of(ContextKind::InvalidArg).unwrap_or_else(|| "this".to_owned());
    let value = of(ContextKind::InvalidValue).unwrap_or_default();
    let message = match why.kind() {
        ErrorKind::InvalidSubcommand => {
            let word = of(ContextKind::InvalidSubcommand).unwrap_or(typed);
            format!("{word} is nothing slopepack can do")
        }
        ErrorKind::UnknownArgument => format!("{typed} means nothing here"),
        ErrorKind::MissingRequiredArgument => format!("{typed} is still to be given"),
        ErrorKind::InvalidValue if value.is_empty() => format!("nothing stands after {typed}"),
        ErrorKind::InvalidValue | ErrorKind::ValueValidation => {
            let reason = std::error::Error::source(why)
                .map(|reason| format!(": {reason}").replace("..=", " to "))
                .unwrap_or_default();
            format!("{value} cannot stand after {typed}{reason}")
        }
        ErrorKind::ArgumentConflict => match of(ContextKind::PriorArg) {
            Some(other) if other != typed => format!("{typed} and {other} do not go together"),
            _ => format!("{typed} may be given once"),
        },
        ErrorKind::TooManyValues | ErrorKind::WrongNumberOfValues => format!("{typed} takes one value"),
        ErrorKind::TooFewValues | ErrorKind::NoEquals => format!("{typed} takes a value"),
        ErrorKind::InvalidUtf8 => "an argument is not text in UTF-8".to_owned(),
        ErrorKind::MissingSubcommand | ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand => {
            "say what is to be done, such as `slopepack check day.yaml`".to_owned()
        }
        _ => "these arguments do not go together".to_owned(),
    };
    let nearest = [ContextKind::SuggestedSubcommand, ContextKind::SuggestedArg, ContextKind::SuggestedValue]
        .into_iter()
        .find_map(of)
        .map(|near| format!("; did you mean {near}?"));
    let choice = of(ContextKind::ValidValue).or_else(|| of(ContextKind::ValidSubcommand));
    let choice = choice.map(|all| format!("; there is {all}"));
    let advice = nearest.or(choice).unwrap_or_default();
    format!("{message}{advice}\n`slopepack --help`, or `--help` after a command, tells what can be written")
}

/// A word or words of the parser, each in backticks.
fn listed(value: &ContextValue) -> String {
    let ticked = |text: &str| format!("`{text}`");
    match value {
        ContextValue::String(text) if !text.is_empty() => ticked(text),
        ContextValue::Strings(texts) => texts.iter().map(|text| ticked(text)).collect::<Vec<_>>().join(", "),
        _ => String::new(),
    }
}
