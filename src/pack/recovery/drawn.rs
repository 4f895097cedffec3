//! The rigs that are drawn for a slope, one for each rung that is planned: words, drawings, table of parts.

use serde::Serialize;

use crate::course::{Slope, Vehicle};
use crate::pack::book::Book;
use crate::pack::recovery::clear::Clear;
use crate::pack::recovery::drawing::LineSection;
use crate::pack::recovery::moved::{RightSection, TowSection};
use crate::pack::recovery::strip::Strip;
use crate::pack::recovery::summary::may_drive;
use crate::pack::recovery::tags::{Numbered, Tags, numbers};
use crate::pack::recovery::{rungs, words};
use crate::pack::sheet::slope::SlopeSheet;
use crate::page::figure::{Fig, Show};
use crate::recovery::ladder::lower::{Lowering, Operator};
use crate::recovery::ladder::right::{REACH, greatest_catch};
use crate::recovery::ladder::tow::Tow;
use crate::recovery::ladder::{Ladder, Means, Rung};
use crate::recovery::pull::{Direction, System, SystemPull};
use crate::recovery::rig::{Part, Rig, Role};
use crate::recovery::{Recoveries, Recovery};

/// A rung drawn.
#[derive(Serialize)]
pub struct Drawn {
    pub means: Means,
    title: String,
    /// How the line runs, how far and how long.
    words: String,
    /// What belongs to letting it down.
    lowering: Option<String>,
    systems: String,
    picture: Picture,
    strip: Option<Strip>,
    clear: Clear,
    parts: Vec<PartRow>,
    fixed_anchor: Option<String>,
    /// Who is inside the ground kept clear.
    inside: String,
}

/// The drawing from the side.
#[derive(Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
enum Picture {
    Line(LineSection),
    Tow(TowSection),
    Right(RightSection),
}

#[derive(Serialize)]
struct PartRow {
    no: String,
    name: String,
    load: Fig,
    rating: Fig,
    left: Fig,
    weakest: bool,
}

/// A chosen rung with its ladder.
type Chosen<'a> = (&'a Ladder, &'a Rung);

/// The rigs that are drawn for a slope: of every rung that is chosen there, each way it is pulled, the one
/// for the vehicle that pulls hardest.
pub fn drawn(book: &Book, slope: &Slope, sheet: &SlopeSheet) -> Vec<Drawn> {
    let drives = |id: &str| {
        let vehicle = book.course.vehicles.iter().find(|vehicle| vehicle.id == id);
        vehicle.is_some_and(|vehicle| may_drive(book, slope, vehicle))
    };
    let told = book.recoveries();
    let mut hardest: Vec<Chosen> = Vec::new();
    let here = told.ladders.iter().filter(|ladder| ladder.slope == slope.id && drives(&ladder.vehicle));
    for (ladder, rung) in here.filter_map(|ladder| Some((ladder, ladder.chosen()?))) {
        let alike = |(_, known): &&mut Chosen| known.means == rung.means && known.direction == rung.direction;
        match hardest.iter_mut().find(alike) {
            Some(known) if known.1.force < rung.force => *known = (ladder, rung),
            Some(_) => {}
            None => hardest.push((ladder, rung)),
        }
    }
    hardest.sort_by_key(|(_, rung)| (rung.direction == Some(Direction::Up), rung.means));
    hardest.into_iter().filter_map(|(ladder, rung)| of(book, (slope, sheet), ladder, rung)).collect()
}

fn of(book: &Book, place: (&Slope, &SlopeSheet), ladder: &Ladder, rung: &Rung) -> Option<Drawn> {
    let vehicle = book.course.vehicles.iter().find(|vehicle| vehicle.id == ladder.vehicle)?;
    let scene = Scene { book, place, vehicle, ladder, rung };
    match (&rung.tow, &rung.rig, &rung.catch) {
        (Some(tow), ..) => scene.tow(tow),
        (None, Some(pull), Some(catch)) => Some(scene.righting(pull, catch)),
        (None, Some(rig), None) => scene.line(rig),
        _ => None,
    }
}

struct Scene<'a> {
    book: &'a Book<'a>,
    place: (&'a Slope, &'a SlopeSheet),
    vehicle: &'a Vehicle,
    ladder: &'a Ladder,
    rung: &'a Rung,
}

