//! Several pages on a sheet: cards to cut, the workbook as a booklet to fold.

use serde::Serialize;

use crate::course::Paper;
use crate::pack::book::Book;
use crate::pack::index::sheet_word;
use crate::print::{Edition, Rendered, Templates};
use crate::problem::Failure;

/// A way to lay pages on sheets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layout {
    /// Two cards side by side, full size, to cut.
    TwoUp,
    /// Four pocket cards, set for their size, to cut.
    FourUp,
    /// Two pages a side, full size, in the order of a folded booklet.
    Booklet,
}

/// A page on a sheet, or the blank that fills a booklet.
#[derive(Clone, Debug, Serialize)]
struct Placed {
    file: String,
    shows: String,
}

/// Sheets of pages. Lengths are in millimetres.
#[derive(Serialize)]
struct Imposed {
    title: String,
    lang: &'static str,
    region: &'static str,
    width: f64,
    height: f64,
    columns: usize,
    rows: usize,
    cut: bool,
    sheets: Vec<Vec<Option<Placed>>>,
}

impl Layout {
    /// Its word in file names.
    pub fn word(self) -> &'static str {
        match self {
            Self::TwoUp => "2-up",
            Self::FourUp => "4-up",
            Self::Booklet => "booklet",
        }
    }

    /// The edition its pages are set in: a pocket card is no card made smaller.
    pub fn edition(self) -> Edition {
        match self {
            Self::TwoUp | Self::Booklet => Edition::Standard,
            Self::FourUp => Edition::Pocket,
        }
    }

    /// How to print and what to do with the sheets.
    pub fn sides(self) -> &'static str {
        match self {
            Self::TwoUp => "one side, stiff paper; cut at the marks",
            Self::FourUp => "one side, stiff paper; cut at the marks; for the pocket",
            Self::Booklet => {
                "both sides, short edge; fold, staple in the fold; smaller sheets shrink the writing lines"
            }
        }
    }

    /// The sheet it is printed on: pages of a booklet keep their size, so it takes the double one.
    pub fn sheet(self, paper: Paper) -> &'static str {
        match (self, paper) {
            (Self::Booklet, Paper::A4) => "A3",
            (Self::Booklet, Paper::Letter) => "Tabloid, 11 × 17 in",
            (_, paper) => sheet_word(paper),
        }
    }

    fn shape(self) -> (usize, usize) {
        match self {
            Self::TwoUp | Self::Booklet => (2, 1),
            Self::FourUp => (2, 2),
        }
    }

    /// Numbers of the pages on each side of a sheet, from 1; none where a place stays empty.
    pub fn order(self, pages: usize) -> Vec<Vec<Option<usize>>> {
        if self != Self::Booklet {
            let (columns, rows) = self.shape();
            let numbers: Vec<Option<usize>> = (1..=pages).map(Some).collect();
            return numbers
                .chunks(columns * rows)
                .map(|side| {
                    let mut side = side.to_vec();
                    side.resize(columns * rows, None);
                    side
                })
                .collect();
        }
        let places = pages.next_multiple_of(4);
        let page = |number: usize| (number <= pages).then_some(number);
        (0..places / 4)
            .flat_map(|sheet| {
                let front = vec![page(places - 2 * sheet), page(1 + 2 * sheet)];
                let back = vec![page(2 + 2 * sheet), page(places - 1 - 2 * sheet)];
                [front, back]
            })
            .collect()
    }

    /// The sheets of a document whose pages lie at these paths.
    ///
    /// # Errors
    /// The template cannot be filled.
    pub fn sheets(
        self,
        book: &Book,
        templates: &Templates,
        title: &str,
        pages: &[String],
    ) -> Result<Rendered, Failure> {
        let upright = match book.course.paper {
            Paper::A4 => (210.0, 297.0),
            Paper::Letter => (215.9, 279.4),
        };
        let (width, height) = match self {
            Self::FourUp => upright,
            Self::TwoUp => (upright.1, upright.0),
            Self::Booklet => (2.0 * upright.0, upright.1),
        };
        let (columns, rows) = self.shape();
        let placed = |number: usize| Placed {
            file: pages[number - 1].clone(),
            shows: format!(
                "{title}, page {number} of {}, for printing; read it in its own file",
                pages.len()
            ),
        };
        let sheets = self.order(pages.len());
        let meta = book.meta(title, "", "");
        templates.render(
            "imposed.typ.j2",
            &Imposed {
                title: format!("{title}, {} – {}", self.word(), book.course.title),
                lang: meta.lang,
                region: meta.region,
                width,
                height,
                columns,
                rows,
                cut: self != Self::Booklet,
                sheets: sheets
                    .into_iter()
                    .map(|side| side.into_iter().map(|number| number.map(placed)).collect())
                    .collect(),
            },
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_folded_booklet_reads_in_order() {
        // Eight pages: sheets 8|1, 2|7 and 6|3, 4|5, as any stapled booklet shows.
        let sides = Layout::Booklet.order(8);
        let numbers: Vec<[usize; 2]> =
            sides.iter().map(|side| [side[0].expect("a page"), side[1].expect("a page")]).collect();
        assert_eq!(numbers, [[8, 1], [2, 7], [6, 3], [4, 5]]);
        assert_eq!(Layout::Booklet.order(5)[0], [None, Some(1)]);
        assert_eq!(Layout::Booklet.order(17).len(), 10);
    }

    #[test]
    fn cards_fill_their_sheets_in_order() {
        assert_eq!(
            Layout::FourUp.order(5),
            [[Some(1), Some(2), Some(3), Some(4)], [Some(5), None, None, None]]
        );
        assert_eq!(Layout::TwoUp.order(3), [[Some(1), Some(2)], [Some(3), None]]);
    }
}
