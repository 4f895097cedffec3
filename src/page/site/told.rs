//! A plan in words: what a drawing is said as, and the list that goes with it.

use serde::Serialize;

use super::words::{area_words, hand, point_words};
use crate::course::{
    AreaOfSite, Course, LineOfSite, Origin, PointOfSite, SitePlan, SitePoint, Slope, SlopePlan, Spot, Text,
    length_of,
};
use crate::page::figure::Show;

/// A place of the site that somebody is sent to, or asks for, with how it is told to a stranger.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Listed {
    pub what: String,
    /// From the origin: `14 m north, 30 m west`; of the origin itself its grid reference, none where nobody wrote it.
    pub from_origin: Option<String>,
    /// Latitude and longitude, where the course's origin has them and north is true.
    pub degrees: Option<String>,
}

/// The places people are sent to, then the gates, in the order of the file; the origin first.
pub(crate) fn listed(plan: &SitePlan, show: Show) -> Vec<Listed> {
    let origin = Listed {
        what: format!("Origin: {}", origin_name(&plan.origin)),
        from_origin: plan.origin.grid.as_ref().map(|grid| format!("grid {grid}")),
        degrees: plan.degrees_of(Spot::default()).map(degrees),
    };
    let gate = |point: &&SitePoint| point.kind.gathers() || point.kind == PointOfSite::Gate;
    let places = plan.points.iter().filter(gate).map(|point| {
        let (_, word) = point_words(point.kind);
        let mut what = word.to_owned();
        what[..1].make_ascii_uppercase();
        if let Some(name) = &point.name {
            what = format!("{what}: {name}");
        }
        Listed {
            what,
            from_origin: Some(from_origin(point.at, show)),
            degrees: plan.degrees_of(point.at).map(degrees),
        }
    });
    std::iter::once(origin).chain(places).collect()
}

fn origin_name(origin: &Origin) -> String {
    origin.is.as_ref().map_or_else(|| "0 east, 0 north".to_owned(), Text::short)
}

/// Degrees as emergency services take them, to a metre or so.
pub(crate) fn degrees([latitude, longitude]: [f64; 2]) -> String {
    let of = |value: f64, ways: [&str; 2]| {
        format!("{:.5}° {}", value.abs(), if value < 0.0 { ways[1] } else { ways[0] })
    };
    format!("{}, {}", of(latitude, ["N", "S"]), of(longitude, ["E", "W"]))
}

/// How far north or south, then east or west, of the origin.
fn from_origin(spot: Spot, show: Show) -> String {
    let part = |metres: f64, ways: [&str; 2]| {
        let whole = show.length_number(metres).round();
        (whole != 0.0).then(|| {
            format!("{} {} {}", whole.abs(), show.length_unit(), if whole < 0.0 { ways[1] } else { ways[0] })
        })
    };
    let parts = [part(spot.north, ["north", "south"]), part(spot.east, ["east", "west"])];
    let said: Vec<String> = parts.into_iter().flatten().collect();
    if said.is_empty() { "at the origin".to_owned() } else { said.join(", ") }
}

/// The way from one spot to another, by the eight of the compass.
fn way(from: Spot, to: Spot) -> &'static str {
    const HALF: f64 = core::f64::consts::FRAC_1_SQRT_2;
    const WAYS: [(&str, [f64; 2]); 8] = [
        ("north", [0.0, 1.0]),
        ("north-east", [HALF, HALF]),
        ("east", [1.0, 0.0]),
        ("south-east", [HALF, -HALF]),
        ("south", [0.0, -1.0]),
        ("south-west", [-HALF, -HALF]),
        ("west", [-1.0, 0.0]),
        ("north-west", [-HALF, HALF]),
    ];
    let along = |way: [f64; 2]| way[0] * (to.east - from.east) + way[1] * (to.north - from.north);
    WAYS.into_iter().max_by(|a, b| along(a.1).total_cmp(&along(b.1))).map_or("", |(word, _)| word)
}

