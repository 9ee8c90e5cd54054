//! What all targets share: cases, changes by chance, and what must hold.

pub(crate) mod base;
pub(crate) mod case;
pub(crate) mod oracle;
pub(crate) mod pictures;
pub(crate) mod texts;

use std::panic::{AssertUnwindSafe, catch_unwind};

use rand::SeedableRng;
use rand::rngs::ChaCha8Rng;

use case::Case;

/// The source of chance of all targets: the same numbers on every machine.
pub(crate) type Chance = ChaCha8Rng;

/// What a case may say: nothing, or what is wrong.
pub(crate) type Verdict = Result<(), String>;

/// One kind of input, and what must hold for it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Target {
    /// Its name.
    pub(crate) name: &'static str,
    #[allow(dead_code, reason = "the tests have numbers of their own")]
    /// Its share of a soak, relative to the other targets.
    pub(crate) share: u64,
    /// Makes a case.
    pub(crate) make: fn(&mut Chance) -> Case,
    /// Runs a case, and checks all that must hold.
    pub(crate) run: fn(&Case) -> Verdict,
}

impl Target {
    /// The case of a seed.
    pub(crate) fn case(&self, seed: u64) -> Case {
        let mut case = (self.make)(&mut Chance::seed_from_u64(seed));
        self.name.clone_into(&mut case.target);
        case
    }
}

/// The seed of one case of a run.
pub(crate) fn seed_of(run: u64, number: u64) -> u64 {
    // Neighbouring runs share no case (the multiplier is Knuth's, of the MMIX generator).
    run.wrapping_mul(6_364_136_223_846_793_005)
        .wrapping_add(number)
}

/// Runs a case; a panic is a failure with its message.
pub(crate) fn run_case(target: &Target, case: &Case) -> Verdict {
    match catch_unwind(AssertUnwindSafe(|| (target.run)(case))) {
        Ok(verdict) => verdict,
        Err(panic) => {
            let words = panic
                .downcast_ref::<String>()
                .map(String::as_str)
                .or_else(|| panic.downcast_ref::<&str>().copied());
            Err(format!("panicked: {}", words.unwrap_or("without words")))
        }
    }
}

/// Panics print one line instead of a trace.
#[allow(dead_code, reason = "the tests print traces")]
pub(crate) fn silence_panics() {
    std::panic::set_hook(Box::new(|panic| println!("{panic}")));
}
