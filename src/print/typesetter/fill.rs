//! How far down its last page a finished document goes, and how much closer it would have to be set to end a page earlier.

use lopdf::content::{Content, Operation};
use lopdf::{Document, Object, ObjectId};

use crate::print::trace::Spacing;

/// What head and foot take of a page, in points: the text stands between.
const HEAD: f64 = 58.0;
const FOOT: f64 = 64.0;
/// A last page that is used for less than this wants to be spared.
const SHORT: f64 = 0.5;
/// What each spacing spares of a page, about: the share of what is on it.
const SPARES: [(Spacing, f64); 2] = [(Spacing::Close, 0.06), (Spacing::Closest, 0.13)];

/// The part of the last page that is used, from 0 to 1; none when that cannot be read from it.
pub(super) fn last_page_used(document: &Document) -> Option<f64> {
    let page = *document.get_pages().values().next_back()?;
    let height = height_of(document, page)?;
    let content = Content::decode(&document.get_page_content(page)).ok()?;
    let lowest = lowest_mark(&content.operations)?;
    Some(((height - HEAD - lowest) / (height - HEAD - FOOT)).clamp(0.0, 1.0))
}

/// The spacings with which a document of so many pages, the last used so far, may end a page earlier: the widest first.
pub(super) fn worth_trying(pages: usize, used: f64) -> impl Iterator<Item = Spacing> {
    let before = f64::from(u32::try_from(pages.saturating_sub(1)).unwrap_or(u32::MAX));
    let trying = pages > 1 && used < SHORT;
    SPARES
        .into_iter()
        .filter(move |(_, spares)| trying && used <= before * spares)
        .map(|(spacing, _)| spacing)
}

fn height_of(document: &Document, page: ObjectId) -> Option<f64> {
    let sides = document.get_dictionary(page).ok()?.get(b"MediaBox").ok()?.as_array().ok()?;
    number(sides.get(3)?)
}

/// A transformation of the plane, as the format writes it.
type Matrix = [f64; 6];

const SAME: Matrix = [1.0, 0.0, 0.0, 1.0, 0.0, 0.0];

/// First the one, then the other.
fn after(first: Matrix, then: Matrix) -> Matrix {
    let [a, b, c, d, e, f] = first;
    let [g, h, i, j, k, l] = then;
    [a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j, e * g + f * i + k, e * h + f * j + l]
}

/// Height above the lower edge of what lies lowest of the tagged content; head, foot and rules are none of it.
fn lowest_mark(operations: &[Operation]) -> Option<f64> {
    let (mut lowest, mut now, mut kept) = (None::<f64>, SAME, Vec::new());
    // Whether each marked piece that is open is tagged.
    let mut open: Vec<bool> = Vec::new();
    let mut mark = |matrix: Matrix, x: f64, y: f64| {
        let height = x * matrix[1] + y * matrix[3] + matrix[5];
        lowest = Some(lowest.map_or(height, |lowest| lowest.min(height)));
    };
    for operation in operations {
        let given: Vec<f64> = operation.operands.iter().filter_map(number).collect();
        let tagged = !open.is_empty() && open.iter().all(|tagged| *tagged);
        match (operation.operator.as_str(), given.as_slice()) {
            ("q", _) => kept.push(now),
            ("Q", _) => now = kept.pop().unwrap_or(SAME),
            ("cm", &[a, b, c, d, e, f]) => now = after([a, b, c, d, e, f], now),
            ("BMC" | "BDC", _) => open.push(!is_artifact(operation)),
            ("EMC", _) => drop(open.pop()),
            ("Tm", &[a, b, c, d, e, f]) if tagged => mark(after([a, b, c, d, e, f], now), 0.0, 0.0),
            ("m" | "l", &[x, y]) if tagged => mark(now, x, y),
            ("c", &[.., x, y]) if tagged => mark(now, x, y),
            ("re", &[x, y, width, tall]) if tagged => {
                mark(now, x, y);
                mark(now, x + width, y + tall);
            }
            _ => {}
        }
    }
    lowest
}

fn is_artifact(operation: &Operation) -> bool {
    matches!(operation.operands.first(), Some(Object::Name(name)) if name == b"Artifact")
}

fn number(object: &Object) -> Option<f64> {
    object.as_float().ok().map(f64::from)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lowest(content: &[u8]) -> Option<f64> {
        lowest_mark(&Content::decode(content).expect("a page's content").operations)
    }

    #[test]
    fn the_lowest_tagged_mark_counts_and_no_foot() {
        let page = b"1 0 0 -1 0 842 cm /Artifact BMC BT 1 0 0 -1 60 820 Tm (foot) Tj ET EMC \
            /P <</MCID 0>> BDC q 1 0 0 1 60 100 cm BT 1 0 0 -1 0 300 Tm (words) Tj ET Q EMC \
            /P <</MCID 1>> BDC BT 1 0 0 -1 60 350 Tm (above) Tj ET EMC";
        assert_eq!(lowest(page), Some(842.0 - 400.0));
    }

    #[test]
    fn a_drawing_counts_by_its_edges() {
        let page = b"/Figure <</MCID 0>> BDC 10 200 30 -50 re f EMC 0 0 m 5 5 l S";
        assert_eq!(lowest(page), Some(150.0));
    }

    #[test]
    fn a_page_without_words_says_nothing() {
        assert_eq!(lowest(b"0 0 m 5 5 l S"), None);
    }

    #[test]
    fn only_what_can_be_spared_is_tried() {
        let tried = |pages, used| worth_trying(pages, used).collect::<Vec<_>>();
        assert_eq!(tried(6, 0.27), [Spacing::Close, Spacing::Closest]);
        assert_eq!(tried(4, 0.3), [Spacing::Closest]);
        assert_eq!(tried(2, 0.4), [], "more than the other page can take");
        assert_eq!(tried(6, 0.6), [], "more than half is used");
        assert_eq!(tried(1, 0.1), [], "one page stays one");
    }
}
