//! A figure's own folder on the desk: its files go in as a project, and what was changed in them goes back.
//!
//! The page works on copies of at most [`WORKING_EDGE`](crate::WORKING_EDGE) pixels, so pictures never go back in the place of larger
//! ones: texts do, and a mask only if it has the size of the photo.

use std::collections::BTreeMap;
use std::io::{Cursor, ErrorKind};
use std::path::{Path, PathBuf};

use velatura_document::{Diagnostic, Error, Files, LARGEST_PICTURE_BYTES, SourceText, read_file};
use velatura_output::{Outputs as _, ZipOutputs};
use velatura_photo::{DecodeLimits, peek, reduced_size};

use crate::edit_figure::{FigureText, with_light_photo, with_photo};
use crate::file_names::{FIGURE, PAINTS, SCHEMES, STROKES};
use crate::mask::loaded_mask;
use crate::open::{normal, unpacked};
use crate::working_photo::WORKING_EDGE;

/// What the project of the page is called in messages.
const PAGE: &str = "the page";
const SAVE_THE_PROJECT: &str = "save the project as a file under Take away";

/// A figure file and what lies next to it.
#[derive(Debug)]
pub struct FigureFolder {
    figure: PathBuf,
    /// The texts as the page got them: figure, paints, schemes. `None`: there was no such file.
    texts: [Option<Vec<u8>>; 3],
}

impl FigureFolder {
    /// The folder of a figure file.
    #[must_use]
    pub fn of(figure: impl Into<PathBuf>) -> Self {
        Self {
            figure: figure.into(),
            texts: Default::default(),
        }
    }

    /// The files as a project for the page. Remembers the texts, so that a later change from elsewhere is not overwritten.
    ///
    /// # Errors
    /// A file cannot be read, or lies outside the figure's folder.
    pub fn project(&mut self, files: &dyn Files) -> Result<Vec<u8>, Error> {
        let texts = self.texts_now(files)?;
        let Some(figure) = &texts[0] else {
            // Says why.
            read_file(files, &self.figure, LARGEST_PICTURE_BYTES)?;
            return Ok(Vec::new());
        };
        let text = self.figure_text(figure)?;
        let mut zip = Cursor::new(Vec::new());
        let outputs = ZipOutputs::new(&mut zip);
        let set = outputs.open(&[], &[])?;
        for (name, text) in [FIGURE, PAINTS, SCHEMES].into_iter().zip(&texts) {
            if let Some(text) = text {
                set.write(name, text)?;
            }
        }
        let light = text.light_photo.as_deref();
        for name in [&*text.photo, &*text.mask, STROKES]
            .into_iter()
            .chain(light)
        {
            self.check_inside(name)?;
            let path = self.folder().join(name);
            match files.read(&path, LARGEST_PICTURE_BYTES) {
                Err(error) if error.kind() == ErrorKind::NotFound && name == STROKES => {}
                _ => set.write(name, &read_file(files, &path, LARGEST_PICTURE_BYTES)?)?,
            }
        }
        set.commit()?;
        self.texts = texts;
        Ok(zip.into_inner())
    }

