//! Names on a drawing: each tries a few places round what it names and takes the first that is free.

use serde::Serialize;

use super::clip::{Frame, Point, segment};

/// A name that wants a place.
#[derive(Clone, Debug)]
pub(super) struct Wanted {
    /// What it names, mm.
    pub at: Point,
    /// How far from there it begins at least, mm.
    pub clear: f64,
    pub text: String,
    pub bold: bool,
}

/// A name that has its place: its upper left corner and the room it takes, mm.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct Placed {
    pub x: f64,
    pub y: f64,
    pub w: f64,
    pub h: f64,
    pub text: String,
    pub bold: bool,
    /// Where a thin line leads from, to what is named; none for a name right beside it.
    pub lead: Option<[Point; 2]>,
}

/// A rectangle of the paper: left, top, right, bottom, mm.
pub(super) type Box4 = [f64; 4];

/// What names keep clear of.
#[derive(Clone, Debug, Default)]
pub(super) struct Taken {
    pub boxes: Vec<Box4>,
    /// Lines that no name lies on.
    pub lines: Vec<[Point; 2]>,
}

/// Between two names, and to the frame, mm.
const GAP: f64 = 0.5;
/// Rings of places round what is named, mm beyond the nearest.
const RINGS: [f64; 7] = [0.0, 2.5, 6.0, 10.0, 15.0, 21.0, 28.0];
/// A name farther off than this has a line that leads to it, mm.
const LEAD: f64 = 2.0;
/// Where a name may stand, as parts of its own size and ways from what it names: right, left, above, below, corners.
const SIDES: [[f64; 4]; 8] = [
    [0.0, -0.5, 1.0, 0.0],
    [-1.0, -0.5, -1.0, 0.0],
    [-0.5, -1.0, 0.0, -1.0],
    [-0.5, 0.0, 0.0, 1.0],
    [0.0, -1.0, 0.71, -0.71],
    [0.0, 0.0, 0.71, 0.71],
    [-1.0, -1.0, -0.71, -0.71],
    [-1.0, 0.0, -0.71, 0.71],
];

/// Places each name, in the order given; the first ones have the choice. Those that find no place come back.
pub(super) fn place(
    frame: Frame,
    size: f64,
    taken: &mut Taken,
    wanted: Vec<Wanted>,
) -> (Vec<Placed>, Vec<String>) {
    let (mut placed, mut left_out) = (Vec::new(), Vec::new());
    for name in wanted {
        match free(frame, size, taken, &name) {
            Some(found) => {
                taken.boxes.push([found.x, found.y, found.x + found.w, found.y + found.h]);
                taken.lines.extend(found.lead);
                placed.push(found);
            }
            None => left_out.push(name.text),
        }
    }
    (placed, left_out)
}

fn free(frame: Frame, size: f64, taken: &Taken, name: &Wanted) -> Option<Placed> {
    let (w, h) = (width(&name.text, size, name.bold), size * LINE);
    for ring in RINGS {
        let far = name.clear + GAP + ring;
        // The name of an area stands in its middle, if it can.
        let middle = (far <= GAP).then_some([-0.5, -0.5, 0.0, 0.0]);
        for [dx, dy, out, down] in middle.into_iter().chain(SIDES) {
            let (x, y) = (name.at[0] + dx * w + out * far, name.at[1] + dy * h + down * far);
            let own = [x, y, x + w, y + h];
            let inside = x >= GAP && y >= GAP && own[2] <= frame[0] - GAP && own[3] <= frame[1] - GAP;
            if !inside || taken.boxes.iter().any(|other| meet(own, *other)) {
                continue;
            }
            if taken.lines.iter().any(|line| crosses(own, *line)) {
                continue;
            }
            // From the side of the name that faces what it names.
            let lead = (ring > LEAD).then_some([[x - dx * w, y - dy * h], name.at]);
            if lead.is_some_and(|lead| taken.boxes.iter().any(|other| cuts(*other, lead, name.at))) {
                continue;
            }
            return Some(Placed { x, y, w, h, text: name.text.clone(), bold: name.bold, lead });
        }
    }
    None
}

