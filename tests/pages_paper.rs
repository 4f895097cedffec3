//! How much paper a pack takes, how full its pages are, how large its type is outdoors: measured, and held.

use crate::pages::{Pack, Paper, examples};
use crate::pages_read::{Piece, Sheet};

const MM: f64 = 72.0 / 25.4;
/// Height of a band that either holds something or is empty, mm.
const BAND: f64 = 12.0;

/// Forms, cards and what is written on: white is what they are for. The recovery papers have rooms of their own.
const WRITTEN_ON: &[&str] = &[
    "after-day",
    "attendance",
    "certificate",
    "comparison",
    "driver-cards",
    "driver-cards-large",
    "incident-form",
    "joining-notes",
    "kit-record",
    "leader-sheet",
    "marshal-cards",
    "quiz",
    "quiz-answers",
    "recovery-lesson",
    "recovery-plan",
    "slope-cards",
    "vehicle-cards",
    "vehicle-check",
    "vehicle-questions",
];

/// Read on a clipboard beside a slope.
const OUTDOORS: &[&str] = &[
    "comparison",
    "fleet-table",
    "instructor-notes",
    "incident-form",
    "radio-plan",
    "risk-assessment",
    "safety-briefing",
    "slope-cards",
    "vehicle-cards",
    "vehicle-check",
    "when-it-goes-wrong",
];

/// Most pages of the papers that are not recovery's, and most pages under half full; quarry, hill club, six slopes.
/// Four of the quarry's say who holds which post in every turn, what a wet day closes, and what to do where stopping
/// is wrong; two hold plans: the site, and each slope from above; one lists the measuring kit, one is the back of the
/// vehicle cards. Of the six slopes' notes one page is lined for writing, and one teaches in fewer words than it has
/// room for; the last of their fleet table holds what closes its lists. One of the quarry's plan names who bars a crossing, who times and who sits beside.
const HELD: [(usize, usize); 3] = [(106, 1), (81, 0), (151, 4)];

fn written(sheet: &Sheet) -> impl Iterator<Item = &Piece> {
    sheet.pieces.iter().filter(|piece| !piece.artifact && !piece.text.trim().is_empty())
}

/// Share of a page's body that holds something: bands with text, and those between two that are near enough to be a
/// drawing's.
fn filled(sheet: &Sheet) -> f64 {
    let (top, foot) = (20.0 * MM, 22.0 * MM);
    let count = ((sheet.height - top - foot) / (BAND * MM)).ceil() as usize;
    let mut bands = vec![false; count];
    for piece in written(sheet) {
        let at = ((piece.y - top) / (BAND * MM)).floor();
        if at >= 0.0 && (at as usize) < count {
            bands[at as usize] = true;
        }
    }
    let inked: Vec<usize> = (0..count).filter(|at| bands[*at]).collect();
    for pair in inked.windows(2) {
        if pair[1] - pair[0] <= 4 {
            bands[pair[0]..pair[1]].fill(true);
        }
    }
    bands.iter().filter(|band| **band).count() as f64 / count as f64
}

/// A page for notes, or one of exercises, is written on.
fn is_form(sheet: &Sheet) -> bool {
    let has = |word: &str| sheet.pieces.iter().any(|piece| piece.text.trim() == word);
    has("Notes")
        || written(sheet).filter(|piece| piece.text.trim() == "Answer").count() >= 2
        || has("Signature")
}

fn under_half(paper: &Paper) -> Vec<usize> {
    let low = |(_, sheet): &(usize, &Sheet)| !is_form(sheet) && filled(sheet) < 0.5;
    (1..).zip(&paper.sheets).filter(low).map(|(number, _)| number).collect()
}

fn smallest(pack: &Pack) -> f64 {
    let outdoors = pack.papers.iter().filter(|paper| OUTDOORS.contains(&paper.name));
    let pieces = outdoors.flat_map(|paper| &paper.sheets).flat_map(written);
    pieces.filter(|piece| !piece.formula).map(|piece| piece.size).fold(f64::INFINITY, f64::min)
}

/// Share of the letters outdoors that are under 11 pt.
fn share_small(pack: &Pack) -> f64 {
    let outdoors = pack.papers.iter().filter(|paper| OUTDOORS.contains(&paper.name));
    let (mut small, mut count) = (0.0, 0.0);
    for piece in outdoors.flat_map(|paper| &paper.sheets).flat_map(written) {
        let letters = piece.text.chars().filter(|letter| !letter.is_whitespace()).count() as f64;
        count += letters;
        if piece.size < 10.9 {
            small += letters;
        }
    }
    small / count
}

#[test]
fn paper_is_not_wasted() {
    let mut faults = Vec::new();
    for (pack, (pages, low)) in examples().iter().zip(HELD) {
        let title = pack.course.title.short();
        let mut empty = Vec::new();
        for paper in pack.papers.iter().filter(|paper| !WRITTEN_ON.contains(&paper.name)) {
            empty.extend(under_half(paper).into_iter().map(|number| format!("{} {number}", paper.name)));
        }
        let own = pack.papers.iter().filter(|paper| !paper.name.starts_with("recovery"));
        let count: usize = own.map(|paper| paper.sheets.len()).sum();
        let whole: usize = pack.papers.iter().map(|paper| paper.sheets.len()).sum();
        println!(
            "{title}: {count} pages and {} of recovery; {} under half full ({}); smallest type outdoors {:.1} pt, {:.0} % of letters under 11",
            whole - count,
            empty.len(),
            empty.join(", "),
            smallest(pack),
            100.0 * share_small(pack)
        );
        if count > pages {
            faults.push(format!("{title}: {count} pages, {pages} were enough"));
        }
        if empty.len() > low {
            faults.push(format!("{title}: {} pages under half full: {}", empty.len(), empty.join(", ")));
        }
        if smallest(pack) < 8.99 {
            faults.push(format!("{title}: {:.1} pt outdoors", smallest(pack)));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
