//! Getting a stuck vehicle out: how hard is the pull, which rigging of the kit does it, what each part
//! of it carries, and what is forbidden.
//!
//! Resistance systems in print differ by a factor of two and more on one vehicle: all are worked, the
//! spread is kept, and rigs are chosen for the highest.

pub mod facts;
