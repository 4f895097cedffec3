//! What everybody holds in the hand, read from the printed sheets: random clubs, three random changes in a row,
//! and after each of them everybody's newest card says what the newest run sheet of that day says.
//!
//! Four clubs are printed four times each by the program itself. `SLOPEPACK_CLUBS=200` makes so many, every tenth of them
//! with up to 60 drivers on up to 8 slopes.

use std::collections::BTreeMap;
use std::path::Path;
use std::time::Instant;

use crate::clubs_made::{asked_for, tell};
use crate::clubs_written::{Club, Lot, WALK_INS};
use crate::program::slopepack;

/// Clubs made where no number is given.
const CLUBS: u64 = 4;

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

/// Somebody's row of the run sheet: their name, their role or the letters of their vehicle, then a cell a slot.
fn row(text: &str, name: &str, times: &[String]) -> BTreeMap<String, Line> {
    let from = text.find(name).unwrap_or_else(|| panic!("no {name} on the run sheet: {text}"));
    let text = &text[from + name.len()..];
    let cells = |note: &usize| text.get(*note..).is_some_and(|rest| mark(rest).is_some());
    let note = ["marshal", "instructor"].iter().find(|role| text.starts_with(**role)).map(|role| role.len());
    let note = note.or_else(|| (1..=2).find(cells)).unwrap_or_else(|| panic!("no cells of {name}: {text}"));
    let mut rest = &text[note..];
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
        for instead in ["surveyfirst", "driven"] {
            rest = rest.trim_start_matches(instead);
        }
        if mark != "–" {
            lines.insert(time.clone(), (mark.to_owned(), doing));
        }
    }
    lines
}

/// What is held on one day and what hangs on the board.
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
    /// Takes what was printed: new cards for old ones, new sheets over old ones. The files of a pack of several days are
    /// called by their day.
    fn takes(&mut self, folder: &Path, day: &str, club: &Club) {
        let sheets = folder.join(format!("run-sheets{day}.pdf"));
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
            assert!(self.times.len() > 2 && drives.contains('Q'), "{text}");
        }
        for name in ["driver-cards", "marshal-cards"] {
            let cards = folder.join(format!("{name}{day}.pdf"));
            let mut printed: BTreeMap<String, String> = BTreeMap::new();
            for page in if cards.exists() { squeezed(&cards) } else { Vec::new() } {
                // Whoever is in charge and whoever gives first aid have a card as well, and no line in it.
                let names = club.everybody().chain(["Laa", "Faa"]);
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
    fn agrees(&self, club: &Club, what: &str) {
        let mut posts: BTreeMap<(String, String), Vec<&str>> = BTreeMap::new();
        for name in club.might_drive().filter(|name| self.drives.contains(*name)) {
            let printed = row(&self.drives, name, &self.times);
            let held = self.cards.get(name).unwrap_or_else(|| panic!("{name} has no card after {what}"));
            assert_eq!(card(held, &self.times), printed, "{name} after {what}: {held}");
        }
        for name in club.staff.iter().filter(|name| self.serves.contains(*name)) {
            let printed = row(&self.serves, name, &self.times);
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
    let end = ["Near", "Signals", "First", "Byhand", "Oncall", "Before", "Start", "Radio"]
        .iter()
        .filter_map(|head| rows.find(head))
        .min();
    &rows[..end.unwrap_or(rows.len())]
}

fn run(folder: &Path, more: &[String]) -> (Option<i32>, String) {
    let mut run = slopepack();
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

/// All days as they are held.
struct Weekend {
    club: Club,
    days: Vec<Day>,
    folder: tempfile::TempDir,
}

impl Weekend {
    fn of(seed: u64, lot: &mut Lot) -> Self {
        let club = Club::of(seed, lot);
        let folder = tempfile::tempdir().expect("a folder");
        std::fs::write(folder.path().join("club.yaml"), &club.text).expect("a course");
        let (code, why) = run(folder.path(), &[]);
        assert_eq!(code, Some(0), "club {seed}: {why}");
        let mut weekend = Self { days: (0..club.days).map(|_| Day::default()).collect(), club, folder };
        let out = weekend.folder.path().join("out");
        for (number, day) in (1..).zip(&mut weekend.days) {
            let file = if weekend.club.days == 1 { String::new() } else { format!("-day-{number}") };
            day.takes(&out, &file, &weekend.club);
        }
        weekend
    }

    /// Takes what a change printed, of whichever days.
    fn takes(&mut self) {
        for (number, day) in (1..).zip(&mut self.days) {
            let name = if self.club.days == 1 { "change".to_owned() } else { format!("change-day-{number}") };
            let folder = self.folder.path().join("out").join(name);
            if folder.join("changes.json").exists() {
                day.from = since(&folder);
                day.takes(&folder, "", &self.club);
            }
        }
    }

    fn agrees(&self, what: &str) {
        for (number, day) in (1..).zip(&self.days) {
            day.agrees(&self.club, &format!("{what}, on day {number}"));
        }
    }

    /// A change as it comes: who is missing, what is closed, who turns up; from when, and on which day.
    fn change(&self, lot: &mut Lot, number: usize) -> Vec<String> {
        let (which, club) = (lot.below(self.days.len()), &self.club);
        let day = &self.days[which];
        let drivers: Vec<&String> = club.drivers.iter().filter(|name| day.drives.contains(*name)).collect();
        let staff: Vec<&String> = club.staff.iter().filter(|name| day.serves.contains(*name)).collect();
        let words = match lot.below(6) {
            0 => ["--without".to_owned(), (*lot.one(&drivers)).clone()],
            1 | 2 => ["--without".to_owned(), (*lot.one(&staff)).clone()],
            3 => ["--without".to_owned(), lot.one(&club.slopes).clone()],
            4 => ["--without".to_owned(), "club-car".to_owned()],
            _ => {
                let who = lot.one(&["novice", "some", "hearing"]);
                let all = if club.days == 2 { lot.one(&["", ", all days"]) } else { "" };
                ["--with".to_owned(), format!("{}, diesel wagon, {who}{all}", WALK_INS[number])]
            }
        };
        let mut words = words.to_vec();
        let from = lot.one(&day.times[..day.times.len() / 2]).clone();
        if lot.below(2) == 0 {
            words.extend(["--from".to_owned(), from]);
        }
        if club.days == 2 {
            words.extend(["--day".to_owned(), (which + 1).to_string()]);
            if words[0] == "--without" && lot.below(3) == 0 {
                words.push("--one-day".to_owned());
            }
        }
        words.extend(["--printed".to_owned(), format!("1{number}:30")]);
        words
    }
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
        let mut weekend = Weekend::of(seed, &mut lot);
        weekend.agrees(&format!("the pack of club {seed}"));
        let (drivers, slopes) = (weekend.club.drivers.len(), weekend.club.slopes.len());
        tell(seed, &format!("{drivers} drivers, {slopes} slopes, {} days", weekend.days.len()), begun);
        for number in 0..3 {
            let words = weekend.change(&mut lot, number);
            let what = format!("change {} of club {seed}, {words:?}", number + 1);
            let (code, why) = run(weekend.folder.path(), &words);
            // What cannot be done is refused in words, and everything stays as it was.
            if code == Some(0) {
                made += 1;
                weekend.takes();
            }
            assert!(matches!(code, Some(0 | 1)), "{what}: {why}");
            weekend.agrees(&what);
            tell(seed, &format!("{what}: {code:?}"), begun);
        }
    }
    println!("{made} changes of {} were made", 3 * clubs);
    assert!(made >= 5 * clubs / 2, "{made} changes of {} were made", 3 * clubs);
}
