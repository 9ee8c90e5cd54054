//! Counts the memory and the tables of one call. In: what the component asks for. Out: granted, or [`Beyond`].
//!
//! A component that requests too much is stopped at once: if its request failed, it would usually stop itself with a trap that
//! does not mention memory.

use wasmtime::ResourceLimiter;

use crate::limits::{Handed, Limits};

/// Memories and tables that one component may have, all its core instances together. Compilers make one of each; every
/// memory reserves 4 GiB of addresses.
const MEMORIES: usize = 8;
const TABLES: usize = 16;

/// A request beyond the limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub(crate) enum Beyond {
    /// Memory.
    #[error("memory: {limit_bytes} bytes")]
    Memory { limit_bytes: usize },
    /// Table elements.
    #[error("table: {limit} elements")]
    Table { limit: usize },
    /// The machine itself has no more.
    #[error("the machine has no more memory")]
    Machine,
}

/// The account of one call.
#[derive(Debug)]
pub(crate) struct Meter {
    memory_bytes: Account,
    table_elements: Account,
}

#[derive(Debug)]
struct Account {
    used: usize,
    limit: usize,
}

/// Whether the component's own declared maximum leaves room.
enum Asked {
    Granted,
    BeyondItsOwnMaximum,
    BeyondLimit,
}

impl Account {
    fn ask(&mut self, current: usize, desired: usize, maximum: Option<usize>) -> Asked {
        if maximum.is_some_and(|maximum| desired > maximum) {
            return Asked::BeyondItsOwnMaximum;
        }
        let used = self.used.saturating_add(desired.saturating_sub(current));
        if used > self.limit {
            return Asked::BeyondLimit;
        }
        self.used = used;
        Asked::Granted
    }
}

impl Meter {
    pub(crate) fn new(limits: &Limits, handed: Handed) -> Self {
        Self {
            memory_bytes: Account {
                used: 0,
                limit: limits.memory_bytes(handed),
            },
            table_elements: Account {
                used: 0,
                limit: limits.table_elements,
            },
        }
    }
}

impl ResourceLimiter for Meter {
    fn memory_growing(
        &mut self,
        current: usize,
        desired: usize,
        maximum: Option<usize>,
    ) -> wasmtime::Result<bool> {
        match self.memory_bytes.ask(current, desired, maximum) {
            Asked::Granted => Ok(true),
            Asked::BeyondItsOwnMaximum => Ok(false),
            Asked::BeyondLimit => Err(Beyond::Memory {
                limit_bytes: self.memory_bytes.limit,
            }
            .into()),
        }
    }

    /// The request was granted, but the machine could not fulfil it. Results must not depend on that, so the call ends.
    fn memory_grow_failed(&mut self, _: wasmtime::Error) -> wasmtime::Result<()> {
        Err(Beyond::Machine.into())
    }

    fn table_growing(
        &mut self,
        current: usize,
        desired: usize,
        maximum: Option<usize>,
    ) -> wasmtime::Result<bool> {
        match self.table_elements.ask(current, desired, maximum) {
            Asked::Granted => Ok(true),
            Asked::BeyondItsOwnMaximum => Ok(false),
            Asked::BeyondLimit => Err(Beyond::Table {
                limit: self.table_elements.limit,
            }
            .into()),
        }
    }

    fn table_grow_failed(&mut self, _: wasmtime::Error) -> wasmtime::Result<()> {
        Err(Beyond::Machine.into())
    }

    fn memories(&self) -> usize {
        MEMORIES
    }

    fn tables(&self) -> usize {
        TABLES
    }
}
