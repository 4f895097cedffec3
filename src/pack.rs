//! Which documents exist, whom they are for, and what each is given.

mod figure;

pub use figure::{Fig, Show};
