//! On a grey copy at 150 dots an inch fills, lines and signal words stay what they are.

use image::{GrayImage, Luma, RgbImage};
use serde_json::json;
use slopepack::print::{Templates, Typesetter, Workshop};

const STAMP: i64 = 1_767_225_600;
/// Resolution of the copy, dots per inch.
const COPY: u32 = 150;
/// Least difference two fills must show in mean grey or in the strength of a pattern in some direction, of 255.
const APART: f64 = 15.0;
/// Fills of the drawings, in the order they are laid out below; `plain` is the paper.
const FILLS: [&str; 8] = ["contact", "brakes", "engine", "driveline", "rolling", "air", "speed", "tint"];
/// Strokes of the curves, and the limit's.
const LINES: [&str; 4] = ["geared", "braked", "locked", "limit"];
const PANELS: [&str; 5] = ["danger", "warning", "caution", "notice", "steps"];

const SHEET: &str = r#"#set document(title: {{ title|spoken }})
#import "style.typ": *
#import "draw/base.typ": *
#import "style/panel.typ": *
#set page(width: 210mm, height: 150mm, margin: 0mm)
#assert.eq(fills.keys().sorted(), ({% for f in fills if f != "tint" %}{{ f|lit }}, {% endfor %}).sorted(), message: "every fill is tested")
#assert.eq(dash-of.keys().sorted(), ({% for l in lines if l != "limit" %}{{ l|lit }}, {% endfor %}).sorted(), message: "every dash is tested")
#assert.eq(signal.keys().sorted(), ({% for p in panels %}{{ p|lit }}, {% endfor %}).sorted(), message: "every panel is tested")
#assert.eq(signal.values().map(s => s.word).dedup().len(), signal.len(), message: "each has its word")
#let marked = signal.values().filter(s => s.triangle)
#assert.eq(marked.map(s => s.border).dedup().len(), marked.len(), message: "each degree of danger has its border")
{% for f in fills %}
#place(top + left, dx: {{ loop.index0|num }} * 25mm, dy: 5mm, rect(width: 20mm, height: 20mm, fill: {% if f == "tint" %}tint{% else %}fills.at({{ f|lit }}){% endif %}))
{% endfor %}
{% for l in lines %}
#place(top + left, dx: 10mm, dy: 35mm + {{ loop.index0|num }} * 5mm, line(length: 80mm, stroke: {% if l == "limit" %}(paint: ink, thickness: 1.4pt, dash: (8pt, 2pt, 1.5pt, 2pt)){% else %}(paint: ink, thickness: 1.6pt, dash: dash-of.at({{ l|lit }}, default: none)){% endif %}))
{% endfor %}
{% for p in panels %}
#place(top + left, dx: 10mm, dy: 60mm + {{ loop.index0|num }} * 17mm, box(width: 80mm, panel({{ p|lit }})[x]))
{% endfor %}
"#;

fn dots(millimetres: f64) -> u32 {
    (millimetres / 25.4 * f64::from(COPY)).round() as u32
}

/// A picture as a copier sees it: by luminance, not by the mean of the colours.
fn grey_of(picture: &RgbImage) -> GrayImage {
    let encoded =
        |light: f64| if light <= 0.003_130_8 { 12.92 * light } else { 1.055 * light.powf(1.0 / 2.4) - 0.055 };
    GrayImage::from_fn(picture.width(), picture.height(), |x, y| {
        let [red, green, blue] = picture.get_pixel(x, y).0.map(linear);
        let light = 0.2126 * red + 0.7152 * green + 0.0722 * blue;
        Luma([(255.0 * encoded(light)).round() as u8])
    })
}

/// Light of an sRGB value, 0 to 1.
fn linear(value: u8) -> f64 {
    let c = f64::from(value) / 255.0;
    if c <= 0.040_45 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
}

/// The sheet above, copied in grey.
fn copy() -> GrayImage {
    let embedded = Templates::embedded().expect("all templates parse");
    let mut sources: Vec<(String, String)> =
        embedded.shared().map(|(name, text)| (name.to_owned(), text.to_owned())).collect();
    sources.push(("grey.typ.j2".to_owned(), SHEET.to_owned()));
    let templates = Templates::of(sources).expect("it parses");
    let folder = tempfile::tempdir().expect("a folder");
    let workshop = Workshop::inside(folder.path(), "grey-", &templates).expect("a work folder");
    let context = json!({ "title": "Grey", "fills": FILLS, "lines": LINES, "panels": PANELS });
    let rendered = templates.render("grey.typ.j2", &context).expect("it renders");
    let pages = Typesetter::find(None)
        .expect("the typesetter")
        .pages(&workshop, &rendered, STAMP, COPY)
        .unwrap_or_else(|fault| panic!("{fault}"));
    grey_of(&image::load_from_memory(&pages[0]).expect("a picture").to_rgb8())
}

