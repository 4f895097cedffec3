//! Clubs by lot as course files, as somebody would type them: 6 to 11 drivers on three slopes, or up to 60 on eight; on
//! one day or two; some come late, go early, come on one day alone, share a car.

use std::fmt::Write;

/// A small sequence of numbers from a seed (splitmix64).
pub(crate) struct Lot(pub(crate) u64);

impl Lot {
    pub(crate) fn below(&mut self, most: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        usize::try_from((z ^ (z >> 31)) % most as u64).expect("small")
    }

    pub(crate) fn one<'a, T>(&mut self, of: &'a [T]) -> &'a T {
        &of[self.below(of.len())]
    }
}

/// Who may turn up.
pub(crate) const WALK_INS: [&str; 3] = ["Wxa", "Wxb", "Wxc"];

/// A club and what is asked of its sheets.
pub(crate) struct Club {
    /// The course file.
    pub(crate) text: String,
    /// Of drivers and staff; no name is part of another.
    pub(crate) drivers: Vec<String>,
    pub(crate) staff: Vec<String>,
    pub(crate) slopes: Vec<String>,
    pub(crate) days: usize,
}

fn names(initial: char, count: usize) -> Vec<String> {
    // "Mar" would be found in "Marshal".
    let last = || ('a'..='z').filter(|two| *two != 'r');
    let two = ('a'..='z').flat_map(|one| last().map(move |two| format!("{initial}{one}{two}")));
    two.take(count).collect()
}

impl Club {
    /// The club of a seed.
    pub(crate) fn of(seed: u64, lot: &mut Lot) -> Self {
        let large = seed.is_multiple_of(10);
        let (drivers, slopes) =
            if large { (24 + lot.below(37), 5 + lot.below(4)) } else { (6 + lot.below(6), 3) };
        let (marshals, instructors) = if large { (2 * slopes + 6, slopes + 4) } else { (6, 3) };
        let slopes = ["easy", "middle", "hard", "fourth", "fifth", "sixth", "seventh", "eighth"][..slopes]
            .iter()
            .map(|id| (*id).to_owned());
        let mut club = Self {
            text: String::new(),
            drivers: names('Q', drivers),
            staff: [names('M', marshals), names('I', instructors)].concat(),
            slopes: slopes.collect(),
            days: if seed % 4 >= 2 { 2 } else { 1 },
        };
        club.text = [club.head(lot), club.people(lot), club.roster(lot), Self::rules(large, lot)].concat();
        club
    }

    /// Who may be in the rota as a driver.
    pub(crate) fn might_drive(&self) -> impl Iterator<Item = &str> {
        self.drivers.iter().map(String::as_str).chain(WALK_INS)
    }

    /// Who may have a card.
    pub(crate) fn everybody(&self) -> impl Iterator<Item = &str> {
        self.might_drive().chain(self.staff.iter().map(String::as_str))
    }

