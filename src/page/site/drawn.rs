//! Drawing a plan: what is on it goes to the paper, then its names find their places.

use super::clip::{self, Point};
use super::label::{Box4, Taken, Wanted, place};
use super::near::{along, beside};
use super::paper::{Paper, rounded};
use super::picture::{Area, Line, SitePicture, Size, Symbol, Who};
use super::told;
use super::words::{area_words, line_words, point_words};
use crate::course::{
    Course, LineOfSite, North, PointOfSite, SiteLine, SitePlan, Slope, SlopePlan, Spot, Text,
};
use crate::page::figure::Show;

/// Height of a strip beside the frame, in sizes of its type.
const BAND: f64 = 1.35;
/// Half of a sign, mm.
const SIGN: f64 = 1.7;

impl SitePicture {
    /// The whole site, north at the top. `mark` says what a slope is called on paper, `closed` on which ones nobody
    /// drives: they are drawn without people.
    pub(crate) fn whole(
        course: &Course,
        plan: &SitePlan,
        mark: impl Fn(&str) -> String,
        closed: impl Fn(&str) -> bool,
        size: Size,
        show: Show,
    ) -> Option<Self> {
        let mut spots: Vec<Spot> = plan.slopes.iter().flat_map(SlopePlan::driven).collect();
        spots.extend(plan.points.iter().map(|point| point.at));
        spots.extend(plan.lines.iter().flat_map(|line| line.line.iter().copied()));
        spots.extend(plan.areas.iter().flat_map(|area| area.corners.iter().copied()));
        if spots.len() < 2 {
            return None;
        }
        let (paper, of) = Paper::of(&spots, [1.0, 0.0], size);
        let mut sheet = Sheet::new(paper, size);
        for placed in &plan.slopes {
            let Some(slope) = course.slopes.iter().find(|slope| slope.id == placed.slope) else { continue };
            let closed = closed(&placed.slope);
            let mark = mark(&placed.slope);
            let mark = if closed { format!("{mark} closed") } else { mark };
            sheet.slope(placed, slope, &mark, !closed);
        }
        sheet.ground(plan, true, show);
        let alt = told::site(course, plan, &mark, of, show);
        let mut picture = sheet.done(plan, show);
        picture.caption = format!("The site from above, 1 : {of:.0}. North is at the top.");
        picture.alt = alt;
        Some(picture)
    }

    /// A slope's own part: the way down lies to the right, so the driver's left hand is at the top; with the people who
    /// stand there, or for a closed slope without.
    pub(crate) fn of_slope(
        plan: &SitePlan,
        slope: &Slope,
        people: Who,
        size: Size,
        show: Show,
    ) -> Option<Self> {
        let mut placed = plan.of_slope(&slope.id)?.clone();
        if people != Who::Everybody {
            placed.assessor = None;
        }
        if people == Who::Nobody {
            placed.spotter = None;
            placed.bank = None;
            placed.waiting = None;
            placed.marshals.clear();
        }
        let placed = &placed;
        let driven = placed.driven();
        let (brow, end) = (placed.brow(), *driven.last()?);
        let long = brow.to(end);
        if long == 0.0 {
            return None;
        }
        let right = [(end.east - brow.east) / long, (end.north - brow.north) / long];
        let mut spots = driven;
        spots.extend([placed.spotter, placed.assessor, placed.bank, placed.waiting].into_iter().flatten());
        spots.extend(&placed.marshals);
        spots.extend(placed.way_out.first());
        spots.extend(&placed.escape);
        spots.extend(beside(plan, placed));
        let (paper, of) = Paper::of(&spots, right, size);
        let mut sheet = Sheet::new(paper, size);
        sheet.close_up(placed, slope);
        sheet.ground(plan, false, show);
        let mut picture = sheet.done(plan, show);
        picture.alt = told::slope(plan, placed, slope, of, show);
        picture.caption = format!("From above, 1 : {of:.0}. The way down is to the right.");
        Some(picture)
    }
}