/// Mean grey, and how strongly it changes over half a millimetre and more in four directions.
type Look = [f64; 5];

fn look(sheet: &GrayImage, left: f64, top: f64) -> Look {
    let (x0, y0, side, step) = (dots(left + 2.0), dots(top + 2.0), dots(16.0), 5);
    let grey = |x: u32, y: u32| f64::from(sheet.get_pixel(x, y).0[0]);
    let places: Vec<(u32, u32)> =
        (y0 + step..y0 + side).flat_map(|y| (x0..x0 + side).map(move |x| (x, y))).collect();
    let mean = |of: &dyn Fn(u32, u32) -> f64| {
        places.iter().map(|(x, y)| of(*x, *y)).sum::<f64>() / places.len() as f64
    };
    [
        mean(&grey),
        mean(&|x, y| (grey(x, y) - grey(x + step, y)).abs()),
        mean(&|x, y| (grey(x, y) - grey(x, y - step)).abs()),
        mean(&|x, y| (grey(x, y) - grey(x + step, y - step)).abs()),
        mean(&|x, y| (grey(x + step, y) - grey(x, y - step)).abs()),
    ]
}

fn difference(one: &Look, other: &Look) -> f64 {
    one.iter().zip(other).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max)
}

#[test]
fn fills_stay_apart_in_grey() {
    let sheet = copy();
    let looks: Vec<(&str, Look)> =
        FILLS.iter().zip(0..).map(|(name, at)| (*name, look(&sheet, f64::from(at) * 25.0, 5.0))).collect();
    for (place, (name, one)) in looks.iter().enumerate() {
        for (other_name, other) in &looks[place + 1..] {
            let found = difference(one, other);
            assert!(found >= APART, "{name} and {other_name} look alike: {found:.1}, {one:.0?} {other:.0?}");
        }
    }
}

/// Lengths of the marks along a line, mm.
fn marks(sheet: &GrayImage, top: f64) -> Vec<f64> {
    let row = |y: u32| (dots(9.0)..dots(91.0)).map(move |x| sheet.get_pixel(x, y).0[0] < 128);
    let inked: Vec<bool> = (dots(top - 0.5)..=dots(top + 0.5))
        .map(|y| row(y).collect::<Vec<_>>())
        .max_by_key(|row| row.iter().filter(|ink| **ink).count())
        .expect("rows");
    inked
        .split(|ink| !ink)
        .filter(|run| !run.is_empty())
        .map(|run| run.len() as f64 / f64::from(COPY) * 25.4)
        .collect()
}

#[test]
fn lines_stay_apart_in_grey() {
    let sheet = copy();
    let longest = |marks: &[f64]| marks.iter().copied().fold(0.0, f64::max);
    let mut lines: Vec<(&str, f64)> = LINES
        .iter()
        .zip(0..)
        .map(|(name, at)| (*name, longest(&marks(&sheet, 35.0 + f64::from(at) * 5.0))))
        .collect();
    lines.sort_by(|a, b| a.1.total_cmp(&b.1));
    for pair in lines.windows(2) {
        assert!(pair[0].1 > 0.0 && pair[1].1 >= 1.4 * pair[0].1, "strokes look alike: {pair:?} mm");
    }
}

/// Contrast of the lightest and the darkest grey of a place, after WCAG 2.
fn contrast(sheet: &GrayImage, left: f64, top: f64, width: f64, height: f64) -> f64 {
    let greys = (dots(top)..dots(top + height))
        .flat_map(|y| (dots(left)..dots(left + width)).map(move |x| sheet.get_pixel(x, y).0[0]));
    let (low, high) = greys.fold((255, 0), |(low, high), grey| (grey.min(low), grey.max(high)));
    (linear(high) + 0.05) / (linear(low) + 0.05)
}

#[test]
fn signal_words_stand_out_in_grey() {
    let sheet = copy();
    for (panel, at) in PANELS.iter().zip(0..) {
        // Inside the coloured band, right of the border, where the word stands.
        let found = contrast(&sheet, 18.0, 62.5 + f64::from(at) * 17.0, 18.0, 3.0);
        assert!(found >= 4.5, "{panel}: {found:.1} to 1");
    }
}
