//! What readers ask a file for, written down while they read. The schema is made from it, so that it says what
//! the readers say.

use std::cell::RefCell;

use crate::course::tree::{Entry, Node};
use crate::quantity::Written;

/// What a value is read as.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::course) enum Form {
    /// Any words.
    Words,
    /// Words of this shape, a regular expression of ECMA-262.
    Shaped(String),
    /// A quantity within bounds, which are written like the quantity itself.
    Quantity(Quantity),
    /// A whole number within bounds.
    Whole(u64, u64),
    /// A pure number, or a range of it.
    Range,
    /// One of these words.
    Choice(Vec<String>),
    /// A short name that others refer to.
    Id,
    /// The short name of something that is called this.
    Name(&'static str),
    /// A picture or other file beside the course.
    File,
    /// A time of day.
    Clock,
    /// A list of at least one.
    List,
}

/// A quantity that was asked for.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::course) struct Quantity {
    /// "a length".
    pub(in crate::course) name: &'static str,
    /// What its text looks like.
    pub(in crate::course) form: String,
    /// Least and greatest, as written.
    pub(in crate::course) bounds: (String, String),
    /// Least and greatest of a number without a unit.
    pub(in crate::course) plain: Option<(f64, f64)>,
}

impl Quantity {
    pub(super) fn of<T: Written>(low: &str, high: &str) -> Self {
        let plain = T::units().iter().all(|unit| unit.is_bare());
        let plain = plain.then(|| Some((low.parse().ok()?, high.parse().ok()?))).flatten();
        Self { name: T::NAME, form: T::form(), bounds: (low.to_owned(), high.to_owned()), plain }
    }
}

/// Something a reader asked for.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::course) enum Ask {
    /// The mapping is read as this: "a slope".
    What(String),
    /// A key that may be there.
    Key(&'static str),
    /// A key that must be there.
    Needed(&'static str),
    /// One of these sets of keys must be there.
    OneOf(&'static [&'static [&'static str]]),
    /// Of these keys none is there without the others.
    Together(&'static [&'static str]),
    /// The course chooses the keys itself.
    Named,
    /// The value is read as this.
    Form(Form),
}

/// All that was asked, by the place in memory of what was asked for it.
#[derive(Default)]
pub(in crate::course) struct Asked(RefCell<Vec<(usize, Ask)>>);

impl Asked {
    pub(super) fn note(&self, at: usize, ask: Ask) {
        self.0.borrow_mut().push((at, ask));
    }

    /// What was asked of a value.
    pub(in crate::course) fn of_node(&self, node: &Node) -> Vec<Ask> {
        self.at(node_at(node))
    }

    /// What was asked of a mapping that has keys.
    pub(in crate::course) fn of_entries(&self, entries: &[Entry]) -> Vec<Ask> {
        self.at(entries_at(entries))
    }

    fn at(&self, at: usize) -> Vec<Ask> {
        self.0.borrow().iter().filter(|(place, _)| *place == at).map(|(_, ask)| ask.clone()).collect()
    }
}

/// A value's place in memory: the tree stands still while it is read.
pub(super) fn node_at(node: &Node) -> usize {
    std::ptr::from_ref(node).addr()
}

/// As [`node_at`], for a mapping.
pub(super) fn entries_at(entries: &[Entry]) -> usize {
    entries.as_ptr().addr()
}