/// The whole site in words.
pub(super) fn site(
    course: &Course,
    plan: &SitePlan,
    mark: &impl Fn(&str) -> String,
    of: f64,
    show: Show,
) -> String {
    let places: Vec<String> = listed(plan, show)
        .into_iter()
        .skip(1)
        .filter_map(|place| Some(format!("{} {}", place.what, place.from_origin?)))
        .collect();
    let slopes: Vec<String> = plan
        .slopes
        .iter()
        .filter_map(|placed| {
            let slope = course.slopes.iter().find(|slope| slope.id == placed.slope)?;
            Some(format!(
                "{} {} comes down to the {} from its brow {}",
                mark(&slope.id),
                slope.name,
                way(placed.brow(), placed.foot()),
                from_origin(placed.brow(), show)
            ))
        })
        .collect();
    let edges: Vec<String> = plan
        .lines
        .iter()
        .filter_map(|line| {
            let LineOfSite::Edge { low_right, drop } = line.kind else { return None };
            let (a, b) = (*line.line.first()?, *line.line.last()?);
            let low = if low_right {
                Spot { east: a.east + b.north - a.north, north: a.north - b.east + a.east }
            } else {
                Spot { east: a.east - b.north + a.north, north: a.north + b.east - a.east }
            };
            let fall = drop.map_or_else(String::new, |drop| {
                format!(" {}", show.length(drop.si(), false).trimmed().text())
            });
            let name = line.name.as_ref().map_or_else(|| "an edge".to_owned(), Text::short);
            Some(format!(
                "{name} {} falls{fall} to the {}",
                from_origin(a.towards(b, 0.5), show),
                way(a, low)
            ))
        })
        .collect();
    let closed = areas(plan, AreaOfSite::KeepOut);
    let water = areas(plan, AreaOfSite::Water);
    let mut said = vec![format!(
        "Plan of the site to scale, 1 : {of:.0}, north at the top; distances are from the origin, {}",
        origin_name(&plan.origin)
    )];
    said.extend(places);
    said.extend(slopes);
    said.extend(edges);
    if !closed.is_empty() {
        said.push(format!("nobody goes: {}", closed.join(", ")));
    }
    if !water.is_empty() {
        said.push(format!("water: {}", water.join(", ")));
    }
    format!("{}.", said.join("; "))
}

/// What areas of a kind are called.
pub(crate) fn areas(plan: &SitePlan, kind: AreaOfSite) -> Vec<String> {
    let of_it = plan.areas.iter().filter(|area| area.kind == kind);
    of_it.map(|area| area.name.as_ref().map_or_else(|| area_words(kind).1.to_owned(), Text::short)).collect()
}

/// A slope's part in words: what is on the driver's left, what on the right.
pub(super) fn slope(plan: &SitePlan, placed: &SlopePlan, slope: &Slope, of: f64, show: Show) -> String {
    let metres = |m: f64| show.length(m, false).text();
    let mut said = vec![format!(
        "{} from above to scale, 1 : {of:.0}, the way down to the right, the driver’s left at the top: brow to foot {} level, towards the {}",
        slope.name,
        metres(placed.length()),
        way(placed.brow(), placed.foot())
    )];
    for (what, spot) in stands(placed) {
        let beside = placed.beside(spot);
        let level = match beside.along {
            along if along < 0.0 => format!("{} above the brow", metres(-along)),
            along if along > placed.length() => {
                format!("{} beyond the foot", metres(along - placed.length()))
            }
            along => format!("{} below the brow", metres(along)),
        };
        said.push(format!("{what} {} to the driver’s {}, {level}", metres(beside.off), hand(beside.hand)));
    }
    let close = 1.5 * SlopePlan::half_lane(slope) + 10.0;
    for line in &plan.lines {
        let LineOfSite::Edge { drop, .. } = line.kind else { continue };
        let nearest =
            line.line.iter().map(|spot| placed.beside(*spot)).min_by(|a, b| a.off.total_cmp(&b.off));
        let Some(beside) = nearest.filter(|beside| beside.off <= close) else { continue };
        let fall = drop.map_or_else(String::new, |drop| format!(", drop {}", metres(drop.si())));
        said.push(format!("edge {} to the driver’s {}{fall}", metres(beside.off), hand(beside.hand)));
    }
    if !placed.run_out.is_empty() {
        let run_out = length_of(&[&[placed.foot()][..], &placed.run_out].concat());
        said.push(format!("run-out {} to the stop", metres(run_out)));
    }
    if let Some(last) = placed.way_out.last() {
        said.push(format!("drives off to the driver’s {}", hand(placed.beside(*last).hand)));
    }
    if let Some(last) = placed.escape.last() {
        let [length, hand] = [metres(length_of(&placed.escape)), hand(placed.beside(*last).hand).to_owned()];
        said.push(format!("the marked way out, {length} straight down, to the driver’s {hand}"));
    }
    format!("{}.", said.join("; "))
}

fn stands(placed: &SlopePlan) -> impl Iterator<Item = (&'static str, Spot)> + '_ {
    let alone = [
        ("spotter", placed.spotter),
        ("others wait", placed.waiting),
        ("assessor", placed.assessor),
        ("throw line", placed.bank),
    ];
    let marshals = placed.marshals.iter().map(|spot| ("marshal", *spot));
    alone.into_iter().filter_map(|(what, spot)| Some((what, spot?))).chain(marshals)
}