impl Scene<'_> {
    fn mark(&self) -> String {
        self.book.vehicle_mark(&self.vehicle.id)
    }

    fn drawn(&self, words: String, picture: Picture, clear: Clear, parts: Vec<PartRow>) -> Drawn {
        let does = rungs::short(self.rung.means, self.rung.direction);
        Drawn {
            means: self.rung.means,
            title: format!("{}: {}, {}", words::sentence(does), self.mark(), self.ladder.stuck.short()),
            words,
            lowering: None,
            systems: self.systems(),
            picture,
            strip: None,
            clear,
            parts,
            fixed_anchor: None,
            inside: format!("the driver at the wheel of {}", self.mark()),
        }
    }

    fn line(&self, rig: &Rig) -> Option<Drawn> {
        let (slope, sheet) = self.place;
        let show = self.book.show;
        let recovery = recovery(self.book.recoveries(), self.ladder, self.rung.direction)?;
        let groups = groups(in_order(rig));
        let rows: Vec<(&Part, usize)> = (1..).zip(&groups).map(|(no, (part, _))| (*part, no)).collect();
        let section =
            LineSection::of(slope, sheet, self.vehicle, recovery, (rig, Tags::of(rig, &rows)), show)?;
        let clear = Clear::of_line(self.vehicle, recovery, rig, section.goes_down, show);
        let edge = section.guard.is_some();
        // A single straight line is all in the section.
        let plain = rig.parts_of_line == 1 && !rig.layout.turns();
        let strip = Strip::of(rig, &rows, recovery.facing.words(), &self.mark(), edge);
        let told = self.drawn(
            self.words(recovery, rig),
            Picture::Line(section),
            clear,
            self.rows(&groups, &weakest(&[rig])),
        );
        Some(Drawn {
            lowering: self.rung.lowering.as_ref().map(|lowering| lowering_words(lowering, show)),
            strip: (!plain || rig.bridle_half_angle.is_some()).then_some(strip),
            fixed_anchor: fixed_anchor(self.book, rig),
            inside: self.inside(rig),
            ..told
        })
    }

    /// How the line runs, how far it pulls, how long it takes.
    fn words(&self, recovery: &Recovery, rig: &Rig) -> String {
        let show = self.book.show;
        let runs = if self.rung.means == Means::Lower {
            String::new()
        } else {
            format!("{}; ", words::sentence(rig.words))
        };
        let layer = rig.layer.filter(|_| self.rung.lowering.is_none());
        let layer = layer.map_or_else(String::new, |layer| format!(", drum layer {layer} at its fullest"));
        let time = rig.time.map_or_else(String::new, |time| format!(", about {} min", words::minutes(time)));
        let setting = setting(recovery.stages, rig.pulls).map_or_else(String::new, |told| format!(" {told}"));
        format!(
            "{runs}{} to travel, {} of line rigged{layer}{time}.{setting}",
            show.length(recovery.travel, false).text(),
            show.length(rig.rigged_length, false).text()
        )
    }

    fn inside(&self, rig: &Rig) -> String {
        let operator = match (Operator::of(rig), &rig.host) {
            (Operator::BesideIt, _) => {
                " and the winch’s operator, behind a vehicle or screen, out of line".to_owned()
            }
            (Operator::InItsVehicle, Some(host)) if *host != self.vehicle.id => format!(
                " and the winch’s operator at the wheel of {}, bonnet up",
                self.book.vehicle_mark(host)
            ),
            _ => String::new(),
        };
        format!("the driver at the wheel of {}{operator}", self.mark())
    }

    fn tow(&self, tow: &Tow) -> Option<Drawn> {
        let (slope, sheet) = self.place;
        let show = self.book.show;
        let tug = self.book.course.vehicles.iter().find(|vehicle| vehicle.id == tow.tug)?;
        let groups = groups(tow.parts.iter().collect());
        let rows: Vec<(&Part, usize)> = (1..).zip(&groups).map(|(no, (part, _))| (*part, no)).collect();
        let of = |wanted: &[Role]| numbers(&rows, |part| wanted.contains(&part.role));
        let no = [
            of(&[Role::HelperPoint, Role::Grip]),
            of(&[Role::TowLine, Role::Shackle]),
            of(&[Role::CasualtyPoint]),
        ];
        let section = TowSection::of(
            slope,
            sheet,
            (self.vehicle, tug, &self.book.vehicle_mark(&tow.tug)),
            tow,
            no,
            show,
        );
        let weakest = tow.parts.iter().min_by(|a, b| a.margin.total_cmp(&b.margin))?;
        let words = format!(
            "{} in front, {} of line, walking pace. The towed driver brakes and keeps the line tight, ignition on so that the steering does not lock.",
            self.book.vehicle_mark(&tow.tug),
            show.length(tow.line, false).text()
        );
        let clear = Clear::of_tow(self.vehicle, tow, show);
        let told = self.drawn(words, Picture::Tow(section), clear, self.rows(&groups, weakest));
        let inside = format!("the drivers of {} and {}", self.book.vehicle_mark(&tow.tug), self.mark());
        Some(Drawn { inside, ..told })
    }

    fn righting(&self, pull: &Rig, catch: &Rig) -> Drawn {
        let show = self.book.show;
        let first = groups(in_order(pull));
        let all: Vec<(&Part, usize)> = first.iter().copied().chain(groups(in_order(catch))).collect();
        let rows: Vec<(&Part, usize)> = (1..).zip(&all).map(|(no, (part, _))| (*part, no)).collect();
        let run = |rows: Numbered| numbers(rows, |_| true);
        let no = [run(&rows[..first.len()]), run(&rows[first.len()..])];
        let forces = [self.rung.force.unwrap_or(0.0), greatest_catch(self.vehicle)];
        let section = RightSection::of(self.vehicle, REACH[0], forces, no, show);
        let clear = Clear::of_righting(self.vehicle, REACH[0], pull, catch, show);
        let words = format!(
            "Nobody inside. Both lines tight before anything moves. {} pulls; {} holds it back past its balance and lets it down on its wheels.",
            words::sentence(&words::winch_of(pull)),
            words::winch_of(catch)
        );
        let told =
            self.drawn(words, Picture::Right(section), clear, self.rows(&all, &weakest(&[pull, catch])));
        let beside = Operator::of(pull) == Operator::BesideIt || Operator::of(catch) == Operator::BesideIt;
        let inside = if beside {
            "whoever works a winch, behind a vehicle or screen, out of line"
        } else {
            "whoever works a winch, at the wheel of the vehicle that carries it, bonnet up"
        };
        Drawn { inside: inside.to_owned(), ..told }
    }

    /// What each published way comes to, the one that decides first.
    fn systems(&self) -> String {
        let show = self.book.show;
        let recovery = recovery(self.book.recoveries(), self.ladder, self.rung.direction);
        let systems = match (&self.rung.tow, recovery) {
            (Some(tow), _) => &tow.systems,
            (None, Some(recovery)) => &recovery.pull.systems,
            (None, None) => return String::new(),
        };
        let mut all: Vec<&SystemPull> = systems.iter().collect();
        all.sort_by(|a, b| b.pull.total_cmp(&a.pull));
        let mut told = all
            .into_iter()
            .map(|one| (words::about(one.pull, show).text(), system_short(one.system), one.row));
        let Some((most, system, row)) = told.next() else { return String::new() };
        let others: Vec<String> = told.map(|(force, system, _)| format!("{system} {force}")).collect();
        format!("{most} by the {system} ({row}) decides; {}", others.join(", "))
    }

    /// A row for each group, the weakest marked.
    fn rows(&self, groups: &[(&Part, usize)], weakest: &Part) -> Vec<PartRow> {
        let show = self.book.show;
        let row = |(no, (part, count)): (usize, &(&Part, usize))| {
            let name = words::part_name(part, &self.book.vehicle_mark(&part.id));
            PartRow {
                no: no.to_string(),
                name: if *count > 1 { format!("{count} × {name}") } else { name },
                load: show.force(part.load, false),
                rating: show.force(part.rating, false),
                left: Fig::new(format!("{:.0}", libm::floor(100.0 * part.margin)), "%", false),
                weakest: same(part, weakest),
            }
        };
        (1..).zip(groups).map(row).collect()
    }
}

