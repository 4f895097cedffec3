//! The site from above, and a slope's own part of it, as the templates see them.

use serde::Serialize;

use crate::course::{AreaOfSite, Label, LineOfSite, Paper, PointOfSite, SitePlan, SiteWay, Slope, Spot};
use crate::pack::facts::Facts;
use crate::page::figure::Show;
use crate::page::site::{Listed, SitePicture, Size, Who, areas, degrees, listed};

/// The site from above, with how its places are told to a stranger.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct SiteSheet {
    pub picture: SitePicture,
    pub places: Vec<Listed>,
    /// Whether the places have latitude and longitude.
    pub degrees: bool,
    /// Latitude and longitude of the place where the ambulance is met.
    pub met: Option<String>,
    /// Where nobody goes.
    pub closed: Vec<String>,
    /// How each slope that somebody drives is reached from where the ambulance is met; empty without a drawn track.
    pub ways: Vec<WayTo>,
}

/// The way to a slope.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct WayTo {
    mark: String,
    name: String,
    /// To its foot and to its brow.
    foot: String,
    brow: String,
}

impl SiteSheet {
    /// As large as its room allows; none for a course without a plan.
    pub(crate) fn of(facts: &Facts, size: Size) -> Option<Self> {
        let plan = facts.course.site_plan.as_ref()?;
        let mark = |id: &str| facts.slope_mark(id);
        let met = plan.point(PointOfSite::MeetingPoint);
        let closed = |id: &str| {
            let slope = facts.course.slopes.iter().find(|slope| slope.id == id);
            slope.is_some_and(|slope| !driven(facts, slope))
        };
        Some(Self {
            picture: SitePicture::whole(facts.course, plan, mark, closed, size, facts.show)?,
            places: listed(plan, facts.show),
            degrees: plan.degrees_of(plan.slopes.first()?.brow()).is_some(),
            met: met.and_then(|point| plan.degrees_of(point.at)).map(degrees),
            closed: areas(plan, AreaOfSite::KeepOut),
            ways: met.map_or_else(Vec::new, |met| ways(facts, plan, met.at)),
        })
    }
}

/// Whether some vehicle may go down a slope.
fn driven(facts: &Facts, slope: &Slope) -> bool {
    facts.course.vehicles.iter().any(|vehicle| facts.pair(slope, vehicle).judged.mark.goes())
}

/// The ways from where the ambulance is met to the slopes that somebody drives.
fn ways(facts: &Facts, plan: &SitePlan, met: Spot) -> Vec<WayTo> {
    let tracked = plan.lines.iter().any(|line| line.kind == LineOfSite::Track);
    let driven = |slope: &&Slope| tracked && driven(facts, slope);
    let to = |slope: &Slope| {
        let placed = plan.of_slope(&slope.id)?;
        Some(WayTo {
            mark: facts.slope_mark(&slope.id),
            name: slope.name.short(),
            foot: way_in_words(plan, plan.way(met, placed.foot()), facts.show),
            brow: way_in_words(plan, plan.way_to_the_top(met, placed.brow()), facts.show),
        })
    };
    facts.course.slopes.iter().filter(driven).filter_map(to).collect()
}

/// Less than this off a track goes without saying, m.
const BESIDE_A_TRACK: f64 = 10.0;

fn way_in_words(plan: &SitePlan, way: Option<SiteWay>, show: Show) -> String {
    let Some(way) = way else { return "no track drawn".to_owned() };
    let rounded = |m: f64| show.length(10.0 * libm::round(m / 10.0), false).text();
    let name = |at: &usize| plan.lines[*at].name.as_ref().map_or_else(|| "track".to_owned(), Label::short);
    let mut names: Vec<String> = way.lines.iter().map(name).collect();
    names.dedup();
    let on_foot =
        if way.off > BESIDE_A_TRACK { format!(", then {} on foot", rounded(way.off)) } else { String::new() };
    let on_foot = if way.round { format!("{on_foot}, round what is shut") } else { on_foot };
    format!("{} by {}{on_foot}", rounded(way.along), names.join(", "))
}

/// A slope's own part. On a card the first that leaves the rows their size is printed.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct SlopePlans {
    pub tall: SitePicture,
    pub low: SitePicture,
    /// Half a sheet wide, beside those of other slopes.
    pub half: SitePicture,
}

/// Size of a card's smallest type, mm: 11 pt.
const LETTERS: f64 = 3.88;
/// How high the frames of a card’s two drawings may be, mm.
const HIGH: [f64; 2] = [34.0, 20.0];
/// One of two side by side on a sheet, mm, with type of 9 pt.
const HALF: Size = Size { width: 84.0, height: 39.0, letters: 3.18 };

impl SlopePlans {
    /// Of a slope that is on the plan, with those who stand there.
    pub(crate) fn of(facts: &Facts, slope: &Slope, people: Who) -> Option<Self> {
        let plan = facts.course.site_plan.as_ref()?;
        // The width of a card's type area.
        let width = match facts.course.paper {
            Paper::A4 => 125.0,
            Paper::Letter => 117.0,
        };
        let of = |height| {
            let size = Size { width, height, letters: LETTERS };
            SitePicture::of_slope(plan, slope, people, size, facts.show)
        };
        Some(Self {
            tall: of(HIGH[0])?,
            low: of(HIGH[1])?,
            half: SitePicture::of_slope(plan, slope, people, HALF, facts.show)?,
        })
    }
}
