//! Map that computes each value once, and keys of exact numbers.

use std::{
    cell::Cell,
    collections::HashMap,
    hash::Hash,
    sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError},
};

/// All numbers that decide a result, compared bit by bit.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub(crate) struct BitKey(Vec<u64>);

impl BitKey {
    pub(crate) fn new(numbers: impl IntoIterator<Item = f64>) -> Self {
        Self::default().with(numbers)
    }

    /// The same key followed by further numbers.
    pub(crate) fn with(mut self, numbers: impl IntoIterator<Item = f64>) -> Self {
        self.0.extend(numbers.into_iter().map(f64::to_bits));
        self
    }
}

/// Values by their keys. The first caller computes a value; concurrent callers block until it is ready.
///
/// A computation must neither start parallel work nor read a map. Otherwise its thread could take over another task that
/// waits for the value that it is itself computing, and both would wait for ever.
#[derive(Debug)]
pub(crate) struct OnceMap<K, V>(Mutex<HashMap<K, Arc<OnceLock<V>>>>);

thread_local! {
    static IS_COMPUTING: Cell<bool> = const { Cell::new(false) };
}

/// Locks a mutex, also after a thread panicked: values behind these locks are complete after every change.
pub(crate) fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl<K, V> Default for OnceMap<K, V> {
    fn default() -> Self {
        Self(Mutex::default())
    }
}

impl<K: Eq + Hash, V: Clone> OnceMap<K, V> {
    /// Value of a key, computed by `compute` unless it is in the map.
    pub(crate) fn get_or_compute(&self, key: K, compute: impl FnOnce() -> V) -> V {
        debug_assert!(!IS_COMPUTING.get(), "a computation for a map reads a map");
        let compute = || {
            IS_COMPUTING.set(true);
            let value = compute();
            IS_COMPUTING.set(false);
            value
        };
        self.slot(key).get_or_init(compute).clone()
    }

    /// Value of a key, if it has been computed.
    pub(crate) fn get(&self, key: &K) -> Option<V> {
        let slot = locked(&self.0).get(key).cloned();
        slot?.get().cloned()
    }

    fn slot(&self, key: K) -> Arc<OnceLock<V>> {
        locked(&self.0).entry(key).or_default().clone()
    }
}

#[cfg(test)]
mod tests {
    use rayon::prelude::*;

    use super::*;

    #[test]
    fn concurrent_callers_share_one_computation() {
        let map = OnceMap::default();
        let computed = std::sync::atomic::AtomicUsize::new(0);
        let compute = |key: usize| {
            computed.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
            10 * key
        };
        let values: Vec<usize> =
            (0..1000).into_par_iter().map(|i| map.get_or_compute(i % 7, || compute(i % 7))).collect();
        assert!(values.iter().enumerate().all(|(i, value)| *value == 10 * (i % 7)));
        assert_eq!(computed.into_inner(), 7);
        assert_eq!((map.get(&6), map.get(&7)), (Some(60), None));
    }

    // The check is that of a debug build.
    #[cfg(debug_assertions)]
    #[test]
    #[should_panic(expected = "a computation for a map reads a map")]
    fn a_computation_that_reads_a_map_is_found() {
        let map = OnceMap::default();
        map.get_or_compute(1, || map.get_or_compute(2, || 2));
    }
}
