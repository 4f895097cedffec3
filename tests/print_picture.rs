//! Pictures travel without what the camera wrote beside them, and cannot harm the program.

use std::fs;
use std::io::Cursor;

use image::{DynamicImage, ImageFormat, Rgb, RgbImage, Rgba, RgbaImage};
use slopepack::print::Picture;
use slopepack::print::picture::{LONGEST_SIDE, contact_sheet};

use crate::program::Bench;

const QUARRY: &str = include_str!("../courses/quarry-day.yaml");

fn png(pixels: impl Into<DynamicImage>) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    pixels.into().write_to(&mut bytes, ImageFormat::Png).expect("a picture");
    bytes.into_inner()
}

/// A photograph, left half red and right half blue, that says it must be turned by a quarter and
/// where it was taken.
fn photograph(width: u32, height: u32) -> Vec<u8> {
    let half = |x, _| if x < width / 2 { Rgb([250, 10, 10]) } else { Rgb([10, 10, 250]) };
    with_orientation(&RgbImage::from_fn(width, height, half).into(), 6)
}

/// A photograph that says how it is to be turned, 1 to 8, and where it was taken.
fn with_orientation(pixels: &DynamicImage, orientation: u8) -> Vec<u8> {
    let mut plain = Cursor::new(Vec::new());
    pixels.write_to(&mut plain, ImageFormat::Jpeg).expect("a picture");
    let plain = plain.into_inner();
    // A TIFF head (little-endian) with one entry: orientation (0x0112), short, 1, its value.
    let mut exif = b"Exif\0\0II\x2a\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0".to_vec();
    exif.extend([orientation, 0, 0, 0, 0, 0, 0, 0]);
    exif.extend(b"GPSLatitude 51.5025 owner J.D.");
    let length = u16::try_from(exif.len() + 2).expect("short").to_be_bytes();
    [&plain[..2], &[0xff, 0xe1], &length, &exif, &plain[2..]].concat()
}

fn holds(bytes: &[u8], part: &[u8]) -> bool {
    bytes.windows(part.len()).any(|window| window == part)
}

#[test]
fn a_photograph_is_turned_made_smaller_and_loses_its_secrets() {
    let photograph = photograph(2400, 1200);
    assert!(holds(&photograph, b"Exif") && holds(&photograph, b"GPSLatitude"));
    let picture = Picture::from_bytes(&photograph).expect("it can be printed");
    assert_eq!((picture.size(), picture.extension()), ((LONGEST_SIDE / 2, LONGEST_SIDE), "jpg"));
    for secret in [&b"Exif"[..], b"GPS", b"owner"] {
        assert!(!holds(picture.bytes(), secret));
    }
    let pixels = image::load_from_memory(picture.bytes()).expect("a picture").into_rgb8();
    let (top, bottom) = (pixels.get_pixel(400, 100), pixels.get_pixel(400, 1500));
    assert!(top.0[0] > 200 && bottom.0[2] > 200, "turned by a quarter to the right: {top:?} {bottom:?}");
}

/// What a camera wrote that was held so: where row 0 and column 0 of its file are in the scene (CIPA DC-008, Exif 2.32,
/// table 6), as the place in the file of a place in the scene.
fn held(orientation: u8, (width, height): (u32, u32), (x, y): (u32, u32)) -> (u32, u32) {
    let (right, low) = (width - 1 - x, height - 1 - y);
    match orientation {
        1 => (x, y),
        2 => (right, y),
        3 => (right, low),
        4 => (x, low),
        5 => (y, x),
        6 => (y, right),
        7 => (low, right),
        _ => (low, x),
    }
}

#[test]
fn photographs_are_upright_however_the_camera_was_held() {
    let colours = [Rgb([250, 10, 10]), Rgb([10, 250, 10]), Rgb([10, 10, 250]), Rgb([250, 250, 10])];
    let (width, height) = (320, 160);
    let quarter = |x: u32, y: u32| usize::from(x >= width / 2) + 2 * usize::from(y >= height / 2);
    for orientation in 1..=8 {
        let turned = orientation >= 5;
        let mut file = if turned { RgbImage::new(height, width) } else { RgbImage::new(width, height) };
        for (x, y) in (0..height).flat_map(|y| (0..width).map(move |x| (x, y))) {
            let (column, row) = held(orientation, (width, height), (x, y));
            file.put_pixel(column, row, colours[quarter(x, y)]);
        }
        let picture = Picture::from_bytes(&with_orientation(&file.into(), orientation)).expect("a picture");
        assert_eq!(picture.size(), (width, height), "held as {orientation}");
        let pixels = image::load_from_memory(picture.bytes()).expect("a picture").into_rgb8();
        for (x, y) in [(80, 40), (240, 40), (80, 120), (240, 120)] {
            let (seen, wanted) = (pixels.get_pixel(x, y).0, colours[quarter(x, y)].0);
            assert!(
                seen.iter().zip(wanted).all(|(a, b)| a.abs_diff(b) < 60),
                "held as {orientation}: {seen:?} for {wanted:?} at {x}, {y}"
            );
        }
        assert!(!holds(picture.bytes(), b"Exif") && !holds(picture.bytes(), b"GPS"), "held as {orientation}");
    }
}

/// The most address space a run may take, KiB: 1 GiB.
#[cfg(target_os = "linux")]
const GIBIBYTE: u32 = 1 << 20;

