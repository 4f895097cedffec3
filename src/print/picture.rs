//! Photographs and logos, decoded and written afresh.
//!
//! What a camera wrote beside the picture (place, time, owner) does not travel: only the pixels
//! do, turned the right way up and no larger than a page can show.

mod vector;

use std::io::Cursor;
use std::path::Path;

use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::{self, CompressionType, PngEncoder};
use image::imageops::FilterType;
use image::{DynamicImage, GenericImage, ImageDecoder, ImageFormat, ImageReader, Limits, Rgb, RgbImage};

use crate::beside;

/// Longest side of a printed picture, in pixels.
pub const LONGEST_SIDE: u32 = 1600;
/// Largest file that is read, in bytes.
const LARGEST_FILE: u64 = 40 << 20;
/// Longest side that is decoded, in pixels.
const LONGEST_DECODED: u32 = 20_000;
/// Most memory the pixels of a picture may take, in bytes: a hundred million of four bytes each. Making it smaller takes
/// about as much again, so all of it stays within 1 GiB.
const MOST_MEMORY: u64 = 400_000_000;
/// Quality of a photograph, from 1 to 100.
const QUALITY: u8 = 82;

/// A picture fit to print.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    bytes: Vec<u8>,
    extension: &'static str,
    width: u32,
    height: u32,
}

impl Picture {
    /// Reads a picture that a course names, from the folder of the course or one inside it.
    ///
    /// # Errors
    /// A sentence to show at the place in the course: the name leads out of the folder, the file
    /// is missing or too large, or it is not a picture that can be printed.
    pub fn read(folder: &Path, name: &str) -> Result<Self, String> {
        let bytes =
            beside::read(folder, name, LARGEST_FILE).map_err(|why| format!("the picture {name} {why}"))?;
        Self::from_bytes(&bytes).map_err(|why| format!("the picture {name} cannot be printed: {why}"))
    }

    /// Looks whether a picture that a course names can be printed, without making it so.
    ///
    /// # Errors
    /// As [`Picture::read`].
    pub fn check(folder: &Path, name: &str) -> Result<(), String> {
        let bytes =
            beside::read(folder, name, LARGEST_FILE).map_err(|why| format!("the picture {name} {why}"))?;
        let printable = if vector::looks_like(&bytes) {
            vector::check(&bytes).map(drop)
        } else {
            limited(&bytes).and_then(|decoder| {
                DynamicImage::from_decoder(decoder).map(drop).map_err(|error| error.to_string())
            })
        };
        printable.map_err(|why| format!("the picture {name} cannot be printed: {why}"))
    }

    /// Decodes a JPEG or PNG and writes it afresh: right way up, at most [`LONGEST_SIDE`], as JPEG
    /// or, when it has transparent parts, as PNG. An SVG made of shapes alone is kept as it is.
    ///
    /// # Errors
    /// Why it cannot be printed.
    pub fn from_bytes(bytes: &[u8]) -> Result<Self, String> {
        if vector::looks_like(bytes) {
            let (width, height) = vector::check(bytes)?;
            return Ok(Self { bytes: bytes.to_vec(), extension: "svg", width, height });
        }
        let mut decoder = limited(bytes)?;
        let turned = decoder.orientation().map_err(|error| error.to_string())?;
        let mut pixels = DynamicImage::from_decoder(decoder).map_err(|error| error.to_string())?;
        if pixels.width().max(pixels.height()) > LONGEST_SIDE {
            pixels = pixels.resize(LONGEST_SIDE, LONGEST_SIDE, FilterType::CatmullRom);
        }
        pixels.apply_orientation(turned);
        let transparent = pixels.color().has_alpha() && pixels.to_rgba8().pixels().any(|p| p.0[3] < 255);
        let (width, height) = (pixels.width(), pixels.height());
        let bytes = if transparent { as_png(&pixels.into_rgba8().into())? } else { as_jpeg(pixels)? };
        Ok(Self { bytes, extension: if transparent { "png" } else { "jpg" }, width, height })
    }

    /// The file to print.
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// Its kind, as the ending of a file name.
    pub fn extension(&self) -> &'static str {
        self.extension
    }

    /// Width and height in pixels, right way up.
    pub fn size(&self) -> (u32, u32) {
        (self.width, self.height)
    }
}

