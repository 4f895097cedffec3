//! The figures as text for a terminal or a pipe.

use std::fmt::Write;
use std::io;

use crate::course::Course;
use crate::engine::{Pair, Reckoning, Way};
use crate::formula::Worked;
use crate::lesson::each_worked_example;
use crate::page::Show;
use crate::page::words::{deciding_words, near_speed};
use crate::problem::printable;

/// Who goes where, then every worked example, each written as soon as it is worked. What a course holds must not steer
/// the terminal.
pub(super) fn write(to: &mut dyn io::Write, course: &Course, reckoning: &Reckoning) -> io::Result<()> {
    let mut out = String::new();
    heading(&mut out, course.title.full());
    out.push_str(
        "Estimates for teaching. The instructor on the ground decides; vehicle makers' limits, site rules\nand local law come first.\n\n",
    );
    for slope in &course.slopes {
        heading(&mut out, &format!("{} ({})", slope.name, slope.id));
        for pair in reckoning.pairs.iter().filter(|pair| pair.slope == slope.id) {
            standing(&mut out, course, pair);
        }
        out.push('\n');
    }
    heading(&mut out, "Worked examples");
    to.write_all(printable(&out).as_bytes())?;
    each_worked_example(course, reckoning, |example| {
        out.clear();
        write_example(&mut out, &example);
        to.write_all(printable(&out).as_bytes())
    })
}

fn heading(out: &mut String, text: &str) {
    let _ = writeln!(out, "{text}\n{}", "-".repeat(text.chars().count()));
}

fn standing(out: &mut String, course: &Course, pair: &Pair) {
    let show = Show::new(course.units);
    let judged = &pair.judged;
    let gear = judged.gear.filter(|_| judged.mark.goes()).map(|gear| format!("{gear}, "));
    let speed = show.speeds(judged.top_speed.low, judged.top_speed.high, true).text();
    let limit = course.limits.descent_speed.si();
    let up_to = near_speed(judged, limit, show).map(|most| format!(", {most}"));
    let told = match (gear, judged.first()) {
        (Some(gear), _) => format!("{gear}{speed}{}", up_to.unwrap_or_default()),
        (None, Some(first)) => deciding_words(first, show),
        (None, None) => "no gear to reckon with".to_owned(),
    };
    let action = judged.mark.action().map(|action| format!(" ({action})")).unwrap_or_default();
    let _ = writeln!(out, "  {:<14} {}{action}: {told}", pair.vehicle, judged.mark);
    let shown = usize::from(!judged.mark.goes());
    for reason in judged.reasons.iter().skip(shown) {
        let _ = writeln!(out, "  {:<14}   {}", "", deciding_words(reason, show));
    }
    for differential in &judged.lock {
        let _ = writeln!(out, "  {:<14}   before the brow: {differential}", "");
    }
    for differential in &judged.unlock {
        let _ = writeln!(out, "  {:<14}   before the brow, out: {}", "", differential.lock_name());
    }
    for measure in &judged.measure {
        let _ = writeln!(out, "  {:<14}   to judge it better: {measure}", "");
    }
    if let Some(locked) = pair.way(Way::Locked) {
        let _ = writeln!(out, "  {:<14}   wheels locked at the brow: {}", "", locked.descent.outcome);
    }
}

fn write_example(out: &mut String, example: &Worked) {
    let about: Vec<&str> =
        [&example.slope, &example.vehicle, &example.gear].into_iter().flatten().map(String::as_str).collect();
    let _ = writeln!(out, "\n{} [{}]", example.title, about.join(", "));
    for given in &example.given {
        let mark = if given.estimated { "  (estimate)" } else { "" };
        let unit =
            if given.unit.symbol == "°" { "°".to_owned() } else { format!(" {}", given.unit.symbol) };
        let _ = writeln!(
            out,
            "    {} = {}{}  {}{mark}",
            given.symbol.plain,
            given.shown.text,
            unit.trim_end(),
            given.symbol.name
        );
    }
    for line in &example.lines {
        let _ =
            writeln!(out, "  {} = {}\n    = {}", line.formula.gives.plain, line.plain_letters, line.plain);
    }
}
