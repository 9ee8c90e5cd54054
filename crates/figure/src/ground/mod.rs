//! Ground: splits the tones of a photo. Plate in, three planes out.
//!
//! A pixel of a matte figure is paint reflectance times the light that falls there; the photo shows the product. Here it is
//! split into *substrate* and *light*, whose product is the photo again, and *relief* is read from the tone against its
//! surroundings. Not here: decoding (`intake`), coats (another crate).

mod edges;
mod grid;
mod light;
mod lit;
mod points;
mod reduce;
mod register;
pub(crate) mod relief;
mod running;
mod simulate;
mod summary;

pub use points::{Origin, Sourced, UndercoatPoints};
pub use simulate::{SimulatedUndercoat, simulated_bounce, simulated_substrate};
pub use summary::{FigureSummary, Grey, RegionSummary};

use rayon::prelude::*;
use velatura_document::{At, Diagnostic, Warned, room_for};

use crate::checks::tone_checks;
use crate::figure_file::FigureFile;
use crate::figure_file::named_in;
use crate::figure_keys::UndercoatKind;
use crate::plate::{Plate, Subject};
use velatura_photo::Photo;

/// Full scale of the planes.
pub(crate) const PLANE_MAX: f64 = 65535.0;
/// Most light that the plane holds: what looks brighter (backdrop under a sloppy mask edge) is taken as lighter paint.
const MOST_LIGHT: f64 = 4.0;
/// More measured light than this is not light: it is backdrop under the edge of the mask, and would frame the figure in white.
const PLAUSIBLE_LIGHT: f64 = 1.3;

/// A figure's three planes, with what is needed to show it; all planes are row-major, `height` × `width` of the subject.
#[derive(Debug, Clone)]
pub struct Underpainting {
    /// Photo and regions.
    pub subject: Subject,
    /// Reflectance of the underpainting, 0…1 as 0…65535.
    pub substrate: Vec<u16>,
    /// Light falling there, in units of `light_unit`; 1 is full light.
    pub light: Vec<u16>,
    /// Light per unit of the light plane.
    pub light_unit: f32,
    /// 0 deep recess … 1 ridge of an edge, as 0…65535: the numbers that [`velatura_optics::relief`] reads.
    pub relief: Vec<u16>,
    /// Pixels per millimetre of the figure: the rows from its uppermost pixel to its lowest over the height that the figure
    /// file states.
    pub px_per_mm: f64,
    /// The numbers that the split is based on.
    pub points: UndercoatPoints,
}

/// The most memory that [`underpainting`] takes at one time on top of the plate and the light photo, in bytes.
#[must_use]
pub fn ground_bytes(plate: &Plate, with_light_photo: bool) -> u64 {
    // Relief, substrate and measured light; the grid of the relief is gone before the substrate is made.
    let light = if with_light_photo { 4 } else { 0 };
    let pixels = plate.luminance.len() as u64;
    pixels * (2 + light) + relief::room(&plate.subject).max(2 * pixels)
}

