//! What has been found of single clips and mounts so far, so that nothing is worked out twice: searches for one family
//! meet the same clips again and again, and the fit table asks for what they found.
//!
//! Everything here follows from its key alone, so that no result depends on what is known already.

use std::{
    collections::HashMap,
    sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError},
};

use gripwright_mechanics::{Rigid, Slid, Snap};

use crate::model::clip_cache::KnownClips;

/// What a spec's clips and mounts were found to do; clones share it.
#[derive(Clone, Debug, Default)]
pub(crate) struct Known {
    pub(crate) clips: KnownClips,
    runs: Arc<Table<Key, Snap>>,
    slid: Arc<Table<Key, Option<Slid>>>,
}

/// What is known says nothing of what it was found for: designs are alike that know different things.
impl PartialEq for Known {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl Known {
    /// A run of the contact solver, as it was found before or is found now.
    pub(crate) fn run(&self, clip: &Key, rigid: &Rigid, numbers: [f64; 2], solve: impl FnOnce() -> Snap) -> Snap {
        let points = rigid.contacts().iter().flat_map(|c| [c.point.x, c.point.y, c.normal_rad]);
        self.runs.place(clip.clone().and(numbers).and(points)).get_or_init(solve).clone()
    }

    /// What a sleeve was found to do on a barrel, or is found to do now.
    pub(crate) fn slid(&self, numbers: [f64; 4], solve: impl FnOnce() -> Option<Slid>) -> Option<Slid> {
        *self.slid.place(Key::new(numbers)).get_or_init(solve)
    }
}

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

/// What is kept is whole after every change, so that a thread that stopped leaves nothing broken.
pub(crate) fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
