//! Opening a project: a zip of the files that `velatura render` takes, as the page or a painter's own folder has them.

use std::collections::BTreeMap;
use std::io::{Cursor, Read as _};
use std::path::{Component, Path, PathBuf};
use std::sync::Arc;

use velatura_document::{Diagnostic, Error, LARGEST_PICTURE_BYTES, SourceText, Warned};
use velatura_photo::flat::PhotoFrame;
use velatura_photo::{DecodeLimits, Orientation, Photo};
use velatura_pipeline::figure::read_figure_file;
use velatura_pipeline::optics::paints_file::read_paints_file;
use velatura_pipeline::scheme::read_schemes_file;
use velatura_regions::{Marked, read_marks};

use crate::edit_figure::{FigureText, with_light_photo, with_photo};
use crate::file_names::{FIGURE, NO_SCHEMES, PAINTS, SCHEMES, STROKES};
use crate::mask::loaded_mask;
use crate::project::{Bytes, MaskFrom, Project};
use crate::strokes::Strokes;
use crate::working_photo::working_photo;

/// Most bytes of all files of an archive together.
const LARGEST_PROJECT_BYTES: u64 = LARGEST_PICTURE_BYTES;
/// Most files in an archive.
const MOST_FILES: usize = 2000;

/// An opened project and its photo, if it has one.
pub(crate) struct Opened {
    pub(crate) project: Project,
    pub(crate) photo: Option<Photo>,
}

/// Opens an archive.
///
/// # Errors
/// It is no zip, it has no `figure.toml`, or a file in it cannot be read.
pub(crate) fn opened(
    name: &str,
    bytes: &[u8],
    limits: &DecodeLimits,
) -> Result<Warned<Opened>, Error> {
    let mut files = unpacked(name, bytes)?;
    let (mut project, mut warnings) = (Project::new(), Vec::new());
    let figure = take(&mut files, FIGURE).ok_or_else(|| {
        let found = "there is no figure.toml in this archive";
        Error::refused(
            name,
            found,
            "a project that this page saved",
            "choose another file",
        )
    })?;
    let source = SourceText::from_bytes(FIGURE, figure)?;
    // A file without parts is a beginning that this page made; every other one must be whole.
    if !FigureText::read(source.text())?.parts.is_empty() {
        let read = read_figure_file(&source).map_err(Error::inputs)?;
        warnings.extend(read.warnings);
    }
    project.figure = source.text().into();
    if let Some(paints) = take(&mut files, PAINTS) {
        let source = SourceText::from_bytes(PAINTS, paints)?;
        warnings.extend(read_paints_file(&source).map_err(Error::inputs)?.warnings);
        project.paints = Some(source.text().into());
    }
    project.schemes = NO_SCHEMES.into();
    if let Some(schemes) = take(&mut files, SCHEMES) {
        let source = SourceText::from_bytes(SCHEMES, schemes)?;
        warnings.extend(read_schemes_file(&source).map_err(Error::inputs)?.warnings);
        project.schemes = source.text().into();
    }
    let photo = pictures(&mut project, &mut files, limits, &mut warnings)?;
    Ok(Warned::new(Opened { project, photo }, warnings))
}

fn take(files: &mut BTreeMap<PathBuf, Vec<u8>>, path: &str) -> Option<Vec<u8>> {
    files.remove(&normal(Path::new(path))?)
}