/// The pull of a rung.
fn recovery<'a>(told: &'a Recoveries, ladder: &Ladder, direction: Option<Direction>) -> Option<&'a Recovery> {
    told.all.iter().find(|one| {
        one.slope == ladder.slope
            && one.vehicle == ladder.vehicle
            && one.pull.stuck == ladder.stuck
            && Some(one.pull.direction) == direction
    })
}

/// How fast it goes, what the brake takes, what line is left, on which layers.
fn lowering_words(told: &Lowering, show: Show) -> String {
    let speed = told.speed.zip(told.time).map_or_else(
        || "How fast the winch pays out is not told: try it first.".to_owned(),
        |(speed, time)| {
            format!(
                "Down at {} a minute, {} min on the line.",
                show.length(60.0 * speed, true).text(),
                words::minutes(time)
            )
        },
    );
    let layers = match told.layers {
        Some([first, last]) if first != last => format!("; drum layer {first} to {last}"),
        Some([first, _]) => format!("; drum layer {first} all the way"),
        None => String::new(),
    };
    format!(
        "{speed} Its own foot brake can take {} of it ({:.0} %) at the lowest grip: not counted on. At the foot {} of line left{layers}.",
        words::about(told.brake_holds, show).text(),
        libm::floor(100.0 * told.brake_share),
        show.length(libm::floor(told.line_left), false).text()
    )
}