/// A drawing under way.
struct Sheet {
    paper: Paper,
    size: Size,
    areas: Vec<Area>,
    lines: Vec<Line>,
    bounds: Vec<[Point; 2]>,
    symbols: Vec<Symbol>,
    wanted: Vec<Wanted>,
    taken: Taken,
    key: Vec<(&'static str, &'static str)>,
    band: f64,
}

impl Sheet {
    fn new(paper: Paper, size: Size) -> Self {
        Self {
            paper,
            size,
            areas: Vec::new(),
            lines: Vec::new(),
            bounds: Vec::new(),
            symbols: Vec::new(),
            wanted: Vec::new(),
            taken: Taken::default(),
            key: Vec::new(),
            band: 0.0,
        }
    }

    /// A line's pieces inside the frame; names keep off those that are driven or fallen over.
    fn line(&mut self, kind: &'static str, spots: &[Spot], low_right: bool, meaning: &'static str) -> bool {
        let points = self.paper.all(spots);
        let pieces = clip::line(&points, self.paper.frame);
        let end = points.last().copied();
        let drawn = !pieces.is_empty();
        for piece in pieces {
            if matches!(kind, "driven" | "run-out" | "edge") {
                self.taken.lines.extend(piece.windows(2).map(|pair| [pair[0], pair[1]]));
            }
            let cut = piece.last().copied() != end;
            let points = piece.into_iter().map(|point| point.map(rounded)).collect();
            self.lines.push(Line { kind, points, cut, low_right });
        }
        if drawn {
            self.means(kind, meaning);
        }
        drawn
    }

    fn means(&mut self, kind: &'static str, meaning: &'static str) {
        if !self.key.iter().any(|(known, _)| *known == kind) {
            self.key.push((kind, meaning));
        }
    }

    fn symbol(&mut self, kind: &'static str, spot: Spot, meaning: &'static str) -> Option<Point> {
        let at = self.paper.at(spot);
        if !self.paper.holds(at, SIGN) {
            return None;
        }
        self.symbols.push(Symbol { kind, at });
        self.taken.boxes.push(around(at, SIGN));
        self.means(kind, meaning);
        Some(at)
    }

    fn name(&mut self, at: Point, clear: f64, text: impl Into<String>, bold: bool) {
        self.wanted.push(Wanted { at, clear, text: text.into(), bold });
    }

    /// A slope of the whole site: its line, its run-out, its mark at the brow.
    fn slope(&mut self, placed: &SlopePlan, slope: &Slope, mark: &str, people: bool) {
        self.line("driven", &placed.line, false, "line driven");
        self.run_out(placed);
        let brow = self.paper.at(placed.brow());
        self.taken.boxes.push(around(brow, 1.0));
        self.name(brow, 1.2, mark, true);
        self.stretches(placed, slope);
        if !people {
            return;
        }
        self.stand("spotter", placed.spotter, "spotter", false);
        self.stand("bank", placed.bank, "throw line", false);
        for marshal in &placed.marshals {
            self.stand("marshal", Some(*marshal), "marshal", false);
        }
    }

    fn run_out(&mut self, placed: &SlopePlan) {
        if !placed.run_out.is_empty() {
            let line = [&[placed.foot()][..], &placed.run_out].concat();
            self.line("run-out", &line, false, "run-out and stop");
        }
    }

    fn stand(&mut self, kind: &'static str, spot: Option<Spot>, meaning: &'static str, named: bool) {
        if let Some(at) = spot.and_then(|spot| self.symbol(kind, spot, meaning))
            && named
        {
            self.name(at, SIGN, meaning, kind == "spotter");
        }
    }

