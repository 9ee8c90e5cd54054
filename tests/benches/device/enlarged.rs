//! The demo at other sizes: every pixel is repeated as often as needed, with a little noise, because neighbours in a photo are
//! never quite the same and must not be equal in a kernel's look-ups.

use std::path::Path;

use velatura_pipeline::Job;
use velatura_pipeline::figure::{Subject, Underpainting};

/// Width and height of the demo at about this many megapixels, and the source of each pixel.
pub(crate) fn places(planes: &Underpainting, megapixels: usize) -> (usize, usize, Vec<usize>) {
    let (width, height) = (
        planes.subject.width as usize,
        planes.subject.height as usize,
    );
    let scale = ((megapixels * 1_000_000) as f64 / (width * height) as f64).sqrt();
    let (wide, high) = (
        (width as f64 * scale) as usize,
        (height as f64 * scale) as usize,
    );
    let from = |at: usize| (at / wide * height / high) * width + (at % wide) * width / wide;
    (wide, high, (0..wide * high).map(from).collect())
}

/// The demo's planes at about this many megapixels.
pub(crate) fn planes(job: &Job, megapixels: usize) -> Underpainting {
    let small = &job.underpainting;
    let (wide, high, places) = places(small, megapixels);
    let mut state = 1_u32;
    let mut noisy = |plane: &[u16]| -> Vec<u16> {
        let pixels = places.iter().map(|place| {
            // Numerical Recipes' generator (Press 1992, from memory): any will do for noise.
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            plane[*place].saturating_add_signed((state >> 24) as i16 - 128)
        });
        pixels.collect()
    };
    let (substrate, relief, light) = (
        noisy(&small.substrate),
        noisy(&small.relief),
        noisy(&small.light),
    );
    Underpainting {
        subject: Subject {
            width: wide as u32,
            height: high as u32,
            region: places
                .iter()
                .map(|place| small.subject.region[*place])
                .collect(),
            photo: places
                .iter()
                .map(|place| small.subject.photo[*place])
                .collect(),
            regions: small.subject.regions.clone(),
            lamp: small.subject.lamp,
        },
        substrate,
        relief,
        light,
        light_unit: small.light_unit,
        px_per_mm: small.px_per_mm * high as f64 / f64::from(small.subject.height),
        points: small.points,
    }
}

/// Writes photo, mask and figure file of the demo at about this many megapixels into a folder, without a light photo.
pub(crate) fn write_figure(job: &Job, megapixels: usize, folder: &Path) {
    let (wide, high, places) = places(&job.underpainting, megapixels);
    let picture = |name: &str, colour: &dyn Fn(usize) -> [u8; 3]| {
        let bytes: Vec<u8> = places.iter().flat_map(|place| colour(*place)).collect();
        image::RgbImage::from_raw(wide as u32, high as u32, bytes)
            .expect("as many pixels as it has")
            .save(folder.join(name))
            .expect("a folder to write into");
    };
    picture("photo.jpg", &|place| job.underpainting.subject.photo[place]);
    let colours: Vec<[u8; 3]> = (job.figure.regions.iter())
        .map(|region| region.mask_colour.value.0)
        .collect();
    picture("mask.png", &|place| {
        let region = usize::from(job.underpainting.subject.region[place]);
        region.checked_sub(1).map_or([0; 3], |index| colours[index])
    });
    let mut text =
        "format = \"velatura-figure/1\"\nname = \"Lamplighter\"\nphoto = \"photo.jpg\"\n\
                    mask = \"mask.png\"\n[undercoat]\nkind = \"black-to-white\"\n"
            .to_owned();
    for region in &job.figure.regions {
        let [red, green, blue] = region.mask_colour.value.0;
        text += &format!(
            "[[region]]\nname = \"{}\"\nmask_colour = \"#{red:02x}{green:02x}{blue:02x}\"\n",
            region.name.value
        );
    }
    std::fs::write(folder.join("figure.toml"), text).expect("a folder to write into");
}
