//! The rigs that are drawn for a slope, one for each rung that is planned: words, drawings, table of parts.

mod anchors;
pub(crate) mod lettered;

use serde::Serialize;

use crate::course::{Hand, Name, Slope, Vehicle, WayOff};
use crate::pack::book::Book;
use crate::pack::recovery::clear::Clear;
use crate::pack::recovery::clear::close::{self, Close};
use crate::pack::recovery::drawing::LineSection;
use crate::pack::recovery::drawn::anchors::{braked, fixed_anchor, stands_behind, two_anchors};
use crate::pack::recovery::drawn::lettered::Lettered;
use crate::pack::recovery::moved::{RightSection, TowSection};
use crate::pack::recovery::parts::{PartRow, groups, in_order, part_rows, weakest};
use crate::pack::recovery::strip::Strip;
use crate::pack::recovery::tags::{Numbered, Tags, numbers};
use crate::pack::recovery::told::{lowering_words, second_words, setting, sits_otherwise, tow_words};
use crate::pack::recovery::{rungs, words};
use crate::pack::sheet::slope::SlopeSheet;

use crate::recovery::ladder::right::{REACH, greatest_catch};
use crate::recovery::ladder::tow::Tow;
use crate::recovery::ladder::{Ladder, Means, Rung};
use crate::recovery::operator::{Operator, READ_BY_HAND};
use crate::recovery::pull::{Direction, Stuck, System, SystemPull};
use crate::recovery::rig::{Part, Rig, Role};
use crate::recovery::{Recoveries, Recovery};

/// A rung drawn.
#[derive(Serialize)]
pub(crate) struct Drawn {
    /// What the rows of the slopes call it.
    letter: String,
    pub means: Means,
    title: String,
    /// For which vehicle, stuck how, and where it is drawn.
    shown_for: String,
    /// Everywhere it is planned.
    used: String,
    /// How the line runs, how far and how long.
    words: String,
    /// What stops it were the line to let go.
    second: Option<String>,
    /// Whether somebody sits in it.
    aboard: bool,
    /// Whether it is set more than once.
    set_anew: bool,
    /// What belongs to letting it down.
    lowering: Option<String>,
    systems: String,
    picture: Picture,
    strip: Option<Strip>,
    clear: Clear,
    /// The working ground close up.
    close: Option<Close>,
    parts: Vec<PartRow>,
    /// How many rows stand in the first column of the table: those of the first line, or half.
    column: usize,
    /// Whether a part is to be checked first.
    unchecked: bool,
    fixed_anchor: Option<String>,
    /// Who is inside the ground kept clear.
    inside: String,
    /// Where whoever works a winch stands.
    pub operators: Vec<String>,
    /// Who has a radio, where they are far apart or out of sight.
    radio: Option<String>,
    /// What else holds where the rig is used with somebody else, or nobody, in the vehicle.
    otherwise: Option<String>,
}

/// The drawing from the side.
#[derive(Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
enum Picture {
    Line(LineSection),
    Tow(TowSection),
    Right(RightSection),
}

/// A distinct rig, drawn for the vehicle and the slope where least of it is left.
pub(crate) fn drawn(book: &Book, lettered: &Lettered) -> Option<Drawn> {
    let (ladder, rung) = lettered.hardest();
    let place = book.course.slopes.iter().zip(&book.slopes).find(|(slope, _)| slope.id == ladder.slope)?;
    let told = of(book, place, ladder, rung)?;
    let others = lettered.uses.iter().filter(|(ladder, rung)| rung.aboard(ladder.stuck) != told.aboard);
    let mut others: Vec<Stuck> = others.map(|(ladder, _)| ladder.stuck).collect();
    others.sort_by_key(|stuck| stuck.short());
    let otherwise = sits_otherwise(told.aboard, told.set_anew, &others).filter(|_| rung.rig.is_some());
    Some(Drawn { letter: lettered.letter.clone(), used: lettered.used(book), otherwise, ..told })
}