/// A system's name in a list.
fn system_short(system: System) -> &'static str {
    match system {
        System::DepthHubOnce => "depth rule, hubs once",
        System::DepthHubTwice => "depth rule, hubs twice",
        System::OldFractions => "older fractions",
        System::TowingTrade => "towing trade",
        System::WinchMaker => "winch maker’s rule",
        System::Physics => "forces resolved",
    }
}

/// How often it is set, where that is more than once.
fn setting(stages: u32, pulls: u32) -> Option<String> {
    let again = |pulls: u32| format!("Set {pulls} times: one haul of its line is shorter.");
    match (stages, pulls) {
        (1, 1) => None,
        (1, pulls) => Some(again(pulls)),
        (stages, 1) => Some(format!("In {stages} stages, the anchor set anew for each.")),
        (stages, pulls) => {
            Some(format!("In {stages} stages, the anchor set anew for each. {}", again(pulls)))
        }
    }
}

/// The anchor of a rig that holds only at the place where it was tested.
fn fixed_anchor(book: &Book, rig: &Rig) -> Option<String> {
    let tested = |part: &&Part| {
        part.role == Role::Anchor
            && book.course.kit.iter().any(|item| item.id == part.id && item.rig.holds.is_some())
    };
    rig.parts.iter().find(tested).map(|part| part.name.clone())
}

/// Parts, alike ones in one row.
fn groups<'a>(parts: Vec<&'a Part>) -> Vec<(&'a Part, usize)> {
    let mut groups: Vec<(&'a Part, usize)> = Vec::new();
    for part in parts {
        match groups.iter_mut().find(|(known, _)| same(known, part)) {
            Some((_, count)) => *count += 1,
            None => groups.push((part, 1)),
        }
    }
    groups
}

/// Parts in the order of hooking up: the far end first, the stuck vehicle last.
fn in_order(rig: &Rig) -> Vec<&Part> {
    let place = |part: &Part| match part.role {
        Role::Anchor | Role::Braked | Role::Grip => 0,
        Role::Strap => 1,
        Role::HelperPoint => 2,
        Role::Winch => 3,
        Role::WinchLine => 4,
        Role::Block => 5,
        Role::Extension | Role::TowLine => 6,
        Role::Bridle => 7,
        Role::Shackle => 8,
        Role::CasualtyPoint => 9,
    };
    let mut all: Vec<&Part> = rig.parts.iter().collect();
    all.sort_by_key(|part| place(part));
    all
}

fn same(a: &Part, b: &Part) -> bool {
    let alike = a.role == b.role && a.id == b.id && a.name == b.name;
    alike && (a.load - b.load).abs() < 1.0 && (a.counts - b.counts).abs() < 1e-9
}

/// The part with the least left of some rigs.
fn weakest(rigs: &[&Rig]) -> Part {
    let all = rigs.iter().map(|rig| rig.weakest_part());
    all.min_by(|a, b| a.margin.total_cmp(&b.margin)).expect("a rig has parts").clone()
}