    /// A slope by itself: brow, foot, stop, stands and the way out by name.
    fn close_up(&mut self, placed: &SlopePlan, slope: &Slope) {
        self.band = rounded(BAND * self.size.letters);
        self.line("driven", &placed.line, false, "line driven");
        self.run_out(placed);
        let way_out: Vec<Spot> =
            placed.driven().last().copied().into_iter().chain(placed.way_out.iter().copied()).collect();
        if !placed.way_out.is_empty() {
            self.line("way-out", &way_out, false, "drives off");
        }
        self.escape(placed);
        self.stretches(placed, slope);
        self.stand("spotter", placed.spotter, "spotter", true);
        for marshal in &placed.marshals {
            self.stand("marshal", Some(*marshal), "marshal", true);
        }
        self.stand("waiting", placed.waiting, "others wait", true);
        self.stand("assessor", placed.assessor, "assessor", true);
        self.stand("bank", placed.bank, "throw line", true);
        self.name(self.paper.at(placed.brow()), 1.0, "brow", true);
        self.name(self.paper.at(placed.foot()), 1.0, "foot", true);
        if let Some(end) = placed.run_out.last() {
            self.name(self.paper.at(*end), 1.6, "stop", true);
        }
        if let Some(first) = placed.way_out.first() {
            let half = way_out[0].towards(*first, 0.6);
            let at = self.paper.at(half);
            if self.paper.holds(at, SIGN) {
                self.name(at, 0.6, "drives off", false);
            }
        }
        if let [first, .., last] = placed.escape[..] {
            let at = self.paper.at(first.towards(last, 0.5));
            if self.paper.holds(at, SIGN) {
                self.name(at, 0.6, "way out", true);
            }
        }
    }

    /// The way out of a line that leans.
    fn escape(&mut self, placed: &SlopePlan) {
        if placed.escape.len() > 1 {
            self.line("escape", &placed.escape, false, "way out, straight down");
        }
    }

    /// Marks across the line where the gradient changes.
    fn stretches(&mut self, placed: &SlopePlan, slope: &Slope) {
        let level: Vec<f64> =
            slope.stretches.iter().map(|s| s.length.si() * libm::cos(s.gradient.si())).collect();
        let whole: f64 = level.iter().sum();
        let mut walked = 0.0;
        for part in &level[..level.len() - 1] {
            walked += part;
            let Some((spot, way)) = along(&placed.line, walked / whole * placed.length()) else { continue };
            let at = self.paper.at(spot);
            let ahead = self.paper.at(Spot { east: spot.east + way[0], north: spot.north + way[1] });
            let (dx, dy) = ((ahead[0] - at[0]) / self.paper.scale, (ahead[1] - at[1]) / self.paper.scale);
            let half = 1.4;
            let ends = [[at[0] - dy * half, at[1] + dx * half], [at[0] + dy * half, at[1] - dx * half]];
            self.bounds.push(ends.map(|end| end.map(rounded)));
            self.means("bound", "gradient changes");
        }
    }

