//! What everybody holds in the hand, read from the printed sheets: random clubs, three random changes in a row,
//! and after each of them everybody's newest card says what the newest run sheet says.
//!
//! Four clubs of 6 to 11 drivers on three slopes, some of whom come late or go early; each is printed four times by
//! the program itself. `SLOPEPACK_CLUBS=200` makes so many.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::Path;
use std::process::Command;
use std::time::Instant;

use crate::clubs_made::{asked_for, tell};

/// Clubs made where no number is given.
const CLUBS: u64 = 4;
/// Drivers and staff are called so that no name is part of another.
const NAMES: &str = "Qaa Qab Qac Qad Qae Qaf Qag Qah Qai Qaj Qak Wxa Wxb Wxc";
const STAFF: &str = "Maa Mab Mac Mad Mae Maf Iaa Iab Iac";

/// A small sequence of numbers from a seed (splitmix64).
struct Lot(u64);

impl Lot {
    fn below(&mut self, most: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        usize::try_from((z ^ (z >> 31)) % most as u64).expect("small")
    }

    fn one<'a, T>(&mut self, of: &'a [T]) -> &'a T {
        &of[self.below(of.len())]
    }
}

fn club(lot: &mut Lot) -> String {
    let slope = |id: &str, name: &str, gradient: usize| {
        format!(
            "  - {{id: {id}, name: {name}, purpose: Practice., entry-speed: 3 km/h, surface: gravel-firm, length: 30 m, gradient: {gradient}°, width: 8 m, \
             run-out: {{length: 40 m, gradient: 0°}}}}\n"
        )
    };
    let mut text = String::from(
        "course: {title: Random club, club: Nobody, site: Nowhere, version: 1, units: metric, paper: A4}\n\
         limits: {gradient: 25°, side-tilt: 12°, descent-speed: 10 km/h, brake-temperature: 250 °C}\n\
         slopes:\n",
    );
    text += &slope("easy", "Easy", 4 + lot.below(3));
    text += &slope("middle", "Middle", 8 + lot.below(3));
    text += &slope("hard", "Hard", 14 + lot.below(4));
    text += "vehicles: [{id: club-car, name: club car, class: wagon, mass: 2300 kg, wheelbase: 2.8 m, \
             tyres: 265/70R17, engine: {fuel: diesel, displacement: 2.8 L, cylinders: 4}, \
             gearbox: {kind: manual, ratios: [4.1, 2.3, 1.4, 1.0, 0.8]}, transfer: {high: 1.0, low: 2.7}, axle: 3.9, \
             drive: all wheels}]\n";
    text += "day: {start: 09:00, end: 18:00, runs: 1, run-gap: 12 min, channel: Channel 3}\n";
    text += "people:\n  - {name: Laa, role: lead}\n  - {name: Faa, role: first-aider}\n";
    for name in STAFF.split(' ') {
        let role = if name.starts_with('M') { "marshal" } else { "instructor" };
        // No time of theirs is the start of a slot, which would read as one.
        let times = if ["Maf", "Iac"].contains(&name) && lot.below(2) == 0 { ", leaves: 15:53" } else { "" };
        writeln!(text, "  - {{name: {name}, role: {role}{times}}}").expect("text");
    }
    text += "roster:\n  drivers:\n";
    for (at, name) in NAMES.split(' ').take(6 + lot.below(6)).enumerate() {
        let experience = lot.one(&["novice", "some", "experienced"]);
        let car = match at {
            0 => "vehicle: club-car",
            1 => "shares: Qaa",
            _ => lot.one(&[
                "class: wagon",
                "class: pickup",
                "class: short-wheelbase",
                "class: wagon, needs: hearing",
            ]),
        };
        let times = if at == 3 && lot.below(2) == 0 { ", arrives: 10:47" } else { "" };
        writeln!(text, "    - {{driver: {name}, {car}, experience: {experience}{times}}}").expect("text");
    }
    let spare = lot.below(2) + 1;
    write!(
        text,
        "rota:\n  from: 10:00\n  until: 17:00\n  lunch: {{from: 12:30, length: 30 min}}\n  changeover: 5 min\n  \
         reset: 60 s\n  spare-slots: {spare}\n  group-size: {{most: 4, source: club rule}}\n  \
         drivers-per-instructor: {{most: 4, source: club rule}}\n  marshals-per-slope: {{least: 2, source: club rule}}\n  \
         duty: {{most: 2 h, pause: 15 min, source: club rule}}\n  theory: {{title: Reading, groups-at-once: 2}}\n  \
         demonstration: {{title: Shown, slope: middle, groups-at-once: 2}}\n"
    )
    .expect("text");
    text
}

fn squeezed(path: &Path) -> Vec<String> {
    let document = lopdf::Document::load(path).expect("a PDF");
    let pages = document.get_pages().into_keys();
    let text = |page| document.extract_text(&[page]).expect("its text");
    pages
        .map(|page| text(page).chars().filter(|c| !c.is_whitespace() && *c != '\u{200b}').collect())
        .collect()
}

