//! Nothing is printed from a rota that the check finds fault with.

use std::fmt;

use super::{Fault, check};
use crate::course::Course;
use crate::engine::Reckoning;
use crate::rota::clash::Clash;
use crate::rota::{Missing, Rota};

/// Why there is no rota.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoRota {
    /// Limits of the course clash.
    Clash(Clash),
    /// A rota was made, and the check, which knows nothing of how, finds that it breaks these limits: a fault
    /// of the program that no course can mend.
    Faulty(Vec<Fault>),
}

impl fmt::Display for NoRota {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Clash(clash) => clash.fmt(f),
            Self::Faulty(faults) => {
                let faults: Vec<String> = faults.iter().map(ToString::to_string).collect();
                write!(
                    f,
                    "the rota that was made breaks what the course asks for: {}. This is a fault of the program, not of the \
                     course: nothing was printed. Make the rota by hand, and report this with the course file",
                    faults.join("; ")
                )
            }
        }
    }
}

impl std::error::Error for NoRota {}

impl From<Clash> for NoRota {
    fn from(clash: Clash) -> Self {
        Self::Clash(clash)
    }
}

/// A rota that was just made, looked at by the check; the slots kept free for weather may be used or not.
///
/// # Errors
/// It breaks a limit of the course.
pub fn held(
    course: &Course,
    reckoning: &Reckoning,
    rota: Rota,
    missing: &Missing,
    use_spare: bool,
) -> Result<Rota, NoRota> {
    let mut faults = check(course, reckoning, &rota, missing);
    faults.retain(|fault| !(use_spare && matches!(fault, Fault::SpareUsed(_))));
    if faults.is_empty() { Ok(rota) } else { Err(NoRota::Faulty(faults)) }
}
