//! Points, lines and areas of a site plan.

use super::{Grid, few, spot, spots};
use crate::course::cursor::{Field, Fields, Read};
use crate::course::{
    AreaOfSite, LineOfSite, PointOfSite, SiteArea, SiteLine, SitePoint, Slope, SlopePlan, Spot,
};
use crate::problem::Problem;
use crate::quantity::Length;

const POINTS: &[(&str, PointOfSite)] = &[
    ("assembly", PointOfSite::Assembly),
    ("meeting-point", PointOfSite::MeetingPoint),
    ("control", PointOfSite::Control),
    ("first-aid", PointOfSite::FirstAid),
    ("parking", PointOfSite::Parking),
    ("gate", PointOfSite::Gate),
    ("tree", PointOfSite::Tree),
    ("obstacle", PointOfSite::Obstacle),
];

const AREAS: &[(&str, AreaOfSite)] = &[
    ("keep-out", AreaOfSite::KeepOut),
    ("water", AreaOfSite::Water),
    ("trees", AreaOfSite::Trees),
    ("building", AreaOfSite::Building),
    ("skid-pad", AreaOfSite::SkidPad),
];

#[derive(Clone, Copy, PartialEq)]
enum Line {
    Edge,
    Of(LineOfSite),
}

const LINES: &[(&str, Line)] = &[
    ("edge", Line::Edge),
    ("track", Line::Of(LineOfSite::Track)),
    ("ambulance-way", Line::Of(LineOfSite::AmbulanceWay)),
    ("stream", Line::Of(LineOfSite::Stream)),
    ("fence", Line::Of(LineOfSite::Fence)),
];

/// Ways of the compass, as (east, north).
const COMPASS: &[(&str, [f64; 2])] = &[
    ("north", [0.0, 1.0]),
    ("north-east", [0.707, 0.707]),
    ("east", [1.0, 0.0]),
    ("south-east", [0.707, -0.707]),
    ("south", [0.0, -1.0]),
    ("south-west", [-0.707, -0.707]),
    ("west", [-1.0, 0.0]),
    ("north-west", [-0.707, 0.707]),
];

/// Least part of a way of the compass that must lead off an edge, for its low side to be clear: 20°.
const CLEARLY: f64 = 0.34;

/// The slopes that are on the plan, with what was measured of them.
pub(super) struct Lanes<'a> {
    pub plans: &'a [SlopePlan],
    pub slopes: &'a [Slope],
}

impl Lanes<'_> {
    /// The slope on whose line or run-out a spot lies.
    fn driven_at(&self, spot: Spot) -> Option<&Slope> {
        let on = |plan: &&SlopePlan| {
            let slope = self.slopes.iter().find(|slope| slope.id == plan.slope)?;
            (plan.beside(spot).off < SlopePlan::half_lane(slope)).then_some(slope)
        };
        self.plans.iter().find_map(|plan| on(&plan))
    }
}

/// The area without entry that a spot lies in, by its name.
pub(super) fn kept_out(areas: &[SiteArea], spot: Spot) -> Option<String> {
    let inside = |area: &&SiteArea| area.kind == AreaOfSite::KeepOut && area.holds(spot);
    let area = areas.iter().find(inside)?;
    Some(area.name.as_ref().map_or_else(|| "an area kept out of".to_owned(), |name| format!("`{name}`")))
}

/// What lies on the way of a vehicle along these spots that stops no vehicle unhurt, by its name.
pub(super) fn driven_into(areas: &[SiteArea], way: &[Spot]) -> Option<String> {
    let step = |a: Spot, b: Spot| (0..=STEPS).map(move |at| a.towards(b, f64::from(at) / f64::from(STEPS)));
    let mut spots = way.windows(2).flat_map(|pair| step(pair[0], pair[1]));
    spots.find_map(|spot| {
        let hits = |area: &&SiteArea| !matches!(area.kind, AreaOfSite::SkidPad) && area.holds(spot);
        let area = areas.iter().find(hits)?;
        Some(area.name.as_ref().map_or_else(
            || match area.kind {
                AreaOfSite::Water => "the water".to_owned(),
                AreaOfSite::Trees => "the trees".to_owned(),
                AreaOfSite::Building => "a building".to_owned(),
                AreaOfSite::KeepOut | AreaOfSite::SkidPad => "an area kept out of".to_owned(),
            },
            |name| format!("`{name}`"),
        ))
    })
}

/// Into so many steps a straight part of a way is looked at.
const STEPS: u8 = 100;

