//! Jobs on as many threads as the machine has processors.

use std::cmp::Reverse;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

/// Runs a job for each weight, the heaviest first so that none is waited for at the end; results
/// in the order of the weights.
pub(super) fn in_parallel<T: Send>(weights: &[usize], job: impl Fn(usize) -> T + Sync) -> Vec<T> {
    let mut order: Vec<usize> = (0..weights.len()).collect();
    order.sort_by_key(|at| Reverse(weights[*at]));
    let next = AtomicUsize::new(0);
    let results = Mutex::new(Vec::with_capacity(weights.len()));
    let workers = thread::available_parallelism().map_or(1, usize::from).min(weights.len());
    thread::scope(|scope| {
        for _ in 0..workers {
            scope.spawn(|| {
                while let Some(at) = order.get(next.fetch_add(1, Ordering::Relaxed)) {
                    let result = job(*at);
                    results.lock().expect("no job holds the lock").push((*at, result));
                }
            });
        }
    });
    let mut results = results.into_inner().expect("no job holds the lock");
    results.sort_by_key(|(at, _)| *at);
    results.into_iter().map(|(_, result)| result).collect()
}