#[cfg(target_os = "linux")]
#[test]
fn a_picture_of_a_hundred_million_pixels_is_printed_within_a_gibibyte() {
    let bench = Bench::with_course(
        &QUARRY.replace("    # photographs: [pictures/nursery-brow.jpg]", "    photographs: [brow.jpg]"),
    );
    let shade = |x: u32, y: u32| Rgb([(x / 40) as u8, (y / 40) as u8, 128]);
    let mut bytes = Cursor::new(Vec::new());
    let huge: DynamicImage = RgbImage::from_fn(12_500, 8_000, shade).into();
    huge.write_to(&mut bytes, ImageFormat::Jpeg).expect("a picture");
    fs::write(bench.path("brow.jpg"), bytes.into_inner()).expect("it is written");
    let ran = bench.within(GIBIBYTE, &["pack", "day.yaml", "--only", "instructor-notes"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
}

#[test]
fn small_pictures_keep_their_size_and_transparent_ones_stay_so() {
    let clear = RgbaImage::from_pixel(30, 20, Rgba([1, 2, 3, 100]));
    let picture = Picture::from_bytes(&png(clear)).expect("it can be printed");
    assert_eq!((picture.size(), picture.extension()), ((30, 20), "png"));
    let pixels = image::load_from_memory(picture.bytes()).expect("a picture").into_rgba8();
    assert_eq!(pixels.get_pixel(5, 5).0, [1, 2, 3, 100]);
    let opaque = RgbaImage::from_pixel(30, 20, Rgba([1, 2, 3, 255]));
    assert_eq!(Picture::from_bytes(&png(opaque)).expect("it can be printed").extension(), "jpg");
}

#[test]
fn the_same_picture_gives_the_same_bytes() {
    let photograph = photograph(1800, 900);
    assert_eq!(Picture::from_bytes(&photograph), Picture::from_bytes(&photograph));
}

#[test]
fn a_small_file_that_would_fill_the_memory_is_refused() {
    // The head of a PNG that promises 19 000 × 19 000 pixels, and one of 60 000 × 60 000.
    for side in [19_000u32, 60_000] {
        let mut bytes = png(RgbImage::new(1, 1));
        bytes[16..20].copy_from_slice(&side.to_be_bytes());
        bytes[20..24].copy_from_slice(&side.to_be_bytes());
        let checksum = checksum(&bytes[12..29]);
        bytes[29..33].copy_from_slice(&checksum.to_be_bytes());
        let why = Picture::from_bytes(&bytes).expect_err("too large");
        assert!(why.contains("too many") || why.contains("limit"), "{why}");
    }
}

/// The cyclic redundancy check of a PNG chunk (W3C PNG Specification, annex D).
fn checksum(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |sum, byte| {
        (0..8).fold(sum ^ u32::from(*byte), |sum, _| (sum >> 1) ^ (0xedb8_8320 & (sum & 1).wrapping_neg()))
    })
}

#[test]
fn what_is_no_picture_is_refused() {
    let whole = png(RgbImage::new(40, 40));
    for bytes in [&b""[..], b"GIF89a", b"<svg/>", b"%PDF-1.7", &whole[..whole.len() / 2], &whole[..20]] {
        assert!(Picture::from_bytes(bytes).is_err());
    }
}

#[test]
fn only_pictures_in_the_folder_of_the_course_are_read() {
    let desk = tempfile::tempdir().expect("a folder");
    let folder = desk.path().join("course");
    fs::create_dir_all(folder.join("photos")).expect("made");
    fs::write(desk.path().join("secret.png"), png(RgbImage::new(2, 2))).expect("written");
    fs::write(folder.join("photos/a.png"), png(RgbImage::new(2, 2))).expect("written");
    assert!(Picture::read(&folder, "photos/a.png").is_ok());
    assert!(Picture::read(&folder, "./photos/a.png").is_ok());
    let outside = desk.path().join("secret.png");
    for name in [
        "../secret.png",
        "photos/../../secret.png",
        outside.to_str().expect("text"),
        "",
        "photos",
        "none.png",
    ] {
        assert!(Picture::read(&folder, name).is_err(), "{name}");
    }
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(&outside, folder.join("link.png")).expect("linked");
        let why = Picture::read(&folder, "link.png").expect_err("a way out");
        assert!(why.contains("leads out"), "{why}");
    }
}

#[test]
fn a_contact_sheet_shows_every_page_in_order() {
    let shades = [10u8, 90, 200];
    let pages: Vec<_> =
        shades.iter().map(|shade| png(RgbImage::from_pixel(210, 297, Rgb([*shade; 3])))).collect();
    let sheet = contact_sheet(&pages, 2, 100).expect("a sheet");
    let pixels = image::load_from_memory(&sheet).expect("a picture").into_rgb8();
    assert_eq!(pixels.dimensions(), (6 + 2 * 106, 6 + 2 * (142 + 6)));
    for (shade, (x, y)) in shades.into_iter().zip([(50, 50), (160, 50), (50, 200)]) {
        assert_eq!(pixels.get_pixel(x, y).0, [shade; 3]);
    }
    assert!(contact_sheet(&[b"no picture".to_vec()], 2, 100).is_err());
    assert!(contact_sheet(&[], 2, 100).is_ok());
}
