//! Many jobs, one after the other: the next one is made while this one is used.

use std::sync::mpsc::sync_channel;
use std::thread;

/// Makes something of each item and uses it, in the order of the items. While one is used, the next is made on another thread, so
/// at most two exist at any time. `use_one` returns whether to go on.
///
/// Where no thread can be started, each is made when it is needed.
pub fn made_ahead<I: Sync, T: Send>(
    items: &[I],
    make: impl Fn(&I) -> T + Sync,
    mut use_one: impl FnMut(&I, T) -> bool,
) {
    thread::scope(|scope| {
        // Nothing waits in the channel itself: the maker keeps what it made until it is taken.
        let (sender, receiver) = sync_channel(0);
        let maker = thread::Builder::new().spawn_scoped(scope, || {
            for item in items {
                if sender.send(make(item)).is_err() {
                    // The user wants no more.
                    return;
                }
            }
            drop(sender);
        });
        if maker.is_err() {
            for item in items {
                if !use_one(item, make(item)) {
                    return;
                }
            }
            return;
        }
        for (item, made) in items.iter().zip(&receiver) {
            if !use_one(item, made) {
                break;
            }
        }
        // A maker that waits to hand something over must see that nobody will take it.
        drop(receiver);
    });
}

#[cfg(test)]
mod tests {
    use std::sync::Barrier;
    use std::sync::atomic::{AtomicUsize, Ordering};

    use super::*;

    #[test]
    fn order_is_kept_and_the_next_is_made_while_one_is_used() {
        // Each use waits for the making of the next: this ends only if both happen at the same time.
        let both = Barrier::new(2);
        let made = AtomicUsize::new(0);
        let mut used = Vec::new();
        made_ahead(
            &[0, 1, 2, 3],
            |item| {
                if *item > 0 {
                    both.wait();
                }
                made.fetch_add(1, Ordering::SeqCst);
                item * 10
            },
            |item, made| {
                if *item < 3 {
                    both.wait();
                }
                used.push((*item, made));
                true
            },
        );
        assert_eq!(used, [(0, 0), (1, 10), (2, 20), (3, 30)]);
        assert_eq!(made.load(Ordering::SeqCst), 4);
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
        let mut used = 0;
        made_ahead(
            &[(); 100],
            |()| {
                let now = alive.fetch_add(1, Ordering::SeqCst) + 1;
                most.fetch_max(now, Ordering::SeqCst);
                Alive(&alive)
            },
            |(), one| {
                used += 1;
                drop(one);
                used < 60
            },
        );
        assert_eq!(used, 60);
        assert!(most.load(Ordering::SeqCst) <= 2, "{most:?} at one time");
        assert_eq!(alive.load(Ordering::SeqCst), 0);
    }
}