    fn head(&self, lot: &mut Lot) -> String {
        let mut text = String::from(
            "course: {title: Random club, club: Nobody, site: Nowhere, version: 1, units: metric, paper: A4}\n\
             limits: {gradient: 25°, side-tilt: 12°, descent-speed: 10 km/h, brake-temperature: 250 °C}\n\
             slopes:\n",
        );
        for (at, id) in self.slopes.iter().enumerate() {
            let gradient = [4 + lot.below(3), 8 + lot.below(3), 14 + lot.below(4)][at % 3];
            writeln!(
                text,
                "  - {{id: {id}, name: The {id}, purpose: Practice., entry-speed: 3 km/h, surface: gravel-firm, length: 30 m, \
                 gradient: {gradient}°, width: 8 m, run-out: {{length: 40 m, gradient: 0°}}}}"
            )
            .expect("text");
        }
        text += "vehicles: [{id: club-car, name: club car, class: wagon, mass: 2300 kg, wheelbase: 2.8 m, \
                 tyres: 265/70R17, engine: {fuel: diesel, displacement: 2.8 L, cylinders: 4}, \
                 gearbox: {kind: manual, ratios: [4.1, 2.3, 1.4, 1.0, 0.8]}, transfer: {high: 1.0, low: 2.7}, axle: 3.9, \
                 drive: all wheels}]\n";
        text += "day: {start: 09:00, end: 20:00, runs: 1, run-gap: 12 min, channel: Channel 3}\n";
        if self.days == 2 {
            // The steepest may wait for the second day: every third one.
            let gentle = self.slopes.iter().enumerate().filter(|(at, _)| at % 3 != 2);
            let gentle: Vec<&str> = gentle.map(|(_, id)| id.as_str()).collect();
            let gentle = format!(", slopes: [{}]", gentle.join(", "));
            let first = if lot.below(2) == 0 { gentle } else { String::new() };
            writeln!(text, "days:\n  - {{date: 2027-05-08{first}}}\n  - {{date: 2027-05-09}}").expect("text");
        }
        text
    }

    fn people(&self, lot: &mut Lot) -> String {
        let mut text =
            String::from("people:\n  - {name: Laa, role: lead}\n  - {name: Faa, role: first-aider}\n");
        for name in &self.staff {
            let role = if name.starts_with('M') { "marshal" } else { "instructor" };
            // No time of theirs is the start of a slot, which would read as one.
            let leaves = ["Maf", "Iac"].contains(&name.as_str()) && lot.below(2) == 0;
            let times = if leaves { ", leaves: 15:53" } else { "" };
            writeln!(text, "  - {{name: {name}, role: {role}{times}}}").expect("text");
        }
        text
    }

    fn roster(&self, lot: &mut Lot) -> String {
        let mut text = String::from("roster:\n  drivers:\n");
        let cars =
            ["class: wagon", "class: pickup", "class: short-wheelbase", "class: wagon, needs: hearing"]
                .map(|car| format!("{car}, transfer-low: yes"));
        let mut owner = "Qaa";
        for (at, name) in self.drivers.iter().enumerate() {
            let experience = lot.one(&["novice", "some", "experienced"]);
            let car = match at {
                0 => "vehicle: club-car".to_owned(),
                1 => "shares: Qaa".to_owned(),
                at if at > 11 && lot.below(9) == 0 => format!("shares: {owner}"),
                _ => {
                    owner = name;
                    lot.one(&cars).clone()
                }
            };
            let late = at % 20 == 3 && lot.below(2) == 0;
            let mut times = String::from(if late { ", arrives: 10:47" } else { "" });
            // Whoever comes on the second day alone drives all its slopes on that day.
            if self.days == 2 && at > 3 && lot.below(5) == 0 {
                times += *lot.one(&[", days: 1", ", days: 2"]);
            }
            writeln!(text, "    - {{driver: {name}, {car}, experience: {experience}{times}}}").expect("text");
        }
        text
    }

    fn rules(large: bool, lot: &mut Lot) -> String {
        let (most, until) = if large { (6, "19:30") } else { (4, "17:00") };
        let from = if large { "09:00" } else { "10:00" };
        let spare = lot.below(2) + 1;
        format!(
            "rota:\n  from: {from}\n  until: {until}\n  lunch: {{from: 12:30, length: 30 min}}\n  changeover: 5 min\n  \
             reset: 60 s\n  spare-slots: {spare}\n  group-size: {{most: {most}, source: club rule}}\n  \
             drivers-per-instructor: {{most: {most}, source: club rule}}\n  marshals-per-slope: {{least: 2, source: club rule}}\n  \
             duty: {{most: 2 h, pause: 15 min, source: club rule}}\n  theory: {{title: Reading, groups-at-once: 2}}\n  \
             demonstration: {{title: Shown, slope: middle, groups-at-once: 2}}\n"
        )
    }
}
