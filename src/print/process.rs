//! A child process with a time limit.

use std::io::{self, Read, Write};
use std::process::{Child, Command, ExitStatus, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::thread;
use std::time::{Duration, Instant};

/// How often a process that has closed its output is asked whether it has ended.
const POLL: Duration = Duration::from_millis(2);

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
}

/// Runs a command with `input` on its standard input, and ends it at the limit of wall-clock time.
///
/// All three pipes have a thread of their own, so neither side waits for the other.
pub(super) fn run(command: &mut Command, input: &str, limit: Duration) -> Result<Finished, Broken> {
    let deadline = Instant::now() + limit;
    let mut child = command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .map_err(Broken::Start)?;
    feed(&mut child, input);
    let output = drain(child.stdout.take());
    let errors = drain(child.stderr.take());
    let collected = collect(&output, &errors, deadline).and_then(|(output, errors)| {
        let status = wait(&mut child, deadline)?;
        Ok(Finished { status, output, errors: String::from_utf8_lossy(&errors).into_owned() })
    });
    if collected.is_err() {
        // Ended already, perhaps; then there is nothing to end.
        let _ = child.kill();
        let _ = child.wait();
    }
    collected
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

/// Reads a pipe to its end from a thread.
fn drain<R: Read + Send + 'static>(pipe: Option<R>) -> Receiver<io::Result<Vec<u8>>> {
    let (sender, receiver) = channel();
    thread::spawn(move || {
        let mut bytes = Vec::new();
        let read = pipe.map_or(Ok(0), |mut pipe| pipe.read_to_end(&mut bytes));
        // Nobody listens any more after a time-out.
        let _ = sender.send(read.map(|_| bytes));
    });
    receiver
}

type Pipe = Receiver<io::Result<Vec<u8>>>;

fn collect(output: &Pipe, errors: &Pipe, deadline: Instant) -> Result<(Vec<u8>, Vec<u8>), Broken> {
    let take = |from: &Pipe| {
        let left = deadline.saturating_duration_since(Instant::now());
        from.recv_timeout(left).map_err(|_| Broken::TimedOut)?.map_err(Broken::Start)
    };
    Ok((take(output)?, take(errors)?))
}

fn wait(child: &mut Child, deadline: Instant) -> Result<ExitStatus, Broken> {
    loop {
        if let Some(status) = child.try_wait().map_err(Broken::Start)? {
            return Ok(status);
        }
        if Instant::now() >= deadline {
            return Err(Broken::TimedOut);
        }
        thread::sleep(POLL);
    }
}
