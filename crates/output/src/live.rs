//! All sets that this process is making in folders, so that a program that is ended by a signal can remove them.
//!
//! In: sets as they begin. Out: after [`abandon_all`], no temporary file, and no set that begins any more.

use std::sync::{Mutex, PoisonError, Weak};

/// Something that can be abandoned from any thread.
pub(crate) trait Abandon: Send + Sync {
    /// Removes its temporary files and its empty folders. Nothing can be begun in it afterwards.
    fn abandon(&self);
}

struct Live {
    sets: Vec<Weak<dyn Abandon>>,
    ended: bool,
}

static LIVE: Mutex<Live> = Mutex::new(Live {
    sets: Vec::new(),
    ended: false,
});

/// Adds a set for as long as it lives. If all have been abandoned already, so is this one.
pub(crate) fn begins(set: Weak<dyn Abandon>) {
    let mut live = LIVE.lock().unwrap_or_else(PoisonError::into_inner);
    live.sets.retain(|set| set.strong_count() > 0);
    if live.ended
        && let Some(set) = set.upgrade()
    {
        set.abandon();
    }
    live.sets.push(set);
}

/// Removes the temporary files of every [`FolderSet`](crate::FolderSet) that is not committed, for a program that ends now. A
/// set that is being committed is waited for. Sets that begin afterwards cannot write anything.
pub fn abandon_all() {
    let mut live = LIVE.lock().unwrap_or_else(PoisonError::into_inner);
    live.ended = true;
    for set in live.sets.iter().filter_map(Weak::upgrade) {
        set.abandon();
    }
}
