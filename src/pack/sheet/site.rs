//! The site from above, and a slope's own part of it, as the templates see them.

use serde::Serialize;

use crate::course::{AreaOfSite, Paper, PointOfSite, Slope};
use crate::pack::facts::Facts;
use crate::page::site::{Listed, SitePicture, Size, areas, degrees, listed};

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
}

impl SiteSheet {
    /// As large as its room allows; none for a course without a plan.
    pub(crate) fn of(facts: &Facts, size: Size) -> Option<Self> {
        let plan = facts.course.site_plan.as_ref()?;
        let mark = |id: &str| facts.slope_mark(id);
        let met = plan.point(PointOfSite::MeetingPoint);
        Some(Self {
            picture: SitePicture::whole(facts.course, plan, mark, size, facts.show)?,
            places: listed(plan, facts.show),
            degrees: plan.degrees_of(plan.slopes.first()?.brow()).is_some(),
            met: met.and_then(|point| plan.degrees_of(point.at)).map(degrees),
            closed: areas(plan, AreaOfSite::KeepOut),
        })
    }
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
const HALF: Size = Size { width: 84.0, height: 44.0, letters: 3.18 };

impl SlopePlans {
    /// Of a slope that is on the plan.
    pub(crate) fn of(facts: &Facts, slope: &Slope) -> Option<Self> {
        let plan = facts.course.site_plan.as_ref()?;
        // The width of a card's type area.
        let width = match facts.course.paper {
            Paper::A4 => 125.0,
            Paper::Letter => 117.0,
        };
        let of = |height| {
            let size = Size { width, height, letters: LETTERS };
            SitePicture::of_slope(plan, slope, size, facts.show)
        };
        Some(Self {
            tall: of(HIGH[0])?,
            low: of(HIGH[1])?,
            half: SitePicture::of_slope(plan, slope, HALF, facts.show)?,
        })
    }
}
