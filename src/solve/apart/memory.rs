//! Answers of parts, shared by all threads.

use std::collections::HashMap;
use std::hash::{BuildHasher, RandomState};
use std::sync::atomic::{AtomicI64, AtomicU64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

/// A part's answer.
#[derive(Debug)]
pub(super) struct Small {
    pub values: Vec<i64>,
    pub taken: Vec<Option<u32>>,
    /// By stage of the part: its wish is kept.
    pub kept: Vec<bool>,
}

/// Answers of parts, shared by all threads. It forgets when it is full.
#[derive(Debug)]
pub struct Memory {
    shards: Vec<Shard>,
    hasher: RandomState,
    most: usize,
    structures: AtomicI64,
    counts: [AtomicU64; 4],
}

/// How much was remembered. Threads that work at the same time may solve one part twice.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    pub programs: u64,
    /// Of these, solved as a whole though the musts can hold.
    pub whole: u64,
    /// Small programs that were asked for.
    pub parts: u64,
    /// Of these, solved and not remembered.
    pub anew: u64,
}

/// Parts' answers, by their program, their place in it and their right sides.
type Shard = Mutex<HashMap<Box<[i64]>, Arc<Small>>>;

/// Locks that are rarely waited for.
const SHARDS: usize = 32;

impl Memory {
    /// A memory of about so many parts; one is some hundreds of bytes.
    #[must_use]
    pub fn new(most: usize) -> Self {
        Self {
            shards: (0..SHARDS).map(|_| Mutex::default()).collect(),
            hasher: RandomState::new(),
            most: most / SHARDS,
            structures: AtomicI64::new(0),
            counts: Default::default(),
        }
    }

    /// A number for one more program, taken apart: its parts are remembered under it.
    #[must_use]
    pub fn number(&self) -> i64 {
        self.structures.fetch_add(1, Ordering::Relaxed)
    }

    /// What was counted so far.
    #[must_use]
    pub fn counts(&self) -> Counts {
        let [programs, whole, parts, anew] =
            [0, 1, 2, 3].map(|at: usize| self.counts[at].load(Ordering::Relaxed));
        Counts {
            programs,
            whole,
            parts,
            anew,
        }
    }

    pub(super) fn count(&self, [programs, whole, parts, anew]: [u64; 4]) {
        for (sum, more) in self.counts.iter().zip([programs, whole, parts, anew]) {
            sum.fetch_add(more, Ordering::Relaxed);
        }
    }

    fn shard(&self, key: &[i64]) -> &Shard {
        &self.shards[self.hasher.hash_one(key) as usize % SHARDS]
    }

    pub(super) fn recall(&self, key: &[i64]) -> Option<Arc<Small>> {
        // What is in it is whole, whatever became of a thread that held the lock.
        let shard = self.shard(key).lock();
        let shard = shard.unwrap_or_else(PoisonError::into_inner);
        shard.get(key).cloned()
    }

    pub(super) fn keep(&self, key: &[i64], small: Small) -> Arc<Small> {
        let small = Arc::new(small);
        let shard = self.shard(key).lock();
        let mut shard = shard.unwrap_or_else(PoisonError::into_inner);
        if shard.len() >= self.most {
            shard.clear();
        }
        shard.insert(key.into(), Arc::clone(&small));
        small
    }
}
