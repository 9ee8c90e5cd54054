//! Same bytes whatever the order and the number of calls: nothing is left from one call to the next.

use rayon::prelude::*;

use super::cores::{Core, SAME_PIXELS};
use super::{Painted, applied, attached};

/// Counts its calls in a global and in memory, and adds both counts to the first number.
fn counting() -> Core {
    Core {
        extra: "(global $calls (mut i32) (i32.const 0))".to_owned(),
        ..Core::finish(&format!(
            "(global.set $calls (i32.add (global.get $calls) (i32.const 1)))
            (i32.store (i32.const 240) (i32.add (i32.load (i32.const 240)) (i32.const 1)))
            (f32.store (i32.load offset=80 (local.get $in))
              (f32.convert_i32_u (i32.add (global.get $calls) (i32.load (i32.const 240)))))
            {SAME_PIXELS}"
        ))
    }
}

#[test]
fn a_second_call_finds_nothing_of_the_first() {
    let component = attached(&counting().bytes()).unwrap();
    let painted = Painted::new();
    for _ in 0..3 {
        let pixels = applied(&component, &painted).unwrap();
        assert_eq!(pixels[0].to_bits(), 2.0f32.to_bits());
    }
}

/// Mixes every number of the picture with its neighbours by arithmetic whose rounding matters.
fn mixing() -> Core {
    Core::finish(&format!(
        "(local.set $i (i32.load offset=80 (local.get $in)))
        (local.set $j (i32.add (local.get $i) (i32.shl (i32.load offset=84 (local.get $in)) (i32.const 2))))
        (loop
          (f32.store (local.get $i)
            (f32.sqrt (f32.add (f32.mul (f32.load (local.get $i)) (f32.const 0.3)) (f32.const 0.1))))
          (local.set $i (i32.add (local.get $i) (i32.const 16)))
          (br_if 0 (i32.lt_u (local.get $i) (local.get $j))))
        {SAME_PIXELS}"
    ))
}

#[test]
fn many_threads_give_the_bytes_of_one() {
    let component = attached(&mixing().bytes()).unwrap();
    let bands: Vec<Painted> = (0..64u8)
        .map(|band| {
            let mut painted = Painted::new();
            painted.pixels[0] = f32::from(band) / 64.0;
            painted
        })
        .collect();
    let one: Vec<_> = bands.iter().map(|band| applied(&component, band)).collect();
    assert!(one.iter().all(Result::is_ok), "{:?}", one[0]);
    assert_ne!(one[0], one[1], "the bands differ");
    let threads = rayon::ThreadPoolBuilder::new()
        .num_threads(8)
        .build()
        .unwrap();
    let many: Vec<_> = threads.install(|| {
        bands
            .par_iter()
            .map(|band| applied(&component, band))
            .collect()
    });
    assert_eq!(one, many);
}

#[test]
fn a_component_attached_twice_gives_the_same_bytes() {
    let painted = Painted::new();
    let bytes = mixing().bytes();
    let first = applied(&attached(&bytes).unwrap(), &painted);
    assert_eq!(first, applied(&attached(&bytes).unwrap(), &painted));
    assert!(first.is_ok());
}
