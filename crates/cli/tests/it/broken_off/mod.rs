//! Work that is broken off at any moment: killed, out of memory, out of space. What is in place is whole, nothing else is
//! left once the next run has cleaned up, and that run gives the same bytes.
//!
//! The moments are random, with a fixed seed. `VELATURA_BREAKS=200` asks for more of them: so many for each command.

mod desk;
mod file_size;
mod kills;
mod memory;

/// How often each command is broken off.
fn times(usual: usize) -> usize {
    let asked = std::env::var("VELATURA_BREAKS").ok();
    asked.map_or(usual, |asked| {
        asked.parse().expect("VELATURA_BREAKS is a number")
    })
}

/// A small generator of our own (Knuth's MMIX constants), so that the moments are the same everywhere.
struct Chance(u64);

impl Chance {
    /// A number below `end`, which is at most 2³².
    fn below(&mut self, end: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 32) * end) >> 32
    }
}
