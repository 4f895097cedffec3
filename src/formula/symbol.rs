//! What a letter in a formula stands for.

use crate::quantity::{Digits, Dim, Unit, UnitSystem};

/// A letter of a formula, with everything needed to print it, say it and put its number in.
#[derive(Debug)]
pub struct Symbol {
    /// As the machine's view names it: `i_1`.
    pub id: &'static str,
    /// As typeset mathematics.
    pub math: &'static str,
    /// As plain text.
    pub plain: &'static str,
    /// As read aloud, and as named in a list of what is given.
    pub name: &'static str,
    /// Its dimension.
    pub dim: Dim,
    /// Unit on metric pages.
    pub metric: &'static Unit,
    /// Unit on imperial pages.
    pub imperial: &'static Unit,
    /// Digits it is shown with, at least.
    pub digits: Digits,
}

impl Symbol {
    /// The unit it is shown in.
    pub fn unit(&self, system: UnitSystem) -> &'static Unit {
        match system {
            UnitSystem::Metric => self.metric,
            UnitSystem::Imperial => self.imperial,
        }
    }
}

impl PartialEq for Symbol {
    fn eq(&self, other: &Self) -> bool {
        self.id == other.id
    }
}

/// Defines symbols: `NAME = "id", "math", "plain", "name", DIM, METRIC, IMPERIAL, digits;`.
macro_rules! symbols {
    ($($name:ident = $id:literal, $math:literal, $plain:literal, $called:literal, $dim:ident, $metric:ident, $imperial:ident, $digits:expr;)*) => {
        $(
            #[doc = concat!("`", $plain, "`: ", $called, ".")]
            pub static $name: $crate::formula::Symbol = $crate::formula::Symbol {
                id: $id,
                math: $math,
                plain: $plain,
                name: $called,
                dim: $crate::quantity::Dim::$dim,
                metric: &$crate::quantity::units::$metric,
                imperial: &$crate::quantity::units::$imperial,
                digits: $digits,
            };
        )*
        /// Every symbol.
        pub static ALL: &[&$crate::formula::Symbol] = &[$(&$name),*];
    };
}
pub(crate) use symbols;