fn of(book: &Book, place: (&Slope, &SlopeSheet), ladder: &Ladder, rung: &Rung) -> Option<Drawn> {
    let vehicle = book.course.vehicles.iter().find(|vehicle| vehicle.id == ladder.vehicle)?;
    let scene = Scene { book, place, vehicle, ladder, rung };
    match (&rung.tow, &rung.rig, &rung.catch) {
        (Some(tow), ..) => scene.tow(tow),
        (None, Some(pull), Some(catch)) if rung.means == Means::Right => Some(scene.righting(pull, catch)),
        (None, Some(rig), catch) => scene.line(rig, catch.as_ref()),
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

    fn way_off(&self) -> WayOff {
        self.book.course.way_off(self.place.0)
    }

    fn drawn(&self, words: String, picture: Picture, clear: Clear, parts: Vec<PartRow>) -> Drawn {
        let does = rungs::short(self.rung.means, self.rung.direction);
        Drawn {
            means: self.rung.means,
            letter: String::new(),
            title: words::sentence(does),
            shown_for: format!(
                "{} on {}, {}",
                self.mark(),
                self.book.slope_mark(&self.ladder.slope),
                self.ladder.stuck.short()
            ),
            used: String::new(),
            words,
            second: None,
            aboard: true,
            set_anew: false,
            lowering: None,
            systems: self.systems(),
            picture,
            strip: None,
            clear,
            close: None,
            unchecked: parts.iter().any(|row| row.unchecked),
            column: parts.len().div_ceil(2),
            parts,
            fixed_anchor: None,
            inside: format!("the driver at the wheel of {}", self.mark()),
            operators: Vec::new(),
            radio: None,
            otherwise: None,
        }
    }

    fn line(&self, rig: &Rig, catch: Option<&Rig>) -> Option<Drawn> {
        let (slope, sheet) = self.place;
        let show = self.book.show;
        let recovery = recovery(self.book.recoveries(), self.ladder, self.rung.direction)?;
        let own = groups(in_order(rig));
        let all: Vec<(&Part, usize)> =
            own.iter().copied().chain(catch.iter().flat_map(|rig| groups(in_order(rig)))).collect();
        let numbered: Vec<(&Part, usize)> = (1..).zip(&all).map(|(no, (part, _))| (*part, no)).collect();
        let (rows, second) = numbered.split_at(own.len());
        let tags = Tags::of(rig, rows);
        let section = LineSection::of(slope, sheet, self.vehicle, recovery, (rig, tags), show)?;
        let section = section.caught(catch, &numbers(second, |_| true));
        let clear =
            Clear::of_line(self.vehicle, recovery, rig, section.goes_down, show).leaving(self.way_off());
        let edge = section.guard.is_some();
        // A single straight line is all in the section.
        let plain = rig.parts_of_line == 1 && !rig.layout.turns();
        let strip = Strip::of(rig, rows, recovery.facing.words(), &self.mark(), edge);
        let rigs: Vec<&Rig> = std::iter::once(rig).chain(catch).collect();
        let told = self.drawn(
            self.words(recovery, rig),
            Picture::Line(section),
            clear,
            part_rows(self.book, &all, &weakest(&rigs)),
        );
        let close = self.close(rows, catch.map(|_| second), |scene| Close::of(scene, recovery, rig, catch));
        let case = (self.ladder.stuck, self.rung.lowering.is_some());
        Some(Drawn {
            close: Some(close),
            second: self.rung.second.as_ref().map(|second| second_words(second, case, catch, show)),
            aboard: self.aboard(),
            set_anew: recovery.stages > 1 || rig.pulls > 1,
            lowering: self.rung.lowering.as_ref().map(|lowering| lowering_words(lowering, show)),
            strip: (!plain).then_some(strip),
            // Of two stages it is told where each stands.
            fixed_anchor: fixed_anchor(self.book, rig).filter(|_| recovery.stages == 1).map(str::to_owned),
            inside: self.inside(&rigs),
            operators: self.operators(&rigs),
            radio: self.radio(edge, rig),
            column: if catch.is_some() { own.len() } else { told.column },
            ..told
        })
    }

    /// Who stands where, what holds what, by the numbers of the table: of a first line and of a catch line.
    fn close(
        &self,
        first: Numbered,
        second: Option<Numbered>,
        of: impl FnOnce(&close::Scene) -> Close,
    ) -> Close {
        let anchor =
            |rows: Numbered, id: &str| numbers(rows, |part| part.role == Role::Anchor && part.id == id);
        let number = |id: &str, catch: bool| anchor(second.filter(|_| catch).unwrap_or(first), id);
        let mark = |id: &str| self.book.vehicle_mark(id);
        of(&close::Scene {
            course: self.book.course,
            vehicle: self.vehicle,
            aboard: self.aboard(),
            right_hand: self.way_off().side() == Some(Hand::Right),
            show: self.book.show,
            mark: &mark,
            number: &number,
        })
    }

    /// Who has a radio: over a brow, or further apart than a hand is read for certain.
    fn radio(&self, over_brow: bool, rig: &Rig) -> Option<String> {
        if !over_brow && rig.rigged_length <= READ_BY_HAND {
            return None;
        }
        let operators = if self.rung.catch.is_some() { "both operators" } else { "operator" };
        let driver = if self.aboard() { ", driver" } else { "" };
        Some(self.on_radio(&format!("leader, {operators}{driver}, who watches")))
    }

    /// The channel of a pull here, and who listens.
    fn on_radio(&self, who: &str) -> String {
        let course = self.book.course;
        let channel = course.channel_of(self.place.0);
        let mut channel = channel.map_or_else(|| "one channel".to_owned(), Name::short);
        if course.slopes.iter().any(|slope| course.own_channel(slope).is_some()) {
            channel = format!("the slope’s channel, here {channel}");
        }
        format!("Radio, {channel}: {who}.")
    }

    /// Whether somebody sits in the vehicle that is moved.
    fn aboard(&self) -> bool {
        self.rung.aboard(self.ladder.stuck)
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
        let anchors = two_anchors(self.book, self.place.0, recovery, rig);
        let setting = setting(anchors.as_ref(), rig.pulls, self.ladder.stuck)
            .map_or_else(String::new, |told| format!(" {told}"));
        let stands = stands_behind(self.book, recovery, rig);
        let braked = braked(self.book, rig);
        let bridle = rig.bridle_half_angle.map_or_else(String::new, |half| {
            format!(" Bridle legs {} apart.", show.angle(2.0 * half, false).text())
        });
        format!(
            "{runs}{} to travel, {} of line rigged{layer}{time}.{setting}{stands}{braked}{bridle}",
            show.length(recovery.travel, false).text(),
            show.length(rig.rigged_length, false).text()
        )
    }

    /// Who is inside the ground kept clear.
    fn inside(&self, rigs: &[&Rig]) -> String {
        let own = |rig: &&&Rig| Operator::of(rig, &self.vehicle.id) != Operator::AtTheWheel;
        let operators = match rigs.iter().filter(own).count() {
            0 => None,
            1 => Some("the winch’s operator"),
            _ => Some("two operators, together on the leader’s count"),
        };
        let driver = self.aboard().then(|| format!("the driver at the wheel of {}", self.mark()));
        let all: Vec<String> = driver.into_iter().chain(operators.map(str::to_owned)).collect();
        if all.is_empty() { "nobody".to_owned() } else { all.join(" and ") }
    }

    /// Where whoever works each winch stands.
    fn operators(&self, rigs: &[&Rig]) -> Vec<String> {
        let mark = |id: &str| self.book.vehicle_mark(id);
        let mut all: Vec<String> = Vec::new();
        for rig in rigs {
            let said = words::operator(rig, &self.vehicle.id, &mark, self.book.show);
            if !all.contains(&said) {
                all.push(said);
            }
        }
        all
    }

    fn tow(&self, tow: &Tow) -> Option<Drawn> {
        let (slope, sheet) = self.place;
        let show = self.book.show;
        let tug = self.book.course.vehicles.iter().find(|vehicle| vehicle.id == tow.tug)?;
        let groups = groups(tow.parts.iter().collect());
        let rows: Vec<(&Part, usize)> = (1..).zip(&groups).map(|(no, (part, _))| (*part, no)).collect();
        let of = |wanted: &[Role]| numbers(&rows, |part| wanted.contains(&part.role));
        let no = [
            of(&[Role::HelperPoint, Role::Grip, Role::TugBrake]),
            of(&[Role::TowLine, Role::TowBar, Role::Shackle]),
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
        let words = tow_words(tow, &self.book.vehicle_mark(&tow.tug), &self.mark(), show);
        let clear = Clear::of_tow(self.vehicle, tow, show).leaving(self.way_off());
        let told = self.drawn(words, Picture::Tow(section), clear, part_rows(self.book, &groups, weakest));
        let inside = format!("the drivers of {} and {}", self.book.vehicle_mark(&tow.tug), self.mark());
        let radio = self.on_radio("leader, both drivers, the marshal at either end of the track");
        Some(Drawn { inside, radio: Some(radio), ..told })
    }

    fn righting(&self, pull: &Rig, catch: &Rig) -> Drawn {
        let show = self.book.show;
        let first = groups(in_order(pull));
        let all: Vec<(&Part, usize)> = first.iter().copied().chain(groups(in_order(catch))).collect();
        let rows: Vec<(&Part, usize)> = (1..).zip(&all).map(|(no, (part, _))| (*part, no)).collect();
        let run = |rows: Numbered| numbers(rows, |_| true);
        let no = [run(&rows[..first.len()]), run(&rows[first.len()..])];
        let forces = [self.rung.force.unwrap_or(0.0), greatest_catch(self.vehicle)];
        let tilt = self.place.0.cross_slope.si();
        let section = RightSection::of((self.vehicle, tilt), REACH[0], forces, no, show);
        let clear = Clear::of_righting(self.vehicle, REACH[0], pull, catch, show);
        let words = format!(
            "It lies with its wheels uphill and is righted uphill. Both lines hang by bridles on the front and the rear point of its upper side, each point counted for both; on one end or in the middle, not this rig. Nobody inside, nobody on the side it falls to; the catch line’s operator off to one side of where it would roll. Both lines tight before anything moves. Uphill, {} pulls; downhill, {} holds it back past its balance. Then chocks, from uphill.",
            words::winch_of(pull),
            words::winch_of(catch)
        );
        let told = self.drawn(
            words,
            Picture::Right(section),
            clear,
            part_rows(self.book, &all, &weakest(&[pull, catch])),
        );
        let (first, second) = rows.split_at(first.len());
        let close = self.close(first, Some(second), |scene| Close::of_righting(scene, REACH[0], pull, catch));
        let (inside, operators) = (self.inside(&[pull, catch]), self.operators(&[pull, catch]));
        Drawn { close: Some(close), column: first.len(), inside, operators, aboard: false, ..told }
    }

    /// The published way that comes to the most: it decides.
    fn systems(&self) -> String {
        let show = self.book.show;
        let recovery = recovery(self.book.recoveries(), self.ladder, self.rung.direction);
        let systems = match (&self.rung.tow, recovery) {
            (Some(tow), _) => &tow.systems,
            (None, Some(recovery)) => &recovery.pull.systems,
            (None, None) => return String::new(),
        };
        let most = systems.iter().max_by(|a, b| a.pull.total_cmp(&b.pull));
        most.map_or_else(String::new, |one: &SystemPull| {
            format!(
                "{}: {} ({}) decides",
                words::about(one.pull, show).text(),
                system_short(one.system),
                one.row
            )
        })
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