    /// What belongs to the site; `whole`: with the names of things that are for everybody.
    fn ground(&mut self, plan: &SitePlan, whole: bool, show: Show) {
        for point in &plan.points {
            let (kind, meaning) = point_words(point.kind);
            let Some(at) = self.symbol(kind, point.at, meaning) else { continue };
            // On a whole site a tree is a sign; on a slope’s own part it is that tree.
            let own =
                point.name.as_ref().filter(|_| !whole || point.kind == PointOfSite::Gate).map(Text::short);
            let text = if point.kind.gathers() { Some(meaning.to_owned()) } else { own };
            if let Some(text) = text {
                self.name(
                    at,
                    SIGN,
                    text,
                    point.kind == PointOfSite::MeetingPoint || point.kind == PointOfSite::Assembly,
                );
            }
        }
        // The deepest drop has the first choice of a place for its name.
        let mut lines: Vec<&SiteLine> = plan.lines.iter().collect();
        lines.sort_by(|a, b| b.fall().total_cmp(&a.fall()));
        for line in lines {
            let (kind, meaning, low_right) = line_words(line.kind);
            if !whole && matches!(kind, "track" | "ambulance-way") {
                continue;
            }
            if !self.line(kind, &line.line, low_right, meaning) {
                continue;
            }
            let drop = match line.kind {
                LineOfSite::Edge { drop: Some(drop), .. } => {
                    Some(format!("drop {}", show.length(drop.si(), false).trimmed().text()))
                }
                LineOfSite::Edge { .. } => Some("drop".to_owned()),
                _ => None,
            };
            // On a whole site there is room for what kills, not for what it is called.
            let named = line.name.as_ref().filter(|_| !whole || drop.is_none()).map(Text::short);
            if let Some(text) = [named, drop].into_iter().flatten().reduce(|a, b| format!("{a}, {b}"))
                && let Some(at) = self.middle_of(&line.line)
            {
                self.name(at, 1.8, text, kind == "edge");
            }
        }
        for area in &plan.areas {
            let (kind, meaning) = area_words(area.kind);
            let points = clip::area(&self.paper.all(&area.corners), self.paper.frame);
            if points.len() < 3 {
                continue;
            }
            let count =
                f64::from(u32::try_from(points.len()).expect("a polygon of a drawing has few corners"));
            let middle = [0, 1].map(|axis| points.iter().map(|p| p[axis]).sum::<f64>() / count);
            self.areas.push(Area { kind, points: points.into_iter().map(|p| p.map(rounded)).collect() });
            self.means(kind, meaning);
            if let Some(name) = &area.name
                && self.paper.holds(middle, SIGN)
            {
                self.name(middle, 0.0, name.short(), false);
            }
        }
    }

    /// The middle of what of a line lies inside the frame.
    fn middle_of(&self, line: &[Spot]) -> Option<Point> {
        let piece = clip::line(&self.paper.all(line), self.paper.frame).into_iter().next()?;
        let middle = piece[piece.len() / 2];
        let before = piece[piece.len() / 2 - 1];
        Some([0, 1].map(|axis| 0.5 * (middle[axis] + before[axis])))
    }

    /// Names in their places; where scale bar and north stand in the corners, they keep off.
    fn done(mut self, plan: &SitePlan, show: Show) -> SitePicture {
        let frame = self.paper.frame;
        let bar = show.plan_bar(0.22 * frame[0] / self.paper.scale);
        let letters = self.size.letters;
        if self.band == 0.0 {
            let scale = [
                frame[0] - bar.0 * self.paper.scale - 3.0,
                frame[1] - 2.2 - 1.4 * letters,
                frame[0],
                frame[1],
            ];
            self.taken.boxes.insert(0, scale);
            self.taken.boxes.insert(0, [frame[0] - 9.0, 0.0, frame[0], 10.0 + letters]);
        }
        // What decides has the choice of places.
        self.wanted.sort_by_key(|name| !name.bold);
        let (labels, left_out) = place(frame, letters, &mut self.taken, self.wanted);
        let right = self.paper.right;
        SitePicture {
            width: frame[0],
            height: rounded(frame[1]),
            letters,
            areas: self.areas,
            lines: self.lines,
            bounds: self.bounds,
            symbols: self.symbols,
            labels,
            left_out,
            bar: rounded(bar.0 * self.paper.scale),
            bar_text: bar.1,
            // North is (0, 1) on the ground, turned as everything else.
            north: [rounded(right[1]), rounded(-right[0])],
            north_text: match plan.north {
                Some(North::Magnetic) => "N, magnetic",
                Some(North::Grid) => "N, grid",
                Some(North::True) => "N, true",
                None => "N",
            },
            key: self.key,
            alt: String::new(),
            caption: String::new(),
            band: self.band,
        }
    }
}

fn around([x, y]: Point, half: f64) -> Box4 {
    [x - half, y - half, x + half, y + half]
}
