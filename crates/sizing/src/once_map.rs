//! Map that computes each value once, and keys of exact numbers.

use std::{
    collections::HashMap,
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
#[derive(Debug)]
pub(crate) struct OnceMap<K, V>(Mutex<HashMap<K, Arc<OnceLock<V>>>>);

/// Locks a mutex, also after a thread panicked: values behind these locks are complete after every change.
pub(crate) fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl<K, V> Default for OnceMap<K, V> {
    fn default() -> Self {
        Self(Mutex::default())
    }
}

impl<K: Eq + std::hash::Hash, V> OnceMap<K, V> {
    /// Slot of a key, filled or still empty.
    pub(crate) fn slot(&self, key: K) -> Arc<OnceLock<V>> {
        locked(&self.0).entry(key).or_default().clone()
    }
}
