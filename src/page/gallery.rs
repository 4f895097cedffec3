//! The club's mark and the photographs of slopes, read and laid where the typesetter finds them.

use std::collections::BTreeMap;
use std::path::Path;

use serde::Serialize;

use crate::course::Course;
use crate::print::{Picture, Workshop};
use crate::problem::Failure;

/// A picture on a page.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Shot {
    /// Where the typesetter finds it.
    pub file: String,
    /// What it shows, in words: its alternative text and caption.
    pub shows: String,
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
            Ok(Shot { file: workshop.add_picture(name, &picture)?, shows })
        };
        let logo = course
            .logo
            .as_ref()
            .map(|file| lay("logo", file, format!("Mark of {}", course.club)))
            .transpose()?;
        let mut photographs = BTreeMap::new();
        for (place, slope) in (1..).zip(&course.slopes) {
            let shots = (1..)
                .zip(&slope.photographs)
                .map(|(number, file)| {
                    lay(&format!("slope-{place}-{number}"), file, format!("{}: {}", slope.name, words(file)))
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