fn meet(a: Box4, b: Box4) -> bool {
    a[0] < b[2] + GAP && b[0] < a[2] + GAP && a[1] < b[3] + GAP && b[1] < a[3] + GAP
}

/// Whether a line passes through a box.
fn crosses(own: Box4, [a, b]: [Point; 2]) -> bool {
    let shift = |point: Point| [point[0] - own[0], point[1] - own[1]];
    segment(shift(a), shift(b), [own[2] - own[0], own[3] - own[1]]).is_some()
}

/// Whether a leading line passes through what stands elsewhere: the box of what it leads to is none.
fn cuts(other: Box4, lead: [Point; 2], to: Point) -> bool {
    let own = to[0] >= other[0] && to[0] <= other[2] && to[1] >= other[1] && to[1] <= other[3];
    !own && crosses(other, lead)
}

/// Height of a line of type, as part of its size.
const LINE: f64 = 1.25;

/// Width of a text set in the pages' sans, mm, never less than it takes: widest letters of each sort.
pub(super) fn width(text: &str, size: f64, bold: bool) -> f64 {
    let of = |letter: char| match letter {
        'i' | 'j' | 'l' | 'I' | '.' | ',' | ':' | '\'' | '’' | '|' | '!' | ' ' | '\u{a0}' => 0.35,
        'f' | 't' | 'r' | '(' | ')' | '-' | ';' | '·' => 0.46,
        'm' | 'w' | 'M' | 'W' | '%' | '—' | '…' | '@' => 1.0,
        'a'..='z' => 0.64,
        '0'..='9' => 0.58,
        'A'..='Z' => 0.79,
        '°' => 0.44,
        _ if letter.is_lowercase() => 0.72,
        _ => 1.05,
    };
    let em: f64 = text.chars().map(of).sum();
    size * em * if bold { 1.04 } else { 0.97 } + 0.4
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

        /// On any site no two names meet, none leaves the frame, none lies on a line driven, and each is placed or told.
        #[test]
        fn names_stand_clear_of_each_other_and_inside(
            spots in proptest::collection::vec((0.0..170.0_f64, 0.0..110.0_f64, 1_usize..24), 1..60),
            lines in proptest::collection::vec(((0.0..170.0_f64, 0.0..110.0_f64), (0.0..170.0_f64, 0.0..110.0_f64)), 0..8),
        ) {
            let frame = [170.0, 110.0];
            let lines: Vec<_> = lines.into_iter().map(|((a, b), (c, d))| [[a, b], [c, d]]).collect();
            let symbols: Vec<Box4> = spots.iter().map(|(x, y, _)| [x - 1.5, y - 1.5, x + 1.5, y + 1.5]).collect();
            let mut taken = Taken { boxes: symbols.clone(), lines: lines.clone() };
            let wanted: Vec<_> = spots
                .iter()
                .map(|(x, y, long)| Wanted { at: [*x, *y], clear: 1.5, text: "Weighbridge by the gates".chars().take(*long).collect(), bold: false })
                .collect();
            let (placed, left_out) = place(frame, 3.2, &mut taken, wanted);
            prop_assert_eq!(placed.len() + left_out.len(), spots.len());
            for (at, one) in placed.iter().enumerate() {
                let own = [one.x, one.y, one.x + one.w, one.y + one.h];
                prop_assert!(own[0] >= 0.0 && own[1] >= 0.0 && own[2] <= frame[0] && own[3] <= frame[1]);
                let apart = |other: &Box4| own[0] >= other[2] || other[0] >= own[2] || own[1] >= other[3] || other[1] >= own[3];
                prop_assert!(symbols.iter().all(apart));
                prop_assert!(placed[..at].iter().all(|other| apart(&[other.x, other.y, other.x + other.w, other.y + other.h])));
                prop_assert!(lines.iter().all(|line| !crosses(own, *line)));
            }
            // Where there is room enough, nobody goes without.
            if spots.len() <= 6 && lines.is_empty() {
                prop_assert!(left_out.is_empty(), "{:?}", left_out);
            }
        }
    }
}
