//! What comes from outside may be anything: every reader reads it, or refuses it in words. None panics, none goes on with
//! a figure that is none.

use std::io::Cursor;

use image::{DynamicImage, ImageFormat, RgbImage};
use proptest::prelude::*;
use slopepack::course::{Tyre, read_text};
use slopepack::engine::reckon;
use slopepack::print::Picture;
use slopepack::spreadsheet::Table;
use slopepack::survey::{Readings, is_track, read, read_track};

const QUARRY: &str = include_str!("../courses/quarry-day.yaml");
const HEIGHTS: &[u8] = include_bytes!("../courses/bank-heights.csv");
const MARK: &[u8] = br##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20"><g fill="#123456"><path d="M0 0L10 5z"/><circle cx="9" cy="8" r="3"/></g></svg>"##;

/// A track of twelve fixes down a bank.
fn track() -> Vec<u8> {
    let fix = |at: u32| {
        let (north, height) = (52.0 + f64::from(at) * 2e-5, 110.0 - 0.4 * f64::from(at));
        format!(
            "<trkpt lat=\"{north}\" lon=\"7.1\"><ele>{height}</ele><time>2026-05-02T10:00:{at:02}Z</time></trkpt>"
        )
    };
    let fixes: String = (0..12).map(fix).collect();
    format!("<?xml version=\"1.0\"?><gpx version=\"1.1\" creator=\"a watch\" xmlns=\"http://www.topografix.com/GPX/1/1\"><trk><trkseg>{fixes}</trkseg></trk></gpx>")
        .into_bytes()
}

fn raster(format: ImageFormat) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    let picture: DynamicImage =
        RgbImage::from_fn(24, 16, |x, y| image::Rgb([(x * 9) as u8, (y * 13) as u8, 7])).into();
    picture.write_to(&mut bytes, format).expect("a picture");
    bytes.into_inner()
}

/// One change to a file: some bytes are put in place of others.
fn damage() -> impl Strategy<Value = (f64, usize, Vec<u8>)> {
    (0.0..1.0, 0_usize..12, prop::collection::vec(any::<u8>(), 0..12))
}

fn damaged(whole: &[u8], changes: &[(f64, usize, Vec<u8>)]) -> Vec<u8> {
    let mut bytes = whole.to_vec();
    for (part, length, put) in changes {
        let from = (part * bytes.len() as f64) as usize;
        let to = (from + length).min(bytes.len());
        bytes.splice(from..to, put.iter().copied());
    }
    bytes
}

fn finite(readings: &Readings) -> bool {
    format!("{readings:?}").split(|c: char| !c.is_alphanumeric()).all(|word| word != "NaN" && word != "inf")
}

/// A number of the course, and what stands there instead.
fn with_number(which: f64, by: &str) -> String {
    let numbers: Vec<_> = QUARRY
        .match_indices(|c: char| c.is_ascii_digit())
        .filter(|(at, _)| !QUARRY[..*at].ends_with(|c: char| c.is_alphanumeric() || c == '.'))
        .collect();
    let (from, _) = numbers[(which * numbers.len() as f64) as usize];
    let length = QUARRY[from..].find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(1);
    [&QUARRY[..from], by, &QUARRY[from + length..]].concat()
}

/// Every file they damage is read whole as it is: else the properties below would hold of nothing.
#[test]
fn the_whole_files_are_read() {
    assert!(is_track(&track()) && read_track(&track()).is_ok(), "{:?}", read_track(&track()));
    assert!(read(HEIGHTS).is_ok() && read_text(QUARRY).is_ok());
    for picture in [raster(ImageFormat::Png), raster(ImageFormat::Jpeg), MARK.to_vec()] {
        assert!(Picture::from_bytes(&picture).is_ok(), "{:?}", Picture::from_bytes(&picture).err());
    }
    assert!(Tyre::from_marking("235/85 R16").is_ok());
}

proptest! {
    #[test]
    fn any_marking_is_a_tyre_or_refused(text in "\\PC{0,24}", near in "[0-9]{0,4}[/xX. -]?[0-9]{0,4}[,.]?[0-9]{0,2} ?(R|-|ZR)? ?[0-9]{0,3}[A-Z]?") {
        for text in [&text, &near] {
            match Tyre::from_marking(text) {
                Ok(tyre) => prop_assert!(tyre.diameter.si().is_finite() && tyre.diameter.si() > 0.0, "{text}"),
                Err(error) => prop_assert!(!error.message.is_empty() && !error.help.is_empty(), "{text}"),
            }
        }
    }

    #[test]
    fn any_table_is_taken_apart(bytes in prop::collection::vec(any::<u8>(), 0..300), text in "[a-c,;\t\"\r\n .0-9\u{feff}é-]{0,120}") {
        for bytes in [&bytes[..], text.as_bytes()] {
            let table = Table::read(bytes, |head| head == "a");
            for problem in &table.problems {
                prop_assert!(!problem.message.is_empty());
            }
        }
    }

    #[test]
    fn damaged_readings_are_read_or_refused(changes in prop::collection::vec(damage(), 1..4)) {
        match read(&damaged(HEIGHTS, &changes)) {
            Ok(readings) => prop_assert!(finite(&readings), "{readings:?}"),
            Err((problems, _)) => prop_assert!(!problems.is_empty()),
        }
    }

    #[test]
    fn a_damaged_track_is_read_or_refused(changes in prop::collection::vec(damage(), 1..4)) {
        match read_track(&damaged(&track(), &changes)) {
            Ok(track) => prop_assert!(finite(&track.readings) && track.every.is_finite(), "{track:?}"),
            Err(why) => prop_assert!(!why.is_empty()),
        }
    }

    #[test]
    fn a_damaged_picture_is_read_or_refused(kind in 0_usize..3, changes in prop::collection::vec(damage(), 1..4)) {
        let whole = [raster(ImageFormat::Png), raster(ImageFormat::Jpeg), MARK.to_vec()];
        match Picture::from_bytes(&damaged(&whole[kind], &changes)) {
            Ok(picture) => prop_assert!(picture.size().0 > 0 && !picture.bytes().is_empty()),
            Err(why) => prop_assert!(!why.is_empty()),
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// A course with another number in it is refused at a place, or worked to figures.
    #[test]
    fn a_course_with_another_number_is_refused_or_worked(
        which in 0.0..1.0,
        by in prop::sample::select(vec!["0", "1", "7", "0.001", "45", "89.9", "99", "1000", "1e9", "-3", ".", "nan", "1e-300"]),
    ) {
        match read_text(&with_number(which, by)) {
            Ok(course) => {
                let reckoning = reckon(&course);
                for record in reckoning.descents() {
                    let descent = &record.told.descent;
                    let figures = [descent.top_speed, descent.time, descent.distance, descent.foot_speed];
                    for figure in figures {
                        prop_assert!([figure.low, figure.likely, figure.high].iter().all(|one| one.is_finite()),
                            "{} {}: {figure:?}", record.slope, record.vehicle);
                    }
                }
            }
            Err(problems) => prop_assert!(problems.iter().all(|one| !one.message.is_empty()) && !problems.is_empty()),
        }
    }
}
