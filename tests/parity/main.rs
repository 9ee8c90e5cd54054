//! Device and processor give the same picture: every kernel on its own, the whole demo, and every way to fail.
//!
//! Without an adapter nothing can be compared: the summary then counts these tests as ignored, and they fail where
//! `VELATURA_REQUIRE_GPU=1` is set. The built-in test runner cannot ignore a test at run time, so this one has its own.

mod faults;
mod kernels;
mod picture;

use std::process::ExitCode;

use libtest_mimic::{Arguments, Failed, Trial};
use velatura_pipeline::gpu::Gpu;

/// Names and functions of tests that need a device.
macro_rules! on_device {
    ($($module:ident::$test:ident,)*) => {
        [$((concat!(stringify!($module), "::", stringify!($test)), $module::$test as fn(Gpu))),*]
    };
}

fn main() -> ExitCode {
    let required = std::env::var("VELATURA_REQUIRE_GPU").is_ok_and(|value| value == "1");
    let missing = device().err();
    if let Some(why) = &missing {
        println!("no device to compare with: {why}");
    }
    let ignored = missing.is_some() && !required;
    let tests = on_device![
        kernels::apply_is_the_same_on_both,
        kernels::finish_is_the_same_on_both,
        kernels::pack_is_the_same_on_both,
        kernels::downscale_is_the_same_on_both,
        kernels::view_is_the_same_on_both,
        kernels::render_is_the_three_twins_one_after_the_other,
        picture::the_demo_is_the_same_on_both,
        picture::a_scheme_with_a_finish_of_ones_own_goes_to_the_processor_and_says_so,
        faults::a_device_that_is_lost_midway_is_made_up_for,
        faults::a_device_that_is_lost_at_once_has_done_nothing,
        faults::a_device_without_memory_is_made_up_for,
        faults::a_device_that_refuses_a_command_is_made_up_for,
    ];
    let mut trials = vec![Trial::test(
        "the_measures_of_distance_see_a_difference",
        || {
            the_measures_of_distance_see_a_difference();
            Ok(())
        },
    )];
    trials.extend(tests.map(|(name, test)| {
        let run = move || -> Result<(), Failed> {
            test(device()?);
            Ok(())
        };
        Trial::test(name, run).with_ignored_flag(ignored)
    }));
    libtest_mimic::run(&Arguments::from_args(), trials).exit_code()
}

/// The device to compare, selected by `VELATURA_ADAPTER` if that is set, or why there is none.
fn device() -> Result<Gpu, String> {
    let wanted = std::env::var("VELATURA_ADAPTER").ok();
    Gpu::open(wanted.as_deref()).map_err(|why| why.to_string())
}

/// Largest difference, absolute up to 1 and relative above; NaN is infinitely far from all others.
fn largest_difference(found: &[[f32; 4]], expected: &[[f32; 4]]) -> f32 {
    assert_eq!(found.len(), expected.len());
    let pairs = found.as_flattened().iter().zip(expected.as_flattened());
    pairs.fold(0.0, |worst, (found, expected)| {
        let apart = (found - expected).abs() / expected.abs().max(1.0);
        if apart.is_nan() {
            f32::INFINITY
        } else {
            worst.max(apart)
        }
    })
}

/// How far apart two pictures are.
#[derive(Debug, Clone, Copy, Default)]
struct Apart {
    /// Total number of pixels.
    pixels: usize,
    /// Pixels that are not the same.
    differing: usize,
    /// Largest difference of a code.
    codes: u8,
}

impl Apart {
    fn between(found: &[[u8; 3]], expected: &[[u8; 3]]) -> Self {
        assert_eq!(found.len(), expected.len());
        let mut apart = Self {
            pixels: found.len(),
            ..Self::default()
        };
        for (found, expected) in found.iter().zip(expected) {
            let worst = (0..3)
                .map(|i| found[i].abs_diff(expected[i]))
                .max()
                .unwrap();
            apart.differing += usize::from(worst > 0);
            apart.codes = apart.codes.max(worst);
        }
        apart
    }

    fn and(self, other: Self) -> Self {
        Self {
            pixels: self.pixels + other.pixels,
            differing: self.differing + other.differing,
            codes: self.codes.max(other.codes),
        }
    }

    /// Pixels that are not the same, of all.
    #[allow(clippy::cast_precision_loss, reason = "far fewer pixels than 2^53")]
    fn share(self) -> f64 {
        self.differing as f64 / self.pixels.max(1) as f64
    }

    /// At most one code, on at most this many of the pixels.
    fn within(self, share: f64) -> bool {
        self.codes <= 1 && self.share() <= share
    }
}

fn the_measures_of_distance_see_a_difference() {
    assert!(largest_difference(&[[0.0, 0.0, 0.0, f32::NAN]], &[[0.0; 4]]) > 1.0);
    assert!(
        (largest_difference(&[[0.0, 3.0, 0.0, 1.0]], &[[0.0, 2.0, 0.0, 1.0]]) - 0.5).abs() < 1e-6
    );
    let apart = Apart::between(&[[0, 0, 2], [5, 5, 5]], &[[0, 0, 0], [5, 5, 5]]);
    assert_eq!((apart.differing, apart.codes), (1, 2));
    assert!(!apart.within(1.0) && (apart.share() - 0.5).abs() < 1e-9);
}
