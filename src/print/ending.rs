//! Ending a run in the middle: Ctrl-C, a request to end, a closed terminal.
//!
//! The children are ended, what the run has written so far is cleared away, and the run ends with
//! 128 and the number of the signal. A pack that is just being put in place is put in place first.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::thread;

use super::folder::clearing::sweep;
use super::group;

/// What is to be cleared away when the run ends in the middle.
static LITTER: Mutex<Vec<Swept>> = Mutex::new(Vec::new());
/// Held while a pack is put in place.
static PLACING: Mutex<()> = Mutex::new(());

/// Holds back the end of the run until a pack is in place.
pub(super) fn hold() -> MutexGuard<'static, ()> {
    PLACING.lock().unwrap_or_else(PoisonError::into_inner)
}

/// A desk that is cleared away when the run ends in any way.
pub(super) struct Litter(Option<Swept>);

/// The desk, and the folder around it if this run made it.
type Swept = (PathBuf, Option<PathBuf>);

impl Litter {
    /// From now on, this desk is cleared away with the run.
    pub(super) fn at(desk: &Path, made: Option<&PathBuf>) -> Self {
        let swept = (desk.to_owned(), made.cloned());
        litter().push(swept.clone());
        Self(Some(swept))
    }
}

impl Drop for Litter {
    fn drop(&mut self) {
        if let Some(swept) = self.0.take() {
            litter().retain(|one| *one != swept);
            let _ = sweep(&swept.0, swept.1.as_deref());
        }
    }
}

fn litter() -> MutexGuard<'static, Vec<Swept>> {
    LITTER.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Prepares the run for its end: `program` stands guard over the children, and signals clear up.
pub fn prepare(program: Option<PathBuf>) {
    if let Some(program) = program {
        group::guard_with(program);
    }
    on_signals();
}

/// Stands guard over the children of another run, until that has ended.
pub fn stand_guard() {
    group::stand_guard();
}

/// Waits for the end when a signal is ending the run: what failed on the way failed because of it.
pub fn wait_if_stopping() {
    while group::stopping() {
        thread::park();
    }
}

#[cfg(unix)]
fn on_signals() {
    use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM};
    let heeded = [SIGHUP, SIGINT, SIGTERM].into_iter().filter(|signal| !ignored(*signal));
    // Where signals cannot be heard, the next run clears up.
    let Ok(mut signals) = signal_hook::iterator::Signals::new(heeded) else { return };
    thread::spawn(move || {
        if let Some(signal) = signals.forever().next() {
            group::stop_all();
            let _placing = hold();
            clear();
            std::process::exit(128 + signal);
        }
    });
}

#[cfg(not(unix))]
fn on_signals() {}

/// Whether whoever started the run wants it to go on in spite of a signal, as `nohup` does.
#[cfg(unix)]
fn ignored(signal: i32) -> bool {
    let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let mask = status.lines().find_map(|line| line.strip_prefix("SigIgn:"));
    let mask = mask.and_then(|mask| u64::from_str_radix(mask.trim(), 16).ok()).unwrap_or(0);
    mask & (1 << (signal - 1)) != 0
}

/// Clears away everything noted. The run may be writing there still, so it may take a second try.
#[cfg(unix)]
fn clear() {
    let all = litter().clone();
    for (desk, made) in &all {
        for _ in 0..50 {
            if sweep(desk, made.as_deref()).is_ok() {
                break;
            }
            thread::sleep(std::time::Duration::from_millis(2));
        }
    }
}
