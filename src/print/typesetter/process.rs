//! A child process with a limit of time and of what it may say.

use std::io::{self, Read, Write};
use std::process::{Child, Command, ExitStatus, Stdio};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;
use std::time::{Duration, Instant};

use crate::print::group;

/// How often a process that has closed its output is asked whether it has ended.
const POLL: Duration = Duration::from_micros(500);
/// Longest limit of time that is kept: more would run past the end of the clock.
const LONGEST: Duration = Duration::from_hours(24 * 365);

/// How long a process may run and how much it may say.
#[derive(Clone, Copy, Debug)]
pub(super) struct Limits {
    /// Of wall-clock time.
    pub(super) time: Duration,
    /// Bytes on its standard output.
    pub(super) output: u64,
    /// Bytes on its standard error.
    pub(super) errors: u64,
}

/// What a process left behind.
pub(super) struct Finished {
    pub(super) status: ExitStatus,
    pub(super) output: Vec<u8>,
    pub(super) errors: String,
}

/// Why there is nothing.
pub(super) enum Broken {
    /// It did not start, or could not be watched.
    Start(io::Error),
    /// It was still running at the limit and was ended.
    TimedOut,
    /// It said more than it may, in bytes, and was ended.
    TooMuch(u64),
}

/// Runs a command with `input` on its standard input, in a process group of its own. The whole
/// group is ended when it has finished, at a limit, on a signal and when this program dies.
///
/// All three pipes have a thread of their own, so neither side waits for the other.
pub(super) fn run(command: &mut Command, input: &str, limits: Limits) -> Result<Finished, Broken> {
    let deadline = Instant::now() + limits.time.min(LONGEST);
    command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut running = group::start(command).map_err(Broken::Start)?;
    let child = running.child();
    feed(child, input);
    let (sender, heard) = channel();
    drain(child.stdout.take(), Stream::Output, limits.output, &sender);
    drain(child.stderr.take(), Stream::Errors, limits.errors, &sender);
    drop(sender);
    let (output, errors) = collect(&heard, deadline)?;
    while !running.has_ended().map_err(Broken::Start)? {
        if Instant::now() >= deadline {
            return Err(Broken::TimedOut);
        }
        thread::sleep(POLL);
    }
    let status = running.end().map_err(Broken::Start)?;
    Ok(Finished { status, output, errors: String::from_utf8_lossy(&errors).into_owned() })
}

/// Writes the input from a thread. A process that does not read it says so by its exit status.
fn feed(child: &mut Child, input: &str) {
    if let Some(mut pipe) = child.stdin.take() {
        let input = input.to_owned();
        thread::spawn(move || {
            let _ = pipe.write_all(input.as_bytes());
        });
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Stream {
    Output,
    Errors,
}

type Heard = (Stream, Result<Vec<u8>, Broken>);

/// Reads a pipe from a thread, to its end or one byte past the limit.
fn drain<R: Read + Send + 'static>(pipe: Option<R>, stream: Stream, most: u64, to: &Sender<Heard>) {
    let sender = to.clone();
    thread::spawn(move || {
        let mut bytes = Vec::new();
        let read = pipe.map_or(Ok(0), |pipe| pipe.take(most + 1).read_to_end(&mut bytes));
        let heard = match read {
            Ok(_) if bytes.len() as u64 > most => Err(Broken::TooMuch(most)),
            Ok(_) => Ok(bytes),
            Err(why) => Err(Broken::Start(why)),
        };
        // Nobody listens any more after a limit.
        let _ = sender.send((stream, heard));
    });
}

/// Both streams, whichever ends first; the first that breaks a limit ends the wait.
fn collect(heard: &Receiver<Heard>, deadline: Instant) -> Result<(Vec<u8>, Vec<u8>), Broken> {
    let (mut output, mut errors) = (Vec::new(), Vec::new());
    for _ in 0..2 {
        let left = deadline.saturating_duration_since(Instant::now());
        match heard.recv_timeout(left).map_err(|_| Broken::TimedOut)? {
            (Stream::Output, bytes) => output = bytes?,
            (Stream::Errors, bytes) => errors = bytes?,
        }
    }
    Ok((output, errors))
}
