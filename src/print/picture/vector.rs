//! Club marks drawn as SVG: shapes only, checked before they reach the typesetter.
//!
//! An SVG may carry programs, fetch other files, or name faces that are not there. A mark needs
//! none of that, so only shapes, groups, gradients and clips are let through.

/// Largest file that is read, in bytes.
const LARGEST: usize = 1 << 20;
/// The language of the file.
const SVG: &str = "http://www.w3.org/2000/svg";
/// Elements a mark may be made of.
const SHAPES: &[&str] = &[
    "svg",
    "g",
    "defs",
    "title",
    "desc",
    "path",
    "rect",
    "circle",
    "ellipse",
    "line",
    "polyline",
    "polygon",
    "linearGradient",
    "radialGradient",
    "stop",
    "clipPath",
    "use",
];

/// Whether a file calls itself SVG: the first mark is the start of an element.
pub(super) fn looks_like(bytes: &[u8]) -> bool {
    let start = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    start.iter().find(|byte| !byte.is_ascii_whitespace()) == Some(&b'<')
}

/// Checks a mark; its width and height in its own units, both 1 when it does not say.
///
/// # Errors
/// What in it cannot be printed, and what would do.
pub(super) fn check(bytes: &[u8]) -> Result<(u32, u32), String> {
    if bytes.len() > LARGEST {
        return Err(format!("the drawing is larger than {} MB", LARGEST >> 20));
    }
    let text = std::str::from_utf8(bytes).map_err(|_| "the drawing is not UTF-8 text".to_owned())?;
    // Entities can make a small file endless; none are read.
    let tree = roxmltree::Document::parse(text).map_err(|why| format!("the drawing is not sound: {why}"))?;
    let root = tree.root_element();
    if (root.tag_name().name(), root.tag_name().namespace()) != ("svg", Some(SVG)) {
        return Err("it is neither JPEG, PNG nor SVG".into());
    }
    for node in root.descendants() {
        if node.is_pi() {
            return Err("the drawing asks for another file to be read; save it as plain SVG".into());
        }
        if node.is_element() {
            check_element(&node)?;
        }
    }
    Ok(size(&root))
}

fn check_element(node: &roxmltree::Node) -> Result<(), String> {
    let name = node.tag_name().name();
    // What a drawing program notes for itself, in its own language, is not drawn.
    if node.tag_name().namespace().is_some_and(|language| language != SVG) {
        return Ok(());
    }
    if !SHAPES.contains(&name) {
        let hint = match name {
            "text" => "turn letters into paths",
            "image" => "give the picture itself, as PNG or JPEG",
            _ => "a mark is made of paths and shapes, groups and gradients",
        };
        return Err(format!("<{name}> cannot be printed from a drawing; {hint}"));
    }
    for attribute in node.attributes() {
        let (key, value) = (attribute.name(), attribute.value());
        let elsewhere = key == "href" && !value.trim_start().starts_with('#');
        let fetched = value
            .split("url(")
            .skip(1)
            .any(|rest| !rest.trim_start_matches(['"', '\'', ' ']).starts_with('#'));
        if elsewhere || fetched || value.contains("@import") {
            return Err(format!(
                "<{name}> refers to another file in `{key}`; a mark must be whole in itself"
            ));
        }
        if key.to_ascii_lowercase().starts_with("on") {
            return Err(format!("<{name}> carries a program in `{key}`; save it as plain SVG"));
        }
    }
    Ok(())
}

fn size(root: &roxmltree::Node) -> (u32, u32) {
    let number = |text: &str| text.trim().trim_end_matches("px").parse::<f64>().ok();
    let own = |key: &str| root.attribute(key).and_then(number);
    let view: Vec<f64> = root
        .attribute("viewBox")
        .map(|view| view.split([' ', ',']).filter(|part| !part.is_empty()).filter_map(number).collect())
        .unwrap_or_default();
    let (width, height) = match view.as_slice() {
        [_, _, width, height] => (*width, *height),
        _ => (own("width").unwrap_or(1.0), own("height").unwrap_or(1.0)),
    };
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to a page's size")]
    let whole = |value: f64| value.clamp(1.0, 10_000.0).round() as u32;
    (whole(width), whole(height))
}
