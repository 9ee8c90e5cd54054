//! Device and processor give the same picture: every kernel on its own, the whole demo, and every way to fail.
//!
//! Without an adapter nothing can be compared: each test then says that it did not run, and fails where
//! `VELATURA_REQUIRE_GPU=1` is set.

mod faults;
mod kernels;
mod picture;

use velatura_pipeline::gpu::Gpu;

/// The device to compare, selected by `VELATURA_ADAPTER` if that is set. Prints why there is none.
fn device() -> Option<Gpu> {
    let wanted = std::env::var("VELATURA_ADAPTER").ok();
    match Gpu::open(wanted.as_deref()) {
        Ok(gpu) => Some(gpu),
        Err(why) => {
            let required = std::env::var("VELATURA_REQUIRE_GPU").is_ok_and(|value| value == "1");
            assert!(!required, "VELATURA_REQUIRE_GPU=1, but {why}");
            println!("not run, for there is no device to compare: {why}");
            None
        }
    }
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

#[test]
fn the_measures_of_distance_see_a_difference() {
    assert!(largest_difference(&[[0.0, 0.0, 0.0, f32::NAN]], &[[0.0; 4]]) > 1.0);
    assert!(
        (largest_difference(&[[0.0, 3.0, 0.0, 1.0]], &[[0.0, 2.0, 0.0, 1.0]]) - 0.5).abs() < 1e-6
    );
    let apart = Apart::between(&[[0, 0, 2], [5, 5, 5]], &[[0, 0, 0], [5, 5, 5]]);
    assert_eq!((apart.differing, apart.codes), (1, 2));
    assert!(!apart.within(1.0) && (apart.share() - 0.5).abs() < 1e-9);
}
