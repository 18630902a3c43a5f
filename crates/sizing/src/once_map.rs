//! Map that computes each value once, and keys of exact numbers.

use std::{
    collections::HashMap,
    sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError},
};

/// All numbers that decide on what a clip or mount does, bit by bit.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub(crate) struct Key(Vec<u64>);

impl Key {
    pub(crate) fn new(numbers: impl IntoIterator<Item = f64>) -> Self {
        Self::default().and(numbers)
    }

    pub(crate) fn and(mut self, numbers: impl IntoIterator<Item = f64>) -> Self {
        self.0.extend(numbers.into_iter().map(f64::to_bits));
        self
    }
}

/// Values by their keys. Who asks first works a value out; who asks meanwhile waits for it.
#[derive(Debug)]
pub(crate) struct Table<K, V>(Mutex<HashMap<K, Arc<OnceLock<V>>>>);

/// What is kept is whole after every change, so that a thread that stopped leaves nothing broken.
pub(crate) fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl<K, V> Default for Table<K, V> {
    fn default() -> Self {
        Self(Mutex::default())
    }
}

impl<K: Eq + std::hash::Hash, V> Table<K, V> {
    /// Where the value of a key stands or will stand.
    pub(crate) fn place(&self, key: K) -> Arc<OnceLock<V>> {
        locked(&self.0).entry(key).or_default().clone()
    }
}