/// What somebody does at a time: the mark of the station, and drives, watches or the post.
type Line = (String, &'static str);

/// The mark a text begins with.
fn mark(text: &str) -> Option<&str> {
    let slope = |text: &str| text.starts_with('S') && text[1..].starts_with(|c: char| c.is_ascii_digit());
    ["Show", "Talk", "–"]
        .into_iter()
        .find(|known| text.starts_with(known))
        .or_else(|| slope(text).then(|| &text[..2]))
}

/// A card's lines, by the time they begin at.
fn card(text: &str, times: &[String]) -> BTreeMap<String, Line> {
    let mut lines = BTreeMap::new();
    for (at, time) in times.iter().enumerate() {
        let Some(from) = text.find(time.as_str()) else { continue };
        let rest = &text[from + time.len()..];
        let until =
            times[at + 1..].iter().filter_map(|next| rest.find(next.as_str())).min().unwrap_or(rest.len());
        let rest = rest[..until].trim_start_matches('→');
        let mark = mark(rest).unwrap_or_else(|| panic!("no place at {time} on {text}"));
        let doing = ["DONOTDRIVE", "brow,", "foot,", "beside,"].into_iter().find(|word| rest.contains(word));
        let doing = match doing {
            Some("DONOTDRIVE") => "watch",
            Some(post) => post.trim_end_matches(','),
            None => "",
        };
        if mark != "–" {
            lines.insert(time.clone(), (mark.to_owned(), doing));
        }
    }
    lines
}

/// Somebody's row of the run sheet.
fn row(text: &str, name: &str, note: usize, times: &[String]) -> BTreeMap<String, Line> {
    let from = text.find(name).unwrap_or_else(|| panic!("no {name} on the run sheet: {text}"));
    let mut rest = &text[from + name.len() + note..];
    let mut lines = BTreeMap::new();
    for time in times {
        let mark = mark(rest).unwrap_or_else(|| panic!("no place of {name} at {time}: {rest}"));
        rest = &rest[mark.len()..];
        let doing =
            ["watch", "brow", "foot", "beside"].into_iter().find(|word| rest.starts_with(word)).unwrap_or("");
        rest = &rest[doing.len()..];
        if rest.starts_with(['L', 'H']) && rest[1..].starts_with(|c: char| c.is_ascii_digit()) {
            rest = rest[2..].trim_start_matches("+brake");
        }
        if mark != "–" {
            lines.insert(time.clone(), (mark.to_owned(), doing));
        }
    }
    lines
}

/// What is held and what hangs on the board.
#[derive(Default)]
struct Day {
    cards: BTreeMap<String, String>,
    serves: String,
    drives: String,
    times: Vec<String>,
    /// What begins earlier is over.
    from: String,
}

impl Day {
    /// Takes what was printed: new cards for old ones, new sheets over old ones.
    fn takes(&mut self, folder: &Path) {
        let sheets = folder.join("run-sheets.pdf");
        if sheets.exists() {
            let text = squeezed(&sheets).concat();
            let (before, drives) = text.split_once("Byperson:whodrives").expect("who drives");
            let (grid, serves) = before.split_once("Byperson:whoserves").expect("who serves");
            let grid = &grid[grid.find("Bytime").expect("by time")..];
            let head = &grid[..grid.find("Group1Q").expect("a group")];
            self.times = head
                .match_indices("to")
                .filter_map(|(at, _)| Some(head.get(at.checked_sub(5)?..at)?.to_owned()))
                .collect();
            (self.serves, self.drives) = (serves.to_owned(), drives.to_owned());
            assert!(self.times.len() > 4 && drives.contains('Q'), "{text}");
        }
        for name in ["driver-cards.pdf", "marshal-cards.pdf"] {
            let cards = folder.join(name);
            let mut printed: BTreeMap<String, String> = BTreeMap::new();
            for page in if cards.exists() { squeezed(&cards) } else { Vec::new() } {
                let names = NAMES.split(' ').chain(STAFF.split(' '));
                let head = page.split("LIMIT").next().unwrap_or_default();
                let head = if head.len() < page.len() { head } else { page.as_str() };
                let who = names.filter_map(|who| Some((head.find(who)?, who))).min().expect("a name").1;
                // A long day goes on on a second card.
                printed.entry(who.to_owned()).or_default().push_str(table(&page));
            }
            self.cards.extend(printed);
        }
    }

    /// Everybody on the newest run sheet holds a card that says the same; and nobody stands alone.
    fn agrees(&self, what: &str) {
        let mut posts: BTreeMap<(String, String), Vec<&str>> = BTreeMap::new();
        for name in NAMES.split(' ').filter(|name| self.drives.contains(*name)) {
            let printed = row(&self.drives, name, 1, &self.times);
            let held = self.cards.get(name).unwrap_or_else(|| panic!("{name} has no card after {what}"));
            assert_eq!(card(held, &self.times), printed, "{name} after {what}: {held}");
        }
        for name in STAFF.split(' ').filter(|name| self.serves.contains(*name)) {
            let role = if name.starts_with('M') { "marshal" } else { "instructor" };
            let printed = row(&self.serves, name, role.len(), &self.times);
            let held = self.cards.get(name).unwrap_or_else(|| panic!("{name} has no card after {what}"));
            assert_eq!(card(held, &self.times), printed, "{name} after {what}: {held}");
            for (time, (mark, doing)) in printed.into_iter().filter(|(_, (_, doing))| !doing.is_empty()) {
                posts.entry((time, mark)).or_default().push(doing);
            }
        }
        // Whoever is missing now may have stood where it is over, and is on no sheet any more.
        for ((time, mark), mut posts) in posts.into_iter().filter(|((time, _), _)| *time >= self.from) {
            posts.sort_unstable();
            assert_eq!(posts, ["brow", "foot"], "at {time} on {mark} after {what}");
        }
    }
}

/// The table of a card: what stands between its head, lunch in it, and the list of what else is to be known.
fn table(page: &str) -> &str {
    let day = page.find("Yourday").unwrap_or(0);
    let rows = page[day..].split_once("km/h").or_else(|| page[day..].split_once("whocomes"));
    let rows = rows.unwrap_or_else(|| panic!("no table on {page}")).1;
    let end =
        ["Near", "Signals", "Byhand", "Before", "Start"].iter().filter_map(|head| rows.find(head)).min();
    &rows[..end.unwrap_or(rows.len())]
}

fn run(folder: &Path, more: &[String]) -> (Option<i32>, String) {
    let mut run = Command::new(env!("CARGO_BIN_EXE_slopepack"));
    let only = ["run-sheets", "driver-cards", "marshal-cards"].iter().flat_map(|name| ["--only", name]);
    let done = run
        .args(["--quiet", "pack"])
        .arg(folder.join("club.yaml"))
        .arg("--into")
        .arg(folder.join("out"))
        .args(only)
        .args(more)
        .output()
        .expect("it runs");
    (done.status.code(), String::from_utf8_lossy(&done.stderr).into_owned())
}

/// A change as it comes: who is missing, what is closed, who turns up; and from when.
fn change(lot: &mut Lot, number: usize, day: &Day) -> Vec<String> {
    let drivers: Vec<&str> = NAMES.split(' ').filter(|name| day.drives.contains(*name)).collect();
    let staff: Vec<&str> = STAFF.split(' ').filter(|name| day.serves.contains(*name)).collect();
    let came = ["Wxa", "Wxb", "Wxc"][number];
    let words = match lot.below(6) {
        0 => ["--without".to_owned(), (*lot.one(&drivers)).to_owned()],
        1 | 2 => ["--without".to_owned(), (*lot.one(&staff)).to_owned()],
        3 => ["--without".to_owned(), (*lot.one(&["easy", "middle", "hard"])).to_owned()],
        4 => ["--without".to_owned(), "club-car".to_owned()],
        _ => [
            "--with".to_owned(),
            format!("{came}, diesel wagon, {}", lot.one(&["novice", "some", "hearing"])),
        ],
    };
    let mut words = words.to_vec();
    let from = lot.one(&day.times[..day.times.len() / 2]).clone();
    if lot.below(2) == 0 {
        words.extend(["--from".to_owned(), from]);
    }
    words.extend(["--printed".to_owned(), format!("1{number}:30")]);
    words
}

/// From when the last change holds, by the record.
fn since(folder: &Path) -> String {
    let text = std::fs::read_to_string(folder.join("changes.json")).expect("a record");
    let record: serde_json::Value = serde_json::from_str(&text).expect("it is JSON");
    let last = record["changes"].as_array().and_then(|changes| changes.last()).expect("a change");
    let minutes = last["from"].as_u64().expect("minutes");
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}

#[test]
fn after_each_of_three_random_changes_everybodys_newest_card_says_what_the_run_sheet_says() {
    let mut made = 0;
    let seeds = asked_for().unwrap_or(1..=CLUBS);
    let clubs = seeds.clone().count();
    for seed in seeds {
        let (mut lot, begun) = (Lot(seed), Instant::now());
        let folder = tempfile::tempdir().expect("a folder");
        std::fs::write(folder.path().join("club.yaml"), club(&mut lot)).expect("a course");
        let (code, why) = run(folder.path(), &[]);
        assert_eq!(code, Some(0), "club {seed}: {why}");
        let mut day = Day::default();
        day.takes(&folder.path().join("out"));
        day.agrees(&format!("the pack of club {seed}"));
        for number in 0..3 {
            let words = change(&mut lot, number, &day);
            let what = format!("change {} of club {seed}, {words:?}", number + 1);
            let (code, why) = run(folder.path(), &words);
            // What cannot be done is refused in words, and everything stays as it was.
            if code == Some(0) {
                made += 1;
                day.from = since(&folder.path().join("out/change"));
                day.takes(&folder.path().join("out/change"));
            }
            assert!(matches!(code, Some(0 | 1)), "{what}: {why}");
            day.agrees(&what);
            tell(seed, &format!("{what}: {code:?}"), begun);
        }
    }
    println!("{made} changes of {} were made", 3 * clubs);
    assert!(made >= 5 * clubs / 2, "{made} changes of {} were made", 3 * clubs);
}
