//! A slope that lies otherwise than the course says since it rained: `lawn: grass-wet`, or `lawn: wet` for the surface
//! that the course or the library has for it in the wet.

use super::channels::slope_of;
use crate::course::{Course, Soil, library_surface};
use crate::problem::Failure;

/// Rain does not fall on one slope alone.
const OTHERS: &str = "slopes that nobody told wet are reckoned dry: when it rains on them each is closed until it has passed \
                      the wet-day test";

/// Puts the surface under the slope in the course of the day, its run-out with it, and says it in words.
///
/// # Errors
/// No slope or surface has that name, there is no wet one for it, or it lies so already.
pub(super) fn lies(course: &mut Course, words: &str) -> Result<String, Failure> {
    let usage = |why: String| Failure::Usage(format!("--surface `{words}`: {why}"));
    let parts = words.split_once([':', '=']);
    let (slope, surface) =
        parts.ok_or_else(|| usage("write `--surface 'SLOPE: clay-wet'` or `'SLOPE: wet'`".to_owned()))?;
    let at = slope_of(course, slope.trim()).map_err(usage)?;
    let is_wet = course.surface_of(&course.slopes[at]).soil == Soil::Wet;
    let to = match surface.trim() {
        "wet" if is_wet => course.slopes[at].surface.clone(),
        "wet" => course.slopes[at].when_wet().ok_or_else(|| {
            usage(format!(
                "nothing says what `{}` is in the wet, so the slope closes, as its card says: `--without {}`; else name the \
                 surface, or write `wet-surface` under the slope",
                course.slopes[at].surface, course.slopes[at].id
            ))
        })?,
        named => named.to_owned(),
    };
    if course.slopes[at].surface == to {
        return Err(usage(format!("it is reckoned with {to} already")));
    }
    if course.surface(&to).is_none() {
        let known = library_surface(&to).ok_or_else(|| {
            let own: Vec<&str> = course.surfaces.iter().map(|surface| surface.id.as_str()).collect();
            let library: Vec<&str> = crate::course::library_ids().collect();
            usage(format!("no surface is called `{to}`; there are {}", [own, library].concat().join(", ")))
        })?;
        course.surfaces.push(known);
    }
    course.wets(at, &to);
    let known = course.surface(&to);
    let name = known.map_or_else(String::new, |surface| surface.name.short());
    let told = format!("{} is reckoned with {name} from now on", course.slopes[at].name.short());
    let rain = known.is_some_and(|surface| surface.soil == Soil::Wet);
    Ok(if rain && course.slopes.len() > 1 { format!("{told}; {OTHERS}") } else { told })
}
