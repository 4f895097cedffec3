//! One formula: what it gives, from what, why, and where it comes from.

use super::{Expr, Slip, Symbol};

/// A formula of the trade.
///
/// Made with the `formula!` macro around the generic function that the engine itself calls.
#[derive(Debug)]
pub struct Formula {
    /// Name in the machine's view.
    pub id: &'static str,
    /// Name on a page.
    pub title: &'static str,
    /// What it gives.
    pub gives: &'static Symbol,
    /// What it takes, in the order of the function's arguments.
    pub takes: &'static [&'static Symbol],
    /// The tree, from a tree for each thing it takes.
    pub body: fn(&[Expr]) -> Expr,
    /// Why the step is there, for the margin.
    pub why: &'static str,
    /// Where it comes from.
    pub source: &'static str,
    /// The mistakes learners make with it.
    pub slips: &'static [Slip],
}

impl Formula {
    /// The tree over its symbols.
    pub fn expr(&self) -> Expr {
        let symbols: Vec<Expr> = self.takes.iter().copied().map(Expr::Sym).collect();
        (self.body)(&symbols)
    }

    /// The tree with a mistake in it; none when the mistake cannot be made here.
    pub fn bent(&self, slip: &Slip) -> Option<Expr> {
        let right = self.expr();
        let wrong = slip.bend.of(&right, self.takes)?;
        (wrong != right).then_some(wrong)
    }
}

impl PartialEq for Formula {
    fn eq(&self, other: &Self) -> bool {
        self.id == other.id
    }
}

/// Describes a formula: the generic function that runs, the letters it takes, what it gives.
///
/// `NAME = function(LETTER, …) => LETTER;` then `id`, `title`, `why`, `source` and `slips`.
macro_rules! formula {
    (
        $name:ident = $function:path as ($($arg:ident: $symbol:ident),* $(,)?) => $gives:ident;
        id: $id:literal,
        title: $title:literal,
        why: $why:literal,
        source: $source:literal,
        slips: [$($slip:expr),* $(,)?] $(,)?
    ) => {
        #[doc = concat!($title, ": what `", stringify!($function), "` runs, as data.")]
        pub static $name: $crate::formula::Formula = $crate::formula::Formula {
            id: $id,
            title: $title,
            gives: &$gives,
            takes: &[$(&$symbol),*],
            body: |given| {
                let mut given = given.iter().cloned();
                $(let $arg = given.next().expect(concat!("a tree for ", stringify!($arg)));)*
                $function($($arg),*)
            },
            why: $why,
            source: $source,
            slips: &[$($slip),*],
        };
    };
}
pub(crate) use formula;