/// Photo, mask, strokes and light photo of a project whose texts are there. Large ones are reduced as if they had been put one by one.
fn pictures(
    project: &mut Project,
    files: &mut BTreeMap<PathBuf, Vec<u8>>,
    limits: &DecodeLimits,
    warnings: &mut Vec<Diagnostic>,
) -> Result<Option<Photo>, Error> {
    let figure = FigureText::read(&project.figure)?;
    let Some(bytes) = take(files, &figure.photo) else {
        return Ok(None);
    };
    let (photo, decoded) = working_photo(&figure.photo, bytes, limits)?.into_value(warnings);
    let (original, size) = (photo.original_size, photo.size);
    if original != size {
        project.figure = with_photo(&project.figure, "photo.png")?;
    }
    project.photo = Some(photo);
    if let Some(light) = &figure.light_photo {
        match take(files, light) {
            Some(bytes) => {
                let (photo, _) = working_photo(light, bytes, limits)?.into_value(warnings);
                let path = match photo.original_size == photo.size {
                    true => light.clone(),
                    false => "light.png".to_owned(),
                };
                if path != *light {
                    project.figure = with_light_photo(&project.figure, Some(&path))?;
                }
                project.others.insert(path, photo.bytes);
            }
            None => project.figure = with_light_photo(&project.figure, None)?,
        }
    }
    if let Some(strokes) = take(files, STROKES) {
        let frame = PhotoFrame {
            width: size.0,
            height: size.1,
            photo: &figure.photo,
            orientation: Orientation::UPRIGHT,
        };
        // Strokes of another size than the photo cannot be continued; the mask is still there.
        if let Ok(marks) = read_marks(STROKES, &strokes, limits, &frame, Marked::Strokes) {
            project.strokes = Strokes {
                earlier: Some(Arc::new(marks.value)),
                drawn: Arc::default(),
            };
            project.mask_from = MaskFrom::Strokes;
        }
    }
    if let Some(mask) = take(files, &figure.mask)
        && project.mask_from != MaskFrom::Strokes
    {
        project.mask = Some(match original == size {
            // As it is, so that the same file is saved again.
            true => Bytes::new(mask),
            false => {
                loaded_mask(&figure.mask, &mask, limits, original, size)?
                    .into_value(warnings)
                    .0
            }
        });
        project.mask_from = MaskFrom::File;
    }
    Ok(Some(decoded))
}

/// The files of an archive, relative to the folder of its `figure.toml`.
pub(crate) fn unpacked(name: &str, bytes: &[u8]) -> Result<BTreeMap<PathBuf, Vec<u8>>, Error> {
    let no_archive = |why: &zip::result::ZipError| {
        let found = format!("this is not a complete zip archive: {why}");
        Error::refused(
            name,
            found,
            "a project that this page saved",
            "choose another file",
        )
    };
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).map_err(|why| no_archive(&why))?;
    if archive.len() > MOST_FILES {
        let found = format!("there are {} files in this archive", archive.len());
        return Err(Error::refused(
            name,
            found,
            "a project",
            "choose another file",
        ));
    }
    let mut files = BTreeMap::new();
    let mut left = LARGEST_PROJECT_BYTES;
    for index in 0..archive.len() {
        let file = archive.by_index(index).map_err(|why| no_archive(&why))?;
        let Some(path) = normal(Path::new(file.name())).filter(|_| file.is_file()) else {
            continue;
        };
        let mut unpacked = Vec::new();
        // The size in the archive may be wrong.
        file.take(left + 1)
            .read_to_end(&mut unpacked)
            .map_err(|why| no_archive(&zip::result::ZipError::Io(why)))?;
        let length = unpacked.len() as u64;
        left = left.checked_sub(length).ok_or_else(|| {
            let found = "the files in this archive are larger than 1 GB";
            Error::refused(name, found, "a project", "choose another file")
        })?;
        files.insert(path, unpacked);
    }
    let folder = files
        .keys()
        .filter(|path| path.file_name().is_some_and(|file| file == FIGURE))
        .min_by_key(|path| path.components().count())
        .and_then(|path| path.parent())
        .map(Path::to_path_buf)
        .unwrap_or_default();
    Ok(files
        .into_iter()
        .filter_map(|(path, bytes)| Some((path.strip_prefix(&folder).ok()?.to_path_buf(), bytes)))
        .collect())
}

/// A path without `.` and without a way out of its folder.
pub(crate) fn normal(path: &Path) -> Option<PathBuf> {
    let mut normal = PathBuf::new();
    for part in path.components() {
        match part {
            Component::Normal(name) => normal.push(name),
            Component::CurDir => {}
            _ => return None,
        }
    }
    Some(normal)
}
