//! Getting a stuck vehicle out: how hard is the pull, which rigging of the kit does it, what each part
//! of it carries, and what is forbidden.
//!
//! Resistance systems in print differ by a factor of two and more on one vehicle: all are worked, the
//! spread is kept, and rigs are chosen for the highest.
//!
//! ```
//! use slopepack::course::library_surface;
//! use slopepack::recovery::pull::sinks;
//! assert!(sinks(&library_surface("sand").expect("it is in the library")));
//! assert!(!sinks(&library_surface("rock").expect("it is in the library")));
//! ```

pub mod case;
pub mod facing;
pub mod facts;
pub mod gear;
pub mod joins;
pub mod kinetic;
pub mod ladder;
pub mod layout;
pub mod place;
pub mod pull;
pub mod record;
pub mod rig;
pub mod search;
pub mod stuck;
pub mod task;
mod way;

pub use case::Recovery;
pub use ladder::rule;
pub use place::lie::BEYOND;
pub use place::stance::{LANE, POINTS_APART, upper_arm};
pub use place::{lie, operator, stance, zones};
pub use record::{Depth, Recoveries, recoveries};
pub use search::{LEAD, STANDING_ROOM};
