//! The club's mark and the photographs of slopes, read and laid where the typesetter finds them.

use std::collections::BTreeMap;
use std::path::Path;

use serde::Serialize;

use crate::course::{Course, Photograph, Slope};
use crate::page::figure::Show;
use crate::print::{Picture, Workshop};
use crate::problem::Failure;

/// A picture on a page.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Shot {
    /// Where the typesetter finds it.
    pub file: String,
    /// What it shows, in words: its alternative text and caption.
    pub shows: String,
    /// Width over height.
    pub shape: f64,
    /// Where brow and foot are seen, parts of width and height from the left and the top, with the angle between them on
    /// the ground.
    pub line: Option<Line>,
}

/// The line from brow to foot in a photograph.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Line {
    brow: [f64; 2],
    foot: [f64; 2],
    /// The angle on the ground.
    angle: String,
}

/// What a picture's angle may differ from the ground's before the page says so, rad: 3°. Judgement.
const ASIDE: f64 = 3.0 * std::f64::consts::PI / 180.0;

impl Line {
    /// In a picture of this shape, and what is to be said of it; none where the course does not say where it is seen.
    fn of(photograph: &Photograph, slope: &Slope, shape: f64, show: Show) -> Option<(Self, String)> {
        let seen = photograph.line?;
        let mean = slope.mean_gradient();
        let angle = show.fine_angle(mean, slope.survey.is_none()).trimmed().text();
        let drawn = seen.angle(shape);
        let how = if slope.survey.is_some() { "as measured" } else { "not measured yet" };
        let aside = if (drawn - mean).abs() > ASIDE {
            let drawn = show.angle(drawn, false).text();
            format!("; in the picture it looks like {drawn}, since the camera did not look square to it")
        } else {
            String::new()
        };
        let words = format!("The line from brow to foot falls {angle}, {how}{aside}");
        let places = [seen.brow, seen.foot].map(|spot| spot.map(crate::quantity::Share::si));
        Some((Self { brow: places[0], foot: places[1], angle }, words))
    }
}

/// Pictures of a course.
#[derive(Clone, Debug, Default)]
pub struct Gallery {
    /// The club's mark.
    pub logo: Option<Shot>,
    /// Photographs by slope.
    pub photographs: BTreeMap<String, Vec<Shot>>,
}

impl Gallery {
    /// Reads every picture a course names, from the folder of its file, and lays it in the work folder.
    ///
    /// # Errors
    /// A picture is missing, leads out of the folder, or cannot be printed.
    pub fn of(course: &Course, folder: &Path, workshop: &Workshop) -> Result<Self, Failure> {
        let lay = |name: &str, file: &str, shows: String| -> Result<Shot, Failure> {
            let picture = Picture::read(folder, file).map_err(Failure::Files)?;
            let (width, height) = picture.size();
            let shape = f64::from(width) / f64::from(height.max(1));
            Ok(Shot { file: workshop.add_picture(name, &picture)?, shows, shape, line: None })
        };
        let show = Show::new(course.units);
        let logo = course
            .logo
            .as_ref()
            .map(|file| lay("logo", file, format!("Mark of {}", course.club)))
            .transpose()?;
        let mut photographs = BTreeMap::new();
        for (place, slope) in (1..).zip(&course.slopes) {
            let shots = (1..)
                .zip(&slope.photographs)
                .map(|(number, photograph)| {
                    let file = &photograph.file;
                    let shows = photograph
                        .shows
                        .as_ref()
                        .map_or_else(|| words(file), |shows| shows.full().to_owned());
                    let name = format!("slope-{place}-{number}");
                    let mut shot = lay(&name, file, format!("{}: {shows}", slope.name))?;
                    if let Some((line, words)) = Line::of(photograph, slope, shot.shape, show) {
                        shot.shows = format!("{}. {words}", shot.shows.trim_end_matches('.'));
                        shot.line = Some(line);
                    }
                    Ok::<Shot, Failure>(shot)
                })
                .collect::<Result<Vec<_>, _>>()?;
            photographs.insert(slope.id.clone(), shots);
        }
        Ok(Self { logo, photographs })
    }
}

/// What a file is called, as words: `pictures/brow-from-below.jpg` shows “brow from below”.
fn words(file: &str) -> String {
    let name =
        Path::new(file).file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
    name.replace(['-', '_'], " ")
}
