//! Which documents exist, whom they are for, and what each is given.
//!
//! ```
//! use slopepack::pack::KINDS;
//! let quiz = KINDS.iter().find(|kind| kind.name == "quiz").expect("there is a quiz");
//! assert_eq!((quiz.file(), quiz.template()), ("quiz.pdf".to_owned(), "learn/quiz.typ.j2".to_owned()));
//! ```

mod anew;
mod audience;
mod book;
pub(crate) mod day;
mod documents;
mod facts;
pub(crate) mod ground;
mod imposed;
mod index;
mod kind;
pub(crate) mod learn;
mod look_at;
mod printed;
pub(crate) mod recovery;
pub(crate) mod sheet;
pub(crate) mod weekend;

pub use audience::Audience;
pub use book::Book;
pub use documents::KINDS;
pub use facts::Facts;
pub use imposed::Layout;
pub use index::{INDEX, INDEX_TITLE, index};
pub use index::{Kept, Listed};
pub use kind::Kind;
pub use weekend::calendar::{CALENDAR, CALENDAR_TITLE, calendar};
pub use weekend::own::{FIRST_PAGE, is_for, own_listed, own_page};
