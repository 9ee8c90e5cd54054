//! Checks of a sheet. In: the stage. Out: checks, on flat pictures of the size that it requests.

use super::calls::{guarded, repeated};
use super::limits::SHEET_SIDE_PX;
use super::report::{Check, Report};
use super::small::{small_sheet_pictures, small_sheet_request};
use velatura_pipeline::Parameters;
use velatura_pipeline::SheetFile;
use velatura_pipeline::stage::{Sheet, StageInfo};

/// A picture of more pixels is not made here: three of them would not fit everywhere.
const MOST_PIXELS: u64 = 50_000_000;

pub(super) fn check(
    report: &mut Report,
    info: &StageInfo,
    stage: &dyn Sheet,
    parameters: &Parameters,
) {
    let whole = small_sheet_request(parameters.clone());
    let mut alone = whole.clone();
    alone.schemes.truncate(1);
    for request in [whole, alone] {
        let size = guarded(|| stage.picture_size(&request));
        let fits = size.clone().and_then(size_fits);
        if !report.made(Check::PictureSize, fits) {
            return;
        }
        let size = size.unwrap_or_default();
        let pictures = small_sheet_pictures(&request, size);
        let draw =
            || guarded(|| stage.files(&request, &pictures))?.map_err(|error| error.to_string());
        let same = |one: &Vec<SheetFile>, other: &Vec<SheetFile>| one == other;
        let Some(files) = repeated(report, info, draw, same) else {
            return;
        };
        if files.is_empty() {
            report.made(Check::Works, Err("it made no file".to_owned()));
        }
        report.made(Check::Paths, paths(&files));
        let empty = files.iter().find(|file| file.bytes.is_empty());
        report.made(
            Check::SomeBytes,
            empty.map_or(Ok(()), |file| Err(format!("{} is empty", file.path))),
        );
    }
}

fn size_fits((width, height): (u32, u32)) -> Result<(), String> {
    let fits = |side: u32| (1..=SHEET_SIDE_PX).contains(&side);
    if fits(width) && fits(height) && u64::from(width) * u64::from(height) <= MOST_PIXELS {
        return Ok(());
    }
    Err(format!(
        "it asks for pictures of {width} × {height} pixels; a side is from 1 to {SHEET_SIDE_PX}, {MOST_PIXELS} pixels in all"
    ))
}

fn paths(files: &[SheetFile]) -> Result<(), String> {
    for (index, file) in files.iter().enumerate() {
        let path = &file.path;
        let is_plain = |part: &str| !part.trim().is_empty() && part != "." && part != "..";
        let is_odd = |c: char| c.is_control() || c == '\\' || c == ':';
        if !path.split('/').all(is_plain) || path.contains(is_odd) {
            return Err(format!(
                "{path:?}; a path is relative, with forward slashes, and stays in the folder"
            ));
        }
        if files[..index].iter().any(|other| other.path == *path) {
            return Err(format!("two files are called {path}"));
        }
    }
    Ok(())
}
