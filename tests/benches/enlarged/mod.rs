//! The demo at the sizes of photos, and all of its schemes without encoding.

#![allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "picture sizes are small"
)]

use std::hint::black_box;

use velatura_pipeline::figure::{Plate, Subject, Underpainting, underpainting};
use velatura_pipeline::{Cancel, Job, PlannedScheme, Run, Session};
use velatura_tests::demo_job;

/// The demo's plate, enlarged by whole pixels to about this many megapixels.
pub(crate) fn plate(job: &Job, megapixels: usize) -> Plate {
    let planes = &job.underpainting;
    let (width, height) = (
        planes.subject.width as usize,
        planes.subject.height as usize,
    );
    let wanted = megapixels * 1_000_000;
    let scale = (wanted as f64 / (width * height) as f64).sqrt();
    let (wide, high) = (
        (width as f64 * scale) as usize,
        (height as f64 * scale) as usize,
    );
    let from = |at: usize| (at / wide * height / high) * width + (at % wide) * width / wide;
    let places = 0..wide * high;
    let y = |pixel: [u8; 3]| {
        let linear = velatura_pipeline::optics::colour::Encoded(pixel).linear();
        (velatura_pipeline::optics::colour::luminance(linear) * 65535.0) as u16
    };
    Plate {
        luminance: places
            .clone()
            .map(|at| y(planes.subject.photo[from(at)]))
            .collect(),
        subject: Subject {
            width: wide as u32,
            height: high as u32,
            photo: places
                .clone()
                .map(|at| planes.subject.photo[from(at)])
                .collect(),
            region: places.map(|at| planes.subject.region[from(at)]).collect(),
            regions: planes.subject.regions.clone(),
            lamp: planes.subject.lamp,
        },
    }
}

/// Its planes, enlarged in the same way.
pub(crate) fn ground(job: &Job, megapixels: usize) -> Underpainting {
    underpainting(plate(job, megapixels), &job.figure, None)
        .expect("the demo has a ground")
        .value
}

/// Accepts rows and drops them, which leaves the work without encoding.
struct Nowhere;

impl velatura_pipeline::RowSink for Nowhere {
    fn rows(&mut self, rows: &[[u8; 3]]) -> Result<(), velatura_pipeline::Error> {
        black_box(rows);
        Ok(())
    }
}

/// The demo on planes of about so many megapixels, with the stages and the backend of a session.
pub(crate) fn large_job(session: &Session, megapixels: usize) -> Job {
    let mut job = demo_job(session);
    job.underpainting = ground(&job, megapixels);
    job
}

/// Renders every scheme on the session's backend.
pub(crate) fn rendered(job: &Job, schemes: &[PlannedScheme]) {
    let run = Run::on_backend(job, &Cancel::default(), schemes.len()).expect("the backend works");
    let mut sinks: Vec<Nowhere> = schemes.iter().map(|_| Nowhere).collect();
    run.render(schemes, &mut sinks, &|_| ())
        .expect("nothing stops it");
}
