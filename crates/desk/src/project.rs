//! A project: the files of one figure, and the strokes that its mask comes from. Cheap to clone, so undo keeps whole projects.

use std::collections::BTreeMap;
use std::hash::{DefaultHasher, Hash, Hasher as _};
use std::ops::Deref;
use std::sync::Arc;

use velatura::MemoryFiles;

use crate::edit_figure::new_figure;
use crate::file_names::{FIGURE, NO_SCHEMES, PAINTS, SCHEMES};
use crate::strokes::Strokes;

/// The bytes of a picture file, shared, with a number that stands for its content.
#[derive(Debug, Clone)]
pub(crate) struct Bytes {
    bytes: Arc<Vec<u8>>,
    pub(crate) hash: u64,
}

impl Bytes {
    pub(crate) fn new(bytes: Vec<u8>) -> Self {
        Self {
            hash: hash_of(&bytes),
            bytes: Arc::new(bytes),
        }
    }
}

impl Deref for Bytes {
    type Target = [u8];

    fn deref(&self) -> &[u8] {
        &self.bytes
    }
}

/// A number for a value, the same in every run of one program.
pub(crate) fn hash_of(value: &(impl Hash + ?Sized)) -> u64 {
    let mut hasher = DefaultHasher::new();
    value.hash(&mut hasher);
    hasher.finish()
}

/// Where the mask comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum MaskFrom {
    /// There is none.
    #[default]
    Nothing,
    /// Computed from the strokes.
    Strokes,
    /// A picture that was loaded.
    File,
}

/// The photo that everything is computed on.
#[derive(Debug, Clone)]
pub(crate) struct ProjectPhoto {
    /// The name of the file it came from.
    pub(crate) original_name: String,
    /// Width and height of that file, upright.
    pub(crate) original_size: (u32, u32),
    /// The working photo's file.
    pub(crate) bytes: Bytes,
    /// Its size, upright.
    pub(crate) size: (u32, u32),
}

/// The files of one figure.
#[derive(Debug, Clone)]
pub(crate) struct Project {
    /// `figure.toml`. It names no region before there are parts, so it cannot always be rendered.
    pub(crate) figure: Arc<str>,
    /// `paints.toml`, once there are paints.
    pub(crate) paints: Option<Arc<str>>,
    /// `schemes.toml`.
    pub(crate) schemes: Arc<str>,
    pub(crate) photo: Option<ProjectPhoto>,
    /// A loaded mask; the mask of strokes is computed when it is needed.
    pub(crate) mask: Option<Bytes>,
    pub(crate) mask_from: MaskFrom,
    pub(crate) strokes: Strokes,
    /// Other pictures by their path, such as the light photo.
    pub(crate) others: BTreeMap<String, Bytes>,
    /// The photo of a card that was not read yet: its name and its bytes.
    pub(crate) card: Option<(String, Bytes)>,
}

impl Project {
    /// A project without a photo.
    pub(crate) fn new() -> Self {
        Self {
            figure: new_figure("Figure", "photo.png"),
            paints: None,
            schemes: NO_SCHEMES.into(),
            photo: None,
            mask: None,
            mask_from: MaskFrom::Nothing,
            strokes: Strokes::default(),
            others: BTreeMap::new(),
            card: None,
        }
    }

    /// The mask, if it is a file and not made from strokes.
    pub(crate) fn mask_file(&self) -> Option<&Bytes> {
        match self.mask_from {
            MaskFrom::File => self.mask.as_ref(),
            MaskFrom::Nothing | MaskFrom::Strokes => None,
        }
    }

    /// The files as a job reads them; `mask` is the mask's picture.
    pub(crate) fn files(&self, photo: &str, mask_path: &str, mask: Option<&Bytes>) -> MemoryFiles {
        let texts = [
            (FIGURE, Some(&self.figure)),
            (PAINTS, self.paints.as_ref()),
            (SCHEMES, Some(&self.schemes)),
        ];
        let mut files = MemoryFiles::new();
        for (name, text) in texts {
            if let Some(text) = text {
                files = files.with(name, text.as_bytes());
            }
        }
        for (name, bytes) in &self.others {
            files = files.with(name, bytes.to_vec());
        }
        if let Some(found) = &self.photo {
            files = files.with(photo, found.bytes.to_vec());
        }
        if let Some(mask) = mask {
            files = files.with(mask_path, mask.to_vec());
        }
        files
    }
}