    /// The files that a project of the page changes, with their new content. Nothing is written here; [`FigureFolder::saved`] says that
    /// it was.
    ///
    /// # Errors
    /// A file was changed by another program, or the page has pictures that cannot go back.
    pub fn changes(
        &self,
        files: &dyn Files,
        project: &[u8],
        limits: &DecodeLimits,
    ) -> Result<BTreeMap<PathBuf, Vec<u8>>, Error> {
        let now = self.texts_now(files)?;
        for ((path, before), now) in self.text_paths().iter().zip(&self.texts).zip(&now) {
            if before != now {
                return Err(Error::refused(
                    path.display().to_string(),
                    "another program changed this file after the page read it",
                    "the file as it was",
                    "load the page again, or save the project as a file",
                ));
            }
        }
        let mut new = unpacked(PAGE, project)?;
        let mut take = |name: &str| new.remove(Path::new(name));
        let old = self.figure_text(self.texts[0].as_deref().unwrap_or_default())?;
        let figure = take(FIGURE).unwrap_or_default();
        let figure = SourceText::from_bytes(FIGURE, figure)?;
        let now = FigureText::read(figure.text())?;
        let mut changed = BTreeMap::new();
        let photo = self.read(files, &old.photo)?;
        let shown = take(&now.photo).unwrap_or_default();
        let reduced = match shown == photo {
            true => None,
            false => Some(reduction(&old.photo, &photo, &shown, limits)?),
        };
        let mask = take(&now.mask).unwrap_or_default();
        let old_mask = self.read(files, &old.mask)?;
        let same_mask = match reduced {
            None => mask == old_mask,
            Some((original, working)) => {
                let reduced = loaded_mask(&old.mask, &old_mask, limits, original, working);
                reduced.is_ok_and(|reduced| *reduced.value.0 == *mask)
            }
        };
        if !same_mask {
            if reduced.is_some() {
                let found = "the parts were changed on a smaller copy of the photo";
                return Err(refused(found, "a mask of the size of the photo"));
            }
            changed.insert(self.folder().join(&old.mask), mask);
            if let Some(strokes) = take(STROKES) {
                changed.insert(self.folder().join(STROKES), strokes);
            }
        }
        let mut text = with_photo(figure.text(), &old.photo)?;
        match (&old.light_photo, &now.light_photo) {
            (Some(old), Some(_)) => text = with_light_photo(&text, Some(old))?,
            (None, Some(_)) => {
                return Err(refused(
                    "the page has a light photo that the folder has not",
                    "the pictures of the folder",
                ));
            }
            (_, None) => {}
        }
        let texts = [Some(text.as_bytes().to_vec()), take(PAINTS), take(SCHEMES)];
        for ((path, before), text) in self.text_paths().into_iter().zip(&self.texts).zip(texts) {
            if let Some(text) = text
                && before.as_ref() != Some(&text)
            {
                changed.insert(path, text);
            }
        }
        Ok(changed)
    }

    /// Remembers that these changes were written.
    pub fn saved(&mut self, changes: &BTreeMap<PathBuf, Vec<u8>>) {
        for (path, text) in self.text_paths().iter().zip(&mut self.texts) {
            if let Some(new) = changes.get(path) {
                *text = Some(new.clone());
            }
        }
    }

    /// The folder; its name is the current one if the figure file was given by its name alone.
    #[must_use]
    pub fn folder(&self) -> &Path {
        self.figure.parent().unwrap_or(Path::new(""))
    }

    fn text_paths(&self) -> [PathBuf; 3] {
        let next_to = |name| self.folder().join(name);
        [self.figure.clone(), next_to(PAINTS), next_to(SCHEMES)]
    }

    fn texts_now(&self, files: &dyn Files) -> Result<[Option<Vec<u8>>; 3], Error> {
        let mut texts = <[Option<Vec<u8>>; 3]>::default();
        for (path, text) in self.text_paths().iter().zip(&mut texts) {
            *text = match files.read(path, LARGEST_PICTURE_BYTES) {
                Err(error) if error.kind() == ErrorKind::NotFound => None,
                _ => Some(read_file(files, path, LARGEST_PICTURE_BYTES)?),
            };
        }
        Ok(texts)
    }

    fn figure_text(&self, bytes: &[u8]) -> Result<FigureText, Error> {
        let source = SourceText::from_bytes(self.figure.display().to_string(), bytes.to_vec())?;
        FigureText::read(source.text())
    }

    fn read(&self, files: &dyn Files, name: &str) -> Result<Vec<u8>, Diagnostic> {
        read_file(files, &self.folder().join(name), LARGEST_PICTURE_BYTES)
    }

    /// A page gets files of the figure's folder only.
    fn check_inside(&self, name: &str) -> Result<(), Error> {
        if normal(Path::new(name)).is_some() {
            return Ok(());
        }
        Err(Error::refused(
            self.figure.display().to_string(),
            format!("\"{name}\" lies outside the folder of the figure"),
            "a file in the folder of the figure file",
            "copy it next to the figure file",
        ))
    }
}

/// The sizes of a photo and of its smaller copy on the page, width × height.
type Reduction = ((u32, u32), (u32, u32));

/// How much smaller the page's copy of a photo is.
fn reduction(
    name: &str,
    photo: &[u8],
    shown: &[u8],
    limits: &DecodeLimits,
) -> Result<Reduction, Error> {
    let size = |bytes| {
        let header = peek(name, bytes, limits)?;
        Ok::<_, Diagnostic>(header.orientation.turned_size(header.width, header.height))
    };
    let original = size(photo)?;
    match size(shown).ok() {
        Some(working) if working == reduced_size(original, WORKING_EDGE) && working != original => {
            Ok((original, working))
        }
        _ => Err(refused(
            "the page has another photo than the folder",
            "the photo of the folder",
        )),
    }
}

fn refused(found: &str, expected: &str) -> Error {
    Error::refused(PAGE, found, expected, SAVE_THE_PROJECT)
}