/// The underpainting of a plate, with warnings.
///
/// # Errors
/// A light photo of another size; a given black point above the white one that was found; too little memory.
pub fn underpainting(
    plate: Plate,
    figure: &FigureFile,
    light_photo: Option<Photo>,
) -> Result<Warned<Underpainting>, Diagnostic> {
    let room = ground_bytes(&plate, light_photo.is_some());
    room_for(room, &figure.photo.value)?;
    let mut warnings = tone_checks(&plate, figure);
    let light_photo = usable_light_photo(&plate, figure, light_photo)?.map(|(photo, path)| {
        let registered = register::registered(&plate, photo, &path.value);
        let part = named_in(figure, &path.at, "light_photo");
        registered
            .map_warnings(|problem| problem.within(&*part))
            .into_value(&mut warnings)
    });
    let measured = light_photo.map(|photo| light::measured(photo, &plate, figure));
    let mut points = points::points(&plate, figure, measured.as_ref())?;
    let lit = points
        .basis_of_estimate()
        .and_then(|[black, white]| lit::Lit::of(&plate, black, white));
    let tall = plate
        .subject
        .figure_box()
        .map_or(plate.subject.height, |figure| figure.height);
    let px_per_mm = f64::from(tall) / figure.height_mm;
    let relief = relief::relief(&plate, px_per_mm);
    let Plate { subject, luminance } = plate;

    // Without a lower bound the deepest black would be all light and no paint; a fifth below the black point leaves room
    // for primer that is not quite even.
    let (darkest, brightest) = (points.black.value * 0.8, points.white.value.clamp(0.8, 1.0));
    let split = |tone: u16, light: Option<f32>| -> f64 {
        let tone = f64::from(tone) / PLANE_MAX;
        match (points.kind, light) {
            (UndercoatKind::Plain, _) => points.white.value,
            (_, Some(light)) => {
                (tone / f64::from(light).min(PLAUSIBLE_LIGHT)).clamp(darkest, brightest)
            }
            (_, None) => {
                let share = points.light_share.value;
                let paint = points.white.value * libm::pow(tone / points.white.value, 1.0 - share);
                paint.clamp(
                    points.black.value.min(points.white.value),
                    points.white.value,
                )
            }
        }
    };
    // Light is taken from the rounded substrate, so that the product is the photo however coarse the plane is.
    let coded = |substrate: f64, tone: u16| -> u16 {
        let least = f64::from(tone) / PLANE_MAX / MOST_LIGHT;
        as_code(
            (substrate.max(least) * PLANE_MAX)
                .ceil()
                .clamp(1.0, PLANE_MAX),
        )
    };
    let lights = measured.as_ref().map(|measured| measured.light.as_slice());
    // Nobody paints the background, and it is most of many photos: there the substrate is white, and the light is the photo.
    let mut substrate = vec![as_code(PLANE_MAX); luminance.len()];
    let columns = (subject.width as usize).max(1);
    substrate
        .par_chunks_mut(columns)
        .zip(luminance.par_chunks(columns))
        .zip(subject.region.par_chunks(columns))
        .enumerate()
        .for_each(|(y, ((row, tones), regions))| {
            let figure = (0..row.len()).filter(|x| regions[*x] != 0);
            match &lit {
                Some(lit) => {
                    let lit = lit.row(y);
                    figure.for_each(|x| row[x] = coded(lit.reflectance(x, tones[x]), tones[x]));
                }
                None => figure.for_each(|x| {
                    let light = lights.map(|light| light[y * columns + x]);
                    row[x] = coded(split(tones[x], light), tones[x]);
                }),
            }
        });
    if lit.is_some() {
        points.light_share.value = light::share_of(&luminance, &subject.region, |at| {
            f64::from(luminance[at]) / f64::from(substrate[at])
        });
    }
    drop(lit);
    drop(measured);
    let most = luminance
        .par_iter()
        .zip(&substrate)
        .zip(&subject.region)
        .with_min_len(1 << 14)
        .map(|((tone, substrate), region)| {
            if *region == 0 {
                0.0
            } else {
                f64::from(*tone) / f64::from(*substrate)
            }
        })
        .reduce(|| 0.0, f64::max)
        .clamp(1.0, MOST_LIGHT);
    // The light takes the luminance's place in memory: a photo of 100 megapixels has no room for both.
    let mut light = luminance;
    light
        .par_iter_mut()
        .zip(&substrate)
        .with_min_len(1 << 14)
        .for_each(|(tone, substrate)| {
            let light = f64::from(*tone) / f64::from(*substrate);
            *tone = as_code((light / most * PLANE_MAX).round());
        });
    #[allow(clippy::cast_possible_truncation, reason = "kernels work in f32")]
    let light_unit = (most / PLANE_MAX) as f32;
    let underpainting = Underpainting {
        subject,
        substrate,
        light,
        light_unit,
        relief,
        px_per_mm,
        points,
    };
    Ok(Warned::new(underpainting, warnings))
}

/// The light photo and where it is named, if it is to be used.
fn usable_light_photo<'a>(
    plate: &Plate,
    figure: &'a FigureFile,
    light_photo: Option<Photo>,
) -> Result<Option<(Photo, &'a At<String>)>, Diagnostic> {
    let (Some(photo), Some(path)) = (light_photo, &figure.undercoat.light_photo) else {
        return Ok(None);
    };
    let part = || named_in(figure, &path.at, "light_photo");
    if (photo.width, photo.height) != (plate.subject.width, plate.subject.height) {
        return Err(Diagnostic::error(
            path.value.clone(),
            format!(
                "the light photo is {} × {} pixels, the photo {} × {}",
                photo.width, photo.height, plate.subject.width, plate.subject.height
            ),
        )
        .within(part())
        .expected(format!("{} × {}, the size of {} after rotation", plate.subject.width, plate.subject.height, figure.photo.value))
        .help("take both from the same tripod at the same zoom, and crop neither; or remove `light_photo`"));
    }
    // The reader of the figure file has warned already: a plain undercoat shows only light and shade.
    Ok((figure.undercoat.kind.value != UndercoatKind::Plain).then_some((photo, path)))
}

/// A plane's code from a number that is one already, but for its type.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to the plane's range"
)]
pub(crate) fn as_code(number: f64) -> u16 {
    number.clamp(0.0, PLANE_MAX) as u16
}