/// A decoder that has read the head of the picture only, and refuses one that is too large.
fn limited(bytes: &[u8]) -> Result<impl ImageDecoder + '_, String> {
    let mut limits = Limits::default();
    limits.max_image_width = Some(LONGEST_DECODED);
    limits.max_image_height = Some(LONGEST_DECODED);
    limits.max_alloc = Some(MOST_MEMORY);
    let mut reader =
        ImageReader::new(Cursor::new(bytes)).with_guessed_format().map_err(|error| error.to_string())?;
    if !matches!(reader.format(), Some(ImageFormat::Jpeg | ImageFormat::Png)) {
        return Err("it is neither JPEG, PNG nor SVG".into());
    }
    if matches!(reader.format(), Some(ImageFormat::Jpeg)) && !jpeg_ends(bytes) {
        return Err("its end is missing: copy it again".into());
    }
    reader.limits(limits);
    let decoder = reader.into_decoder().map_err(|error| error.to_string())?;
    if decoder.total_bytes() > MOST_MEMORY {
        let (width, height) = decoder.dimensions();
        return Err(format!("{width} × {height} pixels are too many"));
    }
    Ok(decoder)
}

/// Whether a JPEG goes on to its end marker (ISO/IEC 10918-1, annex B). Decoders fill what is missing
/// with grey, and nobody would know. Markers have the byte FF before them; in the data of a picture FF
/// is followed by 00 or by a restart marker.
fn jpeg_ends(bytes: &[u8]) -> bool {
    let mut at = 2;
    while let Some([0xff, marker]) = bytes.get(at..at + 2) {
        match marker {
            0xd9 => return true,
            // Fill bytes, and markers without content.
            0xff => at += 1,
            0x01 | 0xd0..=0xd8 => at += 2,
            _ => {
                let Some([high, low]) = bytes.get(at + 2..at + 4) else { return false };
                at += 2 + usize::from(u16::from_be_bytes([*high, *low]));
                if *marker == 0xda {
                    let data = bytes.get(at..).unwrap_or_default();
                    let ends = |pair: &[u8]| pair[0] == 0xff && !matches!(pair[1], 0 | 0xd0..=0xd7);
                    let Some(length) = data.windows(2).position(ends) else { return false };
                    at += length;
                }
            }
        }
    }
    false
}

fn as_jpeg(pixels: DynamicImage) -> Result<Vec<u8>, String> {
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, QUALITY)
        .encode_image(&pixels.into_rgb8())
        .map_err(|error| error.to_string())?;
    Ok(bytes)
}

fn as_png(pixels: &DynamicImage) -> Result<Vec<u8>, String> {
    let mut bytes = Vec::new();
    // Pages are mostly white: packed well they are half as large.
    let encoder = PngEncoder::new_with_quality(&mut bytes, CompressionType::Best, png::FilterType::Adaptive);
    pixels.write_with_encoder(encoder).map_err(|error| error.to_string())?;
    Ok(bytes)
}

/// Pages side by side in one picture (PNG), `columns` in a row, each page `width` pixels wide.
///
/// # Errors
/// A page is not a picture.
pub fn contact_sheet(pages: &[Vec<u8>], columns: u32, width: u32) -> Result<Vec<u8>, String> {
    let gap = width / 20 + 1;
    let small = |page: &Vec<u8>| -> Result<RgbImage, String> {
        let decoder = limited(page)?;
        let page = DynamicImage::from_decoder(decoder).map_err(|error| error.to_string())?;
        let height = (page.height() * width).div_ceil(page.width());
        Ok(page.resize_exact(width, height, FilterType::CatmullRom).into_rgb8())
    };
    let pages = pages.iter().map(small).collect::<Result<Vec<_>, _>>()?;
    let columns = columns.clamp(1, u32::try_from(pages.len()).unwrap_or(u32::MAX).max(1));
    let rows: Vec<&[RgbImage]> = pages.chunks(columns as usize).collect();
    let tallest = |row: &&[RgbImage]| row.iter().map(RgbImage::height).max().unwrap_or(0);
    let height = gap + rows.iter().map(|row| tallest(row) + gap).sum::<u32>();
    let mut sheet = RgbImage::from_pixel(gap + columns * (width + gap), height, Rgb([150, 150, 150]));
    let mut top = gap;
    for row in rows {
        let mut left = gap;
        for page in row {
            sheet.copy_from(page, left, top).map_err(|error| error.to_string())?;
            left += width + gap;
        }
        top += tallest(&row) + gap;
    }
    as_png(&sheet.into())
}