/// The places; of the one where everybody comes together, and of the one where the ambulance is met, only one.
pub(super) fn points(field: &Field, grid: Grid, lanes: &Lanes, areas: &[SiteArea]) -> Read<Vec<SitePoint>> {
    let points = few(field, "a place", |item| point(item, grid, lanes, areas))?;
    for kind in [PointOfSite::Assembly, PointOfSite::MeetingPoint] {
        let mut of_it = points.iter().zip(field.items("a place")?).filter(|(point, _)| point.kind == kind);
        if let (Some((_, first)), Some((_, second))) = (of_it.next(), of_it.next()) {
            let what =
                if kind == PointOfSite::Assembly { "assembly point" } else { "place to meet the ambulance" };
            let problem = Problem::new(format!("a second {what}"));
            let problem = problem.help("everybody must be sent to one; take one of the two out");
            return Err(field.log.note(problem.at(second.span()).related(first.span(), "the first")));
        }
    }
    Ok(points)
}

fn point(item: &Field, grid: Grid, lanes: &Lanes, areas: &[SiteArea]) -> Read<SitePoint> {
    let mut fields = Fields::of(item, "a place")?;
    let kind = fields.required("kind", "kind: assembly", |field| field.choice(POINTS));
    let at = fields.required("at", "at: [12, 40]", |field| spot(&field, grid));
    let name = fields.optional("name", Field::text);
    let mut clear = Ok(());
    if let (Ok(kind), Ok(at)) = (kind, at)
        && kind.gathers()
    {
        if let Some(slope) = lanes.driven_at(at) {
            let message = format!("people are sent here, onto the line driven on {}", slope.name);
            clear = Err(fields.problem("at", message, "check the spot: east before north"));
        } else if let Some(name) = kept_out(areas, at) {
            let message = format!("people are sent here, into {name}, where nobody goes");
            clear = Err(fields.problem("at", message, "check the spot, or the corners of the area"));
        }
    }
    fields.finish();
    clear?;
    Ok(SitePoint { kind: kind?, at: at?, name: name? })
}

/// Something along a line.
pub(super) fn line(item: &Field, grid: Grid) -> Read<SiteLine> {
    let mut fields = Fields::of(item, "a line of the plan")?;
    let kind = fields.required("kind", "kind: edge", |field| field.choice(LINES));
    let line = fields.required("line", "line: [[0, 40], [0, 12]]", |field| spots(&field, grid, 2));
    let name = fields.optional("name", Field::text);
    let falls_to = fields.optional("falls-to", |field| field.choice(COMPASS));
    let drop = fields.optional("drop", |field| field.within::<Length>("20 cm", "500 m"));
    let kind = match kind {
        Ok(Line::Edge) => match (&falls_to, &line) {
            (Ok(None), _) => Err(fields.lacking("falls-to", "falls-to: east")),
            (Ok(Some(way)), Ok(line)) => low_side(&fields, *way, line)
                .map(|low_right| LineOfSite::Edge { low_right, drop: drop.ok().flatten() }),
            (Err(noted), _) | (_, Err(noted)) => Err(*noted),
        },
        Ok(Line::Of(kind)) => match ["falls-to", "drop"].into_iter().find(|key| fields.peek(key).is_some()) {
            Some(key) => Err(fields.problem(
                key,
                format!("`{key}` belongs to an edge"),
                "write `kind: edge`, or take it out",
            )),
            None => Ok(kind),
        },
        Err(noted) => Err(noted),
    };
    fields.finish();
    falls_to?;
    drop?;
    Ok(SiteLine { kind: kind?, line: line?, name: name? })
}

/// Whether an edge that falls one way of the compass is low on its right, first spot to last.
fn low_side(fields: &Fields, way: [f64; 2], line: &[Spot]) -> Read<bool> {
    let (first, last) = (line[0], line[line.len() - 1]);
    let long = first.to(last);
    let across = way[0] * (last.north - first.north) - way[1] * (last.east - first.east);
    if long == 0.0 || across.abs() < CLEARLY * long {
        let message = "the edge runs that way itself, so its low side is not told";
        return Err(fields.problem("falls-to", message, "name the way that a stone would roll off it"));
    }
    Ok(across > 0.0)
}

/// Something with an extent.
pub(super) fn area(item: &Field, grid: Grid) -> Read<SiteArea> {
    let mut fields = Fields::of(item, "an area")?;
    let kind = fields.required("kind", "kind: keep-out", |field| field.choice(AREAS));
    let corners =
        fields.required("corners", "corners: [[0, 0], [20, 0], [20, 10]]", |field| spots(&field, grid, 3));
    let name = fields.optional("name", Field::text);
    fields.finish();
    Ok(SiteArea { kind: kind?, corners: corners?, name: name? })
}
