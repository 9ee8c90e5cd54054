//! Memory shared by calls in turn. In: the largest number of simultaneous calls. Out: the settings for Wasmtime's pool, and a
//! gate that admits no more calls.
//!
//! A call needs clean memory, and getting it from the system for every band of a picture takes longer than most finishes. So
//! used pages are cleared and reused; a component still always starts from its initial state.

use std::sync::{Condvar, Mutex, PoisonError};

use wasmtime::{InstanceAllocationStrategy, PoolingAllocationConfig};

use crate::limits::Limits;

/// Memories and tables of a component that fit into the pool: enough for the output of compilers. Other components get their
/// memory from the system.
const MEMORIES: u32 = 1;
const TABLES: u32 = 2;
/// Bytes of a memory that are cleared by writing zeros; the rest is returned to the system. Enough for a call with a band of a
/// picture 8,000 pixels wide.
const CLEARED_BYTES: usize = 4 << 20;
/// The same of a table.
const CLEARED_TABLE_BYTES: usize = 64 << 10;

/// The largest number of simultaneous calls of one component: one for each thread of this machine, and some for waiting
/// threads.
pub(crate) fn places() -> u32 {
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    u32::try_from(2 * threads).unwrap_or(u32::MAX).min(512)
}

/// A pool for this many calls at once.
pub(crate) fn strategy(limits: &Limits, places: u32) -> InstanceAllocationStrategy {
    let core_instances = u32::try_from(limits.core_instances).unwrap_or(u32::MAX);
    let mut pool = PoolingAllocationConfig::new();
    pool.total_component_instances(places)
        .max_core_instances_per_component(core_instances)
        .total_core_instances(places.saturating_mul(core_instances))
        .max_memories_per_component(MEMORIES)
        .total_memories(places * MEMORIES)
        .max_tables_per_component(TABLES)
        .max_tables_per_module(TABLES)
        .total_tables(places * TABLES)
        .table_elements(limits.table_elements)
        .max_unused_warm_slots(places)
        .linear_memory_keep_resident(CLEARED_BYTES)
        .table_keep_resident(CLEARED_TABLE_BYTES);
    InstanceAllocationStrategy::Pooling(pool)
}

/// Lets this many calls in; the others wait.
#[derive(Debug)]
pub(crate) struct Gate {
    free: Mutex<u32>,
    left: Condvar,
}

impl Gate {
    pub(crate) fn new(places: u32) -> Self {
        Self {
            free: Mutex::new(places),
            left: Condvar::new(),
        }
    }

    /// Waits for a place; dropping the value frees it.
    pub(crate) fn enter(&self) -> Turn<'_> {
        let free = self.free.lock().unwrap_or_else(PoisonError::into_inner);
        let mut free = self
            .left
            .wait_while(free, |free| *free == 0)
            .unwrap_or_else(PoisonError::into_inner);
        *free -= 1;
        Turn(self)
    }
}

/// A place taken.
#[derive(Debug)]
pub(crate) struct Turn<'a>(&'a Gate);

impl Drop for Turn<'_> {
    fn drop(&mut self) {
        *self.0.free.lock().unwrap_or_else(PoisonError::into_inner) += 1;
        self.0.left.notify_one();
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicU32, Ordering::SeqCst};

    use super::*;

    #[test]
    fn no_more_are_inside_than_there_are_places() {
        let (gate, inside, most) = (Gate::new(3), AtomicU32::new(0), AtomicU32::new(0));
        std::thread::scope(|scope| {
            for _ in 0..12 {
                scope.spawn(|| {
                    for _ in 0..200 {
                        let _place = gate.enter();
                        most.fetch_max(inside.fetch_add(1, SeqCst) + 1, SeqCst);
                        std::thread::yield_now();
                        inside.fetch_sub(1, SeqCst);
                    }
                });
            }
        });
        assert!((1..=3).contains(&most.load(SeqCst)), "{most:?}");
        assert_eq!(*gate.free.lock().unwrap(), 3, "all have left");
    }
}
