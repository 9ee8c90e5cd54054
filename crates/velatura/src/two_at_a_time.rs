//! Many jobs on two threads: much of a job runs on one thread only, so a second job fills the time.

use std::collections::BTreeMap;
use std::sync::mpsc::{Sender, channel};
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};
use std::thread;

/// Works on the items, two at the same time, and finishes what came of them in the order of the items. No item is begun before
/// the one two places ahead is finished, so never more than two exist. `finish` returns whether to go on.
///
/// Where no thread can be started, one item is worked on after the other.
pub fn two_at_a_time<I: Sync, T: Send>(
    items: &[I],
    work: impl Fn(usize, &I) -> T + Sync,
    mut finish: impl FnMut(&I, T) -> bool,
) {
    let turns = Turns::default();
    let worker = |sender: Sender<(usize, T)>| {
        let _guard = EndIfPanicking(&turns);
        while let Some(at) = turns.next(items.len()) {
            if sender.send((at, work(at, &items[at]))).is_err() {
                return;
            }
        }
    };
    let worker = &worker;
    thread::scope(|scope| {
        let _guard = EndIfPanicking(&turns);
        let (sender, receiver) = channel();
        let started = (0..2).filter(|_| {
            let sender = sender.clone();
            let spawned = thread::Builder::new().spawn_scoped(scope, move || worker(sender));
            spawned.is_ok()
        });
        let any = started.count() > 0;
        drop(sender);
        if !any {
            for (at, item) in items.iter().enumerate() {
                if !finish(item, work(at, item)) {
                    return;
                }
            }
            return;
        }
        let mut waiting = BTreeMap::new();
        let mut turn = 0;
        for (at, worked) in &receiver {
            waiting.insert(at, worked);
            while let Some(worked) = waiting.remove(&turn) {
                if !finish(&items[turn], worked) {
                    turns.end();
                    return;
                }
                turn += 1;
                turns.finished();
            }
        }
    });
}

/// Who may begin which item.
#[derive(Default)]
struct Turns {
    state: Mutex<State>,
    changed: Condvar,
}

#[derive(Default)]
struct State {
    begun: usize,
    finished: usize,
    ended: bool,
}

impl Turns {
    /// Waits for the next of `count` items; `None` if there is no more to do.
    fn next(&self, count: usize) -> Option<usize> {
        let mut state = self.lock();
        while !state.ended && state.begun < count && state.begun >= state.finished + 2 {
            state = self
                .changed
                .wait(state)
                .unwrap_or_else(PoisonError::into_inner);
        }
        (!state.ended && state.begun < count).then(|| {
            state.begun += 1;
            state.begun - 1
        })
    }

    fn finished(&self) {
        self.lock().finished += 1;
        self.changed.notify_all();
    }

    fn end(&self) {
        self.lock().ended = true;
        self.changed.notify_all();
    }

    fn lock(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// Nobody may wait for an item whose worker, or for a turn whose finisher, is gone.
struct EndIfPanicking<'a>(&'a Turns);

impl Drop for EndIfPanicking<'_> {
    fn drop(&mut self) {
        if thread::panicking() {
            self.0.end();
        }
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Barrier;
    use std::sync::atomic::{AtomicUsize, Ordering};

    use super::*;

    #[test]
    fn order_is_kept_and_two_are_worked_on_at_the_same_time() {
        // Each work waits for another one: this ends only if two happen at the same time.
        let both = Barrier::new(2);
        let mut finished = Vec::new();
        two_at_a_time(
            &[10, 20, 30, 40],
            |at, item| {
                both.wait();
                (at, item * 10)
            },
            |item, worked| {
                finished.push((*item, worked));
                true
            },
        );
        let expected = [
            (10, (0, 100)),
            (20, (1, 200)),
            (30, (2, 300)),
            (40, (3, 400)),
        ];
        assert_eq!(finished, expected);
    }

    #[test]
    fn no_more_than_two_exist_and_it_ends_when_the_user_stops() {
        struct Alive<'a>(&'a AtomicUsize);
        impl Drop for Alive<'_> {
            fn drop(&mut self) {
                self.0.fetch_sub(1, Ordering::SeqCst);
            }
        }
        let (alive, most) = (AtomicUsize::new(0), AtomicUsize::new(0));
        let mut finished = 0;
        two_at_a_time(
            &[(); 100],
            |_, ()| {
                let now = alive.fetch_add(1, Ordering::SeqCst) + 1;
                most.fetch_max(now, Ordering::SeqCst);
                Alive(&alive)
            },
            |(), one| {
                finished += 1;
                drop(one);
                finished < 60
            },
        );
        assert_eq!(finished, 60);
        assert!(most.load(Ordering::SeqCst) <= 2, "{most:?} at one time");
        assert_eq!(alive.load(Ordering::SeqCst), 0);
    }

    #[test]
    fn a_panic_of_one_worker_reaches_the_caller() {
        let caught = std::panic::catch_unwind(|| {
            two_at_a_time(
                &[0, 1, 2, 3, 4, 5],
                |_, item| assert_ne!(*item, 2, "as wanted"),
                |_, ()| true,
            );
        });
        assert!(caught.is_err());
    }

    #[test]
    fn a_panic_while_finishing_leaves_no_worker_waiting() {
        let caught = std::panic::catch_unwind(|| {
            two_at_a_time(&[0; 6], |at, _| at, |_, at| panic!("as wanted, at {at}"));
        });
        assert!(caught.is_err());
    }
}
