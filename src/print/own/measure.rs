//! Reads the options, numbers and lengths that a piece is given.

use typst_syntax::{LinkedNode, SyntaxKind as Kind};

/// Longest length, millimetres: as wide as a page.
pub(super) const LONGEST: f64 = 170.0;
/// Most parts of what is left of a width.
const MOST_PARTS: f64 = 100.0;

/// Key and value of `key: value`.
pub(super) fn named<'a>(node: &LinkedNode<'a>) -> Option<(String, LinkedNode<'a>)> {
    if node.kind() != Kind::Named {
        return None;
    }
    let mut parts = node.children().filter(|part| !matches!(part.kind(), Kind::Colon | Kind::Space));
    let key = parts.next().filter(|key| key.kind() == Kind::Ident)?;
    Some((key.leaf_text().to_string(), parts.next()?))
}

/// A string literal without its quotes; empty for anything else.
pub(super) fn string_of(node: &LinkedNode) -> String {
    if node.kind() == Kind::Str { node.leaf_text().trim_matches('"').to_owned() } else { String::new() }
}

/// A number written in digits.
pub(super) fn number_of(node: &LinkedNode) -> Option<f64> {
    node.leaf_text().parse().ok()
}

/// The only number a piece is given.
pub(super) fn number(call: &LinkedNode) -> Option<f64> {
    let args: Vec<LinkedNode> = call.children().skip(1).collect();
    let numbers = args
        .iter()
        .flat_map(LinkedNode::children)
        .filter(|arg| matches!(arg.kind(), Kind::Int | Kind::Float));
    numbers.last().and_then(|number| number_of(&number))
}

/// Number and unit of a length.
pub(super) fn split(node: &LinkedNode) -> Option<(f64, String)> {
    let text = node.leaf_text().as_str();
    let unit = text.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.');
    Some((text[..text.len() - unit.len()].parse().ok()?, unit.to_owned()))
}

/// A size of type in points.
pub(super) fn points(node: &LinkedNode) -> Option<f64> {
    split(node).filter(|(_, unit)| unit == "pt").map(|(size, _)| size)
}

/// A length in millimetres; a share of the width as if the page were 170 mm wide, a part of what is left as nothing.
pub(super) fn millimetres(node: &LinkedNode) -> Option<f64> {
    let (number, unit) = split(node)?;
    let one = match unit.as_str() {
        "mm" => 1.0,
        "cm" => 10.0,
        "in" => 25.4,
        "pt" => 25.4 / 72.0,
        "em" => 8.0,
        "%" => LONGEST / 100.0,
        "fr" => return Some(0.0).filter(|_| number <= MOST_PARTS),
        _ => return None,
    };
    Some(number * one)
}
