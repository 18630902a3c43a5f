//! Independent work on all cores, with results in a fixed order.

use std::{
    sync::atomic::{AtomicUsize, Ordering},
    thread,
};

/// Number of threads: all that the machine has. Read once, because the system's answer takes several files to read.
#[cfg(not(test))]
fn threads() -> usize {
    static THREADS: std::sync::OnceLock<usize> = std::sync::OnceLock::new();
    *THREADS.get_or_init(|| thread::available_parallelism().map_or(1, usize::from))
}

/// In tests the number can be set, to show that results do not depend on it.
#[cfg(test)]
fn threads() -> usize {
    THREADS.load(Ordering::Relaxed)
}

#[cfg(test)]
pub(crate) static THREADS: AtomicUsize = AtomicUsize::new(2);

/// Applies `work` to every item; results are in the order of the items, whatever thread made them.
///
/// `work` must depend on its item alone: then the results are the same for any number of threads.
pub fn in_parallel<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let threads = threads().min(items.len());
    if threads < 2 {
        return items.iter().map(work).collect();
    }
    let next = AtomicUsize::new(0);
    let take = || {
        let mut done = Vec::new();
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            let Some(item) = items.get(index) else { return done };
            done.push((index, work(item)));
        }
    };
    let mut all: Vec<(usize, R)> = thread::scope(|scope| {
        let others: Vec<_> = (1..threads).map(|_| scope.spawn(take)).collect();
        let mut all = take();
        for other in others {
            match other.join() {
                Ok(done) => all.extend(done),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        all
    });
    all.sort_by_key(|(index, _)| *index);
    all.into_iter().map(|(_, result)| result).collect()
}

/// Computes values on all cores for later calls that need all of them; a few are left to those calls.
pub(crate) fn prefetch<T: Sync>(items: &[T], work: impl Fn(&T) + Sync) {
    /// Starting threads takes longer than fewer items.
    const MIN_ITEMS_FOR_THREADS: usize = 4;
    if items.len() >= MIN_ITEMS_FOR_THREADS {
        in_parallel(items, work);
    }
}

/// Runs two pieces of independent work, in parallel if the machine has the cores.
pub(crate) fn side_by_side<A: Send, B>(a: impl FnOnce() -> A + Send, b: impl FnOnce() -> B) -> (A, B) {
    if threads() < 2 {
        return (a(), b());
    }
    thread::scope(|scope| {
        let a = scope.spawn(a);
        let b = b();
        match a.join() {
            Ok(a) => (a, b),
            Err(panic) => std::panic::resume_unwind(panic),
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn results_come_in_the_order_of_the_items() {
        let items: Vec<u64> = (0..500).collect();
        let squares = in_parallel(&items, |i| {
            // Uneven work, so that threads overtake each other.
            let busy: u64 = (0..(i % 7) * 1000).map(std::hint::black_box).sum();
            assert!(busy < u64::MAX);
            i * i
        });
        assert!(squares.iter().zip(&items).all(|(s, i)| *s == i * i));
        assert!(in_parallel(&[] as &[u64], |i| *i).is_empty());
    }
}
