//! Tests of the host with components made on the spot: what they share.

mod answers;
mod cores;
mod described;
mod many_parts;
mod refused;
mod same_bytes;
mod staged;
mod stopped;

use velatura_document::Diagnostic;

use crate::calls::finish::{Band, Scheme};
use crate::component::{Calls, Component};
use crate::fault::Fault;
use crate::limits::Limits;
use cores::{Core, SAME_PIXELS};

/// A band of 4 × 2 pixels: the second row of the picture and the third. The last pixel has no coat.
struct Painted {
    plane: Vec<u16>,
    region: Vec<u8>,
    pixels: Vec<f32>,
}

const WIDTH: u32 = 4;

impl Painted {
    fn new() -> Self {
        let mut pixels: Vec<f32> = (0..8u8)
            .flat_map(|pixel| [f32::from(pixel) / 8.0, 0.25, 0.5, 1.0])
            .collect();
        *pixels.last_mut().unwrap() = 0.0;
        Self {
            plane: (0..8u16).map(|pixel| 8000 * pixel).collect(),
            region: vec![1, 1, 1, 1, 2, 2, 2, 0],
            pixels,
        }
    }

    fn band(&self) -> Band<'_> {
        Band {
            width: WIDTH,
            rows: u32::try_from(self.region.len()).unwrap() / WIDTH,
            first_row: 1,
            picture_rows: 9,
            px_per_mm: 20.0,
            light_unit: 0.5,
            substrate: &self.plane,
            relief: &self.plane,
            light: &self.plane,
            region: &self.region,
            pixels: &[],
        }
    }
}

const SCHEME: Scheme<'_> = Scheme {
    name: "Foglight",
    team: "Lamplighters",
    regions: &["coat", "hood"],
};

fn attached(bytes: &[u8]) -> Result<Component, Diagnostic> {
    Component::attach(bytes, "stages/dust.wasm", &Limits::default())
}

/// The result of a finish on the painted band, or the whole message.
fn applied(component: &Component, painted: &Painted) -> Result<Vec<f32>, String> {
    let Calls::Finish(finish) = &component.calls else {
        panic!("no finish");
    };
    let mut pixels = painted.pixels.clone();
    finish
        .apply(SCHEME, &painted.band(), &mut pixels, "{}")
        .map(|()| pixels)
        .map_err(|fault| reported(component, &fault))
}

fn reported(component: &Component, fault: &Fault) -> String {
    component.source.diagnostic(fault).to_string()
}

/// The whole message about this component: on attaching it or, if that works, on its first call. A good component is called
/// after it, and must return its usual result.
fn message(core: &Core) -> String {
    let painted = Painted::new();
    let message = match attached(&core.bytes()) {
        Err(problem) => problem.to_string(),
        Ok(component) => applied(&component, &painted).unwrap_err(),
    };
    good_one_still_works();
    message
}

fn refusal(bytes: &[u8]) -> String {
    let message = attached(bytes).err().expect("it was attached").to_string();
    good_one_still_works();
    message
}

fn good_one_still_works() {
    let painted = Painted::new();
    let good = attached(&Core::finish(SAME_PIXELS).bytes()).unwrap();
    assert_eq!(applied(&good, &painted).unwrap(), painted.pixels);
}
