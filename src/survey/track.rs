//! Reading a track with heights, as satellite receivers and telephones write it (GPX 1.1).

use chrono::{DateTime, FixedOffset};

use super::Measured;
use super::readings::Readings;

/// Nearer than this to the one before, m, a fix belongs to a halt.
const HALT: f64 = 1.0;
/// Longest way of a slope, m.
const LONGEST: f64 = 5_000.0;
/// Greatest height above or below the sea that is believed, m.
const HIGHEST: f64 = 9_000.0;
/// Seconds between two fixes, where the track does not tell.
const USUAL: f64 = 1.0;

/// A fix: metres east and north of the first, height, seconds.
struct Fix {
    east: f64,
    north: f64,
    height: f64,
    time: Option<DateTime<FixedOffset>>,
}

/// A track, and how often it was fixed.
#[derive(Clone, Debug, PartialEq)]
pub struct Track {
    /// Its fixes as level distance along the straight line from first to last, and height.
    pub readings: Readings,
    /// Mean time between two fixes, s.
    pub every: f64,
}

/// Whether a file is a track, by its beginning.
pub fn is_track(bytes: &[u8]) -> bool {
    let start = String::from_utf8_lossy(&bytes[..bytes.len().min(1024)]).to_lowercase();
    start.trim_start_matches('\u{feff}').trim_start().starts_with('<') && start.contains("<gpx")
}

/// Reads the longest part of a track. Parts are never joined: nobody knows what lies between them.
///
/// # Errors
/// It cannot be read, has no heights, or is no way down a slope: why, and what would be right.
pub fn read_track(bytes: &[u8]) -> Result<Track, String> {
    let file = gpx::read(bytes)
        .map_err(|why| format!("the track cannot be read: {why}; save it again as GPX 1.1"))?;
    let parts = file.tracks.iter().flat_map(|track| &track.segments).map(|segment| &segment.points[..]);
    let routes = file.routes.iter().map(|route| &route.points[..]);
    let longest = parts.chain(routes).max_by_key(|points| points.len()).unwrap_or_default();
    let fixes = fixes(longest)?;
    let moved = without_halts(fixes);
    if moved.len() < 3 {
        return Err(
            "the track has fewer than three fixes that are a metre apart; walk from brow to foot".to_owned()
        );
    }
    let every = every(&moved);
    let heights = along(&smoothed(moved))?;
    let rows = heights.len();
    let readings =
        Readings { measured: Measured::Heights(heights), rows, imperial: false, unused: Vec::new() };
    Ok(Track { readings, every })
}

/// # Errors
/// A fix has no height, or is at no place.
fn fixes(points: &[gpx::Waypoint]) -> Result<Vec<Fix>, String> {
    let Some(first) = points.first().map(gpx::Waypoint::point) else {
        return Err("the file has no track; its waypoints alone are no way down a slope".to_owned());
    };
    let (east, north) = metres_for_a_degree(first.y());
    let fix = |(at, one): (usize, &gpx::Waypoint)| {
        let place = one.point();
        let sound = |value: f64, most: f64| value.is_finite() && value.abs() <= most;
        if !sound(place.x(), 180.0) || !sound(place.y(), 90.0) {
            return Err(format!("fix {} is at no place on earth", at + 1));
        }
        let height = one.elevation.filter(|height| sound(*height, HIGHEST));
        let Some(height) = height else {
            return Err(format!("fix {} has no height (`ele`); record the track with heights", at + 1));
        };
        Ok(Fix {
            east: (place.x() - first.x()) * east,
            north: (place.y() - first.y()) * north,
            height,
            time: one.time.and_then(|time| DateTime::parse_from_rfc3339(&time.format().ok()?).ok()),
        })
    };
    points.iter().enumerate().map(fix).collect()
}

/// Metres in a degree of longitude and of latitude at a latitude (degrees), on the ellipsoid of WGS 84.
fn metres_for_a_degree(latitude: f64) -> (f64, f64) {
    const EQUATOR: f64 = 6_378_137.0;
    const FLATTENING: f64 = 1.0 / 298.257_223_563;
    let flat = FLATTENING * (2.0 - FLATTENING);
    let sine = libm::sin(latitude.to_radians());
    let bent = 1.0 - flat * sine * sine;
    let across = EQUATOR / libm::sqrt(bent);
    (across * libm::cos(latitude.to_radians()).to_radians(), (across * (1.0 - flat) / bent).to_radians())
}

fn without_halts(fixes: Vec<Fix>) -> Vec<Fix> {
    let mut moved: Vec<Fix> = Vec::new();
    for fix in fixes {
        let far = |last: &Fix| libm::hypot(fix.east - last.east, fix.north - last.north) >= HALT;
        if moved.last().is_none_or(far) {
            moved.push(fix);
        }
    }
    moved
}

fn every(fixes: &[Fix]) -> f64 {
    let whole = fixes.first().zip(fixes.last()).and_then(|(first, last)| Some(last.time? - first.time?));
    let seconds = whole.and_then(|whole| u32::try_from(whole.num_seconds()).ok()).filter(|whole| *whole > 0);
    seconds.map_or(USUAL, |seconds| f64::from(seconds) / super::sure::number(fixes.len() - 1))
}

/// Each height as the middle one of three neighbours: a spike is gone.
fn smoothed(mut fixes: Vec<Fix>) -> Vec<Fix> {
    let heights: Vec<f64> = fixes.iter().map(|fix| fix.height).collect();
    for (fix, near) in fixes.iter_mut().skip(1).zip(heights.windows(3)) {
        let mut near = [near[0], near[1], near[2]];
        near.sort_by(f64::total_cmp);
        fix.height = near[1];
    }
    fixes
}

/// Level distance along the straight line from the first fix to the last, in order, with heights.
///
/// # Errors
/// The track ends where it began, or is too long for a slope.
fn along(fixes: &[Fix]) -> Result<Vec<(f64, f64)>, String> {
    let ends = fixes.first().zip(fixes.last());
    let (east, north) =
        ends.map_or((0.0, 0.0), |(first, last)| (last.east - first.east, last.north - first.north));
    let whole = libm::hypot(east, north);
    if whole < 5.0 * HALT {
        return Err("the track ends where it began; keep the way from brow to foot alone".to_owned());
    }
    if whole > LONGEST {
        return Err(format!(
            "{:.0} km is too long for a slope; keep the way from brow to foot alone",
            whole / 1000.0
        ));
    }
    let place = |fix: &Fix| ((fix.east * east + fix.north * north) / whole, fix.height);
    let mut all: Vec<(f64, f64)> = fixes.iter().map(place).collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let from = all.first().map_or(0.0, |first| first.0);
    for point in &mut all {
        point.0 -= from;
    }
    Ok(all)
}
