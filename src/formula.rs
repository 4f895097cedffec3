//! A formula of the trade as data.
//!
//! Each is written once, as a function generic over an [`Algebra`]. With plain numbers it is what
//! the engine runs; with [`Expr`] it is a tree that prints with letters, prints with numbers, is
//! read aloud, has its dimensions checked and is bent by the usual slips. What is printed is what ran.

mod algebra;

pub use algebra::Algebra;
