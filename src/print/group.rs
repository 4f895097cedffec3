//! Children in process groups of their own, so that none outlives its run.
//!
//! A typesetter may be a script that starts the real one: ending the child alone would leave that
//! one running. Every group that runs is on a list; a signal ends them all, and a small second
//! process, the guard, ends them when this one dies without a word.

use std::io::{self, Read, Write};
use std::path::PathBuf;
use std::process::{Child, ChildStdin, Command, ExitStatus, Stdio};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Every group that runs now.
struct Groups {
    /// No child may start any more.
    stopping: bool,
    running: Vec<u32>,
    /// The program that can stand guard, until it is started.
    guard: Option<PathBuf>,
    /// What the guard listens to.
    told: Option<ChildStdin>,
}

static GROUPS: Mutex<Groups> =
    Mutex::new(Groups { stopping: false, running: Vec::new(), guard: None, told: None });

fn groups() -> MutexGuard<'static, Groups> {
    GROUPS.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Groups {
    /// Tells the guard of a group, starting it for the first one. Without a guard all else goes on.
    fn tell(&mut self, word: &str) {
        if let Some(program) = self.guard.take() {
            let mut command = Command::new(program);
            command.arg("guard").stdin(Stdio::piped()).stdout(Stdio::null()).stderr(Stdio::null());
            apart(&mut command);
            self.told = command.spawn().ok().and_then(|mut child| child.stdin.take());
        }
        if let Some(told) = &mut self.told {
            let _ = told.write_all(word.as_bytes());
        }
    }
}

/// Names the program that stands guard when called with the word `guard`; it is started with the
/// first child.
pub(super) fn guard_with(program: PathBuf) {
    groups().guard = Some(program);
}

/// Stands guard: notes the groups it is told of, and ends those left when nobody can speak any more.
pub(super) fn stand_guard() {
    let mut said = String::new();
    let mut running: Vec<u32> = Vec::new();
    // Lines come whole, or the speaker has died in the middle of one.
    let _ = io::stdin().lock().read_to_string(&mut said);
    for line in said.lines() {
        match (line.get(..1), line.get(1..).and_then(|number| number.parse().ok())) {
            (Some("+"), Some(group)) => running.push(group),
            (Some("-"), Some(group)) => running.retain(|one| *one != group),
            _ => {}
        }
    }
    running.into_iter().for_each(kill);
}

/// Ends every group; no child starts after this.
pub(super) fn stop_all() {
    let mut groups = groups();
    groups.stopping = true;
    groups.running.iter().copied().for_each(kill);
}

/// Whether everything is being ended.
pub(super) fn stopping() -> bool {
    groups().stopping
}

/// Starts a command as the head of a group of its own.
pub(super) fn start(command: &mut Command) -> io::Result<Running> {
    apart(command);
    let mut groups = groups();
    if groups.stopping {
        return Err(io::Error::other("the run is being ended"));
    }
    let child = command.spawn()?;
    groups.running.push(child.id());
    groups.tell(&format!("+{}\n", child.id()));
    Ok(Running { child, ended: None })
}

/// A group that runs. Dropped, it is ended whole.
pub(super) struct Running {
    child: Child,
    ended: Option<ExitStatus>,
}

impl Running {
    /// The head of the group.
    pub(super) fn child(&mut self) -> &mut Child {
        &mut self.child
    }

    /// Ends what is left of the group, and tells how its head ended.
    pub(super) fn end(mut self) -> io::Result<ExitStatus> {
        self.clear()
    }

    fn clear(&mut self) -> io::Result<ExitStatus> {
        if let Some(status) = self.ended {
            return Ok(status);
        }
        let group = self.child.id();
        // Before the head is waited for: after that its number may be another's.
        kill(group);
        #[cfg(not(unix))]
        let _ = self.child.kill();
        let mut groups = groups();
        groups.running.retain(|one| *one != group);
        groups.tell(&format!("-{group}\n"));
        drop(groups);
        let status = self.child.wait()?;
        self.ended = Some(status);
        Ok(status)
    }

    /// Whether the head has ended. Its number stays taken until [`Running::end`].
    #[cfg(unix)]
    pub(super) fn has_ended(&mut self) -> io::Result<bool> {
        use rustix::process::{Pid, WaitId, WaitIdOptions, waitid};
        let options = WaitIdOptions::EXITED | WaitIdOptions::NOHANG | WaitIdOptions::NOWAIT;
        Ok(waitid(WaitId::Pid(Pid::from_child(&self.child)), options)?.is_some())
    }

    /// Whether the head has ended.
    #[cfg(not(unix))]
    pub(super) fn has_ended(&mut self) -> io::Result<bool> {
        self.ended = self.child.try_wait()?;
        Ok(self.ended.is_some())
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        let _ = self.clear();
    }
}

#[cfg(unix)]
fn apart(command: &mut Command) {
    std::os::unix::process::CommandExt::process_group(command, 0);
}

#[cfg(not(unix))]
fn apart(_: &mut Command) {}

/// Ends a group at once. One that has ended is no fault.
#[cfg(unix)]
fn kill(group: u32) {
    use rustix::process::{Pid, Signal, kill_process_group};
    if let Some(group) = i32::try_from(group).ok().and_then(Pid::from_raw) {
        let _ = kill_process_group(group, Signal::KILL);
    }
}

#[cfg(not(unix))]
fn kill(_: u32) {}
